"""Wolverine Fit and Finish Installation Guide (CertainTeed), vertical siding."""

from __future__ import annotations

from lapwright.job.reading import parse_job
from lapwright.measure import INCH, Ticks
from lapwright.takeoff.evening import share_ends
from lapwright.takeoff.movement import share_upright
from lapwright.takeoff.soffit import lay_soffit


def test_a_gap_of_three_quarters_of_an_inch() -> None:
    """Of 3/4 in in all, 1/4 in stays at the top and 1/2 in at the bottom."""
    top, bottom = share_upright(Ticks(3 * INCH // 4))
    assert top == INCH // 4
    assert bottom == INCH // 2


def test_a_balanced_layout_of_upright_panels() -> None:
    """25 full panels and 10 in over: two end pieces are ripped to 5 in each."""
    # The guide's panel is of any width; here 12 in.
    whole, end = share_ends(25 * 12 + 10, 12)
    assert whole == 25
    assert end == 5


def test_a_balanced_layout_rips_both_end_panels() -> None:
    """25 whole panels and 10 in: two end pieces of 5 in; soffit panels are laid alike."""
    # Panels of 12 in: 25 and 10 in are 310 in, and a gap of 1/4 in is left at each end.
    job = parse_job(
        "{job: x, siding: {material: vinyl double 4}, walls: [{name: a, width: 9, height: 9}],"
        " soffits: [{name: s, length: 310-1/2, depth: 16, rip: both ends}]}",
        "x.yaml",
    )
    widths = [panel.width / INCH for panel in lay_soffit(job.soffits[0], job)]
    assert widths == [5, *[12] * 25, 5]
