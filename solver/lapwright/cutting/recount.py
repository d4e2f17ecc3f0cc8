"""Recounts a plan in whole numbers, by other means than those that made it."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from lapwright.cutting.plan import CutPlan, Pattern, Status
from lapwright.cutting.problem import Ends, Problem
from lapwright.errors import AuditError

if TYPE_CHECKING:
    from collections.abc import Iterator


def recount(plan: CutPlan) -> None:
    """Recount a plan against its problem.

    Parameters
    ----------
    plan
        The plan to recount; nothing in it is trusted.

    Raises
    ------
    AuditError
        A piece is not cut exactly as often as wanted, a bar overruns, a factory end
        is used twice, there is not so much stock, or the bound is above the cost;
        every fault is listed.
    """
    problem = plan.problem
    faults: list[str] = []
    cut = Counter[int]()
    used = Counter[int]()
    for number, pattern in enumerate(plan.patterns, start=1):
        found = list(_pattern_faults(problem, pattern))
        faults.extend(f"pattern {number}: {fault}" for fault in found)
        used[pattern.stock] += pattern.count
        for index, many in pattern.pieces:
            cut[index] += many * pattern.count
    for index, piece in enumerate(problem.pieces):
        if cut[index] != piece.count:
            faults.append(
                f"piece {index + 1} ({piece.label or piece.length}): "
                f"cut {cut[index]} times, wanted {piece.count}"
            )
    for index, stock in enumerate(problem.stock):
        if stock.supply is not None and used[index] > stock.supply:
            faults.append(
                f"stock length {stock.length}: {used[index]} bars, only {stock.supply}"
            )
    if not faults:  # else the cost means nothing
        cost = sum(problem.stock[index].cost * many for index, many in used.items())
        if plan.bound > cost:
            faults.append(f"the bound {plan.bound} is above the cost {cost}")
        if plan.status is Status.PROVEN and plan.bound != cost:
            faults.append(f"said to be proven, but the bound {plan.bound} is not {cost}")
    if faults:
        raise AuditError(*faults)


def _pattern_faults(problem: Problem, pattern: Pattern) -> Iterator[str]:
    """Tell what is wrong with one pattern."""
    if not 0 <= pattern.stock < len(problem.stock):
        yield f"there is no stock number {pattern.stock}"
        return
    if pattern.count < 1:
        yield f"cut {pattern.count} times"
    indexes = [index for index, _ in pattern.pieces]
    if len(set(indexes)) != len(indexes):
        yield "a piece is listed twice"
    if not indexes:
        yield "a bar without a piece"
    if any(not 0 <= index < len(problem.pieces) for index in indexes):
        yield "a piece that is not in the problem"
        return
    if any(many < 1 for _, many in pattern.pieces):
        yield "a piece that is not cut at all"
        return
    bar = [problem.pieces[index] for index, many in pattern.pieces for _ in range(many)]
    stock = problem.stock[pattern.stock]
    cuts = (len(bar) - 1) * problem.kerf
    taken = sum(piece.length for piece in bar) + cuts + problem.trim
    if taken > stock.length:
        yield f"takes {taken} of a bar of {stock.length}"
    kept = Counter(piece.ends for piece in bar)
    if kept[Ends.LEFT] > 1 or kept[Ends.RIGHT] > 1:
        yield "two pieces keep the same factory end"
    if kept[Ends.BOTH] and (len(bar) > 1 or bar[0].length != stock.length):
        yield "a piece that keeps both factory ends is not a whole bar"
