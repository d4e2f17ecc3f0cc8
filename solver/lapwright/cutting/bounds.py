"""Lower bounds that hold in whole numbers."""

from __future__ import annotations

from fractions import Fraction
from math import floor
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.cutting.core import Core


def material_bound(core: Core, demand: Sequence[int]) -> Fraction:
    """Give the least cost of bars that hold all items laid end to end.

    The bins are bought by price for their capacity, the last one in part.
    """
    pairs = zip(core.lengths, demand, strict=True)
    left = sum(length * count for length, count in pairs)
    cost = Fraction(0)
    for bin_ in sorted(core.bins, key=lambda b: Fraction(b.cost, b.capacity)):
        there = left if bin_.supply is None else bin_.supply * bin_.capacity
        taken = min(left, there)
        cost += Fraction(bin_.cost * taken, bin_.capacity)
        left -= taken
    return cost


def waste_limit(
    core: Core, demand: Sequence[int], supply: Sequence[int | None], most: int
) -> int | None:
    """Give how much of one bar a plan of at most so much cost can leave over.

    By the price of the cheapest capacity, all items together are worth something;
    what the cost allows above that is all that can be wasted, in one bar at most.
    Where all bars are counted, no more is wasted than they hold beyond the items.

    Returns
    -------
    int or None
        Below 0 if there is no such plan; None where nothing can be said.
    """
    pairs = zip(core.lengths, demand, strict=True)
    taken = sum(length * count for length, count in pairs)
    open_ = [(b, n) for b, n in zip(core.bins, supply, strict=True) if n != 0]
    limits = []
    if all(n is not None for b, n in open_ if b.cost <= most):
        limits.append(sum(n * b.capacity for b, n in open_ if n and b.cost <= most) - taken)
    if open_ and all(b.cost for b, _ in open_):
        price = min(Fraction(b.cost, b.capacity) for b, _ in open_)
        spare = most - price * taken
        in_one = max(b.capacity - (b.cost - spare) / price for b, _ in open_)
        limits.append(-1 if spare < 0 else min(core.capacity, floor(in_one)))
    return max(-1, min(limits)) if limits else None


def halves_bound(core: Core, demand: Sequence[int]) -> int:
    """Give the bound that tells items longer than half a bar from the others.

    For one bin without limit only; 0 otherwise.

    References
    ----------
    S. Martello and P. Toth, "Lower bounds and reduction procedures for the bin
    packing problem", Discrete Applied Mathematics 28 (1990), 59-70,
    doi 10.1016/0166-218X(90)90094-S.
    """
    if not core.is_single:
        return 0
    capacity, cost = core.bins[0].capacity, core.bins[0].cost
    pairs = sorted(zip(core.lengths, demand, strict=True), reverse=True)
    best = 0
    for least in {0, *(length for length, _ in pairs if 2 * length <= capacity)}:
        big = sum(n for w, n in pairs if w > capacity - least)
        middle = [(w, n) for w, n in pairs if capacity < 2 * w and w <= capacity - least]
        number = sum(n for _, n in middle)
        small = sum(w * n for w, n in pairs if least <= w and 2 * w <= capacity)
        room = number * capacity - sum(w * n for w, n in middle)
        more = max(0, -(-(small - room) // capacity))
        best = max(best, big + number + more)
    return best * cost


def dual_bound(
    core: Core,
    demand: Sequence[int],
    supply: Sequence[int | None],
    values: Sequence[int],
    best: Sequence[int],
    scale: int,
) -> Fraction:
    """Give the bound that whole-numbered item values prove.

    A pattern of bin k is worth at most ``best[k]``.  Divided by the greatest ratio of
    that worth to the cost, the values are a feasible dual solution; what they exceed
    the cost of a counted bin by is charged to its supply.

    Parameters
    ----------
    demand, supply
        What is wanted (items,), and how many bars there are (bins,).
    values
        What a piece of each item is worth, times `scale`. (items,)
    best
        The greatest worth of a pattern, proven, times `scale`. (bins,)
    scale
        What a cost of 1 counts in `values`.

    Returns
    -------
    Fraction
        Below 0 where the values are of no use; it is the value of the dual solution
        as it is, which arguments by reduced cost need.

    References
    ----------
    A. A. Farley, "A note on bounding a class of linear programming problems, including
    cutting stock problems", Operations Research 38 (1990), 922-923,
    doi 10.1287/opre.38.5.922.
    """
    ratio = dual_ratio(core, supply, best, scale)
    if not ratio:
        return Fraction(0)
    total = Fraction(sum(v * n for v, n in zip(values, demand, strict=True)), scale)
    charge = Fraction(0)
    for bin_, there, worth in zip(core.bins, supply, best, strict=True):
        if there is not None:
            over = Fraction(worth, scale) / ratio - bin_.cost
            charge += there * max(Fraction(0), over)
    return total / ratio - charge


def dual_ratio(
    core: Core, supply: Sequence[int | None], best: Sequence[int], scale: int
) -> Fraction:
    """Give what item values must be divided by to be a feasible dual solution.

    Returns
    -------
    Fraction
        0 where no division makes them one: a bar without limit that costs nothing.
    """
    ratio = Fraction(1)
    for bin_, there, worth in zip(core.bins, supply, best, strict=True):
        if there is None and worth > scale * bin_.cost:
            if not bin_.cost:
                return Fraction(0)
            ratio = max(ratio, Fraction(worth, scale * bin_.cost))
    if core.is_single and 0 < best[0] < scale * core.bins[0].cost:
        # Rounding down left a little room that the single bin can give back.
        ratio = Fraction(best[0], scale * core.bins[0].cost)
    return ratio
