"""Runs: what of a course is clad, checked by hand and against polygons."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from hypothesis import given, settings
from shapely import Polygon, box
from shapely.ops import unary_union

from lapwright.job.reading import parse_job
from lapwright.job.wall import Opening, OpeningKind, Point, Wall
from lapwright.measure import INCH, TAPE_INCH, Ticks, Unit
from lapwright.takeoff.area import gross_area, opening_area
from lapwright.takeoff.course import Grid, lay_courses
from lapwright.takeoff.run import Run, find_runs
from tests.strategies import walls

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lapwright.job.rules import Rules

EXPOSURE = Ticks(8 * INCH)


def inches(text: str) -> int:
    """Turn inches into ticks."""
    return int(Fraction(text) * INCH)


def job_rules() -> Rules:
    """Give the catalogue's rules for vinyl at 60 F."""
    text = (
        "{job: x, siding: {material: vinyl double 4},"
        " walls: [{name: a, width: 100, height: 100}]}"
    )
    return parse_job(text, "x.yaml").rules


def bare_rules() -> Rules:
    """Give rules without any gap or clearance."""
    zero = Ticks(0)
    return replace(
        job_rules(),
        end_gap=zero,
        side_clearance=zero,
        sill_clearance=zero,
        head_clearance=zero,
    )


def wall_of(*openings: Opening, outline: Iterable[tuple[str, str]] = ()) -> Wall:
    """Make a wall of 200 in by 32 in, or of an outline in inches."""
    text = (
        "{job: x, siding: {material: vinyl double 4},"
        " walls: [{name: a, width: 200, height: 32}]}"
    )
    wall = parse_job(text, "x.yaml").walls[0]
    points = tuple(Point(Ticks(inches(x)), Ticks(inches(y))) for x, y in outline)
    return replace(wall, openings=openings, outline=points or wall.outline)


def opening(x: str, sill: str, width: str, height: str, name: str = "W1") -> Opening:
    """Make a window by its box in inches."""
    left, low, wide, high = (Ticks(inches(v)) for v in (x, sill, width, height))
    return Opening(name, OpeningKind.WINDOW, left, low, wide, high)


def runs_of(wall: Wall, course: int, rules: Rules) -> tuple[Run, ...]:
    """Find the runs of a course of 8 in."""
    return find_runs(
        wall, lay_courses(wall, Grid(Ticks(0), (EXPOSURE,)))[course - 1], rules, Unit.INCH
    )


def test_a_plain_course_is_the_wall_less_two_gaps() -> None:
    """200 in less 1/4 in at each end is 199-1/2 in, from 1/4 in."""
    (run,) = runs_of(wall_of(), 1, job_rules())
    assert (run.x, run.length) == (inches("1/4"), inches("199.5"))
    assert (run.left.meets, run.right.meets) == ("outside corner", "outside corner")
    assert run.notches == ()


def test_an_opening_of_the_whole_height_splits_the_course() -> None:
    """From 60 in to 90 in nothing hangs: 59-1/2 in to the left, 109-1/2 in to the right."""
    left, right = runs_of(wall_of(opening("60", "0", "30", "30")), 2, job_rules())
    assert left.length == inches("59.5")
    assert (right.x, right.length) == (inches("90.25"), inches("109.5"))
    assert (left.right.meets, right.left.meets) == ("opening W1", "opening W1")


def test_a_sill_inside_a_course_cuts_a_notch() -> None:
    """A sill at 13 in lies 5 in up in course 2: cut at 4-7/8 in, 1/4 in wider each side."""
    (run,) = runs_of(wall_of(opening("60", "13", "30", "19")), 2, job_rules())
    (notch,) = run.notches
    assert (notch.left, notch.right) == (inches("59.75"), inches("90.25"))
    assert (notch.below, notch.above) == (inches("4.875"), None)


def test_a_sill_on_the_top_line_still_takes_the_hem() -> None:
    """A sill at 16 in, the top line of course 2, is cut 1/8 in lower: 7-7/8 in."""
    (run,) = runs_of(wall_of(opening("60", "16", "30", "16")), 2, job_rules())
    assert run.notches[0].below == inches("7.875")


def test_a_head_inside_a_course_cuts_up_from_the_butt_edge() -> None:
    """A head at 19 in lies 3 in up in course 3: cut at 3-1/8 in."""
    (run,) = runs_of(wall_of(opening("60", "0", "30", "19")), 3, job_rules())
    assert (run.notches[0].below, run.notches[0].above) == (None, inches("3.125"))


def test_a_head_on_the_butt_line_cuts_nothing() -> None:
    """A head at 16 in, the butt line of course 3, leaves course 3 whole."""
    (run,) = runs_of(wall_of(opening("60", "0", "30", "16")), 3, job_rules())
    assert run.notches == ()


def test_a_hole_inside_a_course_keeps_both_edges() -> None:
    """A vent from 10 in to 13 in stands within course 2: cut from 1-7/8 in to 5-1/8 in."""
    (run,) = runs_of(wall_of(opening("60", "10", "30", "3")), 2, job_rules())
    assert (run.notches[0].below, run.notches[0].above) == (inches("1.875"), inches("5.125"))


def test_two_openings_can_take_the_height_together() -> None:
    """A head at 20 in and a sill at 20 in of one width leave nothing between them."""
    low, high = opening("60", "0", "30", "20"), opening("60", "20", "30", "12", "W2")
    runs = runs_of(wall_of(low, high), 3, job_rules())
    assert [run.length for run in runs] == [inches("59.5"), inches("109.5")]


