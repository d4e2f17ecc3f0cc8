"""What of a course is free for siding, as level slabs of exact trapezoids.

A course is cut at every height where something begins, ends or crosses.  Between two
such heights every boundary is straight and none crosses another, so that what is free
is a row of trapezoids, and the end gap is a plain shift along the course.

Places are whole ticks wherever they come out whole, and fractions only where not: most
walls need none, and whole numbers are many times as fast.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

from lapwright.job.wall import LowerEdge
from lapwright.takeoff.blocked import takings_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from lapwright.job.rules import Rules
    from lapwright.job.wall import Point, Wall
    from lapwright.takeoff.blocked import Blocked, Edge, Takings
    from lapwright.takeoff.course import Course

Number = int | Fraction


@dataclass(frozen=True, slots=True)
class Boundary:
    """A straight side of a trapezoid, with what it belongs to."""

    low: Number
    """Place at the slab's lower height. [ticks]"""
    high: Number
    """Place at the slab's upper height. [ticks]"""
    owner: str
    """``wall``, ``rake``, ``level`` or the name of an opening after ``opening``."""

    @property
    def twice(self) -> Number:
        """Twice the place at half height. [ticks]"""
        return self.low + self.high

    @property
    def middle(self) -> Fraction:
        """Place at half height. [ticks]"""
        return Fraction(self.low + self.high) / 2

    def shifted(self, by: int) -> Boundary:
        """Move the boundary along the course. [ticks]"""
        return Boundary(self.low + by, self.high + by, self.owner)


Span = tuple[Boundary, Boundary]
"""From a left to a right boundary."""


@dataclass(frozen=True, slots=True)
class Trapezoid:
    """A free part of a slab, between two heights and two boundaries."""

    low: Number
    """Lower height. [ticks]"""
    high: Number
    """Upper height. [ticks]"""
    left: Boundary
    right: Boundary


@dataclass(frozen=True, slots=True)
class Slab:
    """A course between two heights."""

    low: Number
    """Lower height. [ticks]"""
    high: Number
    """Upper height. [ticks]"""
    ground: tuple[Span, ...]
    """What would be free without notches and the clearance under eaves."""
    free: tuple[Trapezoid, ...]
    """From left to right."""


@dataclass(frozen=True, slots=True)
class Side:
    """A side of the outline that is not level."""

    edge: Edge
    seat: Edge
    """Where siding may begin: the side moved inward by the end gap."""

    @property
    def is_plumb(self) -> bool:
        """Whether it stands upright."""
        return self.edge[0] == self.edge[2]


@dataclass(frozen=True, slots=True)
class Level:
    """A level side of the outline: an eave above, or a lower edge of the wall."""

    kind: str
    """``eave``, ``roof``, ``step`` or ``bottom``."""
    left: int
    right: int
    y: int
    """Its height. [ticks]"""
    low: int
    """Where the strip begins that its clearance takes from the siding. [ticks]"""
    high: int
    """Where that strip ends. [ticks]"""
    open_left: bool
    """Whether the wall goes on past its left end, up from an eave or down from a roof."""
    open_right: bool
    """Whether the wall goes on past its right end, up from an eave or down from a roof."""
    riser_left: bool = False
    """Whether a plumb side goes up from its left end, over which the wall may go on."""
    riser_right: bool = False
    """Whether a plumb side goes up from its right end, over which the wall may go on."""


@dataclass(frozen=True, slots=True)
class Ground:
    """What of a wall is the same for all of its courses."""

    sides: tuple[Side, ...]
    eaves: tuple[Level, ...]
    roofs: tuple[Level, ...]
    takings: tuple[Takings, ...]


@lru_cache(maxsize=256)
def ground_of(wall: Wall, rules: Rules) -> Ground:
    """Gather what of a wall is the same for all of its courses."""
    return Ground(
        _sides(wall.outline, rules.end_gap),
        eaves_of(wall, rules),
        roofs_of(wall, rules),
        takings_of(wall, rules),
    )


def cut_slabs(
    ground: Ground, course: Course, taken: Sequence[Blocked], rules: Rules
) -> tuple[Slab, ...]:
    """Cut a course into slabs, from the bottom up, and find what is free in each.

    Parameters
    ----------
    ground
        The wall.
    course
        One of its courses.
    taken
        What openings take from it.
    rules
        Gaps and clearances.
    """
    butt, line = course.butt, course.line
    sides = [s for s in ground.sides if s.edge[1] < line and s.edge[3] > butt]
    levels = [e for e in (*ground.eaves, *ground.roofs) if e.low < line and e.high > butt]
    groups = _groups(butt, line, taken)
    heights = _heights(course, sides, levels, groups, rules)
    return tuple(
        _slab(low, high, sides, levels, groups, rules.end_gap)
        for low, high in pairwise(heights)
    )


def edge_at(edge: Edge, y: Number) -> Number:
    """Give the place of an edge at a height. [ticks]"""
    x1, y1, x2, y2 = edge
    if x1 == x2:
        return x1
    rise = y2 - y1
    if type(y) is int:
        along = (x2 - x1) * (y - y1)
        whole, rest = divmod(along, rise)
        return x1 + whole if not rest else Fraction(x1 * rise + along, rise)
    return x1 + Fraction(x2 - x1, rise) * (y - y1)


