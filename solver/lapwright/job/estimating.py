"""What an estimator assumes where areas are turned into an order."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Estimating:
    """The inputs of the estimating conventions; the catalogue holds their sources."""

    waste: Fraction
    """Share added to an area for waste."""
    large_opening: Fraction
    """An opening whose box has this area or more counts as large. [ticks²]"""
