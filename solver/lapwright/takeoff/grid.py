"""Grids: the course lines of a house, and where they best begin."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from lapwright.measure import Ticks
from lapwright.takeoff.course import Grid, lay_courses
from lapwright.takeoff.evening import even_exposures
from lapwright.takeoff.slab import bottoms_of, eaves_of, roofs_of
from lapwright.takeoff.strip import strips_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lapwright.job.job import Job
    from lapwright.job.wall import Wall
    from lapwright.takeoff.course import Course
    from lapwright.takeoff.strip import Strip


@dataclass(frozen=True, slots=True)
class Candidate:
    """A start of a part's courses, with what it leaves."""

    start: Ticks
    """Above the lowest bottom of the walls that share the grid. [ticks]"""
    strips: tuple[Strip, ...]
    """At every sill, head, eave and bottom that cuts a course."""
    slivers: int
    """Strips lower than the rule `sliver`."""
    ripped: int
    """Walls whose first course is ripped at the bottom."""
    courses: int
    """Of all walls together."""

    @property
    def smallest(self) -> Strip | None:
        """The lowest strip, the first of equals; None where no course is cut."""
        return min(self.strips, key=lambda strip: strip.left, default=None)

    @property
    def deepest(self) -> Strip | None:
        """The strip at the deepest cut, the first of equals."""
        return max(self.strips, key=lambda strip: strip.taken, default=None)

    @property
    def rank(self) -> tuple[int, int, int, int, int, int]:
        """The better, the less: slivers, ripped bottoms, smallest strip, and so on."""
        least = -self.smallest.left if self.smallest else -(10**12)
        return self.slivers, self.ripped, least, self.courses, abs(self.start), self.start


def walls_that_share(job: Job) -> dict[str, tuple[Wall, ...]]:
    """Give the walls that share course lines, by the part of the house."""
    shared: dict[str, list[Wall]] = {}
    for wall in job.walls:
        if wall.start is None:
            shared.setdefault(wall.part, []).append(wall)
    return {part: tuple(walls) for part, walls in shared.items()}


def candidates(job: Job, walls: Sequence[Wall]) -> tuple[Candidate, ...]:
    """Try every start of the job's range for walls that share their course lines.

    Returns
    -------
    tuple of Candidate
        From the highest start to the lowest; `rank` tells which is best.
    """
    span = job.start_range
    starts = range(span.highest, span.lowest - 1, -span.step)
    return tuple(candidate(job, walls, Ticks(start)) for start in starts)


def candidate(job: Job, walls: Sequence[Wall], start: Ticks) -> Candidate:
    """Find what one start leaves on walls that share their course lines."""
    grid = Grid(Ticks(_lowest(walls) + start), _exposures(job, walls, start))
    laid = [(wall, lay_courses(wall, grid)) for wall in walls]
    strips = tuple(s for wall, courses in laid for s in strips_of(wall, courses, job.rules))
    return Candidate(
        start,
        strips,
        sum(strip.left < job.rules.sliver for strip in strips),
        sum(strip.is_bottom for strip in strips),
        sum(len(courses) for _, courses in laid),
    )


def best_start(job: Job, walls: Sequence[Wall]) -> Candidate:
    """Give the best start of the job's range for walls that share their course lines."""
    return min(candidates(job, walls), key=lambda candidate: candidate.rank)


@lru_cache(maxsize=16)
def grids_of(job: Job) -> Mapping[tuple[str, int], Grid]:
    """Give the course lines of every wall, by its mark and bottom."""
    grids = {
        (wall.mark, wall.bottom): Grid(
            Ticks(wall.base + wall.start), _exposures(job, (wall,), Ticks(wall.start))
        )
        for wall in job.walls
        if wall.start is not None
    }
    for walls in walls_that_share(job).values():
        start = best_start(job, walls).start if job.start is None else job.start
        grid = Grid(Ticks(_lowest(walls) + start), _exposures(job, walls, start))
        grids |= {(wall.mark, wall.bottom): grid for wall in walls}
    return grids


def courses_of(job: Job, wall: Wall, first: int = 1) -> tuple[Course, ...]:
    """Lay the courses of one wall of a job of one siding, numbered from the first on."""
    return lay_courses(wall, grids_of(job)[wall.mark, wall.bottom], first)


def _lowest(walls: Sequence[Wall]) -> int:
    return min(wall.base for wall in walls)


def _exposures(job: Job, walls: Sequence[Wall], start: Ticks) -> tuple[Ticks, ...]:
    """Give the exposures that walls share, from a start above their lowest bottom."""
    siding = job.siding
    if siding.exposures:
        return siding.exposures
    if not siding.evened:
        return (siding.exposure,)
    wanted: Counter[int] = Counter()
    for wall in walls:
        clear = job.rules.sill_clearance
        lines = [o.sill - clear for o in wall.openings] + [o.head for o in wall.openings]
        lines += [eave.low for eave in eaves_of(wall, job.rules)]
        lines += [roof.high for roof in roofs_of(wall, job.rules)]
        wanted.update(wall.base + line for line in lines if wall.bottom < line < wall.height)
        # Where the bottom steps up, the first course there is whole if a line is at it.
        wanted.update([int(wall.base)] if bottoms_of(wall) else [])
    return even_exposures(_lowest(walls) + start, wanted, siding, job.unit)
