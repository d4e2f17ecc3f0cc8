"""Dives that are mended, against trying everything."""

from __future__ import annotations

from fractions import Fraction
from random import Random
from typing import TYPE_CHECKING

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from lapwright.cutting import NoWatcher
from lapwright.cutting.covers import least_cost
from lapwright.joint import solve
from lapwright.joint.bound import Relaxation, cover_of
from lapwright.joint.core import core_of
from lapwright.joint.dive import dive
from lapwright.joint.ties import least_ties
from lapwright.joint.worth import NEARLY
from tests.solver.joint.tiny import optimum, problems

if TYPE_CHECKING:
    from lapwright.joint.problem import JointProblem


def relaxed(problem: JointProblem) -> Relaxation:
    """Give the linear program of single runs, solved."""
    core = core_of(problem)
    ties = least_ties(core)
    relaxation = Relaxation(core_of(problem, ties.rows), ties, alone=True)
    relaxation.generate(lambda: False)
    return relaxation


@settings(max_examples=150, derandomize=True, deadline=None)
@given(problems(), st.integers(0, 12), st.booleans(), st.integers(0, 3), st.integers(0, 9))
def test_a_mended_dive(
    problem: JointProblem, beyond: int, is_bold: bool, mends: int, seed: int
) -> None:
    """It gives every run a way that costs no more than it may, and leaves nothing behind."""
    best, _ = optimum(problem)
    assume(best is not None)
    assert best is not None
    relaxation = relaxed(problem)
    before, _ = relaxation.generate(lambda: False)
    enough = before + beyond / 10

    def found(*, finishes: bool) -> tuple[float, list[int]] | None:
        return dive(
            relaxation,
            {},
            Random(seed),  # noqa: S311 - no secret
            lambda: False,
            is_bold=is_bold,
            enough=enough,
            mends=mends,
            finishes=finishes,
        )

    made = found(finishes=False)
    if made is not None:
        value, ways = made
        assert value <= enough
        assert value >= before - NEARLY
        assert min(ways) >= 0
    assert found(finishes=True) is not None
    # What was given is all taken back, and what it was told on the way holds for all plans:
    # no cover is beyond the best of them.
    after, duals = relaxation.generate(lambda: False)
    assert after >= before - NEARLY
    assert not relaxation.barred
    if best[0] == problem.least_broken + relaxation.ties.least:
        core = relaxation.core
        cover = cover_of(relaxation, duals)
        assert least_cost(cover, core.costs, core.supply) <= best[1]


@settings(max_examples=60, derandomize=True, deadline=None)
@given(problems(), st.data())
def test_ways_are_given_and_taken_back(problem: JointProblem, data: st.DataObject) -> None:
    """Whatever windows were added meanwhile, a run that is without its way asks as before."""
    relaxation = relaxed(problem)
    rows = list(relaxation._low), list(relaxation._high)
    runs = len(problem.runs)
    chosen = data.draw(st.lists(st.integers(0, runs - 1), min_size=1, unique=True))
    ways = {
        run: data.draw(st.integers(0, len(relaxation.core.classes[run].rows) - 1))
        for run in chosen
    }
    for run, way in ways.items():
        relaxation.fix(relaxation.group_of[run], way)
    relaxation.tighten_for([(run, 0, 1.0) for run in range(runs)])
    for run, way in ways.items():
        relaxation.fix(relaxation.group_of[run], way, back=True)
    held = len(rows[0])
    assert list(relaxation._low)[:held] == rows[0]
    assert list(relaxation._high)[:held] == rows[1]
    windows = relaxation._high[relaxation._window_rows]
    assert windows.tolist() == [window.most for window in relaxation.windows]
    relaxation.release()
    assert list(relaxation._high)[:held] == rows[1]


@settings(max_examples=60, derandomize=True, deadline=None)
@given(problems())
def test_of_bars_of_one_cost_those_with_room_come_first(problem: JointProblem) -> None:
    """Room is near the linear program's bars, or what the tightest cover leaves."""
    best, _ = optimum(problem)
    assume(best is not None)
    search = solve._search_of(problem, None, NoWatcher())
    search._bound(Relaxation(search.core, search.ties))
    search.best_rank = (search.least_broken, search.bound + 2 * max(search.core.costs), 0)
    listed = search._choices()
    assume(listed is not None)
    assert listed is not None
    costs = np.array(search.core.costs)
    assert search.mix is not None
    if search.core.has_ends:
        far = (np.abs(listed.bars - search.mix) @ costs).tolist()
    else:
        far = [
            max(
                Fraction(cover.least - int(many @ np.array(cover.worth)), max(cover.worth[:-1]))
                for cover in search.covers
                if any(cover.worth[:-1])
            )
            for many in listed.bars
        ]
    ranks = list(zip((listed.bars @ costs).tolist(), far, strict=True))
    assert ranks == sorted(ranks)
