"""Large sketches of siding pieces: where they are notched, sloped and ripped.

Lengths stand below each piece, from its own left end.  Heights are arrows inside the
piece that stand on the butt edge, so that none can be read as a depth from the top.
All sketches of a plan have one scale, so that one slope looks the same in all of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lapwright.plan import NotchEdge
from lapwright_cli.reports import shapes
from lapwright_cli.reports.drawing import (
    BETWEEN,
    CAPITAL,
    CUT_PEN,
    EDGE_PEN,
    LETTER_SIZE,
    Drawing,
    bare,
    box,
    factory_ends,
    marks_below,
    text_width,
)
from lapwright_cli.reports.labels import Box, crosses

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.measure import Unit
    from lapwright.plan import PieceNotch, Plan, SidingPiece

_RISE = 46.0
"""Height at which a whole exposure is drawn. [pt]"""
_SMALL = 100.0
"""A piece that would be drawn narrower than this is drawn larger. [pt]"""
_ZOOM = 1.7
"""How much larger a small piece is drawn, both ways."""
_CAPTION = 13.0
"""Room for the name of a piece above its sketch. [pt]"""
_BESIDE = 22.0
"""Room between two sketches beside each other. [pt]"""
_APART = 4.0
"""Between the middle of that room and the last number of a sketch. [pt]"""
_ABOVE = 13.0
"""Height at which the covered part of a plank is drawn above its face line. [pt]"""
_HEAD = 4.0
"""Length of an arrowhead. [pt]"""


@dataclass(frozen=True, slots=True)
class Height:
    """A height up from the butt edge that is measured in a sketch. [ticks]"""

    v: int
    low: int
    """From here on the arrow may stand, from the piece's left end."""
    high: int
    """As far as here."""
    is_right: bool | None = None
    """Whether it belongs to the right or left side of this stretch, None if to both."""
    is_tip: bool = False
    """Whether it is a point, beside which there is no room inside the piece."""


def draw_pieces(pieces: Sequence[tuple[str, SidingPiece]], plan: Plan, width: float) -> Drawing:
    """Draw pieces large, each with its caption, beside each other as far as they go.

    The drawing comes out no wider than they need.

    Parameters
    ----------
    pieces
        Caption (it may be empty) and piece of each, from left to right.
    plan
        Gives the unit, the exposures, and the longest stock length, which is drawn nearly
        as wide as the drawing.
    width
        Of the drawing. [pt]
    """
    drawing, unit = Drawing(width), plan.job.unit
    # Two pieces of one stock length must find room beside each other.
    most = width - _BESIDE - 12
    longest = max(plan.siding_of(piece).longest for _, piece in pieces)
    scale = most / max(longest, *(p.length for _, p in pieces))
    greatest = max(plan.exposure_of(piece) for _, piece in pieces)
    x = y = foot = used = 0.0
    for caption, piece in pieces:
        zoom = _ZOOM if piece.length * scale < _SMALL else 1.0
        marks = [bare(mark, unit) for mark in _marks(piece)]
        slot = max(
            piece.length * scale * zoom + 2,
            sum(text_width(text) + BETWEEN * LETTER_SIZE for text in marks),
            text_width(caption, 10),
        )
        if x and x + slot > width:
            x, y = 0.0, foot + 4
        rise = _RISE / greatest * zoom
        sketch = _Sketch(drawing, piece, unit, x + 1, scale * zoom, rise)
        sketch.goes_on = shapes.goes_on(piece, plan)
        if caption:
            drawing.text(x + text_width(caption, 10) / 2, y, caption, 10)
        top, end = y + (_CAPTION if caption else 2), min(x + slot + _BESIDE / 2 - _APART, width)
        foot = max(foot, sketch.draw(top, plan.exposure_of(piece), end))
        used = max(used, end)
        x += slot + _BESIDE
    drawing.width, drawing.height = used, foot
    return drawing


