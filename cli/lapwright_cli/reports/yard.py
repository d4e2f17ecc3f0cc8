"""The order as a page to send to a yard."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lapwright.job.material import Family
from lapwright_cli.paper import Paper, paper_for
from lapwright_cli.reports.legend import breakable, missing_letters
from lapwright_cli.reports.onhand import ON_HAND_HEADING, on_hand_lines
from lapwright_cli.reports.order import SUPPLIES_HEADING, total_words
from lapwright_cli.reports.setting import set_pages
from lapwright_cli.reports.shortage import SHORTAGE_HEADING, shortages
from lapwright_cli.reports.writing import (
    MADE_BY,
    heading,
    on_tape,
    plain,
    plural,
    price,
    share,
    stock_words,
    unbroken,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.plan import MaterialPlan, OrderLine, Plan
    from lapwright.variant import Without


def order_pdf(plan: Plan, paper: Paper | None = None, without: Sequence[Without] = ()) -> bytes:
    """Set the order on a page, the same bytes for the same plan.

    Parameters
    ----------
    plan
        A checked plan.
    paper
        The one that goes with the job's unit, if not given.
    without
        Its materials cut again without each of their stock lengths, as far as tried.
    """
    return set_pages("order.typ", yard_data(plan, paper, without))


def yard_data(
    plan: Plan, paper: Paper | None = None, without: Sequence[Without] = ()
) -> dict[str, Any]:
    """Give all that stands on the page as plain data."""
    name = plain(plan.job.name)
    lines = [line for material in plan.materials for line in material.order]
    return {
        "paper": (paper or paper_for(plan.job.unit)).typst_name,
        "title": f"Order: {name}",
        "job": breakable(name),
        "made_by": MADE_BY,
        "materials": [_material(material, plan) for material in plan.materials],
        "count": str(sum(line.bought for line in lines)),
        "total": total_words(plan),
        "spare": _spare_rule(plan),
        "on_hand_title": ON_HAND_HEADING,
        "on_hand": [breakable(unbroken(line)) for line in on_hand_lines(plan)],
        "supplies_title": SUPPLIES_HEADING,
        "supplies": [
            [plural(s.quantity, s.unit.removesuffix("s")), s.name, breakable(plain(s.how))]
            for s in plan.supplies
        ],
        "shortage_title": SHORTAGE_HEADING,
        "shortages": [
            {"heading": breakable(s.heading), "lines": [unbroken(line) for line in s.lines]}
            for s in shortages(without, plan)
        ],
        "notes": missing_letters(plan),
    }


def _material(material: MaterialPlan, plan: Plan) -> dict[str, Any]:
    unit, currency = plan.job.unit, plan.job.currency
    return {
        "name": breakable(heading(material)),
        "rows": [
            {
                "length": stock_words(line.stock, unit),
                "tape": "" if unit.is_metric else on_tape(line.stock, unit),
                "cartons": ""
                if line.carton is None
                else f"{plural(line.cartons or 0, 'carton')} of {line.carton}",
                "bought": str(line.bought),
                "words": unbroken(_spare_words(line, material, plan)),
                "each": "" if not line.price else price(line.price, currency),
                "cost": "" if not line.cost else price(line.cost, currency),
            }
            for line in material.order
        ],
    }


def _spare_words(line: OrderLine, material: MaterialPlan, plan: Plan) -> str:
    """Say what is bought beyond the plan of a stock length."""
    if line.on_hand:
        return f"leftover: {line.count} planned, on hand, not to be bought."
    filling = line.bought - line.pieces
    words = f"{line.count} planned"
    if line.spare:
        words += f" + {line.spare} spare {_stock_word(material, plan)}"
        words += "" if line.spare == 1 else "s"
    else:
        words += ", no spare: a spoilt piece must be bought anew"
    if filling:
        words += f"; {filling} more to fill {'the carton' if line.cartons == 1 else 'cartons'}"
    return f"{words}."


def _stock_word(material: MaterialPlan, plan: Plan) -> str:
    """Name one stock length of a material."""
    if material.role != "siding":
        return "panel" if material.role == "soffit" else "length"
    family = plan.job.cladding(material.name)[0].family
    return "panel" if family is Family.LAPPED else "plank"


def _spare_rule(plan: Plan) -> str:
    if not plan.job.spare:
        return "The job asks for no spare."
    return f"Spare: {share(plan.job.spare, 1)} of each count, rounded up."
