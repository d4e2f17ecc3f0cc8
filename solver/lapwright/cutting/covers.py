"""Numbers of bars that keep every cover, the cheapest first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting.master import choose

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.cutting.master import Real
    from lapwright.cutting.pool import Whole

SECONDS = 1.0
"""How long to look for bars that are likely."""
MOST = 1_500_000
"""More choices than this are not weighed."""
FEW_CHOICES, CHOICES = 800, 200_000
"""So many choices of bars are listed at once, and no more."""
NEARNESS = (256, 64, 16, 4, 1)
"""Choices of bars are first looked for so near to the bound. [parts of the dearest bar]"""
FAR = 1 << 40
SAFELY = 1e-9


@dataclass(frozen=True, slots=True)
class Cover:
    """Of any plan, bars and seams together are worth at least `least`."""

    worth: tuple[int, ...]
    """The most that a bar is worth, by stock, and then what a seam is."""
    least: int


@dataclass(frozen=True, eq=False, slots=True)
class Choices:
    """All numbers of bars that keep some covers and cost less than so much."""

    bars: Whole
    """The cheapest first. (choices, stock + 1)"""
    below: int
    kept: int
    """How many covers they keep."""


def choices(
    covers: Sequence[Cover],
    costs: Sequence[int],
    supply: Sequence[int | None],
    least: int,
    upper: int,
    before: Choices | None = None,
) -> Choices | None:
    """List numbers of bars that keep every cover, as far as they are not too many.

    Parameters
    ----------
    covers, costs, supply, upper
        As for `all_bars`.
    least
        Nothing costs less.
    before
        Those of the first of the same covers.

    Returns
    -------
    Choices or None
        None where there are too many, or all bars cost nothing.
    """
    if before is not None:
        fresh = covers[before.kept :]
        bars = before.bars
        if fresh:
            worth, wanted = _rows(fresh)
            bars = bars[(bars @ worth.T >= wanted).all(axis=1)]
        spent = bars @ np.array(costs, dtype=np.int64)
        bars = bars[(spent >= least) & (spent < upper)]
        if len(bars) or before.below >= upper:
            return Choices(bars, min(before.below, upper), len(covers))
        least = max(least, before.below)
    dearest = max(costs) or 1
    found = None
    # Near the bound there are few choices; far from it there may be too many to weigh.
    for beyond in (*(dearest // part for part in NEARNESS), 2 * dearest + least // 50):
        below = min(upper, least + beyond)
        listed = all_bars(covers, costs, supply, below, CHOICES)
        if listed is None:
            break
        # Covers alone may not say so: what costs less can be ruled out part by part.
        listed = listed[listed @ np.array(costs, dtype=np.int64) >= least]
        found = Choices(listed, below, len(covers))
        if len(listed) >= FEW_CHOICES or below >= upper:
            break
    return found


def all_bars(
    covers: Sequence[Cover],
    costs: Sequence[int],
    supply: Sequence[int | None],
    upper: int,
    most: int,
) -> Whole | None:
    """List all numbers of bars that keep every cover and cost less, the cheapest first.

    Of those that cost the same the one of fewest bars is first: longer ones leave more
    choice.  What costs nothing is used as often as there is.

    Parameters
    ----------
    covers
        At least one.
    costs, supply
        Of a bar, by stock; None is as many as wanted.
    upper
        Costs from here on are of no interest.
    most
        More are not listed.

    Returns
    -------
    array or None
        (choices, stock + 1); None where there are too many, or all bars cost nothing.
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
    counts = np.zeros((1, 0), dtype=np.int64)
    spent = np.zeros(1, dtype=np.int64)
    got = np.zeros((1, len(worth)), dtype=np.int64)
    for place, k in enumerate(order):
        rest = order[place + 1 :]
        low, high = _stretch(worth, least - got, costs, upper - spent, k, rest)
        there = supply[k]
        if there is not None:
            high = np.minimum(high, there)
        many = np.maximum(high - low + 1, 0)
        if many.sum() > (MOST if rest else most):
            return None
        at = np.repeat(np.arange(len(many)), many)
        some = low[at] + np.arange(len(at)) - (many.cumsum() - many)[at]
        counts = np.column_stack((counts[at], some))
        spent = spent[at] + some * costs[k]
        got = got[at] + np.multiply.outer(some, worth[:, k])
    bars = np.zeros((len(counts), len(costs)), dtype=np.int64)
    bars[:, order] = counts
    bars[:, free] = used
    ranked = np.lexsort((bars.sum(axis=1), spent))
    return np.asarray(bars[ranked])


