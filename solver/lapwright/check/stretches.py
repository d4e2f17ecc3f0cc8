"""Trim, recounted: the stretches that want it, and the pieces that cover each."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise
from math import isqrt
from typing import TYPE_CHECKING

from lapwright.check.columns import cells_left, connected
from lapwright.check.edges import edges_of, is_step, steps_of
from lapwright.check.fault import fault
from lapwright.check.grid import all_lines, following_walls, lines_of_fields
from lapwright.check.layout import eaves_of
from lapwright.check.soffits import edges_of_soffits
from lapwright.check.surround import channel_lengths, straight_head
from lapwright.check.zoning import fields_of, job_of, strip_of
from lapwright.job.corners import corners_of
from lapwright.job.material import Family, TrimRole
from lapwright.job.wall import StopKind
from lapwright.measure import INCH, Rounding, tape_step, to_tape, write_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.check.claims import TrimPiece
    from lapwright.check.columns import Polygon
    from lapwright.job.job import Job
    from lapwright.job.material import Trim
    from lapwright.job.wall import Opening, Wall

SHORTEST_REST = 12 * INCH
"""A rest of a stretch shorter than this is made so long. [ticks]"""

_CORNERS = {
    StopKind.OUTSIDE_CORNER: TrimRole.OUTSIDE_CORNER,
    StopKind.INSIDE_CORNER: TrimRole.INSIDE_CORNER,
}


def judge_trim(
    trim: Sequence[TrimPiece], notched: dict[str, dict[str, list[int]]], job: Job
) -> Iterator[str]:
    """Compare the pieces of trim with the stretches that want it.

    Parameters
    ----------
    notched
        Lengths of the sills under which a notch is cut, by the wall's mark and opening.
    """
    found: dict[tuple[str, str, str], Counter[int]] = {}
    for piece in trim:
        if piece.role == TrimRole.SOFFIT.value:
            continue  # its panels are judged where they hang
        key = (piece.role, piece.wall, piece.material)
        found.setdefault(key, Counter())[piece.length] += 1
    wanted: dict[tuple[str, str, str], Counter[int]] = {}
    for material, mark, length in _stretches(notched, job):
        if material is not None and length > 0:
            key = (material.role.value, mark, material.name)
            pieces = wanted.setdefault(key, Counter())
            whole = {entry.length for entry in material.stock}
            # Where pieces lap, a mark more only laps more; else it would not fit.
            safe = Rounding.UP if material.splice_lap else Rounding.DOWN
            pieces.update(
                part if part in whole else to_tape(part, job.unit, safe)
                for part in pieces_of(length, material)
            )
    names: dict[tuple[str, str], set[str]] = {}
    for *place, name in {*found, *wanted}:
        names.setdefault((place[0], place[1]), set()).add(name)
    for key in sorted({*found, *wanted}):
        have, want = found.get(key, Counter()), wanted.get(key, Counter())
        role_name, mark, name = key
        where = f"trim {role_name} of wall {mark}"
        if len(names[key[:2]]) > 1:
            where += f", {name}"
        for length in sorted({*have, *want}):
            if have[length] != want[length]:
                text = write_length(length, job.unit)
                labels = ", ".join(
                    piece.label
                    for piece in trim
                    if (piece.role, piece.wall, piece.material) == key
                    and piece.length == length
                )
                count = f"{have[length]} of {text}" + (f" ({labels})" if labels else "")
                yield fault(where, count, f"{want[length]}")


def pieces_of(length: int, material: Trim) -> list[int]:
    """Divide a stretch into pieces that can be bought. [ticks]"""
    longest: int = material.longest
    # A lap makes a whole length reach less far, a gap makes it reach farther.
    reach = longest - material.splice_lap if material.splice_lap else longest
    reach += 0 if material.splice_lap else material.splice_gap
    pieces = []
    while length > longest and reach > 0:
        pieces.append(longest)
        length -= reach
    if pieces and length <= 0:
        return pieces
    if pieces and length < SHORTEST_REST:
        pieces[-1] -= SHORTEST_REST - length
        length = SHORTEST_REST
    return [*pieces, length]


def _stretches(
    notched: dict[str, dict[str, list[int]]], job: Job
) -> Iterator[tuple[Trim | None, str, int]]:
    """Give every stretch: its material, mark of the wall, length on the tape. [ticks]"""
    for field in fields_of(job):
        support = hung(job, field.siding.name, TrimRole.SILL_CHANNEL)
        part = job_of(job, field.siding)
        first = all_lines(part)[field.wall.mark, field.wall.bottom][0]
        # The lock of a panel is gone where its bottom edge is ripped: no starter holds it.
        ripped = first < field.wall.bottom and field.siding.family is Family.LAPPED
        along = TrimRole.SILL_CHANNEL if ripped else TrimRole.STARTER
        for length in _starters(field.wall, field.wall.bottom, part):
            fit = to_tape(length, job.unit, Rounding.DOWN)
            yield hung(job, field.siding.name, along), field.wall.mark, fit
        lines = all_lines(part)[field.wall.mark, field.wall.bottom]
        for step in steps_of(field.wall):
            locked = step in lines or field.siding.family is Family.BUTTED
            along = TrimRole.STARTER if locked else TrimRole.SILL_CHANNEL
            for length in _starters(field.wall, step, part):
                fit = to_tape(length, job.unit, Rounding.DOWN)
                yield hung(job, field.siding.name, along), field.wall.mark, fit
        for eave in eaves_of(field.wall):
            short = eave.right - eave.left - 2 * field.rules.channel_short
            if job.eave_trim == "j-channel":
                support = hung(job, field.siding.name, TrimRole.J_CHANNEL)
            yield support, field.wall.mark, to_tape(short, job.unit, Rounding.DOWN)
    for wall in job.walls:
        for height, length in _bands(wall):
            fit = to_tape(length - 2 * job.rules.band_gap, job.unit, Rounding.DOWN)
            yield board_of(job, height), wall.mark, fit
            if job.band_flashing:
                yield job.trim_for(TrimRole.HEAD_FLASHING), wall.mark, fit
        for channel, length in _channels(wall, job):
            yield channel, wall.mark, to_tape(length, job.unit, Rounding.UP)
        for opening in wall.openings:
            for sill in notched.get(wall.mark, {}).get(opening.name, ()):
                # The highest zone that begins below the sill holds it up.
                name = [n for n, low, _ in _reaches(wall) if low < opening.sill][-1]
                short = sill - 2 * job.cladding(name)[1].channel_short
                fit = to_tape(short, job.unit, Rounding.DOWN)
                yield hung(job, name, TrimRole.SILL_CHANNEL), wall.mark, fit
        over = 2 * job.rules.head_flashing_reach
        for o in wall.openings:
            head = straight_head(o)
            if o.kind in job.head_flashing and head is not None:
                long = to_tape(head + over, job.unit, Rounding.UP)
                yield job.trim_for(TrimRole.HEAD_FLASHING), wall.mark, long
    for role, mark, length in (*_posts(job), *edges_of_soffits(job)):
        yield job.trim_for(role), mark, to_tape(length, job.unit, Rounding.DOWN)


def hung(job: Job, siding: str, role: TrimRole) -> Trim | None:
    """Find the starter or channel that holds a siding: its own, or the job's for the first."""
    own = {cladding.siding.name: cladding.trim for cladding in job.further}
    return next((trim for trim in own.get(siding, job.trim) if trim.role is role), None)