@dataclass(slots=True)
class _Sketch:
    """One piece on a drawing, its lengths and heights each to their own scale."""

    drawing: Drawing
    piece: SidingPiece
    unit: Unit
    x: float
    """Its left end. [pt]"""
    scale: float
    """Of lengths. [pt / tick]"""
    rise: float
    """Of heights. [pt / tick]"""
    base: float = 0.0
    """Its butt edge. [pt]"""
    goes_on: tuple[bool, bool] = (False, False)
    """Whether the slope at its left and at its right goes on above its face line."""

    def draw(self, top: float, exposure: int, most: float) -> float:
        """Draw the piece from the top down and give where it ends. [pt]"""
        drawing, piece = self.drawing, self.piece
        whole = max(exposure, piece.height)
        if any(self.goes_on):
            self._draw_above(top)
            top += _ABOVE
        self.base = top + whole * self.rise
        right = self.x + piece.length * self.scale
        drawing.area(box(self.x, top, right, self.base), "waste", 0.4)
        outline = shapes.outline(piece)
        drawing.area((self.spot(*s) for s in outline), "white", EDGE_PEN)
        for hole in shapes.holes(piece):
            drawing.area((self.spot(*s) for s in hole), "waste", 0)
        if any(self.goes_on):
            self._dash_face_line(outline)
        arrows = self._arrows(top, most)
        for x, v, text, (left, upper) in arrows:
            tip = self.base - v * self.rise
            drawing.area(box(x - 4, tip, x + 4, self.base - EDGE_PEN), "white", 0)
            drawing.area(
                box(
                    left - 2,
                    upper - 2,
                    left + text_width(text) + 2,
                    upper + LETTER_SIZE * CAPITAL + 2,
                ),
                "white",
                0,
            )
        for a, b in self._cuts(whole):
            drawing.line(*self.spot(*a), *self.spot(*b), CUT_PEN)
        for x, v, text, (left, upper) in arrows:
            self._arrow(x, v)
            drawing.text(left + text_width(text) / 2, upper, text)
        factory_ends(drawing, piece, self.x, right, top, self.base, self.rise)
        marks = [(self.x + u * self.scale, bare(u, self.unit)) for u in _marks(piece)]
        low = max(0.0, self.x - _BESIDE / 2 + _APART)
        return marks_below(drawing, marks, self.base, low, max(most, right))

    def _draw_above(self, top: float) -> None:
        """Draw the part of a plank that the course above covers, slopes dashed.

        The face line is dashed as well, for it is no edge of the plank.
        """
        drawing, face = self.drawing, top + _ABOVE
        right = self.x + self.piece.length * self.scale
        corners = []
        for profile, is_right, goes_on in (
            (self.piece.left.profile, False, self.goes_on[0]),
            (self.piece.right.profile, True, self.goes_on[1]),
        ):
            side = -1 if is_right else 1
            edge = right if is_right else self.x
            x = edge + side * (profile[-1][1] * self.scale if profile else 0)
            lean = 0.0
            if goes_on:
                (v1, out), (v2, inset) = profile[-2:]
                lean = side * (inset - out) * self.scale / ((v2 - v1) * self.rise)
            corners.append((x, lean))
        (low_left, left_lean), (low_right, right_lean) = corners
        closing = left_lean - right_lean
        # Slopes that meet there come to a point.
        high = min(_ABOVE, (low_right - low_left) / closing) if closing > 0 else _ABOVE
        up_left, up_right = low_left + high * left_lean, low_right + high * right_lean
        drawing.area(box(self.x, top, right, face), "waste", EDGE_PEN)
        drawing.area(
            (
                (low_left, face),
                (low_right, face),
                (up_right, face - high),
                (up_left, face - high),
            ),
            "white",
            0,
        )
        for notch in self.piece.notches:
            spots = notch.points or ((notch.start, self.piece.height), (notch.end, 0))
            across = [u for u, v in spots if v == self.piece.height or not notch.points]
            if notch.edge in (NotchEdge.SILL, NotchEdge.END) and len(across) > 1:
                first, last = (self.x + u * self.scale for u in (min(across), max(across)))
                drawing.area(box(first, top, last, face), "waste", EDGE_PEN)
        drawing.line(self.x, top, right, top, EDGE_PEN)
        for low_x, up_x, goes_on in (
            (low_left, up_left, self.goes_on[0]),
            (low_right, up_right, self.goes_on[1]),
        ):
            pen = CUT_PEN if goes_on else EDGE_PEN
            drawing.line(low_x, face, up_x, face - high, pen, dash=goes_on)

    def _dash_face_line(self, outline: Sequence[shapes.Spot]) -> None:
        for a, b in zip(outline, (*outline[1:], outline[0]), strict=True):
            if a.v == b.v == self.piece.height:
                (x1, y), (x2, _) = self.spot(*b), self.spot(*a)
                self.drawing.area(box(x1, y - EDGE_PEN, x2, y + EDGE_PEN), "white", 0)
                self.drawing.line(x1, y, x2, y, EDGE_PEN, dash=True)

    def spot(self, u: int, v: int) -> tuple[float, float]:
        """Find a spot of the piece on the paper. [pt]"""
        return self.x + u * self.scale, self.base - v * self.rise

    def _cuts(self, whole: int) -> list[tuple[shapes.Spot, shapes.Spot]]:
        """Find the edges that are cut: all that do not lie along the whole panel's."""
        found = []
        for ring in (shapes.outline(self.piece), *shapes.holes(self.piece)):
            for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
                is_end = a.u == b.u and a.u in (0, self.piece.length)
                is_edge = a.v == b.v and a.v in (0, whole)
                if not (is_end or is_edge):
                    found.append((a, b))
        return found

    def _arrows(
        self, top: float, most: float
    ) -> list[tuple[float, int, str, tuple[float, float]]]:
        """Find a place for every height: arrow, height, text, and where the text begins."""
        placed: list[tuple[float, int, str, tuple[float, float]]] = []
        taken: list[tuple[float, float]] = []
        measured = heights(self.piece)
        if any(self.goes_on):
            span = shapes.face_line(self.piece)
            measured.append(Height(shapes.face_mark(self.piece), *span))
        for height in measured:
            text = bare(height.v, self.unit)
            wide, tall = text_width(text), LETTER_SIZE * CAPITAL
            low, high = self.x + height.low * self.scale, self.x + height.high * self.scale
            x, left = self._spot(height, wide, low, high, most)
            step = -6 if height.is_right else 6
            while high - low >= wide + 24 and low + 9 <= x + step <= high - 9:
                if not any(a < left + wide + 4 and min(left, x) - 6 < b for a, b in taken):
                    break
                x, left = x + step, left + step
            length = height.v * self.rise
            upper = self.base - length / 2 - tall / 2
            if height.is_tip and self._is_wide_below(height, wide + 12, tall + 6):
                # Beside the tip the slopes would run through the number.
                upper = self.base - tall - 4
            elif height.is_tip or length < tall + 2.5:
                upper = self.base - length - tall - 3
            if not height.is_tip:
                left = self._clear_of_slopes(left, upper, wide, tall, most)
            taken.append((min(left, x) - 4, max(left + wide, x)))
            placed.append((x, height.v, text, (left, max(upper, top + 3))))
        return placed

    def _clear_of_slopes(
        self, left: float, upper: float, wide: float, tall: float, most: float
    ) -> float:
        """Move a number aside as far as it takes for no slope to run through it. [pt]"""
        slopes = [
            (self.spot(*a), self.spot(*b))
            for a, b in self._cuts(0)
            if a.u != b.u and a.v != b.v
        ]
        for step in (0, 6, 12, 18, 24, -6, -12, -18, -24):
            begin = left + step
            room = Box(begin - 2, upper - 2, begin + wide + 2, upper + tall + 2)
            if 0 <= begin <= most - wide and not any(crosses(a, b, room) for a, b in slopes):
                return begin
        return left

    def _is_wide_below(self, height: Height, wide: float, tall: float) -> bool:
        """Whether a number has room beside a point's arrow, down at the butt edge. [pt]"""
        near = min(height.low, int(self.piece.length) - height.low) * self.scale
        high = height.v * self.rise
        return high > tall and near * (1 - tall / high) > wide

    @staticmethod
    def _spot(
        height: Height, wide: float, low: float, high: float, most: float
    ) -> tuple[float, float]:
        """Find where an arrow stands at first, and where its number begins. [pt]"""
        if height.is_tip:
            x = (low + high) / 2
            return x, x + 7 if x + 7 + wide <= most else x - 7 - wide
        if high - low >= wide + 24:
            if height.is_right:
                return high - 10, high - 17 - wide
            x = low + (16 if height.low == 0 else 9)
            return x, x + 7
        # No room for the number inside the notch: it stands beside it.
        x = {True: high - 4, False: low + 4, None: (low + high) / 2}[height.is_right]
        before, after = low - 5 - wide, high + 5
        goes_before = height.is_right is False or after + wide > most
        return x, before if goes_before and before > 0 else after

    def _arrow(self, x: float, v: int) -> None:
        """Draw an arrow from the butt edge up to a height."""
        tip, foot = self.base - v * self.rise, self.base
        head = min(_HEAD, (foot - tip) / 2.5)
        self.drawing.line(x, tip, x, foot, 0.7)
        for y, away in ((tip, head), (foot, -head)):
            self.drawing.area(((x, y), (x - 2.4, y + away), (x + 2.4, y + away)), "black", 0)


