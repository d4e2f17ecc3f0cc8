"""What a seam less costs: as text, and as a drawing."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from lapwright_cli.reports.drawing import text_width
from lapwright_cli.reports.writing import on_wall, plain, plural, price

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.front import Front, Point
    from lapwright.job.job import Job

_SIZE = 11.0
"""Of the letters. [pt]"""
_HIGH = 220.0
"""Height of the field of one siding's points. [pt]"""
_HEAD = 34.0
"""Height of its name and what stands upright. [pt]"""
_FOOT = 46.0
"""Height of the scale below it, and of the room to the next. [pt]"""
_SIDE = 14.0
"""Room left and right of the outermost points. [pt]"""
_DOT = 3.5
"""Half the width of a point. [pt]"""

_LEGEND = "black: proven; white: nothing comes to less than the foot of its line"
FRONT_HEADING = "What fewer seams cost"


def front_text(fronts: Sequence[Front], job: Job) -> str:
    """Write what fewer seams cost, a table a siding, and what it means."""
    lines = [f"{FRONT_HEADING}: {plain(job.name)}", *front_lines(fronts, job)]
    return "\n".join(lines) + "\n"


def front_lines(fronts: Sequence[Front], job: Job) -> list[str]:
    """Write the lines of that text below its heading."""
    lines = []
    for front in fronts:
        rows = front_rows(front, job)
        widths = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))]
        lines += ["", plain(front.siding)]
        for *cells, last in rows:
            parts = [cell.rjust(w) for cell, w in zip(cells, widths, strict=False)]
            lines.append("  " + "  ".join((*parts, last)).rstrip())
        lines += [f"  {words}" for words in front_meaning(front)]
    return lines


def front_rows(front: Front, job: Job) -> tuple[tuple[str, ...], ...]:
    """Give the table of one siding as texts, heading first."""
    kind = "cost" if front.priced else "stock"
    return (
        ("seams", "rules broken", "panels", kind, "no less than", "proof"),
        *(
            (
                str(point.seams),
                str(point.broken),
                str(point.panels),
                worth(point.cost, front, job),
                worth(point.bound, front, job),
                plain(point.status),
            )
            for point in front.points
        ),
    )


def front_meaning(front: Front) -> list[str]:
    """Say what the figures of one siding mean, and why there is no choice, if so."""
    kind = "cost" if front.priced else "stock"
    words = [
        f"{kind}: stock lengths of siding that are cut, before spare and whole cartons;"
        " no less than: with no more seams, and the rules for seams kept as well, nothing"
        " comes to less; proven: so it is the least."
    ]
    if len(front.points) > 1:
        return words
    if not front.points[0].seams:
        return [*words, "No run needs a seam, so there is nothing to choose."]
    if not front.extra_seams:
        words.append(
            "Every run has its fewest seams; `extra_seams: 1` under `rules` would let each"
            " have one more, and so open a choice."
        )
    else:
        words.append("The cheapest plan has the fewest seams as well.")
    return words


def worth(amount: int, front: Front, job: Job) -> str:
    """Write a cost as money, or as length of stock."""
    return price(amount, job.currency) if front.priced else on_wall(amount, job.unit)


def front_svg(fronts: Sequence[Front], job: Job, width: float = 700.0) -> str:
    """Draw the points, seams to the right and cost upward, black on white.

    A black point is proven; at a white one a line goes down to what nothing comes to less
    than.  Each point has its cost beside it, and how many rules it breaks, so that nothing
    hangs on reading a scale.

    Parameters
    ----------
    fronts, job
        What is drawn, and the job it is of.
    width
        Of the drawing. [pt]
    """
    each = _HEAD + _HIGH + _FOOT
    height = each * len(fronts)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}"'
        f' width="{width:g}" height="{height:g}" role="img" aria-label="What fewer seams cost"'
        f' font-family="\'DejaVu Sans Mono\', monospace" font-size="{_SIZE:g}">'
        f'<rect width="{width:g}" height="{height:g}" fill="#fff"/>'
    ]
    for place, front in enumerate(fronts):
        parts += _field(front, job, each * place, width)
    return "".join((*parts, "</svg>")) + "\n"


def _field(front: Front, job: Job, top: float, width: float) -> list[str]:
    points = front.points
    labels = [_beside(point, front, job) for point in points]
    room = max(text_width(label, _SIZE) for label in labels)
    left, right = _SIDE, width - _SIDE - room - 2 * _DOT
    first, last = points[0].seams, max(point.seams for point in points)
    low, high = min(p.bound for p in points), max(p.cost for p in points)
    floor = top + _HEAD + _HIGH

    def across(point: Point) -> float:
        return left + (right - left) * (point.seams - first) / max(last - first, 1)

    def upright(amount: int) -> float:
        return floor - _SIDE - (_HIGH - 3 * _SIDE) * (amount - low) / max(high - low, 1)

    kind = "cost" if front.priced else "stock"
    parts = [
        _text(0, top + _SIZE, plain(front.siding), bold=True),
        _text(0, top + _HEAD - 6, f"{kind} upward, not from zero; {_LEGEND}"),
        f'<path d="M0.5 {top + _HEAD:g}V{floor:g}H{width:g}" fill="none" stroke="#000"/>',
    ]
    steps = "".join(
        f"{'M' if number == 0 else 'H'}{across(p):.2f}"
        f"{' ' if number == 0 else 'V'}{upright(p.cost):.2f}"
        for number, p in enumerate(points)
    )
    parts.append(f'<path d="{steps}" fill="none" stroke="#000" stroke-width="0.5"/>')
    written, beside, level = -_SIDE, 0.0, 0.0
    for point, label in zip(points, labels, strict=True):
        x, y = across(point), upright(point.cost)
        proven = point.status == "proven"
        if not proven:
            parts.append(
                f'<path d="M{x:.2f} {y:.2f}V{upright(point.bound):.2f}m-3 0h6" fill="none"'
                ' stroke="#000"/>'
            )
        parts.append(
            f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{_DOT:g}"'
            f' fill="{"#000" if proven else "#fff"}" stroke="#000"/>'
        )
        # Costs fall to the right, so what has no room beside the last label goes below it.
        level = max(y - 5, level + _SIZE + 1) if x < beside else y - 5
        parts.append(_text(x + 2 * _DOT, level, label))
        beside = x + 2 * _DOT + text_width(label, _SIZE) + 4
        number = str(point.seams)
        if x >= written:
            parts.append(f'<path d="M{x:.2f} {floor:g}v4" stroke="#000"/>')
            parts.append(_text(x - text_width(number, _SIZE) / 2, floor + 16, number))
            written = x + text_width(number, _SIZE) + 6
    parts.append(_text(right - text_width("seams", _SIZE), floor + 30, "seams"))
    return parts


def _beside(point: Point, front: Front, job: Job) -> str:
    """Write what stands beside a point."""
    cost = worth(point.cost, front, job)
    return f"{cost}, breaks {plural(point.broken, 'rule')}" if point.broken else cost


def _text(x: float, y: float, text: str, *, bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{max(x, 0):.2f}" y="{y:.2f}"{weight} stroke="#fff" stroke-width="3"'
        f' paint-order="stroke">{escape(text)}</text>'
    )
