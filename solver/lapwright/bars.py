"""From pieces to bars: the cutting of one material, and what to order for it."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lapwright.cutting import Ends, Piece, Problem, Stock, solve
from lapwright.errors import NoPlanError
from lapwright.measure import Ticks, write_length
from lapwright.plan import Bar, BarCut, MaterialPlan, OrderLine

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction

    from lapwright.cutting import CutPlan, Pattern, Watcher
    from lapwright.job.material import StockLength
    from lapwright.measure import Unit


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


def cut_material(
    material: Material,
    wants: Sequence[Want],
    *,
    first_number: int,
    spare: Fraction,
    unit: Unit,
    time_limit: float | None,
    watcher: Watcher | None,
) -> MaterialPlan:
    """Cut one material.

    Parameters
    ----------
    material
        Its stock lengths and the kerf.
    wants
        Its pieces, in the order of hanging; at least one.
    first_number
        Number of its first bar.
    spare
        Share of each count to order beyond it.
    unit
        For lengths in messages.
    time_limit
        For the search, None for no limit. [seconds]
    watcher
        Hears how the search comes on.

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
                f"{material.name}: piece {want.label} of {write_length(want.length, unit)} is"
                f" longer than every stock length (longest {write_length(longest, unit)})"
                for want in long
            )
        )
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
    try:
        plan = solve(problem, time_limit=time_limit, watcher=watcher)
    except NoPlanError as error:
        raise NoPlanError(*(f"{material.name}: {reason}" for reason in error.reasons)) from None
    used = plan.bars_of_stock
    return MaterialPlan(
        role=material.role,
        name=material.name,
        status=plan.status.value,
        bound=plan.bound,
        cost=plan.cost,
        priced=priced,
        order=tuple(
            OrderLine(s.length, count, math.ceil(count * spare), s.carton, s.price)
            for s, count in zip(material.stock, used, strict=True)
            if count
        ),
        bars=_bars(plan, wants, first_number),
    )


def _label(wants: Sequence[Want], length: int, ends: Ends) -> str:
    """Name a kind of piece by the first that is of it."""
    return next(want.label for want in wants if (want.length, want.ends) == (length, ends))


def _bars(plan: CutPlan, wants: Sequence[Want], first_number: int) -> tuple[Bar, ...]:
    """Hand the pieces out to the bars, and number the bars in the order of cutting.

    Bars that are cut alike come one after the other; the kind of bar that holds the
    piece that is hung first comes first.
    """
    waiting: dict[tuple[int, Ends], list[Want]] = {}
    for want in reversed(wants):
        waiting.setdefault((want.length, want.ends), []).append(want)
    place = {want.label: position for position, want in enumerate(wants)}
    alike = [
        [
            (
                Ticks(plan.problem.stock[pattern.stock].length),
                _cuts(plan.problem, pattern, waiting),
                plan.offcut(pattern),
            )
            for _ in range(pattern.count)
        ]
        for pattern in sorted(plan.patterns, key=lambda p: (-p.count, p.stock, p.pieces))
    ]
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
