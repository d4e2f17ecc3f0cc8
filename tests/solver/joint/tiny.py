"""Tiny problems with their optimum by trying everything, written as plainly as can be."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import combinations, product
from typing import TYPE_CHECKING

import numpy as np
from hypothesis import strategies as st

from lapwright.cutting import Ends, Piece, Stock
from lapwright.joint.problem import NOWHERE, Apart, JointProblem, Run, Ways

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    Kind = tuple[int, Ends]

NEVER = 1 << 40


@st.composite
def problems(draw: st.DrawFn, *, limits: bool = False) -> JointProblem:
    """Draw three to five runs of two or three ways, one or two stock lengths, fixed pieces.

    With limits there may be too little stock, or too few seams allowed, for any plan.
    """
    lengths = sorted(draw(st.sets(st.integers(6, 12), min_size=1, max_size=2)))
    supply = st.none() | st.integers(0, 6) if limits else st.none()
    stock = tuple(Stock(n, draw(st.integers(1, 2 * n)), draw(supply)) for n in lengths)
    kerf = draw(st.integers(0, 1))
    ended = draw(st.booleans())
    columns = (Ends.RIGHT, Ends.LEFT) if ended else (Ends.NONE, Ends.NONE)
    kinds = draw(st.lists(_ways(lengths, columns), min_size=1, max_size=3))
    runs = tuple(
        Run(draw(st.integers(0, 1)), number, draw(st.sampled_from(kinds)))
        for number in range(1, draw(st.integers(3, 5)) + 1)
    )
    fixed = {n: draw(st.integers(1, 2)) for n in draw(_some_lengths(lengths[-1]))}
    fewest = 0 if limits else sum(_fewest_seams(run.ways) for run in runs)
    apart = Apart(draw(st.integers(0, 2)), draw(st.integers(1, 3)), draw(st.integers(0, 1)))
    return JointProblem(
        runs,
        tuple(Piece(n, many) for n, many in fixed.items()),
        stock,
        kerf,
        apart,
        draw(st.integers(0, 3)),
        draw(st.none() | st.integers(fewest, fewest + 3)),
    )


def _fewest_seams(ways: Ways) -> int:
    return int(ways.joints[ways.broken == ways.broken.min()].min())


def _some_lengths(longest: int) -> st.SearchStrategy[set[int]]:
    return st.sets(st.integers(1, longest), max_size=2)


@st.composite
def _ways(draw: st.DrawFn, lengths: Sequence[int], columns: tuple[Ends, ...]) -> Ways:
    many = draw(st.integers(2, 3))
    rows, whole, seams, broken = [], [], [], []
    for _ in range(many):
        two = draw(st.booleans())
        rows.append(
            (
                draw(st.integers(1, lengths[-1])),
                draw(st.integers(1, lengths[-1])) if two else 0,
            )
        )
        whole.append(
            [draw(st.integers(0, 1)) if two and n == lengths[0] else 0 for n in lengths]
        )
        seams.append((2 * rows[-1][0] if two else NOWHERE,))
        broken.append(draw(st.sampled_from((0, 0, 1))))

    def table(values: object) -> np.ndarray:
        return np.array(values, dtype=np.int64)

    return Ways(table(rows), columns, table(whole), table(seams), table(broken))


def pieces_of(problem: JointProblem, rows: Sequence[int]) -> list[Kind]:
    """List the pieces of a choice of ways, each by itself."""
    found = [(p.length, p.ends) for p in problem.fixed for _ in range(p.count)]
    for run, row in zip(problem.runs, rows, strict=True):
        for length, end in zip(run.ways.lengths[row], run.ways.ends, strict=True):
            if length:
                found.append((int(length), end))
        for stock, many in zip(problem.stock, run.ways.whole[row], strict=True):
            found += [(stock.length, Ends.BOTH)] * int(many)
    return found


def rules_broken(problem: JointProblem, rows: Sequence[int]) -> int:
    """Count ways that break a rule, and pairs of seams that are too near."""
    total = 0
    placed = []
    for run, row in zip(problem.runs, rows, strict=True):
        total += int(run.ways.broken[row])
        seams = [int(seam) for seam in run.ways.seams[row] if seam != NOWHERE]
        placed += [(run.wall, run.course, seam) for seam in seams]
    apart = problem.apart
    for (wall, course, a), (other, courses, b) in combinations(placed, 2):
        rows_between = abs(course - courses)
        if wall != other or rows_between == 0:
            continue
        if rows_between == 1 and apart.stagger:
            total += abs(a - b) < 2 * apart.stagger
        elif rows_between < apart.in_line_courses:
            total += abs(a - b) < 2 * apart.in_line_width
    return total


def too_near_pairs(problem: JointProblem, rows: Sequence[int]) -> set[tuple[int, int]]:
    """Give the pairs of runs that break a rule with each other, looked at two by two."""
    found = set()
    for one, other in combinations(range(len(rows)), 2):
        some = [rows[one], rows[other]]
        two = replace(problem, runs=(problem.runs[one], problem.runs[other]))
        own = [int(run.ways.broken[row]) for run, row in zip(two.runs, some, strict=True)]
        if rules_broken(two, some) > sum(own):
            found.add((one, other))
    return found


def joints(problem: JointProblem, rows: Sequence[int]) -> int:
    """Count the seams."""
    pairs = zip(problem.runs, rows, strict=True)
    return sum(int(s) != NOWHERE for run, row in pairs for s in run.ways.seams[row])


def choices(problem: JointProblem) -> Iterator[tuple[int, ...]]:
    """List all choices of ways that have no more seams than there may be."""
    for rows in product(*(range(len(run.ways)) for run in problem.runs)):
        if problem.most_seams is None or joints(problem, rows) <= problem.most_seams:
            yield rows


def cutter(problem: JointProblem) -> Callable[[Sequence[int]], int]:
    """Make what gives the cost of the cheapest bars for a choice of ways, seams weighed."""
    stock, kerf = problem.stock, problem.kerf

    def fits(bar: tuple[Kind, ...], length: int) -> bool:
        ends = [end for _, end in bar]
        if Ends.BOTH in ends:
            return len(bar) == 1 and bar[0][0] == length
        if ends.count(Ends.LEFT) > 1 or ends.count(Ends.RIGHT) > 1:
            return False
        return sum(n for n, _ in bar) + kerf * (len(bar) - 1) <= length

    @cache
    def cheapest(left: tuple[Kind, ...], supply: tuple[int | None, ...]) -> int:
        if not left:
            return 0
        first, rest = left[0], left[1:]
        best = NEVER
        tried = set()
        for many in range(len(rest) + 1):
            for others in combinations(range(len(rest)), many):
                bar = (first, *(rest[k] for k in others))
                if bar in tried:
                    continue
                tried.add(bar)
                after = tuple(p for k, p in enumerate(rest) if k not in others)
                for s, there in enumerate(supply):
                    if there == 0 or not fits(bar, stock[s].length):
                        continue
                    one_less = None if there is None else there - 1
                    still = (*supply[:s], one_less, *supply[s + 1 :])
                    best = min(best, stock[s].cost + cheapest(after, still))
        return best

    def cost(rows: Sequence[int]) -> int:
        wanted = sorted(pieces_of(problem, rows), key=lambda kind: (-kind[0], kind[1].value))
        seams = problem.seam_price * joints(problem, rows)
        return cheapest(tuple(wanted), tuple(s.supply for s in stock)) + seams

    return cost


def optimum(problem: JointProblem) -> tuple[tuple[int, int] | None, int | None]:
    """Try everything.

    Returns
    -------
    best : tuple of int or None
        The fewest rules broken and the least cost then; None if there is no plan.
    alone : int or None
        The least cost of ways that break no more rules by themselves than a run must,
        whatever two runs break together; None if there is no plan of these.
    """
    cost_of = cutter(problem)
    best = (NEVER, NEVER)
    alone = NEVER
    for rows in choices(problem):
        cost = cost_of(rows)
        if cost >= NEVER:
            continue
        best = min(best, (rules_broken(problem, rows), cost))
        pairs = zip(problem.runs, rows, strict=True)
        if all(run.ways.broken[row] == run.ways.broken.min() for run, row in pairs):
            alone = min(alone, cost)
    return best if best[1] < NEVER else None, alone if alone < NEVER else None
