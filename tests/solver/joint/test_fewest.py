"""Fewest seams first: against the published front of joints and pipes, and by reckoning."""

from __future__ import annotations

import numpy as np

from lapwright.cutting import Ends, NoWatcher, Status, Stock
from lapwright.joint.fewest import solve_fewest_seams
from lapwright.joint.problem import NOWHERE, Apart, JointProblem, Run, Ways
from lapwright.joint.solve import solve_joint


def in_one_or_two(length: int, *seams: int, broken: int = 0) -> Ways:
    """Make a run in one piece, or in two that meet at one of some places."""
    lengths = [(length, 0), *((seam, length - seam) for seam in seams)]
    places = [(NOWHERE,), *((2 * seam,) for seam in seams)]
    rules = [broken] + [0] * len(seams)
    return Ways(
        np.array(lengths, dtype=np.int64),
        (Ends.NONE, Ends.NONE),
        np.zeros((len(lengths), 1), dtype=np.int64),
        np.array(places, dtype=np.int64),
        np.array(rules, dtype=np.int64),
    )


def test_no_joint_at_all() -> None:
    """Mathematics Stack Exchange, "Minimize the pipe usage": 48 pipes go without a joint.

    24 pipes of 4 m and 24 of 4.75 m from 6 m, in steps of 0.25 m.
    """
    kinds = [in_one_or_two(16, 8, 10, 12)] * 24 + [in_one_or_two(19, 10, 12, 14)] * 24
    runs = tuple(Run(number, 1, ways) for number, ways in enumerate(kinds))
    plan = solve_fewest_seams(JointProblem(runs, (), (Stock(24, 1),)), time_limit=None)
    assert (plan.seams, plan.cut.cost, plan.bound) == (0, 48, 48)
    assert plan.status is Status.PROVEN


def test_the_first_plan_is_shortened() -> None:
    """A first plan with seams is no hindrance: runs without one are begun with."""
    runs = tuple(Run(number, 1, in_one_or_two(12, 6)) for number in range(4))
    problem = JointProblem(runs, (), (Stock(18, 1),))
    assert solve_joint(problem, time_limit=None).cut.cost == 3
    plan = solve_fewest_seams(problem, time_limit=None, start=(1, 1, 1, 1))
    assert (plan.rows, plan.cut.cost, plan.status) == ((0, 0, 0, 0), 4, Status.PROVEN)


def test_a_seam_more_where_two_runs_would_break_a_rule() -> None:
    """Two runs with one seam each in one place only; a second seam keeps them apart."""

    def ways() -> Ways:
        # 20 as 10 + 10, or as 6 + 8 + 6.
        return Ways(
            np.array([[10, 10, 0], [6, 8, 6]], dtype=np.int64),
            (Ends.NONE,) * 3,
            np.zeros((2, 1), dtype=np.int64),
            np.array([[20, NOWHERE], [12, 28]], dtype=np.int64),
            np.zeros(2, dtype=np.int64),
        )

    runs = (Run(0, 1, ways()), Run(0, 2, ways()))
    problem = JointProblem(runs, (), (Stock(10, 1),), apart=Apart(stagger=3))
    plan = solve_fewest_seams(problem, time_limit=1.0)
    assert (plan.broken, plan.seams) == (0, 3)
    # By themselves the runs need one seam each; the bound is of the stock alone.
    assert problem.least_seams == 2
    assert plan.bound <= plan.cut.cost
    assert plan.cut.cost == 2 + 3


def test_what_a_rule_needs_is_no_seam_too_many() -> None:
    """Where one piece breaks a rule by itself, the seam is of the fewest."""
    run = Run(0, 1, in_one_or_two(12, 6, broken=1))
    problem = JointProblem((run,), (), (Stock(12, 1),))
    plan = solve_fewest_seams(problem, time_limit=None)
    assert (problem.least_seams, problem.least_broken) == (1, 0)
    assert (plan.seams, plan.broken, plan.status) == (1, 0, Status.PROVEN)


class Stopping(NoWatcher):
    """Stops the search by hand as soon as there is a plan."""

    def hear(self, stage: str, seconds: float, best: int | None, bound: int) -> None:  # noqa: ARG002
        """Stop once there is a plan."""
        if best is not None:
            raise KeyboardInterrupt


def test_stopped_by_hand() -> None:
    """The plan there is comes back, and no bound that weighs seams."""
    runs = tuple(Run(number, 1, in_one_or_two(12, 6)) for number in range(4))
    problem = JointProblem(runs, (), (Stock(18, 1),))
    plan = solve_fewest_seams(problem, time_limit=None, watcher=Stopping(), start=(1,) * 4)
    assert plan.seams == 0
    assert plan.bound <= plan.cut.cost
    assert plan.status in (Status.INTERRUPTED, Status.PROVEN)
