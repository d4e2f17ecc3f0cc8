"""Courses and runs of walls that are worked out by hand."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from lapwright.check.areas import opening_area
from lapwright.check.joints import fewest_pieces
from lapwright.check.layout import lay_wall
from lapwright.check.shape import height_of, notches_of, profile_of
from lapwright.job.reading import parse_job
from tests.solver.check.handmade import inches as i
from tests.solver.check.handmade import plank_wall, window_wall

if TYPE_CHECKING:
    from lapwright.job.job import Job

STEPPED = [[0, 0], [100, 0], [100, 20], [60, 20], [60, 15], [0, 15]]
"""A wall of 100 in, 15 in high at the left and 20 in from 60 in on."""


def job_of(outline: list[list[int]], *openings: dict[str, Any]) -> Job:
    """Give a job of one wall in the window wall's siding, of 10 in to the course."""
    record = window_wall()["job"]
    corners = [[f"{x} in", f"{y} in"] for x, y in outline]
    record["walls"][0] |= {
        "outline": corners,
        "openings": [
            {"kind": "window", "shape": "rectangle"}
            | {key: f"{v} in" if isinstance(v, (int, float)) else v for key, v in o.items()}
            for o in openings
        ],
    }
    return parse_job(json.dumps(record), "")


def opening(name: str, x: float, sill: float, width: float, height: float) -> dict[str, Any]:
    """Give an opening of a job. [in]"""
    return {"name": name, "x": x, "sill": sill, "width": width, "height": height}


def box(width: int, height: int) -> list[list[int]]:
    """Give the outline of a rectangle. [in]"""
    return [[0, 0], [width, 0], [width, height], [0, height]]


def test_an_opening_of_the_whole_height_parts_a_course() -> None:
    """Such an opening leaves a gap of 1/4 in at each side; sill clearance counts."""
    # The sill is 1/8 in above the butt edge: less its clearance it is on it.
    job = job_of(box(100, 20), opening("W1", 40, 10.125, 20, 15))
    first, second = lay_wall(job.walls[0], job)
    assert [(run.left, run.length) for run in first.runs] == [(i(0.25), i(99.5))]
    assert [(run.left, run.length) for run in second.runs] == [
        (i(0.25), i(39.5)),
        (i(60.25), i(39.5)),
    ]


def test_two_openings_above_each_other_part_a_course_together() -> None:
    """Openings that take the height together leave their side clearances, not gaps."""
    job = job_of(
        box(100, 20),
        opening("D1", 40, 0, 20, 4),
        opening("T1", 44, 4, 12, 7),
    )
    left, right = lay_wall(job.walls[0], job)[0].runs
    # D1 is cut up to 4-1/8 and wider than T1, so it is a notch at the end of each piece.
    assert (left.left, left.length) == (i(0.25), i(43.5))
    assert (right.left, right.length) == (i(56.25), i(43.5))
    course = lay_wall(job.walls[0], job)[0]
    notches = notches_of(course, left, left.left, left.right, course.top, job)
    assert [(n.opening, n.edge, n.start, n.end, n.cut_left) for n in notches] == [
        ("D1", "head", i(39.5), i(43.5), i(4.125))
    ]


def test_a_hole_has_both_cut_heights() -> None:
    """A vent inside a course is cut from 2-7/8 to 7-1/8 in."""
    job = job_of(box(100, 20), opening("V1", 40, 3, 10, 4))
    course = lay_wall(job.walls[0], job)[0]
    run = course.runs[0]
    (hole,) = notches_of(course, run, run.left, run.right, course.top, job)
    assert (hole.edge, hole.start, hole.end) == ("hole", i(39.5), i(50))
    assert (hole.cut_left, hole.cut_right, hole.upper) == (i(2.875), i(2.875), i(7.125))


def test_an_opening_beside_a_piece_is_no_notch() -> None:
    """A piece that ends before a window's side has no notch, one that passes it has."""
    job = job_of(box(100, 20), opening("W1", 40, 5, 10, 10))
    course = lay_wall(job.walls[0], job)[0]
    run = course.runs[0]
    assert notches_of(course, run, run.left, i(39.75), course.top, job) == ()
    (notch,) = notches_of(course, run, run.left, i(40), course.top, job)
    # Cut off at the end of the piece, 39-3/4 long.
    assert (notch.start, notch.end) == (i(39.5), i(39.75))