def board_of(job: Job, height: int) -> Trim | None:
    """Find the board of the belly bands of a height, which its name tells. [ticks]"""
    for trim in job.trim:
        if trim.role is TrimRole.BELLY_BAND:
            return replace(trim, name=" ".join((trim.name, write_length(height, job.unit))))
    return None


def _reaches(wall: Wall) -> list[tuple[str, int, int]]:
    """Give of each zone its siding, and between which heights it holds trim. [ticks]"""
    # Openings may run past the wall's edge; the outermost zones hold the trim there too.
    below = min([0, *(o.sill for o in wall.openings)]) - 1
    above = max([wall.height, *(o.head for o in wall.openings)]) + 1
    if not wall.zones:
        return [(wall.siding, below, above)]
    lows = [below, *(zone.low for zone in wall.zones[1:])]
    highs = [*(zone.high for zone in wall.zones[:-1]), above]
    return [(z.siding, a, b) for z, a, b in zip(wall.zones, lows, highs, strict=True)]


def _channel_at(wall: Wall, job: Job, *heights: int) -> Trim | None:
    """Find the channel between two heights: of the lowest siding there that has one."""
    bottom, top = min(heights), max(heights)
    for name, low, high in _reaches(wall):
        # A level line belongs to the zone that it is the foot of, not to the one below.
        meets = low <= bottom < high if bottom == top else low < top and bottom < high
        found = hung(job, name, TrimRole.J_CHANNEL)
        if meets and found is not None:
            return found
    return None


