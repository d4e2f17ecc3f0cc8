"""A first plan: the longest piece first, into the bar that it fills best."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.cutting.core import Core
    from lapwright.cutting.pool import Bar


def first_plan(
    core: Core, demand: Sequence[int], supply: Sequence[int | None]
) -> list[Bar] | None:
    """Cut the longest piece first, each bar filled with the longest that still fit.

    For every new bar each bin is tried; the one whose filling is cheapest for its
    length is taken, as often as the demand allows.

    Parameters
    ----------
    core
        The items and bins.
    demand, supply
        How many of each item are still wanted (items,), and how many bars there
        still are (bins,).

    Returns
    -------
    list of bars or None
        None where the supply ran out.
    """
    left = list(demand)
    there_are = list(supply)
    order = sorted(range(len(left)), key=lambda i: (-core.lengths[i], i))
    bars: list[Bar] = []
    while any(left):
        best: tuple[float, int, int, list[int]] | None = None
        order = [item for item in order if left[item]]
        first = order[0]
        for k, bin_ in enumerate(core.bins):
            if there_are[k] == 0 or bin_.capacity < core.lengths[first]:
                continue
            counts, filled = _fill(core, left, order, bin_.capacity)
            rank = (bin_.cost / filled, bin_.capacity - filled, k, counts)
            if best is None or rank[:3] < best[:3]:
                best = rank
        if best is None:
            return None
        k, counts = best[2], best[3]
        times = min(left[i] // n for i, n in enumerate(counts) if n)
        there = there_are[k]
        if there is not None:
            times = min(times, there)
            there_are[k] = there - times
        for i, n in enumerate(counts):
            left[i] -= n * times
        bars.append((k, np.array(counts, dtype=np.int64), times))
    return bars


def _fill(
    core: Core, left: list[int], order: list[int], capacity: int
) -> tuple[list[int], int]:
    """Fill one bar with the longest that still fit."""
    counts = [0] * len(left)
    room = capacity
    ends_at = core.plain
    has_left = has_right = False
    for item in order:
        most = min(left[item], room // core.lengths[item])
        if most <= 0:
            continue
        if item >= ends_at:
            if item in core.lefts:
                most, has_left = int(not has_left), True
            else:
                most, has_right = int(not has_right), True
        counts[item] = most
        room -= most * core.lengths[item]
    return counts, capacity - room
