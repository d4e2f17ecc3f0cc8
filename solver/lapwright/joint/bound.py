"""A lower bound that knows the rules of joints, safe in whole numbers.

Say what a piece is worth by its length and its factory end.  The bars of a plan are worth
no more than the most that a bar of each stock length can be worth, and they hold all
pieces; so the bars are worth at least what the fixed pieces are worth, and for every run
what its least way is worth.  That is one inequality about how many bars of each stock
length any plan needs, a *cover*.  A linear program over bars and ways, whose worths are
linear between knots, finds covers that tell much; whole numbers tell what they prove.

References
----------
A. A. Farley, "A note on bounding a class of linear programming problems, including
cutting stock problems", Operations Research 38 (1990), 922-923,
doi 10.1287/opre.38.5.922, for the bound from any worth of pieces.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting.master import INFINITE, Program
from lapwright.errors import SolverError
from lapwright.joint.core import each_alone
from lapwright.joint.windows import Stacks, along
from lapwright.joint.worth import (
    NEARLY,
    Pattern,
    Worth,
    bars_of,
    best_of_stock,
    patterns_above,
    way_worths,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
    from typing import Any

    from lapwright.joint.core import Core, Flags
    from lapwright.joint.problem import Whole
    from lapwright.joint.windows import Window
    from lapwright.joint.worth import Values

SCALE_BITS = 30
"""The dearest bar is worth about two to this many, in whole numbers."""
CLOSE = 1e-6
"""A gap to the linear program of this share is none."""
ADOPTED = 0.05
"""Ways that are taken over cost no more than this beyond the best. [dearest bars]"""
MOST_ADOPTED, FEWEST_ADOPTED = 2400, 12
"""And they are no more than this in all, but so many for a run."""
BEYOND = 50.0
"""What goes beyond a supply costs this, each. [dearest bars]"""
DEAR = 3.0
"""What it costs where only so many are asked for, each. [dearest bars]"""
TOO_MANY = 3.0
"""What a seam too many in a window costs. [dearest bars]"""
FORBIDDEN = 1 << 58
"""What a way costs that is not allowed."""
PROBE = 60
"""So many steps tell enough of the value of a program."""
HARDLY = 1e-6
"""A way that is used less is not used."""
PULL = 0.6
"""How far worths are drawn to the best ones yet: wild ones prove nothing."""


@dataclass(frozen=True, slots=True)
class Cover:
    """Of any plan, bars and seams together are worth at least `least`."""

    worth: tuple[int, ...]
    """The most that a bar is worth, by stock, and then what a seam is."""
    least: int


@dataclass(eq=False, slots=True)
class Duals:
    """Worths of the linear program."""

    worth: Worth
    uses: Values
    """Of a bar, by stock, and then of a seam. (stock + 1,)"""
    windows: Values
    """What a seam in a window costs. (windows,)"""


class Relaxation:
    """The linear program over bars and ways.

    Parameters
    ----------
    core
        The problem in units.
    knots
        How many knots the worths of pieces with a factory end have, about.
    loose
        Runs whose seams need not keep apart from those of their neighbours.
    alone
        Whether every run is looked at by itself: it takes longer, and knows all rules
        between neighbours.
    """

    def __init__(
        self,
        core: Core,
        knots: int,
        loose: frozenset[int] = frozenset(),
        *,
        alone: bool = False,
    ) -> None:
        core = each_alone(core) if alone else core
        self.core, self.alone = core, alone
        capacity = core.capacity
        self.scale = float(max(core.costs) or 1)
        step = max(1, capacity // knots)
        points = {*range(0, capacity + 1, step), *core.caps, capacity}
        self._knots = np.array(sorted(points) if core.has_ends else [0, capacity])
        self._hats = _hats(self._knots, capacity)
        self._kinds, self._ends = len(core.sizes), len(self._knots)
        groups: dict[bytes, list[int]] = {}
        for number, c in enumerate(core.classes):
            parts = (c.plain, c.left, c.right, c.uses, along(c.seams))
            key = b"%d" % number if alone else b"".join(p.tobytes() for p in parts)
            groups.setdefault(key, []).append(number)
        self.groups = [tuple(group) for group in groups.values()]
        self._stacks = Stacks(core, self.groups, loose, alone=alone)
        self.windows: list[Window] = []
        self._hits: list[list[tuple[int, Flags]]] = [[] for _ in self.groups]
        """Windows and the ways that have a seam in them, by group."""
        self._many = [sum(len(core.classes[n].members) for n in g) for g in self.groups]
        self._of_ways = self._kinds + 2 * self._ends
        self._of_bars = self._of_ways + len(self.groups)
        low = np.zeros(self._of_bars + len(core.costs))
        low[: self._kinds] = core.wanted
        low[self._of_ways : self._of_bars] = self._many
        high = np.full(len(low), INFINITE)
        high[self._of_ways : self._of_bars] = self._many
        self._program = Program(low, high)
        self._rows = len(low)
        self._prices = np.array(core.costs) / self.scale
        # Bars of each stock and seams, and then those that go beyond a limit.
        uses = [(np.array([self._of_bars + k]), np.ones(1)) for k in range(len(core.costs))]
        self._program.add(np.concatenate((self._prices, self._prices)), [*uses, *uses])
        self._seen: set[object] = set()
        self._patterns: list[tuple[int, Pattern]] = []
        """Columns, and what a bar of each yields."""
        self.columns = 2 * len(uses)
        self.ways: list[tuple[int, int, int]] = []
        """Ways that the program has: column, group and way."""
        self._ways_of: list[list[tuple[int, int]]] = [[] for _ in self.groups]
        """The same by group."""
        self.barred: set[int] = set()
        self._allowed: Mapping[int, Flags] = {}
        self.dearness: list[Values] = []
        """By the last worths, what every way of every group comes to. (groups)(ways,)"""
        self._low, self._high = low, high
        self._centre: Duals | None = None
        self._has_new_windows = self._has_new_aim = False
        self._limits: Sequence[int] | None = None
        self._supply = core.supply
        self.aim(None)
        self._start()

    def _start(self) -> None:
        """Add bars that hold one piece each, and some ways, so that there is a solution."""
        core = self.core
        longest = int(np.argmax(core.caps))
        capacity = core.caps[longest]
        patterns = [Pattern(longest, (kind,), 0, 0) for kind in range(self._kinds)]
        if core.has_ends:
            for knot in self._knots[1:].tolist():
                patterns.append(Pattern(longest, (), knot, 0))
                patterns.append(Pattern(longest, (), 0, knot))
                patterns.append(Pattern(longest, (), capacity - knot, knot))
        self._add_patterns(patterns)
        self._add_ways(
            (number, int(row))
            for number, group in enumerate(self.groups)
            for row in np.linspace(0, len(core.classes[group[0]].left) - 1, 12)
        )

    @property
    def group_of(self) -> dict[int, int]:
        """Give the group of every run."""
        return self._stacks.group_of

    def adopt(self, other: Relaxation) -> None:
        """Take over the columns of another one of the same problem."""
        self._add_patterns([pattern for _, pattern in other._patterns])
        used: dict[int, list[int]] = {}
        for _, number, way in other.ways:
            beyond = other.dearness[number]
            if beyond[way] <= beyond.min() + ADOPTED:
                used.setdefault(number, []).append(way)
        for number, ways in used.items():
            ways.sort(key=lambda way: (other.dearness[number][way], way))
            del ways[max(FEWEST_ADOPTED, MOST_ADOPTED // len(self.groups)) :]
        self._add_ways(
            (self.group_of[run], way)
            for number, ways in used.items()
            for member in other.groups[number]
            for run in other.core.classes[member].members
            for way in ways
        )

    def _add_patterns(self, patterns: Sequence[Pattern]) -> None:
        weights: list[tuple[Whole, Values]] = []
        for pattern in patterns:
            if pattern in self._seen:
                continue
            self._seen.add(pattern)
            row = np.zeros(self._rows)
            for kind in pattern.plain:
                row[kind] += 1
            ends = (pattern.left, pattern.right)
            for start, size in zip((self._kinds, self._kinds + self._ends), ends, strict=True):
                if size:
                    row[start : start + self._ends] += self._hats[size]
            row[self._of_bars + pattern.stock] = -1
            at = np.flatnonzero(row)
            self._patterns.append((self.columns + len(weights), pattern))
            weights.append((at, row[at]))
        self._program.add(np.zeros(len(weights)), weights)
        self.columns += len(weights)

    def _add_ways(self, ways: Iterable[tuple[int, int]]) -> None:
        core, weights = self.core, []
        for number, way in ways:
            if (number, way) in self._seen:
                continue
            self._seen.add((number, way))
            c = core.classes[self.groups[number][0]]
            row = np.zeros(self._rows)
            for kind in c.plain[way].tolist():
                if kind >= 0:
                    row[kind] -= 1
            ends = (int(c.left[way]), int(c.right[way]))
            for start, size in zip((self._kinds, self._kinds + self._ends), ends, strict=True):
                if size:
                    row[start : start + self._ends] -= self._hats[size]
            row[self._of_ways + number] = 1
            row[self._of_bars :] -= c.uses[way]
            at = np.flatnonzero(row)
            hit = [self._rows + w for w, ways in self._hits[number] if ways[way]]
            weights.append((np.append(at, hit), np.append(row[at], np.ones(len(hit)))))
            self.ways.append((self.columns + len(weights) - 1, number, way))
            self._ways_of[number].append((self.columns + len(weights) - 1, way))
        self._program.add(np.zeros(len(weights)), weights)
        self.columns += len(weights)

    def fix(self, number: int, way: int) -> None:
        """Give a run of a group its way: its pieces are asked for from now on."""
        c = self.core.classes[self.groups[number][0]]
        changed = {self._of_ways + number}
        for kind in c.plain[way].tolist():
            if kind >= 0:
                self._low[kind] += 1
                changed.add(kind)
        ends = (int(c.left[way]), int(c.right[way]))
        for start, size in zip((self._kinds, self._kinds + self._ends), ends, strict=True):
            if size:
                for at in np.flatnonzero(self._hats[size]).tolist():
                    self._low[start + at] += self._hats[size, at]
                    changed.add(start + at)
        for use, many in enumerate(c.uses[way].tolist()):
            if many:
                self._low[self._of_bars + use] += many
                changed.add(self._of_bars + use)
        for w, ways in self._hits[number]:
            if ways[way]:
                self._high[self._rows + w] -= 1
                changed.add(self._rows + w)
        self._many[number] -= 1
        self._low[self._of_ways + number] -= 1
        self._high[self._of_ways + number] -= 1
        for row in sorted(changed):
            self._program.ask(row, float(self._low[row]), float(self._high[row]))

    def release(self) -> None:
        """Take all ways that were given back."""
        core = self.core
        self._low[: self._rows] = 0.0
        self._high[self._rows :] = [window.most for window in self.windows]
        self._low[: self._kinds] = core.wanted
        for number, group in enumerate(self.groups):
            self._many[number] = sum(len(core.classes[n].members) for n in group)
        self._low[self._of_ways : self._of_bars] = self._many
        self._high[self._of_ways : self._of_bars] = self._many
        for row in range(len(self._low)):
            self._program.ask(row, float(self._low[row]), float(self._high[row]))
        for column in sorted(self.barred):
            self._program.limit(column, INFINITE)
        self.barred.clear()

    def restrict(self, allowed: Mapping[int, Flags]) -> None:
        """Allow some ways only, of some groups; what is proven then holds for these alone."""
        before = self._allowed
        changed = {
            group
            for group in before.keys() | allowed.keys()
            if before.get(group) is not allowed.get(group)
        }
        for group in sorted(changed):
            ways = allowed.get(group)
            if ways is not None and not any(ways[way] for _, way in self._ways_of[group]):
                self._add_ways([(group, int(ways.argmax()))])
            held = self._ways_of[group]
            most = np.full(len(held), INFINITE)
            if ways is not None:
                most[~ways[[way for _, way in held]]] = 0.0
            self._program.limit_all(np.array([column for column, _ in held]), most)
        self._allowed = dict(allowed)
        self._centre = None
        self._has_new_windows = True

    def bar(self, column: int) -> None:
        """Use a way no more until all are released."""
        self._program.limit(column, 0.0)
        self.barred.add(column)

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
            _, patterns, ways = self._look(duals, duals, dual)
            self._add_patterns(patterns)
            self._add_ways(ways)
            if len(self._seen) == before:
                return value, use
        return None

    def within(self, limits: Sequence[int]) -> None:
        """Ask for least cost of no more than so many bars, by stock, and seams.

        Only after asking for least cost; `aim` takes it back.
        """
        self._supply = tuple(
            int(many) if price else there
            for many, price, there in zip(limits, self._prices, self.core.supply, strict=True)
        )
        for k, there in enumerate(self._supply):
            if there is not None:
                self._program.limit(k, float(there))
                self._program.price(len(self._prices) + k, DEAR)
                self._program.limit(len(self._prices) + k, INFINITE)
        self._centre = None
        self._has_new_windows = True

    def aim(self, limits: Sequence[int] | None, seam: float = 0.0) -> None:
        """Ask for least cost, or for least cost of what goes beyond so many bars and seams.

        Parameters
        ----------
        limits
            Numbers of bars, by stock, and of seams; None for least cost.
        seam
            What a seam costs beyond its weight; with it, values are no bounds.
            [dearest bars]
        """
        many = len(self._prices)
        self._centre, self._limits = None, limits
        self._supply = self.core.supply
        self._has_new_aim = self.alone
        for k, there in enumerate(self.core.supply):
            price = float(self._prices[k])
            most = INFINITE if there is None else float(there)
            # What costs nothing is not what a plan is short of.
            if limits is not None and price:
                most = min(most, float(limits[k]))
            self._program.price(k, price if limits is None else 0.0)
            self._program.limit(k, most)
            counts = limits is not None and price > 0
            self._program.price(many + k, price if counts else BEYOND)
            has_limit = counts or there is not None
            self._program.limit(many + k, INFINITE if has_limit else 0.0)
        if seam:
            self._program.price(many - 1, float(self._prices[-1]) + seam)

    def generate(
        self,
        is_over: Callable[[], bool],
        *,
        low: float = -INFINITE,
        high: float = INFINITE,
    ) -> tuple[float, Duals]:
        """Add columns until the value is that of all of them, nearly.

        Parameters
        ----------
        is_over
            Tells whether the time is up.
        low, high
            No lower value is of interest, and no bound above. [cost of the dearest bar]

        Returns
        -------
        value : float
            Of the linear program. [cost of the dearest bar]
        duals : Duals
            The best ones found.
        """
        best = -INFINITE
        kept: Duals | None = None
        value = INFINITE
        while True:
            # After new windows the dual method goes on from where the last solution was.
            answer = self._program.solve(asked=self._has_new_windows, afresh=self._has_new_aim)
            self._has_new_windows = self._has_new_aim = False
            if answer is None:
                break
            value, _, dual = answer
            plain = self._duals(dual)
            drawn = _between(self._centre, plain) if self._centre else plain
            before = len(self._seen)
            for duals in (drawn, plain) if drawn is not plain else (plain,):
                found, patterns, ways = self._look(duals, plain, dual)
                if found > best + NEARLY:
                    best, kept, self._centre = found, duals, duals
                self._add_patterns(patterns)
                self._add_ways(ways)
                if len(self._seen) > before:
                    break
            is_done = len(self._seen) == before or value - best < CLOSE * max(1.0, value)
            if is_done or value <= low or best > high or is_over():
                break
        if kept is None:
            raise SolverError("the linear program of ways and bars has no solution")
        return value, kept

    def by_length(self) -> Duals:
        """Give worths by what pieces take, which prove a little at once."""
        takes = np.arange(self.core.capacity + 1) / self.core.capacity
        worth = Worth(takes[self.core.sizes], takes, takes)
        return Duals(worth, np.zeros(len(self._prices)), np.zeros(len(self.windows)))

    def tighten(self) -> int:
        """Add windows in which the last solution has too many seams; tell how many."""
        answer = self._program.solve()
        if answer is None:
            return 0
        uses = [
            (group, way, float(answer[1][column]))
            for column, group, way in self.ways
            if answer[1][column] > NEARLY
        ]
        known = set(self.windows)
        fresh = [w for w in dict.fromkeys(self._stacks.too_full(uses)) if w not in known]
        for window in fresh:
            self._add_window(window)
        self._centre = None
        self._has_new_windows = bool(fresh)
        return len(fresh)

    def value(self) -> float:
        """Give about the value of the linear program with the columns that it has."""
        return self._program.probe(PROBE)

    def shares(self) -> dict[int, list[tuple[int, float]]]:
        """Give by group the ways of the last solution, and how often each is used."""
        answer = self._program.solve(afresh=self._has_new_aim)
        self._has_new_aim = False
        found: dict[int, list[tuple[int, float]]] = {}
        for column, group, way in self.ways if answer else ():
            if answer and answer[1][column] > HARDLY:
                found.setdefault(group, []).append((way, float(answer[1][column])))
        return found

    def _add_window(self, window: Window) -> None:
        number = len(self.windows)
        hits = {group: self._stacks.hits(window, group) for group, _ in window.starts}
        for group, ways in hits.items():
            self._hits[group].append((number, ways))
        within = [c for c, group, way in self.ways if group in hits and hits[group][way]]
        self.windows.append(window)
        self._low = np.append(self._low, -INFINITE)
        self._high = np.append(self._high, float(window.most))
        self._program.push(np.array(within), np.ones(len(within)), high=window.most)
        # A seam too many has its price, so that there always is a solution.
        row = np.array([self._rows + number])
        self._program.add(np.array([TOO_MANY]), [(row, -np.ones(1))])
        self.columns += 1

    def _duals(self, dual: Values) -> Duals:
        windows = np.maximum(-dual[self._rows :], 0.0)
        dual = np.maximum(dual[: self._rows], 0.0)
        k, e = self._kinds, self._ends
        left = self._hats @ dual[k : k + e]
        right = self._hats @ dual[k + e : k + 2 * e]
        left[0] = right[0] = 0.0
        return Duals(Worth(dual[:k], left, right), dual[self._of_bars :], windows)

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
        total = (self.core.wanted @ worth.plain).item()
        for many, values in zip(self._many, self._values(worth, most, windows), strict=True):
            total += many * values.min().item()
        # Worths from before the last windows were added say nothing of these.
        for window, cost in zip(self.windows, windows.tolist(), strict=False):
            total -= window.most * cost
        return total

    def _values(self, worth: Worth, uses: Values, windows: Values) -> Iterator[Values]:
        """Give what every way of every group comes to. (groups)(ways,)"""
        worths = way_worths(self.core, worth, uses)
        for number, (group, hits) in enumerate(zip(self.groups, self._hits, strict=True)):
            values = worths[group[0]]
            for w, ways in hits:
                if w < len(windows) and windows[w]:
                    values = values + windows[w] * ways
            allowed = self._allowed.get(number)
            yield values if allowed is None else np.where(allowed, values, FORBIDDEN)

    def _look(
        self, duals: Duals, plain: Duals, dual: Values
    ) -> tuple[float, list[Pattern], list[tuple[int, int]]]:
        """Give what the worths prove, nearly, and columns that the program wants."""
        core = self.core
        bars = bars_of(core, duals.worth)
        most = np.array([*best_of_stock(core, bars), duals.uses[-1]])
        found = self._value(self.least(duals.worth, most, duals.windows), most)
        patterns = list(patterns_above(core, bars, duals.worth, plain.uses.tolist(), 12))
        self.dearness = list(self._values(duals.worth, plain.uses, duals.windows))
        ways = []
        sigma = dual[self._of_ways : self._of_bars]
        for number in range(len(self.groups)):
            reduced = self.dearness[number] - sigma[number]
            width = -(-len(reduced) // 6)
            for start in range(0, len(reduced), width):
                row = start + int(reduced[start : start + width].argmin())
                if reduced[row] < -NEARLY:
                    ways.append((number, row))
        return found, patterns, ways

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


def _hats(knots: Whole, capacity: int) -> Values:
    """Give how a size is divided between its two knots. (capacity + 1, knots)"""
    sizes = np.arange(capacity + 1)
    at = np.clip(np.searchsorted(knots, sizes, side="right") - 1, 0, len(knots) - 2)
    share = (sizes - knots[at]) / (knots[at + 1] - knots[at])
    hats = np.zeros((capacity + 1, len(knots)))
    hats[sizes, at] = 1 - share
    hats[sizes, at + 1] += share
    return hats


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
    bars = best_of_stock(core, bars_of(core, worth))
    # Seams that cost nothing, without a limit, prove nothing.
    is_free = core.supply[-1] is None and not core.costs[-1]
    seam = 0 if is_free else int(whole(duals.uses)[-1])
    uses = np.array([*bars, seam], dtype=np.int64)
    least = relaxation.least(worth, uses, whole(duals.windows))
    return Cover(tuple(uses.tolist()), least)
