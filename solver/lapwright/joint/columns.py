"""The linear program over bars and ways: its rows, and the columns it has so far.

A row says of a kind of piece, or of pieces of one length with a factory end, that bars
yield as many as are asked for; of a group of runs, that each has a way; of a stock length,
how many bars there are; of a window, how many seams.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting.master import INFINITE, Program
from lapwright.joint.asked import Asked
from lapwright.joint.core import each_alone
from lapwright.joint.ends import Known, Needs
from lapwright.joint.ties import Ties
from lapwright.joint.windows import Stacks, along
from lapwright.joint.worth import NEARLY, Pattern

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from typing import Self

    from lapwright.cutting.master import Basis
    from lapwright.joint.core import Core, Flags
    from lapwright.joint.problem import Whole
    from lapwright.joint.windows import Window
    from lapwright.joint.worth import Duals, Values

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
PROBE = 30
"""So many steps tell enough of the value of a program."""
HARDLY = 1e-6
"""A way that is used less is not used."""
FIRST, OF_ENDS, MANY = 12, 2, 100
"""So many ways of a group are looked at first, and so many where pieces keep factory ends;
one if every run is looked at by itself, or there are more groups than this with ends."""


class Columns:
    """The linear program over bars and ways, with the columns that it has so far.

    Parameters
    ----------
    core
        The problem in units.
    ties
        What is known of runs that cannot keep apart.
    alone
        Whether every run is looked at by itself: it takes longer, and knows all rules
        between neighbours.
    """

    def __init__(
        self,
        core: Core,
        ties: Ties | None = None,
        *,
        alone: bool = False,
    ) -> None:
        core = each_alone(core) if alone else core
        self.core, self.alone = core, alone
        self.scale = float(max(core.costs) or 1)
        self._has_ends, self._kinds = core.has_ends, len(core.sizes)
        self._known = (Known(), Known())
        groups: dict[bytes, list[int]] = {}
        for number, c in enumerate(core.classes):
            parts = (c.plain, c.left, c.right, c.uses, along(c.seams))
            key = b"%d" % number if alone else b"".join(p.tobytes() for p in parts)
            groups.setdefault(key, []).append(number)
        self.groups = [tuple(group) for group in groups.values()]
        self.ties = ties or Ties()
        self._stacks = Stacks(core, self.groups, self.ties.soft, alone=alone)
        self.windows: list[Window] = []
        self._windows_of: list[list[tuple[int, Flags]]] = [[] for _ in self.groups]
        """Windows and the ways that have a seam in them, by group."""
        self._groups_of: list[list[tuple[int, Flags]]] = []
        """Groups and the same ways, by window."""
        self._many = [sum(len(core.classes[n].members) for n in g) for g in self.groups]
        self._needs = Needs([core.classes[group[0]] for group in self.groups])
        self._of_ways = self._kinds
        self._of_bars = self._of_ways + len(self.groups)
        low = np.zeros(self._of_bars + len(core.costs))
        low[: self._kinds] = core.wanted
        low[self._of_ways : self._of_bars] = self._many
        high = np.full(len(low), INFINITE)
        high[self._of_ways : self._of_bars] = self._many
        self._program = Program(low, high)
        self._rows = len(low)
        """Rows that there are from the beginning; those of ends and windows follow."""
        self._window_rows: list[int] = []
        self._beyond: list[int] = []
        """Columns of seams too many in a window."""
        self._turn = 0
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
        self._fixed: Counter[tuple[int, int]] = Counter()
        """Groups and ways that runs of them were given."""
        self._allowed: Mapping[int, Flags] = {}
        self._asked = None if self._has_ends else Asked(core, self.groups)
        """None where pieces keep factory ends: there few bars yield two of a kind."""
        self.yielding = core
        """The problem, with no more of a kind in one bar than can be asked for."""
        self._again: list[tuple[int, int, int]] = []
        """Columns of bars that yield a kind more than once, the kind, and how often."""
        self._repeats = np.zeros((0, 3), dtype=np.int64)
        """The same, as far as it was looked at."""
        self._overfull: set[int] = set()
        """Columns of bars that yield more of a kind than can be asked for."""
        self.dearness: list[Values] = []
        """By the last worths, what every way of every group comes to. (groups)(ways,)"""
        self._low, self._high = low, high
        self._centre: Duals | None = None
        self._has_new_windows = self._has_new_aim = False
        self._limits: Sequence[int] | None = None
        self._supply = core.supply
        self.aim(None)
        self._start()
        self._limit_bars()

    def _start(self) -> None:
        """Add bars that hold one piece each, and some ways, so that there is a solution."""
        core = self.core
        longest = int(np.argmax(core.caps))
        self.add_patterns([Pattern(longest, (kind,), 0, 0) for kind in range(self._kinds)])
        many = 1 if self.alone else FIRST
        if self._has_ends:
            many = OF_ENDS if len(self.groups) <= MANY else 1
        self.add_ways(
            (number, int(row))
            for number, group in enumerate(self.groups)
            for row in np.linspace(0, len(core.classes[group[0]].left) - 1, many)
        )

    @property
    def patterns(self) -> list[Pattern]:
        """List what the bars yield that the program has."""
        return [pattern for _, pattern in self._patterns]

    @property
    def group_of(self) -> dict[int, int]:
        """Give the group of every run."""
        return self._stacks.group_of

    def adopt(self, other: Columns) -> None:
        """Take over the columns of another one of the same problem."""
        self.add_patterns([pattern for _, pattern in other._patterns])
        used: dict[int, list[int]] = {}
        for _, number, way in other.ways:
            beyond = other.dearness[number]
            if beyond[way] <= beyond.min() + ADOPTED:
                used.setdefault(number, []).append(way)
        for number, ways in used.items():
            ways.sort(key=lambda way: (other.dearness[number][way], way))
            del ways[max(FEWEST_ADOPTED, MOST_ADOPTED // len(self.groups)) :]
        self.add_ways(
            (self.group_of[run], way)
            for number, ways in used.items()
            for member in other.groups[number]
            for run in other.core.classes[member].members
            for way in ways
        )

    def lean(self) -> Self:
        """Give the same with the columns and windows alone that the last solution needs."""
        answer = self._program.solve()
        if answer is None:
            return self._with((), (), ())
        use = answer[1] > NEARLY
        return self._with(
            [pattern for column, pattern in self._patterns if use[column]],
            [(group, way) for column, group, way in self.ways if use[column]],
            [
                window
                for window, row in zip(self.windows, self._window_rows, strict=True)
                if abs(answer[2][row]) > NEARLY
            ],
        )

    def _with(
        self,
        patterns: Iterable[Pattern],
        ways: Iterable[tuple[int, int]],
        windows: Sequence[Window],
    ) -> Self:
        """Give the same with other columns and windows."""
        found = type(self)(self.core, self.ties, alone=self.alone)
        found.add_patterns(patterns)
        found.add_ways(ways)
        found.add_windows(windows)
        found.dearness = self.dearness
        return found

    def add_patterns(self, patterns: Iterable[Pattern]) -> None:
        """Add bars, and rows for lengths that they yield, but for what there is already."""
        fresh = [pattern for pattern in dict.fromkeys(patterns) if pattern not in self._seen]
        made = []
        for pattern in fresh:
            weights = Counter(pattern.plain)
            weights[self._of_bars + pattern.stock] = -1
            for side, size in enumerate((pattern.left, pattern.right)):
                if size:
                    weights[self._row_of(side, size)] = 1
            made.append(weights)
        self._seen.update(fresh)
        for column, pattern in enumerate(fresh, start=self.columns):
            self._patterns.append((column, pattern))
            if len(set(pattern.plain)) < len(pattern.plain):
                counted = Counter(pattern.plain).items()
                self._again += [(column, kind, many) for kind, many in counted if many > 1]
        self._add(made)

    def add_ways(self, ways: Iterable[tuple[int, int]]) -> None:
        """Add ways, each with its group, and rows for lengths that they ask for."""
        fresh = [way for way in dict.fromkeys(ways) if way not in self._seen]
        made = []
        for number, way in fresh:
            weights = self._weights(number, way)
            weights[self._of_ways + number] = 1
            made.append(weights)
        self._seen.update(fresh)
        for column, (number, way) in enumerate(fresh, start=self.columns):
            self.ways.append((column, number, way))
            self._ways_of[number].append((column, way))
        self._add(made)

    def _weights(self, number: int, way: int) -> Counter[int]:
        """Give what a way asks for, negative, by row, and the windows it has a seam in."""
        c = self.core.classes[self.groups[number][0]]
        weights = Counter[int]()
        for kind in c.plain[way].tolist():
            if kind >= 0:
                weights[kind] -= 1
        for side, size in enumerate((int(c.left[way]), int(c.right[way]))):
            if size:
                weights[self._row_of(side, size)] = -1
        for use, many in enumerate(c.uses[way].tolist()):
            weights[self._of_bars + use] = -many
        for w, ways in self._windows_of[number]:
            weights[self._window_rows[w]] = int(ways[way])
        return weights

    def _add(self, made: Sequence[Mapping[int, int]]) -> None:
        """Add columns that cost nothing, with their weights by row."""
        weights = []
        for each in made:
            rows = sorted(row for row, weight in each.items() if weight)
            values = np.array([each[row] for row in rows], dtype=float)
            weights.append((np.array(rows), values))
        self._program.add(np.zeros(len(weights)), weights)
        self.columns += len(weights)

    def _row_of(self, side: int, size: int) -> int:
        """Give the row of pieces that keep one of the ends and take so much."""
        known = self._known[side]
        if size in known.rows:
            return known.rows[size]
        (row,) = self._push([np.zeros(0, dtype=np.int64)], np.zeros(1), np.full(1, INFINITE))
        shorter, longer = known.put(size, row)
        # A longer piece can be cut back; and a bar of its own yields any piece.
        longest = int(np.argmax(self.core.caps))
        made = [{row: 1, self._of_bars + longest: -1}]
        if shorter is not None:
            made.append({shorter: 1, row: -1})
        if longer is not None:
            made.append({row: 1, longer: -1})
        self._add(made)
        return row

    def _push(self, columns: Sequence[Whole], low: Values, high: Values) -> range:
        """Add rows in which some columns weigh 1 each; give their numbers."""
        first = len(self._low)
        self._low, self._high = np.append(self._low, low), np.append(self._high, high)
        self._program.push(columns, low, high)
        return range(first, len(self._low))

    def fix(self, number: int, way: int, *, back: bool = False) -> None:
        """Give a run of a group its way, or take it back: its pieces are asked for."""
        weights = self._weights(number, way)
        many = -1 if back else 1
        self._fixed[number, way] += many
        windows = set(self._window_rows)
        for row, weight in weights.items():
            if row in windows:
                self._high[row] -= many * weight
            else:
                self._low[row] -= many * weight
        own = self._of_ways + number
        self._many[number] -= many
        self._low[own] -= many
        self._high[own] -= many
        for row in sorted({own, *weights}):
            self._program.ask(row, float(self._low[row]), float(self._high[row]))
        if self._asked:
            self._asked.give(number, way, many)

    def release(self) -> None:
        """Take all ways that were given back."""
        core = self.core
        self._fixed.clear()
        self._low[: self._rows] = 0.0
        for known in self._known:
            self._low[list(known.rows.values())] = 0.0
        self._high[self._window_rows] = [window.most for window in self.windows]
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
        if self._asked:
            self._asked.release()
            self._limit_bars()

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
                self.add_ways([(group, int(ways.argmax()))])
            held = self._ways_of[group]
            most = np.array([0.0 if c in self.barred else INFINITE for c, _ in held])
            if ways is not None:
                most[~ways[[way for _, way in held]]] = 0.0
            self._program.limit_all(np.array([column for column, _ in held]), most)
            if self._asked:
                self._asked.allow(group, ways)
        self._allowed = dict(allowed)
        self._centre = None
        self._has_new_windows = True
        self._limit_bars()

    def _limit_bars(self) -> None:
        """Let no bar yield more of a kind than all runs together may ask for by now.

        With parts of a bar that yields three of a kind, two would cost two thirds of it.
        """
        if self._asked is None:
            return
        most = np.maximum(self._asked.most, 1)
        self.yielding = replace(self.core, most=np.minimum(self.core.most, most))
        if len(self._again) > len(self._repeats):
            self._repeats = np.array(self._again)
        columns, kinds, many = self._repeats.T
        overfull = set(columns[many > most[kinds]].tolist())
        for column in sorted(overfull ^ self._overfull):
            self._program.limit(column, 0.0 if column in overfull else INFINITE)
        self._overfull = overfull

    def bar(self, column: int) -> None:
        """Use a way no more until all are released."""
        self._program.limit(column, 0.0)
        self.barred.add(column)

    def free(self, columns: Iterable[int]) -> None:
        """Use some barred ways again."""
        back = set(columns) & self.barred
        self.barred -= back
        for column, group, way in self.ways if back else ():
            if column in back:
                ways = self._allowed.get(group)
                self._program.limit(column, INFINITE if ways is None or ways[way] else 0.0)

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
        # Where only numbers of bars change, the dual method goes on from where it was.
        self._has_new_aim = self.alone and (limits is not None or self._limits is not None)
        self._has_new_windows = True
        self._centre, self._limits = None, limits
        self._supply = self.core.supply
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
        return self.tighten_for(uses)

    def tighten_for(self, uses: Sequence[tuple[int, int, float]]) -> int:
        """Add windows in which some ways have too many seams; tell how many.

        Parameters
        ----------
        uses
            Group, way, and how often it is used.
        """
        known = set(self.windows)
        fresh = [w for w in dict.fromkeys(self._stacks.too_full(uses)) if w not in known]
        self.add_windows(fresh)
        self._centre = None
        self._has_new_windows = bool(fresh)
        return len(fresh)

    def add_windows(self, windows: Sequence[Window]) -> None:
        """Add windows, all at once: each time the whole program is copied."""
        within, most = [], []
        for number, window in enumerate(windows, start=len(self.windows)):
            hits = {group: self._stacks.hits(window, group) for group, *_ in window.stretches}
            self._groups_of.append(list(hits.items()))
            for group, ways in hits.items():
                self._windows_of[group].append((number, ways))
            held = [c for g in hits for c, way in self._ways_of[g] if hits[g][way]]
            within.append(np.array(held, dtype=np.int64))
            given = sum(
                many for (g, way), many in self._fixed.items() if g in hits and hits[g][way]
            )
            most.append(float(window.most - given))
        self.windows += windows
        rows = self._push(within, np.full(len(windows), -INFINITE), np.array(most))
        self._window_rows += rows
        # A seam too many has its price, so that there always is a solution.
        weights = [(np.array([row]), -np.ones(1)) for row in rows]
        self._program.add(np.full(len(rows), TOO_MANY), weights)
        self._beyond += range(self.columns, self.columns + len(rows))
        self.columns += len(rows)

    def in_whole(
        self, seconds: float | None, seed: int, kept: Values | None = None
    ) -> Values | None:
        """Choose whole bars and ways that go beyond nothing; give the use of the columns.

        Parameters
        ----------
        seconds
            How long it may take; None is no limit.
        seed
            Of the chance by which it is done.
        kept
            A use of the columns, of which the bars are kept.
        """
        many = len(self._prices)
        bars = np.array([column for column, _ in self._patterns])
        ways = np.array([column for column, _, _ in self.ways])
        none = np.array([*range(many, 2 * many), *self._beyond])
        fixed = (bars, np.rint(kept[bars])) if kept is not None else None
        return self._program.in_whole(np.concatenate((bars, ways)), none, fixed, seconds, seed)

    def stop(self) -> None:
        """Choose no more whole bars and ways, where another thread does so."""
        self._program.stop()

    def mix(self) -> Values | None:
        """Give how many bars of each stock, and seams, the last solution has, with parts."""
        answer = self._program.solve()
        return None if answer is None else answer[1][: len(self._prices)]

    def value(self) -> float:
        """Give about the value of the linear program with the columns that it has."""
        return self._program.probe(PROBE)

    def basis(self) -> Basis:
        """Give the place where the last solution was found, to come back to."""
        return self._program.basis()

    def start_from(self, basis: Basis) -> None:
        """Come back to a place."""
        self._program.start_from(basis)

    def shares(self) -> dict[int, list[tuple[int, float]]]:
        """Give by group the ways of the last solution, and how often each is used."""
        answer = self._program.solve(afresh=self._has_new_aim)
        self._has_new_aim = False
        found: dict[int, list[tuple[int, float]]] = {}
        for column, group, way in self.ways if answer else ():
            if answer and answer[1][column] > HARDLY:
                found.setdefault(group, []).append((way, float(answer[1][column])))
        return found
