"""The cut sheets as a PDF for the one at the saw."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from lapwright.job.material import Family
from lapwright_cli.reports import shapes
from lapwright_cli.reports.cautions import cautions
from lapwright_cli.reports.drawing import Drawing, draw_bar, draw_piece
from lapwright_cli.reports.sheets import CutSheet, cut_sheets
from lapwright_cli.reports.writing import (
    MADE_BY,
    assumptions,
    notices,
    on_tape,
    plain,
    role_words,
    unbroken,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lapwright.plan import MaterialPlan, Plan, SidingPiece

_PAPER_WIDTH = {"us-letter": 612.0, "a4": 595.28}
"""[pt]"""
_MARGIN = 36.0
"""At the left and at the right of a page. [pt]"""
_LONG_WORD = 24
"""A word longer than this may be broken at any letter."""


def cut_sheets_pdf(plan: Plan) -> bytes:
    """Set the cut sheets of a plan on numbered pages, the same bytes for the same plan.

    US letter where the job is in feet or inches, A4 where it is metric.
    """
    # The setting engine is large; who only reads the order should not wait for it.
    import typst

    template = files("lapwright_cli.reports").joinpath("cut_sheets.typ").read_bytes()
    return typst.compile(  # type: ignore[no-any-return, unused-ignore]
        template,
        format="pdf",
        # Only the fonts inside the engine: a bare machine gives the same bytes.
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(sheet_data(plan))},
    )


def sheet_data(plan: Plan) -> dict[str, Any]:
    """Give all that stands on the cut sheets as plain data, texts and strokes."""
    sheets = cut_sheets(plan)
    pieces = {piece.label: piece for piece in plan.siding}
    paper = "a4" if plan.job.unit.is_metric else "us-letter"
    width = _PAPER_WIDTH[paper] - 2 * _MARGIN
    name = plain(plan.job.name)
    return {
        "paper": paper,
        "title": f"Cut sheets: {name}",
        "job": _breakable(name),
        "made_by": MADE_BY,
        "foot": f"{_breakable(_short(name, 40))} · cut sheets · {MADE_BY}",
        "take": [row for material in plan.materials for row in _take(material, sheets, plan)],
        "take_note": "What the plan cuts; the spare and whole cartons are in the order.",
        "read": [*_how_to_read(plan), *_missing_letters(plan)],
        "notices": [_breakable(text) for text in notices(plan)],
        "cautions": [
            {"about": caution.about, "text": caution.text}
            for caution in cautions(plan.job.siding.family)
        ],
        "assumed": "; ".join(f"{what}: {value}" for what, value in assumptions(plan)) + ".",
        "parts": [
            {
                "title": _breakable(f"{role_words(material.role)}: {plain(material.name)}"),
                "sheets": [
                    _sheet(sheet, pieces, plan, width)
                    for sheet in sheets
                    if sheet.material is material
                ],
            }
            for material in plan.materials
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
            "material": _breakable(f"{role_words(material.role)}: {plain(material.name)}"),
            "length": on_tape(stock, plan.job.unit),
            "count": str(sum(bar.stock == stock for bar in material.bars)),
            "sheets": _breakable(number_ranges(numbers)),
        }


def _sheet(
    sheet: CutSheet, pieces: Mapping[str, SidingPiece], plan: Plan, width: float
) -> dict[str, Any]:
    unit, bar, many = plan.job.unit, sheet.pattern, len(sheet.bars)
    siding = sheet.material.role == "siding"
    is_whole = len(bar.cuts) == 1 and bar.cuts[0].end - bar.cuts[0].start == bar.stock
    kerf = plan.job.rules.siding_kerf if siding else plan.job.rules.trim_kerf
    own = {cut.label: pieces[cut.label] for cut in bar.cuts} if siding else {}
    is_whole = is_whole and not any(shapes.has_work(piece) for piece in own.values())
    if is_whole:
        call = f"Take {many} whole, no cut:"
    else:
        call = f"Cut {many} of these:" if many > 1 else "Cut 1 from:"
    bars_so_far = sheet.bars_before + many
    pieces_so_far = sheet.pieces_before + many * len(bar.cuts)
    all_pieces = sum(len(b.cuts) for b in sheet.material.bars)
    sketches = [
        _sketch(position, own[cut.label], plan, width)
        for position, cut in enumerate(bar.cuts)
        if siding and shapes.has_work(own[cut.label])
    ]
    return {
        "number": str(sheet.number),
        "call": call,
        "stock": on_tape(bar.stock, unit),
        "bars": ("bar " if many == 1 else "bars ")
        + number_ranges(each.number for each in sheet.bars),
        "material": _breakable(plain(sheet.material.name)),
        "drawing": _data(draw_bar(bar, own, kerf, plan, width)),
        "rows": [
            {
                "place": str(position + 1),
                "start": on_tape(cut.start, unit),
                "end": on_tape(cut.end, unit),
                "length": on_tape(cut.end - cut.start, unit),
                "ends": _ends(own[cut.label]) if siding else "square",
                "labels": [_breakable(plain(label)) for label in sheet.labels(position)],
            }
            for position, cut in enumerate(bar.cuts)
        ],
        "offcut": f"Offcut {on_tape(bar.offcut, unit)}" if bar.offcut > 0 else "No offcut",
        "so_far": f"so far {bars_so_far} of {len(sheet.material.bars)} stock lengths,"
        f" {pieces_so_far} of {all_pieces} pieces",
        "sketches": sketches,
    }


def _sketch(position: int, piece: SidingPiece, plan: Plan, width: float) -> dict[str, Any]:
    title, drawing = f"Piece {position + 1}", None
    if shapes.needs_sketch(piece):
        title += ", large: face up, butt edge below"
        exposure = plan.job.siding.exposure
        drawing = _data(draw_piece(piece, exposure, plan.job.unit, width))
    words = [unbroken(text) for text in shapes.work_words(piece, plan)]
    return {"title": title, "drawing": drawing, "words": words}


def _ends(piece: SidingPiece) -> str:
    left, right = shapes.end_words(piece.left), shapes.end_words(piece.right)
    return f"both {left}" if left == right else f"left {left}, right {right}"


def _how_to_read(plan: Plan) -> list[str]:
    rules, unit = plan.job.rules, plan.job.unit
    words = [
        "The number in black is the sheet. Cut the sheets in their order; everything on one"
        " sheet is cut alike, from the stock length that is named beside it.",
        "Face up, nail hem away from you. Hook the tape on the left end and leave it there:"
        " “starts at” and “ends at” are both read from that end.",
        "Cut at “ends at” with the blade on the right of the mark. A piece that ends at the"
        " right end of the stock length is cut at “starts at”, blade on the left of the mark.",
    ]
    kerfs = {rules.siding_kerf, rules.trim_kerf}
    if any(kerfs):
        words.append(
            "The next piece starts one blade width (kerf) after the cut:"
            f" {on_tape(rules.siding_kerf, unit)} in siding,"
            f" {on_tape(rules.trim_kerf, unit)} in trim."
        )
    else:
        words.append("The marks take nothing off for the blade: snips or shears, not a saw.")
    words.append("Hatched is offcut, or cut away. Figures in the drawing are the table's rows.")
    if plan.job.siding.family is Family.LAPPED:
        words.append(
            "A thick black end is a FACTORY end: never cut it, and never turn the panel end"
            " for end. It goes into a lap."
        )
    words.append(
        "Notches: along the piece from its left end; cut heights up from the butt edge,"
        " never down from the top. A raked cut runs on at its angle through the nail hem."
        if plan.job.siding.family is Family.LAPPED
        else "Notches: along the piece from its left end; cut heights up from the butt edge,"
        " never down from the top. A raked cut runs on at its angle to the top of the plank."
    )
    words.append("Write the label on the back of each piece, tick it, and stack it by wall.")
    return words


def _missing_letters(plan: Plan) -> list[str]:
    """Say what a box in a name means, where a name has letters beyond the fonts."""
    names = [plan.job.name, *(material.name for material in plan.materials), *notices(plan)]
    names += [wall.mark for wall in plan.job.walls]
    if not any(_is_beyond_fonts(sign) for name in names for sign in name):
        return []
    return [
        "An empty box in a name is a letter that the type of these sheets does not have;"
        " the page elevations.html shows it."
    ]


def _is_beyond_fonts(sign: str) -> bool:
    """Whether a letter is of a script that the fonts inside the engine do not cover."""
    return "\u0590" <= sign < "\u0600" or "\u0700" <= sign < "\u1d00" or sign >= "\u2e80"


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
        "width": drawing.width,
        "height": round(drawing.height, 2),
        "strokes": drawing.strokes,
    }


def _short(text: str, most: int) -> str:
    return text if len(text) <= most else f"{text[: most - 1]}…"


def _breakable(text: str) -> str:
    """Let a very long word break at a line's end, so that it cannot run off the page."""
    words = (
        word if len(word) <= _LONG_WORD else "\u200b".join(word) for word in text.split(" ")
    )
    return " ".join(words)
