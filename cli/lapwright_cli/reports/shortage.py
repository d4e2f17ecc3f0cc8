"""What takes the place of a stock length that cannot be had, in words for the purchaser."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from lapwright.variant import rules_broken, seams_of
from lapwright_cli.reports.writing import (
    heading,
    on_wall,
    plain,
    plural,
    price,
    stock_words,
)

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lapwright.plan import MaterialPlan, Plan
    from lapwright.variant import Without

SHORTAGE_HEADING = "If a stock length cannot be had (to buy, spare and whole cartons included)"
_MOST_REASONS = 2


@dataclass(frozen=True, slots=True)
class Shortage:
    """One material: how it is ordered, and what it comes to without a stock length."""

    heading: str
    lines: tuple[str, ...]


def shortages(without: Iterable[Without], plan: Plan) -> tuple[Shortage, ...]:
    """Say of each material what it comes to without each of its stock lengths."""
    found = []
    for _, group in groupby(without, key=lambda each: id(each.material)):
        tried = list(group)
        material = tried[0].material
        is_siding = material.role == "siding"
        seams = seams_of(plan, material.name) if is_siding else None
        broken = rules_broken(plan, material.name) if is_siding else 0
        lines = [f"as ordered: {_words(material, seams, broken, plan)}"]
        lines += [_line(each, plan) for each in tried]
        found.append(Shortage(heading(material), tuple(lines)))
    return tuple(found)


def to_buy(material: MaterialPlan) -> int:
    """Give what a material comes to, all that is bought: money where priced, else length."""
    if material.priced:
        return sum(line.cost or 0 for line in material.order)
    return sum(line.bought * line.stock for line in material.order)


def _line(each: Without, plan: Plan) -> str:
    unit = plan.job.unit
    start = f"without {stock_words(each.stock, unit)}:"
    if each.other is None:
        reasons = [plain(reason) for reason in each.reasons[:_MOST_REASONS]]
        more = len(each.reasons) - len(reasons)
        if more:
            reasons.append(f"and {plural(more, 'reason')} more")
        return f"{start} no plan: {'; '.join(reasons)}"
    change = to_buy(each.other) - to_buy(each.material)
    worth = _worth(abs(change), each.other, plan)
    words = f"{start} {_words(each.other, each.seams, each.broken, plan)}"
    words += f"; {worth} {'more' if change > 0 else 'less'}" if change else "; no dearer"
    return words


def _words(material: MaterialPlan, seams: int | None, broken: int, plan: Plan) -> str:
    counts = " + ".join(
        f"{line.bought} × {stock_words(line.stock, plan.job.unit)}"
        for line in material.order
        if not line.on_hand
    )
    words = [counts, _worth(to_buy(material), material, plan)]
    if seams is not None:
        words.append(plural(seams, "seam"))
    if broken:
        words.append(f"{plural(broken, 'rule')} broken")
    if material.status != "proven":
        words.append("the best found so far")
    return ", ".join(words)


def _worth(amount: int, material: MaterialPlan, plan: Plan) -> str:
    if material.priced:
        return price(amount, plan.job.currency)
    return f"{on_wall(amount, plan.job.unit)} of stock"
