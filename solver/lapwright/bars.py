"""From pieces to bars: the cutting of one material, and what to order for it."""

from __future__ import annotations

import math
import time
from collections import Counter
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING, Protocol

from lapwright.cutting import Ends, Piece, Problem, Stock, solve, with_few_open_stacks
from lapwright.errors import NoPlanError
from lapwright.job.material import MONEY
from lapwright.joint.plan import with_fewer_setups
from lapwright.measure import Ticks, write_length
from lapwright.plan import Bar, BarCut, MaterialPlan, OrderLine

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from fractions import Fraction

    from lapwright.cutting import CutPlan, Pattern
    from lapwright.job.material import StockLength
    from lapwright.joint.plan import JointPlan
    from lapwright.measure import Unit


_MOST_CHOSEN_FROM = 4
"""Of more stock lengths than this no choices are tried: they are too many."""


@dataclass(frozen=True, slots=True)
class Want:
    """One piece that a material must yield."""

    label: str
    length: Ticks
    ends: Ends = Ends.NONE


@dataclass(frozen=True, slots=True)
class Material:
    """What a material is cut from."""

    role: str
    name: str
    stock: tuple[StockLength, ...]
    kerf: Ticks


@dataclass(frozen=True, slots=True)
class Terms:
    """On what terms a material is cut and bought."""

    spare: Fraction
    """Share of each count to order beyond it."""
    unit: Unit
    """For lengths in messages."""
    until: float | None
    """When to stop searching, by the monotonic clock; None for no limit. [seconds]"""
    watcher: SearchWatcher
    saw: Saw


@dataclass(frozen=True, slots=True)
class Saw:
    """How the saw operator wants the bars."""

    few_stacks: bool = False
    """Bars in an order that keeps few kinds of piece waiting, not as they are hung."""
    fewer_setups: float = 0.0
    """How long to look for fewer set-ups at the same cost. [seconds]"""


class SearchWatcher(Protocol):
    """Hears in words how the search for each material comes on."""

    def hear(self, stage: str, seconds: float, best: str | None, bound: str) -> None:
        """Hear the stage, the seconds so far, the best cost yet, and the bound."""


@dataclass(frozen=True, slots=True)
class Translator:
    """Tells a watcher the whole numbers of a search as money or length."""

    watcher: SearchWatcher
    name: str
    priced: bool
    unit: Unit

    def hear(self, stage: str, seconds: float, best: int | None, bound: int) -> None:
        """Pass on what the search says."""
        found = None if best is None else self._words(best)
        self.watcher.hear(f"{self.name}, {stage}", seconds, found, self._words(bound))

    def _words(self, cost: int) -> str:
        return f"{cost / MONEY:.2f}" if self.priced else write_length(cost, self.unit)


def cut_material(
    material: Material,
    wants: Sequence[Want],
    first_number: int,
    terms: Terms,
    joint: JointPlan | None = None,
) -> tuple[MaterialPlan, tuple[str, ...]]:
    """Cut one material, and choose the stock lengths that are cheapest to buy.

    A cutting that costs least may take a whole carton of one stock length for a piece or
    two.  So where a material is priced and sold in cartons, cuttings that leave stock
    lengths out are tried as well, and what costs least to buy is taken.

    Parameters
    ----------
    material
        Its stock lengths and the kerf.
    wants
        Its pieces, in the order of hanging; at least one.
    first_number
        Number of its first bar.
    terms
        Spare, unit and time.
    joint
        How its pieces were decided together with their cutting, if they were.

    Returns
    -------
    plan : MaterialPlan
        Its bound and status speak of the stock lengths that it takes.
    notes : tuple of str
        What the crew must know of the choice.

    Raises
    ------
    NoPlanError
        A piece is longer than every stock length, or there is too little stock.
    """
    longest = max(stock.length for stock in material.stock)
    long = [want for want in wants if want.length > longest]
    if long:
        raise NoPlanError(
            *(
                f"{material.name}: piece {want.label} of"
                f" {write_length(want.length, terms.unit)} is longer than every stock length"
                f" (longest {write_length(longest, terms.unit)})"
                for want in long
            )
        )
    if joint is None:
        whole = _cut(material, wants, first_number, terms)
    else:
        whole = _hand_out(material, wants, first_number, terms, joint)
    best = whole
    for stock in _fewer(material, wants):
        part = Material(material.role, material.name, stock, material.kerf)
        try:
            other = _cut(part, wants, first_number, terms)
        except NoPlanError:  # counted supply that the others would have to make up
            continue
        if _to_buy(other) < _to_buy(best):
            best = other
    if best is whole:
        return whole, ()
    kept = {line.stock for line in best.order}
    left_out = [line.stock for line in whole.order if line.stock not in kept]
    saved = (_to_buy(whole)[0] - _to_buy(best)[0]) / MONEY
    lengths = ", ".join(write_length(length, terms.unit) for length in left_out)
    note = (
        f"{material.name}: {lengths} left out; with whole cartons and spare the order costs"
        f" {saved:.2f} less without it"
    )
    return best, (note,)


def _to_buy(plan: MaterialPlan) -> tuple[int, int, int]:
    """Rank a plan by what is paid for it, then by what it cuts, then by stock lengths."""
    bought = sum(line.cost or 0 for line in plan.order)
    return bought, plan.cost, len(plan.order)


