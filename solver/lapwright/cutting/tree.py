"""Branch and cut over a complete list of patterns, with bounds in whole numbers.

The list holds every pattern that a plan of the wanted cost can use, so nothing has to
be priced in the tree, and any row over the patterns may be branched on or cut with.
"""

from __future__ import annotations

from enum import Enum
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting.cuts import NEARLY, Row, broken_rows, together
from lapwright.cutting.master import Rows

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from lapwright.cutting.master import Basis
    from lapwright.cutting.pool import Whole

    Real = NDArray[np.float64]

SURELY = 1e-4
CUT_ROUNDS = 8
ALL = 1_500
"""A list of so many patterns goes into the program at once."""
EACH = 8
"""Of a longer one, about so many that hold each item."""
PROBES = 8
"""Patterns are probed if there are so many for each node that is allowed, or fewer."""
PROBE_MOST = 3_000
"""With more patterns than this, probing takes too long."""
AT_ONCE = 200
"""How many missing patterns are added at once."""


class End(Enum):
    """How a tree ended."""

    FOUND = "found"
    NONE = "none"
    """Proven: there is no such plan."""
    OPEN = "open"


class Tree:
    """The search for a plan that costs at most so much.

    Parameters
    ----------
    counts
        Every pattern that such a plan can use. (patterns, items)
    costs
        What a bar of each costs. (patterns,)
    demand
        What is wanted at least. (items,)
    limits
        Further rows that a plan must keep, such as a counted supply.
    groups
        Weights of whole sums that are branched on before all others. (patterns,)
    most
        The greatest cost that is wanted.
    """

    def __init__(
        self,
        counts: Whole,
        costs: Whole,
        demand: Whole,
        limits: list[Row],
        groups: list[Whole],
        most: int,
    ) -> None:
        self.counts, self.most, self._groups = counts, most, groups
        self._demand, self._costs = demand, costs
        self._scale = 2**40 // max(1, int(costs.max(initial=1)))
        ceilings = -(-demand[None, :] // np.maximum(counts, 1))
        self._most_of = np.where(counts > 0, ceilings, 0).max(axis=1, initial=0)
        self.rows = [Row(counts[:, i], int(n), None) for i, n in enumerate(demand)]
        self.rows.extend(limits)
        self._program = Rows(200.0 * (most + 1))
        self._branch: tuple[Row, ...] = ()
        self._active = np.zeros(0, dtype=np.int64)
        self._is_active = np.zeros(len(counts), dtype=bool)
        self._pieces = int(counts.sum(axis=1).max(initial=0))
        self._gone = np.zeros(len(counts), dtype=bool)
        for row in self.rows:
            self._push(row)
        self._activate(self._first_ones())
        self.nodes = 0

    def search(self, is_over: Callable[[], bool], nodes: int) -> tuple[End, Whole | None]:
        """Search until the end, the time is up, or so many nodes were seen.

        Returns
        -------
        tuple
            How it ended, and how often each pattern is used if a plan was found.
        """
        for _ in range(CUT_ROUNDS):
            bound, use = self._relax((), None)
            if bound > self.most:
                return End.NONE, None
            if use is None or is_over():
                return End.OPEN, None
            cuts = [] if self._is_whole(use) else broken_rows(self.counts, self._demand, use)
            if not cuts:
                break
            self.rows.extend(cuts)
            for cut in cuts:
                self._push(cut)
        if len(self.counts) <= min(PROBE_MOST, PROBES * nodes):
            end, plan = self._probe(is_over)
            if end is not End.OPEN:
                return end, plan
        waiting: list[tuple[tuple[Row, ...], Basis | None]] = [((), None)]
        is_complete = True
        while waiting:
            if is_over() or self.nodes >= nodes:
                return End.OPEN, None
            branch, basis = waiting.pop()
            self.nodes += 1
            bound, use = self._relax(branch, basis)
            if bound > self.most:
                continue
            if use is None:
                is_complete = False
                continue
            if self._is_whole(use):
                whole = np.rint(use[:-1]).astype(np.int64)
                if self._holds(whole):
                    return End.FOUND, whole
                is_complete = False
                continue
            weights, value = self._split(use)
            down, up = int(np.floor(value)), int(np.floor(value)) + 1
            basis = self._program.basis()
            waiting.append(((*branch, Row(weights, None, down)), basis))
            waiting.append(((*branch, Row(weights, up, None)), basis))
        return (End.NONE if is_complete else End.OPEN), None

    def _probe(self, is_over: Callable[[], bool]) -> tuple[End, Whole | None]:
        """Take out every pattern that no plan can use even once, until none is left.

        A pattern may be part of the linear program's best mixture and yet, when one
        whole bar of it is asked for, make everything else too dear.
        """
        while True:
            bound, use = self._relax((), None)
            if bound > self.most:
                return End.NONE, None
            if use is None:
                return End.OPEN, None
            basis = self._program.basis()
            out = 0
            for at in np.flatnonzero(~self._gone):
                if is_over():
                    return End.OPEN, None
                weights = np.zeros(len(self.counts), dtype=np.int64)
                weights[at] = 1
                bound, use = self._relax((Row(weights, 1, None),), basis)
                if bound > self.most:
                    self._gone[at] = True
                    out += 1
                    if self._is_active[at]:
                        place = int(np.flatnonzero(self._active == at)[0])
                        self._program.forbid(place)
                elif use is not None and self._is_whole(use):
                    plan = np.rint(use[:-1]).astype(np.int64)
                    if self._holds(plan):
                        return End.FOUND, plan
            if not out:
                return End.OPEN, None

    def _holds(self, plan: Whole) -> bool:
        """Recount a plan in whole numbers."""
        if int(plan @ self._costs) > self.most:
            return False
        for row in self.rows:
            total = int(plan @ row.weights)
            if row.low is not None and total < row.low:
                return False
            if row.high is not None and total > row.high:
                return False
        return True

    def _first_ones(self) -> Whole:
        """Choose the patterns to start with: all, or a few that hold each item."""
        number = len(self.counts)
        if number <= ALL:
            return np.arange(number)
        chosen = np.zeros(number, dtype=bool)
        for item in range(len(self._demand)):
            holding = np.flatnonzero(self.counts[:, item])
            chosen[holding[:: max(1, len(holding) // EACH)]] = True
        return np.flatnonzero(chosen)

    def _push(self, row: Row) -> None:
        """Add a row to the program."""
        self._program.push(row.weights[self._active], row.low, row.high)

    def _activate(self, chosen: Whole) -> None:
        """Add patterns to the program."""
        rows = [*self.rows, *self._branch]
        weights = np.stack([row.weights[chosen] for row in rows], axis=1)
        self._program.add(self._costs[chosen].astype(float), weights)
        self._active = np.concatenate((self._active, chosen))
        self._is_active[chosen] = True

    def _relax(
        self, branch: tuple[Row, ...], basis: Basis | None
    ) -> tuple[Fraction, Real | None]:
        """Solve the linear program of a node; give a proven bound, and the uses."""
        shared = 0
        for mine, other in zip(branch, self._branch, strict=False):
            if mine is not other:
                break
            shared += 1
        if shared < len(self._branch):
            # All but the last row of a branch are those of the node it comes from.
            self._program.pop(len(self._branch) - shared)
            for row in branch[shared:-1]:
                self._push(row)
            if basis is not None:
                self._program.start_from(basis)
            shared = len(branch) - 1
        for row in branch[shared:]:
            self._push(row)
        self._branch = branch
        rows = [*self.rows, *branch]
        while True:
            solved = self._program.solve()
            if solved is None:
                return Fraction(0), None
            found, dual = solved
            bound, worth = self._bound(rows, dual)
            over = worth - self._scale * self._costs
            over[self._is_active | self._gone] = 0
            missing = np.flatnonzero(over > self._scale // 10**6)
            if bound > self.most or not len(missing):
                break
            best = np.argsort(-over[missing], kind="stable")[:AT_ONCE]
            self._activate(missing[best])
        use = np.zeros(len(self._costs) + 1)
        use[self._active] = found[1:]
        use[-1] = found[0]
        return bound, use

    def _bound(self, rows: list[Row], dual: Real) -> tuple[Fraction, Whole]:
        """Prove a bound in whole numbers from dual values that need not be right.

        Returns
        -------
        tuple
            The bound, and what the dual values make each pattern worth, times the
            scale (patterns,).
        """
        # The scale is small enough that no sum leaves the range of the integers.
        heaviest = float(np.abs(dual).max(initial=0.0)) * self._weight_of(rows) + 1.0
        scale = min(self._scale, int(2.0**61 / heaviest))
        whole = np.floor(dual * scale).astype(np.int64)
        items = len(self._demand)
        # A first row asks for at least so much, and may not be worth less than nothing.
        first = np.maximum(whole[:items], 0)
        worth = self.counts @ first
        pairs = zip(first.tolist(), self._demand.tolist(), strict=True)
        total = sum(y * wanted for y, wanted in pairs)
        for row, y in zip(rows[items:], whole[items:].tolist(), strict=True):
            side = row.low if y > 0 else row.high
            if y == 0 or side is None:
                continue
            worth += y * row.weights
            total += y * side
        worth[self._gone] = 0
        ratio = Fraction(1)
        paid = self._costs > 0
        for cost in np.unique(self._costs[paid]).tolist():
            most = int(worth[self._costs == cost].max())
            ratio = max(ratio, Fraction(most, max(1, scale) * cost))
        # A pattern that costs nothing can be worth no more than it is used at most.
        pairs = zip(worth[~paid].tolist(), self._most_of[~paid].tolist(), strict=True)
        free = sum(max(0, value) * often for value, often in pairs)
        if not scale:
            return Fraction(0), worth
        return Fraction(total - free, scale) / ratio, worth * (self._scale // scale)

    def _weight_of(self, rows: list[Row]) -> float:
        """Give more than the weights that any pattern has in some rows together."""
        further = sum(int(row.weights.max(initial=0)) for row in rows[len(self._demand) :])
        return float(self._pieces + further)

    def _is_whole(self, use: Real) -> bool:
        """Tell whether all uses are whole, and nothing is left uncovered."""
        return bool(np.abs(use - np.rint(use)).max() < NEARLY and use[-1] < NEARLY)

    def _split(self, use: Real) -> tuple[Whole, float]:
        """Choose a row of whole weights whose value is well between whole numbers."""
        # How many bars of each stock length decides more than any pair of pieces.
        for weights in self._groups:
            value = float(use[:-1] @ weights)
            if abs(value - round(value)) > SURELY:
                return weights, value
        pair = together(self.counts, use)
        part = np.abs(pair - np.rint(pair))
        i, j = np.unravel_index(int(part.argmax()), part.shape)
        if part[i, j] > SURELY:
            both = (self.counts[:, i] > 0) & (self.counts[:, j] > 0)
            return both.astype(np.int64), float(pair[i, j])
        at = int(np.abs(use[:-1] - np.rint(use[:-1])).argmax())
        weights = np.zeros(len(self.counts), dtype=np.int64)
        weights[at] = 1
        return weights, float(use[at])
