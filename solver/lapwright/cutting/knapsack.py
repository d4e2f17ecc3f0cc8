"""The most valuable patterns, by dynamic programming in whole numbers.

One table over all capacities prices every bin at once.  A second table from the
other side gives, for every item, the best pattern that holds it: many patterns that
differ, from one call, which is what makes column generation converge in few rounds.

References
----------
P. C. Gilmore and R. E. Gomory, "A linear programming approach to the cutting-stock
problem", Operations Research 9 (1961), 849-859, doi 10.1287/opre.9.6.849.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from lapwright.cutting.core import Core

    Whole = NDArray[np.int64]


NEVER = np.int64(-(2**61))
"""The value of what cannot be; with any real value added it stays below zero."""


class Knapsack:
    """Tables of the best value of each capacity, filled anew for each set of values.

    A plain item that may be cut up to n times is split into stages of 1, 2, 4, ...
    pieces, so that each stage is taken or not and the limit is kept exactly.

    Parameters
    ----------
    core
        The items and bins.
    """

    can_list = True
    """Whether `rest_tables` are there, which listing all patterns needs."""

    def __init__(self, core: Core) -> None:
        self.core = core
        self.lengths = np.array(core.lengths, dtype=np.int64)
        self._most = most_of_each(core)
        self._stage_count = sum(most.bit_length() for most in self._most)
        shape = (self._stage_count + 1, core.capacity + 1)
        self._last = np.full(shape, -1, dtype=np.int16)
        self._sum = np.empty(shape[1], dtype=np.int64)
        self._mask = np.empty(shape[1], dtype=bool)
        self._left_of = np.full(shape[1], -1, dtype=np.int64)
        self._right_of = np.full(shape[1], -1, dtype=np.int64)
        self.values = np.zeros(len(core.lengths), dtype=np.int64)
        self.waste = core.capacity
        self.limits = np.array(core.demand, dtype=np.int64)
        self._split()
        self._make_tables(shape)

    def _make_tables(self, shape: tuple[int, int]) -> None:
        """Make the tables that hold a value for every stage and capacity."""
        self._ahead = np.zeros(shape, dtype=np.int64)
        self._behind = np.zeros((0, 0), dtype=np.int64)
        self._next = np.zeros((0, 0), dtype=np.int16)

    def fill(self, values: Whole, limits: Whole, waste: int | None = None) -> None:
        """Fill the table of the best values.

        Parameters
        ----------
        values
            What one piece of each item is worth, zero or more. (items,)
        limits
            How many of each item a bar may hold at most. (items,)
        waste
            How much of a bar may be left over at most; None is any.
        """
        self.values, self.limits = values, limits
        self.waste = self.core.capacity if waste is None else waste
        self._split()
        self._fill_ends(self._ahead[0])
        last, total, mask = self._last, self._sum, self._mask
        last[0] = -1
        for stage, (size, gain) in enumerate(self._stages):
            before, after = self._ahead[stage], self._ahead[stage + 1]
            end = len(before) - size
            np.add(before[:end], gain, out=total[:end])
            np.greater(total[:end], before[size:], out=mask[:end])
            after[:size] = before[:size]
            np.maximum(before[size:], total[:end], out=after[size:])
            last[stage + 1] = last[stage]
            np.copyto(last[stage + 1, size:], stage, where=mask[:end])

    def best(self, capacity: int) -> int:
        """Give the greatest value of a pattern of a bin; below 0 if there is none."""
        return int(self._ahead[len(self._stages), capacity])

    def patterns(self, capacity: int, above: int) -> tuple[Whole, Whole]:
        """Give for every item the best pattern of a bin that holds it.

        Parameters
        ----------
        capacity
            The capacity of the bin.
        above
            Only patterns worth more than this are given.

        Returns
        -------
        tuple of arrays
            The patterns, the most valuable first, and their values.
            (patterns, items), (patterns,)
        """
        # The waste is in the other table, so that the two together keep to it.
        limited = self.waste < self.core.capacity
        self._fill_behind(0 if limited else self.waste)
        stages, rooms, worth = [], [], []
        for stage in self._firsts:
            size, gain = self._stages[stage]
            room = capacity - size
            if room >= 0:
                total = self._sum[: room + 1]
                reverse = self._behind[stage + 1, room::-1]
                np.add(self._ahead[stage, : room + 1], reverse, out=total)
                at = int(total.argmax())
                if total[at] + gain > above:
                    stages.append(stage)
                    rooms.append(at)
                    worth.append(int(total[at]) + gain)
        stage_, room_ = np.array(stages, dtype=int), np.array(rooms, dtype=int)
        counts = self._blank(len(stages))
        counts[np.arange(len(stages)), self._item[stage_]] += self._many[stage_]
        self._walk_ahead(stage_, room_, counts)
        self._walk_behind(stage_ + 1, capacity - self._size[stage_] - room_, counts)
        values = np.array(worth, dtype=np.int64)
        if self.core.plain < len(self.core.lengths):
            more, more_values = self._patterns_of_ends(capacity, above)
            counts = np.concatenate((counts, more))
            values = np.concatenate((values, more_values))
        order = np.argsort(-values, kind="stable")
        return counts[order], values[order]

    def rest_tables(self) -> tuple[Whole, list[int]]:
        """Give what can still be gained from the plain items not looked at yet.

        Returns
        -------
        tuple
            The table (rows, capacities), and for every plain item the row of the
            items behind it.
        """
        self._fill_behind(self.waste)
        stages = np.searchsorted(self._item, np.arange(self.core.plain), side="right")
        return self._behind, stages.tolist()

    def _blank(self, rows: int) -> Whole:
        """Give patterns that hold nothing yet (rows, items)."""
        return np.zeros((rows, len(self.lengths)), dtype=np.int64)

    def _split(self) -> None:
        """Split every plain item that is worth something into stages.

        Where waste is limited, pieces that are worth nothing still fill a bar.
        """
        limited = self.waste < self.core.capacity
        item: list[int] = []
        many: list[int] = []
        firsts: list[int] = []
        for i, most in enumerate(self._most):
            rest = min(int(self.limits[i]), most) if self.values[i] > 0 or limited else 0
            step = 1
            if rest:
                firsts.append(len(item))
            while rest > 0:
                item.append(i)
                many.append(min(step, rest))
                rest -= min(step, rest)
                step *= 2
        self._firsts = firsts
        self._item = np.array(item, dtype=int)
        self._many = np.array(many, dtype=np.int64)
        self._size = self.lengths[self._item] * self._many
        gain = self.values[self._item] * self._many
        self._stages = list(zip(self._size.tolist(), gain.tolist(), strict=True))

    def _ends_worth(self, items: range) -> list[int]:
        """Give the items that keep an end and are worth something.

        Where waste is limited, all of them: each fills a bar a little.
        """
        limited = self.waste < self.core.capacity
        worth = self.values > 0
        return [i for i in items if (worth[i] or limited) and self.limits[i] > 0]

    def _fill_ends(self, row: Whole) -> None:
        """Fill the row of bars that hold at most one left and one right piece."""
        left_of, right_of = self._left_of, self._right_of
        row[: self.waste + 1] = 0
        row[self.waste + 1 :] = NEVER
        if self.core.plain == len(self.core.lengths):
            return
        left_of[:] = right_of[:] = -1
        bare = row.copy()
        for item in self._ends_worth(self.core.lefts):
            size, value = self.core.lengths[item], self.values[item]
            total = bare[: len(row) - size] + value
            better = row[size:] < total
            row[size:][better] = total[better]
            left_of[size:][better] = item
        only_left = row.copy()
        for item in self._ends_worth(self.core.rights):
            size, value = self.core.lengths[item], self.values[item]
            total = only_left[: len(row) - size] + value
            better = row[size:] < total
            row[size:][better] = total[better]
            right_of[size:][better] = item

    def _fill_behind(self, waste: int) -> None:
        """Fill the table of plain items from the last stage to the first."""
        if not len(self._behind):
            self._behind = np.zeros_like(self._ahead)
            self._next = np.full_like(self._last, -1)
        total, mask = self._sum, self._mask
        self._behind[len(self._stages)] = 0
        self._behind[len(self._stages), waste + 1 :] = NEVER
        self._next[len(self._stages)] = -1
        for stage in range(len(self._stages) - 1, -1, -1):
            size, gain = self._stages[stage]
            before, after = self._behind[stage + 1], self._behind[stage]
            end = len(before) - size
            np.add(before[:end], gain, out=total[:end])
            np.greater(total[:end], before[size:], out=mask[:end])
            after[:size] = before[:size]
            np.maximum(before[size:], total[:end], out=after[size:])
            self._next[stage] = self._next[stage + 1]
            np.copyto(self._next[stage, size:], stage, where=mask[:end])

    def _walk_ahead(self, stage: Whole, room: Whole, counts: Whole) -> None:
        """Add to each pattern what the table of the best values took."""
        rows = np.arange(len(stage))
        stage, room = stage.copy(), room.copy()
        while len(rows):
            stage = self._last[stage, room].astype(int)
            on = stage >= 0
            if self.core.plain < len(self.core.lengths):
                self._add_ends(rows[~on], room[~on], counts)
            rows, stage, room = rows[on], stage[on], room[on]
            counts[rows, self._item[stage]] += self._many[stage]
            room = room - self._size[stage]

    def _add_ends(self, rows: Whole, room: Whole, counts: Whole) -> None:
        """Add the pieces that keep an end of the bar."""
        item = self._right_of[room]
        on = item >= 0
        counts[rows[on], item[on]] += 1
        room = room - np.where(on, self.lengths[item], 0)
        item = self._left_of[room]
        on = item >= 0
        counts[rows[on], item[on]] += 1

    def _walk_behind(self, stage: Whole, room: Whole, counts: Whole) -> None:
        """Add to each pattern what the table from the other side took."""
        rows = np.arange(len(stage))
        while len(rows):
            stage = self._next[stage, room].astype(int)
            on = stage >= 0
            rows, stage, room = rows[on], stage[on], room[on]
            counts[rows, self._item[stage]] += self._many[stage]
            room = room - self._size[stage]
            stage = stage + 1

    def _patterns_of_ends(self, capacity: int, above: int) -> tuple[Whole, Whole]:
        """Give for every item that keeps an end the best pattern that holds it."""
        lefts = self._ends_worth(self.core.lefts)
        rights = self._ends_worth(self.core.rights)
        held, rooms, worth = [], [], []
        for items, others in ((lefts, rights), (rights, lefts)):
            # Beside each there may be any of the other end, or none.
            room = capacity - self.lengths[items][:, None]
            beside, at = self._plain_bests(room - np.append(0, self.lengths[others]))
            beside += np.append(0, self.values[others])
            other = beside.argmax(axis=1)
            rows = np.arange(len(items))
            best = beside[rows, other] + self.values[items]
            for row in np.flatnonzero(best > above).tolist():
                held.append((items[row], [-1, *others][other[row]]))
                rooms.append(at[row, other[row]])
                worth.append(best[row])
        counts = self._blank(len(held))
        for row, pair in enumerate(held):
            for item in pair:
                if item >= 0:
                    counts[row, item] += 1
        start = np.zeros(len(held), dtype=int)
        self._walk_behind(start, np.array(rooms, dtype=int), counts)
        return counts, np.array(worth, dtype=np.int64)

    def _plain_bests(self, rooms: Whole) -> tuple[Whole, Whole]:
        """Give the best values of plain items in some rooms, and where they stand."""
        if self.waste >= self.core.capacity:
            fits = np.maximum(rooms, 0)
            return np.where(rooms < 0, NEVER, self._behind[0, fits]), fits
        found = np.array([self._plain_best(room) for room in rooms.ravel().tolist()])
        found = found.reshape(*rooms.shape, 2)
        return found[..., 0], found[..., 1]

    def _plain_best(self, room: int) -> tuple[int, int]:
        """Give the best value of plain items in a room, and where it stands."""
        if room < 0:
            return int(NEVER), 0
        # The table holds exact sums here: any sum within the waste will do.
        low = max(0, room - self.waste)
        at = low + int(self._behind[0, low : room + 1].argmax())
        return int(self._behind[0, at]), at


def most_of_each(core: Core) -> list[int]:
    """Give how often each plain item fits a bar; a length may be rounded to 0."""
    pairs = zip(core.lengths[: core.plain], core.demand, strict=False)
    return [min(n, core.capacity // w) if w else n for w, n in pairs]
