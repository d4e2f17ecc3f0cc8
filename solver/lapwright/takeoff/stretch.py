"""Stretches of trim: where on a wall trim runs, how long, and cut into which pieces."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import isqrt
from typing import TYPE_CHECKING

from lapwright.job.field import clip_outline, fields_of, first_field, job_of
from lapwright.job.material import Family, TrimRole
from lapwright.job.wall import StopKind
from lapwright.measure import FOOT, Rounding, Ticks, Unit, to_tape
from lapwright.takeoff.grid import courses_of
from lapwright.takeoff.surround import channels_round, sill_lengths

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.field import Field
    from lapwright.job.job import Job
    from lapwright.job.material import Trim
    from lapwright.job.rules import Rules
    from lapwright.job.wall import Opening, Point, Wall

_SHORTEST_REST = FOOT
"""A rest of trim is no shorter than this (common practice, no source). [ticks]"""

_CORNERS = {
    StopKind.OUTSIDE_CORNER: TrimRole.OUTSIDE_CORNER,
    StopKind.INSIDE_CORNER: TrimRole.INSIDE_CORNER,
}


@dataclass(frozen=True, slots=True)
class Stretch:
    """A place that one kind of trim runs along."""

    role: TrimRole
    wall: str
    """Mark of the wall that it is listed with."""
    place: str
    """Where, in words."""
    length: Ticks
    """From end to end of the trim, gaps taken off, to the tape. [ticks]"""


def find_stretches(job: Job, notched: frozenset[tuple[str, str]]) -> tuple[Stretch, ...]:
    """Find where trim runs on the walls of a job.

    Parameters
    ----------
    job
        The job; roles for which it has no trim give no stretches.
    notched
        (wall mark, opening name) of every opening under whose sill a notch is cut.

    Returns
    -------
    tuple of Stretch
        By role, then by wall.
    """
    roles = {trim.role for trim in job.trim}
    # The job's trim goes with its first siding, and with others that are hung alike.
    fields = [f for f in fields_of(job) if f.siding.family is job.siding.family]
    found = [
        stretch
        for position, wall in enumerate(job.walls)
        for stretch in (
            *(s for f in fields if f.wall.mark == wall.mark for s in _starters(f, job)),
            *_corners(job, position),
            *_channels(wall, job),
            *_sills(wall, job, notched),
            *(s for f in fields if f.wall.mark == wall.mark for s in _eaves(f, job.unit)),
            *_bands(wall, job),
        )
        if stretch.role in roles and stretch.length > 0
    ]
    order = {role: number for number, role in enumerate(TrimRole)}
    return tuple(sorted(found, key=lambda stretch: order[stretch.role]))


def piece_lengths(stretch: Stretch, trim: Trim, unit: Unit) -> tuple[Ticks, ...]:
    """Cut a stretch into pieces no longer than the longest stock length. [ticks]

    Whole lengths come first; the rest is at least a foot long.
    """
    longest = trim.longest
    if stretch.length <= longest:
        return (stretch.length,)
    join = trim.splice_gap - trim.splice_lap
    whole, rest = 0, int(stretch.length)
    while rest > longest:
        whole += 1
        rest -= longest + join
    lengths = [int(longest)] * whole
    if rest <= 0:
        # What is left is no longer than the gap before it: nothing to fill.
        return tuple(Ticks(length) for length in lengths)
    rounding = Rounding.UP if trim.splice_lap else Rounding.DOWN
    if rest < _SHORTEST_REST:
        lengths[-1] = to_tape(lengths[-1] - (_SHORTEST_REST - rest), unit, rounding)
        rest = _SHORTEST_REST
    return tuple(Ticks(length) for length in [*lengths, to_tape(rest, unit, rounding)])


def _starters(field: Field, job: Job) -> Iterator[Stretch]:
    wall, foot, unit = field.wall, field.wall.bottom, job.unit
    role = TrimRole.STARTER
    place = "along the bottom" if field.zone == 1 else f"along the bottom of zone {field.zone}"
    courses = courses_of(job_of(job, field.siding), wall)
    if field.siding.family is Family.LAPPED and courses[0].butt < foot:
        # A panel ripped at its bottom edge has no lock for a starter strip.
        role, place = TrimRole.SILL_CHANNEL, f"{place}, for the ripped first course"
    pairs = zip(wall.outline, [*wall.outline[1:], wall.outline[0]], strict=True)
    bottoms = [(a.x, b.x) for a, b in pairs if a.y == b.y == foot and a.x < b.x]
    doors = [o for o in wall.openings if o.sill <= foot < o.head]
    place = "along the bottom" if field.zone == 1 else f"along the bottom of zone {field.zone}"
    for left, right in sorted(_gaps(bottoms, doors)):
        length = to_tape(right - left - 2 * field.rules.starter_gap, unit, Rounding.DOWN)
        yield Stretch(role, wall.mark, place, length)


def _bands(wall: Wall, job: Job) -> Iterator[Stretch]:
    """Give the belly bands between the zones of a wall; they stop at openings."""
    for number, (below, above) in enumerate(pairwise(wall.zones), start=1):
        strip = clip_outline(wall.outline, below.high, above.low)
        if not strip:
            continue
        across = (min(p.x for p in strip), max(p.x for p in strip))
        crossed = [o for o in wall.openings if o.sill < above.low and o.head > below.high]
        for left, right in sorted(_gaps([across], crossed)):
            length = to_tape(right - left - 2 * job.rules.band_gap, job.unit, Rounding.DOWN)
            yield Stretch(TrimRole.BELLY_BAND, wall.mark, f"over zone {number}", length)


def _gaps(parts: Sequence[tuple[int, int]], doors: Sequence[Opening]) -> list[tuple[int, int]]:
    """Take the openings out of the bottom edges."""
    left_over = list(parts)
    for door in doors:
        left_over = [
            part
            for left, right in left_over
            for part in ((left, min(right, door.x)), (max(left, door.right), right))
            if part[0] < part[1]
        ]
    return left_over


def _corners(job: Job, position: int) -> Iterator[Stretch]:
    """Give the posts that are listed with a wall: its right one, and a left one of its own."""
    wall = job.walls[position]
    part = [other for other in job.walls if other.part == wall.part]
    place_in_part = part.index(wall)
    closed = len(part) > 2  # two walls cannot go round a building
    is_last = place_in_part == len(part) - 1
    following = None if is_last and not closed else part[(place_in_part + 1) % len(part)]
    before = None if place_in_part == 0 and not closed else part[place_in_part - 1]
    if wall.left in _CORNERS and (before is None or before.right is not wall.left):
        yield from _post(job, wall, wall.left, [_plumb(job, wall, 0)], "left")
    if wall.right in _CORNERS:
        sides, place = [_plumb(job, wall, wall.width)], "right"
        if following is not None and following.left is wall.right:
            sides.append(_plumb(job, following, 0))
            place = f"right, with wall {following.mark}"
        yield from _post(job, wall, wall.right, sides, place)


def _post(
    job: Job,
    wall: Wall,
    stop: StopKind,
    sides: Sequence[tuple[int, int] | None],
    place: str,
) -> Iterator[Stretch]:
    """Give the post that covers the plumb sides of all walls that meet at it."""
    covered = [side for side in sides if side is not None]
    if covered:
        length = max(top for _, top in covered) - min(foot for foot, _ in covered)
        length += job.rules.post_below - job.rules.post_top_gap
        fitted = to_tape(max(length, 0), job.unit, Rounding.DOWN)
        yield Stretch(_CORNERS[stop], wall.mark, f"{stop} {place}", fitted)


def _plumb(job: Job, wall: Wall, x: int) -> tuple[int, int] | None:
    """Give foot and top of a wall's siding at a plumb end, above the house's level line."""
    pairs = zip(wall.outline, [*wall.outline[1:], wall.outline[0]], strict=True)
    heights = [y for a, b in pairs if a.x == b.x == x for y in (a.y, b.y)]
    lowest = first_field(job, wall)
    start = courses_of(job_of(job, lowest.siding), lowest.wall)[0].butt
    if not heights or max(heights) <= start:
        return None
    return wall.base + max(min(heights), start), wall.base + max(heights)


def _channels(wall: Wall, job: Job) -> Iterator[Stretch]:
    trim = job.trim_for(TrimRole.J_CHANNEL)
    face = trim.face if trim else Ticks(0)

    def channel(place: str, length: int) -> Stretch:
        fitted = to_tape(length, job.unit, Rounding.UP)
        return Stretch(TrimRole.J_CHANNEL, wall.mark, place, fitted)

    for opening in wall.openings:
        for place, length in channels_round(opening, face):
            yield channel(place, length)
    for number, (a, b) in enumerate(_rakes(wall.outline), start=1):
        yield channel(f"rake {number}", _distance(a, b))
    for number, (a, b) in enumerate(_lower_sides(wall.outline), start=1):
        yield channel(f"over lower roof {number}", _distance(a, b))
    for stop, x, side in ((wall.left, 0, "left"), (wall.right, wall.width, "right")):
        if stop is StopKind.J_CHANNEL:
            yield channel(f"{side} end", _plumb_length(wall.outline, x))


def _rakes(outline: Sequence[Point]) -> list[tuple[Point, Point]]:
    """List the sloped upper sides of an outline, from left to right."""
    pairs = zip(outline, [*outline[1:], outline[0]], strict=True)
    return sorted((b, a) for a, b in pairs if a.y != b.y and a.x > b.x)


def _lower_sides(outline: Sequence[Point]) -> list[tuple[Point, Point]]:
    """List the lower sides above the outline's bottom, level or sloped."""
    pairs = zip(outline, [*outline[1:], outline[0]], strict=True)
    return sorted((a, b) for a, b in pairs if a.x < b.x and (a.y > 0 or b.y > 0))


