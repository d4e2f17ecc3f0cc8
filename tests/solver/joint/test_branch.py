"""Branching over single runs, against trying everything."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from lapwright.cutting.covers import Cover, all_bars, least_cost
from lapwright.joint.bound import Relaxation, cover_of
from lapwright.joint.branch import Telling, search
from lapwright.joint.core import core_of
from lapwright.joint.plan import broken_rules
from lapwright.joint.ties import least_ties
from tests.solver.joint.tiny import optimum, problems

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.joint.problem import JointProblem


@settings(max_examples=200, derandomize=True)
@given(st.data())
def test_all_bars(data: st.DataObject) -> None:
    """All numbers of bars that keep the covers are listed, and no others, cheapest first."""
    kinds = data.draw(st.integers(1, 3))

    def row(least: int, most: int) -> tuple[int, ...]:
        return tuple(data.draw(st.integers(least, most)) for _ in range(kinds))

    costs = row(1, 6)
    supply = tuple(data.draw(st.none() | st.integers(0, 4)) for _ in range(kinds))
    left_over = data.draw(st.integers(0, 3))
    costs, supply, kinds = (*costs, 0), (*supply, left_over), kinds + 1
    covers = [Cover(row(0, 5), data.draw(st.integers(0, 12))) for _ in range(2)]
    upper = data.draw(st.integers(1, 25))
    most = [upper if there is None else there for there in supply]
    most[-1] = 0

    def worth(weights: tuple[int, ...], many: tuple[int, ...]) -> int:
        return sum(w * n for w, n in zip(weights, many, strict=True))

    # What costs nothing is all used.
    wanted = {
        (*many[:-1], left_over)
        for many in product(*(range(n + 1) for n in most))
        if worth(costs, many) < upper
        and all(worth(cover.worth, (*many[:-1], left_over)) >= cover.least for cover in covers)
    }
    found = all_bars(covers, costs, supply, upper, len(wanted))
    assert found is not None
    listed = [tuple(many) for many in found.tolist()]
    assert sorted(listed) == sorted(wanted)
    assert [worth(costs, many) for many in listed] == sorted(
        worth(costs, many) for many in wanted
    )
    if wanted:
        assert all_bars(covers, costs, supply, upper, len(wanted) - 1) is None


@settings(max_examples=100, derandomize=True, deadline=None)
@given(problems(), st.none() | st.integers(0, 2))
def test_no_best_plan_is_branched_away(problem: JointProblem, left_over: int | None) -> None:
    """What branching proves of all plans is no more than what the best of them costs.

    Ways that it finds keep the rules of all runs that can keep them, and cost less than
    what is of no interest.
    """
    problem = replace(problem, most_seams=None)
    if left_over is not None:
        some = replace(problem.stock[0], cost=0, supply=left_over)
        problem = replace(problem, stock=(some, *problem.stock[1:]))
    best, _ = optimum(problem)
    assume(best is not None)
    assert best is not None
    core = core_of(problem)
    ties = least_ties(core)
    assume(problem.least_broken + ties.least == best[0])
    core = core_of(problem, ties.rows)
    relaxation = Relaxation(core, ties, alone=True)
    _, duals = relaxation.generate(lambda: False)
    covers = [cover_of(relaxation, duals)]
    upper = best[1] + 2 * max(core.costs)
    assume(max(core.costs) > 0)
    bars = all_bars(covers, core.costs, core.supply, upper, 20_000)
    assume(bars is not None)
    assert bars is not None
    taken = []
    learnt: list[Cover] = []

    def learn(cover: Cover) -> list[Cover]:
        # Others may know more, and what they know is taken: here all of it at once.
        learnt.append(cover)
        return learnt

    def take(ways: Sequence[int], many: Sequence[int]) -> int:
        rows = [core.row(run, way) for run, way in enumerate(ways)]
        assert broken_rules(problem, rows) >= best[0]
        if broken_rules(problem, rows) == best[0]:
            taken.append(many)
        return upper

    def look(least_yet: int) -> int:
        return search(
            relaxation,
            bars,
            upper,
            take,
            lambda: least_yet,
            lambda: False,
            learn=learn,
            left=lambda: None,
            waits=True,
        )

    # Where a plan costs less than all bars listed there is nothing to look for.
    assert look(0) == 0
    assert not taken
    found = look(upper)
    assert found <= best[1]
    # What is learnt holds for all plans, for the best too.
    assert all(least_cost(cover, core.costs, core.supply) <= best[1] for cover in learnt)
    costs = np.array(core.costs)
    assert all(int(np.array(many) @ costs) < upper for many in taken)
    # Bars that are enough in parts cost no more than the first ways that were found.
    if taken:
        assert found <= min(int(np.array(many) @ costs) for many in taken)


def test_windows_that_tell_nothing() -> None:
    """Four turns in a row that bring less than a five-hundredth of what lacks are enough."""
    telling = Telling(1.0)
    turns = [0.5, 0.5, 0.5, 0.5009, 0.6, 0.6, 0.6007, 0.6, 0.6]
    assert [telling.is_over(value) for value in turns] == [False] * 8 + [True]
