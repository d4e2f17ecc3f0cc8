"""Fields: the parts of walls that one siding clads, from one band to the next."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING

from lapwright.job.outline import normal_outline
from lapwright.job.wall import Point, Wall
from lapwright.measure import Ticks, round_ticks

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.job.job import Job
    from lapwright.job.material import Siding
    from lapwright.job.rules import Rules


@dataclass(frozen=True, slots=True)
class Field:
    """A part of a wall with its siding and the rules that this is hung by."""

    wall: Wall
    """The wall, but with its outline and openings only where the field is, and with the
    field's own start.  Places and heights still count from the wall's lower left."""
    zone: int
    """From 1 at the bottom of the wall."""
    siding: Siding
    rules: Rules


@lru_cache(maxsize=64)
def fields_of(job: Job) -> tuple[Field, ...]:
    """List the fields of a job, by wall and from the bottom up."""
    made = []
    for wall in job.walls:
        zones = wall.zones or (None,)
        for number, zone in enumerate(zones, start=1):
            name = wall.siding if zone is None else zone.siding
            siding, rules = job.cladding(name)
            part = wall if zone is None else clip_wall(wall, zone.low, zone.high, zone.start)
            made.append(Field(part, number, siding, rules))
    return tuple(made)


@lru_cache(maxsize=64)
def job_of(job: Job, siding: Siding) -> Job:
    """Give the job as it is for one of its sidings: its rules, and only its fields.

    A wall may stand in it more than once, where the siding clads several of its zones.
    """
    if not job.further and not any(wall.zones for wall in job.walls):
        return job
    fields = [field for field in fields_of(job) if field.siding.name == siding.name]
    rules = job.cladding(siding.name)[1]
    walls = tuple(field.wall for field in fields)
    return replace(job, siding=siding, rules=rules, walls=walls, further=())


def first_field(job: Job, wall: Wall) -> Field:
    """Give the lowest field of a wall."""
    return next(field for field in fields_of(job) if field.wall.mark == wall.mark)


def clip_wall(wall: Wall, low: Ticks, high: Ticks, start: Ticks | None) -> Wall:
    """Keep of a wall what lies between two heights.

    Notes
    -----
    Where a slope crosses one of the heights, the corner is rounded to whole ticks (3 µm).
    """
    openings = tuple(o for o in wall.openings if o.head > low and o.sill < high)
    outline = clip_outline(wall.outline, low, high)
    return replace(wall, outline=outline, openings=openings, start=start, zones=())


def clip_outline(outline: Sequence[Point], low: int, high: int) -> tuple[Point, ...]:
    """Keep of a polygon what lies between two heights; nothing where that has no area."""
    kept = _above([(Fraction(p.x), Fraction(p.y)) for p in outline], Fraction(low), 1)
    kept = _above(kept, Fraction(high), -1)
    points = [Point(round_ticks(x, 1), round_ticks(y, 1)) for x, y in kept]
    if len({p.x for p in points}) < 2 or len({p.y for p in points}) < 2:
        return ()
    shape, moved = normal_outline(points)
    return tuple(Point(Ticks(p.x + moved.x), Ticks(p.y + moved.y)) for p in shape)


def _above(
    points: Sequence[tuple[Fraction, Fraction]], limit: Fraction, sign: int
) -> list[tuple[Fraction, Fraction]]:
    """Keep the part of a polygon above a height, or below it with a sign of -1."""
    kept: list[tuple[Fraction, Fraction]] = []
    for a, b in zip(points, [*points[1:], *points[:1]], strict=True):
        a_in, b_in = (a[1] - limit) * sign >= 0, (b[1] - limit) * sign >= 0
        if a_in:
            kept.append(a)
        if a_in != b_in:
            share = (limit - a[1]) / (b[1] - a[1])
            kept.append((a[0] + share * (b[0] - a[0]), limit))
    return kept
