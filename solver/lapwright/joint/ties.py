"""How many rules of neighbouring runs no plan can keep, and what is left if no more break."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import combinations, permutations
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lapwright.joint.neighbours import Neighbours, near_runs, too_near
from lapwright.joint.problem import NOWHERE

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from lapwright.joint.core import Core, Flags
    from lapwright.joint.problem import Ways, Whole

    Edge = tuple[int, tuple[int, ...]]
    """The other run, and within what two seams break a rule each."""

Counts = NDArray[np.int32]
"""Of broken rules."""
MOST_PLACES = 520
"""Rows of seams are looked at in coarser places where a run has more than this."""
NEVER = 1 << 20
"""So many rules as no plan breaks."""


@dataclass(frozen=True, eq=False, slots=True)
class _Places:
    """Where the seams of a run can be."""

    rows: Whole
    """Unlike rows of places, `NOWHERE` where there is no seam. (rows, seams)"""
    width: int
    """Of a place. [twice the unit of the lengths]"""
    of: Whole
    """The place of every way. (ways,)"""
    least: Counts
    """How many rules more than need be a way with these seams breaks by itself. (rows,)"""
    beyond: Counts
    """How many more than that every way breaks. (ways,)"""


@dataclass(frozen=True, eq=False, slots=True)
class Tree:
    """Runs some of which cannot keep apart, and rules between them that close no circle."""

    order: tuple[int, ...]
    """Runs, each after the one above it."""
    above: Mapping[int, int]
    limits: Mapping[int, tuple[int, ...]]
    """Within what seams of a run and the one above it break a rule each."""
    clashes: Mapping[int, Counts]
    """How many rules a run and the one above it surely break. (places above, places)"""
    places: Mapping[int, _Places]
    least: int
    """How many rules they break at least, beyond what each does by itself."""

    def broken(self, own: Mapping[int, Counts]) -> _Broken:
        """Count what the runs break at least, if one of them has its seams in a place.

        Parameters
        ----------
        own
            How many rules count for a place itself, by run. (places,)
        """
        below = {run: own[run] for run in self.order}
        up: dict[int, Counts] = {}
        for run in reversed(self.order[1:]):
            above = self.above[run]
            up[run] = (self.clashes[run] + below[run]).min(axis=1)
            below[above] = below[above] + up[run]
        whole = {self.order[0]: below[self.order[0]]}
        for run in self.order[1:]:
            others = whole[self.above[run]] - up[run]
            whole[run] = below[run] + (others[:, None] + self.clashes[run]).min(axis=0)
        return _Broken(below, up, whole)


@dataclass(frozen=True, eq=False, slots=True)
class _Broken:
    """What the runs of a tree break at least, by the place of one of them."""

    below: Mapping[int, Counts]
    """A run and those below it. (places,)"""
    up: Mapping[int, Counts]
    """Those from a run on, by the place of the one above it. (places above,)"""
    whole: Mapping[int, Counts]
    """All of them. (places,)"""


@dataclass(frozen=True, eq=False, slots=True)
class Ties:
    """What plans that break the fewest rules have in common."""

    least: int = 0
    """Rules that they break beyond what each run breaks by itself at least; no plan
    breaks fewer."""
    soft: frozenset[tuple[int, int]] = frozenset()
    """Pairs of runs that may break rules with each other in such a plan; no others do."""
    rows: Mapping[int, Flags] = field(default_factory=dict)
    """Rows of `Ways` that a run may take in such a plan, where not all are."""
    trees: tuple[Tree, ...] = ()


class Tied:
    """Knows what ways are left to runs that cannot keep apart, if no more is to be broken.

    Parameters
    ----------
    core
        The problem in units, with no other rows than those of the ties.
    ties
        What is known of it.
    """

    def __init__(self, core: Core, ties: Ties) -> None:
        self._trees = ties.trees
        self.tree_of = {run: at for at, tree in enumerate(ties.trees) for run in tree.order}
        """The number of its tree, by run."""
        self._place: dict[int, Whole] = {}
        self._seams: dict[int, Whole] = {}
        self._beside: dict[int, list[tuple[int, tuple[int, ...], Counts]]] = {}
        """Runs next to a run in its tree, limits, and clashes of (their places, places)."""
        for tree in ties.trees:
            for run in tree.order:
                c = core.classes[core.class_of[run]]
                self._place[run], self._seams[run] = tree.places[run].of[c.rows], c.seams
                self._beside[run] = []
            for run, above in tree.above.items():
                limits, clashes = tree.limits[run], tree.clashes[run]
                self._beside[run].append((above, limits, clashes))
                self._beside[above].append((run, limits, clashes.T))
        self._given: dict[int, int] = {}
        self._known: dict[int, Mapping[int, Counts]] = {}

    def runs(self, run: int) -> tuple[int, ...]:
        """Give the runs that are tied to a run, and itself."""
        at = self.tree_of.get(run)
        return () if at is None else self._trees[at].order

    def give(self, run: int, way: int) -> None:
        """Give a run its way."""
        if run in self.tree_of:
            self._given[run] = way
            self._known.pop(self.tree_of[run], None)

    def take(self, run: int) -> None:
        """Take its way back."""
        if self._given.pop(run, None) is not None:
            self._known.pop(self.tree_of[run], None)

    def beyond(self, run: int) -> Counts:
        """Give how many rules more than the fewest a plan breaks with each way. (ways,)"""
        at = self.tree_of[run]
        known = self._known.get(at)
        if known is None:
            tree = self._trees[at]
            own = {}
            for one in tree.order:
                own[one] = tree.places[one].least
                way = self._given.get(one)
                if way is not None:
                    here = self._place[one][way]
                    own[one] = np.where(np.arange(len(own[one])) == here, own[one], NEVER)
            known = self._known[at] = tree.broken(own).whole
        found = known[run][self._place[run]] - self._trees[at].least
        for other, limits, clashes in self._beside[run]:
            way = self._given.get(other)
            if way is not None:
                # What places do not tell apart.
                there = [seam for seam in self._seams[other][way].tolist() if seam > NOWHERE]
                found = found + too_near(self._seams[run], there, limits)
                found = found - clashes[self._place[other][way]][self._place[run]]
        return found

    def narrow(self, allowed: Mapping[int, Flags], run: int) -> dict[int, Flags] | None:
        """Leave the ways with which no more than the fewest rules are broken.

        Parameters
        ----------
        allowed
            Ways of some runs, rows of their class.
        run
            Only it and those that are tied to it are looked at.

        Returns
        -------
        dict or None
            None if more rules must be broken.
        """
        narrowed = dict(allowed)
        at = self.tree_of.get(run)
        if at is None:
            return narrowed
        tree = self._trees[at]
        own = {}
        for one in tree.order:
            own[one] = tree.places[one].least
            if one in allowed:
                free = np.zeros(len(own[one]), dtype=bool)
                free[self._place[one][allowed[one]]] = True
                own[one] = np.where(free, own[one], NEVER)
        whole = tree.broken(own).whole
        for one in tree.order:
            fewest = whole[one][self._place[one]] == tree.least
            before = allowed.get(one)
            if before is not None:
                fewest &= before
            if not fewest.any():
                return None
            if before is None and fewest.all():
                continue
            if before is None or (fewest != before).any():
                narrowed[one] = fewest
        return narrowed

    def sides(
        self, part: Mapping[int, Flags], shares: Mapping[int, Sequence[tuple[int, float]]]
    ) -> list[dict[int, Flags]]:
        """Divide a part by the first way that breaks more rules with those before it.

        There are no sides if all runs that ties concern keep what can be kept.

        Parameters
        ----------
        part
            Ways of some runs, rows of their class.
        shares
            Ways of every run, and how often each is used.
        """
        fixed: dict[int, Flags] | None = dict(part)
        for run in sorted(self.tree_of):
            if run not in shares or fixed is None:
                continue
            way = max(shares[run], key=lambda use: use[1])[0]
            seams = self._seams[run]
            here = (seams == seams[way]).all(axis=1)
            before = part.get(run, np.ones(len(here), dtype=bool))
            fixed = self.narrow({**fixed, run: fixed.get(run, before) & here}, run)
            if fixed is None and (before & ~here).any():
                sides = [{**part, run: before & ~here}, {**part, run: before & here}]
                narrowed = [self.narrow(side, run) for side in sides]
                return [side for side in narrowed if side is not None]
        return []


def least_ties(core: Core) -> Ties:
    """Find how often two runs must break a rule, whatever ways they take.

    Runs and the rules between them make a graph.  On a forest of it the least is exact,
    from the leaves to the root; rules beside the forest are left out, but for circles of
    three runs that no tree ties, and places are told apart only so far as memory allows, so
    that the number is safe.  A plan that breaks no more keeps all rules beside trees and
    circles, and is one of the best on every tree.

    Parameters
    ----------
    core
        The problem in units.
    """
    if _is_free(core):
        return Ties()
    runs = core.problem.runs
    near = near_runs(core.problem)
    known_ways = {id(run.ways): run.ways for run in runs}
    made = {key: _places(ways) for key, ways in known_ways.items()}
    of = [made[id(run.ways)] for run in runs]
    edges = _forest(near, of)
    known: dict[tuple[int, int, tuple[int, ...]], Counts] = {}

    def clashes_of(run: int, other: int, limits: tuple[int, ...]) -> Counts:
        key = id(runs[run].ways), id(runs[other].ways), limits
        if key not in known:
            known[key] = _clashes(of[run], of[other], limits)
        return known[key]

    seen: set[int] = set()
    trees: list[Tree] = []
    soft: set[tuple[int, int]] = set()
    rows: dict[int, Flags] = {}
    for root in range(len(near)):
        if root in seen:
            continue
        order, above = [root], dict[int, int]()
        near_by, clashes = dict[int, tuple[int, ...]](), dict[int, Counts]()
        seen.add(root)
        for run in order:
            for other, limits in edges[run]:
                if other in seen:
                    continue
                seen.add(other)
                above[other], near_by[other] = run, limits
                clashes[other] = clashes_of(run, other, limits)
                order.append(other)
        places = {run: of[run] for run in order}
        tree = Tree(tuple(order), above, near_by, clashes, places, 0)
        broken = tree.broken({run: of[run].least for run in order})
        least = int(broken.whole[root].min())
        if not least:
            continue
        trees.append(replace(tree, least=least))
        for run in order:
            rows[run] = (broken.whole[run][of[run].of] + of[run].beyond) == least
        for run in order[1:]:
            others = broken.whole[above[run]] - broken.up[run]
            whole = others[:, None] + clashes[run] + broken.below[run]
            if (clashes[run][whole == least] > 0).any():
                soft |= {(run, above[run]), (above[run], run)}
    least = sum(tree.least for tree in trees)
    tied = {run for tree in trees for run in tree.order}
    looked: dict[tuple[object, ...], int] = {}
    for three in _circles(near, of):
        if tied & set(three):
            continue
        one, two, last = three
        each = dict(near[one])[two], dict(near[one])[last], dict(near[two])[last]
        key = (*(id(runs[run].ways) for run in three), each)
        if key not in looked:
            looked[key] = _least_of_three(
                [of[run].least for run in three],
                clashes_of(one, two, each[0]),
                clashes_of(one, last, each[1]),
                clashes_of(two, last, each[2]),
            )
        if looked[key]:
            least += looked[key]
            tied |= set(three)
            soft |= set(permutations(three, 2))
            for run in three:
                rows[run] = of[run].least[of[run].of] + of[run].beyond <= looked[key]
    return Ties(least, frozenset(soft), rows, tuple(trees))


def _circles(
    near: Sequence[Sequence[Edge]], of: Sequence[_Places]
) -> Iterator[tuple[int, ...]]:
    """Give three runs at a time between all of which there are rules that may break."""
    spans = [_span(places) for places in of]
    beside = [
        {other for other, limits in some if _can_clash(spans[run], spans[other], limits)}
        for run, some in enumerate(near)
    ]
    for run, others in enumerate(beside):
        for second, third in combinations(sorted(other for other in others if other > run), 2):
            if third in beside[second]:
                yield run, second, third


def _least_of_three(
    own: Sequence[Counts], to_two: Counts, to_last: Counts, between: Counts
) -> int:
    """Count the rules that three runs break at least, beyond what each does by itself.

    Parameters
    ----------
    own
        By place of each.
    to_two, to_last
        What the first breaks with the others, by both places.
    between
        What the others break with each other.
    """
    others = own[1][:, None] + own[2] + between
    least = NEVER
    # Mostly none is broken from the place that leaves the others most.
    left = (to_two == 0).sum(axis=1) * (to_last == 0).sum(axis=1)
    for place in np.lexsort((-left, own[0])).tolist():
        broken = own[0][place] + to_two[place][:, None] + to_last[place] + others
        least = min(least, int(broken.min()))
        if not least:
            break
    return least


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
    beyond = (ways.broken - ways.broken.min()).astype(np.int32)
    placed = ways.seams[ways.seams > NOWHERE]
    width = 1
    while True:
        places = np.where(ways.seams > NOWHERE, ways.seams // width, NOWHERE)
        rows, of = np.unique(places, axis=0, return_inverse=True)
        if len(rows) <= MOST_PLACES:
            break
        width = 2 * width if width > 1 else max(2, int(np.ptp(placed)) // MOST_PLACES)
    of = of.ravel()
    least = np.full(len(rows), NEVER, dtype=np.int32)
    np.minimum.at(least, of, beyond)
    return _Places(rows, width, of, least, beyond - least[of])


def _clashes(one: _Places, other: _Places, limits: Sequence[int]) -> Counts:
    """Count the rules that two rows of seams surely break. (rows, other rows)"""
    found = np.zeros((len(one.rows), len(other.rows)), dtype=np.int32)
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
        if not _can_clash(spans[run], spans[other], limits):
            continue
        if top(run) != top(other):
            root[top(run)] = top(other)
            tree[run].append((other, limits))
            tree[other].append((run, limits))
    return tree


def _can_clash(one: tuple[int, int], other: tuple[int, int], limits: Sequence[int]) -> bool:
    """Tell whether seams within these stretches can be too near to each other."""
    return other[0] - one[1] < max(limits) and one[0] - other[1] < max(limits)


def _span(places: _Places) -> tuple[int, int]:
    placed = places.rows[places.rows > NOWHERE]
    if not len(placed):
        return 1 << 60, 1 << 60
    return int(placed.min()) * places.width, (int(placed.max()) + 1) * places.width
