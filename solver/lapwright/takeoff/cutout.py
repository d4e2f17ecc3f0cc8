"""What must be cut out of a piece: its frame less what of it is free, as polygons.

The frame of a piece is its length and height between its ends, rakes taken off.  What
of it is not free is gathered into polygons that every level line meets in one span, so
that each has a left and a right chain of corners from the bottom up.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from lapwright.takeoff.run import Run
    from lapwright.takeoff.slab import Number, Trapezoid

Line = tuple["Number", "Number"]
"""A boundary's place at the lower and at the upper height of a slab. [ticks]"""
Corner = tuple["Number", "Number"]
"""A place along the wall, and a height above its bottom. [ticks]"""


@dataclass(frozen=True, slots=True)
class Rest:
    """A trapezoid of the frame that is not free. [ticks]"""

    low: Number
    high: Number
    left: Line
    right: Line
    owners: tuple[str, ...]
    """What its sides belong to."""


@dataclass(frozen=True, slots=True)
class Cutout:
    """A polygon to be cut out of a piece, on the wall. [ticks]"""

    left: tuple[Corner, ...]
    """Its left side, from the bottom up."""
    right: tuple[Corner, ...]
    """Its right side, from the bottom up."""
    owners: frozenset[str]

    @property
    def low(self) -> Number:
        """Its lowest height. [ticks]"""
        return self.left[0][1]

    @property
    def high(self) -> Number:
        """Its highest height. [ticks]"""
        return self.left[-1][1]


@dataclass(frozen=True, slots=True)
class Box:
    """A box that simple marks would cut out. [ticks]"""

    left: int
    right: int
    low: Number
    high: Number


@dataclass(frozen=True, slots=True)
class _Row:
    """A slab of a piece: what of it is free, and what is not. [ticks]"""

    low: Number
    high: Number
    free: tuple[tuple[Number, Number], ...]
    """Twice the middle of the left and of the right side of each part."""
    rest: tuple[Rest, ...]


def told_by(run: Run, left: int, right: int, top: Number, boxes: Sequence[Box]) -> bool:
    """Whether boxes cut out of a piece all that is not free, and nothing that is.

    Parameters
    ----------
    run
        The run.
    left, right
        The ends of the piece. [ticks]
    top
        Its highest point, from the wall's bottom. [ticks]
    boxes
        What would be cut out.
    """
    if not boxes and _is_plain(run, left, right, top):
        return True
    if any(not b.is_box and b.left < right and left < b.right for b in run.taken):
        return False
    uprights = {left, right, *(x for box in boxes for x in (box.left, box.right))}
    for row in _rows(run, left, right, top, sorted(uprights), boxes):
        spans = sorted(
            (2 * box.left, 2 * box.right)
            for box in boxes
            if box.low <= row.low and row.high <= box.high
        )
        if any(max(a, first) < min(b, last) for first, last in row.free for a, b in spans):
            return False
        for rest in row.rest:
            place, end = rest.left[0] + rest.left[1], rest.right[0] + rest.right[1]
            for a, b in spans:
                if a <= place:
                    place = max(place, b)
            if place < end:
                return False
    return True


def _is_plain(run: Run, left: int, right: int, top: Number) -> bool:
    """Whether one part of the run, plumb at both ends, fills a piece by itself."""
    if run.left.bends or run.right.bends or run.heights[0] >= top:
        return False
    (part, *others) = run.shape
    return (
        not others
        and part.low == run.heights[0]
        and part.high >= top
        and max(part.left.low, part.left.high) <= left
        and right <= min(part.right.low, part.right.high)
    )


def cutouts(run: Run, left: int, right: int, top: Number, least: int) -> list[Cutout]:
    """Find what must be cut out of a piece, from left to right.

    Parameters
    ----------
    run
        The run.
    left, right
        The ends of the piece. [ticks]
    top
        Its highest point, from the wall's bottom. [ticks]
    least
        A bend of a side by less than this is no bend. [ticks]
    """
    rows = [row.rest for row in _rows(run, left, right, top, (left, right), ())]
    found: list[list[Rest]] = []
    below: list[tuple[Rest, list[Rest]]] = []
    for number, row in enumerate(rows):
        here: list[tuple[Rest, list[Rest]]] = []
        for rest in row:
            under = [pair for pair in below if _joins(pair[0], rest)]
            over = [r for r in row if under and _joins(under[0][0], r)] if number else []
            if len(under) == 1 and len(over) == 1:
                stack = under[0][1]
                stack.append(rest)
            else:
                stack = [rest]
                found.append(stack)
            here.append((rest, stack))
        below = here
    made = [_cutout(stack, least) for stack in found]
    return sorted(made, key=lambda cut: (min(x for x, _ in cut.left), cut.low))


