"""Zones of walls, recounted: which part of an outline each siding clads."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from lapwright.job.field import Field
from lapwright.job.wall import Point
from lapwright.measure import Ticks

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lapwright.job.job import Job
    from lapwright.job.material import Siding


@lru_cache(maxsize=64)
def fields_of(job: Job) -> tuple[Field, ...]:
    """Give the fields of all walls, from the bottom of each wall up."""
    fields = []
    for wall in job.walls:
        if not wall.zones:
            fields.append(Field(wall, 1, *job.cladding(wall.siding)))
        for number, zone in enumerate(wall.zones, start=1):
            part = replace(
                wall,
                outline=strip_of(wall.outline, zone.low, zone.high),
                openings=tuple(
                    o for o in wall.openings if not (o.head <= zone.low or o.sill >= zone.high)
                ),
                start=zone.start,
                zones=(),
            )
            fields.append(Field(part, number, *job.cladding(zone.siding)))
    return tuple(fields)


@lru_cache(maxsize=64)
def lowest_fields(job: Job) -> Mapping[str, Field]:
    """Give the lowest field of every wall by its mark."""
    return {field.wall.mark: field for field in reversed(fields_of(job))}


@lru_cache(maxsize=64)
def job_of(job: Job, siding: Siding) -> Job:
    """Give the job with one of its sidings only, and with the fields that it clads."""
    if all(not wall.zones for wall in job.walls) and not job.further:
        return job
    own = [field for field in fields_of(job) if field.siding.name == siding.name]
    rules = job.cladding(siding.name)[1]
    walls = tuple(field.wall for field in own)
    return replace(job, siding=siding, rules=rules, walls=walls, further=())


def strip_of(outline: Sequence[Point], low: int, high: int) -> tuple[Point, ...]:
    """Give what of an outline lies between two heights, side by side round it.

    Every side is shortened to the strip; two that were parted by this are joined along
    its edge.  Where a slope is cut, the corner goes to the nearest tick.  Nothing
    where nothing lies between them. [ticks]
    """
    if not max(low, min(p.y for p in outline)) < min(high, max(p.y for p in outline)):
        return ()
    corners: list[Point] = []
    for i, a in enumerate(outline):
        b = outline[(i + 1) % len(outline)]
        if max(a.y, b.y) < low or min(a.y, b.y) > high:
            continue
        for y, near, far in ((a.y, a, b), (b.y, b, a)):
            level = min(max(y, low), high)
            corners.append(
                near if level == y else Point(_across(near, far, level), Ticks(level))
            )
    return _corners_only(corners)


def _across(near: Point, far: Point, y: int) -> Ticks:
    """Give where a slope crosses a height, to the nearest tick, halves upwards. [ticks]"""
    rise = far.y - near.y
    run = (far.x - near.x) * (y - near.y)
    if rise < 0:
        rise, run = -rise, -run
    return Ticks(near.x + (2 * run + rise) // (2 * rise))


def _corners_only(points: Sequence[Point]) -> tuple[Point, ...]:
    """Leave out doubled points and those inside a straight side."""
    kept: list[Point] = []
    for point in (*points, *points):
        # Twice round, so that the beginning is judged with the end before it.
        while len(kept) > 1 and _is_straight(kept[-2], kept[-1], point):
            kept.pop()
        if not kept or kept[-1] != point:
            kept.append(point)
    ring: list[Point] = []
    for point in reversed(kept):
        if point in ring:
            break
        ring.append(point)
    return tuple(reversed(ring))


def _is_straight(a: Point, b: Point, c: Point) -> bool:
    return (b.x - a.x) * (c.y - b.y) == (b.y - a.y) * (c.x - b.x)
