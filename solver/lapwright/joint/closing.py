"""Closing: bars and ways as an integer program, where few of them can be in a plan.

So many bars are enough if they may be parts.  What is left to the cost of these bars is a
gap; a bar or a way that costs more than it is worth, by more than the gap, is in no plan
with these bars.  Of bars without factory ends, and of ways, often few enough are left to
list them all, and an integer program over them finds a plan where dives and branching, a
run at a time, hardly do.  That it finds none proves nothing: it computes in floating point.

References
----------
R. Baldacci, N. Christofides, A. Mingozzi, "An exact algorithm for the vehicle routing
problem based on the set partitioning formulation with additional cuts", Mathematical
Programming 115 (2008), 351-385, doi 10.1007/s10107-007-0178-5, for columns within a gap.
"""

from __future__ import annotations

import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from random import Random
from typing import TYPE_CHECKING

import numpy as np

from lapwright.joint.worth import NEARLY

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from concurrent.futures import Future

    from lapwright.joint.bound import Relaxation
    from lapwright.joint.core import Flags
    from lapwright.joint.ties import Tied
    from lapwright.joint.worth import Values

MOST_PATTERNS, MOST_WAYS = 6000, 5000
"""If there are more they are not all listed."""
TURNS, CHANGES = 8, 30
"""So many choices of bars are looked at, and so many choices of ways for each."""
SAMPLES = 100
"""So many choices of ways by chance show windows that a solution would break."""
HALF = 0.5


@dataclass(frozen=True, eq=False, slots=True)
class Closing:
    """An integer program that is looked at beside other work."""

    bars: tuple[int, ...]
    """By stock, and then seams."""
    ways: Future[list[int] | None]
    """For every run a row of its class; None if none was found."""
    _near: Relaxation
    _beside: ThreadPoolExecutor

    def stop(self) -> None:
        """Look no further; it ends soon, and is not waited for."""
        self._near.stop()
        self._beside.shutdown(wait=False, cancel_futures=True)


def close(
    relaxation: Relaxation,
    tied: Tied,
    bars: Sequence[int],
    seconds: float | None,
    seed: int = 1,
) -> Closing:
    """Begin to look for a way for every run that so many bars are enough for.

    The program is solved by another thread; it shares nothing that changes.

    Parameters
    ----------
    relaxation
        Without factory ends; it looks at every run by itself, and the bars are enough for
        its last solution.
    tied
        What is left to runs that cannot keep apart.
    bars
        By stock, and then seams.
    seconds
        How long it may take; None is no limit.
    seed
        Of the chance by which the program is looked at.

    Returns
    -------
    Closing
        To be stopped when it is of no more use.
    """
    costs = zip(bars, relaxation.core.costs, strict=True)
    most = sum(many * cost for many, cost in costs) / relaxation.scale + NEARLY
    near, listed = relaxation.near(most, MOST_PATTERNS, MOST_WAYS)
    near.within(bars)
    beside = ThreadPoolExecutor(1)
    until = None if seconds is None else time.monotonic() + seconds
    ways = beside.submit(_closed, near, listed, tied, until, seed)
    return Closing(tuple(bars), ways, near, beside)


def _closed(
    near: Relaxation,
    listed: Mapping[int, Flags],
    tied: Tied,
    until: float | None,
    seed: int,
) -> list[int] | None:
    def left() -> float | None:
        return None if until is None else until - time.monotonic()

    chance = Random(seed)  # noqa: S311 - no secret
    rows = [np.flatnonzero(flags).tolist() for _, flags in sorted(listed.items())]
    for _ in range(SAMPLES if all(rows) else 0):
        if until is not None and time.monotonic() > until:
            return None
        near.tighten_for([(run, chance.choice(some), 1.0) for run, some in enumerate(rows)])
    parts: list[dict[int, Flags]] = [{}]
    for _ in range(TURNS):
        if not parts:
            break
        part = parts.pop()
        near.restrict({run: flags & part.get(run, flags) for run, flags in listed.items()})
        use = near.in_whole(left(), seed)
        for _ in range(CHANGES):
            if use is None:
                break
            ways = _chosen(near, use)
            if near.tighten_for([(run, way, 1.0) for run, way in enumerate(ways)]):
                # Other ways, from the bars that there are, may keep apart.
                use = near.in_whole(left(), seed, kept=use)
                if use is None:
                    parts.append(part)
                continue
            sides = tied.sides(part, {run: [(way, 1.0)] for run, way in enumerate(ways)})
            if not sides:
                return ways
            parts += sides
            break
    return None


def _chosen(relaxation: Relaxation, use: Values) -> list[int]:
    found = {group: way for column, group, way in relaxation.ways if use[column] > HALF}
    return [found[group] for group in range(len(relaxation.groups))]
