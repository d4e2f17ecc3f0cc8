"""Stock of which there is only so much, and what a plan leaves of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lapwright_cli.reports.writing import plain, role_words, stock_words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.job.material import StockLength
    from lapwright.plan import Plan

ON_HAND_HEADING = "On hand, or only so many to be had"


@dataclass(frozen=True, slots=True)
class OnHand:
    """A stock length of which there is only so much."""

    role: str
    material: str
    stock: int
    """[ticks]"""
    supply: int
    """So many are to be had."""
    used: int
    """So many the plan cuts."""
    free: bool = False
    """Whether it is there already."""

    @property
    def left(self) -> int:
        """So many the plan leaves."""
        return self.supply - self.used


def on_hand(plan: Plan) -> tuple[OnHand, ...]:
    """List the stock lengths that the job sets a limit to, in its order."""
    taken = {
        (material.role, material.name, line.stock): line.count
        for material in plan.materials
        for line in material.order
    }
    return tuple(
        OnHand(
            role,
            name,
            int(entry.length),
            entry.supply,
            taken.get((role, name, entry.length), 0),
            entry.is_on_hand,
        )
        for role, name, stock in _stock(plan)
        for entry in stock
        if entry.supply is not None
    )


def on_hand_lines(plan: Plan) -> tuple[str, ...]:
    """Say of each what is to be had, planned and left."""
    return tuple(
        f"{role_words(each.role)}: {plain(each.material)},"
        f" {stock_words(each.stock, plan.job.unit)}: {each.supply} {_how(each)},"
        f" {each.used} planned, {each.left} left"
        for each in on_hand(plan)
    )


def _how(each: OnHand) -> str:
    return "on hand" if each.free else "to be had"


def _stock(plan: Plan) -> Iterator[tuple[str, str, tuple[StockLength, ...]]]:
    for siding in plan.job.sidings:
        yield "siding", siding.name, siding.stock
    for trim in plan.job.trim:
        yield trim.role.value, trim.name, trim.stock
