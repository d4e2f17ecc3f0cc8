"""Seeking: dives for numbers of bars that may be enough, while another search rules out."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import numpy as np

from lapwright.errors import SolverError
from lapwright.joint.branch import not_ruled_out
from lapwright.joint.dive import dive
from lapwright.joint.worth import NEARLY

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from random import Random

    from lapwright.cutting.covers import Cover
    from lapwright.joint.bound import Relaxation
    from lapwright.joint.problem import Whole
    from lapwright.joint.worth import Values

MENDS = 16
"""So often a dive that leaves too little is mended."""
AMONG = 64
"""So many of the cheapest numbers of bars are looked at, or fewer."""
AIM, LEAST_AIM = 0.5, 0.2
"""How far up from the least cost to that of the best plan dives aim at first, and later."""
HIGHER, LOWER = 1.4, 0.8
"""How that changes where they are in vain, and where they are not."""


def seek(
    relaxation: Relaxation,
    bars_left: Callable[[], Whole | None],
    room: Callable[[Whole], Values],
    take: Callable[[Sequence[int], Sequence[int]], int],
    dearer: Callable[[Sequence[int], float], None],
    learn: Callable[[Cover], Sequence[Cover]],
    is_over: Callable[[], bool],
    chance: Random,
) -> None:
    """Dive for the numbers of bars that leave most room, until the time is up.

    Parameters
    ----------
    relaxation
        It looks at every run by itself, and asks for least cost.
    bars_left
        Gives numbers of bars and of seams that are not ruled out and cost less than the
        best plan, the cheapest first; None if there are too many. (choices, stock + 1)
    room
        Gives how much room numbers of bars leave, as far as it is known. (choices,)
    take
        Is given a way for every run, and numbers of bars that are enough if bars may be
        parts.
    dearer
        Is given ways that those bars are not enough for, and what they cost at least.
        [dearest bars]
    learn
        Is given a cover that holds for all plans.
    is_over
        Tells whether the time is up, or nothing is left to find.
    chance
        Where dives go.
    """
    costs = np.array(relaxation.core.costs, dtype=np.int64)
    failed: Counter[tuple[int, ...]] = Counter()
    aim = AIM
    while not is_over():
        bars = bars_left()
        if bars is None or not len(bars):
            break
        some = bars[:AMONG]
        spent = some @ costs
        some = some[spent <= spent[0] + aim * (spent[-1] - spent[0])]
        often = np.array([failed[tuple(one)] for one in some.tolist()])
        target = some[np.lexsort((-room(some), often))[0]]
        relaxation.restrict({})
        try:
            left = not_ruled_out(relaxation, target[None, :], is_over, learn)
        except SolverError:  # then nothing is known of these bars
            left = target[None, :0]
        if not len(left) or is_over():
            failed[tuple(target.tolist())] += 1
            aim = min(1.0, HIGHER * aim)
            continue
        enough = int(target @ costs) / relaxation.scale + NEARLY
        found = dive(
            relaxation,
            {},
            chance,
            is_over,
            is_bold=failed[tuple(target.tolist())] % 2 == 0,
            enough=enough,
            mends=MENDS,
            finishes=True,
        )
        failed[tuple(target.tolist())] += 1
        is_taken = False
        if found is not None:
            value, ways = found
            if value <= enough:
                is_taken = take(ways, target.tolist()) <= int(target @ costs)
            else:
                dearer(ways, value)
        aim = max(LEAST_AIM, LOWER * aim) if is_taken else min(1.0, HIGHER * aim)
    relaxation.restrict({})
    relaxation.aim(None)
