"""Diving: patterns are fixed one after the other, the rest is relaxed again.

References
----------
R. Sadykov, F. Vanderbeck, A. Pessoa, I. Tahiri, E. Uchoa, "Primal heuristics for
branch and price: the assets of diving methods", INFORMS Journal on Computing 31
(2019), 251-267, doi 10.1287/ijoc.2018.0822.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting.bounds import waste_limit
from lapwright.cutting.start import first_plan

if TYPE_CHECKING:
    from random import Random

    from numpy.typing import NDArray

    from lapwright.cutting.columns import Columns
    from lapwright.cutting.pool import Bar, Whole

NEARLY = 1e-6
SURELY = 1e-4
FEW = 30
"""With so few pieces left, the longest first may well complete a plan."""
"""A use this close to a whole number is taken for it."""


def dive(columns: Columns, most: int, chance: Random | None, tries: int) -> list[Bar] | None:
    """Look for a plan that costs at most so much; give the best one seen.

    Parameters
    ----------
    columns
        The patterns; those found on the way stay in the pool.
    most
        The greatest cost that is wanted. [cost of the core]
    chance
        Where to go if two ways look alike; None goes straight.
    tries
        How often in all a dead end may be left for the next best pattern.

    Returns
    -------
    list of bars or None
        None if the dive found no plan at all.
    """
    core = columns.core
    costs = [b.cost for b in core.bins]
    demand = np.array(core.demand, dtype=np.int64)
    supply = [b.supply for b in core.bins]
    path: list[tuple[list[Bar], Whole, list[int | None], int]] = []
    fixed: list[Bar] = []
    barred: set[int] = set()
    best: tuple[int, list[Bar]] | None = None
    while True:
        spent = sum(costs[k] * n for k, _, n in fixed)
        pick = _relax(columns, demand, supply, most - spent, barred, chance)
        if pick is None or demand.sum() <= FEW:
            rest = first_plan(core, demand.tolist(), supply)
            if rest is not None:
                cost = spent + sum(costs[k] * n for k, _, n in rest)
                if best is None or cost < best[0]:
                    best = (cost, fixed + rest)
                if cost <= most:
                    break
        if pick is None:
            if not path or tries <= 0 or columns.is_over():
                break
            tries -= 1
            # The first choices weigh most: go back to one of the early ones.
            at = 0 if chance is None else chance.randrange((len(path) + 1) // 2)
            fixed, demand, supply, last = path[at]
            del path[at:]
            barred = {last} | (barred if at == 0 else set())
            continue
        path.append((fixed, demand, supply, pick[0][0]))
        fixed = list(fixed)
        for index, times in pick:
            counts, bin_ = columns.pool.counts[index], int(columns.pool.bins[index])
            demand, supply, bars = fix(counts, bin_, times, demand, supply)
            fixed += bars
        barred = set()
    return best[1] if best else None


def _relax(
    columns: Columns,
    demand: Whole,
    supply: list[int | None],
    most: int,
    barred: set[int],
    chance: Random | None,
) -> list[tuple[int, int]] | None:
    """Solve the linear program of the rest, and pick the patterns to fix.

    Returns
    -------
    list or None
        Patterns by index, and how many bars of each; None in a dead end.
    """
    pool, core = columns.pool, columns.core
    proper: NDArray[np.bool_] = np.asarray((pool.counts <= demand).all(axis=1))
    waste = waste_limit(core, demand.tolist(), supply, most)
    if waste is not None:
        if waste < 0:
            return None
        proper &= columns.within(waste) | (pool.counts.sum(axis=1) == 1)
    proper[list(barred)] = False
    columns.restrict(demand, supply, proper)
    relaxed = columns.generate(demand, supply, enough=most + 1, exact=False, waste=waste)
    # Without an exact bound the value itself tells a dead end: a dive may err.
    if relaxed is None or relaxed.bound > most or relaxed.answer.value > most + SURELY:
        return None
    use = relaxed.answer.use
    whole = np.floor(use + NEARLY).astype(np.int64)
    if barred:
        whole[list(barred)] = 0
    if whole.any():
        return [(int(i), int(whole[i])) for i in np.flatnonzero(whole)]
    rank = use.copy()
    rank[list(barred)] = 0
    if chance is not None:
        rank *= 1 + 0.5 * np.array([chance.random() for _ in range(len(rank))])
    at = int(rank.argmax())
    return [(at, 1)] if use[at] > NEARLY else None


def fix(
    counts: Whole, bin_: int, times: int, demand: Whole, supply: list[int | None]
) -> tuple[Whole, list[int | None], list[Bar]]:
    """Take bars of a pattern out of the demand, without what is no longer wanted.

    Returns
    -------
    tuple
        The demand and the supply that are left, and the bars.
    """
    bars: list[Bar] = []
    supply = list(supply)
    while times:
        row = np.minimum(counts, demand)
        there = supply[bin_]
        if not row.any() or there == 0:
            break
        # So many bars in a row are cut alike before a piece runs out.
        some = min(times, int((demand[row > 0] // row[row > 0]).min()))
        if there is not None:
            some = min(some, there)
            supply[bin_] = there - some
        bars.append((bin_, row, some))
        demand = demand - row * some
        times -= some
    return demand, supply, bars
