"""Mathematics Stack Exchange, question "Minimize the pipe usage": joints against stock.

Pipes come in 6 m.  Wanted are 24 of 4 m and 24 of 4.75 m; each is one piece, or two that a
joint holds together, on a grid of 0.25 m.  The answers give how many pipes are needed for
how many joints, and 146 pipes for 100 and 100.
"""

from __future__ import annotations

import numpy as np
import pytest

from lapwright.cutting import Ends, Status, Stock
from lapwright.joint.problem import NOWHERE, JointProblem, Run, Ways
from lapwright.joint.solve import solve_joint

# In steps of 0.25 m.
PIPE, SHORT, LONG = 24, 16, 19

FRONT = (
    (35, 25),
    (36, 20),
    (37, 17),
    (38, 14),
    (40, 8),
    (42, 6),
    (44, 4),
    (46, 2),
    (48, 0),
)
"""Pipes, and the fewest joints with which they are enough."""


def ways_to_make(length: int) -> Ways:
    """One piece, or two with one joint; which of the two comes first makes no difference."""
    rows = [(length, 0, NOWHERE)]
    rows += [(length - b, b, 2 * (length - b)) for b in range(1, length // 2 + 1)]
    table = np.array(rows, dtype=np.int64)
    none = np.zeros(len(rows), dtype=np.int64)
    return Ways(table[:, :2], (Ends.NONE, Ends.NONE), none[:, None], table[:, 2:], none)


def pipes(each: int, joints: int | None) -> JointProblem:
    """So many of both lengths with at most so many joints, for the fewest pipes."""
    kinds = [ways_to_make(SHORT)] * each + [ways_to_make(LONG)] * each
    # A pipe is not tied to any other: each is a wall of its own.
    runs = tuple(Run(number, 1, ways) for number, ways in enumerate(kinds))
    return JointProblem(runs, (), (Stock(PIPE, 1),), most_seams=joints)


@pytest.mark.parametrize(("stock", "joints"), FRONT)
def test_the_fewest_pipes_for_so_many_joints(stock: int, joints: int) -> None:
    """Every point of the front is found and proven."""
    plan = solve_joint(pipes(24, joints), time_limit=None)
    assert (plan.cut.cost, plan.bound, plan.status) == (stock, stock, Status.PROVEN)
    assert plan.seams <= joints


@pytest.mark.parametrize(("stock", "joints"), FRONT[:-1])
def test_one_joint_less_takes_another_pipe(stock: int, joints: int) -> None:
    """The joints are the fewest for their pipes: with one less they are proven too few."""
    assert solve_joint(pipes(24, joints - 1), time_limit=None).bound > stock


def test_a_hundred_of_each() -> None:
    """146 pipes, as the answers say; it is the sum of the lengths as well, rounded up."""
    plan = solve_joint(pipes(100, None), time_limit=None)
    assert (plan.cut.cost, plan.bound, plan.status) == (146, 146, Status.PROVEN)
