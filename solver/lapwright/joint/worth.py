"""What pieces are worth, and the bars that are worth most: a knapsack with two ends."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from lapwright.joint.core import Core, Flags
    from lapwright.joint.problem import Whole

    Values = NDArray[Any]
    """Whole numbers where a bound is proven, floats where one is sought."""


NEARLY = 1e-9
"""What is above another value by less than this is taken for it."""
LOOKS = 3
"""A list of bars is given up after so many partial bars for each that it may hold."""


@dataclass(frozen=True, eq=False, slots=True)
class Worth:
    """What pieces are worth by kind, and by what those with a factory end take."""

    plain: Values
    """(kinds,)"""
    left: Values
    """(capacity + 1,); nothing is worth 0."""
    right: Values
    """(capacity + 1,)"""


@dataclass(eq=False, slots=True)
class Duals:
    """Worths of the linear program."""

    worth: Worth
    uses: Values
    """Of a bar, by stock, and then of a seam. (stock + 1,)"""
    windows: Values
    """What a seam in a window costs. (windows,)"""


@dataclass(frozen=True, slots=True)
class Pattern:
    """What one bar yields."""

    stock: int
    plain: tuple[int, ...]
    """Kinds, one entry for each piece."""
    left: int
    """What its piece with the left end takes; 0 if none. [units]"""
    right: int


class Plain:
    """The best worth of pieces without factory ends in every room.

    Parameters
    ----------
    sizes, values, most
        Of the kinds: what one takes [units], what it is worth, how many there may be.
    capacity
        The largest room. [units]
    """

    def __init__(
        self, sizes: Whole, values: Values, most: Whole, capacity: int, dtype: type
    ) -> None:
        self._layers: list[tuple[int, int, int]] = []
        """Kind, how many of it at once, and what they take."""
        amounts: list[Any] = []
        for kind in _of_use(sizes, values, most, capacity).tolist():
            size, value = int(sizes[kind]), values[kind].item()
            left = min(int(most[kind]), capacity // max(size, 1))
            many = 1
            while left > 0:
                some = min(many, left)
                self._layers.append((kind, some, some * size))
                amounts.append(some * value)
                left -= some
                many *= 2
        best: Values = np.zeros(capacity + 1, dtype=dtype)
        self._better = np.zeros((len(self._layers), capacity + 1), dtype=bool)
        """Where a layer is worth more than those before it."""
        for layer, ((_, _, room), amount) in enumerate(zip(self._layers, amounts, strict=True)):
            with_it, behind = best[: capacity + 1 - room] + amount, best[room:]
            np.greater(with_it, behind, out=self._better[layer, room:])
            np.maximum(with_it, behind, out=behind)
        self.best = best

    def pieces(self, room: int) -> list[int]:
        """List the kinds of a best choice for a room."""
        found: list[int] = []
        layer = len(self._layers)
        while True:
            better = self._better[:layer, room].nonzero()[0]
            if not len(better):
                return found
            layer = int(better[-1])
            kind, some, taken = self._layers[layer]
            found += [kind] * some
            room -= taken


def _of_use(sizes: Whole, values: Values, most: Whole, capacity: int) -> Whole:
    """Leave out kinds in whose place there always is another, as short and worth as much.

    There is if so many of the others as there may be do not all fit beside one of the kind.
    """
    kinds = np.flatnonzero((values > 0) & (most > 0) & (sizes <= capacity))
    kinds = kinds[np.lexsort((-values[kinds], sizes[kinds]))]
    worth, many = values[kinds], len(kinds)
    # Exact, though of few digits: larger sums than the capacity are only too large.
    takes = np.minimum(sizes[kinds] * np.minimum(most[kinds], capacity), capacity + 1)
    is_as_good = worth[:, None] >= worth
    is_as_good &= _before(1 << many.bit_length())[:many, :many]
    beside = takes.astype(np.float32) @ is_as_good.astype(np.float32) + sizes[kinds]
    return np.sort(kinds[beside <= capacity])


@lru_cache(maxsize=4)
def _before(many: int) -> Flags:
    """Tell of which each comes before which. (many, many)"""
    return np.triu(np.ones((many, many), dtype=bool), 1)


def _steps(best: Values) -> Whole:
    """List the rooms from which on more is worth more, and none. [units]"""
    return np.append(0, np.flatnonzero(best[1:] > best[:-1]) + 1)


class Bars:
    """The best worth of a bar's pieces in every room, ends included."""

    def __init__(self, plain: Plain, left: Values, right: Values) -> None:
        self._plain, self._left, self._right = plain, left, right
        self._longest = np.maximum.accumulate(left) if left.any() else None
        if self._longest is None:
            self._with_left = plain.best
        else:
            size, longest = len(plain.best), self._longest
            best = np.full(size, -(1 << 60), dtype=left.dtype)
            stepped = [(_steps(each), each) for each in (plain.best, longest)]
            (rooms, few), (_, many) = sorted(stepped, key=lambda pair: len(pair[0]))
            for room, worth in zip(rooms.tolist(), few[rooms].tolist(), strict=True):
                behind = best[room:]
                np.maximum(behind, many[: size - room] + worth, out=behind)
            self._with_left = best
        self._any: Values | None = None

    @property
    def any_end(self) -> Values:
        """Give the best worth of left end and pieces without ends, by room."""
        if self._any is None:
            self._any = np.maximum.accumulate(self._with_left)
        return self._any

    def best_pattern(self, stock: int, room: int) -> Pattern:
        """Give a best pattern without a right end."""
        top = int(self._with_left[: room + 1].argmax())
        return self.pattern(stock, top, 0)

    def by_right(self, capacity: int) -> Values:
        """Give the best worth of a bar for each size of its piece with the right end."""
        found: Values = self._right[: capacity + 1] + self._with_left[capacity::-1]
        return found

    def pattern(self, stock: int, capacity: int, right: int) -> Pattern:
        """Give a best pattern of a bar, given its piece with the right end."""
        room = capacity - right
        left = 0
        if self._longest is not None:
            # The least of the rooms that leave the best one for the end.
            rest = int((self._longest[room::-1] + self._plain.best[: room + 1]).argmax())
            left, room = int(self._left[: room - rest + 1].argmax()), rest
        return Pattern(stock, tuple(sorted(self._plain.pieces(room))), left, right)


