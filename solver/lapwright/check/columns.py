"""What is left of a polygon when others are taken from it, found by upright columns.

The plane is divided at every x at which a corner stands or two sides cross.  Between
two such places no sides cross, so that what is left is a stack of trapezoids there,
and all of it is exact.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import lcm
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    Number = int | Fraction
    Corner = tuple[Number, Number]
    Polygon = Sequence[Corner]
    Mark = tuple[Number, Number, Number]
    """A side in a column: twice its height in the middle, its heights left and right."""
    Stretch = tuple[Mark, Mark]
    """From a lower to an upper side, in a column."""


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


def _between(x1: Number, y1: Number, x2: Number, y2: Number, x: Number) -> Number:
    if y1 == y2 or x == x1:
        return y1
    if x == x2:
        return y2
    return y1 + Fraction((y2 - y1) * (x - x1)) / (x2 - x1)


class Column(NamedTuple):
    """What stands between two places: the stretches of each polygon, by its number."""

    left: Number
    right: Number
    stacks: dict[int, list[Stretch]]
    """From the bottom up; a polygon that is not there is missing."""


def cells_left(
    wanted: Polygon, removed: Sequence[Polygon], bottom: int, top: int
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
    cells: list[Cell] = []
    for column in columns_of([wanted, *removed], bottom, top, 1):
        kept = column.stacks.pop(0, None)
        if kept is not None:
            cells += cells_of(column, without(kept, column.stacks.values()))
    return cells


def columns_of(
    polygons: Sequence[Polygon], bottom: int, top: int, leading: int
) -> Iterator[Column]:
    """Divide polygons into columns in which none of their sides cross.

    Parameters
    ----------
    polygons
        Simple polygons. [ticks]
    bottom, top
        What lies below or above is left out. [ticks]
    leading
        So many polygons tell how far the columns go.
    """
    sides = [
        side
        for number, polygon in enumerate(polygons)
        for side in _sides(polygon, number, bottom, top)
    ]
    first = min((side.x1 for side in sides if side.number < leading), default=0)
    last = max((side.x2 for side in sides if side.number < leading), default=0)
    waiting = sorted(
        (side for side in sides if side.x1 < last and first < side.x2),
        key=lambda side: side.x1,
        reverse=True,
    )
    places = {first, last, *_crossings(waiting, bottom, top)}
    places.update(side.x1 for side in waiting)
    places.update(side.x2 for side in waiting)
    standing: list[tuple[_Side, Number]] = []
    for left, right in pairwise(sorted(x for x in places if first <= x <= last)):
        while waiting and waiting[-1].x1 <= left:
            side = waiting.pop()
            standing.append((side, side.at(left)))
        reached = [(side, low, side.at(right)) for side, low in standing]
        marks: dict[int, list[Mark]] = {}
        for side, low, high in reached:
            marks.setdefault(side.number, []).append((low + high, low, high))
        yield Column(left, right, {number: _paired(found) for number, found in marks.items()})
        standing = [(side, high) for side, _, high in reached if side.x2 > right]


def cells_of(column: Column, stretches: Iterable[Stretch]) -> Iterator[Cell]:
    """Make cells of stretches of a column."""
    for low, high in stretches:
        if low[0] < high[0]:
            yield Cell(column.left, column.right, low[1], low[2], high[1], high[2])


def without(kept: list[Stretch], stacks: Iterable[Sequence[Stretch]]) -> list[Stretch]:
    """Take stretches of a column from others, from the bottom up."""
    for stack in stacks:
        for low, high in stack:
            kept = [part for whole in kept for part in _without(whole, low, high)]
    return kept


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


class _Side(NamedTuple):
    """A side of a polygon that is not upright, from left to right.

    It keeps the whole numbers of its line, for most of the time goes into fractions.
    """

    number: int
    """Of its polygon."""
    x1: Number
    y1: Number
    x2: Number
    y2: Number
    run: int
    """Above nothing: on the line, run × y = rise × x + base."""
    rise: int
    base: int

    def at(self, x: Number) -> Number:
        """Give its height at a place. [ticks]"""
        if not self.rise or x == self.x1:
            return self.y1
        if x == self.x2:
            return self.y2
        return _ratio(
            self.rise * x.numerator + self.base * x.denominator, self.run * x.denominator
        )


def _ratio(above: int, below: int) -> Number:
    """Divide, to a whole number where it comes out even."""
    whole, rest = divmod(above, below)
    return Fraction(above, below) if rest else whole


def _sides(polygon: Polygon, number: int, bottom: int, top: int) -> Iterator[_Side]:
    """Give the sides of what of a polygon lies between two heights, but no upright ones."""
    begin: Corner | None = None
    before: Corner | None = None
    x1, y1 = polygon[-1]
    for x2, y2 in polygon:
        a, b, (x1, y1) = (x1, y1), (x2, y2), (x2, y2)
        if (a[1] <= bottom and b[1] <= bottom) or (a[1] >= top and b[1] >= top):
            continue
        run, rise, base = _line(a, b)
        if not (bottom <= a[1] <= top):
            a = _met(run, rise, base, bottom if a[1] < bottom else top)
        if not (bottom <= b[1] <= top):
            b = _met(run, rise, base, bottom if b[1] < bottom else top)
        if before is None:
            begin = a
        elif before != a:
            # What lies beyond is cut off level, from where it leaves to where it is back.
            yield from _level(number, before[0], a[0], int(a[1]))
        before = b
        if a[0] < b[0]:
            yield _Side(number, *a, *b, run, rise, base)
        elif b[0] < a[0]:
            yield _Side(number, *b, *a, run, rise, base)
    if before is not None and begin is not None and before != begin:
        yield from _level(number, before[0], begin[0], int(begin[1]))


def _level(number: int, start: Number, end: Number, y: int) -> Iterator[_Side]:
    if start != end:
        yield _Side(number, min(start, end), y, max(start, end), y, 1, 0, y)


def _line(a: Corner, b: Corner) -> tuple[int, int, int]:
    """Give run, rise and base of the line through two corners; an upright has no run."""
    if b[0] < a[0]:
        a, b = b, a
    run, rise = b[0] - a[0], b[1] - a[1]
    if not rise:
        return a[1].denominator, 0, a[1].numerator
    base = a[1] * run - a[0] * rise
    whole = lcm(run.denominator, rise.denominator, base.denominator)
    return int(run * whole), int(rise * whole), int(base * whole)


def _met(run: int, rise: int, base: int, y: int) -> Corner:
    """Give where a line that is not level meets a height."""
    return _ratio(run * y - base, rise), y


def _crossings(sides: Sequence[_Side], bottom: int, top: int) -> Iterator[Number]:
    """Give every x at which two sides, ordered from the right, cross."""
    inner = [
        (min(side.y1, side.y2), max(side.y1, side.y2), side)
        for side in reversed(sides)
        # Nothing reaches over the two heights, so what lies along them crosses nothing.
        if side.rise or bottom < side.y1 < top
    ]
    for i, (low, high, a) in enumerate(inner):
        for j in range(i + 1, len(inner)):
            b_low, b_high, b = inner[j]
            if b.x1 >= a.x2:
                break
            if b_low >= high or b_high <= low:
                continue
            below = b.rise * a.run - a.rise * b.run
            if below:
                x = Fraction(a.base * b.run - b.base * a.run, below)
                if b.x1 < x < a.x2 and x < b.x2:
                    yield x


def _paired(marks: list[Mark]) -> list[Stretch]:
    """Pair the sides that a column meets: in, out, in, out."""
    if len(marks) > 1:
        marks.sort(key=_middle)
    return list(zip(marks[::2], marks[1::2], strict=True))


def _middle(mark: Mark) -> Number:
    return mark[0]


def _without(whole: Stretch, low: Mark, high: Mark) -> Iterator[Stretch]:
    """Take one stretch from another."""
    if high[0] <= whole[0][0] or low[0] >= whole[1][0]:
        yield whole
        return
    if low[0] > whole[0][0]:
        yield whole[0], low
    if high[0] < whole[1][0]:
        yield high, whole[1]
