"""Plans by ruin and refill: some bars are emptied, and filled anew one after the other.

A bar is filled with what is worth most by the dual values of the linear program, where a
run that has no way yet offers each of its ways at what that way costs beyond the best.
So a run's piece takes exactly the room that is left, and its other piece waits for
another bar: offcuts flow along the runs instead of into the bin.

References
----------
P. Shaw, "Using constraint programming and local search methods to solve vehicle routing
problems", CP98, LNCS 1520 (1998), 417-431, for ruin and refill.
"""

from __future__ import annotations

from dataclasses import dataclass
from operator import mul
from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting import Ends
from lapwright.joint.neighbours import Neighbours
from lapwright.joint.worth import Bars, Plain

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from random import Random

    from lapwright.cutting import CutPlan
    from lapwright.joint.core import Core
    from lapwright.joint.problem import Whole
    from lapwright.joint.worth import Duals, Values

    State = tuple[
        list[int], dict[int, "FilledBar"], list[int], list[int], list[int],
        set[int], set[int], set[int], list[int], float, float,
    ]  # fmt: skip

NONE = -1e9
"""Worth of a piece that there is not."""
CHEAP = 0.15
"""Ways that cost more than this beyond the best are thinned out. [dearest bars]"""
THIN = 24
"""One in so many of them stays."""
WAITING = 0.02
"""What a piece that waits is worth beyond its worth, lest it waits too long."""
OPEN = 5
"""So many runs without a way are offered to one bar."""
SHAPE = 0.5
"""How much one large offcut is better than two small ones."""
SEAM = 0.002
"""What a seam weighs beside all else, lest there are more than need be. [dearest bars]"""
BROKEN = 3.0
"""What a broken rule weighs. [dearest bars]"""


@dataclass(frozen=True, slots=True)
class FilledBar:
    """A bar and what it yields."""

    stock: int
    content: int
    """What its pieces take. [units]"""
    plain: tuple[int, ...]
    """Kinds."""
    left: int = -1
    """Run whose piece keeps the left end."""
    right: int = -1
    loss: float = 0.0
    """What it costs beyond what its pieces are worth. [dearest bars]"""
    bonus: float = 0.0
    """What its offcut is better than if it were in many bars. [dearest bars]"""


@dataclass(frozen=True, eq=False, slots=True)
class _Offer:
    """The ways of a class that a refill chooses from."""

    rows: Whole
    """Of the class. (ways,)"""
    left: Whole
    right: Whole
    plain: tuple[tuple[int, ...], ...]
    fee: Values
    """What whole stock lengths and seams of it cost. [dearest bars]"""
    beyond: Values
    """What it costs beyond the best way of the class. [dearest bars]"""
    by_left: Values
    """What its left piece is worth to a bar. (ways,)"""
    by_right: Values
    least: float
    """What the run is worth at least. [dearest bars]"""


