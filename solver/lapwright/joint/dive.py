"""Diving: ways are given to runs one after the other, the rest is relaxed again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from lapwright.joint.neighbours import Neighbours

if TYPE_CHECKING:
    from collections.abc import Callable
    from random import Random

    from lapwright.joint.bound import Relaxation

ROUNDS = 2
"""Rounds of new columns after each way."""
SURELY = 1e-6


def dive(
    relaxation: Relaxation, chance: Random | None, is_over: Callable[[], bool]
) -> list[int] | None:
    """Give every run a way, following the linear program.

    Parameters
    ----------
    relaxation
        It has been solved; it is released again at the end.
    chance
        Where to go if ways look alike; None goes straight.

    Returns
    -------
    list of int or None
        For every run a row of its class; None if the time was up.
    """
    core = relaxation.core
    ties = Neighbours(core)
    found = [-1] * len(core.problem.runs)
    waiting = [
        [run for number in group for run in core.classes[number].members]
        for group in relaxation.groups
    ]
    try:
        while any(waiting):
            use = relaxation.relax(ROUNDS)
            if use is None or is_over():
                return None
            shares = [
                (float(use[column]), group, way, column)
                for column, group, way in relaxation.ways
                if waiting[group] and use[column] > SURELY
            ]
            if not shares:
                return None
            sure = [s for s in shares if s[0] >= 1 - SURELY]
            if chance is None or sure:
                picks = sure or [max(shares, key=lambda s: (s[0], -s[1], -s[2]))]
            else:
                picks = chance.choices(shares, [s[0] ** 2 for s in shares])
            for share, group, way, column in picks:
                for _ in range(max(1, int(share + SURELY))):
                    if not waiting[group]:
                        break
                    run = min(waiting[group], key=lambda r: (ties.blocked(r, way), r))
                    if ties.blocked(run, way) > ties.least(run):
                        relaxation.bar(column)
                        break
                    ties.give(run, way)
                    found[run] = way
                    waiting[group].remove(run)
                    relaxation.fix(group, way)
        return found
    finally:
        relaxation.release()
