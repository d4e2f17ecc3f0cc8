"""Areas of walls and openings, recounted."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations
from typing import TYPE_CHECKING

from lapwright.check.columns import cells_left
from lapwright.check.edges import edges_of
from lapwright.check.fault import fault
from lapwright.check.grid import lines_of_fields, text_of
from lapwright.job.wall import OpeningShape
from lapwright.measure import FOOT, write_decimal, write_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.check.claims import Figures
    from lapwright.check.columns import Polygon
    from lapwright.job.job import Job
    from lapwright.job.wall import Opening, Wall

_PI_BELOW = Fraction(314159265358979323846, 10**20)
_PI_ABOVE = Fraction(314159265358979323847, 10**20)
_SIDES = 64
"""Sides of the polygons that stand in and round an ellipse that others cut."""
_CLOSE = Fraction(1, 1_000_000)
"""By what share an area with a round opening may differ."""


def judge_areas(figures: Sequence[Figures], job: Job) -> Iterator[str]:
    """Compare the figures of every wall with its outline and openings."""
    marks = [wall.mark for wall in job.walls]
    listed = [entry.wall for entry in figures]
    if listed != marks:
        yield fault("walls", ", ".join(listed) or "none", ", ".join(marks) + " as in the job")
    for wall in job.walls:
        entry = next((entry for entry in figures if entry.wall == wall.mark), None)
        if entry is not None:
            yield from _judge_wall(wall, entry, job)


def _judge_wall(wall: Wall, entry: Figures, job: Job) -> Iterator[str]:
    where = f"wall {wall.mark}"
    gross = gross_area(wall)
    if abs(entry.gross - gross) >= 1:
        yield fault(f"{where}, gross area", _feet(entry.gross), _feet(gross))
    low, high = opening_area(wall)
    if low != high:
        low, high = low * (1 - _CLOSE), high * (1 + _CLOSE)
    if not low - 1 < entry.openings < high + 1:
        yield fault(f"{where}, opening area", _feet(entry.openings), _feet(low))
    if entry.net != entry.gross - entry.openings:
        wanted = _feet(entry.gross - entry.openings)
        yield fault(f"{where}, net area", _feet(entry.net), f"{wanted}, gross less openings")
    laid = lines_of_fields(job, wall.mark)
    courses = [butt for lines in laid for butt in lines[:-1]]
    tops = [line for lines in laid for line in lines[1:]]
    if len(entry.courses) != len(courses):
        yield fault(f"{where}, courses", len(entry.courses), len(courses))
    for number, (height, butt) in enumerate(zip(entry.courses, courses, strict=False), 1):
        if height != butt:
            texts = write_length(height, job.unit), write_length(butt, job.unit)
            yield fault(f"{where}, course {number}, butt edge", *texts)
    if entry.tops != tuple(tops):
        yield fault(f"{where}, top lines", text_of(entry.tops, job), text_of(tops, job))


def gross_area(wall: Wall) -> Fraction:
    """Give the area of a wall's outline. [ticks²]"""
    return Fraction(sum(a.x * b.y - b.x * a.y for a, b in edges_of(wall)), 2)


def opening_area(wall: Wall) -> tuple[Fraction, Fraction]:
    """Enclose the area of the openings inside a wall, counted once. [ticks²]"""
    rounds = [o for o in wall.openings if o.shape is OpeningShape.ROUND]
    crossing = {
        o.name
        for a, b in combinations(wall.openings, 2)
        if max(a.x, b.x) < min(a.right, b.right) and max(a.sill, b.sill) < min(a.head, b.head)
        for o in (a, b)
    }
    alone = [
        o
        for o in rounds
        if o.name not in crossing and _taken(wall, [_box(o)]) == o.width * o.height
    ]
    rest = [o for o in wall.openings if o not in alone]
    boxes = [_box(o) for o in rest if o not in rounds]
    cut = [o for o in rest if o in rounds]
    low = high = _taken(wall, boxes)
    if cut:
        low = _taken(wall, boxes + [_ellipse(o, outside=False) for o in cut])
        high = _taken(wall, boxes + [_ellipse(o, outside=True) for o in cut])
    quarters = Fraction(sum(o.width * o.height for o in alone), 4)
    return low + quarters * _PI_BELOW, high + quarters * _PI_ABOVE


def _taken(wall: Wall, shapes: Sequence[Polygon]) -> Fraction:
    """Give the area that shapes take from a wall together. [ticks²]"""
    if not shapes:
        return Fraction(0)
    cells = cells_left(wall.outline, shapes, 0, wall.height)
    return gross_area(wall) - sum((cell.area for cell in cells), Fraction(0))


def _box(o: Opening) -> Polygon:
    return [(o.x, o.sill), (o.right, o.sill), (o.right, o.head), (o.x, o.head)]


def _ellipse(o: Opening, *, outside: bool) -> Polygon:
    """Make a polygon in or round an ellipse, with exact corners. [ticks]"""
    # ((1 - t²) / (1 + t²), 2t / (1 + t²)) runs through a quarter of a circle as t goes
    # from 0 to 1; four turns make the whole.
    quarter = [Fraction(4 * i, _SIDES) for i in range(_SIDES // 4)]
    arc = [((1 - t * t) / (1 + t * t), 2 * t / (1 + t * t)) for t in quarter]
    circle = [
        point
        for x, y in ((1, 0), (0, 1), (-1, 0), (0, -1))
        for point in ((x * c - y * s, y * c + x * s) for c, s in arc)
    ]
    if outside:
        following = [*circle[1:], circle[0]]
        # Two tangents c·x + s·y = 1 meet at this point.
        circle = [
            ((s2 - s1) / (c1 * s2 - c2 * s1), (c1 - c2) / (c1 * s2 - c2 * s1))
            for (c1, s1), (c2, s2) in zip(circle, following, strict=True)
        ]
    half_width, half_height = Fraction(o.width, 2), Fraction(o.height, 2)
    return [(o.x + half_width * (1 + c), o.sill + half_height * (1 + s)) for c, s in circle]


def _feet(area: Fraction | int) -> str:
    """Write an area in square feet, to a ten-thousandth."""
    rounded = round(Fraction(area) / (FOOT * FOOT) * 10_000)
    return f"{write_decimal(Fraction(rounded, 10_000))} sq ft"
