"""What all runs may ask for, against all choices of ways."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import product
from random import Random
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from lapwright.cutting import Ends
from lapwright.cutting.covers import all_bars
from lapwright.joint.asked import Asked
from lapwright.joint.bound import Relaxation, cover_of
from lapwright.joint.core import core_of, each_alone
from tests.solver.joint.tiny import NEVER, cutter, problems

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.joint.core import Core
    from lapwright.joint.problem import JointProblem


def pieces_of(problem: JointProblem, core: Core, ways: Sequence[int]) -> list[int]:
    """Count the pieces without factory ends that ways and fixed pieces ask for, by kind."""
    lengths = Counter[int]()
    for piece in problem.fixed:
        lengths[piece.length] += piece.count
    for run, way in enumerate(ways):
        each = problem.runs[run].ways
        for length, end in zip(
            each.lengths[core.row(run, way)].tolist(), each.ends, strict=True
        ):
            lengths[length] += end is Ends.NONE and length > 0
    return [lengths[length] for length in core.lengths]


@settings(max_examples=100, derandomize=True, deadline=None)
@given(problems(), st.integers(0, 99))
def test_most_of_all_choices(problem: JointProblem, seed: int) -> None:
    """Some choice of ways asks for as many of a kind, and none for more."""
    core, chance = each_alone(core_of(problem)), Random(seed)  # noqa: S311 - no secret
    runs = range(len(problem.runs))
    many = [len(c.rows) for c in core.classes]
    asked = Asked(core, [(run,) for run in runs])
    free = [list(range(each)) for each in many]
    held: dict[int, int] = {}
    for _ in range(10):
        run = chance.choice(runs)
        if run in held:
            asked.give(run, held.pop(run), -1)
        elif chance.random() < 0.5:
            held[run] = chance.randrange(many[run])
            asked.give(run, held[run], 1)
        else:
            free[run] = sorted(chance.sample(range(many[run]), chance.randint(1, many[run])))
            asked.allow(run, np.isin(np.arange(many[run]), free[run]))
        choices = product(*([held[r]] if r in held else free[r] for r in runs))
        counts = np.array([pieces_of(problem, core, ways) for ways in choices])
        assert asked.most.tolist() == counts.max(axis=0).tolist()
    asked.release()
    for run in runs:
        asked.allow(run, None)
    choices = product(*(range(each) for each in many))
    counts = np.array([pieces_of(problem, core, ways) for ways in choices])
    assert asked.most.tolist() == counts.max(axis=0).tolist()


@settings(max_examples=100, derandomize=True, deadline=None)
@given(problems(), st.integers(0, 99))
def test_bars_of_single_ways(problem: JointProblem, seed: int) -> None:
    """Where every run has one way left, bars from before yield no more than is asked for.

    The bound is as good as without them, and no better than the least cost of these ways.
    """
    problem = replace(problem, most_seams=None)
    core = core_of(problem)
    assume(not core.has_ends)
    seasoned, fresh = (Relaxation(core, alone=True) for _ in range(2))
    seasoned.generate(never)
    chance = Random(seed)  # noqa: S311 - no secret
    ways = [chance.randrange(len(c.rows)) for c in seasoned.core.classes]
    part = {
        seasoned.group_of[run]: np.arange(len(seasoned.core.classes[run].rows)) == way
        for run, way in enumerate(ways)
    }
    values, covers = [], []
    for relaxation in (seasoned, fresh):
        relaxation.restrict(part)
        most = relaxation.yielding.most
        wanted = np.maximum(pieces_of(problem, relaxation.core, ways), 1)
        assert (most == np.minimum(relaxation.core.most, wanted)).all()
        value, duals = relaxation.generate(never)
        values.append(value)
        covers.append(cover_of(relaxation, duals))
    assert values[0] == pytest.approx(values[1], abs=1e-5)
    rows = [seasoned.core.row(run, way) for run, way in enumerate(ways)]
    cost = cutter(problem)(rows)
    assume(cost < NEVER)
    left = all_bars(covers, core.costs, core.supply, cost + 1, 1 << 20)
    assert left is None or len(left)


def never() -> bool:
    """Tell that the time is not up."""
    return False
