"""The ways to make the runs of a siding: which pieces, and where they meet."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting import Ends, Piece, Stock
from lapwright.job.material import Family
from lapwright.job.rules import SeamRule
from lapwright.joint.problem import NOWHERE, JointProblem, Run, Ways
from lapwright.measure import Rounding, Ticks, tape_step, to_tape
from lapwright.seams.butted import fitted, joint_places, no_joints
from lapwright.seams.lapped import Lapping, lappings
from lapwright.seams.split import Part, kept_out
from lapwright.sight import apart_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from lapwright.job.job import Job
    from lapwright.job.rules import Rules
    from lapwright.job.wall import Wall
    from lapwright.joint.problem import Whole
    from lapwright.takeoff.run import Run as CourseRun

MOST_WAYS = 100_000
"""More ways than this of one run are not listed."""
LEAST_WAYS, MOST_IN_ALL = 20_000, 1_200_000
"""And only so many, where those of all runs that differ come to more than this."""
MOST_COUNTED = 1 << 40
"""Ways are not counted beyond this."""


@dataclass(frozen=True, eq=False, slots=True)
class Single:
    """A run that one piece makes."""

    wall: Wall
    run: CourseRun


@dataclass(frozen=True, eq=False, slots=True)
class Choice:
    """A run with a choice, and the pieces that each of its ways comes to."""

    wall: Wall
    run: CourseRun
    ways: Ways
    made: tuple[Lapping, ...] | Whole
    """Lapped: the variants; butted: right ends of the pieces before a joint. (ways, joints)"""
    first: Whole
    """Lapped: variant and length of the first piece of every way. (ways, 2)"""
    gap: int
    """Butted: between two pieces. [ticks]"""
    is_listed: bool = True
    """Whether all of its ways are listed."""


def choices_of(runs: Sequence[tuple[Wall, CourseRun]], job: Job) -> list[Choice | Single]:
    """List the ways of every run.

    Raises
    ------
    NoPlanError
        No row of studs lets pieces of the stock reach from end to end of a run.
    """
    known: dict[tuple[object, ...], Choice] = {}
    found: list[Choice | Single] = []
    left = MOST_IN_ALL
    for wall, run in runs:
        if run.length <= job.siding.longest:
            found.append(Single(wall, run))
            continue
        outs = tuple((z.left, z.right) for z in kept_out(wall, run, job.rules))
        key = (run.x, run.length, run.left.inset, run.right.inset, outs)
        if key not in known:
            if job.siding.family is Family.BUTTED:
                most = max(LEAST_WAYS, min(MOST_WAYS, left))
                made = _on_studs(wall, run, job, most)
            else:
                made = _lapped(wall, run, job)
            left -= len(made.ways)
            known[key] = made
        found.append(replace(known[key], wall=wall, run=run))
    return found


def _lapped(wall: Wall, run: CourseRun, job: Job) -> Choice:
    rules, step, lap = job.rules, int(tape_step(job.unit)), int(job.rules.lap)
    outs = kept_out(wall, run, rules)
    least = [max(rules.shortest_piece, end.inset + lap) for end in (run.left, run.right)]
    longest = int(job.siding.longest)
    made = lappings(run, job)
    rows: list[list[Whole]] = []
    most = max(variant.pieces for variant in made)
    for number, variant in enumerate(made):
        low = max(-(-(variant.ends - longest) // step) * step, step)
        first = np.arange(low, min(longest, variant.ends - step) + 1, step, dtype=np.int64)
        if first.size and first[-1] < longest < variant.ends:
            first = np.append(first, longest)
        last = variant.ends - first
        last = np.where(last == variant.panel, last, last // step * step)
        ends = int(run.x) + first[:, None] + variant.advance * np.arange(variant.pieces - 1)
        short = (first < least[0]).astype(np.int64) + (last < least[1])
        hit = np.zeros(ends.shape, dtype=bool)
        for out in outs:
            hit |= (ends > out.left) & (ends - lap < out.right)
        seams = np.full((len(first), most - 1), NOWHERE, dtype=np.int64)
        seams[:, : variant.pieces - 1] = 2 * ends - lap
        whole = np.zeros((len(first), len(job.siding.stock)), dtype=np.int64)
        if variant.pieces > 2:
            sold = [stock.length for stock in job.siding.stock]
            whole[:, sold.index(variant.panel)] = variant.pieces - 2
        rows.append(
            [
                np.stack((first, last), axis=1),
                whole,
                seams,
                np.stack((short, hit.sum(axis=1)), axis=1),
                np.stack((np.full(len(first), number), first), axis=1),
            ]
        )
    lengths, whole, seams, broken, firsts = (
        np.concatenate(part) for part in zip(*rows, strict=True)
    )
    kept = _least_hard(rules, broken)
    ways = Ways(
        lengths[kept],
        (Ends.RIGHT, Ends.LEFT),
        whole[kept],
        seams[kept],
        broken[kept].sum(axis=1, dtype=np.int64),
    )
    return Choice(wall, run, ways, made, firsts[kept], 0)


def _on_studs(wall: Wall, run: CourseRun, job: Job, limit: int) -> Choice:
    rules, step = job.rules, int(tape_step(job.unit))
    gap = int(to_tape(rules.joint_gap, job.unit, Rounding.UP))
    outs = kept_out(wall, run, rules)
    stock = tuple(int(s.length) for s in job.siding.stock)
    places, is_listed = _rows_of_joints(run, job, stock, step, gap, limit)
    lengths = np.zeros(places.shape, dtype=np.int64)
    ends = np.full((len(places), places.shape[1] - 1), NOWHERE, dtype=np.int64)
    x = np.full(len(places), int(run.x))
    for column in range(places.shape[1]):
        place = places[:, column]
        has = place > NOWHERE
        lengths[has, column] = _fitted(stock, step, place[has] - x[has])
        x += lengths[:, column]
        if column < ends.shape[1]:
            inner = has & (place < run.end)
            ends[inner, column] = x[inner]
        x += gap
    made = (lengths >= 0).all(axis=1)
    lengths, ends = lengths[made], ends[made]
    has = ends > NOWHERE
    hit = np.zeros(ends.shape, dtype=bool)
    for out in outs:
        hit |= (ends + gap > out.left) & (ends < out.right)
    short = (lengths < rules.shortest_piece) & (lengths > 0)
    broken = np.stack((short.sum(axis=1), (hit & has).sum(axis=1)), axis=1)
    kept = _least_hard(rules, broken)
    ways = Ways(
        lengths[kept],
        (Ends.NONE,) * places.shape[1],
        np.zeros((int(kept.sum()), len(stock)), dtype=np.int64),
        np.where(has, 2 * ends + gap, NOWHERE)[kept],
        broken[kept].sum(axis=1, dtype=np.int64),
    )
    first = np.zeros((0, 2), dtype=np.int64)
    return Choice(wall, run, ways, ends[kept], first, gap, is_listed)


def _fitted(stock: Sequence[int], step: int, rooms: Whole) -> Whole:
    """Give the length of a piece for every room, -1 where there is none. (rooms,)"""
    each, at = np.unique(rooms, return_inverse=True)
    found = [fitted(stock, step, room) for room in each.tolist()]
    made = np.array([-1 if length is None else length for length in found], dtype=np.int64)
    return np.asarray(made[at])


BY_ITSELF = (SeamRule.SHORTEST_PIECE, SeamRule.KEEP_OUT)
"""Rules that a run keeps or breaks whatever its neighbours do."""


def _least_hard(rules: Rules, broken: Whole) -> NDArray[np.bool_]:
    """Tell which ways break the fewest hard rules: these come before all others. (ways,)

    Parameters
    ----------
    broken
        How often a way breaks the rules that a run has by itself. (ways, rules)
    """
    hard = broken @ np.array([rule in rules.hard for rule in BY_ITSELF], dtype=np.int64)
    return np.asarray(hard == hard.min())


def _rows_of_joints(
    run: CourseRun, job: Job, stock: Sequence[int], step: int, gap: int, limit: int
) -> tuple[Whole, bool]:
    """List the rows of joints with no more of them than the job allows, and so many in all.

    Returns
    -------
    ndarray
        Where the pieces of each row end, the last one at the run's end; `NOWHERE` where a
        row has fewer. (rows, pieces)
    bool
        Whether these are all; else they are some, as far from each other as can be, and
        those with the fewest joints come first.
    """
    ends = np.array([*joint_places(run, job), int(run.end)], dtype=np.int64)
    starts = np.concatenate(([int(run.x)], ends[:-1] + gap))
    rooms = ends - starts[:, None]
    reach = _fitted(stock, step, rooms.ravel()).reshape(rooms.shape) >= 0
    # counts[n - 1][i]: in how many ways n pieces go from start i to the run's end.
    counts = [reach[:, -1].astype(np.int64)]
    while len(counts) < len(ends):
        on = reach[:, :-1] @ counts[-1][1:]
        counts.append(np.minimum(on, MOST_COUNTED))
    # A run longer than any stock length has a joint, be it longer by less than a mark.
    fewest = next((n for n, each in enumerate(counts[1:], start=2) if each[0]), None)
    if fewest is None:
        raise no_joints(run, job)
    most = min(fewest + job.rules.extra_seams, len(ends))
    found: list[Whole] = []
    left, is_all = limit, True
    for pieces in range(fewest, most + 1):
        total = int(counts[pieces - 1][0])
        many = min(total, left)
        left, is_all = left - many, is_all and many == total
        numbers = np.arange(many) * total // max(many, 1)
        rows = ends[_row_of_number(reach, counts, pieces, numbers)]
        found.append(np.pad(rows, ((0, 0), (0, most - pieces)), constant_values=NOWHERE))
    return np.concatenate(found), is_all


def _row_of_number(
    reach: NDArray[np.bool_], counts: Sequence[Whole], pieces: int, numbers: Whole
) -> Whole:
    """Find rows of joints by their number, in the order of their joints from the left.

    Parameters
    ----------
    reach
        Whether one piece goes from a start to an end. (starts, ends)
    counts
        In how many ways 1, 2, ... pieces go from a start to the run's end. (starts,)
    numbers
        From 0. (rows,)

    Returns
    -------
    ndarray
        At which end each piece ends. (rows, pieces)
    """
    found = np.full((len(numbers), pieces), reach.shape[1] - 1)
    start, left = np.zeros_like(numbers), numbers.copy()
    for column in range(pieces - 1):
        after = counts[pieces - 2 - column][1:]
        for one in np.unique(start):
            some = np.flatnonzero(start == one)
            before = np.cumsum(np.concatenate(([0], reach[one, :-1] * after)))
            at = np.searchsorted(before, left[some], side="right") - 1
            left[some] -= before[at]
            found[some, column] = at
        start = found[:, column] + 1
    return found


def problem_of(
    job: Job, choices: Sequence[Choice | Single], price: int, most_seams: int | None = None
) -> JointProblem:
    """Gather what one siding of a job leaves to decide.

    Parameters
    ----------
    job
        With one siding.
    choices
        Of every run.
    price
        What a seam weighs. [as the stock costs]
    most_seams
        How many there may be.
    """
    rules, siding = job.rules, job.siding
    priced = all(stock.price is not None for stock in siding.stock)
    marks = {wall.mark: number for number, wall in enumerate(job.walls)}
    free = [c for c in choices if isinstance(c, Choice)]
    single = Counter(int(c.run.length) for c in choices if isinstance(c, Single))
    return JointProblem(
        runs=tuple(Run(marks[c.run.wall], c.run.course.number, c.ways) for c in free),
        fixed=tuple(Piece(length, single[length]) for length in sorted(single)),
        stock=tuple(
            Stock(s.length, (s.price or 0) if priced else s.length, s.supply)
            for s in siding.stock
        ),
        kerf=rules.siding_kerf,
        apart=apart_of(rules),
        seam_price=price,
        most_seams=most_seams,
        is_listed=all(choice.is_listed for choice in free),
    )


def parts_of(choice: Choice | Single, row: int) -> tuple[Part, ...]:
    """Give the pieces of a run for a row of its ways."""
    run = choice.run
    if isinstance(choice, Single):
        return (Part(run.x, run.length),)
    if isinstance(choice.made, tuple):
        number, first = choice.first[row].tolist()
        parts: tuple[Part, ...] = replace(choice.made[number], run=run).parts(first)
        return parts
    ends = [end for end in choice.made[row].tolist() if end > NOWHERE]
    lengths = [length for length in choice.ways.lengths[row].tolist() if length]
    starts = [int(run.x), *(end + choice.gap for end in ends)]
    return tuple(Part(Ticks(x), Ticks(n)) for x, n in zip(starts, lengths, strict=True))


def row_of(choice: Choice, parts: Sequence[Part]) -> int | None:
    """Find the row of the ways that makes a run of these pieces; None if there is none."""
    ways = choice.ways
    lengths = [int(part.length) for part in parts]
    if isinstance(choice.made, tuple):
        numbers = [
            number
            for number, variant in enumerate(choice.made)
            if variant.pieces == len(parts) and {*lengths[1:-1]} <= {variant.panel}
        ]
        if not numbers:
            return None
        same = (choice.first == np.array([numbers[0], lengths[0]])).all(axis=1)
    else:
        spare = ways.lengths.shape[1] - len(lengths)
        if spare < 0:
            return None
        same = (ways.lengths == np.array(lengths + [0] * spare)).all(axis=1)
    at = np.flatnonzero(same)
    return int(at[0]) if len(at) else None
