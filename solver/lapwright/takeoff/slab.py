"""What of a course is free for siding, as level slabs of exact trapezoids.

A course is cut at every height where something begins, ends or crosses.  Between two
such heights every boundary is straight and none crosses another, so that what is free
is a row of trapezoids, and the end gap is a plain shift along the course.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from lapwright.job.rules import Rules
    from lapwright.job.wall import Opening, Point, Wall
    from lapwright.takeoff.course import Course


@dataclass(frozen=True, slots=True)
class Boundary:
    """A straight side of a trapezoid, with what it belongs to."""

    low: Fraction
    """Place at the slab's lower height. [ticks]"""
    high: Fraction
    """Place at the slab's upper height. [ticks]"""
    owner: str
    """``wall``, ``rake``, ``level`` or the name of an opening after ``opening``."""

    @property
    def middle(self) -> Fraction:
        """Place at half height. [ticks]"""
        return (self.low + self.high) / 2

    def shifted(self, by: int) -> Boundary:
        """Move the boundary along the course. [ticks]"""
        return Boundary(self.low + by, self.high + by, self.owner)


@dataclass(frozen=True, slots=True)
class Trapezoid:
    """A free part of a slab, between two heights and two boundaries."""

    low: Fraction
    """Lower height. [ticks]"""
    high: Fraction
    """Upper height. [ticks]"""
    left: Boundary
    right: Boundary


@dataclass(frozen=True, slots=True)
class Slab:
    """A course between two heights."""

    low: Fraction
    """Lower height. [ticks]"""
    high: Fraction
    """Upper height. [ticks]"""
    ground: tuple[tuple[Boundary, Boundary], ...]
    """What would be free without notches and the clearance under eaves."""
    free: tuple[Trapezoid, ...]
    """From left to right."""


@dataclass(frozen=True, slots=True)
class Blocked:
    """A box of a course in which no siding may stand."""

    left: int
    right: int
    low: int
    high: int
    opening: Opening
    whole: bool
    """Whether it takes the course's whole height by itself."""


def blocked_by(
    opening: Opening, course: Course, rules: Rules, bottom: int = 0
) -> Blocked | None:
    """Give the box that an opening takes from a course, or None where they do not meet."""
    low = opening.sill - rules.sill_clearance
    if opening.head <= course.butt or low >= course.line:
        return None
    # A first course that the wall's bottom cuts begins there.
    whole = low <= max(course.butt, bottom) and opening.head >= course.line
    side = rules.end_gap if whole else rules.side_clearance
    return Blocked(
        left=opening.x - side,
        right=opening.right + side,
        low=low,
        high=opening.head + rules.head_clearance,
        opening=opening,
        whole=whole,
    )


def blocked_in(wall: Wall, course: Course, rules: Rules) -> list[Blocked]:
    """Give the boxes that the openings of a wall take from a course."""
    found = (blocked_by(o, course, rules, wall.bottom) for o in wall.openings)
    return [box for box in found if box is not None]


def cut_slabs(wall: Wall, course: Course, rules: Rules) -> tuple[Slab, ...]:
    """Cut a course into slabs, from the bottom up, and find what is free in each."""
    sides = _sides(wall.outline)
    levels = (*eaves_of(wall, rules), *roofs_of(wall, rules))
    boxes = blocked_in(wall, course, rules)
    heights = _heights(course, sides, levels, boxes, rules)
    return tuple(
        _slab(low, high, sides, levels, boxes, rules) for low, high in pairwise(heights)
    )


@dataclass(frozen=True, slots=True)
class _Side:
    """A side of the outline that is not level, from its lower end up."""

    bottom: Point
    top: Point
    is_left: bool
    """Whether the wall lies to its right."""

    def at(self, y: Fraction | int) -> Fraction:
        """Give x at a height. [ticks]"""
        rise = self.top.y - self.bottom.y
        return self.bottom.x + Fraction(self.top.x - self.bottom.x, rise) * (y - self.bottom.y)

    def reaches(self, x: int) -> Fraction | None:
        """Give the height at which it is at x, None for a plumb side. [ticks]"""
        run = self.top.x - self.bottom.x
        if run == 0:
            return None
        return self.bottom.y + Fraction(self.top.y - self.bottom.y, run) * (x - self.bottom.x)


