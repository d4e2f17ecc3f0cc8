"""What the cover of the cut sheets says where a job has several sidings."""

from __future__ import annotations

from lapwright.job.reading import parse_job
from lapwright.measure import INCH
from lapwright.planning import make_plan
from lapwright_cli.reports.legend import how_to_read

JOB = (
    "{job: x, siding: {material: vinyl double 4}, sidings: [{material: fiber-cement 8-1/4,"
    " rules: {siding_kerf: 3/16}}], rules: {siding_kerf: 0}, walls: [{name: a, width: 12',"
    " height: 6', zones: [{top: 3', band: 8}, {siding: fiber-cement 8-1/4}]}]}"
)


def test_each_siding_tells_its_own_blade() -> None:
    """Marks for snips must not be taken for marks that leave a blade room."""
    plan = make_plan(parse_job(JOB, "x"))
    words = how_to_read(plan, 24 * INCH)
    assert any(text.startswith("vinyl double 4: the marks leave nothing") for text in words)
    assert any(text.startswith('fiber-cement 8-1/4: the marks leave 3/16"') for text in words)
    labels = next(text for text in words if text.startswith("Labels"))
    assert labels.count("ST starter strip") == 1


def test_room_over_a_band_is_no_finding() -> None:
    """What the rule leaves over a band is not told as a wall left bare."""
    plan = make_plan(parse_job(JOB, "x"))
    assert not any("the first course begins" in finding for finding in plan.findings)
    high = make_plan(parse_job(JOB.replace("{siding: fi", "{start: 3, siding: fi"), "x"))
    assert any("the first course begins" in finding for finding in high.findings)
