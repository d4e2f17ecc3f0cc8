"""Sketches of the soffit panels that are ripped or mitred."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lapwright_cli.reports.drawing import (
    CUT_PEN,
    EDGE_PEN,
    LETTER_SIZE,
    Drawing,
    box,
    text_width,
)
from lapwright_cli.reports.panels import cut_corners, panel_form, panel_words, soffit_of
from lapwright_cli.reports.writing import on_tape, unbroken

if TYPE_CHECKING:
    from lapwright.plan import Bar, Plan, SoffitPanel

_ROOM = (170.0, 62.0)
"""A sketch is no wider and no higher than this. [pt]"""
_BESIDE = 24.0
"""Room between two sketches beside each other. [pt]"""
_LINE = 15.0
"""Room for a line of text above or below a sketch. [pt]"""


def panel_sketches(bar: Bar, plan: Plan, most: float) -> dict[str, Any]:
    """Draw the panels of a stock length that are more than crosscut, alike ones once.

    Parameters
    ----------
    bar
        A stock length of soffit.
    plan
        The plan.
    most
        Width of the page. [pt]
    """
    panels = {panel.label: panel for panel in plan.soffits}
    alike: dict[object, tuple[list[str], SoffitPanel]] = {}
    for place, cut in enumerate(bar.cuts, start=1):
        panel = panels[cut.label]
        if panel_words(panel, plan):
            key = (panel.length, panel_form(panel, plan), soffit_of(panel, plan).panels)
            alike.setdefault(key, ([], panel))[0].append(str(place))
    if not alike:
        return {"sketch_title": "", "sketch": None, "works": []}
    drawing, spot = Drawing(0.0), (2.0, 0.0)
    for numbers, panel in alike.values():
        spot = _draw(drawing, panel, ", ".join(numbers), plan, spot, most)
    return {
        "sketch_title": "Panels as they are cut, face up, length below and width beside"
        " them; thick lines are slants to cut; not to one scale.",
        "sketch": {
            "width": round(drawing.width, 2),
            "height": round(drawing.height, 2),
            "strokes": drawing.strokes,
        },
        "works": [
            {
                "name": f"Piece {n[0]}" if len(n) == 1 else f"Pieces {', '.join(n)}",
                "words": [unbroken(text) for text in panel_words(panel, plan)],
                "tables": [],
            }
            for n, panel in alike.values()
        ],
    }


def _draw(
    drawing: Drawing,
    panel: SoffitPanel,
    caption: str,
    plan: Plan,
    spot: tuple[float, float],
    most: float,
) -> tuple[float, float]:
    """Draw a panel at a spot, its length below, its width beside it.

    Returns
    -------
    tuple of float
        The spot for the next: to the right, or where that is too far, below. [pt]
    """
    unit = plan.job.unit
    scale = min(_ROOM[0] / panel.length, _ROOM[1] / panel.width)
    wide, high = panel.length * scale, panel.width * scale
    length, width = on_tape(panel.length, unit), on_tape(panel.width, unit)
    before = max(0.0, (max(text_width(length), text_width(caption)) - wide) / 2)
    slot = before + wide + 5 + text_width(width)
    x, y = spot
    if x > 2.0 and x + slot > most:
        x, y = 2.0, drawing.height
    left, foot = x + before, y + _LINE + high
    drawing.text(left + wide / 2, y + 2.0, caption)
    corners = cut_corners(panel, plan)
    if corners:
        drawing.area(box(left, foot - high, left + wide, foot), "waste", EDGE_PEN)
    spots = [(left + u * scale, foot - v * scale) for u, v in corners]
    drawing.area(spots or box(left, foot - high, left + wide, foot), "white", EDGE_PEN)
    for i, (a, b) in enumerate(zip(corners, (*corners[1:], *corners[:1]), strict=True)):
        if a[0] != b[0] and a[1] != b[1]:
            drawing.line(*spots[i], *spots[(i + 1) % len(spots)], CUT_PEN)
    drawing.text(left + wide / 2, foot + 4, length)
    beside = left + wide + 5 + text_width(width) / 2
    drawing.text(beside, foot - high / 2 - LETTER_SIZE / 2, width)
    drawing.width = max(drawing.width, x + slot + 2)
    drawing.height = max(drawing.height, foot + 1.5 * _LINE)
    return x + slot + _BESIDE, y
