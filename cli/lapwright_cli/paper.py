"""The paper that reports are printed on."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lapwright.measure import Unit


class Paper(StrEnum):
    """A size of paper."""

    LETTER = "letter"
    """US letter, 8-1/2 × 11 in."""
    A4 = "a4"
    """210 × 297 mm (ISO 216)."""

    @property
    def width(self) -> float:
        """Of the upright sheet. [pt]"""
        return 612.0 if self is Paper.LETTER else 595.28

    @property
    def height(self) -> float:
        """Of the upright sheet. [pt]"""
        return 792.0 if self is Paper.LETTER else 841.89

    @property
    def typst_name(self) -> str:
        """What the setting engine calls it."""
        return "us-letter" if self is Paper.LETTER else "a4"


def paper_for(unit: Unit) -> Paper:
    """Choose the paper that goes with a job's unit: A4 where it is metric."""
    return Paper.A4 if unit.is_metric else Paper.LETTER
