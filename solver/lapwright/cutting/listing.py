"""Every pattern that a plan below a given cost can use.

References
----------
R. Baldacci, N. Christofides, A. Mingozzi, "An exact algorithm for the vehicle routing
problem based on the set partitioning formulation with additional cuts", Mathematical
Programming 115 (2008), 351-385, doi 10.1007/s10107-007-0178-5 (the idea: all columns
whose reduced cost is within the gap).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lapwright.cutting.core import Core
    from lapwright.cutting.knapsack import Knapsack
    from lapwright.cutting.pool import Whole

    Mask = NDArray[np.bool_]


def list_patterns(
    knapsack: Knapsack, capacity: int, least: int, most: int, *, only_full: bool = True
) -> Whole | None:
    """List the patterns of a bin that are worth at least so much.

    A pattern is full if no further wanted piece fits; a plan may always use the full
    pattern in place of one that is not, for what is too much is dropped.

    Parameters
    ----------
    knapsack
        Filled with the item values.
    capacity
        The capacity of the bin.
    least
        The least worth.
    most
        Give up if there are more partial patterns than this.
    only_full
        Whether patterns that take a further piece are left out.

    Returns
    -------
    array or None
        (patterns, items); None if there are too many.
    """
    core, limits, values = knapsack.core, knapsack.limits, knapsack.values
    behind, after = knapsack.rest_tables()
    room = np.array([capacity], dtype=np.int64)
    worth = np.zeros(1, dtype=np.int64)
    node = np.zeros(1, dtype=np.int64)
    parents, taken, number = [np.array([-1])], [np.array([[-1, 0]])], 1
    groups = [[i] for i in range(core.plain)]
    # The pieces that keep an end come first: at most one of each kind.
    groups = [list(core.lefts), list(core.rights), *groups]
    for position, group in enumerate(groups):
        at = after[position - 2] if position >= 2 else 0
        states = [(room, worth, node)]
        for item in group:
            if limits[item] == 0:
                continue
            size, value = core.lengths[item], int(values[item])
            top = int(limits[item]) if position >= 2 else 1
            new_room, new_worth, from_node = room, worth, node
            for times in range(1, top + 1):
                fits = new_room >= size
                new_room = new_room[fits] - size
                new_worth = new_worth[fits] + value
                from_node = from_node[fits]
                if not len(new_room):
                    break
                hopeful = new_worth + _rest(knapsack, behind, at, new_room, position)
                good = hopeful >= least
                kept = from_node[good]
                ids = np.arange(number, number + len(kept))
                number += len(kept)
                parents.append(kept)
                taken.append(np.tile([item, times], (len(kept), 1)))
                states.append((new_room[good], new_worth[good], ids))
        stay = worth + _rest(knapsack, behind, at, room, position) >= least
        states[0] = (room[stay], worth[stay], node[stay])
        room = np.concatenate([s[0] for s in states])
        worth = np.concatenate([s[1] for s in states])
        node = np.concatenate([s[2] for s in states])
        if len(room) > most or number > 8 * most:
            return None
    counts = _unfold(np.concatenate(parents), np.concatenate(taken), node, core)
    if not only_full:
        return counts
    full: Whole = counts[_is_full(counts, room, limits, core)]
    return full


def _rest(knapsack: Knapsack, behind: Whole, at: int, room: Whole, position: int) -> Whole:
    """Give the most that can still be added; below 0 if the bar cannot be filled."""
    rest: Whole = behind[at, room]
    if position == 0:
        # A piece that keeps the right end may still come.
        for item in knapsack.core.rights:
            size = knapsack.core.lengths[item]
            if knapsack.limits[item]:
                with_it = behind[at, np.maximum(room - size, 0)] + knapsack.values[item]
                rest = np.where(room >= size, np.maximum(rest, with_it), rest)
    return rest


def _unfold(parents: Whole, taken: Whole, node: Whole, core: Core) -> Whole:
    """Follow every pattern back to its start (patterns, items)."""
    items = len(core.lengths)
    counts = np.zeros((len(node), items), dtype=np.int64)
    rows = np.arange(len(node))
    while len(rows):
        on = node > 0
        rows, node = rows[on], node[on]
        counts[rows, taken[node, 0]] = taken[node, 1]
        node = parents[node]
    return counts


def _is_full(counts: Whole, room: Whole, limits: Whole, core: Core) -> Mask:
    """Tell which patterns take no further piece (patterns,)."""
    full = np.ones(len(counts), dtype=bool)
    lefts, rights = core.lefts, core.rights
    kept = {
        **dict.fromkeys(lefts, counts[:, list(lefts)].sum(axis=1)),
        **dict.fromkeys(rights, counts[:, list(rights)].sum(axis=1)),
    }
    for item, size in enumerate(core.lengths):
        more = (room >= size) & (counts[:, item] < limits[item])
        if item in kept:
            more &= kept[item] == 0
        full &= ~more
    return full
