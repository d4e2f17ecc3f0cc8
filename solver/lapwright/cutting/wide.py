"""Pricing for very fine units: coarse lengths first, and one row in place of a table.

With lengths rounded to a coarser unit most patterns can be found in a small table,
of which those are kept that fit in truth; the last few rounds, and every bound, need
the exact one.  Where even that would not fit the memory, the bound is taken from a
coarser table that errs to the safe side.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting.knapsack import Knapsack, most_of_each

if TYPE_CHECKING:
    from lapwright.cutting.core import Core
    from lapwright.cutting.pool import Whole

COARSE = 10_000
"""About how many units the longest bin has in the coarse core."""
TABLE = 6_000_000
"""How many values a full table may hold."""
WIDE_TABLE = 60_000_000
"""How many entries the memory of a wide knapsack may have."""
MANY = 200
"""How many patterns a call gives at most."""


def knapsack_of(core: Core) -> Knapsack:
    """Give the knapsack that suits the number of stages and the capacity."""
    stages = sum(most.bit_length() for most in most_of_each(core))
    entries = (stages + 1) * (core.capacity + 1)
    if entries <= TABLE:
        return Knapsack(core)
    if entries <= WIDE_TABLE:
        return WideKnapsack(core)
    return LooseKnapsack(core, -(-entries // TABLE))


def coarse_of(core: Core) -> Core | None:
    """Give the core in a coarser unit, rounded to the nearest; None if needless.

    A pattern of it may be a little too long in truth.
    """
    unit = core.capacity // COARSE
    if unit < 2:
        return None
    return replace(
        core,
        lengths=tuple((2 * length + unit) // (2 * unit) for length in core.lengths),
        bins=tuple(replace(b, capacity=b.capacity // unit) for b in core.bins),
    )


class WideKnapsack(Knapsack):
    """A knapsack that keeps one row of values, and remembers what each stage took."""

    can_list = False

    def _make_tables(self, shape: tuple[int, int]) -> None:
        """Make the one row."""
        self._row = np.zeros(shape[1], dtype=np.int64)

    def fill(self, values: Whole, limits: Whole, waste: int | None = None) -> None:
        """Fill the row of the best values, as in a full table."""
        self.values, self.limits = values, limits
        self.waste = self.core.capacity if waste is None else waste
        self._split()
        row, last, total, mask = self._row, self._last, self._sum, self._mask
        self._fill_ends(row)
        last[0] = -1
        for stage, (size, gain) in enumerate(self._stages):
            end = len(row) - size
            np.add(row[:end], gain, out=total[:end])
            np.greater(total[:end], row[size:], out=mask[:end])
            np.maximum(row[size:], total[:end], out=row[size:])
            last[stage + 1] = last[stage]
            np.copyto(last[stage + 1, size:], stage, where=mask[:end])

    def best(self, capacity: int) -> int:
        """Give the greatest value of a pattern of a bin."""
        return int(self._row[capacity])

    def patterns(self, capacity: int, above: int) -> tuple[Whole, Whole]:
        """Give the best patterns of a bin and of shorter ones, the best first."""
        row = self._row[: capacity + 1]
        rises = np.flatnonzero(row[1:] > np.maximum(row[:-1], above)) + 1
        rooms = rises[::-1][:MANY]
        counts = self._blank(len(rooms))
        self._walk_ahead(np.full(len(rooms), len(self._stages)), rooms, counts)
        return counts, row[rooms]


class LooseKnapsack(Knapsack):
    """A knapsack in a coarser unit that holds every true pattern, and some more.

    Lengths and capacities are rounded down, so that what fits in truth fits here; the
    best value is never too low, which is what a bound needs.  Of the patterns those
    are given that fit in truth.

    Parameters
    ----------
    core
        The items and bins.
    unit
        How many of its units the coarser one has.
    """

    can_list = False

    def __init__(self, core: Core, unit: int) -> None:
        self._unit = unit
        self._true = np.array(core.lengths, dtype=np.int64)
        self._pieces = core.capacity // min(core.lengths)
        super().__init__(
            replace(
                core,
                lengths=tuple(length // unit for length in core.lengths),
                bins=tuple(replace(b, capacity=b.capacity // unit) for b in core.bins),
            )
        )

    def fill(self, values: Whole, limits: Whole, waste: int | None = None) -> None:
        """Fill the tables; each piece may have lost a unit by rounding."""
        if waste is not None:
            waste = min(self.core.capacity, waste // self._unit + self._pieces + 2)
        super().fill(values, limits, waste)

    def best(self, capacity: int) -> int:
        """Give a value that no pattern of a bin exceeds."""
        return super().best(capacity // self._unit)

    def patterns(self, capacity: int, above: int) -> tuple[Whole, Whole]:
        """Give good patterns of a bin that fit in truth, the best first."""
        counts, values = super().patterns(capacity // self._unit, above)
        fits = counts @ self._true <= capacity
        return counts[fits], values[fits]
