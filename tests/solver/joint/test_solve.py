"""Seams and cuts decided together, against trying everything."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from lapwright.cutting import CutPlan, Ends, NoWatcher, Pattern, Piece, Status, Stock
from lapwright.errors import AuditError, NoPlanError
from lapwright.joint import solve
from lapwright.joint.core import core_of
from lapwright.joint.plan import JointPlan, audit, cutting_of, with_fewer_setups
from lapwright.joint.problem import NOWHERE, Apart, JointProblem, Run, Ways
from lapwright.joint.solve import solve_joint
from lapwright.joint.ties import least_ties
from tests.solver.joint.tiny import optimum, problems

SECONDS = 0.3
"""Far more than what such a problem takes that can be proven."""


def judge(problem: JointProblem) -> None:
    """Hold a plan to the optimum; if there is no plan, none may be given."""
    best, alone = optimum(problem)
    try:
        plan = solve_joint(problem, time_limit=SECONDS)
    except NoPlanError:
        # The search does not promise to find the one way out where stock is counted.
        assert best is None or any(s.supply is not None for s in problem.stock)
        return
    assert best is not None
    assert (plan.broken, plan.cost) >= best
    if plan.status is Status.PROVEN:
        assert plan.bound == plan.cost
        assert (plan.broken, plan.cost) == best
    ties = least_ties(core_of(problem))
    if plan.broken <= problem.least_broken + ties.least:
        assert plan.bound <= best[1]
    elif alone is not None:
        # Not known to break as few rules as can be: it is a bound of the runs' own ways.
        assert plan.bound <= alone


@settings(max_examples=60, derandomize=True)
@given(problems())
def test_what_is_proven_is_the_optimum(problem: JointProblem) -> None:
    """No bound is above the optimum, no plan below it; what is proven is the optimum."""
    judge(problem)


@settings(max_examples=40, derandomize=True)
@given(problems(limits=True))
def test_what_is_proven_within_limits(problem: JointProblem) -> None:
    """The same where there is only so much of a stock length, and maybe no plan at all."""
    judge(problem)


@settings(max_examples=40, derandomize=True)
@given(problems())
def test_of_many_choices_of_bars_some_are_looked_at(problem: JointProblem) -> None:
    """Without a time limit it ends, though of those that cost the same it takes only one."""
    best, _ = optimum(problem)
    if best is None:
        return
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(solve, "CHOICES", 1)
        patch.setattr(solve, "STEPS", 60)
        plan = solve_joint(problem, time_limit=None)
    assert (plan.broken, plan.cost) >= best
    if plan.status is Status.PROVEN:
        assert (plan.broken, plan.cost) == best


def two_ways(first: int) -> Ways:
    """Make a run of 12 in one piece, or in two."""
    table = np.array([[12, 0], [first, 12 - first]], dtype=np.int64)
    none = np.zeros((2, 1), dtype=np.int64)
    seams = np.array([[NOWHERE], [2 * first]], dtype=np.int64)
    return Ways(table, (Ends.NONE, Ends.NONE), none, seams, np.zeros(2, dtype=np.int64))


def three_runs() -> JointProblem:
    """Three runs of 12 and a piece of 3 from bars of 15."""
    runs = tuple(Run(0, number, two_ways(5)) for number in range(1, 4))
    return JointProblem(runs, (Piece(3, 1),), (Stock(15, 10),))


def always_two(*firsts: int) -> Ways:
    """Make a run of 12 in two pieces, the first of these lengths, from one stock length."""
    first = np.array(firsts, dtype=np.int64)
    none = np.zeros(len(firsts), dtype=np.int64)
    lengths = np.stack((first, 12 - first), axis=1)
    return Ways(lengths, (Ends.NONE, Ends.NONE), none[:, None], 2 * first[:, None], none)


def test_a_plan_that_was_tampered_with_is_refused() -> None:
    """Other pieces, too high a bound, and too many seams do not pass the recount."""
    runs = tuple(Run(0, number, always_two(5, 6)) for number in range(1, 4))
    problem = JointProblem(runs, (), (Stock(10, 1),))
    # Of three 5s and three 7s only the 5s go together; two 6s do not either.
    plan = solve_joint(problem, time_limit=SECONDS)
    assert (plan.seams, plan.cut.cost) == (3, 5)
    audit(plan)
    with pytest.raises(AuditError, match="the bound 6 is above the cost 5"):
        audit(replace(plan, bound=6))
    other = tuple(1 - row for row in plan.rows)
    with pytest.raises(AuditError, match="the pieces that are cut are not those of the ways"):
        audit(replace(plan, rows=other))
    with pytest.raises(AuditError, match="3 seams, only 2 allowed"):
        audit(replace(plan, problem=replace(plan.problem, most_seams=2)))
    short = replace(plan.cut, patterns=plan.cut.patterns[1:])
    with pytest.raises(AuditError):
        audit(replace(plan, cut=short))


class Stopping(NoWatcher):
    """Stops the search by hand as soon as there is a plan."""

    def hear(self, stage: str, seconds: float, best: int | None, bound: int) -> None:  # noqa: ARG002
        """Stop once there is a plan."""
        if best is not None:
            raise KeyboardInterrupt


def test_stopped_by_hand_keeps_the_best_plan() -> None:
    """The plan is there and recounted, and says that it was stopped."""
    plan = solve_joint(three_runs(), time_limit=None, watcher=Stopping(), start=(0, 0, 0))
    assert (plan.rows, plan.cut.cost) == ((0, 0, 0), 30)
    assert plan.status in (Status.INTERRUPTED, Status.PROVEN)
    split = solve_joint(three_runs(), time_limit=None, watcher=Stopping(), start=(1, 1, 1))
    assert split.rows == (1, 1, 1)
    assert split.status is Status.INTERRUPTED
    assert split.bound <= split.cost


class AtOnce(NoWatcher):
    """Stops the search by hand at the first word, before there is any plan."""

    def hear(self, stage: str, seconds: float, best: int | None, bound: int) -> None:  # noqa: ARG002
        """Stop."""
        raise KeyboardInterrupt


def test_stopped_by_hand_before_there_is_a_plan() -> None:
    """There is nothing to give then."""
    with pytest.raises(KeyboardInterrupt):
        solve_joint(three_runs(), time_limit=None, watcher=AtOnce())


def test_a_seam_that_weighs_more_than_all_stock_is_not_made() -> None:
    """Four runs of 12 take four bars of 18; with a seam three are enough."""
    ways = two_ways(6)
    runs = tuple(Run(number, 1, ways) for number in range(4))
    problem = JointProblem(runs, (), (Stock(18, 1),))
    # 12 and 6 twice, and then 12 alone.
    cheap = solve_joint(problem, time_limit=None)
    assert (cheap.cut.cost, cheap.status) == (3, Status.PROVEN)
    whole = solve_joint(replace(problem, seam_price=100), time_limit=None)
    assert (whole.seams, whole.cut.cost, whole.status) == (0, 4, Status.PROVEN)


def test_rules_that_two_runs_break_together_come_before_cost() -> None:
    """Two runs of two ways: the cheaper pair of ways would set both seams in one place."""
    ways = always_two(6, 5)
    ways = replace(ways, whole=np.zeros((2, 2), dtype=np.int64))
    runs = (Run(0, 1, ways), Run(0, 2, ways))
    stock = (Stock(6, 1), Stock(7, 100))
    problem = JointProblem(runs, (), stock, apart=Apart(stagger=1))
    plan = solve_joint(problem, time_limit=SECONDS)
    assert plan.broken == 0
    assert sorted(plan.rows) == [0, 1]
    # What neighbours ask for is not in the bound, so this is not called proven.
    assert (plan.bound, plan.cost) == (4, 103)
    assert plan.status is not Status.PROVEN


def test_ways_that_are_not_all_listed_prove_the_cutting_alone() -> None:
    """Three runs of 12 cut 6 and 6 take 3 bars of 12, and no cutting takes fewer."""
    runs = tuple(Run(0, number, always_two(6)) for number in (1, 2, 3))
    problem = JointProblem(runs, (), (Stock(12, 10),), is_listed=False)
    plan = solve_joint(problem, time_limit=SECONDS)
    assert (plan.cost, plan.bound, plan.status) == (30, plan.cut.cost, Status.PROVEN)


def test_fewer_setups_cost_no_more() -> None:
    """Twice two 5s of a bar and twice two 3s and two 2s become four times 5, 3 and 2."""
    first = np.array([[5, 5]], dtype=np.int64)
    none = np.zeros((1, 1), dtype=np.int64)
    ways = Ways(first, (Ends.NONE, Ends.NONE), none, 2 * first[:, :1], none[:, 0])
    runs = (Run(0, 1, ways), Run(0, 2, ways))
    problem = JointProblem(runs, (Piece(3, 4), Piece(2, 4)), (Stock(10, 1),))
    pieces = cutting_of(problem, (0, 0))
    place = {piece.length: at for at, piece in enumerate(pieces.pieces)}
    patterns = (
        Pattern(0, 2, ((place[5], 2),)),
        Pattern(0, 2, tuple(sorted(((place[3], 2), (place[2], 2))))),
    )
    cut = CutPlan(pieces, patterns, 4, Status.PROVEN)
    plan = JointPlan(problem, (0, 0), cut, 4, Status.PROVEN)
    audit(plan)
    fewer = with_fewer_setups(plan, None, 2.0)
    assert (plan.cut.setups, fewer.cut.setups) == (2, 1)
    assert (fewer.cut.cost, fewer.rows, fewer.status) == (4, plan.rows, Status.PROVEN)
    assert with_fewer_setups(fewer, None, 2.0) == fewer


def test_fewer_setups_lose_no_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the pieces cannot be cut anew in time, or it is stopped, the plan stays."""
    plan = solve_joint(three_runs(), time_limit=None)
    for error in (NoPlanError("too little stock"), KeyboardInterrupt()):

        def fail(*_: object, error: BaseException = error, **__: object) -> CutPlan:
            raise error

        monkeypatch.setattr("lapwright.joint.plan.solve", fail)
        assert with_fewer_setups(plan, 0.0, 1.0) is plan
