"""Heights of courses in whole plans: shared lines, starts, exposures that vary."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.check import recount
from lapwright.errors import NoPlanError
from lapwright.job.reading import parse_job
from lapwright.measure import INCH, TAPE_INCH, Ticks
from lapwright.planning import make_plan
from lapwright.record import plan_bytes, plan_record
from tests.strategies import walls

if TYPE_CHECKING:
    from lapwright.job.job import Job
    from lapwright.job.wall import Wall
    from lapwright.plan import Plan

SIDINGS = {
    "panels": "vinyl double 4",
    "planks evened out": "fiber-cement 8-1/4, exposures: even",
    "planks by a list": "fiber-cement 8-1/4, exposures: [6 in, 6-1/2 in, 7 in]",
    "wide limits": "p, family: butted, exposure: 8 in, least_exposure: 5 in,"
    " greatest_exposure: 10 in, exposures: even, stock: [{length: 150 in}]",
}
ONE = "walls: [{name: a, width: 30', height: 8' 3\"}]"


def job_of(siding: str, more: str = "", walls: str = ONE) -> Job:
    """Make a job."""
    return parse_job(f"{{job: x, siding: {{material: {siding}}}, {more} {walls}}}", "x.yaml")


def plan_of(siding: str, more: str = "", walls: str = ONE) -> Plan:
    """Plan a job, and see that its record stands when read back from its bytes."""
    plan = make_plan(job_of(siding, more, walls))
    assert recount(json.loads(plan_bytes(plan))) == ()
    return plan


def inches(plan: Plan, wall: int = 0) -> list[Fraction]:
    """Give the course lines of a wall. [in]"""
    figures = plan.walls[wall]
    return [Fraction(line, INCH) for line in (*figures.courses, figures.tops[-1])]


def spaced(drawn: list[Wall], bases: list[int], starts: list[int | None]) -> tuple[Wall, ...]:
    """Set walls at heights, with at most one opening each so that none overlap."""
    return tuple(
        replace(
            wall,
            name=f"wall {mark}",
            mark=mark,
            base=Ticks(base * TAPE_INCH),
            start=None if start is None else Ticks(start * TAPE_INCH),
            openings=tuple(
                o for o in wall.openings[:1] if o.sill < wall.height // 2 and o.x < wall.width
            ),
        )
        for wall, mark, base, start in zip(drawn, "ABC", bases, starts, strict=False)
    )


@settings(max_examples=40, deadline=None)
@given(
    st.lists(walls(), min_size=1, max_size=3),
    st.lists(st.integers(-640, 640), min_size=3, max_size=3),
    st.lists(st.none() | st.integers(-80, 100), min_size=3, max_size=3),
    st.sampled_from(tuple(SIDINGS.values())),
    st.sampled_from(("in", "mm")),
    st.sampled_from((None, 0, -3, 2)),
)
def test_any_heights_make_a_plan_that_stands(
    drawn: list[Wall],
    bases: list[int],
    starts: list[int | None],
    siding: str,
    unit: str,
    start: int | None,
) -> None:
    """Planner and recount, written apart, agree on the lines and pieces of any walls."""
    base = job_of(siding, f"unit: {unit},")
    if base.siding.varies and start is None:
        start = 0
    made = spaced(drawn, bases, starts)
    shared = [wall for wall in made if wall.start is None]
    first = min((wall.base for wall in shared), default=0) + (start or 0) * INCH
    if any(first - wall.base >= wall.height for wall in shared):
        return  # refused by the reading
    job = replace(base, walls=made, start=None if start is None else Ticks(start * INCH))
    try:
        plan = make_plan(job)
    except NoPlanError as error:
        assert "no joints on studs" in str(error)  # noqa: PT017
        return
    assert recount(json.loads(plan_bytes(plan))) == ()


TWO = (
    "walls: [{name: a, width: 12', height: 80}, {name: b, width: 12', height: 60, base: 20%s}]"
)


def test_walls_of_a_part_share_their_lines() -> None:
    """A wall 20 in higher begins with the course whose line lies 16 in up, 4 in below it."""
    plan = plan_of("vinyl double 4", walls=TWO % "")
    assert inches(plan)[:3] == [0, 8, 16]
    assert inches(plan, 1)[:3] == [-4, 4, 12]
    ripped = [notch for piece in plan.siding if piece.y < 0 for notch in piece.notches]
    assert {(n.opening, n.cut_left) for n in ripped} == {("bottom", 4 * INCH)}
    # The ripped edge has no lock, so that a support takes the starter's place.
    held = {(piece.wall, piece.role) for piece in plan.trim if "bottom" in piece.place}
    assert held == {("A", "starter"), ("B", "sill_channel")}
    assert any("wall B: the first course is ripped" in finding for finding in plan.findings)
    assert not any("line up" in finding for finding in plan.findings)


def test_courses_that_miss_at_a_corner_are_reported() -> None:
    """With a start of its own at 0 the second wall's lines lie 4 in higher, and so on."""
    plan = plan_of("vinyl double 4", walls=TWO % ", start: 0")
    told = [finding for finding in plan.findings if "line up" in finding]
    assert told == [
        "wall A and wall B: their courses do not line up at the corner, those of wall B are"
        ' 4" higher; without a start of its own for wall B they would'
    ]


MEETING = (
    "walls: [{name: a, width: 12', height: 80}, {name: b, %s,"
    " outline: [[0, %d], [48, %d], [48, 0], [144, 0], [144, 80], [0, 80]]}]"
)


