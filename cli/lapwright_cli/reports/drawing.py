"""Line drawings for paper: strokes, texts and marks, and stock lengths with their cuts.

A drawing is a list of strokes in points (1/72 in), x to the right and y down; the page
template only puts them down.  Texts in a drawing are set in a type of fixed width, so
that their width is known here and marks can be moved apart where they would collide.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from lapwright.plan import EndCut
from lapwright_cli.reports import shapes
from lapwright_cli.reports.sheets import crosscuts, gaps
from lapwright_cli.reports.writing import on_tape

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from lapwright.measure import Unit
    from lapwright.plan import Bar, Plan, SidingPiece

LETTER_SIZE = 10.5
"""Size of the numbers in a drawing. [pt]"""
CAPITAL = 0.73
"""Height of a capital or figure of DejaVu Sans Mono. [of its size]"""
BETWEEN = 0.95
"""From one number to the next, at least: well over a letter. [of its size]"""
CUT_PEN = 2.4
"""Width of a line that is cut. [pt]"""
EDGE_PEN = 0.7
"""Width of an edge that stays as it is. [pt]"""
_ADVANCE = 0.602
"""Width of a letter of DejaVu Sans Mono. [of its size]"""
_BAR_HEIGHT = 20.0
"""Height at which a stock length is drawn; only its length is to scale. [pt]"""
_BEYOND = 3.0
"""How far a crosscut is drawn beyond the edges. [pt]"""


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
        """Draw an area; fill is ``white``, ``waste``, ``fine``, ``black`` or nothing. [pt]"""
        spots = [[_near(x), _near(y)] for x, y in corners]
        self.strokes.append(["area", spots, fill, pen])

    def clip(self, x: float, y: float, inner: Drawing) -> None:
        """Put a drawing down at a place; what goes beyond its box is not seen. [pt]"""
        spot = [*map(_near, (x, y, inner.width, inner.height))]
        self.strokes.append(["clip", *spot, inner.strokes])

    def text(self, x: float, y: float, text: str, size: float = LETTER_SIZE) -> None:
        """Set a text around x, its capitals hanging from y. [pt]"""
        self.strokes.append(
            ["text", _near(x - text_width(text, size) / 2), _near(y), text, size]
        )

    def plate(self, x: float, y: float, text: str, size: float = LETTER_SIZE) -> None:
        """Set a text on a white plate, so that no line runs through it. [pt]"""
        half, foot = text_width(text, size) / 2 + 2, y + size * CAPITAL + 1.5
        self.area(box(x - half, y - 1.5, x + half, foot), "white", 0)
        self.text(x, y, text, size)


def bare(length: int, unit: Unit) -> str:
    """Write a mark for a drawing: inches with their sign, millimetres without."""
    return on_tape(length, unit).removesuffix(" mm")


def text_width(text: str, size: float = LETTER_SIZE) -> float:
    """Give the width of a text of plain figures and letters. [pt]"""
    return len(text) * _ADVANCE * size


def draw_bar(
    bar: Bar, pieces: Mapping[str, SidingPiece], kerf: int, plan: Plan, width: float
) -> Drawing:
    """Draw a stock length with its pieces, its offcut, and its crosscuts as thick lines.

    Slopes and notches are shown by what they take off, never as cuts: they come later,
    on each piece by itself.

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
    top, base = _BEYOND, _BEYOND + _BAR_HEIGHT

    def across(ticks: int) -> float:
        return 1 + ticks * scale

    drawing.area(box(across(0), top, across(bar.stock), base), "white", EDGE_PEN)
    for low, high in gaps(bar, kerf):
        _offcut(drawing, across(low), across(high), f"OFFCUT {on_tape(high - low, unit)}")
    for position, cut in enumerate(bar.cuts):
        piece = pieces.get(cut.label)
        left, right = across(cut.start), across(cut.end)
        if piece is not None:
            rise = _BAR_HEIGHT / max(plan.exposure_of(piece), piece.height)
            fill = "fine" if shapes.has_work(piece) else "white"
            drawing.area(box(left, top, right, base), fill, EDGE_PEN)
            for corners, fill in (
                (shapes.outline(piece), "white"),
                *((hole, "fine") for hole in shapes.holes(piece)),
            ):
                drawing.area(
                    ((left + s.u * scale, base - s.v * rise) for s in corners),
                    fill,
                    EDGE_PEN / 2 if fill == "white" else EDGE_PEN,
                )
            drawing.area(box(left, top, right, base), "", EDGE_PEN)
            factory_ends(drawing, piece, left, right, top, base, rise)
        size = min(14.0, max(10.0, (right - left) / 1.6))
        middle = (top + base) / 2 - size * CAPITAL / 2
        drawing.plate((left + right) / 2, middle, str(position + 1), size)
    marks = [int(cut.at) for cut in crosscuts(bar, kerf)]
    for mark in marks:
        x = across(mark)
        drawing.line(x, top - _BEYOND, x, base + _BEYOND, CUT_PEN)
    drawing.height = marks_below(
        drawing, [(across(mark), bare(mark, unit)) for mark in marks], base + _BEYOND
    )
    return drawing


