"""The exact close: at the optimum a plan is found, below it none is, by proof."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given, settings

from lapwright.cutting import Piece, Problem, Status, Stock, solve
from lapwright.cutting import dive as diving
from lapwright.cutting.bounds import waste_limit
from lapwright.cutting.closing import close, list_within
from lapwright.cutting.columns import Columns
from lapwright.cutting.core import frame
from lapwright.cutting.dive import dive
from lapwright.cutting.tree import End
from lapwright.errors import NoPlanError
from tests.solver.cutting.small import cheapest, problems

if TYPE_CHECKING:
    from lapwright.cutting.pool import Bar


def never() -> bool:
    """Tell that the time is not up."""
    return False


@settings(max_examples=120, deadline=None)
@given(problems(counted=True))
def test_close_tells_the_optimum_from_less(problem: Problem) -> None:
    """One unit of cost decides between a plan and the proof that there is none."""
    exact = cheapest(problem)
    core = frame(problem).core if exact is not None else None
    if exact is None or core is None:
        return  # there is no plan to close in on
    least = exact // core.cost_unit
    columns = Columns(core, never)
    columns.begin([])
    below, _ = close(columns, least - 1, 10_000, 1000, 2)
    assert below is End.NONE
    at, bars = close(columns, least, 10_000, 1000, 2)
    assert at is End.FOUND
    assert sum(core.bins[k].cost * n for k, _, n in bars) <= least
    cut = sum(counts * n for _, counts, n in bars)
    assert np.array_equal(cut, core.demand)


@settings(max_examples=60, deadline=None)
@given(problems())
def test_a_dive_cuts_every_piece_once(problem: Problem) -> None:
    """What a dive gives is a plan, at no less than the least cost."""
    exact = cheapest(problem)
    core = frame(problem).core
    assert exact is not None
    assert core is not None
    columns = Columns(core, never)
    columns.begin([])
    bars = dive(columns, exact // core.cost_unit, None, tries=2)
    if bars is not None:
        cut = sum(counts * n for _, counts, n in bars)
        assert np.array_equal(cut, core.demand)
        cost = sum(core.bins[k].cost * n for k, _, n in bars)
        assert cost * core.cost_unit >= exact


def test_waste_limit_by_hand() -> None:
    """Two bars of 100 for pieces of 170 in all leave 30, in one bar at most."""
    core = frame(Problem((Piece(85, 2),), (Stock(100, cost=1),))).core
    assert core is not None
    # Divided by 85 the pieces are 1 long, and a bar yields no more than 1.
    assert waste_limit(core, core.demand, [None], 2) == 0
    assert waste_limit(core, core.demand, [None], 1) == -1
    mixed = Problem((Piece(40, 1), Piece(25, 5)), (Stock(100, cost=1),))
    core = frame(mixed).core
    assert core is not None
    # In fives: 8 and five of 5 are 33 of two bars of 20, which leaves 7.
    assert core.capacity == 20
    assert waste_limit(core, core.demand, [None], 2) == 7


def test_waste_limit_of_counted_bars_by_hand() -> None:
    """Three bars of 100 and one of 60 hold 360: pieces of 320 in all leave 40."""
    stock = (Stock(100, cost=10, supply=3), Stock(60, cost=9, supply=1))
    core = frame(Problem((Piece(40, 5), Piece(20, 6)), stock)).core
    assert core is not None
    # In twenties: the bars hold 5 and 3, the pieces are 16 in all.
    assert [(bin_.capacity, bin_.supply) for bin_ in core.bins] == [(5, 3), (5, None), (3, 1)]
    assert waste_limit(core, core.demand, [3, None, 1], 39) == 2
    # By price alone, 2 for each, 7 may be spent beyond 32: 3.5 of a bar of 5.
    assert waste_limit(core, core.demand, [None, None, None], 39) == 3
    assert waste_limit(core, core.demand, [2, None, 1], 39) == -1


def test_no_plan_dearer_than_all_counted_bars_is_asked_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Twelve bars at 3 and one at 2 cost 38, and all of them are needed.

    Bars of 100 as 47 + 31 + 22, 29 + 71, and 53 + 17 + 30, one of 60 as 35 + 25.
    """
    asked = []

    def noted(columns: Columns, most: int, *more: Any, **named: Any) -> list[Bar] | None:
        asked.append(most)
        return dive(columns, most, *more, **named)

    monkeypatch.setattr(diving, "dive", noted)
    lengths = (47, 31, 22, 29, 71, 53, 17, 30)
    problem = Problem(
        (*(Piece(length, 4) for length in lengths), Piece(35, 1), Piece(25, 1)),
        (Stock(100, cost=3, supply=12), Stock(60, cost=2, supply=1)),
    )
    plan = solve(problem)
    assert (plan.cost, plan.status) == (38, Status.PROVEN)
    assert asked
    assert max(asked) <= 38
    short = replace(problem, pieces=(*problem.pieces, Piece(1, 1)))
    with pytest.raises(NoPlanError, match="supply is too small"):
        solve(short)


def test_list_is_empty_where_the_bound_says_no() -> None:
    """Below a proven bound no pattern is of use."""
    core = frame(Problem((Piece(60, 3),), (Stock(100, cost=1),))).core
    assert core is not None
    columns = Columns(core, never)
    columns.begin([])
    values = np.array([columns.scale])
    listed = list_within(columns, [values], 2, 100)
    assert listed is not None
    assert len(listed[1]) == 0