def test_an_eave_over_a_part_is_a_notch_up_to_the_gap() -> None:
    """Beside a step the notch goes on by the end gap; the end stays square."""
    job = job_of(STEPPED)
    course = lay_wall(job.walls[0], job)[1]
    run = course.runs[0]
    high = height_of(course, run, run.left, run.right, job)
    # The right part reaches the eave at 20, the whole exposure less 1/8.
    assert (high.height, high.ripped) == (i(9.875), True)
    (notch,) = notches_of(course, run, run.left, run.right, high.top, job)
    assert (notch.opening, notch.edge) == ("eave", "sill")
    # From the left end at 1/4 to the step at 60 and the gap, on the piece 60.
    assert (notch.start, notch.end, notch.cut_left) == (0, i(60), i(4.875))
    assert profile_of(course, run, run.left, high.top, job, at_left=True) == ()


def test_a_piece_wholly_under_an_eave_is_ripped() -> None:
    """A piece that a seam ends before the step is ripped and has no notch."""
    job = job_of(STEPPED)
    course = lay_wall(job.walls[0], job)[1]
    run = course.runs[0]
    low = height_of(course, run, run.left, i(50), job)
    assert (low.height, low.ripped) == (i(4.875), True)
    assert notches_of(course, run, run.left, i(50), low.top, job) == ()


def test_a_rake_that_begins_inside_a_course_has_a_bend() -> None:
    """Over a wall of 5 in a slope of 1 in 2 leaves 10 in at the top of the course."""
    job = job_of([[0, 0], [100, 0], [100, 5], [50, 30], [0, 5]])
    course = lay_wall(job.walls[0], job)[0]
    run = course.runs[0]
    profile = profile_of(course, run, run.left, course.top, job, at_left=True)
    assert profile == ((0, 0), (i(5), 0), (i(10), i(10)))


@pytest.mark.parametrize(
    ("width", "pieces"),
    [
        # 144 in and a lap of 1 in; a run is 1/2 in less than its wall.
        (144, 1),
        (145, 2),
        (287, 2),
        (288, 3),
        (430, 3),
        (431, 4),
    ],
)
def test_the_fewest_lapped_pieces(width: int, pieces: int) -> None:
    """Each piece more reaches 143 in farther than the 144 of the first."""
    job = job_of(box(width, 10))
    assert fewest_pieces(lay_wall(job.walls[0], job)[0].runs[0], job) == pieces


def test_the_fewest_butted_pieces_depend_on_the_studs() -> None:
    """With a stud each 2900 mm from 1000 mm on, planks of 3000 mm need three pieces."""
    record = plank_wall()["job"]
    record["rules"] |= {"stud_spacing": "2900 mm", "first_stud": "1000 mm"}
    job = parse_job(json.dumps(record), "")
    run = lay_wall(job.walls[0], job)[0].runs[0]
    # The run of 4994 would go into two, but the stud at 3900 is too far from the left end.
    assert fewest_pieces(run, job) == 3


def test_round_openings_are_ellipses() -> None:
    """A lone one is a quarter of pi of its box; one cut in half is its polygon."""
    vent = opening("V1", 40, 5, 10, 8) | {"shape": "round"}
    low, high = opening_area(job_of(box(100, 20), vent).walls[0])
    assert float(low / i(1) ** 2) == pytest.approx(3.141592653589793 * 80 / 4, rel=1e-12)
    assert float(high / low) == pytest.approx(1, abs=1e-12)
    half = opening("V1", -5, 5, 10, 8) | {"shape": "round"}
    low, high = opening_area(job_of(box(100, 20), half).walls[0])
    assert low == high
    assert 3.141592653589793 * 80 / 8 * i(1) ** 2 < low < 3.141592653589793 * 10.02 * i(1) ** 2


def test_openings_that_overlap_count_once() -> None:
    """Two windows of 10 by 10 that overlap by 5 by 10, one over the edge by 2 by 10."""
    job = job_of(
        box(100, 30),
        opening("W1", 40, 5, 10, 10),
        opening("W2", 45, 5, 10, 10),
        opening("W3", 92, 5, 10, 10),
    )
    low, high = opening_area(job.walls[0])
    assert low == high == i(230) * i(1)