class Filling:
    """A plan in the making: a way for every run, and bars.

    Parameters
    ----------
    core
        The problem in units.
    duals, scale
        What pieces are worth, in units of the dearest bar, and what that costs.
    chance
        Where to go if several ways are open.
    start
        A way for every run, as a row of its class, that is not thinned out.
    """

    def __init__(
        self,
        core: Core,
        duals: Duals,
        scale: float,
        chance: Random,
        start: Sequence[int] = (),
    ) -> None:
        self.core, self.chance = core, chance
        self.prices = [cost / scale for cost in core.costs]
        self.supply = core.supply
        sizes = np.arange(core.capacity + 1)
        # Something for every unit, so that nothing is left lying about.
        little = 1e-3 * sizes / core.capacity
        self._plain = duals.worth.plain + little[core.sizes]
        self._worths: list[float] = self._plain.tolist()
        self._left = duals.worth.left + little
        self._right = duals.worth.right + little
        self._left[0] = self._right[0] = 0.0
        held: list[list[int]] = [[] for _ in core.classes]
        for run, way in enumerate(start):
            held[core.class_of[run]].append(way)
        self._offers = [self._offer(*one, scale) for one in enumerate(held)]
        self.runs = len(core.problem.runs)
        self._ties = Neighbours(core, [offer.rows for offer in self._offers])
        self.way = [-1] * self.runs
        self.bars: dict[int, FilledBar] = {}
        self._bar_of_left = [-1] * self.runs
        self._bar_of_right = [-1] * self.runs
        self._next = 0
        self._missing = core.wanted.tolist()
        self._open = set(range(self.runs))
        self._want_left: set[int] = set()
        self._want_right: set[int] = set()
        self.used = [0] * len(core.costs)
        self.cost = 0.0
        self._bonus = 0.0

    def _of(self, run: int) -> _Offer:
        return self._offers[self.core.class_of[run]]

    def _offer(self, number: int, held: list[int], scale: float) -> _Offer:
        core, c = self.core, self.core.classes[number]
        fee = c.uses @ np.array(core.costs) / scale + SEAM * c.uses[:, -1]
        worth = np.append(self._plain, 0.0)[c.plain].sum(axis=1)
        total = fee + worth + self._left[c.left] + self._right[c.right]
        least = float(total.min())
        beyond = total - least
        kept = beyond <= CHEAP
        kept[::THIN] = True
        kept[held] = True
        rows = np.flatnonzero(kept)
        return _Offer(
            rows=rows,
            left=c.left[rows],
            right=c.right[rows],
            plain=tuple(tuple(k for k in kinds if k >= 0) for kinds in c.plain[rows].tolist()),
            fee=fee[rows],
            beyond=beyond[rows],
            by_left=self._left[c.left[rows]] - beyond[rows],
            by_right=self._right[c.right[rows]] - beyond[rows],
            least=least,
        )

    @property
    def broken(self) -> int:
        """How often two runs break a rule."""
        return self._ties.broken

    def _decide(self, run: int, way: int) -> None:
        offer = self._of(run)
        self.way[run] = way
        self._ties.give(run, way)
        self.cost += float(offer.fee[way])
        self._use(run, way, 1)
        self._open.discard(run)
        if offer.left[way]:
            self._want_left.add(run)
        if offer.right[way]:
            self._want_right.add(run)
        for kind in offer.plain[way]:
            self._missing[kind] += 1

    def _undo(self, run: int) -> None:
        """Take the way of a run back; its pieces must be in no bar."""
        offer, way = self._of(run), self.way[run]
        self._ties.take(run, way)
        self.cost -= float(offer.fee[way])
        self._use(run, way, -1)
        self.way[run] = -1
        self._open.add(run)
        self._want_left.discard(run)
        self._want_right.discard(run)
        for kind in offer.plain[way]:
            self._missing[kind] -= 1

    def _use(self, run: int, way: int, sign: int) -> None:
        """Count whole stock lengths and seams of a way."""
        c = self.core.classes[self.core.class_of[run]]
        for stock, many in enumerate(c.uses[self._of(run).rows[way]].tolist()):
            self.used[stock] += sign * many

    @property
    def beyond(self) -> int:
        """How many bars and seams there are beyond what there may be."""
        pairs = zip(self.used, self.supply, strict=True)
        return sum(max(many - there, 0) for many, there in pairs if there is not None)

    # Bars.

    @property
    def is_whole(self) -> bool:
        """Whether every piece is in a bar."""
        return not (self._open or self._want_left or self._want_right or any(self._missing))

    def least_to_come(self) -> float:
        """Give what is not in a bar yet must cost, by the worth of pieces."""
        total = sum(map(mul, self._missing, self._worths))
        for run in self._want_left:
            total += float(self._left[self._of(run).left[self.way[run]]])
        for run in self._want_right:
            total += float(self._right[self._of(run).right[self.way[run]]])
        return float(total + sum(self._of(run).least for run in self._open))

    def complete(self, noise: float, most: float) -> bool:
        """Fill bars until all is in; False where that would cost more than `most`."""
        if not self.core.has_ends:
            self._decide_all(noise)
        while not self.is_whole:
            if self.cost + self.least_to_come() > most:
                return False
            if not self._fill_one(noise):
                return False
        return self.cost <= most

    def _decide_all(self, noise: float) -> None:
        """Choose a way for every run at once, where no piece can fill a room exactly."""
        runs = sorted(self._open)
        self.chance.shuffle(runs)
        for run in runs:
            beyond, blocked = self._of(run).beyond, self._ties.all_blocked(run)
            rank = beyond + BROKEN * blocked
            if noise:
                rank = rank + noise * self._random(len(rank))
            self._decide(run, int(rank.argmin()))

    def _random(self, many: int) -> Values:
        return np.random.default_rng(self.chance.getrandbits(32)).random(many)

    def _fill_one(self, noise: float) -> bool:
        chance, core = self.chance, self.core

        def shaken() -> float:
            return 1 + noise * chance.random() if noise else 1.0

        kinds = [k for k, many in enumerate(self._missing) if many]
        plain = Plain(
            core.sizes[kinds],
            np.array([float(self._plain[k]) * shaken() for k in kinds]),
            np.array([self._missing[k] for k in kinds], dtype=np.int64),
            core.capacity,
            np.float64,
        )
        ends = [np.zeros(core.capacity + 1), np.zeros(core.capacity + 1)]
        owners: list[dict[int, tuple[int, int]]] = [{}, {}]
        offered: list[list[tuple[int, Whole, Whole]]] = [[], []]
        if core.has_ends:
            self._wait(ends, owners, shaken)
            self._offer_open(ends, offered, shaken)
        bars = Bars(plain, ends[0], ends[1])
        best: tuple[float, int, int] | None = None
        for stock, capacity in enumerate(core.caps):
            there = self.supply[stock]
            if there is not None and self.used[stock] >= there:
                continue
            worth = bars.by_right(capacity)
            right = int(worth.argmax())
            if worth[right] <= 0:
                continue  # nothing that is left goes into it
            gain = float(worth[right]) - self.prices[stock]
            if best is None or gain > best[0]:
                best = gain, stock, right
        if best is None:
            return False
        _, stock, right = best
        pattern = bars.pattern(stock, core.caps[stock], right)
        left_of = _owner(pattern.left, owners[0], offered[0])
        right_of = _owner(pattern.right, owners[1], offered[1])
        return self._close_bar([kinds[k] for k in pattern.plain], left_of, right_of)

    def _wait(
        self,
        ends: list[Values],
        owners: list[dict[int, tuple[int, int]]],
        shaken: Callable[[], float],
    ) -> None:
        """Offer the pieces that wait: their run has a way already."""
        for side, (wanted, worth) in enumerate(
            ((self._want_left, self._left), (self._want_right, self._right))
        ):
            ends[side][1:] = NONE
            for run in sorted(wanted):
                offer = self._of(run)
                size = int((offer.right if side else offer.left)[self.way[run]])
                value = float(worth[size]) * shaken() + WAITING
                if value > ends[side][size]:
                    ends[side][size] = value
                    owners[side][size] = (run, -1)

    def _offer_open(
        self,
        ends: list[Values],
        offered: list[list[tuple[int, Whole, Whole]]],
        shaken: Callable[[], float],
    ) -> None:
        """Offer some runs that have no way yet, each with all that it may still take."""
        runs = sorted(self._open)
        if len(runs) > OPEN:
            runs = self.chance.sample(runs, OPEN)
        for run in runs:
            offer, blocked = self._of(run), self._ties.all_blocked(run)
            free = np.flatnonzero(blocked == blocked.min())
            factor = shaken()
            for side in (0, 1):
                sizes = (offer.right if side else offer.left)[free]
                worth = (offer.by_right if side else offer.by_left)[free] * factor
                better = np.flatnonzero(worth > ends[side][sizes])
                better = better[np.argsort(worth[better], kind="stable")]
                ends[side][sizes[better]] = worth[better]
                offered[side].append((run, sizes[better], free[better]))

    def _close_bar(
        self,
        plain: list[int],
        left_of: tuple[int, int] | None,
        right_of: tuple[int, int] | None,
        known: int | None = None,
    ) -> bool:
        """Put pieces into a bar; a run that offered one takes that way.

        Parameters
        ----------
        known
            A stock that is known to hold them.
        """
        content = sum(int(self.core.sizes[kind]) for kind in plain)
        runs = [-1, -1]
        for side, owner in ((1, right_of), (0, left_of)):
            if owner is None:
                continue
            run, way = owner
            if way >= 0:
                if self.way[run] >= 0:  # it offered both ends, and took another way
                    continue
                if right_of and self._ties.blocked(run, way) > self._ties.least(run):
                    continue  # the other piece of this bar is in its way
                self._decide(run, way)
            offer = self._of(run)
            content += int((offer.right if side else offer.left)[self.way[run]])
            (self._want_right if side else self._want_left).discard(run)
            runs[side] = run
        if not content:
            return False
        choices = [
            (self.prices[stock], stock)
            for stock, capacity in enumerate(self.core.caps)
            if (capacity >= content or stock == known)
            and (self.supply[stock] is None or self.used[stock] < (self.supply[stock] or 0))
        ]
        if not choices:
            return False
        price, stock = min(choices)
        content = min(content, self.core.caps[stock])
        for kind in plain:
            self._missing[kind] -= 1
        for run, of_bar in ((runs[0], self._bar_of_left), (runs[1], self._bar_of_right)):
            if run >= 0:
                of_bar[run] = self._next
        worth = sum(float(self._plain[kind]) for kind in plain)
        for run, values, side in ((runs[0], self._left, 0), (runs[1], self._right, 1)):
            if run >= 0:
                offer = self._of(run)
                worth += float(values[(offer.right if side else offer.left)[self.way[run]]])
        room = 1 - content / self.core.caps[stock]
        bonus = SHAPE * price * room * room
        self._bonus += bonus
        self.bars[self._next] = FilledBar(
            stock, content, tuple(plain), runs[0], runs[1], price - worth, bonus
        )
        self._next += 1
        self.used[stock] += 1
        self.cost += price
        return True

    def _empty(self, number: int) -> None:
        bar = self.bars.pop(number)
        self._bonus -= bar.bonus
        self.cost -= self.prices[bar.stock]
        self.used[bar.stock] -= 1
        for kind in bar.plain:
            self._missing[kind] += 1
        if bar.left >= 0:
            self._want_left.add(bar.left)
            self._bar_of_left[bar.left] = -1
        if bar.right >= 0:
            self._want_right.add(bar.right)
            self._bar_of_right[bar.right] = -1

    def ruin(self, many: int) -> None:
        """Empty some bars, those that waste most and their neighbours first."""
        chance = self.chance
        numbers = sorted(self.bars)
        weights = [max(self.bars[number].loss, 0.0) + 0.02 for number in numbers]
        chosen = set(chance.choices(numbers, weights, k=max(2, many // 2)))
        path = sorted(chosen)
        holders: dict[int, list[int]] = {}
        loose: list[int] = []
        if not self.core.has_ends and self.runs:
            for number in numbers:
                for kind in set(self.bars[number].plain):
                    holders.setdefault(kind, []).append(number)
        for _ in range(4 * many):
            if len(chosen) >= min(many, len(numbers)):
                break
            if holders and chance.random() < 0.8:
                run = chance.randrange(self.runs)
                loose.append(run)
                for kind in self._of(run).plain[self.way[run]]:
                    chosen.add(chance.choice(holders[kind]))
                continue
            bar = self.bars[chance.choice(path)]
            linked = [
                of_bar[run]
                for run, of_bar in (
                    (bar.left, self._bar_of_right),
                    (bar.right, self._bar_of_left),
                )
                if run >= 0 and of_bar[run] >= 0
            ]
            if linked and chance.random() < 0.7:
                number = chance.choice(linked)
                path.append(number)
            else:
                number = chance.choice(numbers)
            chosen.add(number)
        for number in sorted(chosen):
            self._empty(number)
        if self.core.has_ends:
            for run in sorted(self._want_left & self._want_right):
                self._undo(run)
            return
        others = list(range(self.runs))
        chance.shuffle(others)
        for run in dict.fromkeys((*loose, *others)):
            kinds = self._of(run).plain[self.way[run]]
            if all(self._missing[kind] >= kinds.count(kind) for kind in kinds):
                self._undo(run)

    def energy(self) -> float:
        """Rank plans: cost, broken rules, and one large offcut before two small ones."""
        return self.cost + BROKEN * (self.broken + self.beyond) - self._bonus

    def ways(self) -> list[int]:
        """Give for every run a way of its class."""
        return [int(self._of(run).rows[way]) for run, way in enumerate(self.way)]

    def load(self, rows: Sequence[int], cut: CutPlan) -> bool:
        """Begin from a plan; False where a way of it was thinned out or nothing fits."""
        core = self.core
        chosen = []
        for run, row in enumerate(rows):
            at = np.flatnonzero(self._of(run).rows == core.way(run, row))
            if not len(at):
                return False
            chosen.append(int(at[0]))
        for run, way in enumerate(chosen):
            self._decide(run, way)
        kinds = {length: kind for kind, length in enumerate(core.lengths)}
        waiting: dict[tuple[int, Ends], list[int]] = {}
        for run, row in enumerate(rows):
            ways = core.problem.runs[run].ways
            for length, end in zip(ways.lengths[row].tolist(), ways.ends, strict=True):
                if length and end is not Ends.NONE:
                    waiting.setdefault((length, end), []).append(run)
        for pattern in cut.patterns:
            for _ in range(pattern.count):
                plain: list[int] = []
                ends: dict[Ends, tuple[int, int]] = {}
                for index, many in pattern.pieces:
                    piece = cut.problem.pieces[index]
                    if piece.ends is Ends.NONE:
                        plain += [kinds[piece.length]] * many
                    elif piece.ends is not Ends.BOTH:
                        ends[piece.ends] = (waiting[piece.length, piece.ends].pop(), -1)
                # What is cut already fits, even where rounding says that it does not.
                if (plain or ends) and not self._close_bar(
                    sorted(plain), ends.get(Ends.LEFT), ends.get(Ends.RIGHT), pattern.stock
                ):
                    return False
        return self.is_whole

    # Coming back.

    def state(self) -> State:
        """Give all that changes, to come back to."""
        return (
            list(self.way), dict(self.bars), list(self._bar_of_left),
            list(self._bar_of_right), list(self._missing), set(self._open),
            set(self._want_left), set(self._want_right), list(self.used), self.cost,
            self._bonus,
        )  # fmt: skip

    def come_back(self, state: State) -> None:
        """Come back to a state."""
        changed = [
            (run, now, then)
            for run, (now, then) in enumerate(zip(self.way, state[0], strict=True))
            if now != then
        ]
        for run, now, _ in changed:
            if now >= 0:
                self._ties.take(run, now)
        for run, _, then in changed:
            if then >= 0:
                self._ties.give(run, then)
        way, bars, left, right, missing, open_, want_left, want_right, used, cost, bonus = state
        self.way, self.bars = list(way), dict(bars)
        self._bar_of_left, self._bar_of_right = list(left), list(right)
        self._missing, self._open = list(missing), set(open_)
        self._want_left, self._want_right = set(want_left), set(want_right)
        self.used, self.cost, self._bonus = list(used), cost, bonus


def _owner(
    size: int, waiting: dict[int, tuple[int, int]], offered: list[tuple[int, Whole, Whole]]
) -> tuple[int, int] | None:
    """Find whose piece it is that takes so much: the last one that offered it."""
    if not size:
        return None
    for run, sizes, ways in reversed(offered):
        at = np.flatnonzero(sizes == size)
        if len(at):
            return run, int(ways[at[-1]])
    return waiting[size]
