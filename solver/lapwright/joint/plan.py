"""What comes out: a way for every run, a cutting of all pieces, and what is proven."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lapwright.cutting import CutPlan, Ends, Pattern, Piece, Problem, Status, recount, solve
from lapwright.errors import AuditError, NoPlanError
from lapwright.joint.problem import NOWHERE

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.joint.core import Core
    from lapwright.joint.fill import Filling
    from lapwright.joint.problem import JointProblem


@dataclass(frozen=True, slots=True)
class JointPlan:
    """Seams and cuts of a problem."""

    problem: JointProblem
    rows: tuple[int, ...]
    """For every run a row of its `Ways`."""
    cut: CutPlan
    """Of all pieces; what it says of its bound is of these ways alone."""
    bound: int
    """No ways that break no more rules by themselves, and no cutting of their pieces,
    cost less; where the plan breaks as few rules as any can, this is said only of those
    that break no more of each other either. [as the stock, seams weighed]"""
    status: Status

    @property
    def seams(self) -> int:
        """How many seams there are."""
        return seams_in(self.problem, self.rows)

    @property
    def cost(self) -> int:
        """What the bars cost, and what the seams weigh."""
        return self.cut.cost + self.problem.seam_price * self.seams

    @property
    def broken(self) -> int:
        """How many rules are broken: by ways alone, and by two runs together."""
        return broken_rules(self.problem, self.rows)


def seams_in(problem: JointProblem, rows: Sequence[int]) -> int:
    """Count the seams of a choice of ways."""
    pairs = zip(problem.runs, rows, strict=True)
    return sum(int((run.ways.seams[row] > NOWHERE).sum()) for run, row in pairs)


def broken_rules(problem: JointProblem, rows: Sequence[int]) -> int:
    """Count the rules that a choice of ways breaks, two seams that are too near as one."""
    pairs = zip(problem.runs, rows, strict=True)
    alone = sum(int(run.ways.broken[row]) for run, row in pairs)
    return alone + sum(many for _, _, many in _too_near(problem, rows))


def runs_at_fault(problem: JointProblem, rows: Sequence[int]) -> list[int]:
    """List the runs that break rules which some way of theirs would keep."""
    found = {run for one, other, _ in _too_near(problem, rows) for run in (one, other)}
    for index, (run, row) in enumerate(zip(problem.runs, rows, strict=True)):
        if run.ways.broken[row] > run.ways.broken.min():
            found.add(index)
    return sorted(found)


def _too_near(problem: JointProblem, rows: Sequence[int]) -> Iterator[tuple[int, int, int]]:
    """Give pairs of runs, and how many of their seams are too near each other."""
    places: dict[tuple[int, int], list[int]] = {}
    seams = []
    for index, (run, row) in enumerate(zip(problem.runs, rows, strict=True)):
        places.setdefault((run.wall, run.course), []).append(index)
        seams.append([seam for seam in run.ways.seams[row].tolist() if seam > NOWHERE])
    for index, run in enumerate(problem.runs):
        for courses in range(1, problem.apart.reach + 1):
            limits = problem.apart.limits(courses)
            for other in places.get((run.wall, run.course + courses), ()):
                many = sum(
                    abs(a - b) < limit
                    for limit in limits
                    for a in seams[index]
                    for b in seams[other]
                )
                if many:
                    yield index, other, many


def cutting_of(problem: JointProblem, rows: Sequence[int]) -> Problem:
    """Gather the pieces that a choice of ways asks for."""
    counts: Counter[tuple[int, Ends]] = Counter()
    for piece in problem.fixed:
        counts[piece.length, piece.ends] += piece.count
    for run, row in zip(problem.runs, rows, strict=True):
        ways = run.ways
        for stock, many in zip(problem.stock, ways.whole[row].tolist(), strict=True):
            counts[stock.length, Ends.BOTH] += many
        for length, end in zip(ways.lengths[row].tolist(), ways.ends, strict=True):
            if length:
                counts[length, end] += 1
    order = sorted((key for key, many in counts.items() if many), key=_rank)
    pieces = tuple(Piece(length, counts[length, end], end) for length, end in order)
    return Problem(pieces, problem.stock, problem.kerf)


def cut_as_filled(
    problem: JointProblem, core: Core, rows: Sequence[int], filling: Filling
) -> CutPlan:
    """Write the bars of a filling as a cutting plan.

    Parameters
    ----------
    core
        The problem in the units of the filling.
    rows
        A way for every run.
    """
    cutting = cutting_of(problem, rows)
    place = {(piece.length, piece.ends): at for at, piece in enumerate(cutting.pieces)}
    counted: Counter[tuple[int, tuple[int, ...]]] = Counter()
    for bar in filling.bars.values():
        pieces = [place[core.lengths[kind], Ends.NONE] for kind in bar.plain]
        for run, end in ((bar.left, Ends.LEFT), (bar.right, Ends.RIGHT)):
            if run >= 0:
                ways = problem.runs[run].ways
                length = int(ways.lengths[rows[run], ways.ends.index(end)])
                pieces.append(place[length, end])
        counted[bar.stock, tuple(sorted(pieces))] += 1
    for each, row in zip(problem.runs, rows, strict=True):
        for stock, many in enumerate(each.ways.whole[row].tolist()):
            if many:
                length = cutting.stock[stock].length
                counted[stock, (place[length, Ends.BOTH],)] += many
    patterns = tuple(
        Pattern(stock, many, tuple(sorted(Counter(pieces).items())))
        for (stock, pieces), many in sorted(counted.items())
    )
    return CutPlan(cutting, patterns, 0, Status.WORK_LIMIT)


def _rank(key: tuple[int, Ends]) -> tuple[int, str]:
    return -key[0], key[1].value


def with_fewer_setups(plan: JointPlan, time_limit: float | None, tidy: float) -> JointPlan:
    """Cut the same pieces with fewer set-ups, where that costs no more.

    Parameters
    ----------
    plan
        A plan; its ways and its bound stay.
    time_limit
        For cutting the pieces anew; None for no limit. [seconds]
    tidy
        How long to look for fewer set-ups; a plan may then differ from run to run.
        [seconds]
    """
    try:
        cut = solve(cutting_of(plan.problem, plan.rows), time_limit=time_limit, tidy=tidy)
    except (NoPlanError, KeyboardInterrupt):
        # Of counted stock it may find no plan in its time; there is one already.
        return plan
    if cut.cost > plan.cut.cost or cut.setups >= plan.cut.setups:
        return plan
    found = replace(plan, cut=cut)
    audit(found)
    return found


def audit(plan: JointPlan) -> None:
    """Recount a plan: its pieces, its bars, and that its bound is not above its cost.

    Raises
    ------
    AuditError
        What is wrong.
    """
    recount(plan.cut)
    wanted = cutting_of(plan.problem, plan.rows)
    if set(wanted.pieces) != {
        Piece(p.length, p.count, p.ends) for p in plan.cut.problem.pieces
    }:
        raise AuditError("the pieces that are cut are not those of the ways")
    if plan.bound > plan.cost:
        raise AuditError(f"the bound {plan.bound} is above the cost {plan.cost}")
    most = plan.problem.most_seams
    if most is not None and plan.seams > most:
        raise AuditError(f"{plan.seams} seams, only {most} allowed")
