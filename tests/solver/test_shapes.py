"""Openings of any shape: finished pieces against the polygons of a geometry library.

Pieces are cut by the marks of the plan alone: length, height, profiles, notches.
"""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import MultiPoint, Polygon, affinity, box
from shapely.ops import unary_union

from lapwright.check import recount
from lapwright.errors import InputError, NoPlanError
from lapwright.job.corners import corners_of, regular_cut
from lapwright.job.outline import normal_outline
from lapwright.job.reading import parse_job
from lapwright.job.wall import OpeningShape, Point
from lapwright.measure import INCH, TAPE_INCH, Ticks
from lapwright.plan import NotchEdge
from lapwright.planning import make_plan
from lapwright.record import job_record, plan_record
from lapwright.siding import lay_out
from lapwright.takeoff.area import opening_area
from lapwright.takeoff.blocked import convex_parts, widen

if TYPE_CHECKING:
    from lapwright.job.job import Job
    from lapwright.job.wall import Opening
    from lapwright.plan import PieceEnd, SidingPiece

BARE = dict.fromkeys(
    ("end_gap", "side_clearance", "sill_clearance", "head_clearance", "roof_clearance"), 0
)


def job_of(openings: list[dict[str, Any]], rules: dict[str, Any] | None = None) -> Job:
    """Make a job of one wall of 20 ft by 9 ft under a gable."""
    wall = {"name": "a", "width": 240, "height": 108, "gable": {"rise": 40}}
    job = {"job": "x", "siding": {"material": "vinyl double 4"}, "rules": rules or {}}
    return parse_job(json.dumps(job | {"walls": [wall | {"openings": openings}]}), "x")


@st.composite
def shaped(draw: st.DrawFn, number: int) -> dict[str, Any]:
    """Draw an opening of any shape; it may run past the wall's edge."""
    x, sill = draw(st.integers(-10, 230)), draw(st.integers(-10, 110))
    width, height = draw(st.integers(4, 60)), draw(st.integers(4, 60))
    shape = draw(st.sampled_from([*OpeningShape, "tilted"]))
    opening: dict[str, Any] = {"name": f"O{number}"}
    if shape is OpeningShape.POLYGON:
        tip, waist = draw(st.integers(0, width)), draw(st.integers(1, height))
        dent = draw(st.integers(1, width))
        corners = [[0, 0], [width, 0], [dent, waist], [width, height + 1], [tip, height + 2]]
        return opening | {"shape": shape, "corners": [[x + a, sill + b] for a, b in corners]}
    opening |= {"x": x, "width": width, "height": height}
    if shape == "tilted":
        return opening | {"sill": {"left": sill, "right": sill + draw(st.integers(-8, 8)) / 16}}
    return opening | {"sill": sill, "shape": shape}


@st.composite
def jobs(draw: st.DrawFn, rules: dict[str, Any] | None = None) -> Job:
    """Draw a gable wall with up to four openings, which may overlap."""
    drawn = [draw(shaped(number)) for number in range(draw(st.integers(1, 4)))]
    kept: list[dict[str, Any]] = []
    for opening in drawn:
        try:
            job_of([opening])
        except InputError:  # wholly beside the wall, or sides that cross
            continue
        kept.append(opening)
    return job_of(kept, rules)


def finished(piece: SidingPiece) -> Polygon:
    """Cut a piece by its marks and hang it on the wall."""

    def side(end: PieceEnd) -> list[tuple[int, int]]:
        points = [(int(v), int(inset)) for v, inset in end.profile] or [(0, 0)]
        return [(0, points[0][1]), *points, (piece.height, points[-1][1])]

    frame = Polygon(
        [
            *((inset, v) for v, inset in side(piece.left)),
            *((piece.length - inset, v) for v, inset in reversed(side(piece.right))),
        ]
    ).buffer(0)
    for n in piece.notches:
        top = {NotchEdge.SILL: piece.height, NotchEdge.HOLE: n.upper}
        if n.points:
            cut = Polygon(n.points)
        elif n.edge is NotchEdge.HEAD:
            cut = Polygon(
                [(n.start, 0), (n.end, 0), (n.end, n.cut_right), (n.start, n.cut_left)]
            )
        else:
            upper = top[n.edge]
            corners = [(n.start, n.cut_left), (n.end, n.cut_right), (n.end, upper)]
            cut = Polygon([*corners, (n.start, upper)])
        frame = frame.difference(cut.buffer(0))
    return affinity.translate(frame, piece.x, piece.y)


