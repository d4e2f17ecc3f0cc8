"""A plan of a bare cutting list, written for programs and for people."""

from __future__ import annotations

import json
from fractions import Fraction
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lapwright.cutting import CutPlan, Pattern
    from lapwright.job.cutlist import CutList

PLACES = 6
"""Decimal places of a length that has no end, such as a third; it is rounded down."""


def cut_json(plan: CutPlan, cutlist: CutList) -> bytes:
    """Write a plan as JSON; the same plan gives the same bytes.

    Lengths are decimal texts in the unit of the list, costs are numbers.
    """
    data = {
        "status": plan.status.value,
        "bound": _number(cutlist.cost(plan.bound)),
        "cost": _number(cutlist.cost(plan.cost)),
        "bars": plan.bars,
        "patterns": [_pattern(plan, pattern, cutlist) for pattern in plan.patterns],
    }
    text = json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False)
    return (text + "\n").encode()


def cut_text(plan: CutPlan, cutlist: CutList) -> str:
    """Write a plan as a plain table, with a summary above it."""
    unit = cutlist.unit.value
    problem = plan.problem
    number = sum(piece.count for piece in problem.pieces)
    material = sum(piece.length * piece.count for piece in problem.pieces)
    off = Fraction(plan.stock_length - material, plan.stock_length)
    proof = "proven: no plan costs less" if plan.is_proven else plan.status.value
    lines = [
        f"{number} pieces from {plan.bars} bars, cost {_number(cutlist.cost(plan.cost))}",
        f"bound {_number(cutlist.cost(plan.bound))} ({proof})",
        f"offcut and kerf {float(off):.1%} of the stock; "
        f"kerf {_decimal(cutlist.length(problem.kerf))} {unit}",
        "",
    ]
    rows = [("bars", f"stock [{unit}]", f"offcut [{unit}]", f"pieces [{unit}]")]
    rows.extend(
        (
            str(pattern.count),
            _decimal(cutlist.length(problem.stock[pattern.stock].length)),
            _decimal(cutlist.length(plan.offcut(pattern))),
            ", ".join(_words(piece) for piece in _pieces(plan, pattern, cutlist)),
        )
        for pattern in plan.patterns
    )
    widths = [max(len(row[column]) for row in rows) for column in range(3)]
    for row in rows:
        cells = [cell.rjust(w) for cell, w in zip(row, widths, strict=False)]
        lines.append("  ".join([*cells, row[3]]))
    return "\n".join(lines) + "\n"


def _pattern(plan: CutPlan, pattern: Pattern, cutlist: CutList) -> dict[str, object]:
    """Give one pattern as plain data."""
    stock = plan.problem.stock[pattern.stock]
    return {
        "stock_length": _decimal(cutlist.length(stock.length)),
        "count": pattern.count,
        "pieces": _pieces(plan, pattern, cutlist),
        "offcut": _decimal(cutlist.length(plan.offcut(pattern))),
    }


def _pieces(plan: CutPlan, pattern: Pattern, cutlist: CutList) -> list[dict[str, object]]:
    """Give the pieces of one bar as plain data, the longest first."""
    pieces = plan.problem.pieces
    ordered = sorted(pattern.pieces, key=lambda p: (-pieces[p[0]].length, p[0]))
    return [
        {
            "length": _decimal(cutlist.length(pieces[index].length)),
            "count": many,
            "label": pieces[index].label,
        }
        for index, many in ordered
    ]


def _words(piece: dict[str, object]) -> str:
    """Write how many pieces of which length, and their label."""
    label = f" {piece['label']}" if piece["label"] else ""
    return f"{piece['count']} x {piece['length']}{label}"


def _number(number: Fraction) -> int | float:
    """Give a number as JSON has it, whole where it is whole."""
    return int(number) if number.denominator == 1 else float(number)


def _decimal(number: Fraction) -> str:
    """Write a decimal, exactly where it ends, else rounded down to some places."""
    rest, twos, fives = number.denominator, 0, 0
    while rest % 2 == 0:
        rest, twos = rest // 2, twos + 1
    while rest % 5 == 0:
        rest, fives = rest // 5, fives + 1
    places = max(twos, fives) if rest == 1 else PLACES
    whole, part = divmod(number.numerator * 10**places // number.denominator, 10**places)
    digits = f"{part:0{places}d}".rstrip("0") if part else ""
    return f"{whole}.{digits}" if digits else str(whole)
