"""Tiny problems, and an oracle that looks at every plan."""

from __future__ import annotations

from functools import cache
from itertools import combinations

from hypothesis import strategies as st

from lapwright.cutting import Ends, Piece, Problem, Stock


def cheapest(problem: Problem) -> int | None:
    """Give the least cost by trying every plan; None if there is none."""
    pieces = [(p.length, p.ends) for p in problem.pieces for _ in range(p.count)]

    def fits(bar: tuple[int, ...], stock: Stock) -> bool:
        lengths = [pieces[i][0] for i in bar]
        ends = [pieces[i][1] for i in bar]
        if Ends.BOTH in ends:
            return len(bar) == 1 and lengths[0] == stock.length
        if ends.count(Ends.LEFT) > 1 or ends.count(Ends.RIGHT) > 1:
            return False
        cuts = (len(bar) - 1) * problem.kerf
        return sum(lengths) + cuts <= stock.length - problem.trim

    @cache
    def least(left: frozenset[int], used: tuple[int, ...]) -> int | None:
        if not left:
            return 0
        first, *others = sorted(left)
        best: int | None = None
        for many in range(len(others) + 1):
            for more in combinations(others, many):
                bar = (first, *more)
                for k, stock in enumerate(problem.stock):
                    if stock.supply is not None and used[k] >= stock.supply:
                        continue
                    if not fits(bar, stock):
                        continue
                    now = tuple(n + (i == k) for i, n in enumerate(used))
                    rest = least(left - set(bar), now)
                    if rest is not None and (best is None or rest + stock.cost < best):
                        best = rest + stock.cost
        return best

    return least(frozenset(range(len(pieces))), (0,) * len(problem.stock))


@st.composite
def problems(draw: st.DrawFn, *, counted: bool = False, ends: bool = True) -> Problem:
    """Draw a problem of at most six pieces and three stock lengths."""
    kinds = [Ends.NONE, Ends.NONE, Ends.LEFT, Ends.RIGHT] if ends else [Ends.NONE]
    pieces = []
    left = 6
    for _ in range(draw(st.integers(1, 4))):
        count = draw(st.integers(1, 3))
        if count <= left:
            length = draw(st.integers(1, 20))
            pieces.append(Piece(length, count, draw(st.sampled_from(kinds))))
            left -= count
    supplies = st.integers(0, 3) if counted else st.none()
    stock = [
        Stock(draw(st.integers(5, 30)), draw(st.integers(0, 9)), draw(supplies))
        for _ in range(draw(st.integers(1, 3)))
    ]
    if not counted:
        # One that takes every piece, so that there is always a plan.
        stock.append(Stock(draw(st.integers(20, 40)), draw(st.integers(1, 12))))
    return Problem(tuple(pieces), tuple(stock), kerf=draw(st.integers(0, 2)))
