"""What the crew is told of trim: splices, heads that are not straight, what is missing."""

from __future__ import annotations

import jsonschema
import pytest

from lapwright.check import plan_schema, recount
from lapwright.job.reading import parse_job
from lapwright.measure import INCH
from lapwright.planning import make_plan
from lapwright.record import plan_record


def told(text: str) -> tuple[str, ...]:
    """Plan a job of vinyl and give its findings."""
    return make_plan(
        parse_job("{job: x, siding: {material: vinyl double 4}, " + text + "}", "x.yaml")
    ).findings


def test_a_spliced_post_is_told_with_how_it_is_made() -> None:
    """Vinyl Siding Institute, Accessories: lap 3/4 in, 1 in of flange off; JLC: one piece."""
    high = "walls: [{name: a, width: 60, height: 21', right: trim board}]"
    (line,) = [each for each in told(high) if "post" in each or "corner" in each]
    assert line.startswith('wall A, outside corner left: 2 pieces that lap 3/4"')
    assert "trim 1 in off its nail flanges, so that 1/4 in is left to move" in line
    low = high.replace("21'", "19'")
    assert not [each for each in told(low) if "corner" in each]


@pytest.mark.parametrize(
    ("shape", "is_told"),
    [
        ("shape: round, x: 20, sill: 20, width: 20, height: 20", True),
        ("shape: arched, x: 20, sill: 20, width: 20, height: 30", True),
        ("shape: octagon, x: 20, sill: 20, width: 20, height: 20", True),
        ("shape: polygon, corners: [[20, 20], [40, 20], [30, 40]]", True),
        ("shape: polygon, corners: [[20, 20], [40, 20], [40, 50], [20, 40]]", False),
        ("x: 20, sill: {left: 20, right: 20-1/4}, width: 20, height: 20", False),
    ],
)
def test_only_a_straight_head_gets_flashing(shape: str, *, is_told: bool) -> None:
    """No source says how long it is over curves and corners: there it is the maker's matter."""
    text = (
        "head_flashing: [window], walls: [{name: a, width: 60, height: 60, openings:"
        " [{name: r, " + shape + "}]}]"
    )
    lines = [line for line in told(text) if "head flashing" in line]
    assert bool(lines) is is_told
    assert all("wall A, opening r: " in line for line in lines)
    assert all(line.endswith("flash it by the maker's instructions") for line in lines)


def test_a_belly_band_wants_flashing() -> None:
    """Pacific Northwest Inspections Group, Siding Transitions and Flashing, 2016."""
    text = "walls: [{name: a, width: 60, height: 96, zones: [{top: 40, band: BAND}, {}]}]"
    assert any("Z-flashing" in line for line in told(text.replace("BAND", "8")))
    assert not any("Z-flashing" in line for line in told(text.replace(", band: BAND", "")))


def test_flashing_on_a_belly_band_is_cut_like_the_band() -> None:
    """30 ft of band less 3/8 in at either end; pieces of 10 ft lap 4 in and reach 116 in.

    360 - 3/4 = 359-1/4 in take three pieces of 120, and 359-1/4 - 3 x 116 = 11-1/4 in: no
    rest is shorter than a foot, so that the third gives 3/4 in to the fourth.
    """
    text = (
        "{job: x, siding: {material: vinyl double 4}, head_flashing: [belly band], walls:"
        " [{name: a, width: 30', height: 96, zones: [{top: 40, band: 8}, {}]}]}"
    )
    plan = make_plan(parse_job(text, "x.yaml"), time_limit=1.0)
    record = plan_record(plan)
    assert recount(record) == ()
    jsonschema.validate(record, plan_schema())
    flashing = [piece for piece in plan.trim if piece.role == "head_flashing"]
    assert {piece.place for piece in flashing} == {"on the band over zone 1"}
    assert [piece.length / INCH for piece in flashing] == [120, 120, 119.25, 12]
    assert not any("Z-flashing" in line for line in plan.findings)


SOFFIT = "walls: [{name: a, width: 60, height: 16}], soffits: [{name: s, wall: a, "


@pytest.mark.parametrize(
    ("extra", "soffit", "words"),
    [
        ("trim: {j_channel: none}, ", "depth: 12", "the job supplies no J-channel"),
        ("trim: {f_channel: none}, ", "depth: 12", "the job supplies no F-channel"),
        ("trim: {soffit: none}, ", "depth: 12", "the job supplies no soffit panels"),
        ("", "length: 61, depth: 12", 'ripped to only 1/2"; rip: both ends would cure it'),
        ("", "depth: 12, panels: along", 'hold them at least every 16"'),
        ("", "depth: 12, left: outside corner", "cut to the box that covers them"),
    ],
)
def test_what_a_soffit_needs_is_told(extra: str, soffit: str, words: str) -> None:
    """Trim that the job lacks, thin rips, support and mitres are told, each by name."""
    lines = told(extra + SOFFIT + soffit + "}]")
    assert any(words in line and line.startswith("soffit E1") for line in lines), lines


def test_a_plain_soffit_is_not_talked_of() -> None:
    """A soffit that wants nothing beyond its panels makes no finding."""
    assert not [line for line in told(SOFFIT + "depth: 12}]") if "soffit" in line]
