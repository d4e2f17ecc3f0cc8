"""The elevations as a PDF for the crew on the wall: each wall drawn, then told."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lapwright.job.material import Family
from lapwright.plan import EndCut
from lapwright_cli.paper import Paper, paper_for
from lapwright_cli.reports import shapes
from lapwright_cli.reports.cautions import cautions
from lapwright_cli.reports.hanging import hanging_notes, ripped_foot
from lapwright_cli.reports.legend import breakable, missing_letters
from lapwright_cli.reports.poles import wall_marks
from lapwright_cli.reports.setting import set_pages
from lapwright_cli.reports.sheets import cut_sheets, places_of_labels
from lapwright_cli.reports.soffitsheet import draw_soffit
from lapwright_cli.reports.wallsheet import draw_wall, fit
from lapwright_cli.reports.wallwords import (
    opening_rows,
    seams_of,
    soffit_facts,
    soffit_name,
    wall_facts,
    wall_name,
)
from lapwright_cli.reports.writing import (
    MADE_BY,
    assumptions,
    notices,
    on_tape,
    on_wall,
    plain,
    role_words,
    shortened,
    unbroken,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lapwright.job.soffit import Soffit
    from lapwright.job.wall import Wall
    from lapwright.measure import Unit
    from lapwright.plan import Bar, Plan, SidingPiece, TrimPiece
    from lapwright_cli.reports.drawing import Drawing
    from lapwright_cli.reports.sheets import CutSheet
    from lapwright_cli.reports.wallsheet import WallSheet

    Sources = Mapping[str, tuple[CutSheet, Bar]]

_SIDE = 30.0
"""White at the left and at the right of a page. [pt]"""
_OVER = 26.0
"""White above. [pt]"""
_UNDER = 38.0
"""White below, with the foot. [pt]"""
_HEADING = 78.0
"""Room for name and facts above a drawing, and for how to read it below. [pt]"""
_LONG_NAME = 60
"""A name is cut off after so many letters in a heading."""
_SHORT_NAME = 30
"""The same at the foot of a page."""
_LEAST_TABLES = 150.0
"""Tables begin below a drawing where so much room is left, else on the next page. [pt]"""
_SHARE = 0.4
"""Of a page, for the drawing of a soffit at most."""


def elevations_pdf(plan: Plan, paper: Paper | None = None) -> bytes:
    """Set the elevations of a plan on numbered pages, the same bytes for the same plan.

    Parameters
    ----------
    plan
        A checked plan.
    paper
        If not given, US letter where the job is in feet or inches, A4 where it is metric.
    """
    return set_pages("elevations.typ", book_data(plan, paper))


def book_data(plan: Plan, paper: Paper | None = None) -> dict[str, Any]:
    """Give all that stands on the elevations as plain data, texts and strokes."""
    paper = paper or paper_for(plan.job.unit)
    name = plain(plan.job.name)
    sources = places_of_labels(cut_sheets(plan))
    return {
        "paper": paper.typst_name,
        "margins": {"x": _SIDE, "top": _OVER, "bottom": _UNDER},
        "title": f"Elevations: {name}",
        "job": breakable(name),
        "made_by": MADE_BY,
        "foot": f"Elevations · {MADE_BY} · {shortened(name, 60)}",
        "read": [unbroken(words) for words in (*_how_to_read(plan), *missing_letters(plan))],
        "notices": [breakable(unbroken(text)) for text in notices(plan)],
        "cautions": [
            {"about": caution.about, "text": caution.text}
            for caution in cautions(*(siding.family for siding in plan.job.sidings))
        ],
        "assumed": unbroken(
            "; ".join(f"{what}: {value}" for what, value in assumptions(plan)) + "."
        ),
        "walls": [_wall(wall, plan, paper, sources) for wall in plan.job.walls],
        "soffits": [_soffit(soffit, plan, paper, sources) for soffit in plan.job.soffits],
    }


def _how_to_read(plan: Plan) -> list[str]:
    """Explain the drawings, one text for each thing to know."""
    lapped = any(s.family is Family.LAPPED for s in plan.job.sidings)
    words = [
        "Walls are drawn to scale and seen from outside. Hang by the labels and by the"
        " heights; do not measure on the paper.",
        "At the left of a wall stands its story pole: the number of each course and the height"
        " of its butt edge (lower edge), up from the wall's bottom. Short marks on the pole are"
        " sills, heads, eaves, steps, the peak and the starter. At the right are the heights"
        " of the wall's corners; below it, from the wall's left end, the sides of the"
        " openings, the steps, and the other corners of its outline.",
        "A thick upright line with two wedges is a seam. A hatched area is an opening."
        + (
            " Thick dashes are a cut edge: a top edge has lost its nail hem, a bottom edge its"
            " lock. Punch it and set it in the channel there."
            if lapped
            else ""
        ),
        "Grey ground is another siding than the first, or a belly band."
        if len(plan.job.sidings) > 1
        else "",
        "Where a piece has no room for its label, the label stands beside it, tied to a dot."
        " Small labels inside an opening are the trim of that side; all trim is in the table.",
        "Tick a piece in the table when it hangs. “Sheet” is the number of its cut sheet.",
    ]
    if plan.job.unit.is_metric:
        words.append("Numbers in drawings are millimetres.")
    return [text for text in words if text]


def _wall(wall: Wall, plan: Plan, paper: Paper, sources: Sources) -> dict[str, Any]:
    rooms = {
        lies: (
            (paper.height if lies else paper.width) - 2 * _SIDE,
            (paper.width if lies else paper.height) - _OVER - _UNDER - _HEADING,
        )
        for lies in (True, False)
    }
    # A page lies but where the wall takes fewer parts, or comes out larger, on one that stands.
    lies = fit(wall, plan, *rooms[True]) >= fit(wall, plan, *rooms[False])
    sheet = draw_wall(wall, plan, *rooms[lies])
    own = [piece for piece in plan.siding if piece.wall == wall.mark]
    size, *facts = wall_facts(wall, plan)
    return {
        "name": breakable(shortened(wall_name(wall), _LONG_NAME)),
        "foot": shortened(wall_name(wall), _SHORT_NAME),
        "lies": lies,
        "size": unbroken(size),
        "facts": [breakable(unbroken(fact)) for fact in facts],
        "parts": [
            {"title": unbroken(part.title), "drawing": _data(part.drawing)}
            for part in sheet.parts
        ],
        "is_full": sheet.parts[-1].drawing.height > rooms[lies][1] - _LEAST_TABLES,
        "key": _key(wall, plan, sheet),
        "left_out": [_left_out(piece, plan) for piece in own if piece.label in sheet.left_out],
        "hanging": [breakable(unbroken(text)) for text in hanging_notes(wall, plan)],
        "openings": [[breakable(cell) for cell in row] for row in opening_rows(wall, plan)],
        "courses": [
            {
                "heading": unbroken(_course(group, plan)),
                "rows": [_piece_row(piece, plan, sources) for piece in group],
            }
            for number in sorted({piece.course for piece in own})
            for group in [[piece for piece in own if piece.course == number]]
        ],
        "heights": _heights(wall, plan),
        "trim": _trim_rows(wall.mark, plan, sources),
    }


def _heights(wall: Wall, plan: Plan) -> list[list[str]]:
    """List the heights to mark: on the tape, in feet where the job is not metric, and what."""
    unit = plan.job.unit
    return [
        [
            on_tape(mark.height, unit),
            *([] if unit.is_metric else [on_wall(mark.height, unit)]),
            breakable(mark.text),
        ]
        for mark in sorted(wall_marks(wall, plan), key=lambda mark: mark.height)
    ]


def _key(wall: Wall, plan: Plan, sheet: WallSheet) -> str:
    """Say below a drawing what its lines mean, as far as it has them."""
    words = ["Seen from outside."]
    if any(seam.wall == wall.mark for seam in plan.seams):
        words.append("Thick upright line with wedges: seam.")
    if sheet.has_cut_tops and sheet.has_cut_feet:
        words.append("Thick dashes: cut top or bottom edge, to punch and to support.")
    elif sheet.has_cut_tops:
        words.append("Thick dashes: cut top edge, to punch and to support.")
    elif sheet.has_cut_feet:
        words.append("Thick dashes: ripped bottom edge, to punch and to support.")
    if plan.job.unit.is_metric:
        words.append("Numbers are millimetres.")
    return " ".join(words)


def _left_out(piece: SidingPiece, plan: Plan) -> str:
    """Say where a piece is whose label has no room on the drawing."""
    at = on_wall(piece.x, plan.job.unit)
    return unbroken(f"{breakable(plain(piece.label))}: course {piece.course}, left end at {at}")


def _course(own: Sequence[SidingPiece], plan: Plan) -> str:
    """Name a course with the height of its butt edge and its seams, on one line."""
    first, unit = own[0], plan.job.unit
    side = "below" if first.y < 0 else "up"
    words = f"Course {first.course} · butt edge {on_wall(abs(first.y), unit)} {side}"
    if plan.siding_of(first).varies:
        words += f" · exposure {on_tape(plan.exposure_of(first), unit)}"
    seams = seams_of(own, plan)
    if seams:
        word = "seam" if len(seams) == 1 else "seams"
        words += f" · {word} {', '.join(on_wall(x, unit) for x in seams)}"
    return words


def _piece_row(piece: SidingPiece, plan: Plan, sources: Sources) -> list[str]:
    """Tell a piece in one row: label, length, where its left end is, what it is, its sheet."""
    unit = plan.job.unit
    return [
        breakable(plain(piece.label)),
        on_tape(piece.length, unit),
        on_wall(piece.x, unit),
        breakable(_shape(piece, unit)),
        str(sources[piece.label][0].number),
    ]


def _shape(piece: SidingPiece, unit: Unit) -> str:
    """Say in a few words how a piece differs from a plain one."""
    words = []
    names = [name for name in shapes.notch_names(piece) if name not in shapes.FOOT]
    if piece.ripped:
        words.append("ripped top")
    if any(notch.opening in shapes.FOOT for notch in piece.notches):
        part = ripped_foot(piece, unit)
        words.append(f"ripped bottom: {part}" if part else "ripped bottom")
    raked = [
        side
        for side, end in (("left", piece.left), ("right", piece.right))
        if end.cut is EndCut.RAKED or end.profile
    ]
    if raked:
        words.append("raked " + " and ".join(raked))
    if names:
        words.append("notched for " + ", ".join(names))
    return "; ".join(words)


def _trim_rows(mark: str, plan: Plan, sources: Sources) -> list[list[str]]:
    return [
        [
            breakable(plain(piece.label)),
            role_words(piece.role),
            breakable(_place(piece, plan)),
            on_tape(piece.length, plan.job.unit),
            str(sources[piece.label][0].number),
        ]
        for piece in plan.trim
        if piece.wall == mark
    ]


def _place(piece: TrimPiece, plan: Plan) -> str:
    """Say where a piece of trim goes; below the name of its soffit that is not said again."""
    place = plain(piece.place)
    for soffit in plan.job.soffits:
        name = plain(soffit.name)
        if soffit.mark == piece.wall and (place == name or place.startswith(f"{name}, ")):
            return place.removeprefix(name).removeprefix(", ")
    return place


def _soffit(soffit: Soffit, plan: Plan, paper: Paper, sources: Sources) -> dict[str, Any]:
    panels = [panel for panel in plan.soffits if panel.soffit == soffit.mark]
    room = (paper.height - 2 * _SIDE, _SHARE * paper.width)
    drawings: Sequence[Drawing] = (
        draw_soffit(soffit, panels, plan.job.unit, *room) if panels else ()
    )
    return {
        "name": breakable(shortened(soffit_name(soffit), _LONG_NAME)),
        "facts": [breakable(unbroken(fact)) for fact in soffit_facts(soffit, panels, plan)],
        "drawings": [_data(drawing) for drawing in drawings],
        "trim": _trim_rows(soffit.mark, plan, sources),
    }


def _data(drawing: Drawing) -> dict[str, Any]:
    return {
        "width": round(drawing.width, 2),
        "height": round(drawing.height, 2),
        "strokes": drawing.strokes,
    }
