"""In which order the patterns are cut.

While a piece is being cut from several patterns, a stack of it stands open beside the
saw; a good order keeps few stacks open at once.

References
----------
H. H. Yanasse, "On a pattern sequencing problem to minimize the maximum number of open
stacks", European Journal of Operational Research 100 (1997), 454-463, from memory.

M. Garcia de la Banda, P. J. Stuckey, "Dynamic programming to minimize the maximum
number of open stacks", INFORMS Journal on Computing 19 (2007), 607-617,
doi 10.1287/ijoc.1060.0205.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lapwright.cutting.plan import CutPlan, Pattern

EXACT = 14
"""Up to so many patterns the best order is found, beyond that a good one."""


def open_stacks(plan: CutPlan) -> int:
    """Tell how many kinds of piece are open at once, at most, in a plan's order.

    A kind is open from its first piece to its last, while its patterns are cut.
    """
    most = 0
    for at in range(len(plan.patterns)):
        before = _kinds(plan.patterns[: at + 1])
        after = _kinds(plan.patterns[at:])
        most = max(most, len(before & after))
    return most


def with_few_open_stacks(plan: CutPlan) -> CutPlan:
    """Put the patterns of a plan in an order that keeps few stacks open.

    The order is the best there is for up to 14 patterns; a longer list is ordered
    step by step, each time with the pattern that opens fewest stacks, and is never
    worse than it came.

    Parameters
    ----------
    plan
        Any plan; only the order of its patterns changes.

    Examples
    --------
    >>> from lapwright.cutting import Piece, Problem, Stock, solve
    >>> pieces = (Piece(45, 97), Piece(36, 610), Piece(31, 395), Piece(14, 211))
    >>> plan = solve(Problem(pieces, (Stock(100, cost=1),)))
    >>> ordered = with_few_open_stacks(plan)
    >>> ordered.cost == plan.cost
    True
    """
    holds = [frozenset(index for index, _ in p.pieces) for p in plan.patterns]
    order = _best(holds) if len(holds) <= EXACT else _good(holds)
    ordered = replace(plan, patterns=tuple(plan.patterns[at] for at in order))
    return ordered if open_stacks(ordered) < open_stacks(plan) else plan


def _kinds(patterns: tuple[Pattern, ...]) -> set[int]:
    """Give the kinds of piece that patterns yield."""
    return {index for pattern in patterns for index, _ in pattern.pieces}


def _best(holds: list[frozenset[int]]) -> list[int]:
    """Find the best order, by the sets of patterns that are cut already."""
    everything = frozenset(range(len(holds)))

    def kinds(some: frozenset[int]) -> frozenset[int]:
        return frozenset().union(*(holds[at] for at in some))

    @cache
    def least(done: frozenset[int]) -> tuple[int, int]:
        """Give the fewest stacks from here on, and the pattern that leads there."""
        left = everything - done
        if not left:
            return 0, -1
        opened = kinds(done)
        best = (len(opened) + 10**6, -1)
        for at in sorted(left):
            now = len((opened | holds[at]) & kinds(left))
            best = min(best, (max(now, least(done | {at})[0]), at))
        return best

    order: list[int] = []
    while len(order) < len(holds):
        order.append(least(frozenset(order))[1])
    return order


def _good(holds: list[frozenset[int]]) -> list[int]:
    """Find a good order, each time with the pattern that opens fewest stacks."""
    left = list(range(len(holds)))
    order: list[int] = []
    opened: frozenset[int] = frozenset()
    while left:
        ranks = []
        for at in left:
            others = frozenset().union(*(holds[o] for o in left if o != at))
            closed = len((opened | holds[at]) - others)
            ranks.append((len(holds[at] - opened) - closed, at))
        _, at = min(ranks)
        opened |= holds[at]
        order.append(at)
        left.remove(at)
    return order