@dataclass(frozen=True, slots=True)
class Level:
    """A level side of the outline: an eave above, or a lower edge over a roof."""

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


def _sides(outline: Sequence[Point]) -> tuple[_Side, ...]:
    pairs = zip(outline, [*outline[1:], outline[0]], strict=True)
    return tuple(
        _Side(a, b, is_left=False) if a.y < b.y else _Side(b, a, is_left=True)
        for a, b in pairs
        if a.y != b.y
    )


def eaves_of(wall: Wall, rules: Rules) -> tuple[Level, ...]:
    """List the level upper sides of a wall's outline, each lowered by the clearance."""
    # Counter-clockwise, a level side that runs to the left has the wall below it.
    return tuple(
        Level(b.x, a.x, a.y, a.y - rules.sill_clearance, a.y, after.y > a.y, before.y > a.y)
        for before, a, b, after in _levels(wall.outline)
        if a.x > b.x
    )


def roofs_of(wall: Wall, rules: Rules) -> tuple[Level, ...]:
    """List the level lower sides above the wall's bottom, each raised by the clearance."""
    return tuple(
        Level(a.x, b.x, a.y, a.y, a.y + rules.roof_clearance, before.y < a.y, after.y < a.y)
        for before, a, b, after in _levels(wall.outline)
        if a.x < b.x and a.y > wall.bottom
    )


def bottoms_of(wall: Wall) -> tuple[Level, ...]:
    """List the level sides of a wall's outline at its very bottom."""
    return tuple(
        Level(a.x, b.x, a.y, a.y, a.y, open_left=False, open_right=False)
        for _, a, b, _ in _levels(wall.outline)
        if a.x < b.x and a.y == wall.bottom
    )


def _levels(outline: Sequence[Point]) -> Iterator[tuple[Point, Point, Point, Point]]:
    """Give the two corners of each level side, between those before and after them."""
    count = len(outline)
    for i, start in enumerate(outline):
        end = outline[(i + 1) % count]
        if start.y == end.y:
            yield outline[i - 1], start, end, outline[(i + 2) % count]


def _heights(
    course: Course,
    sides: Sequence[_Side],
    levels: Sequence[Level],
    boxes: Sequence[Blocked],
    rules: Rules,
) -> list[Fraction]:
    """List the heights between which no two boundaries cross. [ticks]"""
    marks: set[Fraction] = {Fraction(course.butt), Fraction(course.line)}
    marks.update(Fraction(p.y) for side in sides for p in (side.bottom, side.top))
    marks.update(Fraction(y) for level in levels for y in (level.low, level.high))
    marks.update(Fraction(y) for box in boxes for y in (box.low, box.high))
    gap = rules.end_gap
    upright = {x for box in boxes for x in (box.left, box.right)}
    upright |= {x + by for e in levels for x in (e.left, e.right) for by in (-gap, 0, gap)}
    upright |= {
        s.bottom.x + (gap if s.is_left else -gap) for s in sides if s.bottom.x == s.top.x
    }
    sloped = [side for side in sides if side.bottom.x != side.top.x]
    for side in sloped:
        shift = gap if side.is_left else -gap
        for x in upright:
            y = side.reaches(x - shift)
            if y is not None:
                marks.add(y)
    for a, b in combinations(sloped, 2):
        y = _meeting(a, b, (gap if b.is_left else -gap) - (gap if a.is_left else -gap))
        if y is not None:
            marks.add(y)
    return sorted(y for y in marks if course.butt <= y <= course.line)


def _meeting(a: _Side, b: _Side, shift: int) -> Fraction | None:
    """Give the height where side a meets side b moved by a shift, if they are askew."""
    slope_a = Fraction(a.top.x - a.bottom.x, a.top.y - a.bottom.y)
    slope_b = Fraction(b.top.x - b.bottom.x, b.top.y - b.bottom.y)
    if slope_a == slope_b:
        return None
    return (b.at(0) + shift - a.at(0)) / (slope_a - slope_b)


