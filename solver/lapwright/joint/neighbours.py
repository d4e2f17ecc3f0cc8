"""What the ways of runs keep each other from: stagger, and seams in line."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from lapwright.joint.problem import NOWHERE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.joint.core import Core
    from lapwright.joint.problem import JointProblem, Whole


MOST_HELD = 4_000_000
"""So many counts are kept, for runs that have the same ways."""


class Neighbours:
    """Knows for every way of every run how many rules it would break.

    Parameters
    ----------
    core
        The problem.
    rows
        For every class the ways that are counted; all, if not given.
    soft
        Pairs of runs that are not counted.
    """

    def __init__(
        self,
        core: Core,
        rows: Sequence[Whole] | None = None,
        soft: frozenset[tuple[int, int]] = frozenset(),
    ) -> None:
        self._near = near_runs(core.problem)
        for run, near in enumerate(self._near if soft else ()):
            self._near[run] = [each for each in near if (run, each[0]) not in soft]
        chosen = [
            c.seams if rows is None else c.seams[rows[number]]
            for number, c in enumerate(core.classes)
        ]
        runs = len(core.class_of)
        self._seams = [chosen[number] for number in core.class_of]
        self._given: list[tuple[int, ...]] = [()] * runs
        # What a run's ways would break is worked out when it is asked for.
        self._known: list[Whole | None] = [None] * runs
        self._counted: dict[tuple[int, tuple[int, ...], tuple[int, ...]], Whole] = {}
        """What seams of a neighbour break, for runs that have the same ways."""
        self._held = 0
        self.broken = 0
        """How often two seams are too near each other."""

    def give(self, run: int, way: int) -> None:
        """Place the seams of a run."""
        self.broken += self.blocked(run, way)
        self._given[run] = seams_of(self._seams[run][way])
        for other, _ in self._near[run]:
            self._known[other] = None

    def take(self, run: int, way: int) -> None:
        """Take the seams of a run away."""
        self.broken -= self.blocked(run, way)
        self._given[run] = ()
        for other, _ in self._near[run]:
            self._known[other] = None

    def blocked(self, run: int, way: int) -> int:
        """Give how many rules a way of a run would break."""
        seams = seams_of(self._seams[run][way])
        return sum(
            -limit < seam - there < limit
            for other, limits in self._near[run]
            for there in self._given[other]
            for seam in seams
            for limit in limits
        )

    def all_blocked(self, run: int) -> Whole:
        """Give how many rules each way of a run would break. (ways,)"""
        known = self._known[run]
        if known is None:
            known = np.zeros(len(self._seams[run]), dtype=np.int64)
            for other, limits in self._near[run]:
                if self._given[other]:
                    known += self._too_near(run, self._given[other], limits)
            self._known[run] = known
        return known

    def _too_near(self, run: int, others: tuple[int, ...], limits: tuple[int, ...]) -> Whole:
        """Count for every way of a run the seams that are too near some others. (ways,)"""
        seams = self._seams[run]
        key = (id(seams), others, limits)
        found = self._counted.get(key)
        if found is None:
            if self._held > MOST_HELD:
                self._counted.clear()
                self._held = 0
            found = self._counted[key] = too_near(seams, others, limits)
            self._held += len(found)
        return found

    def near(self, run: int) -> list[int]:
        """List the runs whose seams may be too near those of a run."""
        return [other for other, _ in self._near[run]]

    def harm(self, run: int, way: int) -> int:
        """Give how many rules a way would break, or make runs without a way break."""
        found, seams = self.blocked(run, way), seams_of(self._seams[run][way])
        for other, limits in self._near[run]:
            if not self._given[other]:
                known = self.all_blocked(other)
                worse = known + self._too_near(other, seams, limits)
                found += int(worse.min() - known.min())
        return found

    def least(self, run: int) -> int:
        """Give how many rules a run cannot but break."""
        return int(self.all_blocked(run).min())


def too_near(seams: Whole, others: Sequence[int], limits: Sequence[int]) -> Whole:
    """Count for every way the seams that are too near some others. (ways,)"""
    found = np.zeros(len(seams), dtype=np.int64)
    for there in others:
        for column in range(seams.shape[1]):
            apart = np.abs(seams[:, column] - there)
            for limit in limits:
                found += apart < limit
    return found


def seams_of(seams: Whole) -> tuple[int, ...]:
    """List the seams of a way, where there are any."""
    return tuple(seam for seam in seams.tolist() if seam > NOWHERE)


def near_runs(problem: JointProblem) -> list[list[tuple[int, tuple[int, ...]]]]:
    """List for every run the runs whose seams may be too near, and how near that is."""
    runs, apart = problem.runs, problem.apart
    places: dict[tuple[int, int], list[int]] = {}
    for index, run in enumerate(runs):
        places.setdefault((run.wall, run.course), []).append(index)
    found: list[list[tuple[int, tuple[int, ...]]]] = []
    for run in runs:
        near = []
        for courses in range(1, apart.reach + 1):
            limits = apart.limits(courses)
            for course in (run.course - courses, run.course + courses):
                if limits:
                    near += [(other, limits) for other in places.get((run.wall, course), ())]
        found.append(near)
    return found
