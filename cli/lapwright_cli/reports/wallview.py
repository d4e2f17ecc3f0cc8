"""A wall as it is drawn on the page: pieces, seams, openings and dimensions.

Everything is in whole millimetres, x to the right from the wall's left, y down from
the wall's highest point, as browsers draw.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.job.corners import corners_of
from lapwright.job.field import clip_outline
from lapwright.job.wall import OpeningShape
from lapwright.measure import MILLIMETRE
from lapwright_cli.reports import shapes
from lapwright_cli.reports.dimensions import (
    LETTER,
    Words,
    dimension_courses,
    dimension_height,
    dimension_widths,
    mm,
)
from lapwright_cli.reports.labels import inside
from lapwright_cli.reports.poles import clad_courses
from lapwright_cli.reports.wallwords import opening_size, seam_span
from lapwright_cli.reports.writing import on_tape, plain

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from lapwright.job.wall import Opening, Wall
    from lapwright.measure import Unit
    from lapwright.plan import Plan, SidingPiece

_LABEL = 0.8
"""Size of the labels. [of the height of a course]"""
_SHARES = (1.0, 0.86, 0.72, 0.6, 0.5)
"""A label may shrink to the least of these shares before it is left out."""
_OFF_FOOT = 1.2
"""Room for a label above a ripped foot. [of its height]"""
_CAPITAL = 0.72
"""Height of a capital or figure of an unknown face. [of its size]"""


@dataclass(frozen=True, slots=True)
class PieceView:
    """A piece of siding as drawn."""

    label: str
    length: str
    is_first: bool
    """Whether it is of the job's first siding; others are shaded."""
    points: str
    holes: tuple[str, ...]
    words: Words | None
    """Its label, None where there is no room for it."""
    dot: tuple[int, int]
    """Stands for a label that is left out."""


@dataclass(frozen=True, slots=True)
class OpeningView:
    """An opening as drawn."""

    name: str
    x: int
    y: int
    width: int
    height: int
    points: str
    """Its shape."""
    words: tuple[Words, ...]
    plate: tuple[int, int, int, int]
    """White ground of its texts: x, y, width, height; no width where it has none."""


@dataclass(frozen=True, slots=True)
class WallView:
    """The drawing of a wall."""

    box: tuple[int, int, int, int]
    """What is seen: least x, least y, width, height."""
    least_width: int
    """Narrower on a screen than this it cannot be read. [px]"""
    pen: int
    """Width of a common line."""
    outline: str
    pieces: tuple[PieceView, ...]
    bands: tuple[str, ...]
    """Corners of the boards between zones."""
    below: tuple[str, ...]
    """Corners of what lies under lower roofs and steps: no piece is seen there."""
    seams: tuple[tuple[int, int, int], ...]
    """Of each: x, upper and lower y."""
    openings: tuple[OpeningView, ...]
    caps: tuple[tuple[int, int, int], ...]
    """Head flashing: x, y, width."""
    lines: tuple[tuple[int, int, int, int], ...]
    """Lines of the dimensions."""
    words: tuple[Words, ...]
    """Texts of the dimensions."""