def _slab(
    low: Fraction,
    high: Fraction,
    sides: Sequence[_Side],
    levels: Sequence[Level],
    boxes: Sequence[Blocked],
    rules: Rules,
) -> Slab:
    middle = (low + high) / 2
    crossed = sorted(
        (_boundary(side, low, high) for side in sides if side.bottom.y < middle < side.top.y),
        key=lambda b: b.middle,
    )
    gap = rules.end_gap
    whole = [box for box in boxes if box.whole]
    notching = [box for box in boxes if not box.whole and box.low < middle < box.high]
    ground: list[tuple[Boundary, Boundary]] = []
    free: list[Trapezoid] = []
    for left, right in zip(crossed[::2], crossed[1::2], strict=True):
        ground += _without((left.shifted(gap), right.shifted(-gap)), whole)
        for a, b in _clear_of(left, right, middle, levels):
            inner = (a.shifted(gap), b.shifted(-gap))
            free += (
                Trapezoid(low, high, *part) for part in _without(inner, [*whole, *notching])
            )
    return Slab(low, high, tuple(ground), tuple(free))


def _boundary(side: _Side, low: Fraction, high: Fraction) -> Boundary:
    owner = "wall" if side.bottom.x == side.top.x else "rake"
    return Boundary(side.at(low), side.at(high), owner)


def _clear_of(
    left: Boundary, right: Boundary, middle: Fraction, levels: Sequence[Level]
) -> Iterable[tuple[Boundary, Boundary]]:
    """Take from a part of the outline what level sides keep clear."""
    parts = [(left, right)]
    for level in levels:
        if not level.low < middle < level.high:
            continue
        kept = []
        for a, b in parts:
            if not a.middle < Fraction(level.left + level.right, 2) < b.middle:
                kept.append((a, b))
                continue
            if level.open_left:
                kept.append((a, _upright(level.left, "level")))
            if level.open_right:
                kept.append((_upright(level.right, "level"), b))
        parts = kept
    return parts


def _upright(x: int, owner: str) -> Boundary:
    return Boundary(Fraction(x), Fraction(x), owner)


def _without(
    part: tuple[Boundary, Boundary], boxes: Iterable[Blocked]
) -> list[tuple[Boundary, Boundary]]:
    """Take boxes out of a part; what is left, from left to right."""
    parts = [part]
    for box in boxes:
        owner = f"opening {box.opening.name}"
        kept = []
        for a, b in parts:
            if box.right <= a.middle or box.left >= b.middle:
                kept.append((a, b))
                continue
            if box.left > a.middle:
                kept.append((a, _upright(box.left, owner)))
            if box.right < b.middle:
                kept.append((_upright(box.right, owner), b))
        parts = kept
    return [(a, b) for a, b in parts if a.middle < b.middle]


def outline_widths(
    outline: Sequence[Point], low: int, high: int, edges: Iterable[int]
) -> Iterator[tuple[Fraction, Fraction, Fraction]]:
    """Cut the outline between two heights at upright lines.

    Parameters
    ----------
    outline
        The polygon; none of its corners lies between the two heights.
    low, high
        The heights. [ticks]
    edges
        Where the upright lines stand. [ticks]

    Yields
    ------
    left, right : Fraction
        The column's edges, or the outline's bounds where it ends first. [ticks]
    area : Fraction
        What lies in the column and inside the outline. [ticks²]
    """
    sides = [s for s in _sides(outline) if s.bottom.y <= low and high <= s.top.y]
    cuts = sorted(edges)
    marks = {Fraction(low), Fraction(high)}
    for side in sides:
        marks.update(y for x in cuts if (y := side.reaches(x)) is not None and low < y < high)
    for bottom, top in pairwise(sorted(marks)):
        crossed = sorted(
            (_boundary(side, bottom, top) for side in sides), key=lambda b: b.middle
        )
        for left, right in zip(crossed[::2], crossed[1::2], strict=True):
            inner = [x for x in cuts if left.middle < x < right.middle]
            places = [left, *(_upright(x, "") for x in inner), right]
            for a, b in pairwise(places):
                yield (
                    min(a.low, a.high),
                    max(b.low, b.high),
                    (b.middle - a.middle) * (top - bottom),
                )
