"""Where siding must stand: the courses of a wall and the runs of each course."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.check.columns import Cell, cells_left, connected, hull_of
from lapwright.check.edges import clear_over, edges_of
from lapwright.check.grid import all_lines
from lapwright.check.zoning import fields_of, job_of
from lapwright.job.corners import corners_of
from lapwright.job.wall import OpeningShape
from lapwright.measure import Rounding, to_tape

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from lapwright.check.columns import Number, Polygon
    from lapwright.job.job import Job
    from lapwright.job.rules import Rules
    from lapwright.job.wall import Opening, Wall


@dataclass(frozen=True, slots=True)
class Hole:
    """What an opening takes from a course, clearances and gaps included. [ticks]"""

    opening: Opening
    left: int
    right: int
    low: int
    high: int
    is_whole: bool
    """Whether it takes the whole height of the course by itself."""
    polygons: tuple[Polygon, ...]
    """What it takes, true to its shape, all of them together."""

    @property
    def is_box(self) -> bool:
        """Whether it is a box."""
        return self.opening.shape is OpeningShape.RECTANGLE


@dataclass(frozen=True, slots=True)
class Eave:
    """A level upper edge of an outline. [ticks]"""

    left: int
    right: int
    y: int
    rises_left: bool
    """Whether the outline goes on upwards at its left end."""
    rises_right: bool
    """Whether the outline goes on upwards at its right end."""


@dataclass(frozen=True, slots=True)
class Roof:
    """A level lower edge of an outline above its bottom. [ticks]"""

    left: int
    right: int
    y: int
    falls_left: bool
    """Whether the outline goes on downwards at its left end."""
    falls_right: bool
    """Whether the outline goes on downwards at its right end."""


@dataclass(frozen=True, slots=True)
class Run:
    """A connected part of what is free in a course."""

    number: int
    """From 1 at the left."""
    left: int
    """Left end, rounded to whole ticks. [ticks]"""
    length: int
    """Clear length on the tape. [ticks]"""
    true_left: Number
    true_right: Number
    cells: tuple[Cell, ...]
    ground: tuple[Cell, ...]
    """What would be free here if there were neither notches nor eaves' clearances."""

    @property
    def right(self) -> int:
        """Right end, as rounded. [ticks]"""
        return self.left + self.length


@dataclass(frozen=True, slots=True)
class Course:
    """A strip of a wall between two course lines."""

    wall: Wall
    number: int
    butt: int
    """Height of the butt edge. [ticks]"""
    top: int
    holes: tuple[Hole, ...]
    """What each opening takes that meets the course."""
    eaves: tuple[Eave, ...]
    roofs: tuple[Roof, ...]
    is_sloped: bool
    """Whether a slope of the outline meets the course."""
    runs: tuple[Run, ...]


def lay_job(job: Job) -> Iterator[tuple[Job, dict[str, tuple[Course, ...]]]]:
    """Find the courses of every wall, siding by siding, by the mark of the wall.

    The courses of a wall's zones are numbered on from its bottom.
    """
    laid: dict[str, dict[str, tuple[Course, ...]]] = {s.name: {} for s in job.sidings}
    counted: Counter[str] = Counter()
    for field in fields_of(job):
        mark, own = field.wall.mark, laid[field.siding.name]
        courses = lay_wall(field.wall, job_of(job, field.siding), counted[mark])
        counted[mark] += len(courses)
        own[mark] = (*own.get(mark, ()), *courses)
    for siding in job.sidings:
        yield job_of(job, siding), laid[siding.name]


def lay_wall(wall: Wall, job: Job, before: int = 0) -> tuple[Course, ...]:
    """Find the courses of a wall and what is free in each.

    Parameters
    ----------
    before
        Courses of its zones below.
    """
    eaves = eaves_of(wall)
    lines = all_lines(job)[wall.mark, wall.bottom]
    return tuple(
        _lay(wall, job, number, between, eaves)
        for number, between in enumerate(pairwise(lines), start=before + 1)
    )


def eaves_of(wall: Wall) -> tuple[Eave, ...]:
    """Find the level upper edges of a wall's outline."""
    edges = edges_of(wall)
    eaves = []
    for i, (a, b) in enumerate(edges):
        if a.y == b.y and b.x < a.x:
            before, after = edges[i - 1][0], edges[(i + 1) % len(edges)][1]
            eaves.append(Eave(b.x, a.x, a.y, after.y > a.y, before.y > a.y))
    return tuple(eaves)


def roofs_of(wall: Wall) -> tuple[Roof, ...]:
    """Find the level lower edges of a wall's outline above its bottom."""
    corners = wall.outline
    roofs = []
    for i, (a, b) in enumerate(edges_of(wall)):
        if a.y == b.y and a.y > wall.bottom and b.x > a.x:
            after = corners[(i + 2) % len(corners)]
            roofs.append(Roof(a.x, b.x, a.y, corners[i - 1].y < a.y, after.y < a.y))
    return tuple(roofs)


