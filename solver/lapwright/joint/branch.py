"""Branching: whether so many bars can be enough, to the end.

The ways of a run are divided in two where the linear program cannot decide, by where one
of its seams is, and each part is looked at by itself; columns and windows are added as
they are wanted.  A part is done with when a cover shows, in whole numbers, that the bars
are too few for it.  From the first part on, and from some below it, dives look for ways
that the bars are enough for.

References
----------
C. Barnhart, E. L. Johnson, G. L. Nemhauser, M. W. P. Savelsbergh, P. H. Vance,
"Branch-and-price: column generation for solving huge integer programs", Operations
Research 46 (1998), 316-329, doi 10.1287/opre.46.3.316.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from lapwright.errors import SolverError
from lapwright.joint.bound import cover_of
from lapwright.joint.closing import Closing, close
from lapwright.joint.dive import dive
from lapwright.joint.ties import Tied
from lapwright.joint.worth import NEARLY

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from random import Random

    from lapwright.cutting.covers import Cover
    from lapwright.cutting.master import Basis
    from lapwright.joint.bound import Relaxation
    from lapwright.joint.core import Flags
    from lapwright.joint.problem import Whole

TAKES = 5
"""Bars are no more looked at after so many ways that could not be cut from them."""
TRIED, FEWER_TRIED, DEEP = 5, 2, 8
"""So many runs are tried before one is divided, and where so many are divided already."""
ASKS = 3
"""So often a gap to the same bars may be closed: each time otherwise."""
BESIDE = 4
"""After so many parts it is asked for what closes a gap beside them."""
GROWN = 2.5
"""When the linear program has so many times the columns of the beginning, most are dropped."""
EVERY = 4
"""At so many divisions of runs, and twice and three times as many, ways are dived for."""
MENDS = 8
"""So often a dive that leaves too little is mended."""
VAIN, LITTLE = 4, 0.002
"""New windows are given up after so many turns that tell no more than this. [of what lacks]"""
HALF = 0.5
FAR = 1 << 60
UNDECIDED = 1e-4
"""A run is undecided if the smaller part of it is more than this."""


def is_too_few(cover: Cover, target: Sequence[int]) -> bool:
    """Tell whether so many bars are worth less than a cover says they must be."""
    pairs = zip(cover.worth, target, strict=True)
    return sum(worth * int(many) for worth, many in pairs) < cover.least


def search(
    relaxation: Relaxation,
    bars: Whole,
    upper: int,
    take: Callable[[Sequence[int], Sequence[int]], int],
    least_yet: Callable[[], int],
    is_over: Callable[[], bool],
    *,
    learn: Callable[[Cover], Sequence[Cover]],
    left: Callable[[], float | None],
    waits: bool,
    most: int | None = None,
    closes: bool = True,
    chance: Random | None = None,
) -> int:
    """Find out which numbers of bars are enough, the cheapest first.

    Parameters
    ----------
    relaxation
        It looks at every run by itself, and asks for least cost.
    bars
        Numbers of bars and of seams, the cheapest first. (choices, stock + 1)
    upper
        What costs so much or more is of no interest.
    take
        Is given a way for every run, which dives let break more rules than need be, and
        numbers of bars that are enough if bars may be parts; gives what is of no interest
        from then on.
    least_yet
        Gives what costs too much to be of interest, as is known by now.
    is_over
        Tells whether the time is up.
    learn
        Is given a cover that holds for all plans; gives it and others that are new.
    left
        Tells how long closing a gap may take, None is no limit. [seconds]
    waits
        Whether it is waited for while there are parts to look at: then the same is found
        each time.
    most
        How many parts are looked at.
    closes
        Whether a gap is closed beside; another search may have the second core.
    chance
        Where dives go if ways look alike; None goes straight.

    Returns
    -------
    int
        None of the bars that cost less are enough.
    """
    costs = np.array(relaxation.core.costs, dtype=np.int64)
    tied = Tied(relaxation.core, relaxation.ties)
    parts: list[tuple[dict[int, Flags], Whole, Basis | None]] = [({}, bars, None)]
    still: list[int] = []
    failed: Counter[tuple[int, ...]] = Counter()
    asked: Counter[tuple[int, ...]] = Counter()
    uncut: Counter[tuple[int, ...]] = Counter()
    """Bars that ways of dives could not be cut from, and how often."""
    closing: Closing | None = None
    most_columns = GROWN * relaxation.columns
    seen = since = 0

    def begin(some: Whole) -> None:
        """Look by an integer program for ways that the first numbers of bars are enough for.

        It looks at all ways, whatever part is looked at: that is left.
        """
        nonlocal closing, since
        first = tuple(some[0].tolist())
        if not closes or relaxation.core.has_ends or closing is not None:
            return
        if asked[first] == ASKS:
            return
        asked[first] += 1
        relaxation.restrict({})
        try:
            enough = not_ruled_out(relaxation, some[:1], is_over)
        except SolverError:  # then nothing is known of these bars
            return
        if len(enough) and not is_over():
            closing, since = close(relaxation, tied, first, left(), asked[first]), seen

    try:
        while (parts or closing) and not is_over() and seen != most:
            upper = min(upper, least_yet())
            # Bars that cost less than all that is open are ruled out.
            least = min(still, default=upper) if not parts else 0
            if closing and not least <= int(np.array(closing.bars) @ costs) < upper:
                closing.stop()
                closing = None
            elif closing and (not parts or seen >= since + BESIDE):
                ways = _waited_for(closing, left() if waits or not parts else 0.0)
                if ways is not None:
                    upper = min(upper, take(ways, closing.bars))
                if closing.ways.done():
                    closing.stop()
                    closing = None
            if not parts:
                continue
            seen += 1
            part, some, basis = parts.pop()
            some = some[some @ costs < upper]
            if relaxation.columns > most_columns:
                fresh = relaxation.lean()
                _let_go(relaxation)
                relaxation, basis = fresh, None
                parts = [(*waiting[:2], None) for waiting in parts]
            for given_up in (each for each, many in failed.items() if many >= TAKES):
                some = some[(some != given_up).any(axis=1)]
            if not len(some):
                continue
            # Of bars that cost the same those come first that fewer ways could not be cut from.
            if uncut:
                often = np.array([uncut[tuple(one)] for one in some.tolist()])
                some = some[np.lexsort((often, some @ costs))]
            if basis is not None:
                relaxation.start_from(basis)
            relaxation.restrict(part)
            try:
                some = not_ruled_out(relaxation, some, is_over, None if part else learn)
            except SolverError:  # then nothing is known of this part
                still += [int(one @ costs) for one in some[:1]]
                continue
            if not len(some):
                continue
            if is_over():
                parts.append((part, some, None))
                break
            if not part:
                begin(some)
            shares = relaxation.shares()
            tried = TRIED if len(part) < DEEP else FEWER_TRIED
            cuts = _undecided(relaxation, shares, tried)
            basis = relaxation.basis()
            if cuts and len(part) % EVERY == 0:
                dived = _dived(relaxation, part, some[0], take, is_over, chance, uncut)
                upper = min(upper, dived)
                some = some[some @ costs < upper]
                if not len(some):
                    continue
                begin(some)
                relaxation.restrict(part)
            if cuts:
                for side, run in _best_sides(relaxation, part, cuts, basis, is_over):
                    narrowed = tied.narrow(side, run)
                    if narrowed is not None:
                        parts.append((narrowed, some, basis))
                continue
            sides = tied.sides(part, shares)
            if sides:
                parts += [(side, some, basis) for side in sides]
                continue
            still.append(int(some[0] @ costs))
            failed[tuple(some[0].tolist())] += 1
            if len(shares) == len(relaxation.groups):
                ways = [
                    max(uses, key=lambda use: use[1])[0] for _, uses in sorted(shares.items())
                ]
                upper = min(upper, take(ways, some[0].tolist()))
                if int(some[0] @ costs) < upper:
                    begin(some)
    finally:
        if closing is not None:
            closing.stop()
        _let_go(relaxation)
    still += [int(some[0] @ costs) for _, some, _ in parts if len(some)]
    return min(upper, min(still, default=upper))


def _waited_for(closing: Closing, left: float | None) -> list[int] | None:
    """Wait for what closes a gap, while there is time."""
    try:
        return closing.ways.result(left if left is None else max(0.0, left))
    except TimeoutError:
        return None


def _let_go(relaxation: Relaxation) -> None:
    relaxation.restrict({})
    relaxation.aim(None)


def not_ruled_out(
    relaxation: Relaxation,
    bars: Whole,
    is_over: Callable[[], bool],
    learn: Callable[[Cover], Sequence[Cover]] | None = None,
) -> Whole:
    """Leave numbers of bars of which the first is enough if all may be parts."""
    costs = np.array(relaxation.core.costs, dtype=np.int64)
    while len(bars):
        first = bars[0]
        least = int(first @ costs) / relaxation.scale + NEARLY
        relaxation.within(first.tolist())
        telling = Telling(least)
        while True:
            value, duals = relaxation.generate_above(is_over, least, least)
            if duals is not None:
                cover = cover_of(relaxation, duals)
                for each in learn(cover) if learn else (cover,):
                    bars = bars[bars @ np.array(each.worth, dtype=np.int64) >= each.least]
            if not len(bars) or (bars[0] != first).any():
                break
            if is_over() or telling.is_over(value) or not relaxation.tighten():
                return bars
        if is_over():
            break
    return bars


class Telling:
    """Whether new windows tell anything yet of bars that may be too few.

    Parameters
    ----------
    least
        The value that the linear program must come to. [dearest bars]
    """

    def __init__(self, least: float) -> None:
        self._least, self._last, self._vain = least, 0.0, 0

    def is_over(self, value: float) -> bool:
        """Tell whether the value has stood still, after some turns of new windows."""
        stands = value < self._last + LITTLE * (self._least - value)
        self._vain = self._vain + 1 if stands else 0
        self._last = value
        return self._vain == VAIN


@dataclass(frozen=True, slots=True)
class _Cut:
    """Divides the ways of a run by where a seam is."""

    run: int
    seam: int
    place: int
    """Up to where it is on the one side. [as the seams of ways]"""
    below: float
    """How much of the run is on that side."""


def _dived(
    relaxation: Relaxation,
    part: Mapping[int, Flags],
    bars: Whole,
    take: Callable[[Sequence[int], Sequence[int]], int],
    is_over: Callable[[], bool],
    chance: Random | None,
    uncut: Counter[tuple[int, ...]],
) -> int:
    """Dive for ways that so many bars are enough for, and take them.

    Returns
    -------
    int
        What is of no interest from then on.
    """
    costs = np.array(relaxation.core.costs, dtype=np.int64)
    enough = int(bars @ costs) / relaxation.scale + NEARLY
    upper = FAR
    core = relaxation.core
    # Of two searches one mends its dives, the other looks at more parts.
    mends = MENDS if chance or (core.has_ends and len(core.caps) > 1) else 0
    for is_bold in (True,) if mends else (True, False):
        found = dive(
            relaxation,
            {},
            chance,
            is_over,
            within=part,
            is_bold=is_bold,
            enough=enough,
            mends=mends,
        )
        relaxation.restrict(part)
        if found is not None and found[0] <= enough:
            upper = min(upper, take(found[1], bars.tolist()))
            uncut[tuple(bars.tolist())] += upper > int(bars @ costs)
        if upper <= int(bars @ costs) or is_over():
            break
    return upper


def _undecided(
    relaxation: Relaxation, shares: Mapping[int, Sequence[tuple[int, float]]], tried: int
) -> list[_Cut]:
    """Find for the runs that the linear program can decide least where to divide them."""
    found = []
    for run, uses in sorted(shares.items()):
        if len(uses) < 2:
            continue
        seams = relaxation.core.classes[run].seams
        best: tuple[float, _Cut] | None = None
        for seam in range(seams.shape[1]):
            placed = sorted((int(seams[way, seam]), share) for way, share in uses)
            below = 0.0
            for (here, share), (there, _) in pairwise(placed):
                below += share
                least = min(below, 1.0 - below)
                if here < there and least > UNDECIDED and (best is None or least > best[0]):
                    best = least, _Cut(run, seam, here, below)
        if best is not None:
            found.append(best)
    found.sort(key=lambda each: (-round(each[0], 3), each[1].run))
    return [cut for _, cut in found[:tried]]


def _best_sides(
    relaxation: Relaxation,
    part: Mapping[int, Flags],
    cuts: Sequence[_Cut],
    basis: Basis,
    is_over: Callable[[], bool],
) -> list[tuple[dict[int, Flags], int]]:
    """Divide a part where both sides cost most more; the likelier side comes last.

    Returns
    -------
    list of tuple
        The sides, each with the run that was divided.
    """
    best: tuple[float, float] = (-1.0, -1.0)
    chosen: list[tuple[dict[int, Flags], int]] = []
    for cut in cuts:
        if chosen and is_over():
            break
        seams = relaxation.core.classes[cut.run].seams[:, cut.seam]
        before = part.get(cut.run, np.ones(len(seams), dtype=bool))
        sides = [
            {**part, cut.run: side}
            for side in (before & (seams <= cut.place), before & (seams > cut.place))
        ]
        if cut.below > HALF:
            sides.reverse()
        values = []
        for side in sides:
            relaxation.start_from(basis)
            relaxation.restrict(side)
            values.append(relaxation.value() if len(cuts) > 1 else 0.0)
        rank = min(values), max(values)
        if rank > best:
            best, chosen = rank, [(side, cut.run) for side in sides]
    return chosen
