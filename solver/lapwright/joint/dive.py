"""Diving: ways are given to runs one after the other, the rest is relaxed again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from lapwright.joint.neighbours import Neighbours
from lapwright.joint.ties import Tied

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from random import Random

    from lapwright.joint.bound import Relaxation
    from lapwright.joint.core import Flags
    from lapwright.joint.problem import Whole

ROUNDS = 1
"""Rounds of new columns after each way, besides the first."""
JUMP, MORE_ROUNDS = 0.2, 8
"""And so many, where the value goes up by so much. [dearest bars]"""
FAR = 1e18
SURELY = 1e-6
LIKELY = 0.5
"""What is used so often is given in a bold dive."""
DEAR = 100.0
"""What a broken rule counts where a way must be taken. [dearest bars]"""


def dive(
    relaxation: Relaxation,
    kept: Mapping[int, int],
    chance: Random | None,
    is_over: Callable[[], bool],
    *,
    is_bold: bool = False,
    within: Mapping[int, Flags] | None = None,
) -> tuple[float, list[int]] | None:
    """Give every run a way, following the linear program.

    Parameters
    ----------
    relaxation
        It has been solved; it is released again at the end.
    kept
        Ways that some runs have already, as rows of their class.
    chance
        Where to go if ways look alike; None goes straight.
    is_over
        Tells whether the time is up.
    within
        What ways are allowed from the beginning, of some groups.
    is_bold
        Whether to give many ways at once, which is faster and mostly dearer.

    Returns
    -------
    value : float
        Of the linear program with these ways. [dearest bars]
    ways : list of int
        For every run a row of its class.

    None if the time was up, or there was no way on.
    """
    core = relaxation.core
    near, tied = Neighbours(core, soft=relaxation.ties.soft), Tied(core, relaxation.ties)

    def give(run: int, way: int) -> None:
        found[run] = way
        near.give(run, way)
        tied.give(run, way)

    def worse(run: int, way: int) -> int:
        """Count the rules that a way breaks more than the best one of the run."""
        beyond = near.harm(run, way) - near.least(run)
        if run in tied.tree_of:
            more = tied.beyond(run)
            beyond += int(more[way] - more.min())
        return beyond

    found = [-1] * len(core.problem.runs)
    allowed: dict[int, Flags] = dict(within or {})
    waiting: list[list[int]] = [[] for _ in relaxation.groups]
    try:
        for run, group in sorted(relaxation.group_of.items()):
            if run in kept:
                give(run, kept[run])
                relaxation.fix(group, kept[run])
            else:
                waiting[group].append(run)
        last = FAR
        while any(waiting):
            relaxed = relaxation.relax(ROUNDS)
            if relaxed and relaxed[0] > last + JUMP and core.has_ends:
                # What is given leaves too little: there may be ways that it does not know.
                relaxed = relaxation.relax(MORE_ROUNDS)
            last = relaxed[0] if relaxed else last
            if is_over():
                return None
            shares = [
                (float(relaxed[1][column]), group, way, column)
                for column, group, way in (relaxation.ways if relaxed else ())
                if waiting[group] and relaxed and relaxed[1][column] > SURELY
            ]
            if not shares:
                # Every way that the program knows is barred: the cheapest that is free.
                group = next(number for number, runs in enumerate(waiting) if runs)
                run = waiting[group].pop()
                rank = relaxation.dearness[group] + DEAR * _all_blocked(near, tied, run)
                way = int(rank.argmin())
                give(run, way)
                relaxation.fix(group, way)
                continue
            enough = LIKELY if is_bold else 1 - SURELY
            picks = [share for share in shares if share[0] >= enough]
            picks.sort(key=lambda share: (-share[0], share[1], share[2]))
            if not picks and chance:
                picks = chance.choices(shares, [share[0] ** 2 for share in shares])
            elif not picks:
                picks = [max(shares, key=lambda share: (share[0], -share[1], -share[2]))]
            given = []
            for share, group, way, column in picks:
                for _ in range(max(1, int(share + 1 - enough))):
                    if not waiting[group]:
                        break
                    harm, run = min((worse(r, way), r) for r in waiting[group])
                    if harm > 0:
                        relaxation.bar(column)
                        break
                    give(run, way)
                    waiting[group].remove(run)
                    relaxation.fix(group, way)
                    given.append(run)
            others = {r for run in given for r in (*near.near(run), *tied.runs(run))}
            for group in sorted({relaxation.group_of[other] for other in others}):
                if waiting[group]:
                    free = _free(near, tied, waiting[group])
                    before = within.get(group) if within else None
                    if before is not None and (free & before).any():
                        free &= before
                    allowed[group] = free
            relaxation.restrict(allowed)
        relaxed = relaxation.relax(ROUNDS)
        return None if relaxed is None else (relaxed[0], found)
    finally:
        relaxation.restrict({})
        relaxation.release()


def _all_blocked(near: Neighbours, tied: Tied, run: int) -> Whole:
    """Give how many rules each way of a run breaks, beside those that no plan keeps."""
    blocked = near.all_blocked(run)
    return blocked + tied.beyond(run) if run in tied.tree_of else blocked


def _free(near: Neighbours, tied: Tied, runs: Sequence[int]) -> Flags:
    """Tell which ways break no more rules than need be for one of some like runs."""
    blocked = [_all_blocked(near, tied, run) for run in runs]
    return np.asarray(np.any([each == each.min() for each in blocked], axis=0))
