"""Fewer set-ups and less scrap at the same cost."""

from __future__ import annotations

import pytest

from lapwright.cutting import Piece, Problem, Status, Stock, recount, solve


@pytest.mark.slow
def test_paper_machine_needs_ten_patterns() -> None:
    """The 13 widths of the paper machine take 73 rolls in 10 patterns.

    The fewest with 73 rolls, as in the article "Cutting stock problem" of Wikipedia
    (from memory); a constraint solver has proven it.
    """
    widths = (1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150)
    counts = (22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18)
    pieces = [Piece(w, n) for w, n in zip(widths, counts, strict=True)]
    problem = Problem((*pieces, Piece(2200, 20)), (Stock(5600, cost=1),))
    plan = solve(problem, tidy=40)
    recount(plan)
    assert (plan.cost, plan.status) == (73, Status.PROVEN)
    assert plan.setups == 10


def test_fewer_setups_never_cost_more() -> None:
    """With time to tidy, cost and bars stay, and the patterns grow no more."""
    pieces = tuple(Piece(137 + 53 * i % 701, 4 + i % 3) for i in range(8))
    stock = (Stock(1200, cost=120), Stock(900, cost=95, supply=6))
    plain = solve(Problem(pieces, stock, kerf=3))
    tidy = solve(Problem(pieces, stock, kerf=3), tidy=3)
    recount(tidy)
    assert tidy.cost == plain.cost
    assert tidy.bars <= plain.bars
    assert tidy.setups <= plain.setups


def test_scrap_is_gathered_into_offcuts_worth_keeping() -> None:
    """Of two ways with as many patterns the one with an offcut to keep is taken.

    Three pieces of 40 and one of 30 from bars of 100: 40 + 40 and 40 + 30 leave 20
    and 30, and 40 + 40 and 30 + 40 is the same; 30 is worth keeping, 20 is not, and
    no other plan with two bars has less scrap.
    """
    problem = Problem((Piece(40, 3), Piece(30, 1)), (Stock(100, cost=1),), keep=30)
    plan = solve(problem, tidy=1)
    assert (plan.bars, plan.kept) == (2, 30)
