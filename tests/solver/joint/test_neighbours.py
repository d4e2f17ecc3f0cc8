"""What ways keep each other from, against counting it seam by seam."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.joint import neighbours
from lapwright.joint.core import core_of
from lapwright.joint.neighbours import Neighbours
from lapwright.joint.problem import NOWHERE, JointProblem
from tests.solver.joint.tiny import problems


def counted(problem: JointProblem, one: int, way: int, other: int, there: int) -> int:
    """Count the rules that two ways break together."""
    runs, apart = problem.runs, problem.apart
    if runs[one].wall != runs[other].wall:
        return 0
    courses = abs(runs[one].course - runs[other].course)
    if courses == 0:
        return 0
    within = 2 * apart.stagger if courses == 1 and apart.stagger else 0
    if not within and courses < apart.in_line_courses:
        within = 2 * apart.in_line_width
    core = core_of(problem)
    seams = [
        core.classes[core.class_of[r]].seams[w].tolist()
        for r, w in ((one, way), (other, there))
    ]
    return sum(abs(a - b) < within for a, b in product(*seams) if a > NOWHERE and b > NOWHERE)


@pytest.mark.parametrize("most", [0, neighbours.MOST_HELD])
def test_ways_that_break_rules(most: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """They are counted rightly while ways are given and taken back, however much is kept."""
    monkeypatch.setattr(neighbours, "MOST_HELD", most)

    @settings(max_examples=60, derandomize=True, deadline=None)
    @given(problems(), st.integers(0, 99))
    def check(problem: JointProblem, seed: int) -> None:
        core, chance = core_of(problem), Random(seed)  # noqa: S311 - no secret
        near = Neighbours(core)
        ways = [len(core.classes[number].rows) for number in core.class_of]
        given_ways: dict[int, int] = {}
        for _ in range(12):
            run = chance.randrange(len(ways))
            if run in given_ways:
                near.take(run, given_ways.pop(run))
            else:
                given_ways[run] = chance.randrange(ways[run])
                near.give(run, given_ways[run])

            def broken(one: int, way: int) -> int:
                return sum(
                    counted(problem, one, way, other, there)
                    for other, there in given_ways.items()
                    if other != one
                )

            assert 2 * near.broken == sum(broken(*each) for each in given_ways.items())
            for one, many in enumerate(ways):
                wanted = [broken(one, way) for way in range(many)]
                assert near.all_blocked(one).tolist() == wanted
                assert near.least(one) == min(wanted)
            free = [one for one in range(len(ways)) if one not in given_ways]
            for one in free:
                for way in range(ways[one]):
                    worse = sum(
                        min(
                            broken(o, w) + counted(problem, o, w, one, way)
                            for w in range(ways[o])
                        )
                        - min(broken(o, w) for w in range(ways[o]))
                        for o in free
                        if o != one
                    )
                    assert near.harm(one, way) == broken(one, way) + worse

    check()