def true_shape(opening: Opening) -> Polygon:
    """Make the shape itself by the library's own curves."""
    x, y, wide, high = opening.x, opening.sill, opening.width, opening.height
    if opening.shape is OpeningShape.ROUND:
        circle = Polygon([(0, 0)] * 4) if not wide else box(0, 0, 1, 1).centroid.buffer(1, 256)
        centred = affinity.translate(circle, -0.5, -0.5)
        scaled = affinity.scale(centred, wide / 2, high / 2, origin=(0, 0))
        return affinity.translate(scaled, x + wide / 2, y + high / 2)
    return Polygon(corners_of(opening))


@settings(max_examples=60, deadline=None)
@given(jobs())
def test_any_shapes_stand_up_to_the_recount(job: Job) -> None:
    """Overlaps, dents, curves and tilted sills: planner and recount agree on every plan."""
    assert recount(plan_record(make_plan(job, time_limit=5))) == ()


def test_a_notch_under_the_tip_of_a_rake_is_told() -> None:
    """Of one window within another, only a rake's tip stands over the narrow one's head."""
    boxes = [("O0", 0, 0, 4, 4), ("O1", 0, 72, 47, 41), ("O2", 8, 72, 8, 41)]
    keys = ("name", "x", "sill", "width", "height")
    plan = make_plan(job_of([dict(zip(keys, told, strict=True)) for told in boxes]))
    assert recount(plan_record(plan)) == ()


@settings(max_examples=40, deadline=None)
@given(jobs(BARE))
def test_finished_pieces_cover_what_is_free_once(job: Job) -> None:
    """Without gaps the pieces cover the wall less its openings, to within the tape."""
    (wall,) = job.walls
    free = Polygon(wall.outline).difference(unary_union([true_shape(o) for o in wall.openings]))
    layout = lay_out(job)
    pieces = [finished(piece) for piece in layout.pieces]
    covered = unary_union(pieces)
    # Two marks: one of rounding, and one of what a last piece may be short.
    mark = 2 * TAPE_INCH
    assert covered.difference(free).buffer(-mark / 2).area == 0
    # What the reading calls a run of nothing, thinner than a mark, is left out as well.
    assert free.difference(covered).buffer(-mark / 2).area == 0
    laps = len(layout.seams) * job.rules.lap * job.siding.exposure
    twice = sum(piece.area for piece in pieces) - covered.area
    assert twice <= laps + 1


@settings(max_examples=40, deadline=None)
@given(jobs())
def test_openings_have_the_area_of_their_shape(job: Job) -> None:
    """Each spot once, outside of the wall not at all (oracle: polygons).

    A curve becomes a polygon that stands off it by 1/64 in at most.
    """
    (wall,) = job.walls
    shapes = [true_shape(o) for o in wall.openings]
    oracle = Polygon(wall.outline).intersection(unary_union(shapes))
    curved = (OpeningShape.ROUND, OpeningShape.ARCHED)
    round_about = sum(true_shape(o).length for o in wall.openings if o.shape in curved)
    slack = INCH / 64 * round_about + INCH * INCH / 10
    assert opening_area(wall) == pytest.approx(oracle.area, abs=slack)


