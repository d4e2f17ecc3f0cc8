"""Stickers for the pieces: label, place, length, sheet, and a code that opens the page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lapwright.measure import INCH
from lapwright_cli.reports.elevations import short_anchor
from lapwright_cli.reports.setting import set_pages
from lapwright_cli.reports.sheets import cut_sheets, places_of_labels
from lapwright_cli.reports.writing import MADE_BY, on_tape, plain, role_words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.job.stickers import StickerSheet
    from lapwright.plan import Plan

LINK = "elevations.html"
"""Where the elevations are if nobody says otherwise: beside whatever opens the code."""
_POINTS = 72
"""Points an inch."""
_INSET = 5.0
"""Printers miss by as much as this; nothing stands nearer to a sticker's edge. [pt]"""
_QUIET = 4
"""Modules of white round a code (ISO/IEC 18004)."""
_MASK = 2
"""Pattern laid over a code, in columns of three (ISO/IEC 18004)."""
_ADVANCE = 0.602
"""Width of a letter of DejaVu Sans Mono. [of its size]"""
_MEAN = 0.48
"""Mean width of a letter of Libertinus Serif. [of its size]"""
_FITTED = 26
"""A line of so many letters is made to fit; what a longer one has beyond is cut off."""


@dataclass(frozen=True, slots=True)
class Sticker:
    """What stands on one sticker."""

    label: str
    lines: tuple[str, ...]
    link: str
    """What its code says."""


def stickers_pdf(plan: Plan, sheet: StickerSheet, link: str = LINK) -> bytes:
    """Set a sticker for every piece, in the order of cutting, the same bytes for the same plan.

    Parameters
    ----------
    plan
        A checked plan.
    sheet
        The sheet of stickers.
    link
        Address of the page of elevations, for the codes.
    """
    return set_pages("stickers.typ", sticker_data(plan, sheet, link))


def stickers(plan: Plan, link: str = LINK) -> Iterator[Sticker]:
    """Give a sticker for every piece, as it comes off the saw: sheet by sheet, bar by bar."""
    unit = plan.job.unit
    sheets = cut_sheets(plan)
    names = {wall.mark: ("wall", plain(wall.name)) for wall in plan.job.walls}
    names |= {soffit.mark: ("soffit", plain(soffit.name)) for soffit in plan.job.soffits}
    places = places_of_labels(sheets)
    siding = {piece.label: piece for piece in plan.siding}
    trim = {piece.label: piece for piece in plan.trim}
    for label, (source, bar) in places.items():
        if label in siding:
            piece = siding[label]
            wall, length, where = piece.wall, piece.length, f"course {piece.course}"
        else:
            part = trim[label]
            wall, length, where = part.wall, part.length, role_words(part.role)
        kind, name = names[wall]
        yield Sticker(
            plain(label),
            (
                on_tape(length, unit),
                f"sheet {source.number}, bar {bar.number}",
                # The name of the wall comes last: it alone may be too long for the sticker.
                f"{where}, {name if plain(wall) == name else f'{kind} {plain(wall)} {name}'}",
            ),
            f"{link}#{short_anchor(label)}",
        )


def sticker_data(plan: Plan, sheet: StickerSheet, link: str = LINK) -> dict[str, Any]:
    """Give all that stands on the stickers as plain data."""
    made = list(stickers(plan, link))
    wide, high = _points(sheet.width) - 2 * _INSET, _points(sheet.height) - 2 * _INSET
    code = max(0.0, min(high, wide * 0.36))
    room = wide - code - 4
    # All labels in one size, that of the longest but for those that are far longer.
    longest = max((len(sticker.label) for sticker in made), default=1)
    big = min(0.42 * high, room / (_ADVANCE * max(4, min(longest, 9))))
    lines = max((len(line) for sticker in made for line in sticker.lines), default=1)
    small = max(5.5, min(12.0, (high - big) / 4.6, room / (_MEAN * min(lines, _FITTED))))
    return {
        "paper": "a4" if sheet.paper == "a4" else "us-letter",
        "title": f"Stickers: {plain(plan.job.name)}",
        "made_by": MADE_BY,
        "columns": sheet.columns,
        "rows": sheet.rows,
        **{
            key: round(_points(getattr(sheet, key)), 3)
            for key in ("width", "height", "left", "top", "across", "down")
        },
        "inset": _INSET,
        "code": round(code, 2),
        "small": round(small, 2),
        "stickers": [
            {
                "label": sticker.label,
                "size": round(min(big, room / (_ADVANCE * max(1, len(sticker.label)))), 2),
                "lines": sticker.lines,
                "code": code_svg(sticker.link),
            }
            for sticker in made
        ],
    }


def code_svg(text: str) -> str:
    """Draw a text as a QR code (ISO/IEC 18004), black on white, as SVG."""
    import segno

    # Level M repairs 15 %: enough for dust and a scratch, and still coarse to print.
    # Every mask can be read; weighing all eight for each code takes most of the time.
    matrix = segno.make_qr(text, error="m", boost_error=False, mask=_MASK).matrix
    side = len(matrix) + 2 * _QUIET
    runs = []
    for y, row in enumerate(matrix):
        x = 0
        while x < len(row):
            begin = x
            while x < len(row) and row[x]:
                x += 1
            if x > begin:
                runs.append(f"M{begin + _QUIET} {y + _QUIET}h{x - begin}v1h{begin - x}z")
            x += 1
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}"'
        f' width="{side}" height="{side}" shape-rendering="crispEdges">'
        f'<path d="{"".join(runs)}"/></svg>'
    )


def _points(length: int) -> float:
    return length * _POINTS / INCH
