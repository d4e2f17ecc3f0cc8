"""Walls whose lower edge steps up: over a lower roof, or over a foundation that steps.

Vinyl Siding Institute, Installation Manual: the first course hangs in a starter strip, and a
course that is ripped at its lower edge in utility trim.  Polymeric Exteriors Association, on
the International Residential Code (R703.3.1): 1/2 in clear of roofs.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import jsonschema
import pytest

from lapwright.check import plan_schema, recount
from lapwright.job.reading import parse_job
from lapwright.measure import INCH
from lapwright.planning import make_plan
from lapwright.record import plan_record

if TYPE_CHECKING:
    from lapwright.plan import Plan

STEPPED = """
job: On a slope
siding: {{material: {siding}}}
rules: {{{rules}}}
walls:
  - name: Side
    {words}
    outline: [[0, 0], [100, 0], [100, {step}], [140, {step}], [140, 96], [0, 96]]
"""


def planned(
    step: int,
    words: str = "base: 0",
    rules: str = "extra_seams: 0",
    siding: str = "vinyl double 4",
) -> Plan:
    """Plan a wall that steps up at 100 in, and have it recounted."""
    text = STEPPED.format(step=step, words=words, rules=rules, siding=siding)
    plan = make_plan(parse_job(text, "job.yaml"), time_limit=1.0)
    record = plan_record(plan)
    jsonschema.validate(record, plan_schema())
    assert recount(record) == ()
    return plan


def feet(plan: Plan) -> list[tuple[str, str, float]]:
    """List what is cut off lower edges: piece, what for, and inches up."""
    return [
        (piece.label, notch.opening, notch.cut_left / INCH)
        for piece in plan.siding
        for notch in piece.notches
        if notch.opening in ("roof", "step")
    ]


def held(plan: Plan) -> list[tuple[str, str, float]]:
    """List what runs along lower edges: role, place and inches."""
    return [
        (piece.role, piece.place, piece.length / INCH)
        for piece in plan.trim
        if piece.place.startswith(("along", "over", "end"))
    ]


def test_a_foundation_steps_up_at_a_course_line() -> None:
    """The fourth course begins whole at 24 in, in a starter 40 - 2 x 1/4 in long."""
    plan = planned(24, "lower_edges: ground")
    assert feet(plan) == []
    assert held(plan) == [
        ("starter", "along the bottom", 99.5),
        ("starter", "along step 1", 39.5),
        ("j_channel", "end at step 1", 24),
    ]
    assert plan.findings == ()
    ends = {piece.label: piece.right.meets for piece in plan.siding}
    assert (ends["A3.1"], ends["A4.1"]) == ("j-channel", "outside corner")


def test_a_foundation_steps_up_between_course_lines() -> None:
    """At 20 in the third course, from 16 in on, loses 4 in and its lock."""
    plan = planned(20, "lower_edges: ground")
    assert feet(plan) == [("A3.1", "step", 4)]
    assert held(plan) == [
        ("starter", "along the bottom", 99.5),
        ("j_channel", "end at step 1", 20),
        ("sill_channel", "along step 1, for the ripped course", 39.5),
    ]
    (told,) = plan.findings
    assert told.startswith(
        'wall A: over the step 20" up course 3 is ripped at its bottom edge, which loses 4"'
    )


def test_planks_have_their_starter_at_a_step_anyhow() -> None:
    """A plank has no lock to lose: the strip that leans it is at the step as at the bottom."""
    plan = planned(20, "lower_edges: ground", siding="fiber-cement 8-1/4")
    roles = [role for role, *_ in held(plan) if role != "j_channel"]
    assert roles == ["starter", "starter"]


@pytest.mark.parametrize(
    ("step", "rules", "taken"),
    [
        (24, "extra_seams: 0", [("A4.1", "roof", 0.5)]),
        (20, "extra_seams: 0", [("A3.1", "roof", 4.5)]),
        (20, "roof_clearance: 0", [("A3.1", "roof", 4)]),
        (24, "roof_clearance: 0", []),
    ],
)
def test_a_lower_roof_is_kept_clear_of(
    step: int, rules: str, taken: list[tuple[str, str, float]]
) -> None:
    """Siding begins 1/2 in over the roof, or at it where the job says so, in a channel."""
    plan = planned(step, rules=rules)
    assert feet(plan) == taken
    assert held(plan)[1] == ("j_channel", "over lower roof 1", 40)
    roof, side = plan.findings[:2]
    assert roof.endswith("say lower_edges: ground")
    assert side.startswith(f'wall A: ends upright at 100" from its left, 0" to {step}" up')


@pytest.mark.parametrize(
    "outline",
    [
        # A step of 1/4 in is lower than the 1/2 in that siding keeps off a roof.
        "[[0, 34-1/4], [58, 34-1/4], [58, 34-1/2], [223, 34-1/2], [223, 0], [251, 0],"
        " [251, 101], [0, 101]]",
        "[[0, 0], [28, 0], [28, 34-1/2], [193, 34-1/2], [193, 34-1/4], [251, 34-1/4],"
        " [251, 101], [0, 101]]",
    ],
)
def test_a_step_within_the_clearance_parts_no_course(outline: str) -> None:
    """Beside the roof siding goes on through the height in which the roof steps."""
    text = "{job: x, siding: {material: vinyl double 4}, walls: [{name: a, outline: " + outline
    plan = make_plan(parse_job(text + "}]}", "job.yaml"), time_limit=1.0)
    assert recount(plan_record(plan)) == ()
    # The course from 32 in on is one run, along the roof and down beside it.
    assert {piece.run for piece in plan.siding if piece.course == 5} == {1}


def test_the_recount_wants_the_starter_of_a_step() -> None:
    """Without it, or with a starter where the course is ripped, the plan is found at fault."""
    whole = plan_record(planned(24, "lower_edges: ground"))
    whole["trim"] = [p for p in whole["trim"] if p["place"] != "along step 1"]
    assert any("trim starter of wall A" in told for told in recount(whole))
    ripped = plan_record(planned(20, "lower_edges: ground"))
    for piece in ripped["trim"]:
        if piece["place"].startswith("along step 1"):
            piece["role"], piece["material"] = "starter", "starter strip"
    assert any("trim starter of wall A" in told for told in recount(ripped))
