"""Walls in zones: each clad by itself, numbered on, and together the whole wall."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely import Polygon, box, union_all

from lapwright.check import plan_schema, recount
from lapwright.job.field import clip_outline, fields_of, job_of
from lapwright.job.reading import parse_job
from lapwright.planning import make_plan
from lapwright.record import plan_record
from tests.strategies import tape, walls

if TYPE_CHECKING:
    from lapwright.job.wall import Wall
    from lapwright.plan import Plan

JOB = """
job: Zones
siding: {{material: vinyl double 4}}
sidings:
  - {{material: shingle panel, family: lapped, exposure: 7, stock: [{{length: 10'}}]}}
  - {{material: fiber-cement 8-1/4, rules: {{end_gap: 1/8}}}}
walls:
  - name: Front
    width: 30'
    height: 9'
    gable: {{pitch: 8/12}}
    zones: {zones}
    openings:
      - {{name: W, x: 5', sill: 3', width: 36, height: 48}}
      - {{name: T, x: 14', sill: 7', width: 36, height: 60}}
  - {{name: Side, width: 20', height: 9', siding: shingle panel}}
"""


def planned(zones: str) -> Plan:
    """Plan the house with the zones of its front."""
    return make_plan(parse_job(JOB.format(zones=zones), "job.yaml"), time_limit=2.0)


@pytest.mark.parametrize(
    "zones", ["[{top: 3', band: 6}, {}]", "[{top: 3'}, {siding: fiber-cement 8-1/4}]"]
)
def test_a_sill_on_the_top_of_a_zone_is_held(zones: str) -> None:
    """Siding ends right below the window's sill at 3 ft: 36 in less 1/4 in at each end.

    The window is an opening of the zone above, which may be clad otherwise.
    """
    plan = planned(zones)
    assert recount(plan_record(plan)) == ()
    held = [p.length for p in plan.trim if p.role == "sill_channel" and p.place == "under W"]
    assert held == [35.5 * 8128]


def test_each_zone_has_its_siding_and_the_count_goes_on() -> None:
    """Courses of 8 in below the band and of 7 in above it, numbered through the wall.

    9 ft are 13 courses of 8 in and a rest of 4 in; the band takes 9-1/4 in, and the
    courses over it keep 1/4 in clear.
    """
    plan = planned("[{top: 9', band: 9-1/4}, {siding: shingle panel}]")
    courses = plan.walls[0].courses
    assert [b - a for a, b in pairwise(courses[:14])] == [8 * 8128] * 13
    assert courses[14] == (9 * 12 + 9.25 + 0.25) * 8128
    assert {b - a for a, b in pairwise(courses[14:])} == {7 * 8128}
    for piece in plan.siding:
        if piece.wall == "A":
            name = "vinyl double 4" if piece.course <= 14 else "shingle panel"
            assert piece.siding == name
            assert piece.y == courses[piece.course - 1]
    assert {p.siding for p in plan.siding if p.wall == "B"} == {"shingle panel"}
    ripped = {p.height for p in plan.siding if p.wall == "A" and p.course == 14}
    assert ripped == {(4 - 0.125) * 8128}


def test_each_siding_is_cut_from_its_own_stock() -> None:
    """Every piece is cut once, from a stock length of its own material."""
    plan = planned(
        "[{top: 4', band: 8, siding: fiber-cement 8-1/4}, {top: 9'}, {siding: shingle panel}]"
    )
    sidings = [m for m in plan.materials if m.role == "siding"]
    assert [m.name for m in sidings] == [s.name for s in plan.job.sidings]
    of = {piece.label: piece.siding for piece in plan.siding}
    for material in sidings:
        stock = {s.length for s in plan.job.cladding(material.name)[0].stock}
        assert {bar.stock for bar in material.bars} <= stock
        assert {of.pop(cut.label) for bar in material.bars for cut in bar.cuts} == {
            material.name
        }
    assert not of


def test_siding_keeps_clear_of_a_band_by_rule() -> None:
    """Own start first, then the rule of the siding over it, and nothing without a band.

    James Hardie's installation guide asks for 1/4 in between siding and flashing.
    """
    over = "{siding: fiber-cement 8-1/4%s}"
    for zones, clear in (
        (f"[{{top: 9', band: 8}}, {over % ''}]", 0.25),
        (f"[{{top: 9', band: 8}}, {over % ', start: 1'}]", 1),
        (f"[{{top: 9'}}, {over % ''}]", 0),
    ):
        zone = parse_job(JOB.format(zones=zones), "job.yaml").walls[0].zones[1]
        assert zone.start == zone.low + clear * 8128


def test_a_band_stops_at_openings() -> None:
    """30 ft less a window of 3 ft, and 3/8 in at each of the four ends."""
    plan = planned("[{top: 9', band: 8}, {siding: shingle panel}]")
    bands = sorted(piece.length for piece in plan.trim if piece.role == "belly_band")
    assert bands == [(13 * 12 - 0.75) * 8128, (14 * 12 - 0.75) * 8128]


def test_each_siding_is_held_by_trim_of_its_own() -> None:
    """Planks sit on a lath, panels on a strip; only panels need channels.

    James Hardie's installation guide: a lath under planks, 1-1/4 in wide, and no channel.
    """
    plan = planned("[{top: 9', band: 8}, {siding: fiber-cement 8-1/4}]")
    front = [p for p in plan.trim if p.wall == "A"]
    starters = {p.place: p.material for p in front if p.role == "starter"}
    assert starters == {
        "along the bottom": "starter strip",
        "along the bottom of zone 2": "starter lath",
    }
    # T stands in both zones and has the channel of the lower; the rakes are above.
    channelled = {p.place.split(",")[0] for p in front if p.role == "j_channel"}
    assert channelled == {"W", "T"}
    assert {m.name for m in plan.materials if m.role == "starter"} == {*starters.values()}
    jsonschema.validate(plan_record(plan), plan_schema())


def test_trim_of_a_siding_can_be_given() -> None:
    """Own trim of a further siding is bought as a material of its own."""
    text = JOB.format(zones="[{top: 9', band: 8}, {siding: shingle panel}]").replace(
        "exposure: 7, stock: [{length: 10'}]",
        "exposure: 7, stock: [{length: 10'}],"
        " trim: {starter: {name: deep strip, stock: [{length: 8'}]}, j_channel: none}",
    )
    plan = make_plan(parse_job(text, "job.yaml"), time_limit=1.0)
    deep = [p for p in plan.trim if p.material == "deep strip"]
    assert {(p.wall, p.role) for p in deep} == {("A", "starter"), ("B", "starter")}
    bars = next(m for m in plan.materials if m.name == "deep strip").bars
    assert {bar.stock for bar in bars} == {96 * 8128}
    assert not any(p.place.startswith("rake") for p in plan.trim)


def test_nails_are_counted_for_each_siding() -> None:
    """Each siding is nailed by its own courses: 16 in on centre, and one more a piece."""
    plan = planned("[{top: 9', band: 8}, {siding: shingle panel}]")
    counted = {s.name: s.quantity for s in plan.supplies if s.name.startswith("siding nails")}
    assert list(counted) == ["siding nails, vinyl double 4", "siding nails, shingle panel"]
    for name, quantity in counted.items():
        own = [p for p in plan.siding if p.siding == name.removeprefix("siding nails, ")]
        rows: dict[tuple[str, int], int] = {}
        for piece in own:
            rows[piece.wall, piece.course] = (
                rows.get((piece.wall, piece.course), 0) + piece.length
            )
        spans = sum(-(-length // (16 * 8128)) for length in rows.values())
        assert quantity == spans + len(own)
    jsonschema.validate(plan_record(plan), plan_schema())


def test_findings_name_the_siding_where_there_are_several() -> None:
    """A seam that breaks a rule is told with its siding, so the crew knows which stack."""
    plan = planned("[{top: 9', band: 8}, {siding: shingle panel}]")
    seams = [finding for finding in plan.findings if "seam between" in finding]
    assert seams
    siding = {piece.label: piece.siding for piece in plan.siding}
    for finding in seams:
        label = finding.split("seam between ")[1].split(" ")[0]
        assert finding.startswith(f"{siding[label]}, seam between")


def test_a_band_is_bought_by_its_height() -> None:
    """Boards of two heights are two materials, each named with its height."""
    plan = planned("[{top: 4', band: 5-1/2}, {top: 9', band: 8}, {siding: shingle panel}]")
    boards = [m.name for m in plan.materials if m.role == "belly_band"]
    assert boards == ['belly band board 5-1/2"', 'belly band board 8"']


@pytest.mark.parametrize("key", ["material", "role"])
def test_trim_said_to_be_of_another_material_is_a_fault(key: str) -> None:
    """The recount knows which material each stretch of trim is of."""
    record = plan_record(planned("[{top: 9', band: 8}, {siding: fiber-cement 8-1/4}]"))
    assert recount(record) == ()
    lath = next(p for p in record["trim"] if p["material"] == "starter lath")
    lath[key] = {"material": "starter strip", "role": "j_channel"}[key]
    assert any("trim starter of wall A" in fault for fault in recount(record))


def test_a_piece_said_to_be_of_another_siding_is_a_fault() -> None:
    """The recount knows which siding a course is of."""
    record = plan_record(planned("[{top: 9', band: 8}, {siding: shingle panel}]"))
    assert recount(record) == ()
    record["pieces"][0]["siding"] = "shingle panel"
    assert any("A1.1" in fault for fault in recount(record))
    record["pieces"][0]["siding"] = "tin"
    assert any("siding: found tin" in fault for fault in recount(record))


@settings(deadline=None, max_examples=100)
@given(walls(), st.lists(tape(0, 16 * 260), min_size=2, max_size=5))
def test_clipped_outlines_make_up_the_whole(wall: Wall, cuts: list[int]) -> None:
    """Strips between heights cover the outline once (shapely is the oracle)."""
    outline = Polygon([tuple(p) for p in wall.outline])
    marks = sorted({0, wall.height, *(c for c in cuts if c < wall.height)})
    parts = [clip_outline(wall.outline, low, high) for low, high in pairwise(marks)]
    shapes = [Polygon([tuple(p) for p in part]) for part in parts if part]
    assert all(shape.is_valid for shape in shapes)
    # A corner that is rounded to whole ticks moves an edge by half a tick at most.
    slack = 2 * outline.length
    assert abs(union_all(shapes).area - outline.area) < slack
    assert abs(sum(shape.area for shape in shapes) - outline.area) < slack
    for (low, high), part in zip(pairwise(marks), parts, strict=True):
        strip = outline.intersection(box(-1, low, wall.width + 1, high))
        area = Polygon([tuple(p) for p in part]).area if part else 0
        assert abs(strip.area - area) < slack


@settings(
    deadline=None, max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    low=tape(16 * 10, 16 * 100),
    band=tape(0, 16 * 12),
    start=tape(0, 16 * 6),
    siding=st.sampled_from(("shingle panel", "fiber-cement 8-1/4", "vinyl double 4")),
)
def test_any_zones_make_a_plan_that_stands(
    low: int, band: int, start: int, siding: str
) -> None:
    """Zones of any height stand up to the recount, and each field is clad."""
    zones = (
        f"[{{top: {low / 8128:.4f}, band: {band / 8128:.4f}}},"
        f" {{siding: {siding}, start: {start / 8128:.4f}}}]"
    )
    plan = planned(zones)
    labels = [piece.label for piece in plan.siding]
    assert len(set(labels)) == len(labels)
    for field in fields_of(plan.job):
        part = job_of(plan.job, field.siding)
        assert field.wall in part.walls
        assert any(
            piece.wall == field.wall.mark and field.wall.bottom <= piece.y < field.wall.height
            for piece in plan.siding
        )
