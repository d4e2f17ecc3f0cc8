"""Pieces with factory ends: what any length would cost, and what it must be worth.

The linear program has a row for a length only once a way or a bar has it that is worth
looking at.  Worths at these lengths tell what a piece of any other length would cost: the
least that a bar yields it for.  A way that is cheap at these costs is worth looking at.
Worths that prove a bound are less than the costs: no more than what some run needs, so
that none of its ways is cheaper than the best.

References
----------
G. Muter, S. I. Birbil, K. Bulbul, "Simultaneous column-and-row generation for large-scale
linear programs with column-dependent-rows", Mathematical Programming 142 (2013), 47-82,
doi 10.1007/s10107-012-0561-8, for columns that bring rows with them.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from lapwright.joint.worth import Pattern

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lapwright.joint.core import Core, RunClass
    from lapwright.joint.problem import Whole
    from lapwright.joint.worth import Bars, Values

NEVER = 1e9
"""What a piece costs that no bar yields. [dearest bars]"""


@dataclass(eq=False, slots=True)
class Known:
    """The lengths of pieces with one of the ends that the linear program has rows for."""

    rows: dict[int, int] = field(default_factory=dict)
    """By what a piece takes [units]."""
    sizes: list[int] = field(default_factory=list)
    """In order. [units]"""

    def put(self, size: int, row: int) -> tuple[int | None, int | None]:
        """Add a length; give the rows of the next shorter and the next longer one."""
        at = bisect_left(self.sizes, size)
        shorter = self.rows[self.sizes[at - 1]] if at else None
        longer = self.rows[self.sizes[at]] if at < len(self.sizes) else None
        self.sizes.insert(at, size)
        self.rows[size] = row
        return shorter, longer

    def is_new(self, capacity: int) -> Values:
        """Give 1 for every length that has no row. (capacity + 1,)"""
        found = np.ones(capacity + 1)
        found[self.sizes] = found[0] = 0.0
        return found

    def spread(self, dual: Values, capacity: int) -> Values:
        """Give the worth of every length that has a row, and 0 elsewhere. (capacity + 1,)"""
        found = np.zeros(capacity + 1)
        found[list(self.rows)] = np.maximum(dual[list(self.rows.values())], 0.0)
        return found


@dataclass(frozen=True, eq=False, slots=True)
class Offer:
    """What a piece that keeps one of the ends costs, by what it takes."""

    cost: Values
    """Nothing costs 0. (capacity + 1,) [dearest bars]"""
    stock: Whole
    """Whose bar yields it; -1 where a longer one is cut back that has a row.
    (capacity + 1,)"""
    rest: Bars
    """What else a bar yields: pieces with the other end are those it takes for left ones."""

    def pattern(self, core: Core, side: int, size: int) -> Pattern | None:
        """Give the bar that yields a piece, or None where a longer one is cut back."""
        stock = int(self.stock[size])
        if stock < 0:
            return None
        rest = self.rest.best_pattern(stock, core.caps[stock] - size)
        ends = (rest.left, size) if side else (size, rest.left)
        return Pattern(stock, rest.plain, *ends)


def offer(core: Core, known: Known, worth: Values, rest: Bars, prices: Values) -> Offer:
    """Find what a piece of any length with one of the ends would cost.

    Parameters
    ----------
    core
        The problem in units.
    known
        Lengths that have a row, and their worth, by what they take. (capacity + 1,)
    rest
        What bars yield besides.
    prices
        Of bars, by stock, and of a seam. (stock + 1,)
    """
    cost, stock = of_bars(core, rest, prices)
    if known.sizes:
        sizes = np.array(known.sizes)
        longer = np.searchsorted(sizes, np.arange(sizes[-1] + 1))
        back = worth[sizes][longer]
        better = np.flatnonzero(back < cost[: len(back)])
        cost[better], stock[better] = back[better], -1
    return Offer(cost, stock, rest)


def of_bars(core: Core, rest: Bars, prices: Values) -> tuple[Values, Whole]:
    """Give what a piece of any length costs from a bar of its own, and of which stock."""
    cost, stock = np.full(core.capacity + 1, NEVER), np.full(core.capacity + 1, -1)
    for k, capacity in enumerate(core.caps):
        of_bar = np.maximum(prices[k] - rest.any_end[capacity::-1], 0.0)
        better = np.flatnonzero(of_bar < cost[: capacity + 1])
        cost[better], stock[better] = of_bar[better], k
    cost[0] = 0.0
    return cost, stock


@dataclass(frozen=True, eq=False, slots=True)
class _Order:
    """The ways of a class, in the order of what their piece with one of the ends takes."""

    ways: Whole
    starts: Whole
    sizes: Whole


class Needs:
    """Tells what pieces must be worth for no way to be cheaper than the best of its run.

    Parameters
    ----------
    classes
        One class of every group.
    """

    def __init__(self, classes: Sequence[RunClass]) -> None:
        orders: dict[int, tuple[_Order, _Order]] = {}
        for c in classes:
            if id(c.left) not in orders:  # runs that are looked at one by one share ways
                orders[id(c.left)] = _order(c.left), _order(c.right)
        self._orders = [orders[id(c.left)] for c in classes]

    def least(self, side: int, lacking: Mapping[int, Values], capacity: int) -> Need:
        """Find what pieces that keep one of the ends must be worth at least.

        Parameters
        ----------
        side
            0 for the left end, 1 for the right one.
        lacking
            By group what each of its ways lacks without its piece. (ways,)
        capacity
            [units]
        """
        least, group = np.zeros(capacity + 1), np.full(capacity + 1, -1)
        for number, values in lacking.items():
            order = self._orders[number][side]
            most = np.maximum.reduceat(values[order.ways], order.starts)
            better = np.flatnonzero(most > least[order.sizes])
            least[order.sizes[better]] = most[better]
            group[order.sizes[better]] = number
        least[0] = 0.0
        orders = {number: self._orders[number][side] for number in lacking}
        return Need(least, group, lacking, orders)


@dataclass(frozen=True, eq=False, slots=True)
class Need:
    """What pieces that keep one of the ends must be worth, by what they take."""

    worth: Values
    """(capacity + 1,)"""
    group: Whole
    """Which group needs it, -1 where none does. (capacity + 1,)"""
    lacking: Mapping[int, Values]
    orders: Mapping[int, _Order]

    def behind(self, size: int) -> tuple[int, int] | None:
        """Give the group and the way that need a length to be worth so much."""
        number = int(self.group[size])
        if number < 0:
            return None
        order = self.orders[number]
        at = int(np.searchsorted(order.sizes, size))
        end = order.starts[at + 1] if at + 1 < len(order.starts) else len(order.ways)
        ways = order.ways[order.starts[at] : end]
        return number, int(ways[self.lacking[number][ways].argmax()])


def _order(takes: Whole) -> _Order:
    ways = np.argsort(takes, kind="stable")
    sizes, starts = np.unique(takes[ways], return_index=True)
    return _Order(ways, starts, sizes)
