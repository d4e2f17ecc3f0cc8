"""Where course lines must stand: recounted from the walls, their parts and openings."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING

from lapwright.check.edges import clear_over, edges_of
from lapwright.check.fault import fault
from lapwright.check.zoning import fields_of, job_of, lowest_fields
from lapwright.job.wall import StopKind
from lapwright.measure import tape_step, write_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from lapwright.job.job import Job
    from lapwright.job.wall import Wall

    Way = tuple[int, Fraction, tuple[int, ...]]

_CORNERS = (StopKind.OUTSIDE_CORNER, StopKind.INSIDE_CORNER)


@lru_cache(maxsize=16)
def all_lines(job: Job) -> Mapping[tuple[str, int], tuple[int, ...]]:
    """Give the course lines of every wall of one siding by its mark and bottom.

    The first is the lowest butt edge, the last the top line of the last course. [ticks]
    """
    found: dict[tuple[str, int], tuple[int, ...]] = {}
    for wall in job.walls:
        if (wall.mark, wall.bottom) in found:
            continue
        group = [wall]
        if wall.start is None:
            group = [w for w in job.walls if w.start is None and w.part == wall.part]
        floor = min(w.base for w in group)
        start: int
        if wall.start is not None:
            start = wall.start
        elif job.start is not None:
            start = job.start
        else:
            start = _best(group, floor, job)
        for each in group:
            found[each.mark, each.bottom] = _on_wall(each, group, floor + start, job)
    return found


@lru_cache(maxsize=16)
def lines_of_fields(job: Job) -> Mapping[str, list[tuple[int, ...]]]:
    """Give the course lines of each zone of every wall, from the bottom up. [ticks]"""
    found: dict[str, list[tuple[int, ...]]] = {}
    for field in fields_of(job):
        lines = all_lines(job_of(job, field.siding))[field.wall.mark, field.wall.bottom]
        found.setdefault(field.wall.mark, []).append(lines)
    return found


def _on_wall(wall: Wall, group: Sequence[Wall], first: int, job: Job) -> tuple[int, ...]:
    """Give the lines that courses of a wall lie between. [ticks]"""
    top = max(w.base + w.height for w in group)
    house = _house_lines(group, first, top, job)
    own = [line - wall.base for line in house]
    # Lines that lie wholly below the wall, or wholly above it, are none of its own.
    low = max(0, bisect_right(own, wall.bottom) - 1)
    high = bisect_left(own, wall.height)
    return tuple(own[low : high + 1])


def _house_lines(group: Sequence[Wall], first: int, top: int, job: Job) -> list[int]:
    """Give course lines from the first one until the top is reached. [ticks]"""
    siding = job.siding
    lines = [first]
    if siding.exposures:
        for exposure in siding.exposures:
            lines.append(lines[-1] + exposure)
    elif siding.evened:
        lines += _evened(first, _lines_to_hit(group, job), job)
    last = siding.exposures[-1] if siding.exposures else siding.exposure
    while lines[-1] < top:
        lines.append(lines[-1] + last)
    return lines


def _lines_to_hit(group: Sequence[Wall], job: Job) -> Counter[int]:
    clear = job.rules.sill_clearance
    hit: Counter[int] = Counter()
    for wall in group:
        heights = [o.head for o in wall.openings]
        heights += [o.sill - clear for o in wall.openings]
        level = [(a.y, b.x < a.x) for a, b in edges_of(wall) if a.y == b.y]
        heights += [y - clear for y, is_eave in level if is_eave]
        heights += [
            y + clear_over(wall, job.rules)
            for y, is_eave in level
            if y > wall.bottom and not is_eave
        ]
        if (wall.bottom, False) in level:
            hit[int(wall.base)] += 1
        for y in heights:
            if wall.bottom < y < wall.height:
                hit[y + wall.base] += 1
    return hit


def _evened(first: int, hit: Mapping[int, int], job: Job) -> list[int]:
    """Give the lines above the first one, as far as they are evened out. [ticks]"""
    above = sorted(line for line in hit if line > first)
    # From the top down: the best that can be hit above each line.
    best: dict[int, Way] = {}
    for line in [*reversed(above), first]:
        options: list[Way] = [(0, Fraction(0), ())]
        for following in above:
            if following > line and (count := _courses_between(following - line, job)):
                hits, uneven, rest = best[following]
                off = Fraction(following - line, count) - job.siding.exposure
                options.append(
                    (hits + hit[following], uneven + count * off * off, (following, *rest))
                )
        best[line] = min(options, key=lambda way: (-way[0], way[1], way[2]))
    lines, before, step = [], first, tape_step(job.unit)
    for line in best[first][2]:
        count = _courses_between(line - before, job)
        for number in range(1, count):
            exact = before - first + Fraction((line - before) * number, count)
            lines.append(first + (exact / step + Fraction(1, 2)).__floor__() * step)
        lines.append(line)
        before = line
    return lines


def _courses_between(height: int, job: Job) -> int:
    """Count the courses that divide a height, 0 where none keep the limits."""
    siding, chosen = job.siding, 0
    least = siding.least_exposure or siding.exposure
    greatest = siding.greatest_exposure or siding.exposure
    count = 1
    while count * least <= height:
        if height <= count * greatest:
            off = abs(height - count * siding.exposure) * chosen
            if not chosen or off <= abs(height - chosen * siding.exposure) * count:
                chosen = count
        count += 1
    return chosen


def _best(group: Sequence[Wall], floor: int, job: Job) -> int:
    """Find the start that leaves the fewest slivers, and so on. [ticks]"""
    span = job.start_range
    starts = []
    start: int = span.highest
    while start >= span.lowest:
        starts.append(start)
        start -= span.step
    return min(starts, key=lambda each: _worth(group, floor, each, job))


def _worth(group: Sequence[Wall], floor: int, start: int, job: Job) -> tuple[int, ...]:
    left: list[int] = []
    ripped = courses = 0
    for wall in group:
        lines = _on_wall(wall, group, floor + start, job)
        courses += len(lines) - 1
        left += _left_over(wall, lines, job)
        if lines[0] < wall.bottom and any(
            a.y == b.y == wall.bottom and a.x < b.x for a, b in edges_of(wall)
        ):
            ripped += 1
            left.append(lines[1] - wall.bottom)
    slivers = len([strip for strip in left if strip < job.rules.sliver])
    return slivers, ripped, -min(left, default=10**12), courses, abs(start), start


def _left_over(wall: Wall, lines: Sequence[int], job: Job) -> Iterator[int]:
    """Give what is left of each course that a sill, head, eave or lower roof cuts. [ticks]"""
    rules = job.rules
    under = [o.sill - rules.sill_clearance for o in wall.openings]
    over: list[tuple[int, int]] = [
        (o.head, rules.head_clearance) for o in wall.openings if o.head < wall.height
    ]
    for a, b in edges_of(wall):
        if a.y == b.y and b.x < a.x:
            under.append(a.y - rules.sill_clearance)
        elif a.y == b.y and a.y > wall.bottom:
            over.append((a.y, clear_over(wall, rules)))
    for y in under:
        place = bisect_left(lines, y)
        if wall.bottom < y < wall.height and 0 < place < len(lines) and lines[place] != y:
            yield y - lines[place - 1]
    for edge, clear in over:
        place = bisect_right(lines, edge + clear)
        if edge > wall.bottom and 0 < place < len(lines) and lines[place - 1] < edge:
            yield lines[place] - edge - clear


def judge_corners(findings: Sequence[str], job: Job) -> Iterator[str]:
    """Ask for a finding wherever the courses of two walls do not meet at their corner."""
    for wall, following in corners(job):
        if _parted(wall, following, job):
            names = (f"wall {wall.mark}", f"wall {following.mark}")
            if not any(all(name in told for name in names) for told in findings):
                yield fault(
                    f"corner of {names[0]} and {names[1]}",
                    "courses that do not line up, and no finding",
                    "a finding that names both walls",
                )


def corners(job: Job) -> Iterator[tuple[Wall, Wall]]:
    """Give the walls of a part that meet at a corner, the left one first."""
    for wall, following in following_walls(job):
        if following and wall.right in _CORNERS and following.left is wall.right:
            yield wall, following


def following_walls(job: Job) -> list[tuple[Wall, Wall | None]]:
    """Give each wall with the one that meets it at its right, None where there is none."""
    after: dict[str, Wall] = {}
    first = {wall.part: wall for wall in reversed(job.walls)}
    count = Counter(wall.part for wall in job.walls)
    found: list[tuple[Wall, Wall | None]] = []
    for wall in reversed(job.walls):
        # From the last wall of a part of three one comes back to its first.
        back = first[wall.part] if count[wall.part] > 2 else None
        found.append((wall, after.get(wall.part, back)))
        after[wall.part] = wall
    return found[::-1]


def _parted(wall: Wall, following: Wall, job: Job) -> bool:
    """Whether a course line of one of two walls is none of the other beside it."""
    seen = []
    sidings = []
    for each, x in ((wall, wall.width), (following, 0)):
        # Above the first zones, other sidings or bands part the courses anyway.
        field = lowest_fields(job)[each.mark]
        sidings.append(field.siding)
        edges = edges_of(field.wall)
        ends = [p.y for pair in edges if pair[0].x == pair[1].x == x for p in pair]
        if not ends:
            return False
        lines = lines_of_fields(job)[each.mark][0]
        low, high = max(min(ends), lines[0]), min(max(ends), lines[-1])
        seen.append((each.base + low, each.base + high, {each.base + y for y in lines}))
    if sidings[0].name != sidings[1].name:
        return False
    low, high = max(s[0] for s in seen), min(s[1] for s in seen)
    ours, theirs = ({y for y in s[2] if low < y < high} for s in seen)
    return ours != theirs


def text_of(lines: Sequence[int], job: Job) -> str:
    """Write course lines for a message."""
    return ", ".join(write_length(line, job.unit) for line in lines)
