"""A wall drawn to scale on paper, on as many pages as its labels need to be read.

Where a page is too small for the whole wall, its parts lie side by side and in rows, each
repeating a strip of its neighbour.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.job.corners import corners_of, readings_of
from lapwright.job.field import clip_outline
from lapwright.job.material import Family
from lapwright.job.wall import OpeningShape
from lapwright.measure import INCH
from lapwright.plan import NotchEdge
from lapwright_cli.reports import shapes
from lapwright_cli.reports.drawing import (
    BETWEEN,
    CAPITAL,
    EDGE_PEN,
    Drawing,
    box,
    settle,
    text_width,
)
from lapwright_cli.reports.labels import Box, beside, inside
from lapwright_cli.reports.places import places_along
from lapwright_cli.reports.poles import MarkKind, clad_courses, wall_marks
from lapwright_cli.reports.trimmarks import Side, trim_round
from lapwright_cli.reports.wallwords import opening_size, seam_span
from lapwright_cli.reports.writing import on_wall, plain

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.wall import Opening, Wall
    from lapwright.measure import Unit
    from lapwright.plan import Plan, SidingPiece

LEAST = 7.0
"""No label is smaller. [pt]"""
_MOST = 13.0
"""No label is larger. [pt]"""
_FILL = 0.86
"""Size of a label, of the height at which the least course is drawn."""
_FIGURE = 8.0
"""Size of the dimensions. [pt]"""
_LINE = 9.0
"""From one line of the dimensions to the next. [pt]"""
_PAD = 5.0
"""White round the wall, so that its outline is whole. [pt]"""
_ABOVE = 12.0
"""White above the wall, where labels of low pieces at its eave find room. [pt]"""
_CORNER = 12 * INCH
"""A piece that begins or ends so near to a wall's end is at its corner. [ticks]"""
_POLE = 9.0
"""Width of the story pole beside the wall. [pt]"""
_BELOW = 46.0
"""Room below the wall for its dimensions, at least. [pt]"""
_OVERLAP = 24 * INCH
"""What parts that lie side by side have in common, or more where labels are long. [ticks]"""
_ROOM = 3.0
"""Between a label and what stands beside it. [pt]"""
_LONGEST = 60.0
"""No longer label stands beside a wall. [pt]"""
_LEAST_ROOM = 1.5
"""The same of the smallest label, which passes between the wedges of seams. [pt]"""
_WHOLE = 0.98
"""Of the height of a piece, what counts as all of it."""
_DASHES = 3.0
"""Room that the dashes of a cut edge take. [pt]"""
_STEP = 1.0
"""From one height to the next at which the label of trim is tried. [pt]"""
_PEN = 0.5
"""Width of the edge of a piece. [pt]"""


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a wall on one page."""

    title: str
    """Which part it is and what of the wall it shows; empty where it shows all."""
    drawing: Drawing


@dataclass(frozen=True, slots=True)
class WallSheet:
    """A wall on paper."""

    parts: tuple[Part, ...]
    left_out: tuple[str, ...]
    """Labels of pieces too narrow for a label, with nothing free beside them."""
    has_cut_tops: bool
    """Whether the thick dashes of cut top edges are on it."""
    has_cut_feet: bool
    """Whether those of ripped bottom edges are on it."""


def draw_wall(wall: Wall, plan: Plan, width: float, height: float) -> WallSheet:
    """Draw a wall into the room of a page.

    Parameters
    ----------
    wall
        A wall of the plan.
    plan
        The plan.
    width, height
        Of the room. [pt]
    """
    return _Sheet(wall, plan, width, height).draw()


def fit(wall: Wall, plan: Plan, width: float, height: float) -> tuple[int, float]:
    """Tell how well a wall fits into a room: the larger, the better.

    Returns
    -------
    parts : int
        How many it takes, below zero.
    scale : float
        [pt / tick]
    """
    sheet = _Sheet(wall, plan, width, height)
    return -len(sheet.columns) * len(sheet.rows), sheet.scale


@dataclass(frozen=True, slots=True)
class _Window:
    """What a part shows of the wall. [ticks]"""

    x0: int
    x1: int
    y0: int
    y1: int


class _Sheet:
    """A wall on its way to paper."""

    def __init__(self, wall: Wall, plan: Plan, width: float, height: float) -> None:
        self.wall, self.plan, self.unit = wall, plan, plan.job.unit
        self.pieces = [piece for piece in plan.siding if piece.wall == wall.mark]
        self.courses = clad_courses(wall, plan)
        levels = [_height(y, self.unit) for y in self.courses]
        # Blanks before a number keep the columns upright in a type of fixed width.
        order, wide = len(str(len(levels))), max(map(len, levels), default=0)
        self.heights = [
            f"{n:>{order}}  {text:>{wide}}" for n, text in enumerate(levels, start=1)
        ]
        self.left = max((text_width(t, _FIGURE) for t in self.heights), default=0) + 12 + _POLE
        corners = [_height(int(p.y), self.unit) for p in wall.outline]
        self.right = max(text_width(text, _FIGURE) for text in corners) + 16
        places = places_along(wall, self.unit)
        self.places = [(x, text.removesuffix(" mm")) for x, text in places]
        rows = _rows([text for _, text in self.places], width - self.left)
        self.below = max(_BELOW, 22 + rows * _LINE)
        exposures = [plan.exposure_of(piece) for piece in self.pieces]
        self.exposure = min(exposures, default=plan.job.siding.exposure)
        self.ends = (_PAD, _PAD)
        self._fill(width, height)
        # Labels too long for narrow pieces at a corner stand outside it.
        apart = [p for p in self.pieces if self._least_width(p) > p.length * self.scale]
        left = [p for p in apart if p.x < _CORNER]
        right = [p for p in apart if p.x + p.length > wall.width - _CORNER]
        if left or right:
            self.ends = (_beside(left), _beside(right))
            self._fill(width, height)

    def _fill(self, width: float, height: float) -> None:
        """Choose the scale and the parts, so that the drawing fills a room. [pt]"""
        wall = self.wall
        across = width - self.left - self.right - sum(self.ends)
        up = height - self.below - _PAD - _ABOVE - _LINE
        least, most = LEAST / _FILL / self.exposure, _MOST / _FILL / self.exposure
        whole = min(across / wall.width, up / wall.height, most)
        self.scale = max(whole, least)
        longest = max((len(plain(piece.label)) for piece in self.pieces), default=0)
        overlap = max(_OVERLAP, int((text_width("0", LEAST) * longest + 9) / self.scale))
        self.columns = _parts(wall.width, across / self.scale, overlap)
        self.rows = _parts(wall.height, up / self.scale, 2 * self.exposure)
        # So many parts there are anyway: each is drawn as large as its page lets it be.
        wide, tall = (max(b - a for a, b in spans) for spans in (self.columns, self.rows))
        self.scale = max(self.scale, min(across / wide, up / tall, most))

    def draw(self) -> WallSheet:
        """Draw all parts."""
        windows = [
            _Window(x0, x1, y0, y1)
            # From the bottom up, as the wall is hung.
            for y0, y1 in self.rows
            for x0, x1 in self.columns
        ]
        parts, seen = [], set[str]()
        for number, window in enumerate(windows, start=1):
            part = _Part(self, window)
            parts.append(Part(self._title(number, len(windows), window), part.draw()))
            seen |= part.labelled
        left_out = tuple(p.label for p in self.pieces if p.label not in seen)
        has_tops, has_feet = (
            any(line for piece in self.pieces for line in edges(piece, self))
            for edges in (_cut_tops, _cut_feet)
        )
        return WallSheet(tuple(parts), left_out, has_tops, has_feet)

    def _title(self, number: int, many: int, window: _Window) -> str:
        if many == 1:
            return ""
        words = f"part {number} of {many}"
        if len(self.columns) > 1:
            words += f": {on_wall(window.x0, self.unit)} to {on_wall(window.x1, self.unit)}"
            words += " from the left"
        if len(self.rows) > 1:
            joint = ", " if len(self.columns) > 1 else ": "
            low, high = on_wall(window.y0, self.unit), on_wall(window.y1, self.unit)
            words += f"{joint}{low} to {high} up"
        return words

    @cached_property
    def fits(self) -> dict[str, bool]:
        """Whether the label of each piece fits into it, were all of it on one page."""
        return {
            piece.label: self.place(piece, 0, int(piece.length)) is not None
            for piece in self.pieces
        }

    @staticmethod
    def _least_width(piece: SidingPiece) -> float:
        """Give the width that the smallest label of a piece needs. [pt]"""
        return text_width(plain(piece.label), LEAST) + 2 * _LEAST_ROOM

    def place(
        self, piece: SidingPiece, low: float, high: float
    ) -> tuple[float, float, float] | None:
        """Find middle and size of a label inside a piece between two places. [ticks, pt]"""
        label = plain(piece.label)
        # Dashes lie along a cut edge; the label stands in the middle of what they leave.
        over, under = (
            _DASHES if any(edges(piece, self)) else 0.0 for edges in (_cut_tops, _cut_feet)
        )
        dashes = over + under
        best = min(_MOST, self.scale * self.plan.exposure_of(piece) * _FILL)
        for size in (best, (best + LEAST) / 2, LEAST):
            wide = (text_width(label, size) + 2 * _ROOM) / self.scale
            if size == LEAST:
                wide = self._least_width(piece) / self.scale
            tall = (size * CAPITAL + 1.2) / self.scale
            found = inside(piece, wide, tall + dashes / self.scale, low, high)
            if found is not None:
                return found[0], found[1] + (under - over) / 2 / self.scale, size
            # Where the whole height is left there are no dashes.
            if dashes and not piece.ripped and tall <= piece.height:
                found = inside(piece, wide, _WHOLE * piece.height, low, high)
                if found is not None:
                    return *found, size
        return None


class _Part:
    """One part of a wall."""

    def __init__(self, sheet: _Sheet, window: _Window) -> None:
        self.sheet, self.window = sheet, window
        wall = sheet.wall
        self.whole = _Window(0, wall.width, 0, wall.height)
        # White beside the true ends of the wall only: elsewhere it goes on.
        self.pads = (
            sheet.ends[0] if window.x0 == 0 else 0.0,
            sheet.ends[1] if window.x1 == wall.width else 0.0,
            _ABOVE if window.y1 == wall.height else 0.0,
            _PAD if window.y0 == 0 else 0.0,
        )
        before, after, over, under = self.pads
        wide = (window.x1 - window.x0) * sheet.scale + before + after
        tall = (window.y1 - window.y0) * sheet.scale + over + under
        self.clip = Drawing(wide, tall)
        self.drawing = Drawing(sheet.left + wide + sheet.right)
        self.taken: list[Box] = []
        self.caps: list[Box] = []
        self.labelled: set[str] = set()

    def x(self, ticks: float) -> float:
        """Find a place along the wall in the clipped drawing. [pt]"""
        return self.pads[0] + (ticks - self.window.x0) * self.sheet.scale

    def y(self, ticks: float) -> float:
        """Find a height of the wall in the clipped drawing. [pt]"""
        return self.pads[2] + (self.window.y1 - ticks) * self.sheet.scale

    def draw(self) -> Drawing:
        """Draw all of it."""
        pieces = [piece for piece in self.sheet.pieces if self._is_seen(piece)]
        for piece in pieces:
            self._piece(piece)
        self._clear_below()
        bands = [
            [(self.x(p.x), self.y(p.y)) for p in strip]
            for below, above in pairwise(self.sheet.wall.zones)
            if (strip := clip_outline(self.sheet.wall.outline, below.high, above.low))
        ]
        for spots in bands:
            self.clip.area(spots, "band", 1.0)
        outline = [(self.x(p.x), self.y(p.y)) for p in self.sheet.wall.outline]
        for opening in self.sheet.wall.openings:
            self._opening(opening)
        # An opening that runs past the wall's edge must not hide that edge.
        self.clip.area(outline, "", 1.4)
        for spots in bands:
            self._name_band(spots)
        for piece in pieces:
            for line in _cut_tops(piece, self.sheet):
                for a, b in pairwise(line):
                    self._dashes(a, b, 1.4)
            for line in _cut_feet(piece, self.sheet):
                for a, b in pairwise(line):
                    self._dashes(a, b, -1.8)
        self._seams({piece.label: piece for piece in pieces})
        # Labels beside their pieces come last: they go where the others leave room.
        for piece in [piece for piece in pieces if not self._label(piece)]:
            self._label_beside(piece, outline)
        for opening in self.sheet.wall.openings:
            self._trim(opening)
        foot = _LINE + self.clip.height
        self._courses()
        self._levels()
        self._breaks(foot)
        self.drawing.height = self._widths(foot)
        self.drawing.clip(self.sheet.left, _LINE, self.clip)
        return self.drawing

    def _is_seen(self, piece: SidingPiece) -> bool:
        window = self.window
        across = piece.x < window.x1 and window.x0 < piece.x + piece.length
        return across and piece.y < window.y1 and window.y0 < piece.y + piece.height

    def _piece(self, piece: SidingPiece) -> None:
        is_first = piece.siding == self.sheet.plan.job.siding.name
        for ring, fill in (
            (shapes.outline(piece), "white" if is_first else "shade"),
            *((hole, "white") for hole in shapes.holes(piece)),
        ):
            spots = ((self.x(piece.x + u), self.y(piece.y + v)) for u, v in ring)
            self.clip.area(spots, fill, _PEN)

    def _clear_below(self) -> None:
        """Take away what of pieces is drawn below a lower roof, where it is cut off."""
        for a, b in self.sheet.wall.edges:
            if a.x < b.x and (a.y > 0 or b.y > 0):
                low = -2 * self.sheet.exposure
                spots = [(a.x, low), (b.x, low), (b.x, b.y), (a.x, a.y)]
                self.clip.area([(self.x(x), self.y(y)) for x, y in spots], "white", 0)

    def _name_band(self, spots: list[tuple[float, float]]) -> None:
        """Name a board between two zones where no opening stands in it, if there is room."""
        low, high = min(y for _, y in spots), max(y for _, y in spots)
        left = max(0.0, min(x for x, _ in spots))
        right = min(self.clip.width, max(x for x, _ in spots))
        half, name = text_width("belly band", _FIGURE) / 2 + 6, "belly band"
        for eighths in (4, 2, 6, 1, 7):
            middle = left + (right - left) * eighths / 8
            is_free = left + half <= middle <= right - half and not any(
                self.x(o.x) < middle + half
                and middle - half < self.x(o.right)
                and self.y(o.head) < high
                and low < self.y(o.sill)
                for o in self.sheet.wall.openings
            )
            if is_free and high - low >= _LINE:
                self._plate(middle, (low + high - _FIGURE * CAPITAL) / 2, name)
                return

    def _opening(self, opening: Opening) -> None:
        """Draw an opening, with its name and size in the middle, its head and sill at them."""
        spots = [(self.x(p.x), self.y(p.y)) for p in corners_of(opening)]
        # The hatch lets through what lies below it, such as ends that are traced later.
        self.clip.area(spots, "white", 0)
        self.clip.area(spots, "opening", 1.0)
        plan, window = self.sheet.plan, self.window
        if opening.kind in plan.job.head_flashing and opening.shape is OpeningShape.RECTANGLE:
            reach = plan.job.rules.head_flashing_reach
            y = self.y(opening.head) - 1.5
            left, right = opening.x - reach, opening.right + reach
            self.clip.line(self.x(left), y, self.x(right), y, 3.0)
            self.caps.append(Box(self.x(left), y - 1.5, self.x(right), y + 1.5))
        left, right = max(opening.x, window.x0), min(opening.right, window.x1)
        low, high = max(opening.sill, window.y0), min(opening.head, window.y1)
        if left >= right or low >= high:
            return
        seen = Box(self.x(left), self.y(high), self.x(right), self.y(low))
        wide, tall = seen.right - seen.left - 4, seen.high - seen.low - 4
        unit = self.sheet.unit
        size = opening_size(opening, unit).replace(" mm", "")
        lines = [_fitted(plain(opening.name), wide)]
        if text_width(size, _FIGURE) <= wide and tall >= 2 * _LINE:
            lines.append(size)
        ends: list[tuple[str, float]] = []
        if (readings := readings_of(opening)) is not None and tall >= 4 * _LINE:
            head, sill = (
                _height(left, unit)
                if left == right
                else f"{_height(left, unit)} / {_height(right, unit)}"
                for left, right in (readings.head, readings.sill)
            )
            told = [(f"head {head}", seen.low + 3, opening.head <= window.y1)]
            told.append((f"sill {sill}", seen.high - 3 - _FIGURE * CAPITAL, opening.sill > 0))
            told[1] = (*told[1][:2], told[1][2] and opening.sill >= window.y0)
            ends = [(t, y) for t, y, is_seen in told if is_seen]
            ends = [(t, y) for t, y in ends if text_width(t, _FIGURE) <= wide]
        middle = (seen.left + seen.right) / 2
        if lines[0] and tall >= _FIGURE:
            top = (seen.low + seen.high - _LINE * len(lines)) / 2 + 1.5
            for number, text in enumerate(lines):
                self._plate(middle, top + number * _LINE, text)
        for text, y in ends:
            self._plate(middle, y, text)

    def _trim(self, opening: Opening) -> None:
        """Set the labels of its trim inside an opening, each at its side, where it is free.

        What finds no room stands in the table of trim alone.
        """
        seen = Box(
            self.x(opening.x), self.y(opening.head), self.x(opening.right), self.y(opening.sill)
        )
        tall = LEAST * CAPITAL + 3
        many = int((seen.high - seen.low) / 2 // _STEP)
        middle, centre = (seen.left + seen.right) / 2, (seen.low + seen.high - tall) / 2
        for side, labels in trim_round(opening, self.sheet.wall, self.sheet.plan).items():
            text = " ".join(labels)
            is_wide = text_width(text, LEAST) + 6 > seen.right - seen.left
            # Labels too long for one line stand below each other.
            for line in labels if is_wide else (text,):
                half = text_width(line, LEAST) / 2 + 2
                x = middle
                tops = [seen.low + 1.5 + _STEP * step for step in range(many)]
                if side is Side.SILL:
                    tops = [seen.low + seen.high - tall - top for top in tops]
                elif side is not Side.HEAD:
                    x = seen.left + 1 + half if side is Side.LEFT else seen.right - 1 - half
                    tops = [centre + _STEP * way * n for n in range(many) for way in (1, -1)]
                for top in tops:
                    place = Box(x - half, top, x + half, top + tall)
                    if self._has_room(place, seen):
                        self.taken.append(place)
                        self.clip.plate(x, top + 1.5, line, LEAST)
                        break

    def _has_room(self, place: Box, inside_of: Box) -> bool:
        """Whether a text may stand at a place, in an opening and on this part's paper."""
        paper = Box(0, 0, self.clip.width, self.clip.height)
        return (
            inside_of.holds(place)
            and paper.holds(place)
            and not any(place.meets(other) for other in self.taken)
        )

    def _plate(self, middle: float, top: float, text: str) -> None:
        self.clip.plate(middle, top, text, _FIGURE)
        half = text_width(text, _FIGURE) / 2 + 2
        self.taken.append(
            Box(middle - half, top - 1.5, middle + half, top + _FIGURE * CAPITAL + 1.5)
        )

    def _dashes(self, a: tuple[float, float], b: tuple[float, float], inward: float) -> None:
        """Draw a cut edge so far inside the piece: punched, and held by a channel. [pt]"""
        (x1, y1), (x2, y2) = ((self.x(x), self.y(y)) for x, y in (a, b))
        self.clip.line(x1 + 1, y1 + inward, x2 - 1, y2 + inward, 1.6, dash=True)

    def _seams(self, pieces: dict[str, SidingPiece]) -> None:
        """Draw each seam as a thick upright line with a wedge at either end."""
        for seam in self.sheet.plan.seams:
            piece = pieces.get(seam.left) or pieces.get(seam.right)
            if seam.wall != self.sheet.wall.mark or piece is None:
                continue
            low, high = seam_span(seam, self.sheet.wall, self.sheet.plan)
            if low >= high:
                continue
            x, top, foot = self.x(seam.x), self.y(high), self.y(low)
            self.clip.line(x, top, x, foot, 1.4)
            for y, way in ((top, 1), (foot, -1)):
                self.clip.area(((x - 2.2, y), (x + 2.2, y), (x, y + 3.4 * way)), "black", 0)

    def _label(self, piece: SidingPiece) -> bool:
        """Set a label into its piece, and say whether no other place is wanted for it."""
        low = max(0, self.window.x0 - piece.x)
        high = min(int(piece.length), self.window.x1 - piece.x)
        middle = piece.y + piece.height / 2
        if not self.window.y0 <= middle <= self.window.y1:
            return True
        found = self.sheet.place(piece, low, high)
        if found is None:
            # Another part shows enough of it, or none would.
            return self.sheet.fits[piece.label] or not low <= piece.length / 2 <= high
        u, v, size = self._off_caps(piece, (low, high), found)
        x, y = self.x(piece.x + u), self.y(piece.y + v)
        self.clip.text(x, y - size * CAPITAL / 2, plain(piece.label), size)
        self.labelled.add(piece.label)
        return True

    def _off_caps(
        self,
        piece: SidingPiece,
        ends: tuple[float, float],
        found: tuple[float, float, float],
    ) -> tuple[float, float, float]:
        """Move a label off the black bars of head flashing, where it has room beside them."""
        half = text_width(plain(piece.label), found[2]) / 2
        x, y, tall = self.x(piece.x + found[0]), self.y(piece.y + found[1]), found[2] * CAPITAL
        own = Box(x - half, y - tall / 2, x + half, y + tall / 2)
        for cap in self.caps:
            if not own.meets(cap):
                continue
            left, right = (
                self.window.x0 + (at - self.pads[0]) / self.sheet.scale - piece.x
                for at in (cap.left, cap.right)
            )
            for low, high in ((ends[0], left), (right, ends[1])):
                other = self.sheet.place(piece, low, high) if low < high else None
                if other is not None and other[2] == found[2]:
                    return other
        return found

    def _label_beside(self, piece: SidingPiece, outline: list[tuple[float, float]]) -> None:
        """Set a label beside its piece, tied to it by a line that ends in a dot."""
        label = plain(piece.label)
        spots = [(self.x(piece.x + u), self.y(piece.y + v)) for u, v in shapes.outline(piece)]
        round_it = Box(
            min(x for x, _ in spots),
            min(y for _, y in spots),
            max(x for x, _ in spots),
            max(y for _, y in spots),
        )
        dot = self._amid(piece)
        wide, tall = text_width(label, LEAST) + 4, LEAST * CAPITAL + 2.5
        # Of a long piece the label stands near the dot, not beyond an end far away.
        round_it = Box(
            max(round_it.left, dot[0] - wide),
            round_it.low,
            min(round_it.right, dot[0] + wide),
            round_it.high,
        )
        free = [
            Box(self.x(o.x) + 1, self.y(o.head) + 1, self.x(o.right) - 1, self.y(o.sill) - 1)
            for o in self.sheet.wall.openings
        ]
        paper = Box(0, 0, self.clip.width, self.clip.height)
        place = beside(round_it, wide, tall, free, outline, self.taken, paper)
        if place is None:
            self._dot(*dot)
            return
        self.taken.append(place)
        near = (
            min(max(dot[0], place.left), place.right),
            min(max(dot[1], place.low), place.high),
        )
        self.clip.line(*near, *dot, 0.5)
        self._dot(*dot)
        self.clip.plate((place.left + place.right) / 2, place.low + 1.25, label, LEAST)
        self.labelled.add(piece.label)

    def _amid(self, piece: SidingPiece) -> tuple[float, float]:
        """Find a place well inside a piece. [pt]"""
        found = inside(piece, 1.0 / self.sheet.scale, 1.0 / self.sheet.scale, 0, piece.length)
        u, v = found or (piece.length / 2, piece.height / 2)
        return self.x(piece.x + u), self.y(piece.y + v)

    def _dot(self, x: float, y: float) -> None:
        self.clip.area(((x - 1.3, y), (x, y - 1.3), (x + 1.3, y), (x, y + 1.3)), "black", 0)

    def _courses(self) -> None:
        """Write the courses with the heights of their butt edges, and draw the story pole."""
        sheet, window = self.sheet, self.window
        foot = sheet.left - 6
        seen = [
            (self.y(y) + _LINE, text)
            for y, text in zip(sheet.courses, sheet.heights, strict=True)
            if window.y0 <= y <= window.y1
        ]
        top, base = self.y(window.y1) + _LINE, self.y(window.y0) + _LINE
        pole = box(foot - _POLE, top, foot, max(base, *(y for y, _ in seen), base))
        self.drawing.area(pole, "white", EDGE_PEN)
        for mark in wall_marks(sheet.wall, sheet.plan):
            if mark.kind is not MarkKind.COURSE and window.y0 <= mark.height <= window.y1:
                y = self.y(mark.height) + _LINE
                half = foot - _POLE / 2
                self.drawing.line(half, y, foot, y, 0.7)
        middles = settle([(y, _LINE - 1) for y, _ in reversed(seen)], 0.0, 0.0, base + _LINE)
        for (y, text), middle in zip(reversed(seen), middles, strict=True):
            self.drawing.line(foot - _POLE, y, foot, y, 1.4)
            x = foot - _POLE - 4
            if abs(middle - y) > 1:
                self.drawing.line(x, middle, foot - _POLE, y, 0.5)
            self.drawing.text(
                x - 1 - text_width(text, _FIGURE) / 2,
                middle - _FIGURE * CAPITAL / 2,
                text,
                _FIGURE,
            )

    def _levels(self) -> None:
        """Write the heights of the wall's corners at the right side."""
        sheet, window = self.sheet, self.window
        x = sheet.left + self.clip.width + 4
        levels = sorted({int(p.y) for p in sheet.wall.outline}, reverse=True)
        seen = [y for y in levels if window.y0 <= y <= window.y1]
        top, base = self.y(window.y1) + _LINE, self.y(window.y0) + _LINE
        self.drawing.line(x, top, x, base, 0.5)
        wanted = [(self.y(y) + _LINE, _LINE) for y in seen]
        middles = settle(wanted, 0.0, 0.0, base + _LINE)
        for y, (at, _), middle in zip(seen, wanted, middles, strict=True):
            text = _height(y, sheet.unit)
            self.drawing.line(x - 3, at, x + 3, at, 0.5)
            if abs(middle - at) > 1:
                self.drawing.line(x + 3, at, x + 7, middle, 0.5)
            self.drawing.text(
                x + 8 + text_width(text, _FIGURE) / 2,
                middle - _FIGURE * CAPITAL / 2,
                text,
                _FIGURE,
            )

    def _breaks(self, foot: float) -> None:
        """Draw the sides at which the wall goes on in another part."""
        left, right = self.sheet.left, self.sheet.left + self.clip.width
        sides = [
            (self.window.x0 > 0, (left, _LINE, left, foot)),
            (self.window.x1 < self.whole.x1, (right, _LINE, right, foot)),
            (self.window.y1 < self.whole.y1, (left, _LINE, right, _LINE)),
            (self.window.y0 > 0, (left, foot, right, foot)),
        ]
        for goes_on, ends in sides:
            if goes_on:
                self.drawing.line(*ends, 0.8, dash=True)

    def _widths(self, foot: float) -> float:
        """Write what stands along the wall and its width below, and give where it ends. [pt]"""
        sheet, window, unit = self.sheet, self.window, self.sheet.unit
        low, high = sheet.left, sheet.left + self.clip.width
        marks = [
            (sheet.left + self.x(x), text)
            for x, text in sheet.places
            if window.x0 <= x <= window.x1
        ]
        many = _rows([text for _, text in marks], self.drawing.width - sheet.left)
        for row in range(many):
            own = marks[row::many]
            base = foot + 9 + row * _LINE
            wanted = [(x, text_width(text, _FIGURE)) for x, text in own]
            middles = settle(wanted, BETWEEN * _FIGURE, low, self.drawing.width)
            for (x, text), middle in zip(own, middles, strict=True):
                self.drawing.line(x, foot, x, foot + 3, 0.5)
                self.drawing.line(x, foot + 3, middle, base - 1.5, 0.5)
                self.drawing.plate(middle, base, text, _FIGURE)
        y = foot + 9 + many * _LINE + 6 if marks else foot + 8
        first, last = low + self.pads[0], high - self.pads[1]
        self.drawing.line(first, y, last, y, 0.5)
        for x in (first, last):
            self.drawing.line(x, y - 3, x, y + 3, 0.5)
        words = f"wide {on_wall(window.x1 - window.x0, unit)}"
        if (window.x0, window.x1) != (0, self.whole.x1):
            words = f"{on_wall(window.x0, unit)} to {on_wall(window.x1, unit)}"
        self.drawing.plate((first + last) / 2, y - _FIGURE * CAPITAL / 2, words, _FIGURE)
        return y + 7


