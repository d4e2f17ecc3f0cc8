"""Forum thread "Minimum Flooring Boards and Wastage", lemonfool.co.uk, 12 February 2018.

A floor of 16 rows of 4000 mm from boards of 1285 mm: no piece below 300 mm, joints of
neighbouring rows at least 300 mm apart.  A row is two whole boards between two end pieces,
on a grid of 5 mm.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from lapwright.cutting import Ends, Status, Stock
from lapwright.joint.problem import Apart, JointProblem, Run, Ways
from lapwright.joint.solve import solve_joint

ROW, ROWS, BOARD, LEAST, STEP = 4000, 16, 1285, 300, 5


def test_fifty_one_boards() -> None:
    """By area 50 boards would do; 51 are needed, and found with all rules kept.

    That 50 are too few needs no solver.  The ends of a row are 1430 mm together, so with 18
    cut boards 250 mm would be left of all.  A piece over 985 mm leaves less than 300 mm of
    its board, too short for another, and so 155 mm or more: there is one at most.  But for
    its fellow in the row all others are 445 mm or longer, and three of these are longer than
    a board; so at least three boards hold but one piece of at most 985 mm, and leave 300 mm
    each.
    """
    ends = 2 * BOARD
    left = np.arange(LEAST, ROW - ends - LEAST + 1, STEP, dtype=np.int64)
    joints = left[:, None] + BOARD * np.arange(3, dtype=np.int64)
    none = np.zeros(len(left), dtype=np.int64)
    ways = Ways(
        np.stack((left, ROW - ends - left), axis=1),
        (Ends.NONE, Ends.NONE),
        none[:, None] + 2,
        2 * joints,
        none,
    )
    runs = tuple(Run(0, number, ways) for number in range(1, ROWS + 1))
    problem = JointProblem(runs, (), (Stock(BOARD, 1),), apart=Apart(stagger=LEAST))
    plan = solve_joint(problem, time_limit=None)
    assert (plan.cut.cost, plan.bound, plan.status) == (51, 51, Status.PROVEN)
    for one, next_one in pairwise(plan.rows):
        apart = np.abs(joints[one][:, None] - joints[next_one][None, :])
        assert apart.min() >= LEAST
    pieces = [int(n) for row in plan.rows for n in ways.lengths[row]]
    cut = plan.cut.problem
    bars = [
        [cut.pieces[kind].length for kind, many in pattern.pieces for _ in range(many)]
        for pattern in plan.cut.patterns
        for _ in range(pattern.count)
    ]
    assert len(bars) == 51
    assert all(sum(bar) <= BOARD for bar in bars)
    whole = [BOARD] * (2 * ROWS)
    assert sorted(n for bar in bars for n in bar) == sorted([*pieces, *whole])
    assert min(pieces) >= LEAST
