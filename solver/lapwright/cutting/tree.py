"""Branch and cut over a complete list of patterns, with bounds in whole numbers.

The list holds every pattern that a plan of the wanted cost can use, so nothing has to
be priced in the tree, and any row over the patterns may be branched on or cut with.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting.master import Rows

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from lapwright.cutting.master import Basis
    from lapwright.cutting.pool import Whole

    Real = NDArray[np.float64]

NEARLY = 1e-6
SURELY = 1e-4
CUT_ROUNDS = 8
NODE_ROUNDS = 1
CUTS_A_ROUND = 40
ALL = 1_500
"""A list of so many patterns goes into the program at once."""
EACH = 8
"""Of a longer one, about so many that hold each item."""
AT_ONCE = 200
"""How many missing patterns are added at once."""


class End(Enum):
    """How a tree ended."""

    FOUND = "found"
    NONE = "none"
    """Proven: there is no such plan."""
    OPEN = "open"


@dataclass(frozen=True, slots=True)
class Row:
    """A row over the patterns: at least `low`, at most `high`; None is no limit."""

    weights: Whole
    low: int | None
    high: int | None


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
        waiting: list[tuple[tuple[Row, ...], Basis | None]] = [((), None)]
        is_complete = True
        for _ in range(CUT_ROUNDS):
            bound, use = self._relax((), None)
            if bound > self.most:
                return End.NONE, None
            if use is None or is_over():
                return End.OPEN, None
            if self._is_whole(use):
                break
            cuts = self._cuts(use)
            if not cuts:
                break
            self.rows.extend(cuts)
            for cut in cuts:
                self._push(cut)
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
                plan = np.rint(use[:-1]).astype(np.int64)
                if self._holds(plan):
                    return End.FOUND, plan
                is_complete = False
                continue
            for _ in range(NODE_ROUNDS):
                cuts = self._cuts(use)
                if not cuts:
                    break
                branch = (*branch, *cuts)
                bound, use_ = self._relax(branch, None)
                if bound > self.most or use_ is None:
                    break
                use = use_
                if self._is_whole(use):
                    break
            if bound > self.most:
                continue
            weights, value = self._split(use)
            down, up = int(np.floor(value)), int(np.floor(value)) + 1
            basis = self._program.basis()
            waiting.append(((*branch, Row(weights, None, down)), basis))
            waiting.append(((*branch, Row(weights, up, None)), basis))
        return (End.NONE if is_complete else End.OPEN), None

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
            over[self._is_active] = 0
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
        whole = np.floor(dual * self._scale).astype(np.int64)
        items = len(self._demand)
        # A first row asks for at least so much, and may not be worth less than nothing.
        first = np.maximum(whole[:items], 0)
        worth = self.counts @ first
        total = int(first @ self._demand)
        for row, y in zip(rows[items:], whole[items:].tolist(), strict=True):
            side = row.low if y > 0 else row.high
            if y == 0 or side is None:
                continue
            worth += y * row.weights
            total += y * side
        ratio = Fraction(1)
        paid = self._costs > 0
        for cost in np.unique(self._costs[paid]).tolist():
            most = int(worth[self._costs == cost].max())
            ratio = max(ratio, Fraction(most, self._scale * cost))
        # A pattern that costs nothing can be worth no more than it is used at most.
        free = np.maximum(worth[~paid], 0) @ self._most_of[~paid]
        return Fraction(total - int(free), self._scale) / ratio, worth

    def _is_whole(self, use: Real) -> bool:
        """Tell whether all uses are whole, and nothing is left uncovered."""
        return bool(np.abs(use - np.rint(use)).max() < NEARLY and use[-1] < NEARLY)

    def _cuts(self, use: Real) -> list[Row]:
        """Give rounded-up rows over three items each that the uses break.

        Half the sum of three rows, rounded up on both sides, holds for whole uses
        (Chvatal-Gomory; for unit demands these are the subset rows of M. Jepsen,
        B. Petersen, S. Spoorendonk, D. Pisinger, Operations Research 56 (2008),
        497-511, doi 10.1287/opre.1070.0449).
        """
        on = np.flatnonzero(use[:-1] > NEARLY)
        counts, x = self.counts[on], use[on]
        pair = self._together(use)
        both = pair + pair.T
        found: dict[tuple[int, int, int], float] = {}
        for i, j in zip(*np.nonzero(np.triu(pair > NEARLY)), strict=True):
            hope = pair[i, j] + both[i] + both[j]
            for k in np.flatnonzero(hope > 1 + 1e-3):
                triple = tuple(sorted((int(i), int(j), int(k))))
                if len(set(triple)) == 3:
                    found.setdefault(triple, float(hope[k]))  # type: ignore[arg-type]
        broken = []
        for triple in found:
            need = -(-int(self._demand[list(triple)].sum()) // 2)
            have = ((counts[:, list(triple)].sum(axis=1) + 1) // 2) @ x
            if have < need - 1e-3:
                broken.append((float(have - need), triple))
        rows = []
        for _, triple in sorted(broken)[:CUTS_A_ROUND]:
            weights = (self.counts[:, list(triple)].sum(axis=1) + 1) // 2
            need = -(-int(self._demand[list(triple)].sum()) // 2)
            rows.append(Row(weights, need, None))
        return rows

    def _together(self, use: Real) -> Real:
        """Give how often each two items share a bar (items, items); 0 below."""
        items = len(self._demand)
        on = np.flatnonzero(use[:-1] > NEARLY)
        rows, held = np.nonzero(self.counts[on])
        total = np.zeros(items * items)
        # The next, the second next, ... item of the same pattern.
        for step in range(1, int(np.bincount(rows).max(initial=0))):
            same = rows[:-step] == rows[step:]
            pairs = held[:-step][same] * items + held[step:][same]
            x = use[on[rows[:-step][same]]]
            total += np.bincount(pairs, weights=x, minlength=items * items)
        return total.reshape(items, items)

    def _split(self, use: Real) -> tuple[Whole, float]:
        """Choose a row of whole weights whose value is well between whole numbers."""
        # How many bars of each stock length decides more than any pair of pieces.
        for weights in self._groups:
            value = float(use[:-1] @ weights)
            if abs(value - round(value)) > SURELY:
                return weights, value
        pair = self._together(use)
        part = np.abs(pair - np.rint(pair))
        i, j = np.unravel_index(int(part.argmax()), part.shape)
        if part[i, j] > SURELY:
            both = (self.counts[:, i] > 0) & (self.counts[:, j] > 0)
            return both.astype(np.int64), float(pair[i, j])
        at = int(np.abs(use[:-1] - np.rint(use[:-1])).argmax())
        weights = np.zeros(len(self.counts), dtype=np.int64)
        weights[at] = 1
        return weights, float(use[at])