def _rows(texts: Sequence[str], width: float) -> int:
    """Give how many rows below each other hold some texts. [pt]"""
    needed = sum(text_width(text, _FIGURE) + BETWEEN * _FIGURE for text in texts)
    return max(1, -(-int(needed) // max(1, int(width))))


def _beside(pieces: Sequence[SidingPiece]) -> float:
    """Give the white that the labels of pieces need beside the wall. [pt]"""
    longest = max((text_width(plain(piece.label), LEAST) for piece in pieces), default=0.0)
    # A label longer than that would push the wall off the page; it is told below.
    return _PAD + (longest + 16 if 0 < longest <= _LONGEST else 0)


def _parts(length: int, most: float, overlap: int) -> list[tuple[int, int]]:
    """Part a length into as few parts as can be, none longer than it may. [ticks]"""
    if length <= most:
        return [(0, length)]
    overlap = min(overlap, int(most) // 3)
    many = -(-(length - overlap) // max(1, int(most) - overlap))
    each = -(-(length + (many - 1) * overlap) // many)
    starts = [number * (length - each) // (many - 1) for number in range(many)]
    return [(start, start + each) for start in starts]


def _cut_tops(piece: SidingPiece, sheet: _Sheet) -> Iterator[list[tuple[float, float]]]:
    """Give the cut top edges of a lapped piece on the wall, each from its left. [ticks]"""
    if sheet.plan.siding_of(piece).family is not Family.LAPPED:
        return
    lines: list[Sequence[tuple[float, float]]] = []
    if piece.ripped:
        left, right = (
            end.profile[-1][1] if end.profile else 0 for end in (piece.left, piece.right)
        )
        lines.append([(left, piece.height), (piece.length - right, piece.height)])
    for notch in piece.notches:
        if notch.edge is NotchEdge.SILL and notch.points:
            lines += shapes.traces(piece, notch)
        elif notch.edge is NotchEdge.SILL:
            lines.append([(notch.start, notch.cut_left), (notch.end, notch.cut_right)])
    for line in lines:
        yield [(piece.x + u, piece.y + v) for u, v in line]


def _cut_feet(piece: SidingPiece, sheet: _Sheet) -> Iterator[list[tuple[float, float]]]:
    """Give the ripped bottom edges of a lapped piece, each from its left. [ticks]"""
    if sheet.plan.siding_of(piece).family is not Family.LAPPED:
        return
    for notch in piece.notches:
        if notch.opening in shapes.FOOT:
            ends = ((notch.start, notch.cut_left), (notch.end, notch.cut_right))
            yield [(piece.x + u, piece.y + v) for u, v in ends]


def _height(length: int, unit: Unit) -> str:
    """Write a dimension: feet and inches with their signs, millimetres without."""
    return on_wall(length, unit).removesuffix(" mm")


def _fitted(text: str, width: float) -> str:
    """Shorten a name to the letters that fit into a width."""
    most = int(width / text_width("0", _FIGURE))
    if len(text) <= most:
        return text
    return f"{text[: most - 1]}…" if most > 2 else ""
