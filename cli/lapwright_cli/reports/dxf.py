"""Elevations and cut sheets as drawings for CAD (DXF R2010), in real units.

Lengths are inches, or millimetres in metric jobs.  What a thing is, is told by its layer:
outline, openings, pieces, seams, trim, stock, cuts, offcuts and labels.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING, Any

from lapwright.job.corners import corners_of
from lapwright.job.wall import OpeningShape
from lapwright.measure import INCH, MILLIMETRE
from lapwright_cli.reports import shapes
from lapwright_cli.reports.cutsheets import number_ranges
from lapwright_cli.reports.panels import panel_corners
from lapwright_cli.reports.sheets import CutSheet, crosscuts, cut_sheets, gaps
from lapwright_cli.reports.writing import (
    heading,
    kerf_of,
    on_tape,
    plain,
    plural,
    stock_words,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from lapwright.job.soffit import Soffit
    from lapwright.job.wall import Wall
    from lapwright.plan import Plan, SidingPiece, TrimPiece

_INCHES, _MILLIMETRES = 1, 4
"""Values of $INSUNITS (DXF reference, header section)."""
# Colours are for the screen only; each layer differs by its line as well, for grey print.
_LAYERS = {
    "outline": (7, "CONTINUOUS", 50),
    "openings": (5, "CONTINUOUS", 35),
    "pieces": (7, "CONTINUOUS", 18),
    "seams": (1, "CONTINUOUS", 70),
    "trim": (3, "CONTINUOUS", 25),
    "stock": (8, "DASHED", 13),
    "cuts": (1, "CONTINUOUS", 70),
    "offcuts": (8, "DASHED", 13),
    "labels": (7, "CONTINUOUS", 18),
}
"""Of each layer: colour index, line type, and line width. [1/100 mm]"""


_HALF = 4
"""The middle of a piece. [eighths of its length]"""
_AMID = 4
"""Value of the alignment of a text about its middle (DXF reference, TEXT, code 72)."""
_WIDE = 1.1
"""Width to reckon with for a letter of an unknown face. [of its height]"""


@dataclass(slots=True)
class _Sheet:
    """A drawing in the making, in the unit of the file."""

    space: Any
    per_unit: int
    """Ticks of the unit of the file. [ticks]"""
    letter: float
    """Height of a common text. [unit of the file]"""

    def size(self, ticks: float) -> float:
        """Turn a length into the unit of the file."""
        return ticks / self.per_unit

    def ring(self, layer: str, spots: Iterable[tuple[float, float]]) -> None:
        """Draw a closed line. [ticks]"""
        points = [(self.size(x), self.size(y)) for x, y in spots]
        self.space.add_lwpolyline(points, close=True, dxfattribs={"layer": layer})

    def line(self, layer: str, x1: float, y1: float, x2: float, y2: float) -> None:
        """Draw a straight line. [ticks]"""
        ends = (self.size(x1), self.size(y1)), (self.size(x2), self.size(y2))
        self.space.add_line(*ends, dxfattribs={"layer": layer})

    def words(
        self, x: float, y: float, text: str, share: float = 1.0, room: float | None = None
    ) -> None:
        """Set a text that begins at a place, smaller where it has not the room. [ticks]"""
        told = _escaped(text)
        height = self.letter * share
        if room is not None:
            height = min(height, self.size(room) / (_WIDE * max(1, len(told))))
        attributes = {"layer": "labels", "height": height}
        self.space.add_text(told, dxfattribs=attributes).set_placement(
            (self.size(x), self.size(y))
        )

    def name(self, x: float, y: float, piece: SidingPiece, text: str) -> None:
        """Set a name inside a piece whose left end is at x, where no notch takes it."""
        length = int(piece.length)
        for eighths in (4, 1, 7, 2, 6, 3, 5):
            at = length * eighths / 8
            near = min(at, length - at, length / 8 if eighths != _HALF else length / 4)
            if not any(n.start < at + near and at - near < n.end for n in piece.notches):
                break
        height = min(self.letter * 0.9, 0.6 * self.size(piece.height))
        height = min(height, self.size(2 * near) / (_WIDE * max(1, len(text))))
        told = _escaped(text)
        spot = (self.size(x + at), self.size(y + piece.height / 2))
        attributes = {"layer": "labels", "height": height, "halign": _AMID}
        attributes |= {"insert": spot, "align_point": spot}
        self.space.add_text(told, dxfattribs=attributes)


def elevations_dxf(plan: Plan) -> bytes:
    """Draw the walls and then the soffits side by side, each with its trim below it.

    All is at true size; soffits are seen from below, the wall at the bottom.
    """
    document, sheet = _begin(plan)
    x, gap = 0, 4 * plan.job.siding.exposure
    for wall in plan.job.walls:
        wide = _draw_wall(sheet, wall, plan, x)
        x += wide + gap
    for soffit in plan.job.soffits:
        x += _draw_soffit(sheet, soffit, plan, x) + gap
    return _bytes(document)


def cut_sheets_dxf(plan: Plan) -> bytes:
    """Draw every cut sheet as one stock length with its pieces, one below the other."""
    document, sheet = _begin(plan)
    pieces = {piece.label: piece for piece in plan.siding}
    y, step = 0, 3 * max(siding.exposure for siding in plan.job.sidings)
    for each in cut_sheets(plan):
        y -= step
        _draw_sheet(sheet, each, pieces, plan, y)
    return _bytes(document)


def _draw_wall(sheet: _Sheet, wall: Wall, plan: Plan, x: int) -> int:
    """Draw a wall from x on, and give the width that it takes. [ticks]"""
    exposure = plan.job.siding.exposure
    sheet.ring("outline", ((x + p.x, p.y) for p in wall.outline))
    sheet.words(x, wall.height + exposure, f"Wall {wall.mark}: {wall.name}", 2)
    for opening in wall.openings:
        left, low, high = opening.x, opening.sill, opening.head
        if opening.shape is OpeningShape.ROUND:
            _draw_round(sheet, x + left, low, opening.width, opening.height)
        else:
            sheet.ring("openings", ((x + p.x, p.y) for p in corners_of(opening)))
        sheet.words(x + left + exposure // 4, (low + high) // 2, opening.name)
    pieces = {piece.label: piece for piece in plan.siding if piece.wall == wall.mark}
    for piece in pieces.values():
        for ring in (shapes.outline(piece), *shapes.holes(piece)):
            sheet.ring("pieces", ((x + piece.x + u, piece.y + v) for u, v in ring))
        sheet.name(x + piece.x, piece.y, piece, piece.label)
    for seam in plan.seams:
        if seam.wall == wall.mark:
            first = pieces[seam.left]
            sheet.line("seams", x + seam.x, first.y, x + seam.x, first.y + first.height)
    own = [piece for piece in plan.trim if piece.wall == wall.mark]
    return max(int(wall.width), _draw_trim(sheet, own, plan, x))


def _draw_soffit(sheet: _Sheet, soffit: Soffit, plan: Plan, x: int) -> int:
    """Draw a soffit from x on, and give the width that it takes. [ticks]"""
    corners, depth = soffit.corners(), int(soffit.depth)
    low = min(corners.wall_left, corners.fascia_left)
    high = max(corners.wall_right, corners.fascia_right)
    left = x - int(low)
    ring = (
        (corners.wall_left, 0),
        (corners.wall_right, 0),
        (corners.fascia_right, depth),
        (corners.fascia_left, depth),
    )
    sheet.ring("outline", ((left + int(u), v) for u, v in ring))
    title = f"Soffit {soffit.mark}: {soffit.name}"
    sheet.words(left, depth + plan.job.siding.exposure, title, 2)
    panels = [panel for panel in plan.soffits if panel.soffit == soffit.mark]
    for panel in panels:
        corner = [(left + panel.x + u, panel.y + v) for u, v in panel_corners(panel, soffit)]
        sheet.ring("pieces", corner)
        first, last = min(u for u, _ in corner), max(u for u, _ in corner)
        middle = sum(v for _, v in corner) / len(corner)
        sheet.words(first + (last - first) / 10, middle, panel.label, 0.9, (last - first) * 0.8)
    named = {panel.label for panel in panels}
    own = [p for p in plan.trim if p.wall == soffit.mark and p.label not in named]
    return max(int(high - low), _draw_trim(sheet, own, plan, x))


def _draw_trim(sheet: _Sheet, own: Sequence[TrimPiece], plan: Plan, x: int) -> int:
    """Draw trim below what it belongs to, and give the width that it takes. [ticks]"""
    exposure = plan.job.siding.exposure
    # A plan knows in words where trim goes; so each piece is a line of its true length.
    for number, part in enumerate(own, 2):
        y = -number * exposure
        sheet.line("trim", x, y, x + part.length, y)
        told = f"{part.label}: {on_tape(part.length, plan.job.unit)}, {part.place}"
        sheet.words(x, y + exposure // 8, told, 0.8)
    return max((int(part.length) for part in own), default=0)


def _draw_round(sheet: _Sheet, x: int, y: int, width: int, height: int) -> None:
    centre = sheet.size(x + width / 2), sheet.size(y + height / 2)
    is_wide = width >= height
    long, short = max(width, height) / 2, min(width, height) / 2
    axis = (sheet.size(long), 0) if is_wide else (0, sheet.size(long))
    sheet.space.add_ellipse(centre, axis, short / long, dxfattribs={"layer": "openings"})


def _draw_sheet(
    sheet: _Sheet, each: CutSheet, pieces: Mapping[str, SidingPiece], plan: Plan, y: int
) -> None:
    """Draw a stock length whose butt edge lies at y. [ticks]"""
    bar, unit = each.pattern, plan.job.unit
    first = pieces.get(bar.cuts[0].label)
    high = plan.siding_of(first).exposure if first else plan.job.siding.exposure
    many = len(each.bars)
    kerf = kerf_of(each.material, plan)
    sheet.ring("stock", ((0, y), (bar.stock, y), (bar.stock, y + high), (0, y + high)))
    bars = f"{'bar' if many == 1 else 'bars'} {number_ranges(b.number for b in each.bars)}"
    kind = "leftover" if each.is_leftover else "stock length"
    told = (
        f"Sheet {each.number}: {plural(many, kind)} of"
        f" {stock_words(bar.stock, unit)}, {heading(each.material)}, {bars}"
    )
    sheet.words(0, y + high + high // 4, told)
    for position, cut in enumerate(bar.cuts):
        piece = pieces.get(cut.label)
        if piece is None:
            corners = ((cut.start, y), (cut.end, y), (cut.end, y + high), (cut.start, y + high))
            sheet.ring("pieces", corners)
        else:
            for ring in (shapes.outline(piece), *shapes.holes(piece)):
                sheet.ring("pieces", ((cut.start + u, y + v) for u, v in ring))
        labels = each.labels(position)
        name = labels[0] if many == 1 else f"({position + 1})"
        if piece is None:
            room = (cut.end - cut.start) * 3 // 4
            sheet.words(cut.start + high // 8, y + high // 4, name, 0.9, room)
        else:
            sheet.name(cut.start, y, piece, name)
        if many > 1:
            line = y + high // 2 - position * high * 2 // 3
            sheet.words(bar.stock + high, line, f"({position + 1}) {', '.join(labels)}", 0.8)
    for low, end in gaps(bar, kerf):
        sheet.ring("offcuts", ((low, y), (end, y), (end, y + high), (low, y + high)))
    for mark in crosscuts(bar, kerf):
        sheet.line("cuts", mark.at, y, mark.at, y + high)
        sheet.words(mark.at, y - high // 2, on_tape(mark.at, unit), 0.6)


def _begin(plan: Plan) -> tuple[Any, _Sheet]:
    ezdxf = _library()
    is_metric = plan.job.unit.is_metric
    per_unit = MILLIMETRE if is_metric else INCH
    # Else the file would hold the hour and a number by chance: no two would be the same.
    ezdxf.options.write_fixed_meta_data_for_testing = True
    document = ezdxf.new("R2010", setup=["linetypes"])
    document.header["$INSUNITS"] = _MILLIMETRES if is_metric else _INCHES
    document.header["$MEASUREMENT"] = int(is_metric)
    for name, (color, line, weight) in _LAYERS.items():
        layer = document.layers.add(name, color=color, linetype=line)
        layer.dxf.lineweight = weight
    letter = plan.job.siding.exposure / per_unit / 2
    return document, _Sheet(document.modelspace(), per_unit, letter)


def _escaped(text: str) -> str:
    """Keep a text from being read as control codes: ^ and %% begin them."""
    return plain(text).replace("^", "^ ").replace("%%", 2 * "%%%")


def _library() -> Any:
    """Load the library of the extra; its typing does not say what it exports."""
    return import_module("ezdxf")


def _bytes(document: Any) -> bytes:
    ezdxf = _library()
    out = io.StringIO()
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        document.write(out)
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = False
    return out.getvalue().encode(document.output_encoding, errors="dxfreplace")
