"""A soffit as it is drawn on the page, seen from below, the wall at the bottom.

Everything is in whole millimetres, x to the right from the soffit's left, y down from
the fascia, as browsers draw.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lapwright_cli.reports.dimensions import LETTER, Words, mm
from lapwright_cli.reports.panels import panel_corners
from lapwright_cli.reports.writing import on_tape, on_wall, plain

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.job.soffit import Soffit
    from lapwright.measure import Unit
    from lapwright.plan import SoffitPanel


@dataclass(frozen=True, slots=True)
class SoffitPanelView:
    """A panel as drawn."""

    label: str
    size: str
    points: str
    words: Words | None
    """The number of the panel, None where there is no room for it."""


@dataclass(frozen=True, slots=True)
class SoffitView:
    """The drawing of a soffit."""

    box: tuple[int, int, int, int]
    least_width: int
    """Narrower on a screen than this it cannot be read. [px]"""
    pen: int
    outline: str
    panels: tuple[SoffitPanelView, ...]
    words: tuple[Words, ...]


def view_soffit(soffit: Soffit, panels: Sequence[SoffitPanel], unit: Unit) -> SoffitView:
    """Draw a soffit and its panels, each with its number."""
    corners = soffit.corners()
    low = mm(min(int(corners.fascia_left), 0))
    high = mm(max(int(corners.fascia_right), int(soffit.length)))
    depth = mm(soffit.depth)
    letter = max(60, (high - low) // 80)
    spots = (
        (corners.wall_left, depth),
        (corners.wall_right, depth),
        (corners.fascia_right, 0),
        (corners.fascia_left, 0),
    )
    middle = mm(soffit.length) // 2
    return SoffitView(
        box=(low - letter, -2 * letter, high - low + 2 * letter, depth + 4 * letter),
        least_width=max(320, round((high - low) * 0.12)),
        pen=max(2, (high - low) // 900),
        outline=" ".join(f"{mm(int(x))},{y}" for x, y in spots),
        panels=tuple(
            _view(panel, number, soffit, letter, unit)
            for number, panel in enumerate(panels, start=1)
        ),
        words=(
            Words(middle, -letter // 2, letter, "fascia"),
            Words(middle, depth + round(1.4 * letter), letter, _wall_words(soffit, unit)),
        ),
    )


def _wall_words(soffit: Soffit, unit: Unit) -> str:
    return f"wall, {on_wall(soffit.length, unit)}; deep {on_wall(soffit.depth, unit)}"


def _view(
    panel: SoffitPanel, number: int, soffit: Soffit, letter: int, unit: Unit
) -> SoffitPanelView:
    depth = mm(soffit.depth)
    is_wide = panel.outline == ()
    points = [(panel.x + u, panel.y + v) for u, v in panel_corners(panel, soffit)]
    across = [x for x, _ in points]
    out = [y for _, y in points]
    text = str(number)
    # Of a mitred panel the number stands where most of it is.
    x = (min(across) + max(across)) // 2 if is_wide else sum(across) // len(across)
    y = (min(out) + max(out)) // 2 if is_wide else sum(out) // len(out)
    room = min(mm(max(across) - min(across)) / (len(text) * LETTER), mm(max(out) - min(out)))
    size = min(letter, round(room * (0.8 if is_wide else 0.5)))
    words = None
    if size >= letter // 3:
        words = Words(mm(x), depth - mm(y) + round(0.36 * size), size, text)
    return SoffitPanelView(
        label=plain(panel.label),
        size=f"{on_tape(panel.width, unit)} × {on_tape(panel.length, unit)}",
        points=" ".join(f"{mm(x)},{depth - mm(y)}" for x, y in points),
        words=words,
    )
