"""What the ways of runs keep each other from: stagger, and seams in line."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from lapwright.joint.problem import NOWHERE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.joint.core import Core
    from lapwright.joint.problem import Whole


class Neighbours:
    """Counts for every way of every run how many rules it would break.

    Parameters
    ----------
    core
        The problem.
    rows
        For every class the ways that are counted; all, if not given.
    """

    def __init__(self, core: Core, rows: Sequence[Whole] | None = None) -> None:
        self._near = _near(core)
        chosen = [
            c.seams if rows is None else c.seams[rows[number]]
            for number, c in enumerate(core.classes)
        ]
        self._seams = [chosen[number] for number in core.class_of]
        self._broken = [np.zeros(len(seams), dtype=np.int32) for seams in self._seams]

    def give(self, run: int, way: int, sign: int = 1) -> None:
        """Count, or with -1 count no more, what a run's way keeps others from."""
        seams = [seam for seam in self._seams[run][way].tolist() if seam > NOWHERE]
        for other, limits in self._near[run]:
            theirs, broken = self._seams[other], self._broken[other]
            for column in range(theirs.shape[1]):
                for seam in seams:
                    apart = np.abs(theirs[:, column] - seam)
                    for limit in limits:
                        broken += sign * (apart < limit)

    def blocked(self, run: int, way: int) -> int:
        """Give how many rules a way of a run would break."""
        return int(self._broken[run][way])

    def all_blocked(self, run: int) -> Whole:
        """Give how many rules each way of a run would break. (ways,)"""
        return self._broken[run]

    def least(self, run: int) -> int:
        """Give how many rules a run cannot but break."""
        return int(self._broken[run].min())


def _near(core: Core) -> list[list[tuple[int, tuple[int, ...]]]]:
    """List for every run the runs whose seams may be too near, and how near that is."""
    runs, apart = core.problem.runs, core.problem.apart
    places: dict[tuple[int, int], list[int]] = {}
    for index, run in enumerate(runs):
        places.setdefault((run.wall, run.course), []).append(index)
    found: list[list[tuple[int, tuple[int, ...]]]] = []
    for run in runs:
        near = []
        for courses in range(1, apart.reach + 1):
            limits = apart.limits(courses)
            for course in (run.course - courses, run.course + courses):
                for other in places.get((run.wall, course), ()) if limits else ():
                    near.append((other, limits))
        found.append(near)
    return found
