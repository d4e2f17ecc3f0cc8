"""The order as a workbook: siding, trim, what is counted by rule, what is on hand."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from lapwright.job.material import MONEY
from lapwright.measure import Unit
from lapwright_cli.paper import Paper, paper_for
from lapwright_cli.reports.onhand import on_hand
from lapwright_cli.reports.shortage import shortages
from lapwright_cli.reports.workbook import Cell, Table, workbook_bytes
from lapwright_cli.reports.writing import (
    assumptions,
    bound_words,
    heading,
    notices,
    plain,
    role_words,
    stock_words,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.plan import MaterialPlan, Plan
    from lapwright.variant import Without

_EACH, _COST = 10, 11
"""Positions of the columns of money in an order."""


def order_xlsx(
    plan: Plan, paper: Paper | None = None, without: Sequence[Without] = ()
) -> bytes:
    """Write the order as a workbook, the same bytes for the same plan.

    Parameters
    ----------
    plan
        A checked plan.
    paper
        What its sheets are set up for; the one that goes with the job's unit, if not given.
    without
        Its materials cut again without each of their stock lengths, as far as tried.
    """
    siding = [m for m in plan.materials if m.role == "siding"]
    trim = [m for m in plan.materials if m.role != "siding"]
    tables = [
        _order("Order", siding, plan),
        _order("Trim", trim, plan),
        Table(
            "Counted by rule",
            ("what", "quantity", "unit", "how it was counted"),
            tuple((s.name, s.quantity, s.unit, plain(s.how)) for s in plan.supplies),
        ),
        _on_hand(plan),
        _notes(plan, without),
    ]
    title = f"Order: {plain(plan.job.name)}"
    return workbook_bytes(tables, title, paper or paper_for(plan.job.unit))


def _order(name: str, materials: Sequence[MaterialPlan], plan: Plan) -> Table:
    unit, money = _tape(plan), f" [{plain(plan.job.currency)}]" if plan.job.currency else ""
    rows: list[tuple[Cell, ...]] = [
        (
            role_words(material.role),
            plain(material.name),
            ("on hand: " if line.on_hand else "") + stock_words(line.stock, plan.job.unit),
            Fraction(line.stock, unit.ticks),
            line.count,
            line.spare,
            line.pieces,
            line.carton,
            line.cartons,
            line.bought,
            None if line.price is None else Fraction(line.price, MONEY),
            None if line.cost is None else Fraction(line.cost, MONEY),
        )
        for material in materials
        for line in material.order
    ]
    lines = [line for material in materials for line in material.order]
    costs = [line.cost for line in lines if line.cost is not None]
    total: tuple[Cell, ...] = (
        "Total",
        None if len(costs) == len(lines) else "without what has no price",
        None,
        None,
        *(sum(getattr(line, key) for line in lines) for key in ("count", "spare", "pieces")),
        None,
        None,
        sum(line.bought for line in lines),
        None,
        Fraction(sum(costs), MONEY) if costs else None,
    )
    return Table(
        name,
        (
            "use",
            "material",
            "sold as",
            f"stock length [{unit.value}]",
            "planned [pieces]",
            "spare [pieces]",
            "to have [pieces]",
            "in a carton [pieces]",
            "cartons",
            "to buy [pieces]",
            f"price each{money}",
            f"cost{money}",
        ),
        (*rows, total),
        frozenset({_EACH, _COST}),
        total=True,
    )


def _on_hand(plan: Plan) -> Table:
    """List the stock of which there is only so much, and what the plan leaves of it."""
    unit = _tape(plan)
    rows: list[tuple[Cell, ...]] = [
        (
            role_words(each.role),
            plain(each.material),
            ("on hand: " if each.free else "") + stock_words(each.stock, plan.job.unit),
            Fraction(each.stock, unit.ticks),
            each.supply,
            each.used,
            each.left,
        )
        for each in on_hand(plan)
    ]
    return Table(
        "On hand",
        (
            "use",
            "material",
            "sold as",
            f"stock length [{unit.value}]",
            "to be had [pieces]",
            "planned [pieces]",
            "left [pieces]",
        ),
        tuple(rows) or (("the job sets no limit to any stock length", *(None,) * 6),),
    )


def _notes(plan: Plan, without: Sequence[Without]) -> Table:
    """Collect what is words: proofs, shortages, findings, and what was assumed."""
    rows: list[tuple[Cell, ...]] = [
        (heading(material), bound_words(material, plan)) for material in plan.materials
    ]
    for shortage in shortages(without, plan):
        rows += [(shortage.heading, line) for line in shortage.lines]
    rows += [("to know", text) for text in notices(plan)]
    rows += assumptions(plan)
    return Table("Notes", ("about", "what"), tuple(rows))


def _tape(plan: Plan) -> Unit:
    return Unit.MILLIMETRE if plan.job.unit.is_metric else Unit.INCH
