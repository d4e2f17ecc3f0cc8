"""What a plan comes to, in the figures that an estimator compares."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from lapwright.job.field import job_of
from lapwright.takeoff.convention import estimates
from lapwright_cli.reports.sheets import crosscuts, setups
from lapwright_cli.reports.writing import kerf_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.plan import MaterialPlan, OrderLine, Plan

_HOUR = 60
"""[minutes]"""
_CENT = 100
"""[1/10000 of the currency]"""


@dataclass(frozen=True, slots=True)
class Convention:
    """What the estimating conventions would order of a siding."""

    material: str
    """Name of the siding."""
    longest: int
    """Its longest stock length. [ticks]"""
    pieces: tuple[tuple[str, int], ...]
    """Name of each convention, and how many of that length it orders."""


@dataclass(frozen=True, slots=True)
class Figures:
    """What a plan comes to."""

    panels: int
    """Stock lengths of siding that are cut."""
    bought: int
    """Stock lengths of siding that are bought, spare and whole cartons included."""
    stock: int
    """Length of those that are cut. [ticks]"""
    siding_cost: int | None
    """Of those that are bought; None where the job gives no price. [1/10000]"""
    order_cost: int | None
    """Of siding and trim; None where a price is missing. [1/10000]"""
    pieces: int
    """Of siding and trim."""
    seams: int
    offcut: Fraction
    """Share of the siding's stock that becomes offcut and kerf."""
    setups: int
    """Ways in which stock lengths of siding and trim are crosscut."""
    cuts: int
    """Crosscuts, slopes and rips; notches are not counted."""
    is_proven: bool
    """Whether the cutting of every material is."""
    gap: Fraction
    """Most that could still be saved of a material, as a share of its cost."""
    bound: int | None
    """No cutting of the siding costs less; None where only some siding has a price.
    [1/10000 or ticks]"""
    is_priced: bool
    """Whether the bound is money."""
    seams_too: bool
    """Whether the bound holds wherever the seams lie."""
    conventions: tuple[Convention, ...]
    """What the estimating conventions would order, of each siding."""
    minutes: Fraction | None
    """Of work, as far as the job says what work takes. [minutes]"""
    wages: int | None
    """What these cost; None where the job gives no rate. [1/10000]"""

    @property
    def by_area(self) -> tuple[int, ...]:
        """What each convention orders of all sidings together, as far as all know it."""
        counts = [dict(convention.pieces) for convention in self.conventions]
        if not counts:
            return ()
        first, *others = counts
        return tuple(
            sum(count[name] for count in counts)
            for name in first
            if all(name in count for count in others)
        )


def figures_of(plan: Plan) -> Figures:
    """Work out the figures of a plan."""
    siding = [m for m in plan.materials if m.role == "siding"]
    stock = sum(m.stock_total for m in siding)
    offcut = sum(m.offcut_total for m in siding)
    cuts = sum(_cuts(material, plan) for material in plan.materials)
    ways = sum(setups(material, kerf_of(material, plan)) for material in plan.materials)
    pieces, seams = len(plan.siding) + len(plan.trim), len(plan.seams)
    labour = plan.job.labour
    minutes = None if labour is None else labour.minutes(cuts, ways, pieces, seams)
    wages = None
    if labour is not None and minutes is not None and labour.rate_an_hour is not None:
        # Work is reckoned, not billed: whole cents are near enough.
        wages = round(minutes / _HOUR * labour.rate_an_hour / _CENT) * _CENT
    return Figures(
        panels=sum(len(m.bars) for m in siding),
        bought=sum(line.bought for m in siding for line in m.order),
        stock=stock,
        siding_cost=_cost([line for m in siding for line in m.order]),
        order_cost=_cost([line for m in plan.materials for line in m.order]),
        pieces=pieces,
        seams=seams,
        offcut=Fraction(offcut, stock) if stock else Fraction(0),
        setups=ways,
        cuts=cuts,
        is_proven=all(m.status == "proven" for m in plan.materials),
        gap=max(
            (Fraction(m.cost - m.bound, m.cost) for m in plan.materials if m.cost),
            default=Fraction(0),
        ),
        bound=sum(m.bound for m in siding) if len({m.priced for m in siding}) == 1 else None,
        is_priced=all(m.priced for m in siding),
        seams_too=all(m.seams_too for m in siding),
        conventions=tuple(_conventions(plan)),
        minutes=minutes,
        wages=wages,
    )


def _conventions(plan: Plan) -> Iterator[Convention]:
    for siding in plan.job.sidings:
        made = estimates(job_of(plan.job, siding))
        if made:
            pieces = tuple((e.convention.name, e.pieces) for e in made)
            yield Convention(siding.name, siding.longest, pieces)


def _cuts(material: MaterialPlan, plan: Plan) -> int:
    """Count the cuts at the saw: across, along a slope, and along a whole piece."""
    kerf = kerf_of(material, plan)
    count = sum(len(crosscuts(bar, kerf)) for bar in material.bars)
    own = {cut.label for bar in material.bars for cut in bar.cuts}
    for piece in plan.siding:
        if piece.label in own:
            count += bool(piece.left.profile) + bool(piece.right.profile) + piece.ripped
    return count


def _cost(lines: list[OrderLine]) -> int | None:
    costs = [line.cost for line in lines if line.cost is not None]
    return sum(costs) if len(costs) == len(lines) else None
