"""Western Wood Products Association, installation guide, table 4, Coverage Estimator."""

from __future__ import annotations

from fractions import Fraction

import pytest

from lapwright.measure import INCH, Ticks
from lapwright.takeoff.convention import board_foot_factor, lineal_foot_factor


@pytest.mark.parametrize(
    ("face", "factor"),
    [("4.5", "2.67"), ("6.25", "1.92"), ("8.25", "1.45"), ("10.75", "1.12")],
)
def test_lineal_feet_for_a_square_foot(face: str, factor: str) -> None:
    """Feet of board for a square foot of wall, by the exposed face in inches."""
    exact = lineal_foot_factor(Ticks(int(Fraction(face) * INCH)))
    assert round(exact, 2) == Fraction(factor)


def test_board_feet_for_what_is_seen() -> None:
    """The board-foot factor is nominal over exposed width: 8 in of which 6 are seen, 4/3."""
    assert board_foot_factor(Ticks(8 * INCH), Ticks(6 * INCH)) == Fraction(4, 3)
