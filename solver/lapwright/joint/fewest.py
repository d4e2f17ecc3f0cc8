"""Fewest seams first, and the least cost of these."""

from __future__ import annotations

import time
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING

from lapwright.cutting import Status
from lapwright.errors import NoPlanError
from lapwright.joint.solve import solve_joint

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.cutting import Watcher
    from lapwright.joint.plan import JointPlan
    from lapwright.joint.problem import JointProblem

SHARES = (0.4, 0.7)
"""Of the time, when to end the search with no more seams than the runs need by themselves,
and that with a seam weighed."""


def solve_fewest_seams(
    problem: JointProblem,
    *,
    time_limit: float | None = 10.0,
    watcher: Watcher | None = None,
    start: Sequence[int] | None = None,
) -> JointPlan:
    """Find a plan as `solve_joint` does, with the fewest seams before the least cost.

    Runs have their fewest seams each, where that breaks no rule between two of them.
    Only else a seam is weighed, at more than all stock costs, and then the least cost with
    no more seams is looked for.

    Parameters
    ----------
    problem
        Its price and its limit of seams are not looked at.
    time_limit, watcher, start
        As for `solve_joint`.

    Returns
    -------
    JointPlan
        Its problem has a limit of seams.

    Raises
    ------
    NoPlanError, KeyboardInterrupt
        As for `solve_joint`.
    """
    began = time.monotonic()
    fewest = replace(problem, seam_price=0, most_seams=problem.least_seams)
    few: JointPlan | None = None
    # Where stock is counted, it may be enough only with more seams.
    with suppress(NoPlanError):
        few = solve_joint(
            fewest,
            time_limit=time_limit and SHARES[0] * time_limit,
            watcher=watcher,
            start=None if start is None else shortened(problem, start),
        )
    if few is not None and (
        few.broken <= problem.least_broken or few.status is Status.INTERRUPTED
    ):
        return few

    def left(share: float) -> float | None:
        spent = time.monotonic() - began
        return None if time_limit is None else max(0.0, share * time_limit - spent)

    weighed = solve_joint(
        replace(problem, seam_price=problem.dearest + 1, most_seams=None),
        time_limit=left(SHARES[1]),
        watcher=watcher,
        start=start if few is None else few.rows,
    )
    limited = replace(problem, seam_price=0, most_seams=weighed.seams)
    if weighed.status is Status.INTERRUPTED:
        # What was proven weighs seams, and says nothing of the stock alone.
        return replace(weighed, problem=limited, bound=0)
    return solve_joint(limited, time_limit=left(1.0), watcher=watcher, start=weighed.rows)


def shortened(problem: JointProblem, rows: Sequence[int]) -> list[int]:
    """Give ways with the fewest seams: these, or the first for runs that have more."""
    found = []
    for run, row in zip(problem.runs, rows, strict=True):
        ways = run.ways
        joints, least = ways.joints, ways.least_joints
        if joints[row] > least or ways.broken[row] > ways.broken.min():
            row = int(((joints == least) & (ways.broken == ways.broken.min())).argmax())
        found.append(row)
    return found
