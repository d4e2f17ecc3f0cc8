"""The problem in whole units: kinds of pieces, classes of runs, and what bars hold.

A piece takes its length and one kerf, a bar holds its length and one kerf: pieces fit
if and only if what they take is no more than what the bar holds.  Where a kerf is no
whole number of units, as one of 1/8 in is not in millimetres, it is rounded so that two
pieces still fit if and only if they do in truth, and more pieces if they do.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from math import gcd
from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting import Ends
from lapwright.joint.problem import NOWHERE

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from numpy.typing import NDArray

    from lapwright.joint.problem import JointProblem, Whole

    Flags = NDArray[np.bool_]

FINEST = 8192
"""The longest bar is not divided into more units than this."""


@dataclass(frozen=True, eq=False, slots=True)
class RunClass:
    """Runs that have the same ways; ways that break more rules than need be are left out."""

    members: tuple[int, ...]
    """Runs of the problem."""
    rows: Whole
    """What row of `Ways` each way is. (ways,)"""
    plain: Whole
    """Kinds of the pieces without factory ends, -1 where there is none. (ways, columns)"""
    left: Whole
    """What the piece that keeps the left end takes, 0 if none. (ways,) [units]"""
    right: Whole
    """The same for the right end. (ways,) [units]"""
    uses: Whole
    """Whole stock lengths, by stock, and then seams. (ways, stock + 1)"""
    seams: Whole
    """(ways, seams)"""
    kinds: tuple[Whole, ...]
    """The columns of `plain` that have pieces. (columns)(ways,)"""
    alike: Whole
    """The rows of `uses`, each once. (kinds of use, stock + 1)"""
    use: Whole
    """Which of these each way has. (ways,)"""
    has_ends: bool
    """Whether there are pieces that keep factory ends."""


@dataclass(frozen=True, eq=False, slots=True)
class Core:
    """A problem in units."""

    problem: JointProblem
    caps: tuple[int, ...]
    """What a bar holds, by stock. [units]"""
    costs: tuple[int, ...]
    """Of a bar, by stock, and then what a seam weighs."""
    supply: tuple[int | None, ...]
    """Of bars, by stock, and then of seams."""
    lengths: tuple[int, ...]
    """Of the kinds of pieces without factory ends, longest first. [unit of the problem]"""
    sizes: Whole
    """What a piece of each kind takes. (kinds,) [units]"""
    wanted: Whole
    """How many of each kind the fixed pieces ask for. (kinds,)"""
    most: Whole
    """How many of each kind one bar may yield. (kinds,)"""
    classes: tuple[RunClass, ...]
    class_of: tuple[int, ...]
    """By run."""
    takes: Callable[[Whole], Whole]
    """Gives what pieces take, by their lengths."""

    @property
    def capacity(self) -> int:
        """What the longest bar holds. [units]"""
        return max(self.caps)

    def row(self, run: int, way: int) -> int:
        """Give the row of `Ways` that a way of a run's class is."""
        return int(self.classes[self.class_of[run]].rows[way])

    def way(self, run: int, row: int) -> int:
        """Give the way of a run's class that a row of `Ways` is, -1 if it was left out."""
        at = np.flatnonzero(self.classes[self.class_of[run]].rows == row)
        return int(at[0]) if len(at) else -1

    @property
    def has_ends(self) -> bool:
        """Whether pieces keep factory ends."""
        return any(c.has_ends for c in self.classes)