def _fewer(material: Material, wants: Sequence[Want]) -> Iterator[tuple[StockLength, ...]]:
    """List choices of fewer stock lengths, where cartons may make one worth while."""
    stock = material.stock
    cartons = any(s.carton is not None for s in stock)
    if not cartons or stock[0].price is None or len(stock) > _MOST_CHOSEN_FROM:
        return
    longest = max(want.length for want in wants)
    whole = {want.length for want in wants if want.ends is Ends.BOTH}
    for count in range(len(stock) - 1, 0, -1):
        for chosen in combinations(stock, count):
            lengths = {s.length for s in chosen}
            if max(lengths) >= longest and whole <= lengths:
                yield chosen


def _cut(
    material: Material, wants: Sequence[Want], first_number: int, terms: Terms
) -> MaterialPlan:
    priced = all(stock.price is not None for stock in material.stock)
    kinds = Counter((want.length, want.ends) for want in wants)
    order = sorted(kinds, key=lambda kind: (-kind[0], kind[1].value))
    problem = Problem(
        pieces=tuple(
            Piece(length, kinds[length, ends], ends, _label(wants, length, ends))
            for length, ends in order
        ),
        stock=tuple(
            Stock(s.length, (s.price or 0) if priced else s.length, s.supply)
            for s in material.stock
        ),
        kerf=material.kerf,
    )
    left = None if terms.until is None else max(terms.until - time.monotonic(), 0.0)
    try:
        watcher = Translator(terms.watcher, material.name, priced, terms.unit)
        plan = solve(problem, time_limit=left, watcher=watcher, tidy=terms.saw.fewer_setups)
    except NoPlanError as error:
        raise NoPlanError(*(f"{material.name}: {reason}" for reason in error.reasons)) from None
    return _planned(material, plan, _bars(plan, wants, first_number, terms), terms)


def _hand_out(
    material: Material,
    wants: Sequence[Want],
    first_number: int,
    terms: Terms,
    joint: JointPlan,
) -> MaterialPlan:
    """Take the cutting that was decided together with the seams."""
    if terms.saw.fewer_setups:
        left = None if terms.until is None else max(terms.until - time.monotonic(), 0.0)
        joint = with_fewer_setups(joint, left, terms.saw.fewer_setups)
    bars = _bars(joint.cut, wants, first_number, terms)
    made = _planned(material, joint.cut, bars, terms)
    problem = joint.problem
    limited = problem.seam_price or problem.most_seams is not None
    return replace(
        made,
        status=joint.status.value,
        # A plan with no more seams has no more of their weight in the bound.
        bound=max(0, joint.bound - problem.seam_price * joint.seams),
        seams_too=problem.is_listed,
        least_seams=problem.least_seams if limited else None,
    )


def _planned(
    material: Material, plan: CutPlan, bars: tuple[Bar, ...], terms: Terms
) -> MaterialPlan:
    return MaterialPlan(
        role=material.role,
        name=material.name,
        status=plan.status.value,
        bound=plan.bound,
        cost=plan.cost,
        priced=all(stock.price is not None for stock in material.stock),
        order=tuple(
            OrderLine(
                s.length,
                count,
                # Nobody sells more of a leftover.
                0 if s.is_on_hand else math.ceil(count * terms.spare),
                s.carton,
                s.price,
                s.is_on_hand,
            )
            for s, count in zip(material.stock, plan.bars_of_stock, strict=True)
            if count
        ),
        bars=bars,
    )


def _label(wants: Sequence[Want], length: int, ends: Ends) -> str:
    """Name a kind of piece by the first that is of it."""
    return next(want.label for want in wants if (want.length, want.ends) == (length, ends))


def _bars(
    plan: CutPlan, wants: Sequence[Want], first_number: int, terms: Terms
) -> tuple[Bar, ...]:
    """Hand the pieces out to the bars, and number the bars in the order of cutting.

    Bars that are cut alike come one after the other.  The kind of bar that holds the
    piece that is hung first comes first, unless few stacks are wanted beside the saw.
    """
    waiting: dict[tuple[int, Ends], list[Want]] = {}
    for want in reversed(wants):
        waiting.setdefault((want.length, want.ends), []).append(want)
    place = {want.label: position for position, want in enumerate(wants)}
    patterns = sorted(plan.patterns, key=lambda p: (-p.count, p.stock, p.pieces))
    if terms.saw.few_stacks:
        patterns = list(with_few_open_stacks(plan).patterns)
    alike = [
        [
            (
                Ticks(plan.problem.stock[pattern.stock].length),
                _cuts(plan.problem, pattern, waiting),
                plan.offcut(pattern),
            )
            for _ in range(pattern.count)
        ]
        for pattern in patterns
    ]
    if not terms.saw.few_stacks:
        alike.sort(key=lambda bars: min(place[cut.label] for bar in bars for cut in bar[1]))
    flat = [bar for bars in alike for bar in bars]
    return tuple(
        Bar(number, stock, cuts, Ticks(offcut))
        for number, (stock, cuts, offcut) in enumerate(flat, start=first_number)
    )


def _cuts(
    problem: Problem, pattern: Pattern, waiting: dict[tuple[int, Ends], list[Want]]
) -> tuple[BarCut, ...]:
    """Set the pieces of a pattern on a bar, from the left end."""
    rank = {Ends.LEFT: 0, Ends.BOTH: 0, Ends.NONE: 1, Ends.RIGHT: 2}
    kinds = [problem.pieces[index] for index, many in pattern.pieces for _ in range(many)]
    kinds.sort(key=lambda piece: (rank[piece.ends], -piece.length))
    stock = problem.stock[pattern.stock].length
    cuts = []
    x = 0
    for kind in kinds:
        if kind.ends is Ends.RIGHT:
            x = stock - kind.length
        label = waiting[kind.length, kind.ends].pop().label
        cuts.append(BarCut(label, Ticks(x), Ticks(x + kind.length)))
        x += kind.length + problem.kerf
    return tuple(cuts)
