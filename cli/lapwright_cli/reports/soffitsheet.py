"""A soffit drawn to scale on paper, seen from below, the wall at the bottom."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lapwright.job.soffit import PanelWay
from lapwright_cli.reports.drawing import CAPITAL, Drawing, text_width
from lapwright_cli.reports.panels import panel_corners
from lapwright_cli.reports.writing import on_wall

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.job.soffit import Soffit
    from lapwright.measure import Unit
    from lapwright.plan import SoffitPanel

_FIGURE = 8.5
"""Size of the numbers of panels, at most. [pt]"""
_LEAST = 7.0
"""Their size, at least. [pt]"""
_ROW = 12.0
"""Height of a line of words. [pt]"""
_MOST = 1.0 / 2000
"""Small soffits are drawn no larger. [pt / tick]"""
_PAD = 3.0


def draw_soffit(
    soffit: Soffit, panels: Sequence[SoffitPanel], unit: Unit, width: float, height: float
) -> tuple[Drawing, ...]:
    """Draw a soffit and its panels, each with its number, one below the other where it is long.

    Parameters
    ----------
    soffit
        The soffit.
    panels
        Its panels, in the order of their numbers.
    unit
        Of the job.
    width, height
        Of one drawing, at most. [pt]
    """
    corners = soffit.corners()
    low = min(int(corners.fascia_left), 0)
    high = max(int(corners.fascia_right), int(soffit.length))
    room = width - 2 * _PAD
    # The number of a whole panel must fit into its face, which lies along x or along y.
    face = max((int(panel.width) for panel in panels), default=int(soffit.depth))
    number = text_width(str(len(panels)), _LEAST) + 2
    least = (_LEAST if soffit.panels is PanelWay.ALONG else number) / face
    scale = max(min(room / (high - low), height / soffit.depth, _MOST), least)
    most = room / scale
    many = max(1, -(-(high - low) // int(most)))
    step = -(-(high - low) // many)
    return tuple(
        _draw(
            soffit, panels, unit, scale, low + part * step, min(low + (part + 1) * step, high)
        )
        for part in range(many)
    )


def _draw(
    soffit: Soffit,
    panels: Sequence[SoffitPanel],
    unit: Unit,
    scale: float,
    low: int,
    high: int,
) -> Drawing:
    corners = soffit.corners()
    depth = int(soffit.depth)
    inner = Drawing((high - low) * scale + 2 * _PAD, depth * scale + 2 * _PAD)

    def spot(x: float, y: float) -> tuple[float, float]:
        return _PAD + (x - low) * scale, _PAD + (depth - y) * scale

    for number, panel in enumerate(panels, start=1):
        own = [(panel.x + u, panel.y + v) for u, v in panel_corners(panel, soffit)]
        inner.area((spot(*s) for s in own), "white", 0.5)
        x = sum(x for x, _ in own) / len(own)
        y = sum(y for _, y in own) / len(own)
        text = str(number)
        wide = (max(x for x, _ in own) - min(x for x, _ in own)) * scale
        size = min(_FIGURE, max(_LEAST, (wide - 2) / text_width(text, 1.0)))
        if low <= x <= high:
            across, down = spot(x, y)
            inner.text(across, down - size * CAPITAL / 2, text, size)
    ring = [
        (int(corners.wall_left), 0),
        (int(corners.wall_right), 0),
        (int(corners.fascia_right), depth),
        (int(corners.fascia_left), depth),
    ]
    inner.area((spot(*s) for s in ring), "", 1.4)
    drawing = Drawing(inner.width, inner.height + 2 * _ROW)
    drawing.clip(0, _ROW, inner)
    middle = drawing.width / 2
    drawing.text(middle, 2, "fascia", _FIGURE)
    words = f"wall, {on_wall(soffit.length, unit)}"
    if (low, high) != (min(r[0] for r in ring), max(r[0] for r in ring)):
        words = f"wall, {on_wall(max(low, 0), unit)} to {on_wall(high, unit)}"
    drawing.text(middle, inner.height + _ROW + 3, words, _FIGURE)
    return drawing
