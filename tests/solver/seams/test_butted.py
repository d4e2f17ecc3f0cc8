"""Joints of butted siding: on studs, as few as they allow."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.errors import NoPlanError
from lapwright.job.reading import parse_job
from lapwright.measure import INCH, TAPE_INCH
from lapwright.siding import lay_out

if TYPE_CHECKING:
    from lapwright.job.job import Job


def job_of(wall: str, rules: str = "{}") -> Job:
    """Make a job of one wall of fiber-cement planks of 12 ft."""
    text = (
        "{job: x, siding: {material: fiber-cement 8-1/4},"
        " rules: " + rules + ", walls: [{name: a, " + wall + "}]}"
    )
    return parse_job(text, "x.yaml")


def test_a_joint_lies_on_a_stud() -> None:
    """With planks of 12 ft on a wall of 20 ft, joints fall on studs every 16 in."""
    layout = lay_out(job_of("width: 20', height: 28"))
    assert layout.seams
    for seam in layout.seams:
        assert abs(seam.x % (16 * INCH)) <= TAPE_INCH


def test_joints_of_neighbouring_courses_are_two_bays_apart() -> None:
    """James Hardie, HardiePlank installation guide: two 16-in bays or more."""
    layout = lay_out(job_of("width: 20', height: 56"))
    assert not layout.broken
    by_course = {seam.course: seam.x for seam in layout.seams}
    for course, x in by_course.items():
        if course > 1:
            assert abs(x - by_course[course - 1]) >= 32 * INCH


def test_the_joint_gap_is_left() -> None:
    """A gap of 3/16 in lies between two planks, its middle on the stud to a mark."""
    layout = lay_out(job_of("width: 20', height: 7", "{joint_gap: 3/16}"))
    left, right = layout.pieces
    gap = 3 * INCH // 16
    assert right.x - (left.x + left.length) == gap
    middle = left.x + left.length + gap / 2
    assert abs(middle - round(middle / (16 * INCH)) * 16 * INCH) <= TAPE_INCH


def test_studs_too_far_apart_leave_no_plan() -> None:
    """Studs every 13 ft give planks of 12 ft no joint: no plan, and it is said which run."""
    with pytest.raises(NoPlanError, match="wall A, course 1: no joints on studs"):
        lay_out(job_of("width: 40', height: 7", "{stud_spacing: 13'}"))


def test_a_last_stud_too_far_from_the_end_leaves_no_plan() -> None:
    """Of a stud 20 ft along, planks of 12 ft reach neither end of a wall of 39 ft."""
    with pytest.raises(NoPlanError, match="wall A, course 1: no joints on studs"):
        lay_out(job_of("width: 39', height: 7", "{stud_spacing: 20'}"))


@settings(max_examples=40, deadline=None)
@given(st.integers(13 * 12, 60 * 12), st.integers(0, 15), st.sampled_from((0, 2, 3)))
def test_planks_and_gaps_make_the_run(width: int, first: int, gap: int) -> None:
    """Pieces and gaps reach from end to end, the last to within a mark of the tape."""
    rules = f"{{joint_gap: {gap}/16, first_stud: {first}}}"
    layout = lay_out(job_of(f"width: {width}, height: 21", rules))
    for split in layout.splits:
        parts = split.parts
        assert parts[0].x == split.run.x
        assert 0 <= split.run.end - parts[-1].end < TAPE_INCH
        for a, b in pairwise(parts):
            assert b.x - a.end == gap * INCH // 16
            twice = a.end + b.x - 2 * first * INCH
            assert min(twice % (32 * INCH), -twice % (32 * INCH)) <= 2 * TAPE_INCH
        assert all(part.length <= 144 * INCH for part in parts)
