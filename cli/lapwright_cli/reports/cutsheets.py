"""The cut sheets as a PDF for the one at the saw."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lapwright.measure import INCH, MILLIMETRE, tape_step
from lapwright.plan import EndCut
from lapwright_cli.paper import Paper, paper_for
from lapwright_cli.reports import shapes
from lapwright_cli.reports.cautions import cautions
from lapwright_cli.reports.drawing import Drawing, draw_bar, text_width
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
_ACROSS = 6
"""So many boxes stand in a row at most."""
_INSET = 8.0
"""Left and right of what stands in a table, together. [pt]"""
_BOX = 16.0 + _INSET
"""What a box takes beside its label. [pt]"""
_ARROW = 12.0
"""What an arrow behind a label takes. [pt]"""
_LETTER = 4.6
"""Width of a letter of running text, at most on average. [pt]"""
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
        "read": [*how_to_read(plan, least_kept(plan.job.unit)), *missing_letters(plan)],
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
        **_boxes(sheet, end_words, straight, plan, width),
        "offcut": unbroken(_offcut_words(bar, kerf, unit)),
        "so_far": f"so far {bars_so_far} of {len(sheet.material.bars)} stock lengths,"
        f" {pieces_so_far} of {all_pieces} pieces",
        **(
            panel_sketches(bar, plan, width)
            if sheet.material.role == "soffit"
            else _sketches(worked, plan, width, is_alone=len(bar.cuts) == 1)
        ),
    }


def least_kept(unit: Unit) -> int:
    """Give the length from which on an offcut is kept. [ticks]"""
    return _KEPT[unit.is_metric]


def _bars(sheet: CutSheet) -> dict[str, str]:
    """Name the bars of a sheet in its heading; a long list gets a line of its own.

    In the heading it would push the call aside and run down towards the drawing.
    """
    many = len(sheet.bars)
    ranges = number_ranges(each.number for each in sheet.bars)
    if many == 1 or len(ranges) <= _MOST_IN_HEADING:
        return {"bars": f"{'bar' if many == 1 else 'bars'} {ranges}", "all_bars": ""}
    return {"bars": f"{many} bars", "all_bars": f"Bars {ranges}."}


def _boxes(
    sheet: CutSheet, ends: Iterable[str], straight: Collection[str], plan: Plan, width: float
) -> dict[str, Any]:
    """Find how many boxes stand in a row: beside the marks of the cuts, and by themselves.

    None wraps: an arrow on a line of its own would be read with the label below it.
    """
    unit = plan.job.unit
    labels = [cut.label for each in sheet.bars for cut in each.cuts]
    box = max(
        _BOX + text_width(plain(label), 13) + _ARROW * (label in straight) for label in labels
    )
    cuts = sheet.pattern.cuts
    marks = sum(
        max(text_width(on_tape(length, unit), size) for length in lengths) + _INSET
        for size, lengths in (
            (11, [cut.start for cut in cuts]),
            (11, [cut.end for cut in cuts]),
            (12, [cut.end - cut.start for cut in cuts]),
        )
    )
    said = max(len(words) for words in ends) * _LETTER + _INSET
    room = width - text_width("00", 12) - _INSET - marks - said
    beside = min(_ACROSS, int(room // box))
    return {
        "inline": len(sheet.bars) <= beside,
        "beside": max(1, beside),
        # A label that is longer than the page is broken into lines anyway.
        "across": min(_ACROSS, int((width - 30) // box)) or 3,
    }


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
    blade += _hair_words(bar, unit)
    sloped = [
        str(position)
        for position, cut in enumerate(bar.cuts, 1)
        if cut.label in own and shapes.is_sloped(own[cut.label])
    ]
    if sloped:
        ends = [
            end for piece in own.values() for end in (piece.left, piece.right) if end.profile
        ]
        slopes = "slope" if len(ends) == 1 else "slopes"
        return (
            f"Crosscut square first{each}, marks from the stock's left end: {cuts};"
            f" then cut the {slopes} of {_which(sloped, len(bar.cuts))}. {blade}"
        )
    return f"Crosscut square{each}, marks from the stock's left end: {cuts}. {blade}"


def _which(places: Sequence[str], many: int) -> str:
    """Name pieces of a stock length by their places on it."""
    if many == 1:
        return "the piece"
    if len(places) == many:
        return "each piece"
    if len(places) == 1:
        return f"piece\u00a0{places[0]}"
    return f"pieces {', '.join(places[:-1])} and\u00a0{places[-1]}"


def _hair_words(bar: Bar, unit: Unit) -> str:
    """Say that a last cut by a hair is meant, for the piece would be longer than its place."""
    rest = bar.stock - bar.cuts[-1].end
    if not 0 < rest < tape_step(unit):
        return ""
    return f" The last cut is meant: it takes only {on_tape(rest, unit)} off the end."


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
            between = f", {_left_over(rest, unit)} between" if rest >= tape_step(unit) else ""
            yield f"{on_tape(before, unit)} and {start} (two cuts{between})"
        else:
            yield f"{on_tape(before, unit)} (one cut, then {position})"
        before, free = cut.end, cut.end + kerf
    if before is not None and before < bar.stock:
        yield f"{on_tape(before, unit)} (one cut)"


def _left_over(length: int, unit: Unit) -> str:
    if length < tape_step(unit):
        return "only sawdust"
    kind = "offcut" if length >= least_kept(unit) else "scrap"
    return f"{kind} {on_tape(length, unit)}"


def _offcut_words(bar: Bar, kerf: int, unit: Unit) -> str:
    """Say what is left of a stock length, and what becomes of it."""
    words = []
    for low, high in gaps(bar, kerf):
        length = on_tape(high - low, unit)
        if high - low <= max(kerf, tape_step(unit)):
            # What is no wider than a blade is not worth a word.
            continue
        if high - low >= least_kept(unit):
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