def _bands(wall: Wall) -> Iterator[tuple[int, int]]:
    """Give heights and lengths of what stands between zones and beside openings. [ticks]"""
    for below, above in pairwise(wall.zones):
        low, high = below.high, above.low
        strip = strip_of(wall.outline, low, high)
        boxes: list[Polygon] = [
            [(o.x, low), (o.right, low), (o.right, high), (o.x, high)]
            for o in wall.openings
            if not (o.head <= low or o.sill >= high)
        ]
        for cells in connected(cells_left(strip, boxes, low, high)) if strip else ():
            right, left = max(c.right for c in cells), min(c.left for c in cells)
            yield high - low, int(right - left)


def _starters(wall: Wall, foot: int, job: Job) -> Iterator[int]:
    for a, b in edges_of(wall):
        if a.y == b.y == foot and a.x < b.x:
            place: int = a.x
            low = sorted(span for o in wall.openings for span in _feet(o, foot))
            for left, right in [*low, (b.x, b.x)]:
                yield min(left, b.x) - place - 2 * job.rules.starter_gap
                place = max(place, right)


def _feet(opening: Opening, foot: int) -> Iterator[tuple[int, int]]:
    """Give what an opening takes of the line that the siding begins at. [ticks]"""
    if not opening.sill <= foot < opening.head:
        return
    # A tick of height has the spans of the line itself, cut into columns.
    cells = cells_left(corners_of(opening), [], foot, foot + 1)
    for part in connected(cells):
        spans = [span for cell in part if (span := cell.span(foot)) is not None]
        left = min((a for a, _ in spans), default=0)
        right = max((b for _, b in spans), default=0)
        if left < right:
            yield left.__floor__(), right.__ceil__()


def _posts(job: Job) -> Iterator[tuple[TrimRole, str, int]]:
    more = job.rules.post_below - job.rules.post_top_gap
    joined: set[str] = set()
    for wall, following in following_walls(job):
        if wall.right not in _CORNERS:
            continue
        spans = _spans(wall, wall.width, job)
        if following is not None and following.left is wall.right:
            # One post serves both: up to the taller wall, down to the lower foot.
            spans += _spans(following, 0, job)
            joined.add(following.mark)
        if spans:
            high, low = max(b for _, b in spans), min(a for a, _ in spans)
            yield _CORNERS[wall.right], wall.mark, high - low + more
    for wall in job.walls:
        if wall.left in _CORNERS and wall.mark not in joined:
            for low, high in _spans(wall, 0, job):
                yield _CORNERS[wall.left], wall.mark, high - low + more


def _spans(wall: Wall, x: int, job: Job) -> list[tuple[int, int]]:
    """Give foot and top of a plumb side by the level line, none where there is none."""
    ends = [y for a, b in edges_of(wall) if a.x == b.x == x for y in (a.y, b.y)]
    first = lines_of_fields(job)[wall.mark][0][0]
    if not ends or max(ends) <= first:
        return []
    return [(wall.base + max(min(ends), first), wall.base + max(ends))]


def _channels(wall: Wall, job: Job) -> Iterator[tuple[Trim | None, int]]:
    for opening in wall.openings:
        material = _channel_at(wall, job, opening.sill, opening.head)
        face = material.face if material else 0
        for length in channel_lengths(opening, face, job.rules.channel_tabs):
            yield material, length
    for number, (a, b) in enumerate(edges_of(wall)):
        run, rise = abs(b.x - a.x), b.y - a.y
        if is_step(wall, number):
            yield _channel_at(wall, job, a.y, b.y), abs(rise)
            continue
        lower = b.x > a.x and max(a.y, b.y) > 0 and not (a.y == b.y and a.y in steps_of(wall))
        if (b.x < a.x and rise) or lower:
            along = _channel_at(wall, job, a.y, b.y)
            yield along, _root_up(run * run + rise * rise, tape_step(job.unit))
        stop = (rise < 0 and a.x == 0 and wall.left) or (
            rise > 0 and a.x == wall.width and wall.right
        )
        if not run and stop is StopKind.J_CHANNEL:
            yield _channel_at(wall, job, *_ends_at(wall, a.x)), abs(rise)


def _ends_at(wall: Wall, x: int) -> list[int]:
    """Give the heights at which an outline has corners at a place. [ticks]"""
    return [corner.y for corner in wall.outline if corner.x == x]


def _root_up(square: int, step: int) -> int:
    """Give the least whole number of steps whose square is not below a square."""
    steps = isqrt(square // (step * step))
    while (steps * step) ** 2 < square:
        steps += 1
    return steps * step
