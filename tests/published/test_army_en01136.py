"""U.S. Army Engineer School, subcourse EN01136, lesson 5, answers to the self-test."""

from __future__ import annotations

from fractions import Fraction

from lapwright.cutting import Piece, Problem, Stock, solve
from lapwright.measure import INCH, Ticks
from lapwright.takeoff.estimate import boards_across


def test_uprights_and_rails_from_ten_foot_lengths() -> None:
    """Four of 5 ft 1 in, two of 3 ft 7 in and two rails of 10 ft: six 10-ft lengths.

    Two of the off-cuts of 4 ft 11 in yield the shorter pieces.
    """
    pieces = (Piece(61, 4), Piece(43, 2), Piece(120, 2))
    plan = solve(Problem(pieces, (Stock(120, cost=1),)))
    assert (plan.bars, plan.is_proven) == (6, True)


def test_floor_boards_with_fifteen_percent_waste() -> None:
    """A floor 106 in wide of boards of 5-1/2 in, 15 % waste: 22.67, so 23 boards."""
    boards = boards_across(Ticks(106 * INCH), Ticks(11 * INCH // 2), Fraction(15, 100))
    assert boards == 23
