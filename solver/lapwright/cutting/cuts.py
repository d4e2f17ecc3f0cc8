"""Rows over patterns: what whole numbers keep and mixtures may break."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lapwright.cutting.pool import Whole

    Real = NDArray[np.float64]

NEARLY = 1e-6
"""A use this close to a whole number is taken for it."""
CLEARLY = 1e-3
"""A row is broken if it misses by this much."""
AT_ONCE = 40
"""How many broken rows are given at once."""


@dataclass(frozen=True, slots=True)
class Row:
    """A row over the patterns: at least `low`, at most `high`; None is no limit."""

    weights: Whole
    low: int | None
    high: int | None


def broken_rows(counts: Whole, demand: Whole, use: Real) -> list[Row]:
    """Give rounded-up rows over three items each that a mixture breaks.

    Half the sum of three rows of the demand, rounded up on both sides, holds for
    whole uses (V. Chvatal, Discrete Mathematics 4 (1973), 305-337); for items wanted
    once these are the subset rows of M. Jepsen, B. Petersen, S. Spoorendonk,
    D. Pisinger, Operations Research 56 (2008), 497-511, doi 10.1287/opre.1070.0449.

    Parameters
    ----------
    counts
        (patterns, items)
    demand
        What is wanted at least. (items,)
    use
        How often each pattern is used, and one number more. (patterns + 1,)

    Returns
    -------
    list of Row
        Those that are broken most, in an order that depends on the uses only.
    """
    on = np.flatnonzero(use[:-1] > NEARLY)
    held, x = counts[on], use[on]
    pair = together(counts, use)
    both = pair + pair.T
    found: set[tuple[int, ...]] = set()
    for i, j in zip(*np.nonzero(pair > NEARLY), strict=True):
        hope = pair[i, j] + both[i] + both[j]
        for k in np.flatnonzero(hope > 1 + CLEARLY):
            triple = {int(i), int(j), int(k)}
            if len(triple) == 3:
                found.add(tuple(sorted(triple)))
    broken = []
    for triple_ in found:
        need = -(-int(demand[list(triple_)].sum()) // 2)
        have = float(((held[:, list(triple_)].sum(axis=1) + 1) // 2) @ x)
        if have < need - CLEARLY:
            broken.append((have - need, triple_, need))
    return [
        Row((counts[:, list(triple_)].sum(axis=1) + 1) // 2, need, None)
        for _, triple_, need in sorted(broken)[:AT_ONCE]
    ]


def together(counts: Whole, use: Real) -> Real:
    """Give how often each two items share a bar, the first before the second.

    Returns
    -------
    array
        0 on and below the diagonal. (items, items)
    """
    items = counts.shape[1]
    on = np.flatnonzero(use[:-1] > NEARLY)
    rows, held = np.nonzero(counts[on])
    total = np.zeros(items * items)
    # The next, the second next, ... item of the same pattern.
    for step in range(1, int(np.bincount(rows).max(initial=0))):
        same = rows[:-step] == rows[step:]
        pairs = held[:-step][same] * items + held[step:][same]
        x = use[on[rows[:-step][same]]]
        total += np.bincount(pairs, weights=x, minlength=items * items)
    return total.reshape(items, items)
