"""Windows: of runs on top of each other few may have a seam in the same stretch.

Two seams of neighbouring courses must be a stagger apart.  So of two neighbouring runs
one at most has a seam in a stretch that is narrower than the stagger, and of a stack of
them every other one; where seams in line are kept some courses apart, one of so many.
That is an inequality about ways, a clique of those that exclude each other.  Two runs by
themselves have more of them: the narrower the stretch of the one, the wider that of the
other, which is all that is too near to every place of the first.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from itertools import combinations, product
from math import prod
from typing import TYPE_CHECKING

import numpy as np

from lapwright.joint.neighbours import near_runs, seams_of
from lapwright.joint.problem import NOWHERE

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from lapwright.joint.core import Core, Flags
    from lapwright.joint.problem import Whole
    from lapwright.joint.worth import Values

    Use = tuple[int, int, float]
    """Group, way, and how many of its runs are made so."""
    Rule = tuple[int, int]
    """Of so many courses on top of each other one has a seam in so long a stretch."""
    Shifted = tuple[tuple[int, int], ...]
    """Groups, and how far along the runs of each are from those of the first."""

BESIDE = range(-4, 5)
"""Beside a window that is too full the next solution would stand: so many more are added."""
MOST_SETS = 100
"""Where more runs than this could be on top of each other in sets, they are taken in pairs."""
PARTS = 8
"""They are so much of a window apart."""
SURELY, CLEARLY = 1e-3, 0.02
"""What a window holds too much is more than this, and more than that if it is of two runs:
there are many."""


@dataclass(frozen=True, slots=True)
class Window:
    """A stretch in which few runs of some groups have a seam."""

    stretches: tuple[tuple[int, int, int], ...]
    """Groups, where it begins along the runs of each, and how long it is there.
    [as the seams of ways]"""
    most: int
    """How many of the runs may have a seam in it."""


class Stacks:
    """Knows which runs are on top of each other, and what windows they have.

    Parameters
    ----------
    core
        The problem in units.
    groups
        Classes whose ways are alike, their seams too but for where the run begins.
    soft
        Pairs of runs whose seams need not keep apart.
    alone
        Whether every group is one run: then all that keep apart are looked at.
    """

    def __init__(
        self,
        core: Core,
        groups: Sequence[Sequence[int]],
        soft: frozenset[tuple[int, int]],
        *,
        alone: bool = False,
    ) -> None:
        rules = list(core.problem.apart.cliques())
        self._core, self._groups, self._soft = core, groups, soft
        self._loose = {run for run, _ in soft}
        self._seams = [along(core.classes[group[0]].seams) for group in groups]
        self._origin: dict[int, int] = {}
        self.group_of: dict[int, int] = {}
        """By run."""
        for number, group in enumerate(groups):
            for member in group:
                c = core.classes[member]
                for run in c.members:
                    self._origin[run] = _origin(c.seams)
                    self.group_of[run] = number
        places: defaultdict[tuple[int, int], list[int]] = defaultdict(list)
        for index, each in enumerate(core.problem.runs):
            places[each.wall, each.course].append(index)
        self._places = places
        self._beside, self._alone = (0,) if alone else BESIDE, alone
        self._sets: list[tuple[Shifted, list[Rule]]] = []
        self._pairs: list[tuple[Shifted, int]] = []
        """Runs that are too near each other, and within what."""
        if alone:
            self._sets = [
                (some, [rule])
                for rule in rules
                for some in self._stacked(rule)
                if len(some) > 2
            ]
            self._pairs = list(self._near_pairs())
        elif rules:
            found = (*self._alike(), *self._paired())
            self._sets = [(some, rules) for some in found]

    def _stacked(self, rule: Rule) -> Iterator[Shifted]:
        """Give all sets of runs of which one has a seam in a stretch."""
        width, courses = rule
        ends = {}
        for run, group in self.group_of.items():
            seams = self._seams[group]
            placed = seams[seams > NOWHERE] + self._origin[run]
            if len(placed):
                ends[run] = int(placed.min()), int(placed.max())

        def are_near(one: int, other: int) -> bool:
            if (one, other) in self._soft:
                return False
            low, high = max(ends[one][0], ends[other][0]), min(ends[one][1], ends[other][1])
            return low - high < width

        sets: set[tuple[int, ...]] = set()
        for wall, course in sorted(self._places):
            rows = [self._places.get((wall, course + up), ()) for up in range(courses)]
            firm = [[run for run in row if run in ends] for row in rows]
            firm = [row for row in firm if row]
            if prod(len(row) for row in firm) > MOST_SETS:
                for one, other in combinations(firm, 2):
                    sets.update(pair for pair in product(one, other) if are_near(*pair))
                continue
            for some in product(*firm):
                pairs = [pair for pair in combinations(some, 2) if are_near(*pair)]
                if len(pairs) == len(some) * (len(some) - 1) // 2 > 0:
                    sets.add(some)
                else:
                    sets.update(pairs)
        held = {pair for some in sets if len(some) > 2 for pair in combinations(some, 2)}
        for some in sorted(sets - held):
            first = self._origin[some[0]]
            yield tuple((self.group_of[run], self._origin[run] - first) for run in some)

    def _near_pairs(self) -> Iterator[tuple[Shifted, int]]:
        """Give all pairs of runs of which seams can be too near each other."""
        for run, near in enumerate(near_runs(self._core.problem)):
            for other, limits in near:
                if run < other and (run, other) not in self._soft:
                    by = self._origin[other] - self._origin[run]
                    pair = (self.group_of[run], 0), (self.group_of[other], by)
                    yield pair, max(limits)

    def _alike(self) -> Iterator[Shifted]:
        for number, group in enumerate(self._groups):
            if sum(len(self._core.classes[c].members) for c in group) > 1:
                yield ((number, 0),)

    def _paired(self) -> Iterator[Shifted]:
        """Give pairs of groups that are on top of each other, and how far they are shifted."""
        shifts: defaultdict[tuple[int, int], set[int]] = defaultdict(set)
        for (wall, course), runs in sorted(self._places.items()):
            for one in runs:
                for other in self._places.get((wall, course + 1), ()):
                    pair = self.group_of[one], self.group_of[other]
                    if pair[0] != pair[1]:
                        by = self._origin[other] - self._origin[one]
                        if pair[0] > pair[1]:
                            pair, by = pair[::-1], -by
                        shifts[pair].add(by)
        for (one, other), found in sorted(shifts.items()):
            # The same for all of their walls, else one window does not fit them all.
            if len(found) == 1:
                yield ((one, 0), (other, found.pop()))

    def _most(self, members: Iterable[int], courses: int) -> int:
        """Give how many of some runs may have a seam in a window of so many courses."""
        stacked: defaultdict[int, set[int]] = defaultdict(set)
        most = 0
        for index in members:
            run = self._core.problem.runs[index]
            if index in self._loose or run.course in stacked[run.wall]:
                most += 1
            else:
                stacked[run.wall].add(run.course)
        for rows in stacked.values():
            height = 0
            for course in sorted(rows):
                height += 1
                if course + 1 not in rows:
                    most += -(-height // courses)
                    height = 0
        return most

    def too_full(self, uses: Sequence[Use]) -> Iterator[Window]:
        """Find windows in which the runs of a linear program have too many seams.

        Parameters
        ----------
        uses
            Ways that it uses.
        """
        ways: defaultdict[int, list[tuple[int, float]]] = defaultdict(list)
        for group, way, share in uses:
            ways[group].append((way, share))
        for some, rules in self._sets:
            yield from self._too_full_of(some, rules, ways)
        for pair, limit in self._pairs:
            yield from self._too_full_of_two(pair, limit, ways)

    def _too_full_of_two(
        self, pair: Shifted, limit: int, ways: Mapping[int, Sequence[tuple[int, float]]]
    ) -> Iterator[Window]:
        """Find a stretch of one run, and all that is too near to all of it of the other.

        What is narrower for the one is wider for the other.
        """
        some, more = (ways.get(group, ()) for group, _ in pair)
        if not some or not more:
            return
        (one, here), (other, there) = pair
        if len(some) == len(more) == 1:
            mine = sorted(seam + here for seam in seams_of(self._seams[one][some[0][0]]))
            others = [seam + there for seam in seams_of(self._seams[other][more[0][0]])]
            found = _too_near(mine, others, limit)
        else:
            found = _fullest(
                shifted(self._seams[one][[way for way, _ in some]], here),
                np.array([share for _, share in some]),
                shifted(self._seams[other][[way for way, _ in more]], there),
                np.array([share for _, share in more]),
                limit,
            )
        if found is None:
            return
        first, last, least, most = found
        # Half of what is free to both sides goes to the one, half to the other.
        first -= (first - (most - limit + 1)) // 2
        last += (least + limit - 1 - last) // 2
        yield Window(
            (
                (one, first - here, last - first + 1),
                (other, last - limit + 1 - there, first - last + 2 * limit - 1),
            ),
            1,
        )

    def _too_full_of(
        self,
        some: Shifted,
        rules: Sequence[Rule],
        ways: Mapping[int, Sequence[tuple[int, float]]],
    ) -> Iterator[Window]:
        """Find the fullest windows of some groups."""
        members = [
            run
            for group, _ in some
            for c in self._groups[group]
            for run in self._core.classes[c].members
        ]
        made = [
            (shifted(self._seams[group][way], by), share)
            for group, by in some
            for way, share in ways.get(group, ())
        ]
        if not made:
            return
        seams = np.full((len(made), max(len(row) for row, _ in made)), NOWHERE, dtype=np.int64)
        for at, (row, _) in enumerate(made):
            seams[at, : len(row)] = row
        shares = np.array([share for _, share in made])
        starts = np.unique(seams[seams > NOWHERE])
        if not len(starts):
            return
        for width, courses in rules:
            most = 1 if self._alone else self._most(members, courses)
            inside = (seams[None] >= starts[:, None, None]) & (
                seams[None] < starts[:, None, None] + width
            )
            held = inside.any(axis=2) @ shares
            fullest = int(held.argmax())
            if held[fullest] <= most + SURELY:
                continue
            for beside in self._beside:
                start = int(starts[fullest]) + beside * max(1, width // PARTS)
                places = tuple((group, start - by, width) for group, by in some)
                yield Window(places, most)

    def hits(self, window: Window, group: int) -> Flags:
        """Tell which ways of a group of a window have a seam in it. (ways,)"""
        start, width = next(place[1:] for place in window.stretches if place[0] == group)
        seams = self._seams[group]
        inside = (seams >= start) & (seams < start + width)
        return np.asarray(inside.any(axis=1))


def _too_near(
    mine: Sequence[int], others: Sequence[int], limit: int
) -> tuple[int, int, int, int] | None:
    """Do as `_fullest`, for one way of each run."""
    for seam in mine:
        near = [other for other in others if seam - limit < other < seam + limit]
        if near:
            return seam, seam, min(near), max(near)
    return None


def _fullest(
    mine: Whole, shares: Values, others: Whole, weights: Values, limit: int
) -> tuple[int, int, int, int] | None:
    """Find where seams of one run are, and those of another too near to all of that.

    Parameters
    ----------
    mine, others
        Seams of the ways of the two runs. (ways, seams)
    shares, weights
        How often each way is used. (ways,)

    Returns
    -------
    tuple or None
        From where to where seams of the one are, and of the other; None if they are not
        more than they may be.
    """
    starts = np.unique(mine[mine > NOWHERE])
    ends = np.searchsorted(starts, starts + limit)
    at = np.repeat(np.arange(len(starts)), ends - np.arange(len(starts)))
    last = np.concatenate([starts[k:end] for k, end in enumerate(ends.tolist())] or [starts])
    first = starts[at]
    low, high = first[:, None, None], last[:, None, None]
    held = ((mine >= low) & (mine <= high)).any(axis=2) @ shares
    held += ((others > high - limit) & (others < low + limit)).any(axis=2) @ weights
    if not len(held) or held.max() <= 1 + CLEARLY:
        return None
    fullest = int(held.argmax())
    begin, end = int(first[fullest]), int(last[fullest])
    near = others[(others > end - limit) & (others < begin + limit)]
    return begin, end, int(near.min()), int(near.max())


def along(seams: Whole) -> Whole:
    """Give the seams of ways from where the first of them is. (ways, seams)"""
    return shifted(seams, -_origin(seams))


def shifted(seams: Whole, by: int) -> Whole:
    """Give seams so much further along, where there are any."""
    return np.asarray(np.where(seams > NOWHERE, seams + by, NOWHERE))


def _origin(seams: Whole) -> int:
    placed = seams[seams > NOWHERE]
    return int(placed[0]) if len(placed) else 0
