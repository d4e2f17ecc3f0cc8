"""Published cutting lists with several stock lengths, costs and a kerf.

The source stands at each test; "data from memory" means that the numbers were not
copied from the printed page.
"""

from __future__ import annotations

from collections import Counter

import pytest

from lapwright.cutting import Piece, Problem, Status, Stock, solve


def test_gilmore_gomory_1961() -> None:
    """P. Gilmore, R. Gomory, Operations Research 9 (1961): cost 170 (from memory)."""
    pieces = (Piece(2, 20), Piece(3, 10), Piece(4, 20))
    stock = (Stock(5, cost=6), Stock(6, cost=7), Stock(9, cost=10))
    plan = solve(Problem(pieces, stock))
    assert (plan.cost, plan.status) == (170, Status.PROVEN)
    # Zero trim: 2*20 + 3*10 + 4*20 = 150 is all that is bought.
    assert plan.stock_length == 150


def test_desk_legs() -> None:
    """C. Gueret and others, Applications of Optimization with Xpress-MP (2002), ch. 9.

    Data from memory: legs of 40, 60 and 70 cm from bars of 1.5 m and 2 m; 75,300 cm
    of bars for 75,280 cm of legs.
    """
    pieces = (Piece(40, 4 * 108), Piece(60, 4 * 125), Piece(70, 4 * 100))
    plan = solve(Problem(pieces, (Stock(150, cost=150), Stock(200, cost=200))))
    assert (plan.cost, plan.status) == (75_300, Status.PROVEN)


@pytest.mark.parametrize("supply", [(None, None, None), (13, 11, 9)])
def test_first_monaci_instance(supply: tuple[int | None, ...]) -> None:
    """M. Monaci, PhD thesis (2002), first instance of its type: cost 1280.

    The pieces are 1272 long in all; costs are multiples of ten.
    """
    lengths = [10, 14, 17, 19, 19, 24, 29, 32, 33, 36, 38, 40, 50, 54, 55, 63, 66, 71]
    lengths += [77, 77, 79, 83, 92, 95, 99]
    pieces = tuple(Piece(length, n) for length, n in sorted(Counter(lengths).items()))
    stock = tuple(
        Stock(length, cost=length, supply=there)
        for length, there in zip((100, 120, 150), supply, strict=True)
    )
    plan = solve(Problem(pieces, stock), time_limit=30)
    assert (plan.cost, plan.bound, plan.status) == (1280, 1280, Status.PROVEN)


def test_lumber_purchase_with_kerf() -> None:
    """Stack Exchange, "Optimizing lumber purchasing": one 14 ft board, $5.50.

    Two boards of 7.7 ft cost the same; the fewer bars decide.  Lengths in 1/80 in:
    7.7 ft are 7392 and the kerf of 1/8 in is 10.
    """
    foot, kerf = 960, 10
    stock = (
        Stock(7392, cost=275),
        Stock(8 * foot, cost=300),
        Stock(10 * foot, cost=400),
        Stock(14 * foot, cost=550),
    )
    pieces = (Piece(2 * foot, 1), Piece(5 * foot // 2, 1), Piece(6 * foot, 1))
    plan = solve(Problem(pieces, stock, kerf=kerf))
    assert (plan.cost, plan.bars, plan.status) == (550, 1, Status.PROVEN)
    assert plan.bars_of_stock == (0, 0, 0, 1)


def test_kerf_of_a_96_inch_board() -> None:
    """Common knowledge of woodworkers: a 96 in board yields no four pieces of 2 ft.

    With a kerf of 1/8 in three full ones and one of 23-5/8 in fit; in 1/8 in the
    board is 768, the pieces 192 and 189.
    """
    three_and_short = (Piece(192, 3), Piece(189, 1))
    plan = solve(Problem(three_and_short, (Stock(768, cost=1),), kerf=1))
    assert plan.bars == 1
    assert plan.offcut(plan.patterns[0]) == 0
    four = solve(Problem((Piece(192, 4),), (Stock(768, cost=1),), kerf=1))
    assert (four.bars, four.status) == (2, Status.PROVEN)