@settings(max_examples=30, deadline=None)
@given(jobs())
def test_a_mirrored_wall_has_mirrored_pieces(job: Job) -> None:
    """Seen in a mirror the same is clad, to within marks of the tape."""
    (wall,) = job.walls
    width = wall.width
    turned = []
    for o in wall.openings:
        corners = tuple(p._replace(x=Ticks(width - p.x)) for p in reversed(o.corners))
        turned.append(replace(o, x=Ticks(width - o.right), corners=corners))
    other = replace(job, walls=(replace(wall, openings=tuple(turned)),))
    here = unary_union([finished(piece) for piece in lay_out(job).pieces])
    there = unary_union([finished(piece) for piece in lay_out(other).pieces])
    mirrored = affinity.scale(there, -1, 1, origin=(width / 2, 0))
    assert here.symmetric_difference(mirrored).buffer(-TAPE_INCH).area == 0


@settings(max_examples=30, deadline=None)
@given(jobs(), st.integers(20, 220))
def test_a_wall_cut_in_two_keeps_its_area(job: Job, place: int) -> None:
    """At a plumb line through wall and openings, the parts have the area of the whole."""
    (wall,) = job.walls
    outline = Polygon(wall.outline)
    parts = [
        outline.intersection(box(left, -1, right, 10**9))
        for left, right in ((-1, place * INCH), (place * INCH, 10**9))
    ]
    total = 0
    for part in parts:
        corners = [(round(x), round(y)) for x, y in part.exterior.coords[:-1]]
        points = tuple(type(wall.outline[0])(Ticks(x), Ticks(y)) for x, y in reversed(corners))
        # Openings are not moved: their places still count from the whole wall's left.
        total += opening_area(replace(wall, outline=points))
    assert total == pytest.approx(opening_area(wall), rel=1e-3, abs=INCH * INCH)


@settings(deadline=None)
@given(st.integers(8, 4000), st.integers(8, 4000))
def test_a_round_opening_stands_round_its_ellipse(width: int, height: int) -> None:
    """Its polygon holds the ellipse, and no corner lies off by more than 1/64 in."""
    opening = {"name": "r", "shape": "round", "x": 0, "sill": 0}
    job = job_of([opening | {"width": f"{width} mm", "height": f"{height} mm"}])
    polygon = Polygon(corners_of(job.walls[0].openings[0]))
    ellipse = true_shape(job.walls[0].openings[0])
    assert ellipse.difference(polygon).area <= 1e-9 * ellipse.area
    assert polygon.difference(ellipse.buffer(INCH / 64 + 3)).area <= 1e-6 * ellipse.area


def test_an_octagon_is_regular_by_itself() -> None:
    """Of 24 in each corner is cut by 24 / (2 + sqrt 2) = 7.029 in, so all sides are equal."""
    cut = regular_cut(24 * INCH, 24 * INCH)
    assert cut / INCH == pytest.approx(24 / (2 + 2**0.5), abs=1e-3)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 60), st.integers(0, 60)), min_size=3, max_size=9))
def test_a_widened_polygon_is_swept_by_the_box(spots: list[tuple[int, int]]) -> None:
    """The convex parts, widened, together are the hull of all corners moved (oracle)."""
    ring = Polygon(spots)
    if not ring.is_valid or ring.area == 0:
        return
    outline, _ = normal_outline([Point(Ticks(x), Ticks(y)) for x, y in spots])
    corners = [(p.x, p.y) for p in outline]
    parts = convex_parts(corners)
    assert sum(Polygon(part).area for part in parts) == pytest.approx(ring.area)
    for part in parts:
        moved = [(x + a, y + b) for x, y in part for a in (-3, 3) for b in (-2, 1)]
        swept = MultiPoint(moved).convex_hull
        assert Polygon(widen(part, 3, 2, 1)).symmetric_difference(swept).area <= 1e-9


