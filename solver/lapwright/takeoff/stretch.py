"""Stretches of trim: where on a wall trim runs, how long, and cut into which pieces."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import isqrt
from typing import TYPE_CHECKING

from lapwright.job.field import clip_outline, fields_of, first_field, job_of
from lapwright.job.material import Family, TrimRole
from lapwright.job.wall import LowerEdge, StopKind
from lapwright.measure import Rounding, Ticks, Unit, to_tape
from lapwright.takeoff.grid import courses_of
from lapwright.takeoff.slab import roofs_of, step_ends
from lapwright.takeoff.soffit import edges_of
from lapwright.takeoff.splice import splice
from lapwright.takeoff.surround import channels_round, chords, head_length, sill_lengths

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.field import Field
    from lapwright.job.job import Job
    from lapwright.job.material import Trim
    from lapwright.job.rules import Rules
    from lapwright.job.wall import Point, Wall

    _Made = tuple["Stretch", Trim | None]
_CORNERS = {
    StopKind.OUTSIDE_CORNER: TrimRole.OUTSIDE_CORNER,
    StopKind.INSIDE_CORNER: TrimRole.INSIDE_CORNER,
}


@dataclass(frozen=True, slots=True)
class Stretch:
    """A place that one kind of trim runs along."""

    role: TrimRole
    wall: str
    """Mark of the wall or the soffit that it is listed with."""
    place: str
    """Where, in words."""
    length: Ticks
    """From end to end of the trim, gaps taken off, to the tape. [ticks]"""


def find_stretches(
    job: Job, notched: frozenset[tuple[str, str]]
) -> tuple[tuple[Stretch, Trim], ...]:
    """Find where trim runs on the walls of a job.

    Parameters
    ----------
    job
        The job; roles for which it has no trim give no stretches.
    notched
        (wall mark, opening name) of every opening under whose sill a notch is cut.

    Returns
    -------
    tuple of (Stretch, Trim)
        By role, then by wall, then by soffit; each with the material that it is made of.
    """
    fields = fields_of(job)
    on_walls = (
        made
        for position, wall in enumerate(job.walls)
        for made in (
            *(s for f in fields if f.wall.mark == wall.mark for s in _starters(f, job)),
            *((s, job.trim_for(s.role)) for s in _corners(job, position)),
            *_channels(wall, job),
            *_sills(wall, job, notched),
            *(s for f in fields if f.wall.mark == wall.mark for s in _eaves(f, job)),
            *_bands(wall, job),
            *_heads(wall, job),
        )
    )
    at_soffits = (
        (Stretch(edge.role, soffit.mark, edge.place, edge.length), job.trim_for(edge.role))
        for soffit in job.soffits
        for edge in edges_of(soffit, job)
    )
    found = [
        (stretch, trim)
        for stretch, trim in (*on_walls, *at_soffits)
        if trim is not None and stretch.length > 0
    ]
    order = {role: number for number, role in enumerate(TrimRole)}
    return tuple(sorted(found, key=lambda pair: order[pair[0].role]))


def _sidings_at(wall: Wall, low: int, high: int) -> Iterator[str]:
    """Name the sidings that reach into a height of a wall, from the bottom up.

    The lowest zone reaches down, and the highest up, as far as one likes.
    """
    if not wall.zones:
        yield wall.siding
    for number, zone in enumerate(wall.zones, start=1):
        reaches_down = number == 1 or zone.low < high
        reaches_up = number == len(wall.zones) or low < zone.high
        if reaches_down and reaches_up:
            yield zone.siding


def piece_lengths(stretch: Stretch, trim: Trim, unit: Unit) -> tuple[Ticks, ...]:
    """Cut a stretch into pieces no longer than the longest stock length. [ticks]"""
    return splice(stretch.length, trim, unit)


def _starters(field: Field, job: Job) -> Iterator[_Made]:
    wall, foot, unit = field.wall, field.wall.bottom, job.unit
    role = TrimRole.STARTER
    place = "along the bottom" if field.zone == 1 else f"along the bottom of zone {field.zone}"
    courses = courses_of(job_of(job, field.siding), wall)
    if field.siding.family is Family.LAPPED and courses[0].butt < foot:
        # A panel ripped at its bottom edge has no lock for a starter strip.
        role, place = TrimRole.SILL_CHANNEL, f"{place}, for the ripped first course"
    edges = [(foot, role, place)]
    steps = sorted({edge.y for edge in roofs_of(wall, field.rules) if edge.kind == "step"})
    for number, y in enumerate(steps, start=1):
        role, place = TrimRole.STARTER, f"along step {number}"
        if field.siding.family is Family.LAPPED and all(c.butt != y for c in courses):
            role, place = TrimRole.SILL_CHANNEL, f"{place}, for the ripped course"
        edges.append((y, role, place))
    for y, role, place in edges:
        bottoms = [(a.x, b.x) for a, b in wall.edges if a.y == b.y == y and a.x < b.x]
        doors = [span for opening in wall.openings for span in chords(opening, y)]
        for left, right in sorted(_gaps(bottoms, doors)):
            length = to_tape(right - left - 2 * field.rules.starter_gap, unit, Rounding.DOWN)
            stretch = Stretch(role, wall.mark, place, length)
            yield stretch, job.hung_trim(field.siding.name, role)


def _bands(wall: Wall, job: Job) -> Iterator[_Made]:
    """Give the belly bands between the zones of a wall; they stop at openings."""
    for number, (below, above) in enumerate(pairwise(wall.zones), start=1):
        strip = clip_outline(wall.outline, below.high, above.low)
        if not strip:
            continue
        across = (min(p.x for p in strip), max(p.x for p in strip))
        crossed = [
            (int(o.x), o.right)
            for o in wall.openings
            if o.sill < above.low and o.head > below.high
        ]
        for left, right in sorted(_gaps([across], crossed)):
            length = to_tape(right - left - 2 * job.rules.band_gap, job.unit, Rounding.DOWN)
            stretch = Stretch(TrimRole.BELLY_BAND, wall.mark, f"over zone {number}", length)
            yield stretch, job.band_trim(Ticks(above.low - below.high))
            if job.band_flashing:
                place = f"on the band over zone {number}"
                flashing = Stretch(TrimRole.HEAD_FLASHING, wall.mark, place, length)
                yield flashing, job.trim_for(TrimRole.HEAD_FLASHING)


def _gaps(
    parts: Sequence[tuple[int, int]], taken: Sequence[tuple[int, int]]
) -> list[tuple[int, int]]:
    """Take what openings take out of the bottom edges."""
    left_over = list(parts)
    for start, end in taken:
        left_over = [
            part
            for left, right in left_over
            for part in ((left, min(right, start)), (max(left, end), right))
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
    heights = [y for a, b in wall.edges if a.x == b.x == x for y in (a.y, b.y)]
    lowest = first_field(job, wall)
    start = courses_of(job_of(job, lowest.siding), lowest.wall)[0].butt
    if not heights or max(heights) <= start:
        return None
    return wall.base + max(min(heights), start), wall.base + max(heights)


def _channels(wall: Wall, job: Job) -> Iterator[_Made]:
    def at(low: int, high: int) -> Trim | None:
        """Give the channel of the lowest siding there that has one."""
        # What is level counts as lying just over its height.
        names = _sidings_at(wall, low, max(high, low + 1))
        found = (job.hung_trim(name, TrimRole.J_CHANNEL) for name in names)
        return next((trim for trim in found if trim is not None), None)

    def channel(place: str, length: int) -> Stretch:
        fitted = to_tape(length, job.unit, Rounding.UP)
        return Stretch(TrimRole.J_CHANNEL, wall.mark, place, fitted)

    for opening in wall.openings:
        trim = at(opening.sill, opening.head)
        face = trim.face if trim else Ticks(0)
        for place, length in channels_round(opening, face, job.rules.channel_tabs):
            yield channel(place, length), trim
    for number, (a, b) in enumerate(_rakes(wall.outline), start=1):
        yield channel(f"rake {number}", _distance(a, b)), at(*sorted((a.y, b.y)))
    for number, (a, b) in enumerate(_lower_sides(wall), start=1):
        trim = at(*sorted((a.y, b.y)))
        yield channel(f"over lower roof {number}", _distance(a, b)), trim
    for number, (low, high) in enumerate(sorted(step_ends(wall)), start=1):
        yield channel(f"end at step {number}", high.y - low.y), at(low.y, high.y)
    for stop, x, side in ((wall.left, 0, "left"), (wall.right, wall.width, "right")):
        if stop is StopKind.J_CHANNEL:
            trim = at(*_plumb_ends(wall.outline, x))
            yield channel(f"{side} end", _plumb_length(wall.outline, x)), trim


def _rakes(outline: Sequence[Point]) -> list[tuple[Point, Point]]:
    """List the sloped upper sides of an outline, from left to right."""
    pairs = zip(outline, [*outline[1:], outline[0]], strict=True)
    return sorted((b, a) for a, b in pairs if a.y != b.y and a.x > b.x)


def _lower_sides(wall: Wall) -> list[tuple[Point, Point]]:
    """List the lower sides above the bottom that a channel runs along, level or sloped."""
    sides = sorted((a, b) for a, b in wall.edges if a.x < b.x and (a.y > 0 or b.y > 0))
    if wall.lower_edges is LowerEdge.GROUND:
        # A step of the foundation has what the bottom has.
        return [(a, b) for a, b in sides if a.y != b.y]
    return sides


def _distance(a: Point, b: Point) -> int:
    """Length of a sloped line, rounded up. [ticks]"""
    square = (b.x - a.x) ** 2 + (b.y - a.y) ** 2
    root = isqrt(square)
    return root if root * root == square else root + 1


def _plumb_length(outline: Sequence[Point], x: int) -> int:
    """Length of the outline's plumb sides at a place. [ticks]"""
    pairs = zip(outline, [*outline[1:], outline[0]], strict=True)
    return sum(abs(a.y - b.y) for a, b in pairs if a.x == b.x == x)


