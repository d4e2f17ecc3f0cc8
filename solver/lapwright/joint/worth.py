"""What pieces are worth, and the bars that are worth most: a knapsack with two ends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from lapwright.joint.core import Core

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
        self, sizes: list[int], values: list[Any], most: list[int], capacity: int, dtype: type
    ) -> None:
        best: Values = np.zeros(capacity + 1, dtype=dtype)
        last = np.full(capacity + 1, -1, dtype=np.int32)
        self._layers: list[tuple[int, int, int, NDArray[np.int32]]] = []
        for kind, (size, value) in enumerate(zip(sizes, values, strict=True)):
            left = min(most[kind], capacity // size if size else capacity) if value > 0 else 0
            many = 1
            while left > 0:
                some = min(many, left)
                room = some * size
                if room > capacity:
                    break
                with_it = best[: capacity + 1 - room] + some * value
                better = with_it > best[room:]
                self._layers.append((kind, some, room, last))
                last = last.copy()
                last[room:][better] = len(self._layers) - 1
                best = best.copy()
                np.maximum(best[room:], with_it, out=best[room:])
                left -= some
                many *= 2
        self.best = best
        self._last = last

    def steps(self) -> list[int]:
        """List the rooms from which on more is worth more. [units]"""
        found: list[int] = (np.flatnonzero(self.best[1:] > self.best[:-1]) + 1).tolist()
        return [0, *found]

    def pieces(self, room: int) -> list[int]:
        """List the kinds of a best choice for a room."""
        found: list[int] = []
        last = self._last
        while True:
            layer = int(last[room])
            if layer < 0:
                return found
            kind, some, taken, last = self._layers[layer]
            found += [kind] * some
            room -= taken


class Bars:
    """The best worth of a bar's pieces in every room, ends included."""

    def __init__(self, plain: Plain, left: Values, right: Values) -> None:
        self._plain, self._left, self._right = plain, left, right
        size = len(plain.best)
        if not left.any():
            self._with_left = plain.best
            self._at = np.arange(size)
        else:
            best = np.full(size, -(1 << 60), dtype=left.dtype)
            at = np.zeros(size, dtype=np.int64)
            longest = np.maximum.accumulate(left)
            for room in plain.steps():
                worth = longest[: size - room] + plain.best[room]
                better = worth > best[room:]
                best[room:][better] = worth[better]
                at[room:][better] = room
            self._with_left, self._at = best, at
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
        if self._left.any():
            behind = int(self._at[room])
            left = int(self._left[: room - behind + 1].argmax())
            room = behind
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
    return Plain(
        core.sizes.tolist(),
        worth.plain.tolist(),
        core.most.tolist(),
        core.capacity,
        worth.left.dtype.type,
    )


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
    for c in core.classes:
        if id(c.plain) not in known:
            known[id(c.plain)] = (
                padded[c.plain].sum(axis=1)
                + worth.left[c.left]
                + worth.right[c.right]
                + c.uses @ use_worth
            )
    return [known[id(c.plain)] for c in core.classes]
