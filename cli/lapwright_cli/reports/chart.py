"""A comparison as bars: a row a variant, a column a figure, each column to its own scale."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from lapwright_cli.reports.drawing import text_width

if TYPE_CHECKING:
    from lapwright_cli.reports.comparison import Comparison

_SIZE = 11.0
"""Of the letters. [pt]"""
_LINE = 15.0
"""Height of the line with a variant's name. [pt]"""
_BAR = 11.0
"""Height of a bar. [pt]"""
_ROW = 38.0
"""Height of a variant with its name, its bars and the room below. [pt]"""
_GAP = 12.0
"""Between two columns. [pt]"""
_HEAD = 24.0
"""Height of the headings. [pt]"""


def chart_svg(comparison: Comparison, width: float = 700.0) -> str:
    """Draw the bars of a comparison as SVG, black on white.

    A bar begins at zero, and its figure stands at its end, so that nothing hangs on a
    colour or on reading a scale; the shortest bars of a column are black.

    Parameters
    ----------
    comparison
        The variants, one or more with a plan.
    width
        Of the drawing. [pt]
    """
    columns = [column for column in comparison.columns if column.bar is not None]
    wide = (width - _GAP * (len(columns) - 1)) / len(columns)
    height = _HEAD + _ROW * len(comparison.found)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}"'
        f' width="{width:g}" height="{height:g}" role="img" aria-label="Bars of the'
        ' figures in the table" font-family="\'DejaVu Sans Mono\', monospace"'
        f' font-size="{_SIZE:g}">'
    ]
    for place, column in enumerate(columns):
        x = place * (wide + _GAP)
        parts.append(_text(x, _SIZE, column.name, bold=True))
        values = [
            column.bar(figures) if column.bar else None for _, figures in comparison.found
        ]
        known = [value for value in values if value is not None]
        most, least = max(known, default=0), min(known, default=0)
        texts = [column.text(figures) for _, figures in comparison.found]
        room = wide - max(text_width(text, _SIZE) for text in texts) - 5
        for line, (value, text) in enumerate(zip(values, texts, strict=True)):
            top = _HEAD + _ROW * line + _LINE
            long = room * float(value / most) if value is not None and most else 0.0
            fill = "#000" if value == least and least < most else "#fff"
            parts.append(
                f'<rect x="{x + 0.5:.2f}" y="{top:g}" width="{max(long, 1):.2f}"'
                f' height="{_BAR:g}" fill="{fill}" stroke="#000"/>'
            )
            parts.append(_text(x + max(long, 1) + 4, top + 9.5, text))
    for line, (name, _) in enumerate(comparison.found):
        top = _HEAD + _ROW * line
        parts.append(_line(top - 4, width))
        parts.append(_text(0, top + _SIZE, _fitted(name, width), bold=True))
    return "".join((*parts, "</svg>"))


def _text(x: float, y: float, text: str, *, bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return f'<text x="{x:.2f}" y="{y:.2f}"{weight}>{escape(text)}</text>'


def _line(y: float, width: float) -> str:
    return (
        f'<line x1="0" y1="{y:g}" x2="{width:g}" y2="{y:g}" stroke="#000" stroke-width="0.5"/>'
    )


def _fitted(text: str, width: float) -> str:
    most = int(width / text_width("x", _SIZE))
    return text if len(text) <= most else f"{text[: most - 1]}…"