def _stretch(
    worth: Whole,
    missing: Whole,
    costs: Sequence[int],
    left: Whole,
    k: int,
    rest: Sequence[int],
) -> tuple[Whole, Whole]:
    """Tell between what numbers of one stock the covers may still be kept.

    Parameters
    ----------
    missing
        What the covers still want. (choices, covers)
    left
        What is spent on this stock and the rest is less. (choices,)
    rest
        Stock that comes later.

    Returns
    -------
    low, high : array
        Where there are such numbers, they are no lower and no higher. (choices,)
    """
    low = np.zeros(len(left), dtype=np.int64)
    high = (left - 1) // costs[k]
    for row, wanted in enumerate(missing.T):
        each = int(worth[row, k])
        # Where this stock is worth nothing to the cover, no number of it is enough.
        enough = np.maximum(-(-wanted // each), 0) if each else np.where(wanted > 0, FAR, 0)
        rate = min((costs[j] / worth[row, j] for j in rest if worth[row, j]), default=None)
        if rate is None:
            low = np.maximum(low, enough)
            continue
        # What is missing costs at least so much of the best that is still to come.
        rate *= 1 - SAFELY
        beyond = costs[k] - each * rate
        room = left - np.maximum(wanted, 0) * rate
        if beyond > 0:
            limit = np.floor(np.clip(room / beyond, -FAR, FAR) + SAFELY).astype(np.int64)
            high = np.minimum(high, np.where(limit < enough, limit, FAR))
        elif beyond < 0:
            limit = np.ceil(np.clip(room / beyond, -FAR, FAR) - SAFELY).astype(np.int64)
            low = np.maximum(low, limit)
        else:
            low = np.where(room > 0, low, enough)
    return low, high


def least_cost(cover: Cover, costs: Sequence[int], supply: Sequence[int | None]) -> int:
    """Give the least cost that keeps one cover, by shares of bars, rounded up."""
    from fractions import Fraction

    least, spent = Fraction(cover.least), Fraction(0)
    rated = sorted(
        (Fraction(cost, worth), k)
        for k, (cost, worth) in enumerate(zip(costs, cover.worth, strict=True))
        if worth
    )
    for rate, k in rated:
        if least <= 0:
            break
        there = supply[k]
        got = least if there is None else min(least, Fraction(there * cover.worth[k]))
        spent += got * rate
        least -= got
    return -(-spent.numerator // spent.denominator)


def room_left(covers: Sequence[Cover], bars: Whole) -> Real:
    """Give how much some numbers of bars are worth beyond the cover that leaves least.

    Parameters
    ----------
    covers
        At least one that bars are worth something to.
    bars
        (choices, stock + 1)

    Returns
    -------
    array
        In bars that are worth most to the cover. (choices,)
    """
    worth, least = _rows(covers)
    most = worth[:, :-1].max(axis=1)
    some = most > 0
    beyond = bars @ worth[some].T - least[some]
    found: Real = (beyond / most[some]).min(axis=1)
    return found


def _rows(covers: Sequence[Cover]) -> tuple[Whole, Whole]:
    worth = np.array([cover.worth for cover in covers], dtype=np.int64)
    return worth, np.array([cover.least for cover in covers], dtype=np.int64)


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
    rows: list[tuple[Whole, Real, float | None, int | None]] = []
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