@pytest.mark.parametrize(
    ("walls", "told"),
    [
        (TWO % "", '20" there, where that of wall B is higher'),
        (
            MEETING % ("lower_edges: ground", 18, 18),
            '18" there, where that of wall B is higher',
        ),
        (MEETING % ("lower_edges: ground, base: -18", 18, 18), ""),
        (
            MEETING % ("lower_edges: ground, base: -20", 18, 18),
            '2" there, where that of wall A',
        ),
        # Over a lower roof it is as it should be, and at a stop of its own there is no corner.
        (MEETING % ("lower_edges: roof", 18, 18), ""),
        (MEETING % ("lower_edges: ground, left: j-channel", 18, 18), ""),
    ],
)
def test_bottoms_that_miss_at_a_corner_are_reported(walls: str, told: str) -> None:
    """The right end of wall A stands at 0, the left end of B at its base and step."""
    plan = plan_of("vinyl double 4", walls=walls)
    found = [finding for finding in plan.findings if "bottoms differ" in finding]
    assert len(found) == (1 if told else 0)
    assert all("walls A and B meet at a corner" in one and told in one for one in found)


def test_a_corner_that_is_not_reported_is_a_fault() -> None:
    """The recount asks for the finding."""
    record = plan_record(make_plan(job_of("vinyl double 4", walls=TWO % ", start: 0")))
    record["findings"] = [f for f in record["findings"] if "line up" not in f]
    assert any("line up" in fault for fault in recount(record))


WINDOW = (
    "walls: [{name: a, width: 12', height: 96, openings:"
    " [{name: W, x: 48, sill: 40-1/2, width: 36, height: 40}]}]"
)


def test_the_best_start_leaves_no_sliver() -> None:
    """A sill 1/2 in above a line leaves 3/8 in; from 1-1/2 in lower on it leaves no sliver.

    By hand, sill 40-3/8 in and head 80-5/8 in with their clearances, eave 95-7/8 in,
    and what is above the bottom: a start s leaves (40-3/8 - s) mod 8 under the sill,
    8 - (80-5/8 - s) mod 8 over the head, (95-7/8 - s) mod 8 under the eave and s mod 8
    over the bottom.  -4 leaves 4-3/8, 3-3/8, 3-7/8 and 4; -3-1/2 leaves 3-7/8, 3-7/8,
    3-3/8 and 4-1/2: the smallest are alike at 3-3/8, so the start nearer the bottom counts.
    """
    plan = plan_of("vinyl double 4", "start: best,", WINDOW)
    assert inches(plan)[0] == Fraction(-7, 2)
    given = plan_of("vinyl double 4", walls=WINDOW)
    slivers = [finding for finding in given.findings if "sliver" in finding]
    assert len(slivers) == 1
    assert slivers[0].endswith('start: -3-1/2" would leave no sliver on the house')


def test_another_start_than_the_best_is_a_fault() -> None:
    """A record that asks for the best start and has another one does not stand."""
    record = plan_record(make_plan(job_of("vinyl double 4", walls=WINDOW)))
    record["job"]["start"] = "best"
    assert any("butt edge" in fault for fault in recount(record))


def test_planks_end_at_sill_head_and_eave() -> None:
    """With wide limits every line is hit, and no plank but at the sides is notched."""
    siding = SIDINGS["wide limits"]
    plan = plan_of(siding, walls=WINDOW)
    eighth = Fraction(1, 8)
    assert {40 + Fraction(1, 2) - eighth, Fraction(161, 2), 96 - eighth} <= set(inches(plan))
    assert not any(piece.notches or piece.ripped for piece in plan.siding)
    assert len({piece.height for piece in plan.siding}) > 1


def test_a_line_that_is_not_even_is_a_fault() -> None:
    """Every course line of a record must be where the rule puts it."""
    record = plan_record(make_plan(job_of(SIDINGS["wide limits"], walls=WINDOW)))
    record["walls"][0]["courses"][2] += TAPE_INCH
    assert any("course 3, butt edge" in fault for fault in recount(record))
    record = plan_record(make_plan(job_of("vinyl double 4", walls=WINDOW)))
    record["walls"][0]["top_lines"][-1] += TAPE_INCH
    assert any("top line" in fault for fault in recount(record))


def test_exposures_of_a_list_go_up_and_the_last_goes_on() -> None:
    """6, 6-1/2 and then 7 in for every course above."""
    plan = plan_of(SIDINGS["planks by a list"])
    assert inches(plan)[:5] == [0, 6, Fraction(25, 2), Fraction(39, 2), Fraction(53, 2)]


@pytest.mark.parametrize(
    ("trim", "told"),
    [
        ("sill_channel: none", "cut edges under W, under the eave have no support"),
        ("j_channel: none", "cut edges over W have no support"),
    ],
)
def test_cut_edges_without_support_are_reported(trim: str, told: str) -> None:
    """A role that the job leaves out is named, and what it would hold."""
    plan = plan_of("vinyl double 4", f"trim: {{{trim}}}, start: -3,", WINDOW)
    (found,) = [finding for finding in plan.findings if "no support" in finding]
    assert told.split(" have")[0].split("edges ")[1] in found
    assert found.endswith("that role under trim would cure it")


def test_the_last_point_under_a_peak_is_no_filler() -> None:
    """Trim along the rakes covers a point; a wider stop would not help it."""
    # 100 in wide under 12/12: the peak at 74 in, the last butt edge at 72 in: 4 in less gaps.
    gable = "walls: [{name: a, width: 100, height: 24, gable: {pitch: 12/12}}]"
    plan = plan_of("vinyl double 4", "rules: {narrowest: 5},", gable)
    told = [finding for finding in plan.findings if "of only" in finding]
    assert told == [
        'piece A10.1: a point of only 3-1/2" between the rakes; wider trim along them would'
        " cover it"
    ]
