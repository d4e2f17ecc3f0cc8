"""Between plans of one cost and as many bars: fewer set-ups, and useful offcuts.

References
----------
S. Henn, G. Wascher, "Extensions of cutting problems: setups", Pesquisa Operacional 33
(2013), 133-162, doi 10.1590/S0101-74382013000200001.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting.closing import list_within
from lapwright.cutting.master import choose

if TYPE_CHECKING:
    from lapwright.cutting.columns import Columns
    from lapwright.cutting.core import Frame
    from lapwright.cutting.pool import Bar, Whole

MOST_PATTERNS = 4_000
"""With more patterns than this only those that the search has seen are looked at."""


def fewer_setups(
    columns: Columns, frame: Frame, bars: list[Bar], cost: int, seconds: float
) -> list[Bar]:
    """Look for a plan of the same cost with fewer different patterns.

    Between plans with as many patterns, the one counts as better whose offcuts below
    the shortest length worth keeping are shorter in all.

    Parameters
    ----------
    columns
        The patterns.
    frame
        Where the items come from.
    bars
        The plan to better.
    cost
        What it costs. [cost of the core]
    seconds
        When to stop with the best so far. [seconds]

    Returns
    -------
    list of bars
        The better plan, or the same one.
    """
    core = columns.core
    demand = np.array(core.demand, dtype=np.int64)
    supply = [b.supply for b in core.bins]
    counts, bins, start = _candidates(columns, bars, cost)
    number = len(bins)
    scrap = _scrap(frame, counts, bins)
    # How often a pattern can be cut at most, by each of its pieces and the supply.
    often = np.where(counts > 0, demand // np.maximum(counts, 1), demand.max()).min(1)
    for k, there in enumerate(supply):
        if there is not None:
            often[bins == k] = np.minimum(often[bins == k], there)
    # All scrap together must weigh less than one pattern.
    weight = 1.0 / (1.0 + float(scrap @ start))
    costs = np.concatenate((scrap * weight, np.ones(number)))
    every, one = np.arange(number), np.ones(number, dtype=np.int64)
    rows: list[tuple[Whole, Whole, int | None, int | None]] = []
    for item, wanted in enumerate(core.demand):
        at = np.flatnonzero(counts[:, item])
        rows.append((at, counts[at, item], wanted, wanted))
    for k, there in enumerate(supply):
        if there is not None:
            at = np.flatnonzero(bins == k)
            rows.append((at, one[at], None, there))
    price = np.array([b.cost for b in core.bins], dtype=np.int64)[bins]
    rows.append((every, price, None, cost))
    rows.append((every, one, None, int(start.sum())))
    rows.extend(
        (np.array([at, number + at]), np.array([1, -int(often[at])]), None, 0)
        for at in range(number)
    )
    most = np.concatenate((often, one)).astype(float)
    first = np.concatenate((start, (start > 0).astype(np.int64)))
    use = choose(costs, most, rows, first, seconds)[:number]
    better = _rank(use, scrap) < _rank(start, scrap)
    holds = all(
        (low is None or use[at[at < number]] @ w[at < number] >= low)
        and (high is None or use[at[at < number]] @ w[at < number] <= high)
        for at, w, low, high in rows[: len(rows) - number]
    )
    if not better or not holds:
        return bars
    return [(int(bins[p]), counts[p], int(use[p])) for p in np.flatnonzero(use)]


def _rank(use: Whole, scrap: Whole) -> tuple[int, int]:
    """Rank a choice by its patterns, then by its scrap."""
    return int((use > 0).sum()), int(scrap @ use)


def _candidates(columns: Columns, bars: list[Bar], cost: int) -> tuple[Whole, Whole, Whole]:
    """Give the patterns to choose from, their bins, and the choice that is the plan."""
    core = columns.core
    demand = np.array(core.demand, dtype=np.int64)
    supply = [b.supply for b in core.bins]
    columns.restrict(demand, supply, columns.within(None))
    relaxed = columns.generate(demand, supply, to_the_end=True)
    listed = None
    if relaxed is not None:
        listed = list_within(
            columns, [relaxed.values], cost, 20 * MOST_PATTERNS, only_full=False
        )
    if listed is None or len(listed[1]) > MOST_PATTERNS:
        listed = (columns.pool.counts[:MOST_PATTERNS], columns.pool.bins[:MOST_PATTERNS])
    real = np.array([b.stock >= 0 for b in core.bins])[listed[1]]
    real &= (listed[0] <= demand).all(axis=1)
    seen: dict[tuple[int, bytes], int] = {}
    rows = [*zip(listed[0][real], listed[1][real].tolist(), strict=True)]
    rows += [(counts, k) for k, counts, _ in bars]
    for counts, k in rows:
        seen.setdefault((k, counts.astype(np.int64).tobytes()), len(seen))
    start = np.zeros(len(seen), dtype=np.int64)
    for k, counts, times in bars:
        start[seen[k, counts.astype(np.int64).tobytes()]] += times
    counts = np.array([np.frombuffer(row, dtype=np.int64) for _, row in seen])
    return counts, np.array([k for k, _ in seen]), start


def _scrap(frame: Frame, counts: Whole, bins: Whole) -> Whole:
    """Give the offcut of each pattern where it is too short to keep (patterns,)."""
    problem, core = frame.problem, frame.core
    if core is None or not problem.keep:
        return np.zeros(len(bins), dtype=np.int64)
    firsts = [problem.pieces[members[0]].length for members in frame.members]
    rooms = np.array([problem.stock[b.stock].length for b in core.bins])
    cuts = counts.sum(axis=1) * problem.kerf
    offcut = rooms[bins] - problem.trim - counts @ np.array(firsts) - cuts
    offcut = np.maximum(offcut, 0)
    return np.where(offcut < problem.keep, offcut, 0)
