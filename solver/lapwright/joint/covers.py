"""The least cost of bars that keep every cover, in whole numbers of bars."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.joint.bound import Cover
    from lapwright.joint.problem import Whole

MOST = 2_000_000
"""More choices than this are not weighed."""


def least_bars(
    covers: Sequence[Cover],
    costs: Sequence[int],
    supply: Sequence[int | None],
    upper: int,
) -> tuple[int, tuple[int, ...]] | None:
    """Find numbers of bars of least cost that keep every cover.

    Parameters
    ----------
    covers
        At least one.
    costs, supply
        Of a bar, by stock; None is as many as wanted.
    upper
        Costs from here on are of no interest.

    Returns
    -------
    tuple or None
        Cost and numbers of bars; `upper` and no numbers where all cost as much or more;
        None where there are too many choices to weigh.
    """
    worth = np.array([cover.worth for cover in covers], dtype=np.int64)
    least = np.array([cover.least for cover in covers], dtype=np.int64)
    order = _order(worth, costs, supply)
    if not order:
        return (0, (0,) * len(costs)) if least.max() <= 0 else (upper, ())
    counts = np.zeros((1, 0), dtype=np.int64)
    spent = np.zeros(1, dtype=np.int64)
    got = np.zeros((1, len(covers)), dtype=np.int64)
    for place, k in enumerate(order[:-1]):
        there = supply[k]
        most = (upper - 1) // costs[k] if costs[k] else int(least.max())
        most = most if there is None else min(most, there)
        if len(spent) * (most + 1) > 8 * MOST:
            return None
        some = np.arange(most + 1, dtype=np.int64)
        spent = (spent[:, None] + some * costs[k]).ravel()
        got = (got[:, None, :] + some[:, None] * worth[:, k]).reshape(-1, len(covers))
        counts = np.concatenate(
            (np.repeat(counts, most + 1, axis=0), np.tile(some, len(counts))[:, None]), axis=1
        )
        # What is missing costs at least so much of the best that is still to come.
        rest = order[place + 1 :]
        kept = np.ones(len(spent), dtype=bool)
        for row in range(len(covers)):
            rate = min((costs[j] / worth[row, j] for j in rest if worth[row, j]), default=None)
            missing = least[row] - got[:, row]
            if rate is None:
                kept &= missing <= 0
            else:
                kept &= spent + np.maximum(missing, 0) * (rate * (1 - 1e-9)) < upper
        counts, spent, got = counts[kept], spent[kept], got[kept]
        if len(spent) > MOST:
            return None
    k = order[-1]
    last = np.zeros(len(spent), dtype=np.int64)
    possible = np.ones(len(spent), dtype=bool)
    for row in range(len(covers)):
        missing = least[row] - got[:, row]
        if worth[row, k]:
            last = np.maximum(last, -(-missing // worth[row, k]))
        else:
            possible &= missing <= 0
    there = supply[k]
    if there is not None:
        possible &= last <= there
    total = np.where(possible, spent + last * costs[k], upper)
    if not len(total) or total.min() >= upper:
        return upper, ()
    at = int(total.argmin())
    found = [0] * len(costs)
    for place, j in enumerate(order[:-1]):
        found[j] = int(counts[at, place])
    found[k] = int(last[at])
    return int(total[at]), tuple(found)


def _order(worth: Whole, costs: Sequence[int], supply: Sequence[int | None]) -> list[int]:
    """List what is worth anything; what is used most last, for its number follows."""
    share = worth[0] / np.maximum(np.array(costs), 1)
    of_use = [k for k in range(len(costs)) if worth[:, k].any()]
    return sorted(of_use, key=lambda k: (supply[k] is None, share[k], k))
