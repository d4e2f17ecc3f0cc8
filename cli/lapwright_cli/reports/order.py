"""The order: what to buy, for a spreadsheet and for the terminal."""

from __future__ import annotations

import csv
import io
from fractions import Fraction
from typing import TYPE_CHECKING

from lapwright.measure import Unit, write_decimal
from lapwright_cli.reports.writing import (
    area,
    assumptions,
    bound_words,
    cost_words,
    notices,
    offcut_share,
    on_tape,
    on_wall,
    plain,
    price,
    price_number,
    role_words,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.plan import MaterialPlan, OrderLine, Plan

# A spreadsheet takes a cell that begins so for a formula.
_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n")


def order_csv(plan: Plan) -> str:
    """Write the order as comma-separated values (RFC 4180), one row a stock length.

    Returns
    -------
    str
        Lengths are decimal numbers in inches or millimetres as the heading says, money
        is bare numbers; a cell is empty where the job says nothing.
    """
    unit = Unit.MILLIMETRE if plan.job.unit.is_metric else Unit.INCH
    money = f" [{plain(plan.job.currency)}]" if plan.job.currency else ""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(
        (
            "use",
            "material",
            f"stock length [{unit.value}]",
            "pieces planned",
            "spare",
            "pieces to have",
            "pieces a carton",
            "cartons",
            "pieces bought",
            f"price each{money}",
            f"cost{money}",
        )
    )
    for material in plan.materials:
        for line in material.order:
            writer.writerow(
                (
                    _safe(role_words(material.role)),
                    _safe(plain(material.name)),
                    write_decimal(Fraction(line.stock, unit.ticks)),
                    line.count,
                    line.spare,
                    line.pieces,
                    "" if line.carton is None else line.carton,
                    "" if line.cartons is None else line.cartons,
                    line.bought,
                    "" if line.price is None else price_number(line.price),
                    "" if line.cost is None else price_number(line.cost),
                )
            )
    return out.getvalue()


def order_text(plan: Plan) -> str:
    """Write the order as plain text for the terminal, with all that was assumed."""
    unit = plan.job.unit
    gross, net = sum(w.gross for w in plan.walls), sum(w.net for w in plan.walls)
    lines = [
        f"Order for {plain(plan.job.name)}",
        f"{_count(len(plan.walls), 'wall')}, {area(gross, unit)} in all,"
        f" {area(net, unit)} without the openings;"
        f" {_count(len(plan.siding), 'piece')} of siding,"
        f" {_count(len(plan.trim), 'piece')} of trim",
    ]
    for material in plan.materials:
        lines += ["", *_material(material, plan)]
    lines += ["", "Total", *_totals(plan)]
    lines += ["", "To know before work begins", *_bullets(notices(plan))]
    lines += ["", "Assumed"]
    pairs = assumptions(plan)
    width = max(len(what) for what, _ in pairs)
    lines += [f"  {what:<{width}}  {value}" for what, value in pairs]
    return "\n".join(lines) + "\n"


def order_rows(material: MaterialPlan, plan: Plan) -> list[tuple[str, ...]]:
    """Give the rows of a material's order as texts, headings first."""
    rows: list[tuple[str, ...]] = [
        ("stock length", "planned", "spare", "to have", "cartons", "bought", "each", "cost")
    ]
    rows.extend(_order_row(line, plan) for line in material.order)
    return rows


def total_words(plan: Plan) -> str:
    """Say what the whole order costs, or that it cannot be said."""
    lines = [line for material in plan.materials for line in material.order]
    known = [line.cost for line in lines if line.cost is not None]
    if not known:
        return "the job gives no prices"
    total = price(sum(known), plan.job.currency)
    missing = len(lines) - len(known)
    if missing:
        return f"{total}, without {_count(missing, 'stock length')} that the job gives no price"
    return total


def _order_row(line: OrderLine, plan: Plan) -> tuple[str, ...]:
    cartons = "-" if line.cartons is None else f"{line.cartons} of {line.carton}"
    return (
        on_tape(line.stock, plan.job.unit),
        str(line.count),
        str(line.spare),
        str(line.pieces),
        cartons,
        str(line.bought),
        "-" if line.price is None else price(line.price, plan.job.currency),
        "-" if line.cost is None else price(line.cost, plan.job.currency),
    )


def _material(material: MaterialPlan, plan: Plan) -> list[str]:
    """Write the part of one material: its stock lengths, then how it is cut."""
    lines = [f"{role_words(material.role)}: {plain(material.name)}"]
    lines += _table(order_rows(material, plan))
    lines.append(
        f"  planned: {_count(len(material.bars), 'stock length')},"
        f" {cost_words(material, plan)} before spare and whole cartons"
    )
    lines.append(f"  {bound_words(material, plan)}")
    lines.append(
        f"  offcut and kerf: {offcut_share(material)}"
        f" of {on_wall(material.stock_total, plan.job.unit)}"
    )
    if material.role == "siding":
        lines.append(f"  seams: {len(plan.seams)}")
    return lines


def _totals(plan: Plan) -> list[str]:
    order = [line for material in plan.materials for line in material.order]
    planned, spare = sum(line.count for line in order), sum(line.spare for line in order)
    bought = sum(line.bought for line in order)
    return [
        f"  stock lengths: {planned} planned + {spare} spare"
        f" + {bought - planned - spare} to fill cartons = {bought} bought",
        f"  cost: {total_words(plan)}",
    ]


def _bullets(texts: Sequence[str]) -> list[str]:
    return [f"  - {text}" for text in texts] or ["  nothing was found"]


def _table(rows: list[tuple[str, ...]]) -> list[str]:
    """Align rows of cells to the right, two blanks between columns."""
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    return [
        "  " + "  ".join(cell.rjust(w) for cell, w in zip(row, widths, strict=True))
        for row in rows
    ]


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _safe(text: str) -> str:
    """Keep a spreadsheet from taking a name for a formula."""
    return f"'{text}" if text.startswith(_FORMULA_SIGNS) else text
