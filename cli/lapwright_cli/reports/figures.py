"""What a plan comes to, in the figures that an estimator compares."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from lapwright.takeoff.convention import estimates
from lapwright_cli.reports.sheets import crosscuts, setups

if TYPE_CHECKING:
    from lapwright.plan import MaterialPlan, OrderLine, Plan

_HOUR = 60
"""[minutes]"""
_CENT = 100
"""[1/10000 of the currency]"""


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
    bound: int
    """No cutting of the siding costs less. [1/10000 or ticks]"""
    cutting: int
    """What the siding that is cut costs. [as `bound`]"""
    is_priced: bool
    """Whether bound and cutting are money."""
    material: str
    """Name of the siding."""
    longest: int
    """Its longest stock length. [ticks]"""
    by_area: tuple[tuple[str, int], ...]
    """What each estimating convention would order of the longest stock length."""
    minutes: Fraction | None
    """Of work, as far as the job says what work takes. [minutes]"""
    wages: int | None
    """What these cost; None where the job gives no rate. [1/10000]"""


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
        bound=sum(m.bound for m in siding),
        cutting=sum(m.cost for m in siding),
        is_priced=all(m.priced for m in siding),
        material=plan.job.siding.name,
        longest=plan.job.siding.longest,
        by_area=tuple((e.convention.name, e.pieces) for e in estimates(plan.job)),
        minutes=minutes,
        wages=wages,
    )


def _cuts(material: MaterialPlan, plan: Plan) -> int:
    """Count the cuts at the saw: across, along a slope, and along a whole piece."""
    kerf = kerf_of(material, plan)
    count = sum(len(crosscuts(bar, kerf)) for bar in material.bars)
    own = {cut.label for bar in material.bars for cut in bar.cuts}
    for piece in plan.siding:
        if piece.label in own:
            count += bool(piece.left.profile) + bool(piece.right.profile) + piece.ripped
    return count


def kerf_of(material: MaterialPlan, plan: Plan) -> int:
    """Give what the blade takes from a material. [ticks]"""
    rules = plan.job.rules
    return rules.siding_kerf if material.role == "siding" else rules.trim_kerf


def _cost(lines: list[OrderLine]) -> int | None:
    costs = [line.cost for line in lines if line.cost is not None]
    return sum(costs) if len(costs) == len(lines) else None