def _offcut(drawing: Drawing, left: float, right: float, words: str) -> None:
    """Name an offcut inside its stretch, as far as there is room."""
    for text in (words, "OFFCUT"):
        if text_width(text, 10) + 8 <= right - left:
            middle = _BEYOND + _BAR_HEIGHT / 2 - 10 * CAPITAL / 2
            drawing.text((left + right) / 2, middle, text, 10)
            return


def factory_ends(
    drawing: Drawing,
    piece: SidingPiece,
    left: float,
    right: float,
    top: float,
    base: float,
    rise: float,
) -> None:
    """Mark the ends that must stay as the stock length came by a black block.

    Where a slope reaches over such an end, the block goes up to the slope only.
    """
    for end, x, wide in ((piece.left, left, 6), (piece.right, right, -6)):
        if end.cut is not EndCut.FACTORY:
            continue
        heights = [v for v, inset in end.profile if inset == end.profile[0][1]]
        upper = base - max(heights) * rise if heights else top
        if upper < base:
            drawing.area(box(x, upper, x + wide, base), "black", 0)


def marks_below(
    drawing: Drawing,
    marks: Sequence[tuple[float, str]],
    base: float,
    low: float = 0.0,
    high: float | None = None,
) -> float:
    """Write tape marks below an edge and give where the drawing ends. [pt]

    Each mark has a short thin tick outside the edge; a number that had to give way is
    tied to its tick by a slanted line.  Numbers that have no room in one row stand in
    several by turns.
    """
    if not marks:
        return base + 2
    high = drawing.width if high is None else high
    gap = BETWEEN * LETTER_SIZE
    needed = sum(text_width(text) + gap for _, text in marks) - gap
    rows = max(1, -(-int(needed) // max(1, int(high - low))))
    y, texts = base, []
    for number in range(rows):
        own = marks[number::rows]
        middles = spread(own, low, high)
        # A number whose mark is still above it needs no line to it.
        moved = [
            abs(x - at) > text_width(text) / 2
            for (x, text), at in zip(own, middles, strict=True)
        ]
        y += 12 if any(moved) else 7
        for (x, text), middle, is_moved in zip(own, middles, moved, strict=True):
            bend = y - 8 if is_moved else y - 2.5
            drawing.line(x, base + 1, x, bend, 0.5)
            if is_moved:
                drawing.line(x, bend, middle, y - 2.5, 0.5)
            texts.append((middle, y, text))
        y += LETTER_SIZE
    for middle, top, text in texts:
        if rows > 1:
            drawing.plate(middle, top, text)
        else:
            drawing.text(middle, top, text)
    return y


def spread(
    marks: Sequence[tuple[float, str]], low: float, high: float, size: float = LETTER_SIZE
) -> list[float]:
    """Set texts in one row as near to their marks as they go without touching.

    Parameters
    ----------
    marks
        Place and text of each, from left to right. [pt]
    low, high
        Where the row begins and ends; where it is too short it ends further right. [pt]
    size
        Of the letters. [pt]

    Returns
    -------
    list of float
        The middle of each text. [pt]
    """
    wanted = [(x, text_width(text, size)) for x, text in marks]
    return settle(wanted, BETWEEN * size, low, high)


def settle(
    wanted: Sequence[tuple[float, float]], gap: float, low: float, high: float
) -> list[float]:
    """Set things in one row as near to their places as they go without touching.

    Parameters
    ----------
    wanted
        Place and width of each, by place.
    gap
        From one to the next, at least.
    low, high
        Where the row begins and ends; where it is too short it goes on beyond.

    Returns
    -------
    list of float
        The middle of each.
    """
    # What touches is held together in a block, which stands where its places want it.
    blocks: list[tuple[float, float, list[int]]] = []
    for number, (x, own_width) in enumerate(wanted):
        begin, wide, own = x - own_width / 2, own_width, [number]
        while blocks and blocks[-1][0] + blocks[-1][1] + gap > begin:
            before = blocks.pop()
            shift = before[1] + gap
            many, more = len(before[2]), len(own)
            begin = (before[0] * many + (begin - shift) * more) / (many + more)
            wide, own = shift + wide, [*before[2], *own]
        begin = max(low, min(begin, high - wide))
        blocks.append((begin, wide, own))
        while len(blocks) > 1 and blocks[-2][0] + blocks[-2][1] + gap > blocks[-1][0]:
            last, before = blocks.pop(), blocks.pop()
            wide = before[1] + gap + last[1]
            begin = max(low, min(before[0], high - wide))
            blocks.append((begin, wide, [*before[2], *last[2]]))
    middles = []
    for begin, _, own in blocks:
        x = begin
        for number in own:
            middles.append(x + wanted[number][1] / 2)
            x += wanted[number][1] + gap
    return middles


def box(x1: float, y1: float, x2: float, y2: float) -> tuple[tuple[float, float], ...]:
    """Give the corners of a box. [pt]"""
    return ((x1, y1), (x2, y1), (x2, y2), (x1, y2))


def _near(number: float) -> float:
    return round(number, 2)
