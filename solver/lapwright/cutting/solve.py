"""The search: a first plan, the linear program, dives, and the exact close."""

from __future__ import annotations

import time
from dataclasses import dataclass, field, replace
from math import ceil
from random import Random
from typing import TYPE_CHECKING

from lapwright.cutting.core import Core, Frame, bars_from, frame, limited
from lapwright.cutting.plan import CutPlan, NoWatcher, Status, Watcher
from lapwright.cutting.recount import recount
from lapwright.cutting.unfold import unfold
from lapwright.errors import NoPlanError

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from fractions import Fraction

    from lapwright.cutting.columns import Columns
    from lapwright.cutting.pool import Bar, Whole
    from lapwright.cutting.problem import Problem

ROUNDS = 200
"""How many rounds of dives a search without a time limit makes."""
EFFORTS = {
    2: (100_000, 100, 2),
    4: (300_000, 1_000, 12),
    8: (1_000_000, 2_000, 20),
    12: (1_000_000, 20_000, 20),
    24: (1_000_000, 200_000, 20),
}
"""After which dives the exact close is tried, and with how many partial patterns,
nodes and looks about."""


NUMBERED, FEW_NUMBERS = 4, 40
"""After which dive numbers of bars are looked at one by one, and how many at most."""


def solve(
    problem: Problem,
    *,
    time_limit: float | None = 10.0,
    watcher: Watcher | None = None,
    tidy: float = 0.0,
    likely: Iterable[tuple[int, Sequence[int]]] = (),
    bound: int = 0,
    enough: int = -1,
) -> CutPlan:
    """Find a plan of least cost, and prove it if the time allows.

    The same problem gives the same plan, unless the time limit ends the search.

    Parameters
    ----------
    problem
        The pieces, the stock and the kerf.
    time_limit
        When to stop with the best plan so far; None stops by itself. [seconds]
    watcher
        Hears how the search comes on.
    tidy
        How long to look for a plan of the same cost and as many bars with fewer
        set-ups, and then with less scrap too short to keep, after the search and
        beside its limit; a plan may then differ from run to run. [seconds]
    likely
        Bars that may well be in a good plan: a stock and the pieces of a bar, by their
        places in the problem. It begins with those that can be cut.
    bound
        No plan costs less, as is proven elsewhere. [as the stock]
    enough
        A plan that costs no more ends the search, whether a better one is possible or not.
        [as the stock]

    Returns
    -------
    CutPlan
        Recounted; its bound was proven in whole numbers.

    Raises
    ------
    NoPlanError
        A piece is too long for every stock length, a piece that keeps both ends is
        as long as none, or there is too little stock; names the pieces.
    KeyboardInterrupt
        The search was stopped before there was any plan.

    Examples
    --------
    >>> from lapwright.cutting import Piece, Problem, Stock, solve
    >>> pieces = (Piece(45, 97), Piece(36, 610), Piece(31, 395), Piece(14, 211))
    >>> plan = solve(Problem(pieces, (Stock(100, cost=1),)))
    >>> plan.cost, plan.bound, plan.status.value
    (453, 453, 'proven')
    """
    framed = frame(problem)
    if framed.core is None:
        plan = unfold(framed, [], framed.whole_cost, Status.PROVEN)
        recount(plan)
        return plan
    search = Search(framed.core, framed, time_limit, watcher or NoWatcher(), tidy)
    search.likely = bars_from(framed, likely)
    search.bound = max(0, -((framed.whole_cost - bound) // framed.core.cost_unit))
    search.enough = (enough - framed.whole_cost) // framed.core.cost_unit
    status = None
    try:
        search.run()
    except KeyboardInterrupt:
        if not search.has_plan:
            raise
        status = Status.INTERRUPTED
    return search.plan(status)


def never() -> bool:
    """Tell that the time is not up."""
    return False


@dataclass
class Search:
    """What is known so far: the best plan, and the bound."""

    core: Core
    frame: Frame
    time_limit: float | None
    watcher: Watcher
    tidy: float = 0.0
    best: list[Bar] = field(default_factory=list)
    best_cost: int = 0
    bound: int = 0
    enough: int = -1
    """A plan of no more cost ends the search."""
    likely: Sequence[tuple[int, Whole]] = ()
    """Bins and patterns to begin with, besides those of the first plan."""
    started: float = field(default_factory=time.monotonic)

    @property
    def has_plan(self) -> bool:
        """Whether there is a plan that can be carried out."""
        bins = self.core.bins
        return bool(self.best) and all(bins[k].stock >= 0 for k, _, _ in self.best)

    @property
    def is_done(self) -> bool:
        """Whether the best plan is proven or enough, or it is proven that there is none."""
        if self.best_cost <= self.enough and self.has_plan:
            return True
        return self.bound >= self.best_cost or self.bound >= self._dear

    @property
    def _dear(self) -> int:
        """The least cost of a plan with a bar that does not exist."""
        costs = [b.cost for b in self.core.bins if b.stock < 0]
        return min(costs, default=self.best_cost + 1)

    @property
    def _most(self) -> int:
        """What a better plan costs at most: counted bars that there are cost no more."""
        return min(self.best_cost, self._dear) - 1

    def seconds(self) -> float:
        """Tell how long the search has been going on [seconds]."""
        return time.monotonic() - self.started

    def is_over(self, share: float = 1.0) -> bool:
        """Tell whether the time, or a share of it, is up."""
        limit = self.time_limit
        return limit is not None and self.seconds() > share * limit

    def offer(self, bars: list[Bar] | None, stage: str) -> None:
        """Take a plan if it is better than the best."""
        if not bars:
            return
        cost = sum(self.core.bins[k].cost * n for k, _, n in bars)
        if not self.best or cost < self.best_cost:
            self.best, self.best_cost = bars, cost
            self._tell(stage)

    def prove(self, bound: Fraction | int, stage: str) -> None:
        """Take a bound if it is better than the best."""
        whole = ceil(bound)
        if whole > self.bound:
            self.bound = whole
            self._tell(stage)

    def _tell(self, stage: str) -> None:
        """Tell the watcher."""
        unit, extra = self.core.cost_unit, self.frame.whole_cost
        best = self.best_cost * unit + extra if self.has_plan else None
        bound = min(self.bound, self.best_cost) * unit + extra
        self.watcher.hear(stage, self.seconds(), best, bound)

    def run(self) -> None:
        """Search until the plan is proven or the time is up."""
        import numpy as np

        from lapwright.cutting.bounds import halves_bound, material_bound
        from lapwright.cutting.columns import Columns
        from lapwright.cutting.setups import fewer_setups
        from lapwright.cutting.start import first_plan
        from lapwright.cutting.ties import fewer_bars

        core = self.core
        demand = np.array(core.demand, dtype=np.int64)
        supply = [b.supply for b in core.bins]
        self.offer(first_plan(core, core.demand, supply), "first plan")
        self.prove(material_bound(core, core.demand), "material")
        self.prove(halves_bound(core, core.demand), "halves")
        if self.is_done and core.is_single and not self.tidy:
            return
        # The other half of the time is kept for plans, even where the bound takes long.
        columns = Columns(core, lambda: self.is_over(0.5))
        columns.begin(self.best)
        for bin_, counts in self.likely:
            columns.add(bin_, counts)
        if not self.is_done:
            relaxed = columns.generate(demand, supply, enough=self.best_cost)
            if relaxed is None:
                return
            self.prove(relaxed.bound, "linear program")
            columns.is_over = self.is_over
            self._round(columns, relaxed.values)
        if self.has_plan and not core.is_single and not self.is_over():
            columns.restrict(demand, supply, np.ones(len(columns.pool), dtype=bool))
            self.best = fewer_bars(columns, self.best, self.best_cost)
        if self.has_plan and self.tidy:
            columns.is_over = never
            self.best = fewer_setups(columns, self.frame, self.best, self.best_cost, self.tidy)

    def _round(self, columns: Columns, values: Whole) -> None:
        """Dive and close in turns; in between, look at numbers of bars one by one."""
        from lapwright.cutting.dive import dive

        closing = True
        for round_ in range(ROUNDS):
            if self.is_done or self.is_over():
                return
            chance = Random(round_) if round_ else None  # noqa: S311 - no secret
            # One stock length: the optimum is nearly always the bound, or one above.
            low = self.core.is_single or round_ % 2
            most = self.bound if low else self._most
            self.offer(dive(columns, most, chance, tries=min(round_, 3)), "dive")
            effort = EFFORTS.get(round_)
            if effort and closing and not self.is_done:
                closing = self._close(columns, *effort)
            if round_ == NUMBERED and not self.is_done:
                self.by_numbers(columns, values)

    def _close(self, columns: Columns, limit: int, nodes: int, looks: int) -> bool:
        """Try to close the gap; tell whether it is worth trying again."""
        from lapwright.cutting.closing import close
        from lapwright.cutting.tree import End

        # A target in the middle of the gap halves it either way; a lower one leaves
        # fewer patterns.
        # One stock length: there is hardly ever more than one bar to save.
        share = self.best_cost if self.core.is_single else 1
        while not self.is_done and not self.is_over():
            most = self.bound + (self._most - self.bound) // share
            far = looks if most == self.bound else 0
            end, bars = close(columns, most, limit, nodes, far)
            if end is End.FOUND:
                self.offer(bars, "tree")
            elif end is End.NONE:
                self.prove(most + 1, "tree")
            elif most == self.bound:
                return True
            else:
                share *= 4
        return False

    def by_numbers(self, columns: Columns, values: Whole) -> None:
        """Look for plans with so many bars of each stock length, the cheapest first.

        With several stock lengths few numbers of bars may cost less than the best plan;
        of most of these the linear program tells at once that they are too few.

        Parameters
        ----------
        values
            Of the items, times the scale, that prove a bound.
        """
        import numpy as np

        from lapwright.cutting.covers import Cover, all_bars

        core = self.core
        if len(core.bins) < 2 or any(b.supply is not None or not b.cost for b in core.bins):
            return
        demand = np.array(core.demand, dtype=np.int64)
        columns.knapsack.fill(values, demand)
        best = tuple(max(0, columns.knapsack.best(each.capacity)) for each in core.bins)
        cover = Cover(best, int(values @ demand))
        costs = [each.cost for each in core.bins]
        listed = all_bars([cover], costs, [None] * len(costs), self.best_cost, FEW_NUMBERS)
        for many in [] if listed is None else listed.tolist():
            cost = sum(each * price for each, price in zip(many, costs, strict=True))
            self.prove(cost, "numbers of bars")
            limit = self.time_limit
            left = None if limit is None else (limit - self.seconds()) / 2
            if self.is_done or (left is not None and left <= 0):
                return
            given = Search(limited(core, many), self.frame, left, NoWatcher())
            given.run()
            if given.has_plan:
                place = {each.stock: k for k, each in enumerate(core.bins)}
                bins = given.core.bins
                bars = [(place[bins[k].stock], counts, n) for k, counts, n in given.best]
                self.offer(bars, "numbers of bars")
                return
            if not given.is_done:
                return
        if listed is not None:
            self.prove(self.best_cost, "numbers of bars")

    def plan(self, status: Status | None) -> CutPlan:
        """Give the best plan, recounted.

        Raises
        ------
        NoPlanError
            There is no plan, or none was found.
        """
        unit, extra = self.core.cost_unit, self.frame.whole_cost
        if not self.has_plan:
            raise NoPlanError(self._why_none())
        # A bound above the cost would be a fault of ours; the recount tells.
        bound = self.bound * unit + extra
        if status is None:
            status = Status.TIME_LIMIT if self.is_over() else Status.WORK_LIMIT
        plan = unfold(self.frame, self.best, bound, status)
        if plan.cost == bound:
            plan = replace(plan, status=Status.PROVEN)
        recount(plan)
        return plan

    def _why_none(self) -> str:
        """Say which pieces are left over in the best that was found."""
        core, problem = self.core, self.frame.problem
        names = []
        for k, counts, _ in self.best:
            if core.bins[k].stock < 0:
                for item in counts.nonzero()[0]:
                    for piece in self.frame.members[item]:
                        label = problem.pieces[piece].label
                        names.append((piece, label))
        listed = ", ".join(
            f"{piece + 1}" + (f" ({label})" if label else "")
            for piece, label in sorted(set(names))
        )
        if self.bound >= self._dear:
            return f"the supply is too small; no stock is left for piece {listed}"
        return (
            "none was found in the time given, though it is not proven that there is"
            f" none; no stock was left for piece {listed}"
        )
