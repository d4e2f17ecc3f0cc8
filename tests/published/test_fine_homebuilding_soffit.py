"""Fine Homebuilding, How to Install a Vinyl Soffit: how long a panel is cut."""

from __future__ import annotations

from lapwright.job.reading import parse_job
from lapwright.measure import INCH
from lapwright.takeoff.soffit import lay_soffit


def test_panels_are_a_quarter_of_an_inch_short() -> None:
    """1/4 in or so shorter than from wall to subfascia; half of that is one end's gap."""
    job = parse_job(
        "{job: x, siding: {material: vinyl double 4}, rules: {soffit_gap: 1/8}, walls:"
        " [{name: a, width: 9, height: 9}], soffits: [{name: s, length: 10', depth: 16}]}",
        "x.yaml",
    )
    lengths = {panel.length for panel in lay_soffit(job.soffits[0], job)}
    assert lengths == {16 * INCH - INCH // 4}
