"""What is left of a polygon when others are taken from it, found by upright columns.

The plane is divided at every x at which a corner stands or two sides cross.  Between
two such places no sides cross, so that what is left is a stack of trapezoids there,
and all of it is exact.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

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
    if type(x) is int:
        rise, run = (y2 - y1) * (x - x1), x2 - x1
        if type(rise) is int and type(run) is int:
            whole, rest = divmod(rise, run)
            return y1 + (Fraction(rise, run) if rest else whole)
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
    within = _in_band(wanted, bottom, top)
    if not within:
        return []
    first, last = min(x for x, _ in within), max(x for x, _ in within)
    bands = [_in_band(polygon, bottom, top) for polygon in removed]
    shapes = [_sides(band) for band in (within, *(b for b in bands if b))]
    reaches = [(min(s.x1 for s in shape), max(s.x2 for s in shape)) for shape in shapes]
    places = sorted({x for x in _places(shapes) if first <= x <= last} | {first, last})
    cells = []
    for left, right in pairwise(places):
        stacks = [
            sorted(
                _mark(side.at(left), side.at(right))
                for side in shape
                if side.x1 <= left and right <= side.x2
            )
            for shape, (start, end) in zip(shapes, reaches, strict=True)
            if start <= left and right <= end
        ]
        kept = list(_pairs(stacks[0]))
        for stack in stacks[1:]:
            for low, high in _pairs(stack):
                kept = [part for whole in kept for part in _without(whole, low, high)]
        cells += [
            Cell(left, right, low[1], low[2], high[1], high[2])
            for low, high in kept
            if low[0] < high[0]
        ]
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


def hull_of(spots: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    """Give the corners of the least convex polygon round some spots."""
    ordered = sorted(set(spots))
    chains: list[list[tuple[int, int]]] = []
    for way in (ordered, ordered[::-1]):
        chain: list[tuple[int, int]] = []
        for c in way:
            while len(chain) > 1:
                a, b = chain[-2:]
                if (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) > 0:
                    break
                chain.pop()
            chain.append(c)
        chains.append(chain[:-1])
    return chains[0] + chains[1]


def _sides(polygon: Polygon) -> list[_Side]:
    following = [*polygon[1:], polygon[0]]
    return [
        _Side(*a, *b) if a[0] < b[0] else _Side(*b, *a)
        for a, b in zip(polygon, following, strict=True)
        if a[0] != b[0]
    ]


def _in_band(polygon: Polygon, bottom: Number, top: Number) -> list[Corner]:
    """Cut off what of a polygon lies below one height or above another."""
    kept: list[Corner] = list(polygon)
    if min(y for _, y in kept) >= top or max(y for _, y in kept) <= bottom:
        return []
    for level, sign in ((bottom, 1), (top, -1)):
        if all((y - level) * sign >= 0 for _, y in kept):
            continue
        corners, kept = kept, []
        for (x1, y1), (x2, y2) in zip(corners, [*corners[1:], corners[0]], strict=True):
            if (y1 - level) * sign >= 0:
                kept.append((x1, y1))
            if (y1 - level) * (y2 - level) < 0:
                kept.append((x1 + Fraction((x2 - x1) * (level - y1)) / (y2 - y1), level))
    return kept if min(x for x, _ in kept) < max(x for x, _ in kept) else []


def _places(shapes: Sequence[Sequence[_Side]]) -> Iterator[Number]:
    """Give every x at which the order of the sides from below to above may change."""
    sides = sorted((side for shape in shapes for side in shape), key=lambda side: side.x1)
    bounds = [(min(side.y1, side.y2), max(side.y1, side.y2)) for side in sides]
    for i, a in enumerate(sides):
        yield a.x1
        yield a.x2
        low, high = bounds[i]
        for j in range(i + 1, len(sides)):
            b = sides[j]
            if b.x1 >= a.x2:
                break
            if bounds[j][0] >= high or bounds[j][1] <= low:
                continue
            right = min(a.x2, b.x2)
            before, after = a.at(b.x1) - b.at(b.x1), a.at(right) - b.at(right)
            if before * after < 0:
                yield b.x1 + Fraction((right - b.x1) * before) / (before - after)


_Mark = tuple["Number", "Number", "Number"]
"""A side in a column: twice its height in the middle, its heights left and right."""


def _mark(left: Number, right: Number) -> _Mark:
    return left + right, left, right


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