def test_two_openings_with_a_strip_between_cut_one_piece_twice() -> None:
    """A head at 18 in and a sill at 22 in leave a strip in course 3 with two notches."""
    low, high = opening("60", "0", "30", "18"), opening("60", "22", "30", "10", "W2")
    (run,) = runs_of(wall_of(low, high), 3, job_rules())
    assert {(n.opening, n.below, n.above) for n in run.notches} == {
        ("W1", None, inches("2.125")),
        ("W2", inches("5.875"), None),
    }


def test_an_opening_past_the_edge_is_clipped() -> None:
    """A corner window over the left end leaves an L-shaped end below its sill."""
    (run,) = runs_of(wall_of(opening("-10", "13", "40", "19")), 2, job_rules())
    assert run.x == inches("1/4")
    (notch,) = run.notches
    assert (notch.left, notch.right) == (inches("1/4"), inches("30.25"))


def test_the_last_course_is_ripped_under_the_eave() -> None:
    """A wall of 30 in leaves 6 in for course 4, ripped to 5-7/8 in."""
    wall = wall_of(outline=[("0", "0"), ("200", "0"), ("200", "30"), ("0", "30")])
    (run,) = runs_of(wall, 4, job_rules())
    assert run.eaves == (inches("5.875"),)


def test_a_rake_sets_the_ends_in_by_the_slope() -> None:
    """At 6 in 12 a course of 8 in is 16 in shorter at its top line, each end."""
    wall = wall_of(outline=[("0", "0"), ("200", "0"), ("100", "50")])
    (run,) = runs_of(wall, 2, job_rules())
    assert run.x == inches("16.25")
    assert run.length == inches("167.5")
    profile = ((0, 0), (EXPOSURE, inches("16")))
    assert run.left.profile(run.x, run.end, Unit.INCH) == profile
    assert run.right.profile(run.end, run.x, Unit.INCH) == profile
    assert run.left.meets == "rake"


@settings(max_examples=60, deadline=None)
@given(walls())
def test_without_gaps_the_runs_cover_the_wall_once(wall: Wall) -> None:
    """Areas of all runs add up to the outline less its openings (oracle: polygons)."""
    rules = bare_rules()
    runs = [
        run
        for course in lay_courses(wall, Grid(Ticks(0), (EXPOSURE,)))
        for run in find_runs(wall, course, rules, Unit.INCH)
    ]
    area = sum(
        (part.right.middle - part.left.middle) * (part.high - part.low)
        for run in runs
        for part in run.shape
    )
    outline = Polygon(wall.outline)
    holes = unary_union([box(o.x, o.sill, o.right, o.head) for o in wall.openings])
    oracle = outline.difference(holes).area
    lost = INCH * INCH  # runs below a mark of the tape are left out
    assert abs(float(area) - oracle) <= max(1e-9 * outline.area, lost)


@settings(max_examples=40, deadline=None)
@given(walls())
def test_areas_agree_with_polygons(wall: Wall) -> None:
    """Gross and opening areas equal those of a polygon library."""
    outline = Polygon(wall.outline)
    holes = unary_union([box(o.x, o.sill, o.right, o.head) for o in wall.openings])
    assert abs(gross_area(wall.outline) - outline.area) <= 1
    assert abs(opening_area(wall) - outline.intersection(holes).area) <= 1e-9 * outline.area + 1


@settings(max_examples=40, deadline=None)
@given(walls())
def test_a_mirrored_wall_has_mirrored_runs(wall: Wall) -> None:
    """Seen in a mirror, every run keeps its length, its notches and its ends swapped."""
    rules = job_rules()
    width = wall.width
    points = [Point(Ticks(width - p.x), p.y) for p in reversed(wall.outline)]
    first = min(range(len(points)), key=lambda i: (points[i].y, points[i].x))
    turned = replace(
        wall,
        outline=tuple(points[first:] + points[:first]),
        openings=tuple(replace(o, x=Ticks(width - o.right)) for o in wall.openings),
    )
    for course in lay_courses(wall, Grid(Ticks(0), (EXPOSURE,))):
        here = find_runs(wall, course, rules, Unit.INCH)
        there = find_runs(turned, course, rules, Unit.INCH)
        assert sorted((r.length, r.eaves) for r in here) == sorted(
            (r.length, r.eaves) for r in there
        )
        # What rounding to the tape takes stays at the right end of a run, so that widths
        # may differ by one mark of the tape; heights may not.
        ours, theirs = _cuts(here), _cuts(there)
        assert [cut[:2] for cut in ours] == [cut[:2] for cut in theirs]
        for (_, _, wide), (_, _, other) in zip(ours, theirs, strict=True):
            assert abs(wide - other) <= TAPE_INCH
        assert sorted(_mirrored(r.left.bends, width) for r in here) == sorted(
            r.right.bends for r in there
        )


def _cuts(runs: Iterable[Run]) -> list[tuple[int, int, int]]:
    """List the notches of runs by their heights, and how wide each is. [ticks]"""
    return sorted(
        (n.below or -1, n.above or -1, n.right - n.left) for run in runs for n in run.notches
    )


def _mirrored(
    bends: tuple[tuple[int | Fraction, int | Fraction], ...], width: int
) -> tuple[tuple[int | Fraction, int | Fraction], ...]:
    return tuple((height, width - x) for height, x in bends)
