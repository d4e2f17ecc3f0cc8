"""The cut sheets as a PDF for the one at the saw."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lapwright.measure import INCH, MILLIMETRE, tape_step
from lapwright.plan import EndCut
from lapwright_cli.paper import Paper, paper_for
from lapwright_cli.reports import shapes
from lapwright_cli.reports.cautions import cautions
from lapwright_cli.reports.drawing import Drawing, draw_bar
from lapwright_cli.reports.endcuts import end_marks, has_table, with_joined_ends
from lapwright_cli.reports.legend import breakable, how_to_read, missing_letters
from lapwright_cli.reports.panel_sketches import panel_sketches
from lapwright_cli.reports.setting import set_pages
from lapwright_cli.reports.sheets import (
    CutSheet,
    crosscuts,
    cut_sheets,
    form,
    gaps,
    in_order_of_cutting,
    is_leftover,
    straight_to_the_wall,
)
from lapwright_cli.reports.sketches import draw_pieces
from lapwright_cli.reports.writing import (
    MADE_BY,
    assumptions,
    heading,
    kerf_of,
    notices,
    on_tape,
    on_wall,
    plain,
    plural,
    shortened,
    unbroken,
)

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from lapwright.measure import Unit
    from lapwright.plan import Bar, BarCut, MaterialPlan, Plan, SidingPiece

_MARGIN = 36.0
"""At the left and at the right of a page. [pt]"""
_IN_A_ROW = 7
"""So many marks of a traced line stand beside each other in its table."""
_MOST_IN_HEADING = 22
"""A list of bars longer than so many letters stands below the heading of its sheet."""
_SHORT_LABEL = 6
"""Three labels of so many letters have room beside the marks of a sheet."""
_FAIR_LABEL = 9
"""Two labels of so many letters have."""
_KEPT = (24 * INCH, 600 * MILLIMETRE)
"""An offcut is kept from this length on, in feet or inches and in metric jobs. [ticks]"""


def cut_sheets_pdf(plan: Plan, paper: Paper | None = None) -> bytes:
    """Set the cut sheets of a plan on numbered pages, the same bytes for the same plan.

    Parameters
    ----------
    plan
        A checked plan.
    paper
        If not given, US letter where the job is in feet or inches, A4 where it is metric.
    """
    return set_pages("cut_sheets.typ", sheet_data(plan, paper))


def sheet_data(plan: Plan, paper: Paper | None = None) -> dict[str, Any]:
    """Give all that stands on the cut sheets as plain data, texts and strokes."""
    sheets, materials = cut_sheets(plan), in_order_of_cutting(plan)
    straight = straight_to_the_wall(plan, sheets)
    pieces = {piece.label: piece for piece in plan.siding}
    paper = paper or paper_for(plan.job.unit)
    width = paper.width - 2 * _MARGIN
    name = plain(plan.job.name)
    return {
        "paper": paper.typst_name,
        "title": f"Cut sheets: {name}",
        "job": breakable(name),
        "made_by": MADE_BY,
        "foot": f"Cut sheets · {MADE_BY} · {shortened(name, 60)}",
        "take": [row for material in materials for row in _take(material, sheets, plan)],
        "take_note": "What the plan cuts; spare and whole cartons are in the order.",
        "read": [*how_to_read(plan), *missing_letters(plan)],
        "notices": [breakable(text) for text in notices(plan)],
        "cautions": [
            {"about": caution.about, "text": caution.text}
            for caution in cautions(*(siding.family for siding in plan.job.sidings))
        ],
        "assumed": "; ".join(f"{what}: {value}" for what, value in assumptions(plan)) + ".",
        "parts": [
            {
                "title": breakable(heading(material)),
                "sheets": [
                    _sheet(sheet, pieces, straight, plan, width)
                    for sheet in sheets
                    if sheet.material is material
                ],
            }
            for material in materials
            if material.bars
        ],
    }


def _take(
    material: MaterialPlan, sheets: Iterable[CutSheet], plan: Plan
) -> Iterable[dict[str, str]]:
    """List what to take from the pile of a material, one row a stock length."""
    for stock in sorted({bar.stock for bar in material.bars}):
        numbers = [
            s.number for s in sheets if s.material is material and s.pattern.stock == stock
        ]
        yield {
            "material": breakable(heading(material)),
            "length": (
                ("leftover of " if is_leftover(stock, material) else "")
                + _stock(stock, plan.job.unit)
            ),
            "count": str(sum(bar.stock == stock for bar in material.bars)),
            "sheets": breakable(number_ranges(numbers)),
        }


def _stock(stock: int, unit: Unit) -> str:
    """Write a stock length as it is bought and as the tape shows it."""
    tape = on_tape(stock, unit)
    return tape if unit.is_metric else f"{on_wall(stock, unit)} ({tape})"


def _sheet(
    sheet: CutSheet,
    pieces: Mapping[str, SidingPiece],
    straight: Collection[str],
    plan: Plan,
    width: float,
) -> dict[str, Any]:
    unit, bar, many = plan.job.unit, sheet.pattern, len(sheet.bars)
    siding = sheet.material.role == "siding"
    kerf = kerf_of(sheet.material, plan)
    own = {cut.label: pieces[cut.label] for cut in bar.cuts} if siding else {}
    worked = [
        (str(position + 1), own[cut.label])
        for position, cut in enumerate(bar.cuts)
        if siding and shapes.has_work(own[cut.label])
    ]
    bars_so_far = sheet.bars_before + many
    pieces_so_far = sheet.pieces_before + many * len(bar.cuts)
    all_pieces = sum(len(b.cuts) for b in sheet.material.bars)
    kind = "leftover" if sheet.is_leftover else "stock length"
    end_words = [_ends(cut, bar, own.get(cut.label)) for cut in bar.cuts]
    shown = {label: with_joined_ends(piece, tape_step(unit)) for label, piece in own.items()}
    return {
        "number": str(sheet.number),
        "call": f"Take {plural(many, kind)} of",
        "stock": _stock(bar.stock, unit),
        "way": _way(sheet, bool(worked)),
        **_bars(sheet),
        "is_uncut": sheet.is_uncut,
        "drawing": None if sheet.is_uncut else _data(draw_bar(bar, shown, kerf, plan, width)),
        "cuts": unbroken(_order_of_cuts(bar, kerf, own, unit)),
        "rows": [
            {
                "place": str(position + 1),
                "start": on_tape(cut.start, unit),
                "end": on_tape(cut.end, unit),
                "length": on_tape(cut.end - cut.start, unit),
                "ends": end_words[position],
                "labels": [breakable(plain(label)) for label in sheet.labels(position)],
                "straight": [label in straight for label in sheet.labels(position)],
            }
            for position, cut in enumerate(bar.cuts)
        ],
        "columns": [f"bar {each.number}" for each in sheet.bars],
        "inline": _fit_beside(sheet),
        "offcut": unbroken(_offcut_words(bar, kerf, unit)),
        "so_far": f"so far {bars_so_far} of {len(sheet.material.bars)} stock lengths,"
        f" {pieces_so_far} of {all_pieces} pieces",
        **(
            panel_sketches(bar, plan, width)
            if sheet.material.role == "soffit"
            else _sketches(worked, plan, width, is_alone=len(bar.cuts) == 1)
        ),
    }


def _bars(sheet: CutSheet) -> dict[str, str]:
    """Name the bars of a sheet in its heading; a long list gets a line of its own.

    In the heading it would push the call aside and run down towards the drawing.
    """
    many = len(sheet.bars)
    ranges = number_ranges(each.number for each in sheet.bars)
    if many == 1 or len(ranges) <= _MOST_IN_HEADING:
        return {"bars": f"{'bar' if many == 1 else 'bars'} {ranges}", "all_bars": ""}
    return {"bars": f"{many} bars", "all_bars": f"Bars {ranges}."}


def _fit_beside(sheet: CutSheet) -> bool:
    """Whether the boxes of all stock lengths have room beside the marks of the cuts."""
    longest = max(len(cut.label) for each in sheet.bars for cut in each.cuts)
    return len(sheet.bars) <= (3 if longest <= _SHORT_LABEL else 2) and longest <= _FAIR_LABEL


def _way(sheet: CutSheet, is_worked: bool) -> str:
    """Say after the stock length how it is cut."""
    if sheet.is_uncut:
        return "no crosscut" if is_worked else "whole, no cut"
    return "cut each alike" if len(sheet.bars) > 1 else ""


def _order_of_cuts(bar: Bar, kerf: int, own: Mapping[str, SidingPiece], unit: Unit) -> str:
    """Say where a stock length is crosscut, cut by cut, and what comes after."""
    marks = crosscuts(bar, kerf)
    if not marks:
        return ""
    if all(mark.keeps_left for mark in marks):
        each = ", one cut each" if len(marks) > 1 else ", one cut"
        cuts = "; ".join(on_tape(mark.at, unit) for mark in marks)
    else:
        each, cuts = "", "; ".join(_cut_words(bar, kerf, unit))
    blade = f"Kerf {on_tape(kerf, unit)}." if kerf else "No kerf."
    if any(shapes.is_sloped(piece) for piece in own.values()):
        return (
            f"Crosscut square first{each}, marks from the stock's left end: {cuts};"
            f" then cut the slope on each piece. {blade}"
        )
    return f"Crosscut square{each}, marks from the stock's left end: {cuts}. {blade}"


def _cut_words(bar: Bar, kerf: int, unit: Unit) -> Iterable[str]:
    """Say of each boundary on a stock length whether it is one cut or two."""
    free = 0
    before = None
    for position, cut in enumerate(bar.cuts, 1):
        start = f"{on_tape(cut.start, unit)}, blade left of the mark"
        if before is None:
            if cut.start > 0:
                yield f"{start} (one cut, {_left_over(cut.start - kerf, unit)})"
        elif cut.start > free:
            rest = cut.start - kerf - free
            between = f", {_left_over(rest, unit)} between" if rest > 0 else ""
            yield f"{on_tape(before, unit)} and {start} (two cuts{between})"
        else:
            yield f"{on_tape(before, unit)} (one cut, then {position})"
        before, free = cut.end, cut.end + kerf
    if before is not None and before < bar.stock:
        yield f"{on_tape(before, unit)} (one cut)"


def _left_over(length: int, unit: Unit) -> str:
    if length <= 0:
        return "only sawdust"
    kind = "offcut" if length >= _KEPT[unit.is_metric] else "scrap"
    return f"{kind} {on_tape(length, unit)}"


def _offcut_words(bar: Bar, kerf: int, unit: Unit) -> str:
    """Say what is left of a stock length, and what becomes of it."""
    words = []
    for low, high in gaps(bar, kerf):
        length = on_tape(high - low, unit)
        if high - low >= _KEPT[unit.is_metric]:
            words.append(f"Offcut {length}: keep, mark it “offcut {length}”")
        else:
            words.append(f"Offcut {length}: scrap")
    return "; ".join(words) or "No offcut"


def _sketches(
    worked: list[tuple[str, SidingPiece]], plan: Plan, width: float, *, is_alone: bool
) -> dict[str, Any]:
    """Draw the pieces that are more than crosscut, alike ones once, and say their work."""
    alike: dict[object, tuple[list[str], SidingPiece]] = {}
    for number, piece in worked:
        alike.setdefault((piece.length, form(piece)), ([], piece))[0].append(number)
    named = [
        (f"Piece {n[0]}" if len(n) == 1 else f"Pieces {', '.join(n)}", piece)
        for n, piece in alike.values()
    ]
    if not named:
        return {"sketch_title": "", "sketch": None, "works": []}
    step = tape_step(plan.job.unit)
    shown = [(name, with_joined_ends(piece, step)) for name, piece in named]
    is_one = len(worked) == 1
    what = "each piece"
    if is_one:
        what = "the piece" if is_alone else named[0][0].lower()
    return {
        "sketch_title": f"Marks below: from the left end of {what}, butt edge down;"
        " heights up from the butt edge; not to scale.",
        "sketch": _data(draw_pieces([("", shown[0][1])] if is_one else shown, plan, width)),
        "works": [
            {
                "name": "" if is_one else name,
                "words": [unbroken(text) for text in shapes.work_words(piece, plan)],
                "tables": _tables(with_joined_ends(piece, step), plan.job.unit),
            }
            for name, piece in named
        ],
    }


def _tables(piece: SidingPiece, unit: Unit) -> list[list[list[str]]]:
    """Give the marks of bent ends and of traced lines, in rows: from the left end, and up."""
    lines: list[Sequence[tuple[int, int]]] = [
        end_marks(end, piece.length, is_right=is_right)
        for end, is_right in ((piece.left, False), (piece.right, True))
        if has_table(end)
    ]
    for notch in piece.notches:
        lines += shapes.traces(piece, notch) if notch.points else ()
    rows = []
    for line in lines:
        for first in range(0, len(line), _IN_A_ROW):
            part = line[first : first + _IN_A_ROW]
            rows.append(
                [[on_tape(u, unit) for u, _ in part], [on_tape(v, unit) for _, v in part]]
            )
    return rows


def _ends(cut: BarCut, bar: Bar, piece: SidingPiece | None) -> str:
    """Say what becomes of the ends of a piece; where nothing is cut, it stays as it is."""
    words = []
    for end, is_bare in (
        (piece.left if piece else None, cut.start == 0),
        (piece.right if piece else None, cut.end == bar.stock),
    ):
        if end is None or (end.cut is EndCut.SQUARE and not end.profile):
            words.append("as it comes" if is_bare else "square")
        else:
            words.append(shapes.end_words(end))
    left, right = words
    return f"both {left}" if left == right else f"left {left}, right {right}"


def number_ranges(numbers: Iterable[int]) -> str:
    """Write counting numbers shortly, such as ``3–5, 9``."""
    spans: list[list[int]] = []
    for number in sorted(numbers):
        if spans and number == spans[-1][1] + 1:
            spans[-1][1] = number
        else:
            spans.append([number, number])
    return ", ".join(str(a) if a == b else f"{a}–{b}" for a, b in spans)


def _data(drawing: Drawing) -> dict[str, Any]:
    return {
        "width": round(drawing.width, 2),
        "height": round(drawing.height, 2),
        "strokes": drawing.strokes,
    }