def test_a_sill_out_of_level_has_two_cut_heights() -> None:
    """A sill at 37 in left and 37-1/4 in right lies 5 and 5-1/4 in up: less 1/8 in each."""
    sill = {"left": 37, "right": "37-1/4"}
    job = job_of([{"name": "S", "x": 60, "width": 36, "height": 40, "sill": sill}])
    (notch,) = (n for p in lay_out(job).pieces if p.course == 5 for n in p.notches)
    assert (notch.cut_left, notch.cut_right) == (INCH * 39 // 8, INCH * 41 // 8)
    assert notch.points == ()
    record = job_record(job)
    assert job_record(parse_job(json.dumps(record), "x")) == record


@pytest.mark.parametrize(
    ("opening", "found"),
    [
        ({"shape": "polygon", "x": 1}, "nothing, wanted the key 'corners'"),
        ({"shape": "round", "x": 1, "sill": 1, "width": 9}, "nothing, wanted the key 'height'"),
        ({"x": 1, "sill": 1, "width": 9, "height": 9, "rise": 3}, "'rise' of an opening"),
        (
            {"shape": "arched", "x": 1, "sill": 1, "width": 9, "height": 9, "rise": 10},
            "an arch that rises",
        ),
        (
            {"shape": "octagon", "x": 1, "sill": 1, "width": 9, "height": 9, "cut": 5},
            "corners cut by",
        ),
        ({"shape": "polygon", "corners": [[0, 0], [9, 9], [9, 0], [0, 6]]}, "cross or touch"),
        (
            {
                "shape": "round",
                "x": 1,
                "sill": {"left": 1, "right": 2},
                "width": 9,
                "height": 9,
            },
            "out of level under",
        ),
    ],
)
def test_what_no_shape_can_be_is_refused(opening: dict[str, Any], found: str) -> None:
    """Keys that a shape lacks or does not know, and sizes that cannot be."""
    with pytest.raises(InputError) as error:
        job_of([opening | {"name": "o"}])
    assert found in str(error.value)


def test_a_valley_inside_a_course_is_a_notch() -> None:
    """An M-shaped wall whose valley lies inside a course is cut out from its top."""
    outline = "[[0,0],[288,0],[288,96],[216,140],[144,92],[72,140],[0,96]]"
    text = (
        "{job: x, siding: {material: vinyl double 4},"
        f" walls: [{{name: a, outline: {outline}}}]}}"
    )
    plan = make_plan(parse_job(text, "x"))
    cut = [n for p in plan.siding for n in p.notches if n.opening == "outline"]
    # The valley at 92 in stands 4 in above the butt edge of course 12.
    assert min(min(n.cut_left, n.cut_right) for n in cut) == 4 * INCH


def test_overlapping_openings_are_told_by_marks() -> None:
    """Three windows that overlap askew leave shapes that no boxes tell, and still a plan."""
    openings = [
        {"name": "a", "x": 40, "sill": 30, "width": 40, "height": 13},
        {"name": "b", "x": 60, "sill": 36, "width": 50, "height": 8},
        {"name": "c", "shape": "round", "x": 70, "sill": 20, "width": 30, "height": 30},
    ]
    try:
        plan = make_plan(job_of(openings))
    except NoPlanError:
        pytest.fail("a sound job")
    assert any(n.points for p in plan.siding for n in p.notches)


def test_a_step_over_a_head_that_hardly_leans_takes_less_than_a_mark() -> None:
    """Where a plumb side of one opening meets the shallow head of another, nothing is bare.

    A mark beside the step would let the slanted cut, 1 in 40, begin half an inch too far;
    raised by less than a mark it begins at the step: side clearance 1/4 in past 146 in.
    """
    job = job_of(
        [
            {"name": "O0", "x": 86, "sill": 0, "width": 60, "height": 5},
            {"name": "O1", "x": 144, "sill": {"left": 0, "right": "-1/8"}}
            | {"width": 5, "height": 4},
        ]
    )
    plan = make_plan(job)
    assert recount(plan_record(plan)) == ()
    places = {
        piece.x + u
        for piece in plan.siding
        for notch in piece.notches
        for u, v in notch.points
        if v < 5 * INCH and piece.x + u < 147 * INCH
    }
    assert max(places) * 4 == 585 * INCH
