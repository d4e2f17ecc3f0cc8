"""A tool page on saw kerf (slashgear.com, article on kerf): what a blade takes.

An 8-ft board cut into 2-ft pieces by a blade of 1/8 in yields three full pieces and one
of 23-5/8 in.
"""

from __future__ import annotations

from lapwright.cutting import Piece, Problem, Stock, solve

EIGHTHS = 8  # the page's lengths in eighths of an inch
BOARD = Stock(96 * EIGHTHS, cost=1)


def test_three_pieces_of_two_feet_leave_23_and_five_eighths() -> None:
    """Three full pieces and one of 23-5/8 in come from one board, with nothing left."""
    pieces = (Piece(24 * EIGHTHS, 3), Piece(23 * EIGHTHS + 5, 1))
    plan = solve(Problem(pieces, (BOARD,), kerf=1))
    assert plan.bars == 1
    assert plan.offcut(plan.patterns[0]) == 0


def test_four_pieces_of_two_feet_do_not_come_from_one_board() -> None:
    """The fourth is 3/8 in short, so that four need two boards."""
    plan = solve(Problem((Piece(24 * EIGHTHS, 4),), (BOARD,), kerf=1))
    assert (plan.bars, plan.is_proven) == (2, True)
