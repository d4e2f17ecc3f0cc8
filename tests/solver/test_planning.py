"""Whole plans: every one stands up to the recount, whatever the walls."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.check import recount
from lapwright.errors import NoPlanError
from lapwright.job.reading import parse_job
from lapwright.measure import INCH
from lapwright.planning import make_plan
from lapwright.record import plan_bytes, plan_record
from tests.strategies import walls

if TYPE_CHECKING:
    from lapwright.job.job import Job
    from lapwright.job.wall import Opening, Wall

WALL = "walls: [{name: a, width: 30', height: 8' 3\", gable: {pitch: 5/12}}]"


def job_of(siding: str, unit: str, rules: str) -> Job:
    """Make a job of one wall."""
    return parse_job(
        f"{{job: x, unit: {unit}, siding: {{material: {siding}}}, rules: {rules}, {WALL}}}", "x"
    )


def overlap(a: Opening, b: Opening) -> bool:
    """Whether two openings share some area, or nearly touch."""
    near = 2 * INCH
    return (
        a.x < b.right + near
        and b.x < a.right + near
        and a.sill < b.head + near
        and b.sill < a.head + near
    )


@settings(max_examples=40, deadline=None)
@given(
    st.lists(walls(), min_size=1, max_size=3),
    st.sampled_from(("vinyl double 4", "vinyl double 5", "fiber-cement 8-1/4")),
    st.sampled_from(("in", "mm")),
    st.sampled_from(("{}", "{extra_seams: 1}", "{end_gap: 3/8 in, sill_clearance: 0}")),
)
def test_any_walls_make_a_plan_that_stands(
    drawn: list[Wall], siding: str, unit: str, rules: str
) -> None:
    """Planner and recount, written apart, agree on every piece of any job."""
    base = job_of(siding, unit, rules)
    named = tuple(
        replace(wall, name=f"wall {mark}", mark=mark)
        for wall, mark in zip(drawn, "ABC", strict=False)
    )
    inside = tuple(
        replace(
            wall,
            openings=tuple(
                o
                for i, o in enumerate(wall.openings)
                if o.sill < wall.height // 3
                and o.x < wall.width
                and not any(overlap(o, other) for other in wall.openings[:i])
            ),
        )
        for wall in named
    )
    try:
        # Where seams are searched for longer, no rule of the recount is another one.
        plan = make_plan(replace(base, walls=inside), time_limit=0.4)
    except NoPlanError as error:  # studs that a run does not meet
        assert "no joints on studs" in str(error)  # noqa: PT017
        return
    assert recount(plan_record(plan)) == ()


def test_the_same_job_gives_the_same_bytes() -> None:
    """Planned twice, plan.json is the same byte for byte."""
    job = job_of("vinyl double 4", "in", "{}")
    plans = [make_plan(job, time_limit=None) for _ in range(2)]
    assert plan_bytes(plans[0]) == plan_bytes(plans[1])


def test_a_counted_supply_that_is_too_small_leaves_no_plan() -> None:
    """Three panels do not clad a wall of thirty feet."""
    job = job_of('vinyl double 4, stock: [{length: "150", supply: 3}]', "in", "{}")
    with pytest.raises(NoPlanError, match="vinyl double 4"):
        make_plan(job, time_limit=1.0)


def test_the_cheaper_stock_length_is_bought() -> None:
    """Of two lengths the one that makes the siding cheaper is used (by hand: one wall).

    A wall of 12 ft clear takes one piece a course: 143-1/2 in.  At these prices the
    longer length costs more for the same pieces, so that only the shorter is bought.
    """
    text = (
        "{job: x, siding: {material: vinyl double 4, stock:"
        " [{length: 150, price: 10}, {length: 200, price: 14}]},"
        " walls: [{name: a, width: 12', height: 80}]}"
    )
    (siding, *_) = make_plan(parse_job(text, "x")).materials
    assert [(line.stock // 8128, line.count) for line in siding.order] == [(150, 10)]


SHAPES = {
    "gambrel": "[[0,0],[288,0],[288,96],[240,156],[144,192],[48,156],[0,96]]",
    "unequal pitches": "[[0,0],[288,0],[288,96],[100,160],[0,120]]",
    "shed": "[[0,0],[288,0],[288,96],[0,140]]",
    "dormer cheek, lower edge raked": "[[0,0],[120,60],[0,60]]",
    "dormer cheek, upper edge raked": "[[0,0],[120,0],[0,60]]",
    "over a lower roof": "[[0,0],[200,0],[200,60],[300,60],[300,140],[0,140]]",
    "over a raked roof": "[[0,0],[100,0],[200,60],[300,60],[300,140],[0,140]]",
    "steps": "[[0,0],[288,0],[288,40],[240,40],[240,96],[48,96],[48,40],[0,40]]",
}


@pytest.mark.parametrize("outline", SHAPES.values(), ids=SHAPES.keys())
@pytest.mark.parametrize("siding", ["vinyl double 4", "fiber-cement 8-1/4"])
def test_shapes_of_walls_stand_up_to_the_recount(outline: str, siding: str) -> None:
    """Every shape of wall that the README names is planned, and its recount agrees."""
    text = (
        f"{{job: x, siding: {{material: {siding}}}, rules: {{extra_seams: 1}},"
        f" walls: [{{name: a, outline: {outline}}}]}}"
    )
    plan = make_plan(parse_job(text, "x"))
    assert recount(plan_record(plan)) == ()


CARTONS = (
    "{job: x, siding: {material: vinyl double 4, stock:"
    " [{length: 144, price: 10, carton: 20}, {length: 200, price: 15, carton: 12}]},"
    " walls: [{name: a, width: 16' 6\", height: 84},"
    " {name: b, width: 11' 6\", height: 16}]}"
)


def test_whole_cartons_decide_what_is_bought() -> None:
    """A carton of twenty is not opened for two pieces that longer stock can yield.

    By hand: 11 lengths of 200 in for the long courses and two of 144 in for the short ones
    cost least as such, but come in a carton each, 180 + 200 = 380; all 13 from 200 in are
    two cartons of that, 360.
    """
    plan = make_plan(parse_job(CARTONS, "x"))
    (siding, *_) = plan.materials
    assert {line.stock // 8128 for line in siding.order} == {200}
    assert any('144" left out' in finding for finding in plan.findings)


THREE_WALLS = (
    "{job: x, siding: {material: vinyl double 4, stock: [{length: 12' 6\"}]},"
    " rules: {extra_seams: 1}, walls: [{name: a, width: 20', height: 48},"
    " {name: b, width: 19', height: 48}, {name: c, width: 9', height: 48}]}"
)


def test_fewest_seams_first() -> None:
    """Walls of 20 and 19 ft in six courses each need one seam a course: twelve."""
    job = parse_job(THREE_WALLS, "x")
    stock, seams = (make_plan(job, time_limit=2.0, fewest_seams=few) for few in (False, True))
    assert len(seams.seams) == 12
    assert len(stock.seams) >= 12
    assert stock.materials[0].cost <= seams.materials[0].cost
    assert (seams.materials[0].least_seams, stock.materials[0].least_seams) == (12, None)
    assert recount(plan_record(seams)) == ()
