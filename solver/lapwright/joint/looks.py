"""How seams look, where that costs nothing: the same pieces are cut, hung in other places.

The trade warns of stair steps without a measure.  Ours (common practice, no source): seams
of three courses on top of each other that step aside the same way twice, by less than twice
the stagger each time, and by amounts that differ by less than half of what counts as in line
(butted: by no whole stud bay).
That seams are better out of sight is common practice, no source.

References
----------
M. Guertin, "Vinyl Siding Done Right", Fine Homebuilding: no uniform stair-step patterns.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting import Ends
from lapwright.joint.problem import NOWHERE

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from lapwright.joint.problem import Apart, JointProblem, Ways

    Pieces = bytes
    """All that is cut for a way: two ways of the same pieces cost the same."""

RULE, STAIR, SIGHT = 1 << 40, 1 << 20, 1
"""What a broken rule, a stair step and a seam in sight weigh: never one for the other."""
TRIALS = 120
"""How often a place is tried, for each run."""


@dataclass(frozen=True, slots=True)
class View:
    """From where a wall is looked at."""

    place: int
    """Along the wall. [unit of the lengths]"""
    near: int
    """A seam nearer than this catches the eye. [unit of the lengths]"""
    courses: frozenset[int]
    """Those at the height of the eyes."""


def stair_steps(seams: Mapping[int, Sequence[int]], apart: Apart) -> list[int]:
    """List the stair steps of one wall, each by its lowest course.

    Parameters
    ----------
    seams
        Twice the middles of the seams, by course. [unit of the lengths]
    apart
        Rules of the wall.
    """
    return [
        course
        for course in sorted(seams)
        for low in seams[course]
        for middle in seams.get(course + 1, ())
        for high in seams.get(course + 2, ())
        if _is_stair(low, middle, high, apart)
    ]


def _is_stair(low: int, middle: int, high: int, apart: Apart) -> bool:
    first, second = middle - low, high - middle  # twice the steps, as places are twice
    return (
        first * second > 0
        and abs(first - second) < apart.in_line_width
        and max(abs(first), abs(second)) < 4 * apart.stagger
    )


def arrange(
    problem: JointProblem, rows: Sequence[int], views: Mapping[int, View]
) -> tuple[int, ...]:
    """Hang the same pieces so that they look better: fewer stair steps, seams out of sight.

    Runs exchange their pieces, or a run's own pieces change places, as long as that breaks
    no more rules.  What is cut stays the same, and with it cost, seams and all proof.

    Parameters
    ----------
    problem
        Runs and rules.
    rows
        A way for every run, as a row of its ways.
    views
        From where walls are looked at, by the number of the wall.

    Returns
    -------
    tuple of int
        A way for every run: first no more rules broken, then fewest stair steps, then
        fewest seams in sight, as far as single exchanges lead.
    """
    scene = _Scene(problem, rows, views)
    while scene.improve():
        pass
    return tuple(scene.rows)


class _Scene:
    """All walls with their seams, and what is wrong with each."""

    def __init__(
        self, problem: JointProblem, rows: Sequence[int], views: Mapping[int, View]
    ) -> None:
        self.problem, self.apart, self.views = problem, problem.apart, views
        self.rows = list(rows)
        self.left = TRIALS * len(rows)
        """Trials that are left."""
        known = dict.fromkeys(run.ways for run in problem.runs)
        wide = max((ways.lengths.shape[1] for ways in known), default=0)
        self._made = {ways: _pieces(ways, wide) for ways in known}
        self._alike: dict[Ways, dict[Pieces, list[int]]] = {}
        self._seams: dict[tuple[int, int], list[int]] = {}
        reach = range(1, self.apart.reach + 1)
        self._limits = [
            (sign * courses, limit)
            for courses in reach
            for limit in self.apart.limits(courses)
            for sign in (-1, 1)
        ]
        for run in range(len(rows)):
            self._give(run, self.rows[run])

    def improve(self) -> bool:
        """Go through all runs once; tell whether anything got better."""
        is_better = False
        for run in range(len(self.rows)):
            if self.left <= 0:
                return False
            self._take(run, self.rows[run])
            now = self._blame(run, self.rows[run])
            if now - self._least(run):
                row, blame = self._best(run, self._pieces_of(run))
                if blame < now:
                    self.rows[run], now, is_better = row, blame, True
                if now > self._least(run) and self._exchange(run, now):
                    is_better = True
            self._give(run, self.rows[run])
        return is_better

    def _exchange(self, run: int, now: int) -> bool:
        """Let a run that is taken away exchange its pieces with another, if that is better."""
        mine, table = self._pieces_of(run), self._table(run)
        here = self.problem.runs[run]
        tried: dict[Pieces, int] = {}
        for other, there in enumerate(self.problem.runs):
            if self.left <= 0:
                return False
            theirs = self._pieces_of(other)
            if other == run or theirs == mine or theirs not in table:
                continue
            if mine not in self._table(other):
                continue
            is_near = here.wall == there.wall and abs(here.course - there.course) <= max(
                2, self.apart.reach
            )
            if not is_near:
                if theirs not in tried:
                    tried[theirs] = self._best(run, theirs)[1]
                if tried[theirs] >= now:
                    continue
            self._take(other, self.rows[other])
            before = now + self._blame(other, self.rows[other])
            row, blame = self._best(run, theirs)
            self._give(run, row)
            other_row, other_blame = self._best(other, mine)
            self._take(run, row)
            is_better = blame + other_blame < before
            if is_better:
                self.rows[run], self.rows[other] = row, other_row
            self._give(other, self.rows[other])
            if is_better:
                return True
        return False

    def _best(self, run: int, pieces: Pieces) -> tuple[int, int]:
        """Give the best way of a run that is made of some pieces, and what is wrong with it."""
        found = [(self._blame(run, row), row) for row in self._table(run)[pieces]]
        blame, row = min(found)
        return row, blame

    def _blame(self, run: int, row: int) -> int:
        """Weigh what is wrong with a way of a run that is taken away."""
        self.left -= 1
        each = self.problem.runs[run]
        wall, course, apart, seams = each.wall, each.course, self.apart, self._seams
        found = RULE * int(each.ways.broken[row])
        view = self.views.get(wall)
        far = 4 * apart.stagger
        for seam in _places(each.ways, row):
            for courses, limit in self._limits:
                for there in seams.get((wall, course + courses), ()):
                    if -limit < there - seam < limit:
                        found += RULE
            below, above = (
                [s for s in seams.get((wall, course + step), ()) if -far < s - seam < far]
                for step in (-1, 1)
            )
            for low in below:
                for high in above:
                    found += STAIR * _is_stair(low, seam, high, apart)
                for lower in seams.get((wall, course - 2), ()):
                    found += STAIR * _is_stair(lower, low, seam, apart)
            for high in above:
                for higher in seams.get((wall, course + 2), ()):
                    found += STAIR * _is_stair(seam, high, higher, apart)
            if view is not None and course in view.courses:
                found += SIGHT * (abs(seam - 2 * view.place) < 2 * view.near)
        return found

    def _least(self, run: int) -> int:
        """Give what is wrong with a run wherever its seams are."""
        return RULE * int(self.problem.runs[run].ways.broken.min())

    def _give(self, run: int, row: int) -> None:
        each = self.problem.runs[run]
        place = self._seams.setdefault((each.wall, each.course), [])
        place += _places(each.ways, row)

    def _take(self, run: int, row: int) -> None:
        each = self.problem.runs[run]
        for seam in _places(each.ways, row):
            self._seams[each.wall, each.course].remove(seam)

    def _pieces_of(self, run: int) -> Pieces:
        return self._made[self.problem.runs[run].ways][self.rows[run]]

    def _table(self, run: int) -> dict[Pieces, list[int]]:
        """List the ways of a run by what is cut for them."""
        ways = self.problem.runs[run].ways
        if ways not in self._alike:
            table: dict[Pieces, list[int]] = {}
            for row, pieces in enumerate(self._made[ways]):
                table.setdefault(pieces, []).append(row)
            self._alike[ways] = table
        return self._alike[ways]


def _pieces(ways: Ways, columns: int) -> list[Pieces]:
    """Write down for every way what is cut for it, in whatever order it is hung."""
    spare = columns - ways.lengths.shape[1]
    wide = np.pad(ways.lengths, ((0, 0), (0, spare)))
    parts = [ways.whole, ways.joints[:, None]]
    for end in Ends:
        kept = [column for column, own in enumerate(ways.ends) if own is end]
        some = np.zeros_like(wide)
        some[:, : len(kept)] = wide[:, kept]
        parts.append(np.sort(some, axis=1))
    made = np.ascontiguousarray(np.concatenate(parts, axis=1))
    return [row.tobytes() for row in made]


def _places(ways: Ways, row: int) -> Iterator[int]:
    return (seam for seam in ways.seams[row].tolist() if seam > NOWHERE)
