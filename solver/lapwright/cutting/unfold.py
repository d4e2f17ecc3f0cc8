"""From bars of items back to patterns of pieces."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from lapwright.cutting.plan import CutPlan, Pattern, Status

if TYPE_CHECKING:
    from lapwright.cutting.core import Frame
    from lapwright.cutting.pool import Bar

Cut = tuple[tuple[int, int], ...]


def unfold(frame: Frame, bars: list[Bar], bound: int, status: Status) -> CutPlan:
    """Name the pieces of every bar, and buy the shortest bars that serve.

    Pieces of one length are handed out in the order of the problem, so that those of
    one label stay together.
    """
    problem, core = frame.problem, frame.core
    cuts: Counter[tuple[int, Cut]] = Counter()
    for stock, piece, many in frame.whole:
        cuts[stock, ((piece, 1),)] += many
    if core is not None:
        waiting = [
            [[piece, problem.pieces[piece].count] for piece in members]
            for members in frame.members
        ]
        for k, counts, times in _sorted(bars):
            left = times
            pairs = [(i, int(n)) for i, n in enumerate(counts) if n]
            while left:
                cut, many = _hand_out(waiting, pairs, left)
                cuts[core.bins[k].stock, cut] += many
                left -= many
    cuts = _shortened(frame, cuts)
    stock_of = problem.stock
    patterns = [Pattern(stock, many, cut) for (stock, cut), many in cuts.items()]
    patterns.sort(key=lambda p: (-stock_of[p.stock].length, p.stock, _rank(frame, p.pieces)))
    return CutPlan(problem, tuple(patterns), bound, status)


def _sorted(bars: list[Bar]) -> list[tuple[int, tuple[int, ...], int]]:
    """Add up equal bars, in an order that does not depend on the search."""
    many: Counter[tuple[int, tuple[int, ...]]] = Counter()
    for k, counts, times in bars:
        many[k, tuple(int(n) for n in counts)] += times
    ordered = sorted(many, key=lambda bar: (bar[0], [-n for n in bar[1]]))
    return [(k, counts, many[k, counts]) for k, counts in ordered]


def _hand_out(
    waiting: list[list[list[int]]], pairs: list[tuple[int, int]], most: int
) -> tuple[Cut, int]:
    """Take the pieces of one bar from the heads of the queues.

    Returns
    -------
    tuple
        The pieces, and how many bars in a row can be cut just so.
    """
    times = most
    for item, need in pairs:
        times = min(times, max(1, waiting[item][0][1] // need))
    taken: Counter[int] = Counter()
    for item, need in pairs:
        rest = need * times
        while rest:
            head = waiting[item][0]
            some = min(rest, head[1])
            taken[head[0]] += some
            head[1] -= some
            rest -= some
            if not head[1]:
                waiting[item].pop(0)
    cut = tuple(sorted((piece, many // times) for piece, many in taken.items()))
    return cut, times


def _rank(frame: Frame, cut: Cut) -> list[tuple[int, int, int]]:
    """Rank a pattern by its pieces, the longest first."""
    pieces = frame.problem.pieces
    return sorted((-pieces[i].length, i, -many) for i, many in cut)


def _shortened(frame: Frame, cuts: Counter[tuple[int, Cut]]) -> Counter[tuple[int, Cut]]:
    """Swap bars for shorter ones of the same cost where those are long enough."""
    problem = frame.problem
    stock = problem.stock
    used: Counter[int] = Counter()
    for (k, _), many in cuts.items():
        used[k] += many
    whole = {((piece, 1),) for _, piece, _ in frame.whole}
    result: Counter[tuple[int, Cut]] = Counter()
    order = sorted(cuts, key=lambda c: (c[0], _rank(frame, c[1])))
    for k, cut in order:
        many = cuts[k, cut]
        lengths = sum(problem.pieces[i].length * n for i, n in cut)
        number = sum(n for _, n in cut)
        others = [
            o
            for o, s in enumerate(stock)
            if cut not in whole
            and s.cost <= stock[k].cost
            and s.length < stock[k].length
            and problem.fits(lengths, number, o)
        ]
        for o in sorted(others, key=lambda o: (stock[o].cost, stock[o].length, o)):
            supply = stock[o].supply
            some = many if supply is None else min(many, supply - used[o])
            if some > 0:
                used[o] += some
                used[k] -= some
                result[o, cut] += some
                many -= some
        if many:
            result[k, cut] += many
    return result
