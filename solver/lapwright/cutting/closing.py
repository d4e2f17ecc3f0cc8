"""Closing the gap: all patterns that a better plan can use, then a tree over them."""

from __future__ import annotations

from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting.bounds import dual_bound, dual_ratio, waste_limit
from lapwright.cutting.cuts import Row
from lapwright.cutting.dive import fix
from lapwright.cutting.listing import list_patterns
from lapwright.cutting.tree import End, Tree

FEW = 3_000
"""So many patterns are few enough to stop looking for fewer."""
MANY = 30_000
"""With more patterns than this no tree is tried."""

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.cutting.columns import Columns
    from lapwright.cutting.pool import Bar, Whole


def list_within(
    columns: Columns,
    proofs: list[Whole],
    most: int,
    limit: int,
    waste: int | None = None,
    *,
    only_full: bool = True,
) -> tuple[Whole, Whole] | None:
    """List every pattern that a plan of at most so much cost can use.

    Parameters
    ----------
    columns
        The items, the bins and the knapsack.
    proofs
        Item values that prove a bound, times the scale; each rules patterns out.
        (items,)
    most
        The greatest cost of the plan. [cost of the core]
    limit
        Give up if there are more partial patterns than this.
    waste
        How much of a bar such a plan can leave over; None is any.
    only_full
        Whether patterns that take a further piece are left out; a plan that covers
        the demand can do without them.

    Returns
    -------
    tuple of arrays, or None
        (patterns, items), and the bin of each (patterns,); None if there are too many.
    """
    core, knapsack = columns.core, columns.knapsack
    demand = np.array(core.demand, dtype=np.int64)
    if not knapsack.can_list:
        return None
    tests = []
    for values in proofs:
        knapsack.fill(values, demand, waste)
        least = _least_worth(columns, values, most)
        if least is None:
            return np.zeros((0, len(demand)), dtype=np.int64), np.zeros(0, dtype=int)
        tests.append((values, least))
    # The values that rule out most make the shortest work, but which these are shows
    # only when a list comes to its end.
    for values, least in tests:
        knapsack.fill(values, demand, waste)
        found = []
        for k, bin_ in enumerate(core.bins):
            listed = list_patterns(
                knapsack, bin_.capacity, least[k], limit, only_full=only_full
            )
            if listed is None:
                break
            for other, least_other in tests:
                listed = listed[listed @ other >= least_other[k]]
            found.append(listed[listed.any(axis=1)])
        else:
            bins = [np.full(len(rows), k) for k, rows in enumerate(found)]
            return np.concatenate(found), np.concatenate(bins)
    return None


def _least_worth(columns: Columns, values: Whole, most: int) -> list[int] | None:
    """Give what a pattern of each bin must be worth to be of use; None if none is.

    The knapsack must be filled with the values.
    """
    core, scale, knapsack = columns.core, columns.scale, columns.knapsack
    supply = [b.supply for b in core.bins]
    best = [max(0, knapsack.best(b.capacity)) for b in core.bins]
    bound = dual_bound(core, core.demand, supply, values.tolist(), best, scale)
    if bound > most:
        return None
    ratio = dual_ratio(core, supply, best, scale)
    least = []
    for k, bin_ in enumerate(core.bins):
        if not ratio:
            least.append(0)
            continue
        charge = Fraction(0)
        if bin_.supply is not None:
            charge = max(charge, Fraction(best[k], scale) / ratio - bin_.cost)
        least.append(ceil(scale * ratio * (bin_.cost + charge - most + bound)))
    return least


def _shortest_list(
    columns: Columns,
    corner: Whole,
    most: int,
    limit: int,
    looks: int,
    waste: int | None,
) -> tuple[Whole, Whole] | None:
    """List the patterns of a better plan, by item values that leave few of them."""
    if not columns.knapsack.can_list:
        return None
    demand = np.array(columns.core.demand, dtype=np.int64)
    supply = [b.supply for b in columns.core.bins]
    proofs = [corner]
    best: tuple[Whole, Whole] | None = None
    for look in range(looks + 1):
        last = proofs[0] if look else None
        middle = columns.centred(demand, supply, rounds=10, waste=waste, last=last)
        proofs = [middle, *proofs[:1]]
        listed = list_within(columns, proofs, most, limit, waste)
        if listed is not None:
            size = len(listed[1])
            shrinks = best is None or 5 * size < 4 * len(best[1])
            if best is None or size < len(best[1]):
                best = listed
            if size <= FEW or not shrinks:
                break
        columns.knapsack.fill(middle, demand, waste)
        least = _least_worth(columns, middle, most)
        if look == looks or least is None or columns.is_over():
            break
        if not columns.sample(middle, least, demand, waste):
            break
    return best if best is not None and len(best[1]) <= MANY else None


def close(
    columns: Columns, most: int, limit: int, nodes: int, looks: int
) -> tuple[End, list[Bar]]:
    """Find a plan of at most so much cost, or prove that there is none.

    Parameters
    ----------
    columns
        The items, the bins and the pool.
    most
        The greatest cost that is wanted. [cost of the core]
    limit, nodes
        Give up on more partial patterns, or more nodes, than this.
    looks
        How often to look about for dual values that leave fewer patterns.

    Returns
    -------
    tuple
        How it ended, and the plan if one was found.
    """
    core = columns.core
    demand = np.array(core.demand, dtype=np.int64)
    supply = [b.supply for b in core.bins]
    waste = waste_limit(core, core.demand, supply, most)
    if waste is not None and waste < 0:
        return End.NONE, []
    relaxed = None
    # The patterns within the waste may not cover the demand yet; then the others help.
    for allowed in (columns.within(waste), columns.within(None)):
        columns.restrict(demand, supply, allowed)
        relaxed = columns.generate(
            demand, supply, enough=most + 1, to_the_end=True, waste=waste
        )
        if relaxed is not None:
            break
    if relaxed is None:
        return End.OPEN, []
    if relaxed.bound > most:
        return End.NONE, []
    if columns.is_over():
        return End.OPEN, []
    listed = _shortest_list(columns, relaxed.values, most, limit, looks, waste)
    if listed is None:
        return End.OPEN, []
    counts, bins = listed
    if not len(counts):
        return End.NONE, []
    costs = np.array([b.cost for b in core.bins], dtype=np.int64)[bins]
    groups = [(bins == k).astype(np.int64) for k in range(len(core.bins))]
    tree = Tree(counts, costs, demand, supply_rows(bins, supply), groups, most)
    end, use = tree.search(columns.is_over, nodes)
    if use is None:
        return end, []
    return end, trimmed(counts, bins, use, demand)


def trimmed(counts: Whole, bins: Whole, use: Whole, demand: Whole) -> list[Bar]:
    """Turn patterns that cover a demand into bars that meet it exactly."""
    bars: list[Bar] = []
    unlimited: list[int | None] = [None] * (int(bins.max(initial=0)) + 1)
    for at in np.flatnonzero(use):
        demand, _, some = fix(counts[at], int(bins[at]), int(use[at]), demand, unlimited)
        bars += some
    return bars


def supply_rows(bins: Whole, supply: Sequence[int | None]) -> list[Row]:
    """Give the rows of the counted bins over some patterns."""
    return [
        Row((bins == k).astype(np.int64), None, there)
        for k, there in enumerate(supply)
        if there is not None
    ]