def meeting(a: Edge, b: Edge) -> Number | None:
    """Give the height at which two edges meet, None where they do not. [ticks]"""
    ax, ay, bx, by = a[2] - a[0], a[3] - a[1], b[2] - b[0], b[3] - b[1]
    slope = ax * by - bx * ay
    if slope == 0:
        return None
    across = (b[0] * by - bx * b[1]) * ay - (a[0] * ay - ax * a[1]) * by
    if slope < 0:
        slope, across = -slope, -across
    if not max(a[1], b[1]) * slope <= across <= min(a[3], b[3]) * slope:
        return None
    whole, rest = divmod(across, slope)
    return Fraction(across, slope) if rest else whole


@dataclass(frozen=True, slots=True)
class _Group:
    """A convex part of an opening, as far as it lies in a course."""

    left: tuple[Edge, ...]
    right: tuple[Edge, ...]
    low: int
    high: int
    owner: str
    is_whole_box: bool


def _groups(butt: int, line: int, taken: Sequence[Blocked]) -> list[_Group]:
    found = []
    for blocked in taken:
        owner = f"opening {blocked.opening.name}"
        for part in blocked.parts:
            low, high = part.left[0][1], part.left[-1][3]
            if low < line and high > butt:
                left, right = (
                    tuple(e for e in side if e[1] < line and e[3] > butt)
                    for side in (part.left, part.right)
                )
                is_whole_box = blocked.whole and blocked.is_box
                found.append(_Group(left, right, low, high, owner, is_whole_box))
    return found


def _sides(outline: Sequence[Point], gap: int) -> tuple[Side, ...]:
    pairs = zip(outline, [*outline[1:], outline[0]], strict=True)
    return tuple(
        # Counter-clockwise, the wall lies to the left of a side that goes up.
        Side((a.x, a.y, b.x, b.y), (a.x - gap, a.y, b.x - gap, b.y))
        if a.y < b.y
        else Side((b.x, b.y, a.x, a.y), (b.x + gap, b.y, a.x + gap, a.y))
        for a, b in pairs
        if a.y != b.y
    )


def eaves_of(wall: Wall, rules: Rules) -> tuple[Level, ...]:
    """List the level upper sides of a wall's outline, each lowered by the clearance."""
    # Counter-clockwise, a level side that runs to the left has the wall below it.
    return tuple(
        Level(
            "eave",
            b.x,
            a.x,
            a.y,
            a.y - rules.sill_clearance,
            a.y,
            after.y > a.y,
            before.y > a.y,
        )
        for before, a, b, after in _levels(wall.outline)
        if a.x > b.x
    )


def roofs_of(wall: Wall, rules: Rules) -> tuple[Level, ...]:
    """List the level lower sides above the wall's bottom, each raised by the clearance.

    Where the foundation steps up there is none: siding begins at the step itself.
    """
    kind, clear = "roof", int(rules.roof_clearance)
    if wall.lower_edges is LowerEdge.GROUND:
        kind, clear = "step", 0
    return tuple(
        Level(
            kind,
            a.x,
            b.x,
            a.y,
            a.y,
            a.y + clear,
            open_left=before.y < a.y,
            open_right=after.y < a.y,
            riser_left=before.y > a.y and before.x == a.x,
            riser_right=after.y > a.y and after.x == b.x,
        )
        for before, a, b, after in _levels(wall.outline)
        if a.x < b.x and a.y > wall.bottom
    )


def bottoms_of(wall: Wall) -> tuple[Level, ...]:
    """List the level sides of a wall's outline at its very bottom."""
    return tuple(
        Level("bottom", a.x, b.x, a.y, a.y, a.y, open_left=False, open_right=False)
        for _, a, b, _ in _levels(wall.outline)
        if a.x < b.x and a.y == wall.bottom
    )


def step_ends(wall: Wall) -> tuple[tuple[Point, Point], ...]:
    """List the plumb sides by which a foundation steps up under a wall, foot first."""
    if wall.lower_edges is not LowerEdge.GROUND:
        return ()
    steps = {
        (p.x, p.y)
        for _, a, b, _ in _levels(wall.outline)
        if a.x < b.x and a.y > wall.bottom
        for p in (a, b)
    }
    plumb = (sorted(pair, key=lambda p: p.y) for pair in wall.edges if pair[0].x == pair[1].x)
    return tuple((low, high) for low, high in plumb if (high.x, high.y) in steps)


def _levels(outline: Sequence[Point]) -> Iterator[tuple[Point, Point, Point, Point]]:
    """Give the two corners of each level side, between those before and after them."""
    count = len(outline)
    for i, start in enumerate(outline):
        end = outline[(i + 1) % count]
        if start.y == end.y:
            yield outline[i - 1], start, end, outline[(i + 2) % count]


