"""Column generation: the linear program over all patterns, a few of them at a time."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting.bounds import dual_bound
from lapwright.cutting.master import Answer, Master, centre
from lapwright.cutting.pool import Pool
from lapwright.cutting.wide import coarse_of, knapsack_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from lapwright.cutting.core import Core
    from lapwright.cutting.knapsack import Knapsack
    from lapwright.cutting.master import Real
    from lapwright.cutting.pool import Bar, Whole

SHARE = 24
"""In how many of the patterns that are added at once an item may be; more of them
make the linear program slow, less make more rounds."""
SHAKES = 80
"""How often item values are shaken in one look about."""
CLOSE = 0.03
"""What share of its cost a pattern may cost above its worth to be close."""
SCALE_BITS = 44
"""Dual values are kept to this many bits of the dearest bin, far from overflow."""


@dataclass(frozen=True, slots=True)
class Relaxed:
    """What column generation came to for one demand."""

    answer: Answer
    bound: Fraction
    """Proven in whole numbers [cost of the core]."""
    values: Whole
    """The item values that prove it, times the scale (items,)."""


class Columns:
    """The pool of patterns, and the linear program over it.

    Parameters
    ----------
    core
        The items and bins.
    is_over
        Tells whether the time is up.
    """

    def __init__(self, core: Core, is_over: Callable[[], bool]) -> None:
        self.core = core
        self.pool = Pool(len(core.lengths))
        self.near = Pool(len(core.lengths))
        """Patterns that only serve to find the middle of the dual values."""
        self.lengths = np.array(core.lengths, dtype=np.int64)
        self.knapsack = knapsack_of(core)
        coarse = coarse_of(core)
        self._coarse = knapsack_of(coarse) if coarse else None
        self.master = Master(core)
        self.scale = max(1, 2**SCALE_BITS // max(1, *(b.cost for b in core.bins)))
        # No pattern is worth so much that a sum leaves the range of the integers.
        self._dearest = 2.0**60 / (core.capacity // min(core.lengths) + 3)
        self.rounds = 0
        self.is_over = is_over
        self._fresh = 0

    def add(self, bin_: int, counts: Whole) -> int:
        """Add a pattern to the pool; the linear program hears of it when solved."""
        return self.pool.add(bin_, counts)

    def _whole(self, scaled: Real) -> Whole:
        """Round item values down to whole numbers; any such values prove a bound."""
        return np.floor(np.minimum(scaled, self._dearest)).astype(np.int64)

    def begin(self, bars: list[Bar]) -> None:
        """Start with the patterns of a plan, and with every item alone.

        With every item alone in the pool, the linear program has a solution for
        every demand that the supply allows.
        """
        for bin_, counts, _ in bars:
            self.add(bin_, counts)
        for item, length in enumerate(self.core.lengths):
            alone = np.zeros(len(self.core.lengths), dtype=np.int64)
            alone[item] = 1
            for k, b in enumerate(self.core.bins):
                if b.capacity >= length:
                    self.add(k, alone)

    def hand_over(self) -> None:
        """Tell the linear program of the patterns it does not know yet."""
        pool = self.pool
        if len(pool) > self._fresh:
            self.master.add(pool.counts[self._fresh :], pool.bins[self._fresh :])
            self._fresh = len(pool)

    def restrict(
        self, demand: Whole, supply: Sequence[int | None], allowed: NDArray[np.bool_]
    ) -> None:
        """Ask the linear program for less, and allow it the marked patterns only."""
        self.hand_over()
        self.master.set_demand(demand, supply)
        self.master.allow(allowed)

    def generate(
        self,
        demand: Whole,
        supply: Sequence[int | None],
        *,
        enough: int | None = None,
        to_the_end: bool = False,
        exact: bool = True,
        waste: int | None = None,
    ) -> Relaxed | None:
        """Add patterns until the linear program over all of them is solved.

        Parameters
        ----------
        demand, supply
            What is wanted (items,), and how many bars there are (bins,).
        enough
            Stop as soon as the bound proves that no plan costs less than this.
        to_the_end
            Go on even if the bound cannot rise to another whole number.
        exact
            Whether a bound is wanted; where lengths are very fine it costs much.
        waste
            How much of a bar may be left over; None is any.  The bound then holds
            only for plans that keep to it.

        Returns
        -------
        Relaxed or None
            None if the linear program has no solution.  When the time is up, what
            was proven until then; nothing where no bound was wanted.
        """
        core, scale = self.core, self.scale
        wanted = [int(n) for n in demand]
        bound = Fraction(0)
        proof = np.zeros(len(wanted), dtype=np.int64)
        is_coarse = self._coarse is not None
        while True:
            self.hand_over()
            answer = self.master.solve()
            if answer is None:
                return None
            if self.is_over():
                # What has been proven so far holds, whatever is still missing.
                return Relaxed(answer, bound, proof) if exact else None
            self.rounds += 1
            values = self._whole(answer.worth * scale)
            values[demand == 0] = 0
            if is_coarse and self._coarse is not None:
                self._coarse.fill(values, demand)
                if self._add_priced(self._coarse, answer):
                    continue
            result = Relaxed(answer, bound, proof)
            if is_coarse and not exact:
                return result
            is_coarse = False
            self.knapsack.fill(values, demand, waste)
            best = [max(0, self.knapsack.best(b.capacity)) for b in core.bins]
            proven = dual_bound(core, wanted, supply, values.tolist(), best, scale)
            if proven > bound:
                bound, proof = proven, values
            result = Relaxed(answer, bound, proof)
            if enough is not None and ceil(bound) >= enough:
                return result
            if not to_the_end and ceil(bound) >= ceil(answer.value - 1e-7):
                return result
            if not self._add_priced(self.knapsack, answer):
                return result

    def _add_priced(self, knapsack: Knapsack, answer: Answer) -> bool:
        """Add the patterns of a filled knapsack that promise to save something."""
        found = len(self.pool)
        is_exact = knapsack is self.knapsack
        bins = self.core.bins if is_exact else knapsack.core.bins
        for k, bin_ in enumerate(bins):
            cost = bin_.cost + answer.scarcity[k]
            above = int(cost * self.scale * (1 + 1e-10)) + 1
            if knapsack.best(bin_.capacity) <= above:
                continue
            counts, _ = knapsack.patterns(bin_.capacity, above)
            if not is_exact:
                filled = counts @ self.lengths
                counts = counts[filled <= self.core.bins[k].capacity]
            times = np.zeros(counts.shape[1], dtype=np.int64)
            for row in counts:
                held = row > 0
                if (times[held] < SHARE).all():
                    times += held
                    self.pool.add(k, row)
        return len(self.pool) > found

    def rows_of(
        self,
        counts: Whole,
        bins: Whole,
        demand: Whole,
        supply: Sequence[int | None],
    ) -> list[tuple[Whole, int | None, int | None]]:
        """Give the rows of demand and supply over some patterns."""
        rows: list[tuple[Whole, int | None, int | None]] = [
            (counts[:, i], int(n), None) for i, n in enumerate(demand)
        ]
        rows.extend(
            ((bins == k).astype(np.int64), None, there)
            for k, there in enumerate(supply)
            if there is not None
        )
        return rows

    def centred(
        self,
        demand: Whole,
        supply: Sequence[int | None],
        *,
        rounds: int,
        waste: int | None = None,
        last: Whole | None = None,
    ) -> Whole:
        """Give item values from the middle of those that prove the best bound.

        They often leave fewer patterns within a gap than the values of a corner do.

        Parameters
        ----------
        demand, supply
            What is wanted (items,), and how many bars there are (bins,).
        rounds
            How often missing patterns are added at most.
        waste
            How much of a bar may be left over; None is any.
        last
            The values of the last look about: patterns that cost much more than
            those make them worth hold the middle off, and are left out. (items,)

        Returns
        -------
        array
            Times the scale. (items,)
        """
        core, scale, pool = self.core, self.scale, self.pool
        costs = np.array([b.cost for b in core.bins], dtype=np.int64)
        best: Fraction | None = None
        result = np.zeros(len(demand), dtype=np.int64)
        forced = np.zeros(0, dtype=np.int64)
        for _ in range(rounds):
            on = self.within(waste)
            # New patterns come to the end, so that the places of the others stay.
            every = np.concatenate((self.near.counts, pool.counts[on]))
            bins_ = np.concatenate((self.near.bins, pool.bins[on]))
            used = np.ones(len(bins_), dtype=bool)
            if last is not None:
                used = every @ last >= (1 - CLOSE) * scale * costs[bins_]
                used[forced] = True
            counts, bins = every[used], bins_[used]
            rows = self.rows_of(counts, bins, demand, supply)
            dual = centre(costs[bins].astype(float), rows)
            if dual is None or self.is_over():
                break
            worth = np.maximum(dual[: len(demand)], 0.0)
            values = self._whole(worth * scale)
            self.knapsack.fill(values, demand, waste)
            most = [max(0, self.knapsack.best(b.capacity)) for b in core.bins]
            bound = dual_bound(core, demand.tolist(), supply, values.tolist(), most, scale)
            if best is None or bound > best:
                best, result = bound, values
            known = len(pool)
            for k, bin_ in enumerate(core.bins):
                above = int(bin_.cost * scale * (1 + 1e-7)) + 1
                if supply[k] is None and most[k] > above:
                    for row in self.knapsack.patterns(bin_.capacity, above)[0]:
                        pool.add(k, row)
            over = every @ values > scale * costs[bins_] * (1 + 1e-7)
            forced = np.union1d(forced, np.flatnonzero(over & ~used))
            if len(pool) == known and not (over & ~used).any():
                break
        return result

    def sample(self, values: Whole, least: list[int], demand: Whole, waste: int | None) -> int:
        """Look about for patterns that are worth nearly as much as they cost.

        With them in the program, the next middle of the dual values can set them
        apart.  The item values are shaken a little, always in the same way.

        Parameters
        ----------
        values
            Item values in the middle, times the scale. (items,)
        least
            The least worth of the patterns that are wanted. (bins,)
        demand
            What is wanted. (items,)
        waste
            How much of a bar may be left over; None is any.

        Returns
        -------
        int
            How many new ones were found.
        """
        known = len(self.near)
        chance = np.random.default_rng(len(self.near))
        for _ in range(SHAKES):
            shaken = values * (1 + 0.1 * chance.uniform(-1, 1, len(values)))
            self.knapsack.fill(self._whole(shaken), demand, waste)
            for k, bin_ in enumerate(self.core.bins):
                counts, _ = self.knapsack.patterns(bin_.capacity, 0)
                for row in counts[counts @ values >= least[k]]:
                    if self.pool.index(k, row) is None:
                        self.near.add(k, row)
        return len(self.near) - known

    def within(self, waste: int | None) -> NDArray[np.bool_]:
        """Mark the patterns that waste no more than so much (patterns,)."""
        if waste is None:
            return np.ones(len(self.pool), dtype=bool)
        capacities = np.array([b.capacity for b in self.core.bins])
        filled = self.pool.counts @ self.lengths
        within: NDArray[np.bool_] = capacities[self.pool.bins] - filled <= waste
        return within
