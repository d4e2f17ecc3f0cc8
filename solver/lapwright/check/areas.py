"""Areas of walls and openings, recounted."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations
from typing import TYPE_CHECKING

from lapwright.check.columns import cells_left
from lapwright.check.edges import edges_of
from lapwright.check.fault import fault
from lapwright.check.grid import lines_of_fields, text_of
from lapwright.check.surround import edges_of as sides_of
from lapwright.job.corners import corners_of
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
_CLOSE = Fraction(1, 1_000_000)
"""By what share an area with a round opening may differ."""


def judge_areas(figures: Sequence[Figures], job: Job) -> Iterator[str]:
    """Compare the figures of every wall with its outline and openings."""
    marks = [wall.mark for wall in job.walls]
    listed = [entry.wall for entry in figures]
    if listed != marks:
        yield fault("walls", ", ".join(listed) or "none", ", ".join(marks) + " as in the job")
    # Of several of one wall the first counts; the list is at fault anyway.
    entries = {entry.wall: entry for entry in reversed(figures)}
    laid = lines_of_fields(job)
    for wall in job.walls:
        if wall.mark in entries:
            yield from _judge_wall(wall, entries[wall.mark], laid[wall.mark], job)


def _judge_wall(
    wall: Wall, entry: Figures, laid: Sequence[tuple[int, ...]], job: Job
) -> Iterator[str]:
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
    crossing = {
        o.name
        for a, b in combinations(wall.openings, 2)
        if max(a.x, b.x) < min(a.right, b.right) and max(a.sill, b.sill) < min(a.head, b.head)
        for o in (a, b)
    }
    alone = [
        o
        for o in wall.openings
        if o.name not in crossing and _taken(wall, [_box(o)]) == o.width * o.height
    ]
    low = high = _taken(wall, [corners_of(o) for o in wall.openings if o not in alone])
    for opening in alone:
        if opening.shape is OpeningShape.ROUND:
            quarter = Fraction(opening.width * opening.height, 4)
            low, high = low + quarter * _PI_BELOW, high + quarter * _PI_ABOVE
        else:
            own = Fraction(sum(a.x * b.y - b.x * a.y for a, b in sides_of(opening)), 2)
            low, high = low + own, high + own
    return low, high


def _taken(wall: Wall, shapes: Sequence[Polygon]) -> Fraction:
    """Give the area that shapes take from a wall together. [ticks²]"""
    if not shapes:
        return Fraction(0)
    cells = cells_left(wall.outline, shapes, 0, wall.height)
    return gross_area(wall) - sum((cell.area for cell in cells), Fraction(0))


def _box(o: Opening) -> Polygon:
    return [(o.x, o.sill), (o.right, o.sill), (o.right, o.head), (o.x, o.head)]


def _feet(area: Fraction | int) -> str:
    """Write an area in square feet, to a ten-thousandth."""
    rounded = round(Fraction(area) / (FOOT * FOOT) * 10_000)
    return f"{write_decimal(Fraction(rounded, 10_000))} sq ft"
