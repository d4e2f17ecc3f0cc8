"""A lower bound that knows the rules of joints, safe in whole numbers.

Say what a piece is worth by its length and its factory end.  The bars of a plan are worth
no more than the most that a bar of each stock length can be worth, and they hold all
pieces; so the bars are worth at least what the fixed pieces are worth, and for every run
what its least way is worth.  That is one inequality about how many bars of each stock
length any plan needs, a *cover*.  A linear program over bars and ways finds covers that
tell much; whole numbers tell what they prove.

References
----------
A. A. Farley, "A note on bounding a class of linear programming problems, including
cutting stock problems", Operations Research 38 (1990), 922-923,
doi 10.1287/opre.38.5.922, for the bound from any worth of pieces.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting.covers import Cover
from lapwright.cutting.master import INFINITE
from lapwright.errors import SolverError
from lapwright.joint.columns import BEYOND, DEAR, HARDLY, Columns
from lapwright.joint.ends import Offer, of_bars, offer
from lapwright.joint.worth import (
    NEARLY,
    Bars,
    Duals,
    Pattern,
    Worth,
    bars_of,
    best_of_stock,
    both_ways,
    patterns_above,
    patterns_within,
    plain_of,
    use_worths,
    way_worths,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from typing import Any, Self

    from lapwright.joint.core import Flags
    from lapwright.joint.ends import Need
    from lapwright.joint.problem import Whole
    from lapwright.joint.worth import Values

    Look = tuple[float, Duals, list[Pattern], list[tuple[int, int]]]
    """What worths prove, nearly, these worths, and columns that the program wants."""

SCALE_BITS = 30
"""The dearest bar is worth about two to this many, in whole numbers."""
CLOSE = 1e-6
"""A gap to the linear program of this share is none."""
FORBIDDEN = 1 << 58
"""What a way costs that is not allowed."""
FEW, MANY = 3, 6
"""So many ways of a run are added each time, and so many where pieces keep ends."""
FRESH = 2
"""But no more of a group than this."""
MOST_FRESH = 40
"""And no more than this in all."""
AGREEING = 8
"""So often worths of left and right ends are fitted to each other."""
NEW = 1e-4
"""What a length without a row counts more, and more yet in large problems. [dearest bars]"""
LACKING = 20
"""So many lengths that would have to be worth more are looked into."""
NARROWER = 6
"""So many gaps are tried, each twice the one before it, until there are too many patterns."""
PULL = 0.6
"""How far worths are drawn to the best ones yet: wild ones prove nothing."""


class Relaxation(Columns):
    """The linear program over bars and ways, and what worths of pieces tell of it."""

    def relax(self, rounds: int) -> tuple[float, Values] | None:
        """Solve, with a few rounds of new columns; give value and use of the columns."""
        for left in range(rounds, -1, -1):
            answer = self._program.solve(asked=left == rounds)
            if answer is None:
                return None
            value, use, dual = answer
            if not left:
                return value, use
            duals = self._duals(dual)
            before = len(self._seen)
            if self._has_ends:
                *_, patterns, ways = self._look_at_ends(duals, dual, proves=False)
            else:
                *_, patterns, ways = self._look(duals, duals, dual)
            self.add_patterns(patterns)
            self.add_ways(ways)
            if len(self._seen) == before:
                return value, use
        return None

    def generate(self, is_over: Callable[[], bool]) -> tuple[float, Duals]:
        """Add columns until the value is that of all of them, nearly.

        Parameters
        ----------
        is_over
            Tells whether the time is up.

        Returns
        -------
        value : float
            Of the linear program. [dearest bars]
        duals : Duals
            The best ones found.
        """
        value, duals = self.generate_above(is_over, -INFINITE)
        if duals is None:
            raise SolverError("the linear program of ways and bars proves nothing")
        return value, duals

    def generate_above(
        self, is_over: Callable[[], bool], low: float, high: float = INFINITE
    ) -> tuple[float, Duals | None]:
        """Add columns, but no more where the value is low or the bound is high enough.

        Parameters
        ----------
        is_over
            Tells whether the time is up.
        low, high
            No lower value is of interest, and no bound above. [dearest bars]

        Returns
        -------
        value : float
            Of the linear program. [dearest bars]
        duals : Duals or None
            The best ones found, if any.
        """
        best = -INFINITE
        kept: Duals | None = None
        value = INFINITE
        while True:
            # After new windows the dual method goes on from where the last solution was.
            answer = self._program.duals(asked=self._has_new_windows, afresh=self._has_new_aim)
            self._has_new_windows = self._has_new_aim = False
            if answer is None:
                break
            value, dual = answer
            if value <= low:
                return value, kept
            plain = self._duals(dual)
            before = len(self._seen)
            late = is_over()
            for found, duals, patterns, ways in self._looks(plain, dual, late=late):
                if found > best + NEARLY:
                    best, kept, self._centre = found, duals, duals
                self.add_patterns(patterns)
                self.add_ways(ways)
                if len(self._seen) > before and not late:
                    break
            is_done = len(self._seen) == before or value - best < CLOSE * max(1.0, value)
            if is_done or best > high or late:
                break
        if kept is None:
            raise SolverError("the linear program of ways and bars has no solution")
        return value, kept

    def near(self, most: float, patterns: int, ways: int) -> tuple[Self, dict[int, Flags]]:
        """Give the same with the columns alone that a solution of so little cost can have.

        If there are more, the cheapest bars, and those that there are already.

        Parameters
        ----------
        most
            Cost. [dearest bars]
        patterns, ways
            How many columns there may be, beside those that there are already.

        Returns
        -------
        near : Relaxation
        listed : dict
            Ways that it has, by group.
        """
        answer = self._program.solve()
        if answer is None:
            return self._with((), (), self.windows), {}
        value, _, dual = answer
        duals, gap = self._duals(dual), most - value
        sigma = dual[self._of_ways : self._of_bars]
        dearer = [
            values - least
            for values, least in zip(
                self._values(duals.worth, duals.uses, duals.windows), sigma, strict=True
            )
        ]
        held = [pattern for _, pattern in self._patterns]
        listed: list[Pattern] = []
        for narrower in reversed(range(NARROWER)):
            near = gap / (1 << narrower) + NEARLY
            made = patterns_within(self.yielding, duals, near, patterns)
            if made is None:
                break
            listed = made
        held += listed
        allowed = {number: each <= gap + NEARLY for number, each in enumerate(dearer)}
        if sum(int(flags.sum()) for flags in allowed.values()) > ways:
            for number, flags in allowed.items():
                known = np.zeros(len(flags), dtype=bool)
                known[[way for _, way in self._ways_of[number]]] = True
                allowed[number] = flags & known
        chosen = [
            (number, int(way))
            for number, flags in allowed.items()
            for way in np.flatnonzero(flags)
        ]
        return self._with(held, chosen, self.windows), allowed

    def by_length(self) -> Duals:
        """Give worths by what pieces take, which prove a little at once."""
        takes = np.arange(self.core.capacity + 1) / self.core.capacity
        worth = Worth(takes[self.core.sizes], takes, takes)
        return Duals(worth, np.zeros(len(self._prices)), np.zeros(len(self.windows)))

    def _duals(self, dual: Values) -> Duals:
        windows = np.maximum(-dual[self._window_rows], 0.0)
        left, right = (known.spread(dual, self.core.capacity) for known in self._known)
        dual = np.maximum(dual[: self._rows], 0.0)
        return Duals(Worth(dual[: self._kinds], left, right), dual[self._of_bars :], windows)

    def least(self, worth: Worth, most: Values, windows: Values) -> Any:
        """Give what the pieces of any plan are worth at least.

        Parameters
        ----------
        worth
            Of pieces.
        most
            The most that a bar is worth, by stock, and what a seam is.
        windows
            What a seam in a window costs.
        """
        return self._least(worth, list(self._values(worth, most, windows)), windows)

    def _least(self, worth: Worth, worths: Sequence[Values], windows: Values) -> Any:
        """Give the same, where it is known what the ways of every group come to."""
        total = (self.core.wanted @ worth.plain).item()
        for many, values in zip(self._many, worths, strict=True):
            total += many * values.min().item()
        # Worths from before the last windows were added say nothing of these.
        for window, cost in zip(self.windows, windows.tolist(), strict=False):
            total -= window.most * cost
        return total

    def _values(self, worth: Worth, uses: Values, windows: Values) -> Iterator[Values]:
        """Give what every way of every group comes to. (groups)(ways,)"""
        worths = way_worths(self.core, worth, uses)
        found = [worths[group[0]] for group in self.groups]
        # Most cost nothing; and where costs are of another program, there may be more.
        for w in np.flatnonzero(windows[: len(self._groups_of)]).tolist():
            for number, ways in self._groups_of[w]:
                found[number] = found[number] + windows[w] * ways
        for number, values in enumerate(found):
            allowed = self._allowed.get(number)
            yield values if allowed is None else np.where(allowed, values, FORBIDDEN)

    def _looks(self, plain: Duals, dual: Values, *, late: bool) -> Iterator[Look]:
        """Look with the worths that most likely tell something, and then with others."""
        if self._has_ends:
            # What proves takes longer, and is of little use before all else is known.
            if not late:
                yield self._look_at_ends(plain, dual, proves=False)
            yield self._look_at_ends(plain, dual, proves=True)
            return
        if self._centre:
            yield self._look(_between(self._centre, plain), plain, dual)
        yield self._look(plain, plain, dual)

    def _look(self, duals: Duals, plain: Duals, dual: Values) -> Look:
        core = self.yielding
        bars = bars_of(core, duals.worth)
        most = np.array([*best_of_stock(core, bars), duals.uses[-1]])
        values = list(self._values(duals.worth, most, duals.windows))
        found = self._value(self._least(duals.worth, values, duals.windows), most)
        patterns = list(patterns_above(core, bars, duals.worth, plain.uses.tolist(), 12))
        more = use_worths(core, plain.uses - most)
        self.dearness = [
            each + more[group[0]] for each, group in zip(values, self.groups, strict=True)
        ]
        ways = [way for _, way in self._cheap(dual, FEW)]
        return found, duals, patterns, ways

    def _cheap(self, dual: Values, parts: int) -> Iterator[tuple[float, tuple[int, int]]]:
        """Give ways that are cheaper than the best of their run, unlike each other."""
        sigma = dual[self._of_ways : self._of_bars]
        fresh: dict[int, Values] = {}
        if self._has_ends:
            more = NEW * max(1.0, len(self.groups) / 50)
            left, right = (more * known.is_new(self.core.capacity) for known in self._known)
        for number, group in enumerate(self.groups):
            reduced = rank = self.dearness[number] - sigma[number]
            if self._has_ends:
                # Lengths that have a row come first.
                c = self.core.classes[group[0]]
                if id(c.left) not in fresh:
                    fresh[id(c.left)] = left[c.left] + right[c.right]
                rank = reduced + fresh[id(c.left)]
            for row in _least_of_parts(rank, parts):
                if reduced[row] < -NEARLY:
                    yield float(reduced[row]), (number, row)

    def _look_at_ends(self, duals: Duals, dual: Values, *, proves: bool) -> Look:
        """Look with worths that pieces with factory ends have at the known lengths only."""
        core, worth, prices = self.core, duals.worth, duals.uses
        bars, back = both_ways(core, worth)
        patterns = list(patterns_above(core, bars, worth, prices.tolist(), 12))
        offers = (
            offer(core, self._known[0], worth.left, back, prices),
            offer(core, self._known[1], worth.right, bars, prices),
        )
        worth = Worth(worth.plain, offers[0].cost, offers[1].cost)
        self.dearness = list(self._values(worth, prices, duals.windows))
        ways: list[tuple[int, int]] = []
        of_group: Counter[int] = Counter()
        for _, (number, way) in sorted(self._cheap(dual, MANY)):
            if len(ways) == MOST_FRESH:
                break
            if self._many[number] and of_group[number] < FRESH:
                of_group[number] += 1
                ways.append((number, way))
                c = core.classes[self.groups[number][0]]
                for side, size in enumerate((int(c.left[way]), int(c.right[way]))):
                    if size and size not in self._known[side].rows:
                        made = offers[side].pattern(core, side, size)
                        patterns += [made] if made else []
        if not proves:
            return -INFINITE, duals, patterns, ways
        duals = Duals(worth, prices, duals.windows)
        found, duals, more, needing = self._prove(duals, dual)
        return found, duals, patterns + more, ways + needing

    def _prove(self, duals: Duals, dual: Values) -> Look:
        """Lower worths to what runs need: they prove more, and tell what the program lacks.

        What one end needs leaves less of a bar to the other, which then needs more, until
        they agree.  They do, if the program has all columns that matter.
        """
        core, sigma = self.core, dual[self._of_ways : self._of_bars]
        one = self._turn = 1 - self._turn  # either end is the first in turn
        ends = [duals.worth.left, duals.worth.right]
        before, plain = ends[one], plain_of(core, duals.worth)
        none = np.zeros(core.capacity + 1)
        bare = list(
            self._values(Worth(duals.worth.plain, none, none), duals.uses, duals.windows)
        )
        for left in range(AGREEING, -1, -1):
            need = self._need(one, ends[1 - one], bare, sigma)
            ends[one] = need.worth
            rest = Bars(plain, ends[one], ends[1 - one])
            made = Offer(*of_bars(core, rest, duals.uses), rest)
            if not left or (made.cost > ends[1 - one] - NEARLY).all():
                break
            ends[1 - one] = np.minimum(ends[1 - one], made.cost)
        back = self._need(1 - one, ends[one], bare, sigma)
        ends[1 - one] = back.worth
        worth = Worth(duals.worth.plain, *ends)
        bars = bars_of(core, worth)
        most = np.array([*best_of_stock(core, bars), duals.uses[-1]])
        found = self._value(self.least(worth, most, duals.windows), most)
        patterns, ways = self._lacking(one, need, before, made)
        enough = (duals.uses + HARDLY / 10).tolist()
        patterns += patterns_above(core, bars, worth, enough, 12)
        needs = (back, need) if one else (need, back)
        for pattern in patterns:
            behind = [
                each.behind(size)
                for each, size in zip(needs, (pattern.left, pattern.right), strict=True)
            ]
            ways += [way for way in behind if way]
        return found, Duals(worth, duals.uses, duals.windows), patterns, ways

    def _need(self, side: int, other: Values, bare: Sequence[Values], sigma: Values) -> Need:
        """Find what pieces with one of the ends must be worth beside those with the other.

        Parameters
        ----------
        other
            What those with the other end are worth. (capacity + 1,)
        bare
            By group, what its ways come to without their ends. (ways,)
        """
        lacking = {}
        for number, (group, values) in enumerate(zip(self.groups, bare, strict=True)):
            if self._many[number]:
                c = self.core.classes[group[0]]
                lacking[number] = sigma[number] - values - other[c.left if side else c.right]
        return self._needs.least(side, lacking, self.core.capacity)

    def _lacking(
        self, side: int, need: Need, before: Values, made: Offer
    ) -> tuple[list[Pattern], list[tuple[int, int]]]:
        """Give ways that need a length to be worth more than it costs, and their bars."""
        beyond = np.where(before > 0, need.worth - before, 0.0)
        patterns: list[Pattern] = []
        ways: list[tuple[int, int]] = []
        for size in np.argsort(-beyond, kind="stable")[:LACKING].tolist():
            behind = need.behind(size)
            if beyond[size] < HARDLY or behind is None:
                break
            ways.append(behind)
            c = self.core.classes[self.groups[behind[0]][0]]
            end = int((c.left if side else c.right)[behind[1]])
            pattern = made.pattern(self.core, 1 - side, end) if end else None
            patterns += [pattern] if pattern else []
        return patterns, ways

    def _value(self, least: float, most: Values) -> float:
        """Give what a cover proves for the aim that the program has, nearly."""
        prices, supply = self._prices, self._supply
        if self._limits is not None:
            pairs = zip(self._limits, prices, strict=True)
            limits = [many if price else 0 for many, price in pairs]
            least -= float(most @ np.array(limits))
            supply = tuple(
                None if price else there for there, price in zip(supply, prices, strict=True)
            )
        spent = 0.0
        with np.errstate(divide="ignore", invalid="ignore"):
            rates = np.where(most > 0, prices / most, INFINITE)
        for k in np.argsort(rates, kind="stable").tolist():
            if least <= 0 or rates[k] == INFINITE:
                break
            there = supply[k]
            some = least / most[k] if there is None else min(there, least / most[k])
            spent += some * float(prices[k])
            least -= some * float(most[k])
        if least > NEARLY:
            # Then it goes beyond a supply, which the program has priced so that it can.
            short = [most[k] for k, there in enumerate(supply) if there is not None]
            worth = float(max(short, default=0.0))
            beyond = BEYOND if self._supply is self.core.supply else DEAR
            return spent + least * beyond / worth if worth else INFINITE
        return spent


def _least_of_parts(rank: Values, parts: int) -> list[int]:
    """Find the least value in each of so many parts, of one size but for the last."""
    width = -(-len(rank) // parts)
    whole = len(rank) // width
    rows = rank[: whole * width].reshape(whole, width).argmin(axis=1)
    found: list[int] = (rows + np.arange(whole) * width).tolist()
    if whole * width < len(rank):
        found.append(whole * width + int(rank[whole * width :].argmin()))
    return found


def _between(one: Duals, other: Duals) -> Duals:
    def mix(a: Values, b: Values) -> Values:
        return PULL * a + (1 - PULL) * b

    return Duals(
        Worth(
            mix(one.worth.plain, other.worth.plain),
            mix(one.worth.left, other.worth.left),
            mix(one.worth.right, other.worth.right),
        ),
        mix(one.uses, other.uses),
        mix(one.windows, other.windows),
    )


def cover_of(relaxation: Relaxation, duals: Duals) -> Cover:
    """Put worths into whole numbers, and tell what they prove."""
    core = relaxation.core

    def whole(values: Values) -> Whole:
        scaled: Values = np.floor(np.maximum(values, 0.0) * (1 << SCALE_BITS))
        return np.asarray(scaled, dtype=np.int64)

    worth = Worth(whole(duals.worth.plain), whole(duals.worth.left), whole(duals.worth.right))
    bars = best_of_stock(core, bars_of(relaxation.yielding, worth))
    # Seams that cost nothing, without a limit, prove nothing.
    is_free = core.supply[-1] is None and not core.costs[-1]
    seam = 0 if is_free else int(whole(duals.uses)[-1])
    uses = np.array([*bars, seam], dtype=np.int64)
    least = relaxation.least(worth, uses, whole(duals.windows))
    return Cover(tuple(uses.tolist()), least)