def _plumb_ends(outline: Sequence[Point], x: int) -> tuple[int, int]:
    """Give the lowest and the highest point of the plumb sides at a place. [ticks]"""
    heights = [p.y for p in outline if p.x == x]
    return min(heights), max(heights)


def _sills(wall: Wall, job: Job, notched: frozenset[tuple[str, str]]) -> Iterator[_Made]:
    for opening in wall.openings:
        if (wall.mark, opening.name) in notched:
            # The siding under the sill carries it.
            *_, name = _sidings_at(wall, min(0, opening.sill - 1), opening.sill)
            rules = job.cladding(name)[1]
            for length in sill_lengths(opening):
                stretch = _support(wall, f"under {opening.name}", length, rules, job.unit)
                yield stretch, job.hung_trim(name, TrimRole.SILL_CHANNEL)


def _support(wall: Wall, place: str, length: int, rules: Rules, unit: Unit) -> Stretch:
    short = max(length - 2 * rules.channel_short, 0)
    fitted = to_tape(short, unit, Rounding.DOWN)
    return Stretch(TrimRole.SILL_CHANNEL, wall.mark, place, fitted)


def _eaves(field: Field, job: Job) -> Iterator[_Made]:
    wall = field.wall
    zone = f" of zone {field.zone}" if field.zone > 1 else ""
    eaves = sorted((b.x, a.x) for a, b in wall.edges if a.y == b.y and a.x > b.x)
    for number, (left, right) in enumerate(eaves, start=1):
        place = f"eave {number}{zone}" if len(eaves) > 1 else f"eave{zone}"
        support = _support(wall, place, right - left, field.rules, job.unit)
        role = job.eave_trim.role
        yield replace(support, role=role), job.hung_trim(field.siding.name, role)


def _heads(wall: Wall, job: Job) -> Iterator[_Made]:
    """Give the flashing over the heads of openings, straight ones only."""
    trim = job.trim_for(TrimRole.HEAD_FLASHING)
    for opening in wall.openings:
        head = head_length(opening)
        if opening.kind in job.head_flashing and head is not None:
            length = head + 2 * job.rules.head_flashing_reach
            fitted = to_tape(length, job.unit, Rounding.UP)
            flashing = Stretch(
                TrimRole.HEAD_FLASHING, wall.mark, f"over {opening.name}", fitted
            )
            yield flashing, trim
