"""Line drawings for paper: stock lengths with their cuts, and pieces with their notches.

A drawing is a list of strokes in points (1/72 in), x to the right and y down; the page
template only puts them down.  Texts in a drawing are set in a type of fixed width, so
that their width is known here and marks can be moved apart where they would collide.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from lapwright.plan import EndCut, NotchEdge
from lapwright_cli.reports import shapes
from lapwright_cli.reports.writing import on_tape

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from lapwright.measure import Unit
    from lapwright.plan import Bar, Plan, SidingPiece

LETTER_SIZE = 10.5
"""Size of the numbers in a drawing. [pt]"""
_ADVANCE = 0.602
"""Width of a letter of DejaVu Sans Mono. [of its size]"""
_CAPITAL = 0.73
"""Height of a capital or figure of DejaVu Sans Mono. [of its size]"""
_BAR_HEIGHT = 30.0
"""Height at which a stock length is drawn; only its length is to scale. [pt]"""
_PIECE_HEIGHT = 68.0
"""Height at which a whole exposure is drawn in a sketch of a piece. [pt]"""


@dataclass
class Drawing:
    """Strokes on a sheet of paper, in the order in which they are put down."""

    width: float
    """[pt]"""
    height: float = 0.0
    """[pt]"""
    strokes: list[list[Any]] = field(default_factory=list)

    def line(
        self,
        x1: float,
        y1: float,
        x2: float,
        y2: float,
        pen: float = 1.0,
        *,
        dash: bool = False,
    ) -> None:
        """Draw a straight line. [pt]"""
        self.strokes.append(["line", *map(_near, (x1, y1, x2, y2)), pen, dash])

    def area(
        self, corners: Iterable[tuple[float, float]], fill: str = "", pen: float = 1.0
    ) -> None:
        """Draw an area; fill is ``white``, ``hatch``, ``black`` or nothing. [pt]"""
        spots = [[_near(x), _near(y)] for x, y in corners]
        self.strokes.append(["area", spots, fill, pen])

    def text(self, x: float, y: float, text: str, size: float = LETTER_SIZE) -> None:
        """Set a text around x, its capitals hanging from y. [pt]"""
        self.strokes.append(
            ["text", _near(x - text_width(text, size) / 2), _near(y), text, size]
        )

    def plate(self, x: float, y: float, text: str, size: float = LETTER_SIZE) -> None:
        """Set a text on a white plate, so that no line runs through it. [pt]"""
        half, foot = text_width(text, size) / 2 + 1, y + size * _CAPITAL + 1
        self.area(_box(x - half, y - 1, x + half, foot), "white", 0)
        self.text(x, y, text, size)


def text_width(text: str, size: float = LETTER_SIZE) -> float:
    """Give the width of a text of plain figures and letters. [pt]"""
    return len(text) * _ADVANCE * size


def draw_bar(
    bar: Bar, pieces: Mapping[str, SidingPiece], kerf: int, plan: Plan, width: float
) -> Drawing:
    """Draw a stock length with its pieces, its offcut hatched, and its tape marks.

    Parameters
    ----------
    bar
        The stock length.
    pieces
        Siding pieces by label; pieces of trim are missing.
    kerf
        What the blade takes. [ticks]
    plan
        Gives the unit, and the height of a whole piece.
    width
        Width of the drawing, which is the length of the bar. [pt]
    """
    drawing, unit = Drawing(width), plan.job.unit
    scale = (width - 2) / bar.stock

    def across(ticks: int) -> float:
        return 1 + ticks * scale

    drawing.area(_box(across(0), 0, across(bar.stock), _BAR_HEIGHT), "hatch")
    for position, cut in enumerate(bar.cuts):
        piece = pieces.get(cut.label)
        left, right = across(cut.start), across(cut.end)
        if piece is None:
            drawing.area(_box(left, 0, right, _BAR_HEIGHT), "white")
        else:
            rise = _BAR_HEIGHT / max(plan.job.siding.exposure, piece.height)
            for corners, fill in (
                (shapes.outline(piece), "white"),
                *((hole, "hatch") for hole in shapes.holes(piece)),
            ):
                drawing.area(
                    ((left + s.u * scale, _BAR_HEIGHT - s.v * rise) for s in corners), fill
                )
            # The blade goes across the whole stock length before any rake is cut.
            drawing.area(_box(left, 0, right, _BAR_HEIGHT))
            _factory_ends(drawing, piece, left, right)
        size = min(16.0, max(10.0, (right - left) / 1.6))
        middle = _BAR_HEIGHT / 2 - size * _CAPITAL / 2
        drawing.plate((left + right) / 2, middle, str(position + 1), size)
    marks = sorted(blade_marks(bar, kerf))
    drawing.height = _marks_below(
        drawing, [(across(mark), on_tape(mark, unit)) for mark in marks], _BAR_HEIGHT
    )
    return drawing


def blade_marks(bar: Bar, kerf: int) -> set[int]:
    """Find the tape marks at which a stock length is cut, from its left end. [ticks]

    A piece at the right end is cut at its start, unless the cut of the piece before it
    leaves it just as long as it must be.
    """
    marks = {int(cut.end) for cut in bar.cuts if cut.end < bar.stock}
    free = 0
    for cut in bar.cuts:
        if cut.end == bar.stock and cut.start > free:
            marks.add(int(cut.start))
        free = cut.end + kerf
    return marks


def draw_piece(piece: SidingPiece, exposure: int, unit: Unit, width: float) -> Drawing:
    """Draw a piece large, with the marks of its notches, raked ends and rip.

    What is cut away is hatched.  Marks from the left end stand below, heights up from
    the butt edge above.  Lengths and heights are each to their own scale.
    """
    drawing = Drawing(width)
    scale = (width - 2) / piece.length
    whole = max(exposure, piece.height)
    rise = _PIECE_HEIGHT / whole
    heights = sorted(_heights(piece, exposure))
    words = [(1 + u * scale, on_tape(v, unit)) for u, v in heights]
    placed, levels = apart(words, width)
    top = levels * (LETTER_SIZE + 2) + (4 if levels else 0)
    base = top + _PIECE_HEIGHT

    def spot(u: int, v: int) -> tuple[float, float]:
        return 1 + u * scale, base - v * rise

    drawing.area(_box(1, top, width - 1, base), "hatch", 0.6)
    drawing.area((spot(*s) for s in shapes.outline(piece)), "white", 1.6)
    for hole in shapes.holes(piece):
        drawing.area((spot(*s) for s in hole), "hatch", 1.6)
    for (u, v), (_, level, _) in zip(heights, placed, strict=True):
        x, y = spot(u, v)
        drawing.line(x, top - 3 - level * (LETTER_SIZE + 2), x, y, 0.5)
        drawing.area(_box(x - 2, y - 2, x + 2, y + 2), "black", 0)
    marks = sorted(_marks(piece))
    for u in marks:
        reach = max((s.v for s in shapes.outline(piece) if s.u == u), default=0)
        drawing.line(*spot(u, 0), *spot(u, reach), 0.8, dash=True)
    for middle, level, text in placed:
        foot = top - 4 - level * (LETTER_SIZE + 2)
        drawing.plate(middle, foot - LETTER_SIZE * _CAPITAL, text)
    _factory_ends(drawing, piece, 1, width - 1, top, base)
    drawing.height = _marks_below(
        drawing, [(1 + u * scale, on_tape(u, unit)) for u in marks], base
    )
    return drawing


def _heights(piece: SidingPiece, exposure: int) -> set[tuple[int, int]]:
    """Find the spots whose height is measured: (from the left end, up). [ticks]"""
    spots: set[tuple[int, int]] = set()
    for notch in piece.notches:
        start, end = int(notch.start), int(notch.end)
        spots |= {(start, int(notch.cut_left)), (end, int(notch.cut_right))}
        if notch.edge is NotchEdge.HOLE:
            spots |= {(start, int(notch.upper)), (end, int(notch.upper))}
    for side, far in ((piece.left, False), (piece.right, True)):
        if side.profile:
            spots |= {
                (int(piece.length - inset if far else inset), int(v))
                for v, inset in side.profile
                if 0 < v < exposure
            }
    if piece.ripped:
        spots |= {(shapes.edges(piece)[1] // 2, int(piece.height))}
    return spots


def _marks(piece: SidingPiece) -> set[int]:
    """Find the marks along a piece, from its left end. [ticks]"""
    marks = {int(piece.length)}
    for notch in piece.notches:
        marks |= {int(notch.start), int(notch.end)}
    for end, far in ((piece.left, False), (piece.right, True)):
        if end.profile:
            marks |= {int(piece.length - i if far else i) for _, i in end.profile}
    return marks - {0}


def _factory_ends(
    drawing: Drawing,
    piece: SidingPiece,
    left: float,
    right: float,
    top: float = 0.0,
    base: float = _BAR_HEIGHT,
) -> None:
    """Mark the ends that must stay as the stock length came by a thick black edge."""
    if piece.left.cut is EndCut.FACTORY:
        drawing.area(_box(left, top, left + 5, base), "black", 0)
    if piece.right.cut is EndCut.FACTORY:
        drawing.area(_box(right - 5, top, right, base), "black", 0)


def _marks_below(drawing: Drawing, marks: Sequence[tuple[float, str]], base: float) -> float:
    """Write tape marks below an edge and give where the drawing ends. [pt]"""
    placed, levels = apart(marks, drawing.width)
    for (x, _), (_, level, _) in zip(marks, placed, strict=True):
        drawing.line(x, base, x, base + 5 + level * (LETTER_SIZE + 2), 0.8)
    for middle, level, text in placed:
        drawing.plate(middle, base + 6 + level * (LETTER_SIZE + 2), text)
    return base + 6 + levels * (LETTER_SIZE + 2)


def apart(
    marks: Sequence[tuple[float, str]], width: float, size: float = LETTER_SIZE
) -> tuple[list[tuple[float, int, str]], int]:
    """Set texts at their marks, each on the first level where it does not collide.

    Returns
    -------
    placed : list of (float, int, str)
        Middle of the text, its level from 0, the text. [pt]
    levels : int
        How many levels there are.
    """
    ends: list[float] = []
    placed = []
    for x, text in marks:
        half = text_width(text, size) / 2
        middle = min(max(x, half), width - half)
        level = next(
            (i for i, end in enumerate(ends) if end + size / 2 <= middle - half), len(ends)
        )
        if level == len(ends):
            ends.append(0.0)
        ends[level] = middle + half
        placed.append((middle, level, text))
    return placed, len(ends)


def _box(x1: float, y1: float, x2: float, y2: float) -> tuple[tuple[float, float], ...]:
    return ((x1, y1), (x2, y1), (x2, y2), (x1, y2))


def _near(number: float) -> float:
    return round(number, 2)