def core_of(
    problem: JointProblem,
    rows: Mapping[int, Flags] | None = None,
    *,
    up: bool = False,
) -> Core:
    """Put a problem into units.

    Parameters
    ----------
    problem
        Runs, pieces and stock.
    rows
        Rows of `Ways` to choose from, by run; without them the ways that break the fewest
        rules.
    up
        What pieces take is rounded up, so that what fits here fits in truth; else it is
        rounded down, so that what is proven here is true.
    """
    kerf = problem.kerf
    known = list({id(run.ways): run.ways for run in problem.runs}.values())
    fewest = {id(ways): np.asarray(ways.broken == ways.broken.min()) for ways in known}
    kept = [(rows or {}).get(i, fewest[id(run.ways)]) for i, run in enumerate(problem.runs)]
    used = {id(ways): np.zeros(len(ways), dtype=bool) for ways in known}
    for run, some in zip(problem.runs, kept, strict=True):
        used[id(run.ways)] |= some
    whole = {stock.length for stock in problem.stock}
    lengths = {piece.length for piece in problem.fixed}
    unit = 0
    for ways in known:
        cut = ways.lengths[~np.isin(ways.lengths, sorted(whole))]
        unit = gcd(unit, int(np.gcd.reduce(cut, axis=None)) if cut.size else 0)
        for column, end in enumerate(ways.ends):
            if end is Ends.NONE:
                lengths |= set(np.unique(ways.lengths[used[id(ways)], column]).tolist())
    lengths.discard(0)
    unit = gcd(unit, *(length for length in lengths - whole)) or gcd(*whole)
    longest = max(whole) + kerf
    is_exact = longest <= FINEST * unit
    if not is_exact:
        unit = -(-longest // FINEST)
    bars = {length: _holds(length, kerf, unit, is_exact=is_exact) for length in whole}
    takes = partial(_takes, kerf=kerf, unit=unit, up=up, bars=bars, is_exact=is_exact)
    ordered = sorted(lengths, reverse=True)
    place = {length: kind for kind, length in enumerate(ordered)}
    wanted = np.zeros(len(ordered), dtype=np.int64)
    for piece in problem.fixed:
        wanted[place[piece.length]] += piece.count
    classes: dict[bytes, list[int]] = {}
    for index, run in enumerate(problem.runs):
        ways = run.ways
        parts = (ways.lengths, ways.whole, ways.seams)
        key = kept[index].tobytes() + b"".join(p[kept[index]].tobytes() for p in parts)
        classes.setdefault(key, []).append(index)
    made = tuple(
        _class(problem, members, kept[members[0]], takes, place) for members in classes.values()
    )
    caps = tuple(bars[stock.length] for stock in problem.stock)
    sizes = takes(np.array(ordered, dtype=np.int64))
    most = max(caps) // np.maximum(sizes, 1)
    chosen = {int(k) for c in made for k in np.unique(c.plain)}
    for kind in range(len(ordered)):
        if kind not in chosen:
            most[kind] = min(most[kind], wanted[kind])
    class_of = [0] * len(problem.runs)
    for number, c in enumerate(made):
        for index in c.members:
            class_of[index] = number
    return Core(
        problem=problem,
        caps=caps,
        costs=(*(stock.cost for stock in problem.stock), problem.seam_price),
        supply=(*(stock.supply for stock in problem.stock), problem.most_seams),
        lengths=tuple(ordered),
        sizes=sizes,
        wanted=wanted,
        most=most,
        classes=made,
        class_of=tuple(class_of),
        takes=takes,
    )


def each_alone(core: Core) -> Core:
    """Give the same problem with a class for every run, its number that of the run."""
    classes = tuple(
        replace(core.classes[number], members=(run,))
        for run, number in enumerate(core.class_of)
    )
    return replace(core, classes=classes, class_of=tuple(range(len(classes))))


def _takes(
    lengths: Whole, *, kerf: int, unit: int, up: bool, bars: Mapping[int, int], is_exact: bool
) -> Whole:
    """Give what pieces take, one kerf included. [units]

    Parameters
    ----------
    bars
        What a bar of each length holds. [units]
    is_exact
        Whether pieces are whole numbers of units long.
    """
    if up:
        found = -(-(lengths + kerf) // unit)
    elif is_exact:
        found = lengths // unit + kerf // unit
    else:
        found = (lengths + kerf) // unit
    for length, held in bars.items():
        # What fits a bar alone, where it needs no kerf, fits it whatever rounding says.
        found = np.where(lengths <= length, np.minimum(found, held), found)
    return found


def _holds(length: int, kerf: int, unit: int, *, is_exact: bool) -> int:
    """Give what a bar holds. [units]

    Where pieces are whole numbers of units long, a kerf is taken for the whole units in
    it, and the bar for what two pieces leave of it.  Each piece more needs a unit beyond
    that or none, so what fits still fits.
    """
    if is_exact:
        return max((length - kerf) // unit + 2 * (kerf // unit), 1)
    return (length + kerf) // unit


def _class(
    problem: JointProblem,
    members: list[int],
    kept: Flags,
    takes: Callable[[Whole], Whole],
    place: dict[int, int],
) -> RunClass:
    ways = problem.runs[members[0]].ways
    rows = np.flatnonzero(kept)
    lengths = ways.lengths[rows]
    sizes = np.where(lengths > 0, takes(lengths), 0)
    plain = [c for c, end in enumerate(ways.ends) if end is Ends.NONE]
    kinds = np.full((len(rows), len(plain)), -1, dtype=np.int64)
    for to, column in enumerate(plain):
        some = lengths[:, column] > 0
        kinds[some, to] = [place[length] for length in lengths[some, column].tolist()]
    none = np.zeros(len(rows), dtype=np.int64)
    joints = (ways.seams[rows] > NOWHERE).sum(axis=1)
    ends = {
        end: sizes[:, c]
        for c, end in enumerate(ways.ends)
        if end is not Ends.NONE and sizes[:, c].any()
    }
    uses = np.column_stack((ways.whole[rows], joints)).astype(np.int64)
    heads, use = _first_of_each(uses)
    return RunClass(
        members=tuple(members),
        rows=rows,
        plain=kinds,
        left=ends.get(Ends.LEFT, none),
        right=ends.get(Ends.RIGHT, none),
        uses=uses,
        seams=ways.seams[rows],
        kinds=tuple(np.ascontiguousarray(some) for some in kinds.T if (some >= 0).any()),
        alike=uses[heads],
        use=use,
        has_ends=bool(ends),
    )


def _first_of_each(table: Whole) -> tuple[Whole, Whole]:
    """Find the first of the rows that are the same, and which of these each row is."""
    key = np.ravel_multi_index(tuple(table.T), tuple(table.max(axis=0) + 1))
    _, heads, each = np.unique(key, return_index=True, return_inverse=True)
    return heads, each
