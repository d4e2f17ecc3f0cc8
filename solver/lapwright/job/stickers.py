"""Sheets of stickers, by the places of the stickers on the paper."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lapwright.measure import INCH, MILLIMETRE, Ticks

if TYPE_CHECKING:
    from collections.abc import Mapping

PAPERS: Mapping[str, tuple[Ticks, Ticks]] = {
    "letter": (Ticks(17 * INCH // 2), Ticks(11 * INCH)),
    "a4": (Ticks(210 * MILLIMETRE), Ticks(297 * MILLIMETRE)),
}
"""Width and height of each paper, upright."""


@dataclass(frozen=True, slots=True)
class StickerSheet:
    """A sheet of stickers of one size, in rows and columns."""

    paper: str
    """One of `PAPERS`."""
    columns: int
    rows: int
    width: Ticks
    """Of one sticker. [ticks]"""
    height: Ticks
    """Of one sticker. [ticks]"""
    left: Ticks
    """From the paper's left edge to the first sticker. [ticks]"""
    top: Ticks
    """From the paper's upper edge to the first sticker. [ticks]"""
    across: Ticks
    """From the left edge of a sticker to that of the next one. [ticks]"""
    down: Ticks
    """From the upper edge of a sticker to that of the next one. [ticks]"""

    @property
    def count(self) -> int:
        """Stickers on a sheet."""
        return self.columns * self.rows

    @property
    def right(self) -> Ticks:
        """From the paper's left edge to the right edge of the last column. [ticks]"""
        return Ticks(self.left + (self.columns - 1) * self.across + self.width)

    @property
    def bottom(self) -> Ticks:
        """From the paper's upper edge to the lower edge of the last row. [ticks]"""
        return Ticks(self.top + (self.rows - 1) * self.down + self.height)