def view_wall(wall: Wall, plan: Plan) -> WallView:
    """Draw a wall of a plan."""
    unit = plan.job.unit
    pieces = [piece for piece in plan.siding if piece.wall == wall.mark]
    exposures = [plan.siding_of(piece).exposure for piece in pieces]
    exposure = mm(min(exposures, default=plan.job.siding.exposure))
    width, height = mm(wall.width), mm(wall.height)
    # On a printed page a seventieth of its width, or a fortieth of its height, can be read.
    letter = max(round(0.62 * exposure), width // 72, height // 40)

    def down(y: int) -> int:
        return height - mm(y)

    reach = plan.job.rules.head_flashing_reach
    flashed = plan.job.head_flashing if plan.material("head_flashing") else ()
    lines: list[tuple[int, int, int, int]] = []
    words: list[Words] = []
    left = dimension_courses(
        clad_courses(wall, plan), exposure, letter, down, unit, lines, words
    )
    right = dimension_height(wall, width, height, letter, unit, lines, words)
    low = dimension_widths(wall, width, height, letter, unit, lines, words)
    box = (-left, -letter, left + width + right, height + low + letter)
    return WallView(
        box=box,
        least_width=max(320, round(box[2] * 17 / exposure)),
        pen=max(2, box[2] // 900),
        outline=" ".join(f"{mm(p.x)},{down(p.y)}" for p in wall.outline),
        pieces=tuple(
            _view_piece(piece, plan.exposure_of(piece), down, plan) for piece in pieces
        ),
        bands=tuple(_bands(wall, down)),
        below=tuple(_below(wall, exposure, down)),
        seams=tuple(
            (mm(seam.x), down(high), down(low))
            for seam in plan.seams
            if seam.wall == wall.mark
            for low, high in (seam_span(seam, wall, plan),)
            if low < high
        ),
        openings=tuple(_view_opening(opening, letter, down, unit) for opening in wall.openings),
        caps=tuple(
            (mm(opening.x - reach), down(opening.head), mm(opening.width + 2 * reach))
            for opening in wall.openings
            if opening.kind in flashed and opening.shape is OpeningShape.RECTANGLE
        ),
        lines=tuple(lines),
        words=tuple(words),
    )


def _bands(wall: Wall, down: Callable[[int], int]) -> Iterator[str]:
    for below, above in pairwise(wall.zones):
        strip = clip_outline(wall.outline, below.high, above.low)
        if strip:
            yield " ".join(f"{mm(p.x)},{down(p.y)}" for p in strip)


def _below(wall: Wall, exposure: int, down: Callable[[int], int]) -> Iterator[str]:
    low = down(0) + 2 * exposure
    for a, b in wall.edges:
        if a.x < b.x and (a.y > 0 or b.y > 0):
            left, right = mm(a.x), mm(b.x)
            yield f"{left},{low} {right},{low} {right},{down(b.y)} {left},{down(a.y)}"


def _view_piece(
    piece: SidingPiece, exposure: int, down: Callable[[int], int], plan: Plan
) -> PieceView:
    def path(spots: tuple[shapes.Spot, ...]) -> str:
        return " ".join(f"{mm(piece.x + s.u)},{down(piece.y + s.v)}" for s in spots)

    label = plain(piece.label)
    wanted = _LABEL * mm(exposure)
    words = None
    # The wall's edge along a ripped foot is drawn thick; a label keeps off it.
    off = _OFF_FOOT if any(n.opening in shapes.FOOT for n in piece.notches) else 1.0
    # A label shrinks until it lies in its piece, clear of slopes, notches and holes.
    for share in _SHARES:
        size = wanted * share
        wide, tall = len(label) * LETTER * size / 0.92, off * _CAPITAL * size / 0.86
        found = inside(piece, wide * MILLIMETRE, tall * MILLIMETRE, 0, piece.length)
        if found is not None:
            x, y = mm(round(piece.x + found[0])), down(round(piece.y + found[1]))
            words = Words(x, y + round(_CAPITAL / 2 * size), round(size), label)
            break
    dot = inside(piece, MILLIMETRE, MILLIMETRE, 0, piece.length)
    u, v = dot or (piece.length / 2, piece.height / 2)
    return PieceView(
        label=label,
        length=on_tape(piece.length, plan.job.unit),
        is_first=piece.siding == plan.job.siding.name,
        points=path(shapes.outline(piece)),
        holes=tuple(path(hole) for hole in shapes.holes(piece)),
        words=words,
        dot=(mm(round(piece.x + u)), down(round(piece.y + v))),
    )


def _view_opening(
    opening: Opening, letter: int, down: Callable[[int], int], unit: Unit
) -> OpeningView:
    width, height = mm(opening.width), mm(opening.height)
    x, y = mm(opening.x), down(opening.head)
    size = opening_size(opening, unit)
    texts = [_fitted(plain(opening.name), width, letter)]
    if len(size) * letter * LETTER < 0.94 * width and height > 3.4 * letter:
        texts.append(size)
    line = round(1.2 * letter)
    if height < line or not texts[0]:
        texts = []
    top = y + (height - line * len(texts)) // 2
    widest = max((round(len(text) * letter * LETTER) for text in texts), default=0)
    return OpeningView(
        name=plain(opening.name),
        x=x,
        y=y,
        width=width,
        height=height,
        points=" ".join(f"{mm(p.x)},{down(p.y)}" for p in corners_of(opening)),
        words=tuple(
            Words(x + width // 2, top + line * (i + 1) - round(0.3 * letter), letter, text)
            for i, text in enumerate(texts)
        ),
        plate=(x + (width - widest) // 2, top, widest, line * len(texts)),
    )


def _fitted(text: str, width: int, letter: int) -> str:
    """Shorten a name to the letters that fit into a width."""
    most = int(0.94 * width / (letter * LETTER))
    if len(text) <= most:
        return text
    return f"{text[: most - 1]}…" if most > 2 else ""
