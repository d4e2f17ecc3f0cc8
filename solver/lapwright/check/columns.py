"""What is left of a polygon when others are taken from it, found by upright columns.

The plane is divided at every x at which a corner stands or two sides cross.  Between
two such places no sides cross, so that what is left is a stack of trapezoids there,
and all of it is exact.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    Number = int | Fraction
    Corner = tuple[Number, Number]
    Polygon = Sequence[Corner]


@dataclass(frozen=True, slots=True)
class Cell:
    """A trapezoid with upright sides. [ticks]"""

    left: Number
    right: Number
    low_left: Number
    low_right: Number
    high_left: Number
    high_right: Number

    def at(self, x: Number) -> tuple[Number, Number]:
        """Give the lower and the upper end at an x inside. [ticks]"""
        return (
            _between(self.left, self.low_left, self.right, self.low_right, x),
            _between(self.left, self.high_left, self.right, self.high_right, x),
        )

    @property
    def area(self) -> Fraction:
        """Its area. [ticks²]"""
        sides = self.high_left - self.low_left + self.high_right - self.low_right
        return Fraction((self.right - self.left) * sides, 2)

    def span(self, y: Number) -> tuple[Number, Number] | None:
        """Give the left and the right end at a height, None where it is not there."""
        left, right = self.left, self.right
        sides = (
            (self.low_left - y, self.low_right - y),
            (y - self.high_left, y - self.high_right),
        )
        # Each side asks for a linear function of x to be at most zero.
        for a, b in sides:
            if a > 0 and b > 0:
                return None
            if a > 0 or b > 0:
                zero = self.left + Fraction((self.right - self.left) * a) / (a - b)
                if a > 0:
                    left = max(left, zero)
                else:
                    right = min(right, zero)
        return (left, right) if left <= right else None


@dataclass(frozen=True, slots=True)
class _Side:
    """A side of a polygon that is not upright, from left to right."""

    x1: Number
    y1: Number
    x2: Number
    y2: Number

    def at(self, x: Number) -> Number:
        return _between(self.x1, self.y1, self.x2, self.y2, x)


def _between(x1: Number, y1: Number, x2: Number, y2: Number, x: Number) -> Number:
    if y1 == y2 or x == x1:
        return y1
    if x == x2:
        return y2
    return y1 + Fraction((y2 - y1) * (x - x1)) / (x2 - x1)


def cells_left(
    wanted: Polygon, removed: Sequence[Polygon], bottom: Number, top: Number
) -> list[Cell]:
    """Find what is left of a polygon between two heights.

    Parameters
    ----------
    wanted
        A simple polygon. [ticks]
    removed
        Simple polygons that are taken from it. [ticks]
    bottom, top
        What lies below or above is left out. [ticks]

    Returns
    -------
    list of Cell
        From left to right, and upwards within a column; none overlap.
    """
    near = (
        polygon
        for polygon in removed
        if min(y for _, y in polygon) < top and max(y for _, y in polygon) > bottom
    )
    shapes = [_sides(polygon) for polygon in (wanted, *near)]
    first, last = min(x for x, _ in wanted), max(x for x, _ in wanted)
    places = sorted(
        {x for x in _places(shapes, bottom, top) if first <= x <= last} | {first, last}
    )
    cells = []
    for left, right in pairwise(places):
        middle = Fraction(left + right) / 2
        stacks = [
            sorted(
                ((side.at(middle), side) for side in shape if side.x1 < middle < side.x2),
                key=lambda pair: pair[0],
            )
            for shape in shapes
        ]
        kept = list(_pairs(stacks[0]))
        for stack in stacks[1:]:
            for low, high in _pairs(stack):
                kept = [part for whole in kept for part in _without(whole, low, high)]
        for low, high in kept:
            if low[0] < top and high[0] > bottom:
                ends = [
                    min(max(side.at(x), bottom), top)
                    for side in (low[1], high[1])
                    for x in (left, right)
                ]
                cells.append(Cell(left, right, *ends))
    return cells


def connected(cells: Sequence[Cell]) -> list[tuple[Cell, ...]]:
    """Gather cells that join along an upright side, not at a mere point."""
    group = list(range(len(cells)))

    def find(i: int) -> int:
        while group[i] != i:
            group[i] = group[group[i]]
            i = group[i]
        return i

    starting: dict[Number, list[int]] = {}
    for i, cell in enumerate(cells):
        starting.setdefault(cell.left, []).append(i)
    for i, cell in enumerate(cells):
        for j in starting.get(cell.right, ()):
            other = cells[j]
            high = min(cell.high_right, other.high_left)
            if high > max(cell.low_right, other.low_left):
                group[find(j)] = find(i)
    parts: dict[int, list[Cell]] = {}
    for i, cell in enumerate(cells):
        parts.setdefault(find(i), []).append(cell)
    return [tuple(part) for part in parts.values()]


def _sides(polygon: Polygon) -> list[_Side]:
    following = [*polygon[1:], polygon[0]]
    return [
        _Side(*a, *b) if a[0] < b[0] else _Side(*b, *a)
        for a, b in zip(polygon, following, strict=True)
        if a[0] != b[0]
    ]


def _places(shapes: Sequence[Sequence[_Side]], bottom: Number, top: Number) -> Iterator[Number]:
    """Give every x at which the order of the sides from below to above may change."""
    near = []
    for shape in shapes:
        for side in shape:
            yield side.x1
            yield side.x2
            low, high = min(side.y1, side.y2), max(side.y1, side.y2)
            if low <= top and high >= bottom:
                near.append(side)
                if low < high:
                    run, rise = side.x2 - side.x1, side.y2 - side.y1
                    for level in (bottom, top):
                        if low < level < high:
                            yield side.x1 + Fraction((level - side.y1) * run) / rise
    for a, b in combinations(near, 2):
        if a.y1 == a.y2 and b.y1 == b.y2:
            continue
        left, right = max(a.x1, b.x1), min(a.x2, b.x2)
        if left >= right:
            continue
        before, after = a.at(left) - b.at(left), a.at(right) - b.at(right)
        if before * after < 0:
            yield left + Fraction((right - left) * before) / (before - after)


_Mark = tuple["Number", _Side]


def _pairs(stack: Sequence[_Mark]) -> Iterator[tuple[_Mark, _Mark]]:
    """Pair the sides that a column meets: in, out, in, out."""
    return zip(stack[::2], stack[1::2], strict=True)


def _without(
    whole: tuple[_Mark, _Mark], low: _Mark, high: _Mark
) -> Iterator[tuple[_Mark, _Mark]]:
    """Take one stretch from another."""
    if high[0] <= whole[0][0] or low[0] >= whole[1][0]:
        yield whole
        return
    if low[0] > whole[0][0]:
        yield whole[0], low
    if high[0] < whole[1][0]:
        yield high, whole[1]
