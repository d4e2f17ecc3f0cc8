"""What neighbouring runs keep each other from, against trying everything."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from lapwright.cutting import Ends, Status, Stock
from lapwright.joint.bound import Relaxation, cover_of
from lapwright.joint.core import core_of
from lapwright.joint.covers import least_bars
from lapwright.joint.problem import Apart, JointProblem, Run, Ways
from lapwright.joint.solve import solve_joint
from lapwright.joint.ties import least_ties
from tests.solver.joint.tiny import optimum, problems


def stack(firsts: tuple[int, ...], courses: tuple[int, ...], apart: Apart) -> JointProblem:
    """Stack runs of 12, each of two pieces from bars of 10; a bar costs 1."""
    first = np.array(firsts, dtype=np.int64)
    none = np.zeros(len(firsts), dtype=np.int64)
    lengths = np.stack((first, 12 - first), axis=1)
    ways = Ways(lengths, (Ends.NONE, Ends.NONE), none[:, None], 2 * first[:, None], none)
    runs = tuple(Run(0, course, ways) for course in courses)
    return JointProblem(runs, (), (Stock(10, 1),), apart=apart)


@pytest.mark.parametrize(
    ("courses", "before", "after"),
    [((1, 2, 3, 4), 6.0, 7), ((1, 2, 3), 4.5, 5), ((1, 3, 5, 7), 6.0, 6)],
)
def test_a_stack_takes_its_ways_in_turn(
    courses: tuple[int, ...], before: float, after: int
) -> None:
    """Two runs of 5 and 7 take three bars, as two 5s share one; of 6 and 6 they take four.

    With a stagger of 1 every other run of a stack is of 6 and 6: four runs take 3 + 4
    bars, three runs 3 + 2; runs that are no neighbours all are of 5 and 7.
    """
    problem = stack((5, 6), courses, Apart(stagger=1))
    relaxation = Relaxation(core_of(problem))
    value, _ = relaxation.generate(lambda: False)
    assert value == pytest.approx(before)
    while relaxation.tighten():
        value, duals = relaxation.generate(lambda: False)
        found = least_bars([cover_of(relaxation, duals)], (1, 0), (None, None), 100)
        assert found is not None
        assert found[0] <= after
    assert np.ceil(value - 1e-6) == after
    plan = solve_joint(problem, time_limit=None)
    assert (plan.status, plan.cost, plan.bound, plan.broken) == (Status.PROVEN, after, after, 0)


def test_a_way_that_is_barred_stays_so_until_all_are_released() -> None:
    """Four runs of 5 and 7 take six bars, of 6 and 6 eight: whatever else is allowed."""
    relaxation = Relaxation(core_of(stack((5, 6), (1, 2, 3, 4), Apart())))

    def value() -> float:
        relaxed = relaxation.relax(0)
        assert relaxed is not None
        return relaxed[0]

    relaxation.generate(lambda: False)
    assert value() == pytest.approx(6)
    for column, _, way in list(relaxation.ways):
        if way == 0:
            relaxation.bar(column)
    relaxation.restrict({0: np.array([True, True])})
    assert value() == pytest.approx(8)
    relaxation.restrict({})
    relaxation.release()
    assert value() == pytest.approx(6)


def test_rules_that_cannot_be_kept_are_counted() -> None:
    """Seams at 5 or 6 are never 2 apart: of five runs in a stack four pairs break a rule.

    Three of them on top of each other, and two further up, break it three times.
    """
    for courses, ties, loose in (
        ((1, 2, 3, 4, 5), 4, range(5)),
        ((1, 2, 3, 6, 7), 3, range(5)),
        ((1, 2, 5), 1, range(2)),
    ):
        problem = stack((5, 6), courses, Apart(stagger=2))
        assert least_ties(core_of(problem)) == (ties, frozenset(loose))
        plan = solve_joint(problem, time_limit=None)
        # No tie holds where none can be kept: all are of 5 and 7.
        least = -(-3 * len(courses) // 2)
        assert (plan.broken, plan.cost, plan.status) == (ties, least, Status.PROVEN)


@settings(max_examples=150, derandomize=True, deadline=None)
@given(problems())
def test_windows_and_ties_rule_no_best_plan_out(problem: JointProblem) -> None:
    """The rules that must be broken are no more than those of the best plan.

    And where it breaks no more than these, no cover asks for more than what it costs.
    """
    problem = replace(problem, most_seams=None)
    best, _ = optimum(problem)
    assert best is not None
    core = core_of(problem)
    ties, loose = least_ties(core)
    assert problem.least_broken + ties <= best[0]
    if problem.least_broken + ties < best[0]:
        return
    relaxation = Relaxation(core, loose)
    relaxation.generate(lambda: False)
    for _ in range(5):
        if not relaxation.tighten():
            break
        _, duals = relaxation.generate(lambda: False)
        cover = cover_of(relaxation, duals)
        found = least_bars([cover], core.costs, core.supply, best[1] + 1)
        assert found is not None
        assert found[0] <= best[1]
        assert found[1]