def bars_of(core: Core, worth: Worth) -> Bars:
    """Set up the knapsack for some worth of pieces."""
    return Bars(plain_of(core, worth), worth.left, worth.right)


def both_ways(core: Core, worth: Worth) -> tuple[Bars, Bars]:
    """Set up the knapsack, and once more with the ends exchanged."""
    plain = plain_of(core, worth)
    return Bars(plain, worth.left, worth.right), Bars(plain, worth.right, worth.left)


def plain_of(core: Core, worth: Worth) -> Plain:
    """Set up the knapsack of pieces without factory ends."""
    return Plain(core.sizes, worth.plain, core.most, core.capacity, worth.left.dtype.type)


def best_of_stock(core: Core, bars: Bars) -> list[Any]:
    """Give the greatest worth of a bar, by stock."""
    return [bars.by_right(capacity).max().item() for capacity in core.caps]


def patterns_above(
    core: Core, bars: Bars, worth: Worth, prices: list[float], many: int
) -> Iterator[Pattern]:
    """Give patterns of every stock that are worth more than it costs, unlike each other."""
    for stock, capacity in enumerate(core.caps):
        enough = prices[stock] + NEARLY
        by_right = bars.by_right(capacity)
        if worth.right.any():
            width = max(1, capacity // many)
            starts = np.arange(0, capacity + 1, width)
        else:
            width, starts = 1, np.zeros(1, dtype=np.int64)
        for start in starts.tolist():
            right = start + int(by_right[start : start + width].argmax())
            if by_right[right] > enough:
                yield bars.pattern(stock, capacity, right)
        # And the best ones that hold a certain kind.
        rooms = capacity - core.sizes
        fitting = np.flatnonzero((rooms >= 0) & (core.most > 0))
        values = bars.any_end[rooms[fitting]] + worth.plain[fitting]
        rank = np.argsort(-values, kind="stable")[: 2 * many]
        for kind, value in zip(fitting[rank].tolist(), values[rank].tolist(), strict=True):
            if value > enough:
                rest = bars.best_pattern(stock, int(rooms[kind]))
                if rest.plain.count(kind) >= core.most[kind]:
                    continue  # no plan has use for one more
                plain = tuple(sorted((*rest.plain, kind)))
                yield Pattern(stock, plain, rest.left, rest.right)


def patterns_within(core: Core, duals: Duals, gap: float, most: int) -> list[Pattern] | None:
    """List bars without factory ends that cost little beyond what they are worth.

    Only bars that no further piece fits into.

    Parameters
    ----------
    core
        The problem in units, without factory ends.
    duals
        What pieces are worth, and what bars cost.
    gap
        How much more a bar may cost. [dearest bars]
    most
        If there are more than this, or they are hard to find, there is no list.
    """
    best = plain_of(core, duals.worth).best
    kinds = np.flatnonzero(core.most > 0)
    sizes, values, held = core.sizes[kinds], duals.worth.plain[kinds], core.most[kinds]
    each = np.arange(len(kinds))
    found: list[Pattern] = []
    looked = 0
    for stock, capacity in enumerate(core.caps):
        enough = duals.uses[stock] - gap
        # What is open: pieces as rows of the kinds, in order; how many there are of the last
        # kind; what room is left; and worth.
        made = np.zeros((1, 0), dtype=np.int64)
        again, room, worth = np.zeros(1, dtype=np.int64), np.array([capacity]), np.zeros(1)
        while len(made):
            looked += len(made)
            rest = room[:, None] - sizes
            first = last = np.zeros(1, dtype=np.int64)
            if made.shape[1]:
                last = made[:, -1]
                first = last + (again >= held[last])
            is_next = each >= first[:, None]
            is_open = (rest >= 0) & is_next
            for at in np.flatnonzero((worth >= enough) & ~is_open.any(axis=1)).tolist():
                fitting = np.flatnonzero(rest[at] >= 0)
                has = np.bincount(made[at], minlength=len(kinds))
                if (has[fitting] >= held[fitting]).all():
                    found.append(Pattern(stock, tuple(kinds[made[at]].tolist()), 0, 0))
            if len(found) > most or looked > LOOKS * most:
                return None
            rank = worth[:, None] + values + best[np.maximum(rest, 0)]
            rows, more = np.nonzero(is_open & (rank >= enough))
            again = np.where(more == last[rows], again[rows] + 1, 1)
            room, worth = rest[rows, more], worth[rows] + values[more]
            made = np.column_stack((made[rows], more))
    return found


def way_worths(core: Core, worth: Worth, use_worth: Values) -> list[Values]:
    """Give what every way of every class is worth. (classes)(ways,)

    Parameters
    ----------
    use_worth
        Of a whole bar, by stock, and then of a seam. (stock + 1,)
    """
    padded = np.append(worth.plain, worth.plain.dtype.type(0))
    # Runs that are looked at one by one share the ways of their class.
    known: dict[int, Values] = {}
    for c, values in zip(core.classes, use_worths(core, use_worth), strict=True):
        if id(c.plain) not in known:
            for kinds in c.kinds:
                values = values + padded[kinds]
            if c.has_ends:
                values = values + worth.left[c.left] + worth.right[c.right]
            known[id(c.plain)] = values
    return [known[id(c.plain)] for c in core.classes]


def use_worths(core: Core, use_worth: Values) -> list[Values]:
    """Give what whole bars and seams of every way of every class are worth. (classes)(ways,)

    Parameters
    ----------
    use_worth
        Of a whole bar, by stock, and then of a seam. (stock + 1,)
    """
    known: dict[int, Values] = {}
    for c in core.classes:
        if id(c.use) not in known:
            known[id(c.use)] = (c.alike @ use_worth)[c.use]
    return [known[id(c.use)] for c in core.classes]
