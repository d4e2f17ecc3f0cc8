"""The order: what to buy, for a spreadsheet and for the terminal."""

from __future__ import annotations

import csv
import io
from fractions import Fraction
from typing import TYPE_CHECKING

from lapwright.job.field import job_of
from lapwright.measure import Unit, write_decimal
from lapwright.takeoff.convention import estimates
from lapwright_cli.reports.onhand import ON_HAND_HEADING, on_hand, on_hand_lines
from lapwright_cli.reports.shortage import SHORTAGE_HEADING, shortages
from lapwright_cli.reports.writing import (
    area,
    assumptions,
    bound_words,
    cost_words,
    heading,
    notices,
    offcut_share,
    on_tape,
    on_wall,
    plain,
    plural,
    price,
    price_number,
    role_words,
    safe,
    share,
    stock_words,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.job.material import Siding
    from lapwright.plan import MaterialPlan, OrderLine, Plan
    from lapwright.variant import Without

SUPPLIES_HEADING = "Counted by rule, not cut"


def order_csv(plan: Plan) -> str:
    """Write the order as comma-separated values (RFC 4180), one row a stock length.

    What is counted by rule, and stock of which there is only so much, follow under
    headings of their own, in as many cells a row.

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
                    safe(role_words(material.role)),
                    safe(plain(material.name)),
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
    if plan.supplies:
        empty = ("",) * 7
        writer.writerow((SUPPLIES_HEADING, "quantity", "unit", "how it was counted", *empty))
    for supply in plan.supplies:
        writer.writerow((supply.name, supply.quantity, supply.unit, safe(supply.how), *empty))
    limited = on_hand(plan)
    if limited:
        titles = ("material", f"stock length [{unit.value}]", "to be had", "planned", "left")
        writer.writerow((ON_HAND_HEADING, *titles, *("",) * 5))
    for each in limited:
        writer.writerow(
            (
                safe(role_words(each.role)),
                safe(plain(each.material)),
                write_decimal(Fraction(each.stock, unit.ticks)),
                each.supply,
                each.used,
                each.left,
                *("",) * 5,
            )
        )
    return out.getvalue()


def order_text(plan: Plan, without: Sequence[Without] = ()) -> str:
    """Write the order as plain text for the terminal, with all that was assumed.

    Parameters
    ----------
    plan
        A checked plan.
    without
        Its materials cut again without each of their stock lengths, as far as tried.
    """
    unit = plan.job.unit
    gross, net = sum(w.gross for w in plan.walls), sum(w.net for w in plan.walls)
    lines = [
        f"Order for {plain(plan.job.name)}",
        f"{plural(len(plan.walls), 'wall')}, {area(gross, unit)} in all,"
        f" {area(net, unit)} without the openings;"
        f" {plural(len(plan.siding), 'piece')} of siding,"
        f" {plural(len(plan.trim), 'piece')} of trim",
    ]
    for material in plan.materials:
        lines += ["", *_material(material, plan)]
    lines += ["", "Total", *_totals(plan)]
    if on_hand(plan):
        lines += ["", ON_HAND_HEADING, *(f"  {line}" for line in on_hand_lines(plan))]
    if without:
        lines += ["", SHORTAGE_HEADING]
        for shortage in shortages(without, plan):
            lines += [f"  {shortage.heading}", *(f"    {line}" for line in shortage.lines)]
    if plan.supplies:
        lines += ["", SUPPLIES_HEADING, *_supplies(plan)]
    lines += ["", "To know before work begins", *_bullets(notices(plan))]
    lines += ["", "Assumed"]
    pairs = assumptions(plan)
    width = max(len(what) for what, _ in pairs)
    lines += [f"  {what:<{width}}  {value}" for what, value in pairs]
    lines += _conventions(plan)
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
    missing = sum(any(line.cost is None for line in m.order) for m in plan.materials)
    if missing:
        have = "has" if missing == 1 else "have"
        return f"{total}; {plural(missing, 'material')} {have} no price"
    return total


def _order_row(line: OrderLine, plan: Plan) -> tuple[str, ...]:
    cartons = "-" if line.cartons is None else f"{line.cartons} × {line.carton}"
    return (
        stock_words(line.stock, plan.job.unit),
        str(line.count),
        str(line.spare),
        str(line.pieces),
        cartons,
        str(line.bought),
        _each(line, plan),
        "-" if line.cost is None else price(line.cost, plan.job.currency),
    )


def _each(line: OrderLine, plan: Plan) -> str:
    if line.on_hand:
        return "on hand"
    return "-" if line.price is None else price(line.price, plan.job.currency)


def _material(material: MaterialPlan, plan: Plan) -> list[str]:
    """Write the part of one material: its stock lengths, then how it is cut."""
    lines = [heading(material)]
    lines += _table(order_rows(material, plan))
    lines.append(
        f"  planned: {plural(len(material.bars), 'stock length')},"
        f" {cost_words(material, plan)} before spare and whole cartons"
    )
    lines.append(f"  {bound_words(material, plan)}")
    lines.append(
        f"  offcut and kerf: {offcut_share(material)}"
        f" of {on_wall(material.stock_total, plan.job.unit)}"
    )
    if material.role == "siding":
        own = {cut.label for bar in material.bars for cut in bar.cuts}
        lines.append(f"  seams: {sum(seam.left in own for seam in plan.seams)}")
    return lines


def _supplies(plan: Plan) -> list[str]:
    """Write what is counted by rule: how much, of what, and how it was counted."""
    rows = [
        (plural(s.quantity, s.unit.removesuffix("s")), s.name, s.how) for s in plan.supplies
    ]
    much, what = (max(len(row[column]) for row in rows) for column in (0, 1))
    return [f"  {row[0]:>{much}}  {row[1]:<{what}}  {row[2]}" for row in rows]


def _conventions(plan: Plan) -> list[str]:
    """Write what each estimating convention would order, beside what the plan cuts."""
    return [line for siding in plan.job.sidings for line in _convention(siding, plan)]


def _convention(siding: Siding, plan: Plan) -> list[str]:
    made = estimates(job_of(plan.job, siding))
    if not made or plan.job.estimating is None:
        return []
    order = [
        line
        for m in plan.materials
        if m.role == "siding" and m.name == siding.name
        for line in m.order
    ]
    cut = str(sum(line.count for line in order))
    lengths = {line.stock for line in order if line.count}
    if len(lengths) > 1:
        # Pieces of several lengths are not so many of the longest.
        whole = -(-sum(line.count * line.stock for line in order) // siding.longest)
        cut += f" of {len(lengths)} lengths, as long as {whole}"
    longest = on_tape(siding.longest, plan.job.unit)
    of = f" of {plain(siding.name)}" if len(plan.job.sidings) > 1 else ""
    waste = share(plan.job.estimating.waste, 1)
    return [
        "",
        f"Estimating conventions, {waste} waste added, in pieces{of} of {longest}",
        *(
            f"  by {estimate.convention.name}: {plural(estimate.pieces, 'piece')},"
            f" the plan cuts {cut}"
            for estimate in made
        ),
    ]


def _totals(plan: Plan) -> list[str]:
    order = [line for material in plan.materials for line in material.order]
    planned, spare = sum(line.count for line in order), sum(line.spare for line in order)
    bought = sum(line.bought for line in order)
    free = sum(line.count for line in order if line.on_hand)
    there = f" - {free} on hand" if free else ""
    return [
        f"  stock lengths: {planned} planned + {spare} spare{there}"
        f" + {bought - planned - spare + free} to fill cartons = {bought} bought",
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