def heights(piece: SidingPiece) -> list[Height]:
    """Find the heights that are measured in the sketch of a piece, each once."""
    found: list[Height] = []
    for notch in piece.notches:
        start, end = int(notch.start), int(notch.end)
        if notch.points:
            found += _traced_height(notch)
        elif notch.edge is NotchEdge.HOLE:
            # Both stand at a hole's side, their numbers beside it, one at each.
            found.append(Height(int(notch.cut_left), start, start, is_right=False))
            found.append(Height(int(notch.upper), end, end, is_right=True))
        elif notch.cut_right == notch.cut_left:
            found.append(Height(int(notch.cut_left), start, end))
        else:
            found.append(Height(int(notch.cut_left), start, end, is_right=False))
            found.append(Height(int(notch.cut_right), start, end, is_right=True))
    for side, is_right in ((piece.left, False), (piece.right, True)):
        for number, (v, inset) in enumerate(side.profile):
            is_top = number == len(side.profile) - 1
            is_told = number and side.profile[number - 1][0] == v
            if v <= 0 or is_told or (is_top and v >= piece.height):
                continue
            near = int(piece.length - inset if is_right else inset)
            span = (near // 2, near) if is_right else (near, (near + piece.length) // 2)
            found.append(Height(int(v), *span, is_right=is_right or None))
    if piece.ripped:
        found.append(Height(int(piece.height), 0, int(piece.length)))
    elif shapes.is_sloped(piece) and _is_peak(piece):
        tip = int(piece.left.profile[-1][1]) if piece.left.profile else 0
        found.append(Height(int(piece.height), tip, tip, is_tip=True))
    return found


def _traced_height(notch: PieceNotch) -> list[Height]:
    """Measure the deepest place of a traced notch; the table holds all others."""
    if notch.edge is NotchEdge.END:
        return []
    at = [int(u) for u, v in notch.points if v == notch.cut_left]
    return [Height(int(notch.cut_left), min(at), max(at))]


def _is_peak(piece: SidingPiece) -> bool:
    return shapes.edges(piece)[1] <= shapes.POINT


def _marks(piece: SidingPiece) -> list[int]:
    """Find the marks along a piece, from its left end."""
    marks = {0, int(piece.length)}
    for notch in piece.notches:
        marks |= {int(notch.start), int(notch.end)}
    for side, is_right in ((piece.left, False), (piece.right, True)):
        insets = [int(inset) for _, inset in side.profile]
        if is_right and piece.left.profile and _is_peak(piece):
            # The point has one mark, though whole marks of the tape may give it two.
            insets = insets[:-1]
        marks |= {piece.length - inset if is_right else inset for inset in insets}
    return sorted(marks)
