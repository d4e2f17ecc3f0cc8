"""The least cost of bars that keep every cover, in whole numbers of bars."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting.master import choose

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.joint.bound import Cover
    from lapwright.joint.problem import Whole
    from lapwright.joint.worth import Values

SECONDS = 1.0
"""How long to look for bars that are likely."""
MOST = 1_500_000
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
    worth, least = _rows(covers)
    order = _order(worth, costs, supply)
    if not order:
        return (0, (0,) * len(costs)) if least.max() <= 0 else (upper, ())
    begun = _begun(worth, least, costs, supply, upper, order)
    if begun is None:
        return None
    counts, spent, got = begun
    if not len(spent):
        return upper, ()
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
    # Of those that cost the same the one of fewest bars: longer ones leave more choice.
    many = np.where(total == total.min(), counts.sum(axis=1) + last, 1 << 60)
    at = int(many.argmin())
    found = [0] * len(costs)
    for place, j in enumerate(order[:-1]):
        found[j] = int(counts[at, place])
    found[k] = int(last[at])
    return int(total[at]), tuple(found)


def all_bars(
    covers: Sequence[Cover],
    costs: Sequence[int],
    supply: Sequence[int | None],
    upper: int,
    most: int,
) -> Whole | None:
    """List all numbers of bars that keep every cover and cost less, the cheapest first.

    Parameters
    ----------
    covers, costs, supply, upper
        As for `least_bars`.
    most
        More are not listed.

    Returns
    -------
    array or None
        (choices, stock + 1); None where there are too many.
    """
    worth, least = _rows(covers)
    free = [k for k, cost in enumerate(costs) if not cost]
    # What costs nothing is there as often as it can be, and there is no end of some.
    used = np.array([supply[k] or 0 for k in free], dtype=np.int64)
    least = least - worth[:, free] @ used
    endless = [k for k in free if supply[k] is None]
    least = np.where(worth[:, endless].any(axis=1), 0, least)
    worth[:, free] = 0
    order = _order(np.maximum(worth, np.array(costs) > 0), costs, supply)
    if not order:
        return None
    begun = _begun(worth, least, costs, supply, upper, order)
    if begun is None:
        return None
    counts, spent, got = begun
    k = order[-1]
    room = (upper - 1 - spent) // costs[k]
    there = supply[k]
    if there is not None:
        room = np.minimum(room, there)
    found = []
    many = 0
    for some in range(int(room.max(initial=-1)) + 1):
        kept = (some <= room) & (got + some * worth[:, k] >= least).all(axis=1)
        many += int(kept.sum())
        if many > most:
            return None
        if kept.any():
            found.append(np.column_stack((counts[kept], np.full(int(kept.sum()), some))))
    bars = np.zeros((many, len(costs)), dtype=np.int64)
    if found:
        bars[:, order] = np.concatenate(found)
    bars[:, free] = used
    ranked = np.lexsort((bars.sum(axis=1), bars @ np.array(costs, dtype=np.int64)))
    return np.asarray(bars[ranked])


def _rows(covers: Sequence[Cover]) -> tuple[Whole, Whole]:
    worth = np.array([cover.worth for cover in covers], dtype=np.int64)
    return worth, np.array([cover.least for cover in covers], dtype=np.int64)


def _begun(
    worth: Whole,
    least: Whole,
    costs: Sequence[int],
    supply: Sequence[int | None],
    upper: int,
    order: Sequence[int],
) -> tuple[Whole, Whole, Whole] | None:
    """List numbers of all bars but the last that may still keep the covers.

    Returns
    -------
    tuple or None
        Numbers, what they cost, and what they are worth by cover; None for too many.
    """
    counts = np.zeros((1, 0), dtype=np.int64)
    spent = np.zeros(1, dtype=np.int64)
    got = np.zeros((1, len(worth)), dtype=np.int64)
    for place, k in enumerate(order[:-1]):
        there = supply[k]
        most = (upper - 1) // costs[k] if costs[k] else int(least.max())
        most = most if there is None else min(most, there)
        if most > MOST:
            return None
        # What is missing costs at least so much of the best that is still to come.
        rest = order[place + 1 :]
        rates = [
            min((costs[j] / worth[row, j] for j in rest if worth[row, j]), default=None)
            for row in range(len(worth))
        ]
        parts = []
        many = 0
        for some in range(most + 1):
            now, held = spent + some * costs[k], got + some * worth[:, k]
            kept = now < upper
            if not kept.any():
                break
            for row, rate in enumerate(rates):
                missing = least[row] - held[:, row]
                if rate is None:
                    kept &= missing <= 0
                else:
                    kept &= now + np.maximum(missing, 0) * (rate * (1 - 1e-9)) < upper
            many += int(kept.sum())
            if many > MOST:
                return None
            if kept.any():
                placed = np.column_stack((counts[kept], np.full(int(kept.sum()), some)))
                parts.append((placed, now[kept], held[kept]))
        if not parts:
            return counts[:0], spent[:0], got[:0]
        counts, spent, got = (np.concatenate(each) for each in zip(*parts, strict=True))
    return counts, spent, got


def likely_bars(
    covers: Sequence[Cover], costs: Sequence[int], supply: Sequence[int | None]
) -> tuple[int, ...]:
    """Find numbers of bars that likely cost least of those that keep every cover.

    They prove nothing: an integer program finds them, in floating point.

    Returns
    -------
    tuple of int
        None at all where there are none.
    """
    rows: list[tuple[Whole, Values, float | None, int | None]] = []
    for cover in covers:
        scale = float(max(cover.worth) or 1)
        weights = np.array(cover.worth) / scale
        at = np.flatnonzero(weights)
        rows.append((at, weights[at], cover.least / scale, None))
    most = np.array([np.inf if there is None else there for there in supply])
    scale = float(max(costs) or 1)
    start = np.zeros(len(costs), dtype=np.int64)
    found = choose(np.array(costs) / scale, most, rows, start, SECONDS)
    return tuple(found.tolist()) if found.any() else ()


def _order(worth: Whole, costs: Sequence[int], supply: Sequence[int | None]) -> list[int]:
    """List what is worth anything; what is used most last, for its number follows."""
    share = worth[0] / np.maximum(np.array(costs), 1)
    of_use = [k for k in range(len(costs)) if worth[:, k].any()]
    return sorted(of_use, key=lambda k: (supply[k] is None, share[k], k))
