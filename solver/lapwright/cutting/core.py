"""The problem in its smallest whole numbers, and the way back.

The kerf is added to every piece and to every bar, which turns the rule of the saw
into a plain knapsack: pieces fit if and only if the sum of (length + kerf) is at most
bar + kerf.  Pieces of one length and one end need are one item; lengths are divided
by their greatest common divisor, costs likewise; a bar is shortened to what its
pieces can fill at most.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from math import gcd
from typing import TYPE_CHECKING

from lapwright.cutting.problem import Ends, Problem
from lapwright.errors import NoPlanError

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from lapwright.cutting.pool import Whole


@dataclass(frozen=True)
class Bin:
    """A stock length as the engine sees it."""

    stock: int
    """Index into the stock of the problem, or -1 for a bar that does not exist."""
    capacity: int
    cost: int
    supply: int | None


@dataclass(frozen=True)
class Core:
    """Items and bins, all lengths and costs free of common divisors.

    The items that need no factory end come first, then those that keep the left
    end, then those that keep the right end; within each the longest first.
    """

    lengths: tuple[int, ...]
    demand: tuple[int, ...]
    plain: int
    """How many items need no factory end; they are the first ones."""
    left: int
    """How many items keep the left end; they follow the plain ones."""
    bins: tuple[Bin, ...]
    cost_unit: int
    """What a cost of 1 is worth in the problem."""

    @cached_property
    def material(self) -> int:
        """All items laid end to end."""
        pairs = zip(self.lengths, self.demand, strict=True)
        return sum(length * count for length, count in pairs)

    @cached_property
    def pieces(self) -> int:
        """How many pieces there are."""
        return sum(self.demand)

    @cached_property
    def capacity(self) -> int:
        """The capacity of the longest bin."""
        return max(bin_.capacity for bin_ in self.bins)

    @cached_property
    def is_single(self) -> bool:
        """Whether there is one bin only, of which there are as many as wanted."""
        return len(self.bins) == 1 and self.bins[0].supply is None

    @property
    def rights(self) -> range:
        """The items that keep the right end."""
        return range(self.plain + self.left, len(self.lengths))

    @property
    def lefts(self) -> range:
        """The items that keep the left end."""
        return range(self.plain, self.plain + self.left)


@dataclass(frozen=True)
class Frame:
    """The core of a problem, and what was set aside to get there."""

    problem: Problem
    core: Core | None
    """None where whole bars are all that is wanted."""
    members: tuple[tuple[int, ...], ...]
    """For each item the pieces of the problem that it stands for."""
    whole: tuple[tuple[int, int, int], ...]
    """Stock, piece and count of the pieces that are whole bars."""

    @property
    def whole_cost(self) -> int:
        """What the whole bars cost [the unit of the costs]."""
        stock = self.problem.stock
        return sum(stock[index].cost * count for index, _, count in self.whole)


_ORDER = (Ends.NONE, Ends.LEFT, Ends.RIGHT)


def frame(problem: Problem) -> Frame:
    """Reduce a problem to its core.

    Raises
    ------
    NoPlanError
        A piece is longer than every stock length, or a piece that keeps both ends
        is as long as no stock length or as too few bars.
    """
    _refuse_long_pieces(problem)
    supply = [stock.supply for stock in problem.stock]
    whole = _set_whole_bars_aside(problem, supply)

    items: dict[tuple[int, int], list[int]] = {}
    for index, piece in enumerate(problem.pieces):
        if piece.ends is not Ends.BOTH:
            key = (_ORDER.index(piece.ends), -(piece.length + problem.kerf))
            items.setdefault(key, []).append(index)
    if not items:
        return Frame(problem, None, (), whole)
    keys = sorted(items)
    unit = gcd(*(length for _, length in keys))
    lengths = tuple(-length // unit for _, length in keys)
    demand = tuple(sum(problem.pieces[i].count for i in items[key]) for key in keys)
    plain = sum(end == 0 for end, _ in keys)
    left = sum(end == 1 for end, _ in keys)

    sums = _reachable(lengths, demand, plain, left, unit, problem)
    bins = []
    for index, stock in enumerate(problem.stock):
        room = (stock.length - problem.trim + problem.kerf) // unit
        capacity = (sums & ((1 << (room + 1)) - 1)).bit_length() - 1 if room > 0 else 0
        if capacity >= min(lengths) and supply[index] != 0:
            bins.append(Bin(index, capacity, stock.cost, supply[index]))
    bins = _useful(bins)
    if not any(b.supply is None and b.capacity >= max(lengths) for b in bins):
        bins.append(_missing(bins, lengths, demand))
    cost_unit = gcd(*(b.cost for b in bins)) or 1
    bins = [Bin(b.stock, b.capacity, b.cost // cost_unit, b.supply) for b in bins]
    bins.sort(key=lambda b: (-b.capacity, b.cost, b.stock))
    core = Core(lengths, demand, plain, left, tuple(bins), cost_unit)
    return Frame(problem, core, tuple(tuple(items[key]) for key in keys), whole)


def bars_from(
    framed: Frame, bars: Iterable[tuple[int, Sequence[int]]]
) -> list[tuple[int, Whole]]:
    """Put bars into bins and counts of items, those alone that can be cut.

    Parameters
    ----------
    bars
        Of each its stock and its pieces, by their places in the problem; what is more
        than is wanted is left out.
    """
    import numpy as np

    core = framed.core
    if core is None:
        return []
    item_of = {piece: item for item, some in enumerate(framed.members) for piece in some}
    bin_of = {b.stock: k for k, b in enumerate(core.bins)}
    lengths, demand = np.array(core.lengths), np.array(core.demand)
    found = []
    for stock, pieces in bars:
        bin_, items = bin_of.get(stock), [item_of.get(piece, -1) for piece in pieces]
        if bin_ is None or -1 in items:
            continue
        counts = np.minimum(np.bincount(items, minlength=len(lengths)), demand)
        is_cut = counts @ lengths <= core.bins[bin_].capacity
        ends = (core.lefts, core.rights)
        if is_cut and all(counts[some.start : some.stop].sum() <= 1 for some in ends):
            found.append((bin_, counts))
    return found


def limited(core: Core, many: Sequence[int]) -> Core:
    """Give the same core with so many bars of each of its bins, and no more."""
    bins = [replace(each, supply=there) for each, there in zip(core.bins, many, strict=True)]
    bins = [each for each in bins if each.supply]
    bins.append(_missing(bins, core.lengths, core.demand))
    bins.sort(key=lambda b: (-b.capacity, b.cost, b.stock))
    return replace(core, bins=tuple(bins))


def _missing(bins: Sequence[Bin], lengths: Sequence[int], demand: Sequence[int]) -> Bin:
    """Give a bar that does not exist, so dear that one more of it costs more than all the rest.

    There is no plan if and only if the cheapest plan has one.
    """
    dear = sum(b.cost * (b.supply or sum(demand)) for b in bins)
    dear += gcd(*(b.cost for b in bins)) or 1
    return Bin(-1, max([*(b.capacity for b in bins), *lengths]), dear, None)


def _refuse_long_pieces(problem: Problem) -> None:
    """Name every piece that no stock length can yield."""
    rooms = [s.length - problem.trim for s in problem.stock if s.supply != 0]
    longest = max(rooms, default=0)
    reasons = []
    for index, piece in enumerate(problem.pieces):
        name = f"piece {index + 1}" + (f" ({piece.label})" if piece.label else "")
        if piece.length > longest:
            reasons.append(
                f"{name} of length {piece.length} is longer than every stock length"
                f" on hand (longest {longest})"
            )
        elif piece.ends is Ends.BOTH and piece.length not in rooms:
            reasons.append(
                f"{name} of length {piece.length} keeps both factory ends,"
                " but no stock length is exactly so long"
            )
    if reasons:
        raise NoPlanError(*reasons)


def _set_whole_bars_aside(
    problem: Problem, supply: list[int | None]
) -> tuple[tuple[int, int, int], ...]:
    """Give whole bars to the pieces that are whole bars, and lower the supply.

    Bars of one length are interchangeable, so the cheapest may go first.
    """
    taken = []
    for index, piece in enumerate(problem.pieces):
        if piece.ends is not Ends.BOTH:
            continue
        wanted = piece.count
        fitting = [k for k, s in enumerate(problem.stock) if s.length == piece.length]
        for k in sorted(fitting, key=lambda k: (problem.stock[k].cost, k)):
            there = supply[k]
            many = wanted if there is None else min(wanted, there)
            if many:
                taken.append((k, index, many))
            if there is not None:
                supply[k] = there - many
            wanted -= many
        if wanted:
            name = f"piece {index + 1}" + (f" ({piece.label})" if piece.label else "")
            raise NoPlanError(
                f"{name} needs {piece.count} whole bars of length {piece.length},"
                f" {wanted} more than there are"
            )
    return tuple(taken)


def _reachable(
    lengths: tuple[int, ...],
    demand: tuple[int, ...],
    plain: int,
    left: int,
    unit: int,
    problem: Problem,
) -> int:
    """Mark every total length that the pieces of one bar can have, as bits.

    Returns
    -------
    int
        Bit c is set if pieces that may share a bar can have the total length c.
    """
    longest = max(stock.length for stock in problem.stock)
    room = (longest - problem.trim + problem.kerf) // unit
    mask = (1 << (room + 1)) - 1
    sums = 1
    for one in (range(plain, plain + left), range(plain + left, len(lengths))):
        start = sums
        for item in one:
            sums |= start << lengths[item]
    sums &= mask
    for item in range(plain):
        left_over = min(demand[item], room // lengths[item])
        step = 1
        while left_over > 0:
            many = min(step, left_over)
            sums |= (sums << (lengths[item] * many)) & mask
            left_over -= many
            step *= 2
    return sums


def _useful(bins: list[Bin]) -> list[Bin]:
    """Leave out every bin that an unlimited one betters in length and in cost."""
    kept = []
    for b in bins:
        rank = (b.cost, -b.capacity, b.stock)
        if not any(
            o.supply is None
            and o.capacity >= b.capacity
            and o.cost <= b.cost
            and (o.cost, -o.capacity, o.stock) < rank
            for o in bins
        ):
            kept.append(b)
    return kept
