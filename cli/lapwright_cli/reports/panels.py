"""Soffit panels: how each is ripped and mitred, in words.

A panel lies as it is cut: its length to the right, face up.  One that goes from wall to
fascia has its wall end at the left, so that the edge at the bottom is its right one as
seen from below; one along the eave lies as it hangs, the wall's side at the bottom.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lapwright.job.material import TrimRole
from lapwright.job.soffit import PanelWay
from lapwright_cli.reports.writing import on_tape

if TYPE_CHECKING:
    from lapwright.job.soffit import Soffit
    from lapwright.measure import Unit
    from lapwright.plan import Plan, SoffitPanel


def panel_form(panel: SoffitPanel, plan: Plan) -> object:
    """Give all that makes the form of a panel, its length apart."""
    return panel.width, tuple(cut_corners(panel, plan)) if panel.outline else ()


def soffit_of(panel: SoffitPanel, plan: Plan) -> Soffit:
    """Find the soffit that a panel is part of."""
    return next(s for s in plan.job.soffits if s.mark == panel.soffit)


def is_ripped(panel: SoffitPanel, plan: Plan) -> bool:
    """Whether a panel is narrower than it came."""
    trim = plan.job.trim_for(TrimRole.SOFFIT)
    return trim is not None and panel.width < trim.face


def panel_corners(panel: SoffitPanel, soffit: Soffit) -> list[tuple[int, int]]:
    """Give the corners of a panel as it hangs, from the corner of its box. [ticks]"""
    if panel.outline:
        return [(int(u), int(v)) for u, v in panel.outline]
    u, v = int(panel.width), int(panel.length)
    if soffit.panels is PanelWay.ALONG:
        u, v = v, u
    return [(0, 0), (u, 0), (u, v), (0, v)]


def cut_corners(panel: SoffitPanel, plan: Plan) -> list[tuple[int, int]]:
    """Give the corners of a mitred panel as it is cut: along its length, up its width."""
    if soffit_of(panel, plan).panels is PanelWay.ALONG:
        return [(int(u), int(v)) for u, v in panel.outline]
    # Turned to the right, the fascia end goes to the right and the left edge to the top.
    return [(int(v), int(panel.width - u)) for u, v in panel.outline]


def panel_words(panel: SoffitPanel, plan: Plan) -> list[str]:
    """Say how a panel is ripped and along which lines its slants are cut."""
    unit, words = plan.job.unit, []
    if is_ripped(panel, plan):
        words.append(f"Rip to {on_tape(panel.width, unit)} wide.")
    corners = cut_corners(panel, plan)
    for a, b in zip(corners, (*corners[1:], *corners[:1]), strict=True):
        if a[0] != b[0] and a[1] != b[1]:
            low, high = sorted((a, b), key=lambda spot: (spot[1], spot[0]))
            words.append(
                f"Cut the slant from {_spot_words(low, panel, unit)} to"
                f" {_spot_words(high, panel, unit)}."
            )
    return words


def _spot_words(spot: tuple[int, int], panel: SoffitPanel, unit: Unit) -> str:
    """Say where a point on the edge of a panel lies."""
    u, v = spot
    if v in (0, panel.width):
        edge = "lower" if v == 0 else "upper"
        if u in (0, panel.length):
            return f"the {edge} {'left' if u == 0 else 'right'} corner"
        return f"{on_tape(u, unit)} along the {edge} edge"
    side = "left" if u == 0 else "right"
    if u in (0, panel.length):
        return f"{on_tape(v, unit)} up the {side} end"
    return f"{on_tape(u, unit)} along and {on_tape(v, unit)} up"