def _heights(
    course: Course,
    sides: Sequence[Side],
    levels: Sequence[Level],
    groups: Sequence[_Group],
    rules: Rules,
) -> list[Number]:
    """List the heights between which no two boundaries cross. [ticks]"""
    marks: set[Number] = {course.butt, course.line}
    for side in sides:
        marks.update((side.edge[1], side.edge[3]))
    for level in levels:
        marks.update((level.low, level.high))
    lines: list[tuple[Edge, ...]] = [(side.seat,) for side in sides]
    for group in groups:
        for edge in (*group.left, *group.right):
            marks.update((edge[1], edge[3]))
        lines.append((*group.left, *group.right))
    gap = rules.end_gap
    lines += [
        ((x + by, level.low, x + by, level.high),)
        for level in levels
        for x in (level.left, level.right)
        for by in (-gap, 0, gap)
    ]
    for first, second in combinations(lines, 2):
        for a, b in _near(first, second):
            y = meeting(a, b)
            if y is not None:
                marks.add(y)
    return sorted(y for y in marks if course.butt <= y <= course.line)


def _near(first: Sequence[Edge], second: Sequence[Edge]) -> Iterator[tuple[Edge, Edge]]:
    """Give the pairs of edges of two groups that may meet askew."""
    box_a, box_b = _box(first), _box(second)
    if box_a[2] < box_b[0] or box_b[2] < box_a[0]:
        return
    for a in first:
        low, high = min(a[0], a[2]), max(a[0], a[2])
        if high < box_b[0] or low > box_b[2] or a[3] < box_b[1] or a[1] > box_b[3]:
            continue
        for b in second:
            if (b[0] < low and b[2] < low) or (b[0] > high and b[2] > high):
                continue
            if b[3] >= a[1] and b[1] <= a[3] and (a[0] != a[2] or b[0] != b[2]):
                yield a, b


def _box(edges: Sequence[Edge]) -> Edge:
    return (
        min(min(e[0], e[2]) for e in edges),
        min(e[1] for e in edges),
        max(max(e[0], e[2]) for e in edges),
        max(e[3] for e in edges),
    )


def _slab(
    low: Number,
    high: Number,
    sides: Sequence[Side],
    levels: Sequence[Level],
    groups: Sequence[_Group],
    gap: int,
) -> Slab:
    crossed = sorted(
        (
            Boundary(
                edge_at(s.edge, low), edge_at(s.edge, high), "wall" if s.is_plumb else "rake"
            )
            for s in sides
            if s.edge[1] <= low and high <= s.edge[3]
        ),
        key=lambda b: b.low + b.high,
    )
    taken = [(g, _span(g, low, high)) for g in groups if g.low <= low and high <= g.high]
    whole = [span for group, span in taken if group.is_whole_box]
    every = [span for _, span in taken]
    here = [level for level in levels if level.low <= low and high <= level.high]
    ground: list[Span] = []
    free: list[Trapezoid] = []
    for left, right in zip(crossed[::2], crossed[1::2], strict=True):
        ground += _without((left.shifted(gap), right.shifted(-gap)), whole)
        for a, b in _clear_of(left, right, here) if here else ((left, right),):
            inner = (a.shifted(gap), b.shifted(-gap))
            free += (Trapezoid(low, high, *part) for part in _without(inner, every))
    return Slab(low, high, tuple(ground), tuple(free))


def _span(group: _Group, low: Number, high: Number) -> Span:
    left = next(e for e in group.left if e[1] <= low and high <= e[3])
    right = next(e for e in group.right if e[1] <= low and high <= e[3])
    return (
        Boundary(edge_at(left, low), edge_at(left, high), group.owner),
        Boundary(edge_at(right, low), edge_at(right, high), group.owner),
    )


def _clear_of(left: Boundary, right: Boundary, levels: Sequence[Level]) -> Iterable[Span]:
    """Take from a part of the outline what level sides keep clear."""
    parts = [(left, right)]
    for level in levels:
        kept = []
        for a, b in parts:
            if not a.twice < level.left + level.right < b.twice:
                kept.append((a, b))
                continue
            # A step lower than the clearance ends within it, and the wall goes on over it.
            over_left = level.riser_left and a.twice < 2 * level.left
            over_right = level.riser_right and b.twice > 2 * level.right
            if level.open_left or over_left:
                kept.append((a, upright(level.left, "level")))
            if level.open_right or over_right:
                kept.append((upright(level.right, "level"), b))
        parts = kept
    return parts


def upright(x: int, owner: str) -> Boundary:
    """Give a plumb boundary."""
    return Boundary(x, x, owner)


def _without(part: Span, spans: Iterable[Span]) -> list[Span]:
    """Take spans out of a part; what is left, from left to right."""
    # Each boundary with twice its middle, which is a sum of fractions.
    parts = [((part[0].twice, part[0]), (part[1].twice, part[1]))]
    for left, right in spans:
        start, end = (left.twice, left), (right.twice, right)
        kept = []
        for a, b in parts:
            if end[0] <= a[0] or start[0] >= b[0]:
                kept.append((a, b))
                continue
            if start[0] > a[0]:
                kept.append((a, start))
            if end[0] < b[0]:
                kept.append((end, b))
        parts = kept
    return [(a[1], b[1]) for a, b in parts if a[0] < b[0]]
