"""James Hardie, HardiePlank installation guide: exposure, starter and lap of planks."""

from __future__ import annotations

import pytest

from lapwright.job.catalogue import built_in_siding, built_in_trim
from lapwright.job.material import Family, TrimRole
from lapwright.job.reading import parse_job
from lapwright.measure import FOOT, INCH
from lapwright.planning import make_plan


def test_the_exposure_is_the_width_less_the_lap() -> None:
    """A plank 8-1/4 in wide laps at least 1-1/4 in, so at most 7 in are seen."""
    plank = built_in_siding("fiber-cement 8-1/4")
    assert plank.greatest_exposure == (8 + 1 - 2) * INCH
    assert plank.exposure == plank.greatest_exposure


@pytest.mark.parametrize(("width", "strips"), [("11' 6\"", 1), ("23'", 2)])
def test_a_strip_ripped_from_planks_lies_under_the_first_course(
    width: str, strips: int
) -> None:
    """The starter is a strip 1-1/4 in wide as long as a plank, 12 ft, all along the wall."""
    trim = {t.role: t for t in built_in_trim("fiber-cement 8-1/4", Family.BUTTED)}
    lath = trim[TrimRole.STARTER]
    assert lath.face * 4 == 5 * INCH
    assert lath.longest == 12 * FOOT
    text = (
        "{job: x, siding: {material: fiber-cement 8-1/4},"
        f" walls: [{{name: a, width: {width}, height: 7'}}]}}"
    )
    plan = make_plan(parse_job(text, "x.yaml"))
    material = plan.material("starter")
    assert material is not None
    assert len(material.bars) == strips
    laid = sum(piece.length for piece in plan.trim if piece.role == "starter")
    # Gaps are left at the two ends.
    assert laid == parse_job(text, "x.yaml").walls[0].width - 2 * plan.job.rules.starter_gap
