"""Between plans of one cost: fewer bars."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting.closing import list_within, supply_rows, trimmed
from lapwright.cutting.cuts import Row
from lapwright.cutting.tree import Tree

if TYPE_CHECKING:
    from lapwright.cutting.columns import Columns
    from lapwright.cutting.pool import Bar

MOST_PATTERNS = 2_000
"""With more patterns than this the choice would take longer than it is worth."""
NODES = 100


def fewer_bars(columns: Columns, bars: list[Bar], cost: int) -> list[Bar]:
    """Look for a plan of at most the same cost with fewer bars.

    Where the patterns that such a plan can use are few, all of them are looked at,
    else those that the search has seen.

    Parameters
    ----------
    columns
        The patterns, with the linear program solved.
    bars
        The plan to better.
    cost
        What it costs. [cost of the core]

    Returns
    -------
    list of bars
        The better plan, or the same one.
    """
    core = columns.core
    number = sum(n for _, _, n in bars)
    fewest = -(-core.material // core.capacity)
    if core.is_single or number <= fewest:
        return bars
    demand = np.array(core.demand, dtype=np.int64)
    supply = [b.supply for b in core.bins]
    costs = np.array([b.cost for b in core.bins], dtype=np.int64)
    relaxed = columns.generate(demand, supply, to_the_end=True)
    if relaxed is None:
        return bars
    listed = list_within(columns, [relaxed.values], cost, MOST_PATTERNS)
    counts, bins = listed if listed else (columns.pool.counts, columns.pool.bins)
    real = np.array([b.stock >= 0 for b in core.bins])[bins]
    counts, bins = counts[real], bins[real]
    rows = [*supply_rows(bins, supply), Row(costs[bins], None, cost)]
    one = np.ones(len(bins), dtype=np.int64)
    while len(bins) <= MOST_PATTERNS and number > fewest:
        tree = Tree(counts, one, demand, rows, [], number - 1)
        _, use = tree.search(columns.is_over, NODES)
        if use is None:
            break
        bars = trimmed(counts, bins, use, demand)
        number = sum(n for _, _, n in bars)
    return bars