def _distance(a: Point, b: Point) -> int:
    """Length of a sloped line, rounded up. [ticks]"""
    square = (b.x - a.x) ** 2 + (b.y - a.y) ** 2
    root = isqrt(square)
    return root if root * root == square else root + 1


def _plumb_length(outline: Sequence[Point], x: int) -> int:
    """Length of the outline's plumb sides at a place. [ticks]"""
    pairs = zip(outline, [*outline[1:], outline[0]], strict=True)
    return sum(abs(a.y - b.y) for a, b in pairs if a.x == b.x == x)


def _sills(wall: Wall, job: Job, notched: frozenset[tuple[str, str]]) -> Iterator[Stretch]:
    for opening in wall.openings:
        if (wall.mark, opening.name) in notched:
            for length in sill_lengths(opening):
                place = f"under {opening.name}"
                yield _support(wall, place, length, job.rules, job.unit)


def _support(wall: Wall, place: str, length: int, rules: Rules, unit: Unit) -> Stretch:
    short = max(length - 2 * rules.channel_short, 0)
    fitted = to_tape(short, unit, Rounding.DOWN)
    return Stretch(TrimRole.SILL_CHANNEL, wall.mark, place, fitted)


def _eaves(field: Field, unit: Unit) -> Iterator[Stretch]:
    wall = field.wall
    zone = f" of zone {field.zone}" if field.zone > 1 else ""
    pairs = zip(wall.outline, [*wall.outline[1:], wall.outline[0]], strict=True)
    eaves = sorted((b.x, a.x) for a, b in pairs if a.y == b.y and a.x > b.x)
    for number, (left, right) in enumerate(eaves, start=1):
        place = f"eave {number}{zone}"
        yield _support(wall, place, right - left, field.rules, unit)