def _lay(
    wall: Wall, job: Job, number: int, between: tuple[int, int], eaves: tuple[Eave, ...]
) -> Course:
    rules = job.rules
    butt, top = between
    holes = tuple(
        _hole(opening, butt, top, rules, wall.bottom)
        for opening in wall.openings
        if opening.head > butt and opening.sill - rules.sill_clearance < top
    )
    slopes = [
        (a, b)
        for a, b in edges_of(wall)
        if a.y != b.y and min(a.y, b.y) < top and max(a.y, b.y) > butt
    ]
    gap = rules.end_gap
    # Every side takes what lies within one gap of it, measured level.
    sides: list[Polygon] = [
        [(a.x - gap, a.y), (a.x + gap, a.y), (b.x + gap, b.y), (b.x - gap, b.y)]
        for a, b in slopes
        if gap
    ]
    whole: list[Polygon] = [p for h in holes if h.is_whole and h.is_box for p in h.polygons]
    cuts: list[Polygon] = [
        p for h in holes if not (h.is_whole and h.is_box) for p in h.polygons
    ]
    cuts += [
        _box(
            # Where the outline rises beside an eave, the gap goes down with the eave.
            eave.left - (gap if eave.rises_left else 0),
            eave.right + (gap if eave.rises_right else 0),
            eave.y - rules.sill_clearance,
            eave.y,
        )
        for eave in eaves
        if rules.sill_clearance and butt < eave.y and eave.y - rules.sill_clearance < top
    ]
    roofs, above = roofs_of(wall), clear_over(wall, rules)
    cuts += [
        _box(
            roof.left - (gap if roof.falls_left else 0),
            roof.right + (gap if roof.falls_right else 0),
            roof.y,
            roof.y + above,
        )
        for roof in roofs
        if above and roof.y < top and roof.y + above > butt
    ]
    ground = cells_left(wall.outline, sides + whole, butt, top)
    free = cells_left(wall.outline, sides + whole + cuts, butt, top) if cuts else ground
    return Course(
        wall=wall,
        number=number,
        butt=butt,
        top=top,
        holes=holes,
        eaves=eaves,
        roofs=roofs,
        is_sloped=any(a.x != b.x for a, b in slopes),
        runs=_runs(free, ground, job),
    )


def _hole(opening: Opening, butt: int, top: int, rules: Rules, bottom: int) -> Hole:
    low, high = opening.sill - rules.sill_clearance, opening.head
    # What lies below the wall's bottom is no height of the course that could be taken.
    is_whole = (low <= butt or low <= bottom) and high >= top
    side = rules.end_gap if is_whole else rules.side_clearance
    return Hole(
        opening,
        opening.x - side,
        opening.right + side,
        low,
        high + rules.head_clearance,
        is_whole,
        _swept(opening, side, rules.sill_clearance, rules.head_clearance),
    )


@lru_cache(maxsize=4096)
def _swept(opening: Opening, side: int, down: int, up: int) -> tuple[Polygon, ...]:
    """Sweep an opening's shape with the box of its clearances."""
    corners = [(p.x, p.y) for p in corners_of(opening)]

    def moved(spots: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
        return [
            (x + by, y + lift) for x, y in spots for by in (-side, side) for lift in (-down, up)
        ]

    hull = hull_of(moved(corners))
    if len(hull_of(corners)) == len(corners):
        return (hull,)
    # Of a shape with dents every side is swept by itself; the box holds its middle.
    following = [*corners[1:], corners[0]]
    return (corners, *(hull_of(moved(pair)) for pair in zip(corners, following, strict=True)))


def _box(left: int, right: int, low: int, high: int) -> Polygon:
    return [(left, low), (right, low), (right, high), (left, high)]


def _runs(free: Sequence[Cell], ground: Sequence[Cell], job: Job) -> tuple[Run, ...]:
    grounds = connected(ground)
    found = []
    for cells in connected(free):
        left = min(cell.left for cell in cells)
        right = max(cell.right for cell in cells)
        low = min(min(cell.low_left, cell.low_right) for cell in cells)
        high = max(max(cell.high_left, cell.high_right) for cell in cells)
        start = left.__ceil__()
        length = to_tape(max(0, right.__floor__() - start), job.unit, Rounding.DOWN)
        if length > 0 and to_tape(high - low, job.unit, Rounding.DOWN) > 0:
            found.append((left, right, start, length, cells))
    found.sort(key=lambda entry: entry[:2])
    return tuple(
        Run(number, start, length, left, right, cells, _around(cells[0], grounds))
        for number, (left, right, start, length, cells) in enumerate(found, start=1)
    )


def _around(cell: Cell, grounds: Sequence[tuple[Cell, ...]]) -> tuple[Cell, ...]:
    """Find the ground in which a cell lies."""
    x = Fraction(cell.left + cell.right) / 2
    low, high = cell.at(x)
    y = Fraction(low + high) / 2
    for ground in grounds:
        for other in ground:
            if other.left < x <= other.right:
                low, high = other.at(x)
                if low < y < high:
                    return ground
    return (cell,)