def _joins(lower: Rest, upper: Rest) -> bool:
    return lower.high == upper.low and max(lower.left[1], upper.left[0]) < min(
        lower.right[1], upper.right[0]
    )


def _cutout(stack: Sequence[Rest], least: int) -> Cutout:
    return Cutout(
        _chain(((rest.left, rest.low, rest.high) for rest in stack), least),
        _chain(((rest.right, rest.low, rest.high) for rest in stack), least),
        frozenset(owner for rest in stack for owner in rest.owners),
    )


def _chain(lines: Iterable[tuple[Line, Number, Number]], least: int) -> tuple[Corner, ...]:
    """Keep the bends of a chain of lines that stand on each other."""
    kept: list[Corner] = []
    for (x_low, x_high), low, high in lines:
        for corner in ((x_low, low), (x_high, high)):
            if kept and kept[-1] == corner:
                continue
            while len(kept) > 1 and not is_bent(kept[-2], kept[-1], corner, 0):
                kept.pop()
            kept.append(corner)
    bent = kept[:1]
    for i in range(1, len(kept) - 1):
        if is_bent(bent[-1], kept[i], kept[i + 1], least):
            bent.append(kept[i])
    return (*bent, kept[-1]) if len(kept) > 1 else tuple(kept)


def is_bent(a: Corner, b: Corner, c: Corner, least: int) -> bool:
    """Say whether a corner lies off the line between two others, across or upright.

    Parameters
    ----------
    a, b, c
        The corner is the one in the middle.
    least
        It lies off by so much at least; by anything, if this is nothing. [ticks]
    """
    wide, high = c[0] - a[0], c[1] - a[1]
    turn = wide * (b[1] - a[1]) - (b[0] - a[0]) * high
    return turn != 0 and max(turn, -turn) >= least * max(wide, -wide, high, -high)


def _rows(
    run: Run,
    left: int,
    right: int,
    top: Number,
    uprights: Sequence[int],
    boxes: Sequence[Box],
) -> Iterator[_Row]:
    """Cut a piece into slabs in which no boundary crosses an upright."""
    rows = run.rows()
    for low, high in pairwise(run.heights):
        if low >= top:
            return
        parts = [
            p
            for p in rows[low]
            if min(p.left.low, p.left.high) < right and left < max(p.right.low, p.right.high)
        ]
        lines = [(p.left.low, p.left.high) for p in parts]
        lines += [(p.right.low, p.right.high) for p in parts]
        lines += [
            (end.place(low, run.course.butt), end.place(high, run.course.butt))
            for end in (run.left, run.right)
            if end.bends
        ]
        marks = {low, high}
        marks.update(y for b in boxes for y in (b.low, b.high) if low < y < high)
        if low < top < high:
            marks.add(top)
        for a, b in lines:
            if a != b:
                first, last = (a, b) if a < b else (b, a)
                marks.update(
                    low + Fraction(high - low) * Fraction(x - a) / Fraction(b - a)
                    for x in uprights
                    if first < x < last
                )
        for y1, y2 in pairwise(sorted(marks)):
            if y1 >= top:
                return
            yield _row(run, parts, (low, high), (y1, y2), (left, right))


def _row(
    run: Run,
    parts: Sequence[Trapezoid],
    slab: tuple[Number, Number],
    part: tuple[Number, Number],
    ends: tuple[int, int],
) -> _Row:
    (low, high), (y1, y2), (left, right) = slab, part, ends

    def inside(line: Line) -> Line:
        """Cut a boundary to the part of the slab and to the piece."""
        a, b = line
        if a == b or (y1, y2) == slab:
            found = line
        else:
            share = Fraction(b - a) / Fraction(high - low)
            found = (a + share * (y1 - low), a + share * (y2 - low))
        return (
            min(max(found[0], left), right),
            min(max(found[1], left), right),
        )

    butt = run.course.butt
    start: Line = (left, left)
    end: Line = (right, right)
    if run.left.bends:
        start = inside((run.left.place(low, butt), run.left.place(high, butt)))
    if run.right.bends:
        end = inside((run.right.place(low, butt), run.right.place(high, butt)))
    free: list[tuple[Number, Number]] = []
    rest: list[Rest] = []
    place, reached, owner = start, start[0] + start[1], ""
    for here in parts:
        a = inside((here.left.low, here.left.high))
        b = inside((here.right.low, here.right.high))
        first, last = a[0] + a[1], b[0] + b[1]
        if first >= last:
            continue
        free.append((first, last))
        if reached < first:
            owners = tuple(o for o in (owner, here.left.owner) if o)
            rest.append(Rest(y1, y2, place, a, owners))
        if last > reached:
            place, reached, owner = b, last, here.right.owner
    if reached < end[0] + end[1]:
        rest.append(Rest(y1, y2, place, end, (owner,) if owner else ()))
    return _Row(y1, y2, tuple(free), tuple(rest))
