"""How many rules of neighbouring runs no plan can keep."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lapwright.joint.neighbours import Neighbours, near_runs
from lapwright.joint.problem import NOWHERE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.joint.core import Core
    from lapwright.joint.problem import Ways, Whole

    Edge = tuple[int, tuple[int, ...]]
    """The other run, and within what two seams break a rule each."""

MOST_PLACES = 250
"""Rows of seams are looked at in coarser places where a run has more than this."""
NEVER = 1 << 40


@dataclass(frozen=True, eq=False, slots=True)
class _Places:
    """Where the seams of a run can be."""

    rows: Whole
    """Unlike rows of places, `NOWHERE` where there is no seam. (rows, seams)"""
    width: int
    """Of a place. [twice the unit of the lengths]"""
    beyond: Whole
    """How many rules more than the fewest a way with these seams breaks. (rows,)"""


def least_ties(core: Core) -> tuple[int, frozenset[int]]:
    """Find how often two runs must break a rule, whatever ways they take.

    Runs and the rules between them make a graph.  On a forest of it the least is exact,
    from the leaves to the root; rules beside the forest are left out, and places are told
    apart only so far as memory allows, so that the number is safe.

    Parameters
    ----------
    core
        The problem in units.

    Returns
    -------
    least : int
        No plan has fewer, and no plan of a way that breaks more rules by itself than need
        be breaks as few in all.
    loose : frozenset of int
        Runs that cannot keep all rules with their neighbours.
    """
    if _is_free(core):
        return 0, frozenset()
    near = near_runs(core)
    runs = core.problem.runs
    known_ways = {id(run.ways): run.ways for run in runs}
    made = {key: _places(ways) for key, ways in known_ways.items()}
    of = [made[id(run.ways)] for run in runs]
    tree = _forest(near, of)
    known: dict[tuple[int, int, tuple[int, ...]], Whole] = {}
    least, loose, seen = 0, set[int](), [False] * len(near)
    for root in range(len(near)):
        if seen[root]:
            continue
        order, above = [root], {root: -1}
        seen[root] = True
        for run in order:
            for other, _ in tree[run]:
                if not seen[other]:
                    seen[other] = True
                    above[other] = run
                    order.append(other)
        if len(order) == 1:
            continue
        # Twice the rules broken; a way that breaks more by itself has one off, so that it
        # shows where it does as well.  And the same without such ways.
        free = {run: np.maximum(2 * of[run].beyond - 1, 0) for run in order}
        kept = {run: np.where(of[run].beyond > 0, NEVER, 0) for run in order}
        for run in reversed(order[1:]):
            parent = above[run]
            limits = next(limits for other, limits in tree[run] if other == parent)
            key = id(runs[parent].ways), id(runs[run].ways), limits
            if key not in known:
                known[key] = 2 * _clashes(of[parent], of[run], limits)
            free[parent] += (known[key] + free.pop(run)).min(axis=1)
            kept[parent] += (known[key] + kept.pop(run)).min(axis=1)
        ties = int(kept[root].min())
        if ties:
            loose |= set(order)
            least += ties // 2 if int(free[root].min()) >= ties else 0
    return least, frozenset(loose)


def _is_free(core: Core) -> bool:
    """Tell whether runs that are placed one after the other keep all rules."""
    ties = Neighbours(core)
    runs = core.problem.runs
    for run in sorted(range(len(runs)), key=lambda run: (runs[run].wall, runs[run].course)):
        blocked = ties.all_blocked(run)
        ties.give(run, int(blocked.argmin()))
        if ties.broken:
            return False
    return True


def _places(ways: Ways) -> _Places:
    """Give unlike rows of seams in places."""
    beyond = ways.broken - ways.broken.min()
    placed = ways.seams[ways.seams > NOWHERE]
    width = 1
    if len(ways) > MOST_PLACES and len(placed):
        width = max(1, int(placed.max() - placed.min()) // MOST_PLACES)
    while True:
        places = np.where(ways.seams > NOWHERE, ways.seams // width, NOWHERE)
        rows, of = np.unique(places, axis=0, return_inverse=True)
        if len(rows) <= MOST_PLACES:
            break
        width *= 2
    least = np.full(len(rows), NEVER, dtype=np.int64)
    np.minimum.at(least, of.ravel(), beyond)
    return _Places(rows, width, least)


def _clashes(one: _Places, other: _Places, limits: Sequence[int]) -> Whole:
    """Count the rules that two rows of seams surely break. (rows, other rows)"""
    found = np.zeros((len(one.rows), len(other.rows)), dtype=np.int64)
    for mine in one.rows.T:
        for its in other.rows.T:
            # As far apart as two units of these places can be.
            most = np.maximum(
                (mine[:, None] + 1) * one.width - 1 - its * other.width,
                (its + 1) * other.width - 1 - mine[:, None] * one.width,
            )
            there = (mine[:, None] > NOWHERE) & (its > NOWHERE)
            for limit in limits:
                found += there & (most < limit)
    return found


def _forest(near: Sequence[Sequence[Edge]], of: Sequence[_Places]) -> list[list[Edge]]:
    """Choose rules that close no circle, those of the nearest courses first."""
    root = list(range(len(near)))

    def top(run: int) -> int:
        while root[run] != run:
            root[run] = root[root[run]]
            run = root[run]
        return run

    spans = [_span(places) for places in of]
    tree: list[list[Edge]] = [[] for _ in near]
    edges = [
        (run, other, limits)
        for run, some in enumerate(near)
        for other, limits in some
        if run < other
    ]
    for run, other, limits in sorted(edges, key=lambda edge: (-max(edge[2]), edge[:2])):
        (low, high), (least, most) = spans[run], spans[other]
        if least - high >= max(limits) or low - most >= max(limits):
            continue
        if top(run) != top(other):
            root[top(run)] = top(other)
            tree[run].append((other, limits))
            tree[other].append((run, limits))
    return tree


def _span(places: _Places) -> tuple[int, int]:
    placed = places.rows[places.rows > NOWHERE]
    if not len(placed):
        return 1 << 60, 1 << 60
    return int(placed.min()) * places.width, (int(placed.max()) + 1) * places.width
