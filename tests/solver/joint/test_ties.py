"""What neighbouring runs keep each other from, against trying everything."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from lapwright.cutting import Ends, Status, Stock
from lapwright.cutting.covers import all_bars
from lapwright.joint.bound import Relaxation, cover_of
from lapwright.joint.core import core_of
from lapwright.joint.problem import Apart, JointProblem, Run, Ways
from lapwright.joint.solve import solve_joint
from lapwright.joint.ties import Tied, least_ties
from tests.solver.joint.tiny import (
    choices,
    optimum,
    problems,
    rules_broken,
    too_near_pairs,
)


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
        found = all_bars([cover_of(relaxation, duals)], (1, 0), (None, None), 100, 100)
        assert found is not None
        assert found[0][0] <= after
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
    for courses, ties, soft in (
        ((1, 2, 3, 4, 5), 4, {(0, 1), (1, 2), (2, 3), (3, 4)}),
        ((1, 2, 3, 6, 7), 3, {(0, 1), (1, 2), (3, 4)}),
        ((1, 2, 5), 1, {(0, 1)}),
    ):
        problem = stack((5, 6), courses, Apart(stagger=2))
        found = least_ties(core_of(problem))
        assert found.least == ties
        assert found.soft == soft | {(other, one) for one, other in soft}
        plan = solve_joint(problem, time_limit=None)
        # No tie holds where none can be kept: all are of 5 and 7.
        least = -(-3 * len(courses) // 2)
        assert (plan.broken, plan.cost, plan.status) == (ties, least, Status.PROVEN)


@pytest.mark.parametrize(("firsts", "broken"), [((4, 5, 6), 1), ((4, 5, 6, 7), 0)])
def test_three_runs_that_cannot_all_keep_apart_are_counted(
    firsts: tuple[int, ...], broken: int
) -> None:
    """Of 4, 5 and 6 only 4 and 6 are 2 apart, and then the third course is in line with one.

    With 7 as well there is 4, 7 and 5.
    """
    apart = Apart(stagger=2, in_line_courses=3, in_line_width=1)
    problem = stack(firsts, (1, 2, 3), apart)
    found = least_ties(core_of(problem))
    best, _ = optimum(problem)
    assert best is not None
    assert (found.least, best[0]) == (broken, broken)
    pairs = {(one, other) for one in range(3) for other in range(3) if one != other}
    assert found.soft == (pairs if broken else set())
    plan = solve_joint(problem, time_limit=None)
    assert (plan.broken, plan.cost, plan.status) == (*best[:2], Status.PROVEN)


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
    ties = least_ties(core)
    assert problem.least_broken + ties.least <= best[0]
    if problem.least_broken + ties.least < best[0]:
        return
    core = core_of(problem, ties.rows)
    relaxation = Relaxation(core, ties)
    relaxation.generate(lambda: False)
    for _ in range(5):
        if not relaxation.tighten():
            break
        _, duals = relaxation.generate(lambda: False)
        cover = cover_of(relaxation, duals)
        found = all_bars([cover], core.costs, core.supply, best[1] + 1, 10_000)
        assert found is not None
        assert len(found)


@st.composite
def close_runs(draw: st.DrawFn) -> JointProblem:
    """Draw runs on top of each other, of which most cannot keep apart."""
    problem = draw(problems())
    apart = Apart(draw(st.integers(2, 7)), draw(st.integers(1, 3)), draw(st.integers(0, 3)))
    runs = tuple(replace(run, wall=0) for run in problem.runs)
    return replace(problem, runs=runs, apart=apart, most_seams=None)


def fewest(problem: JointProblem, least: int) -> list[tuple[int, ...]]:
    """List the choices of ways that break so many rules and no more."""
    return [rows for rows in choices(problem) if rules_broken(problem, rows) == least]


@settings(max_examples=200, derandomize=True, deadline=None)
@given(close_runs())
def test_plans_that_break_the_fewest_rules_are_known(problem: JointProblem) -> None:
    """No way and no broken pair of theirs is ruled out; without circles, all else is."""
    ties = least_ties(core_of(problem))
    least = problem.least_broken + ties.least
    best = fewest(problem, least)
    for rows in best:
        assert all(flags[rows[run]] for run, flags in ties.rows.items())
        broken = {pair[:2] for pair in too_near_pairs(problem, rows)}
        assert broken <= ties.soft
    # Each course has one run: only rules across two courses close circles.
    if problem.apart.reach < 2:
        assert best
        for run, flags in ties.rows.items():
            assert set(np.flatnonzero(flags)) == {rows[run] for rows in best}
        pairs = {pair for rows in best for pair in too_near_pairs(problem, rows)}
        assert pairs == {pair for pair in ties.soft if pair[0] < pair[1]}


@settings(max_examples=200, derandomize=True, deadline=None)
@given(close_runs(), st.data())
def test_ways_that_are_left_to_tied_runs(problem: JointProblem, data: st.DataObject) -> None:
    """With some ways allowed or given, what plans with the fewest broken rules take is left."""
    ties = least_ties(core_of(problem))
    assume(ties.trees)
    core = core_of(problem, ties.rows)
    best = fewest(problem, problem.least_broken + ties.least)
    tied = Tied(core, ties)
    run = data.draw(st.sampled_from(sorted(tied.tree_of)))
    ways = len(core.classes[core.class_of[run]].rows)
    flags = np.array(data.draw(st.lists(st.booleans(), min_size=ways, max_size=ways)))
    left = [rows for rows in best if flags[core.way(run, rows[run])]]
    narrowed = tied.narrow({run: flags}, run)
    if narrowed is None:
        assert not left
        return
    for one, allowed in narrowed.items():
        used = {core.way(one, rows[one]) for rows in left}
        assert used <= set(np.flatnonzero(allowed))
        if problem.apart.reach < 2:
            assert used == set(np.flatnonzero(allowed))
    way = data.draw(st.integers(0, ways - 1))
    tied.give(run, way)
    left = [rows for rows in best if core.way(run, rows[run]) == way]
    for one in set(tied.runs(run)) - {run}:
        used = {core.way(one, rows[one]) for rows in left}
        free = set(np.flatnonzero(tied.beyond(one) == 0))
        assert used <= free
        if problem.apart.reach < 2:
            assert used == free
