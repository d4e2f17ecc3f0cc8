"""Estimating in Building Construction (textbook), chapter 13, Wood, p. 163."""

from __future__ import annotations

from fractions import Fraction

from lapwright.measure import FOOT, Ticks
from lapwright.takeoff.estimate import pieces_by_area


def test_sheets_for_walls_and_gables() -> None:
    """1184 sq ft of walls and 72 of gable ends in sheets of 4 x 8 ft: 39.25, so 40."""
    area = (1184 + 72) * FOOT * FOOT
    sheet = Ticks(4 * FOOT), Ticks(8 * FOOT)
    assert Fraction(area, sheet[0] * sheet[1]) == Fraction("39.25")
    assert pieces_by_area(area, *sheet, Fraction(0)) == 40
