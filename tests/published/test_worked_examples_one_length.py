"""Published cutting lists with one stock length, each with its known optimum.

The source stands at each test.  Where it says "data from memory" the numbers were not
copied from the printed page; the optimum was recomputed by an arc-flow program.
"""

from __future__ import annotations

import pytest

from lapwright.cutting import CutPlan, Piece, Problem, Status, Stock, solve


def bars(stock: int, *pieces: tuple[int, int]) -> CutPlan:
    """Solve for the fewest bars, given (length, count) of each piece."""
    wanted = tuple(Piece(length, count) for length, count in pieces)
    return solve(Problem(wanted, (Stock(stock, cost=1),)), time_limit=30)


def assert_proven(plan: CutPlan, optimum: int) -> None:
    """Assert cost, bound and status in one go."""
    assert (plan.cost, plan.bound, plan.status) == (optimum, optimum, Status.PROVEN)


@pytest.mark.parametrize("second", [36, 35])
def test_chvatal_chapter_13(second: int) -> None:
    """V. Chvatal, Linear Programming (1983), ch. 13, p. 195: 453 rolls.

    The data as in the GAMS-dev/miro repository (cutstock); the SAS/OR 14.3 manual
    prints 35 in for 36 in, with the same optimum.
    """
    plan = bars(100, (45, 97), (second, 610), (31, 395), (14, 211))
    assert_proven(plan, 453)


def test_paper_machine() -> None:
    """Wikipedia, "Cutting stock problem", 13 widths: 73 rolls, 0.401 % waste."""
    widths = (1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150)
    counts = (22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18)
    plan = bars(5600, *zip(widths, counts, strict=True), (2200, 20))
    assert_proven(plan, 73)
    wanted = sum(piece.length * piece.count for piece in plan.problem.pieces)
    # 73 rolls of 5600 mm less 407160 mm wanted, as the article gives it.
    assert wanted == 407_160
    waste = (plan.stock_length - wanted) / plan.stock_length
    assert waste == pytest.approx(0.00401, abs=5e-6)


def test_ampl_book() -> None:
    """R. Fourer, D. Gay, B. Kernighan, AMPL, cutting stock: 47 (data from memory)."""
    assert_proven(bars(110, (20, 48), (45, 35), (50, 24), (55, 10), (75, 8)), 47)


def test_jump_tutorial() -> None:
    """JuMP documentation, "Column generation", 20 orders: 334 rolls, in tenths.

    The tutorial says that its 334 "may not be the global minimum"; it is.
    """
    plan = bars(
        1000,
        *((750, 38), (750, 44), (750, 30), (750, 41), (750, 36), (538, 33), (530, 36)),
        *((510, 41), (502, 35), (322, 37), (308, 44), (298, 49), (201, 37), (162, 36)),
        *((145, 42), (110, 33), (86, 47), (82, 35), (66, 49), (51, 42)),
    )
    assert_proven(plan, 334)


def test_winston_woodco() -> None:
    """W. Winston, Operations Research, "Woodco": 19 boards (data from memory)."""
    assert_proven(bars(17, (3, 25), (5, 20), (9, 15)), 19)


def test_taha_pacific_paper() -> None:
    """H. Taha, Operations Research, "Pacific Paper": 263 rolls (data from memory).

    The published plan of the linear program is 262.5 rolls.
    """
    assert_proven(bars(20, (5, 150), (7, 200), (9, 300)), 263)


def test_minizinc_cutstock() -> None:
    """MiniZinc benchmarks, cutstock.mzn (J. Puchinger 2007): 4 bars."""
    assert_proven(bars(10, (7, 2), (5, 2), (3, 4)), 4)


def test_martello_toth_chapter_8() -> None:
    """S. Martello, P. Toth, Knapsack Problems (1990), ch. 8: 4 (data from memory)."""
    assert_proven(bars(100, (70, 1), (60, 1), (50, 1), (33, 3), (11, 1), (7, 1), (3, 1)), 4)


def test_first_fit_worst_case() -> None:
    """D. Johnson and others, SIAM J. Comput. 3 (1974): first fit needs 11, 9 do.

    The construction behind 11/9, with numbers built for a bar of 100.
    """
    assert_proven(bars(100, (51, 6), (27, 6), (26, 6), (23, 12)), 9)
