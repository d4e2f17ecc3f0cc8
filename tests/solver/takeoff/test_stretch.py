"""Stretches of trim: where trim runs and how it is spliced, by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from lapwright.check import recount
from lapwright.job.material import TrimRole
from lapwright.job.reading import parse_job
from lapwright.measure import INCH, Ticks, Unit
from lapwright.planning import make_plan
from lapwright.record import plan_record
from lapwright.takeoff.stretch import Stretch, find_stretches, piece_lengths

if TYPE_CHECKING:
    from lapwright.job.job import Job


def job_of(walls: str, extra: str = "") -> Job:
    """Make a job of vinyl around walls."""
    head = "{job: x, siding: {material: vinyl double 4}, "
    return parse_job(head + extra + "walls: [" + walls + "]}", "x.yaml")


def found(job: Job, role: TrimRole) -> list[tuple[str, float]]:
    """List place and inches of a role's stretches, every sill being notched."""
    notched = frozenset((w.mark, o.name) for w in job.walls for o in w.openings)
    return [
        (f"{s.wall} {s.place}", s.length / INCH)
        for s, _ in find_stretches(job, notched)
        if s.role is role
    ]


HOUSE = ", ".join(f"{{name: {name}, width: 240, height: 96}}" for name in "abcd")


def test_a_house_of_four_walls_has_four_posts() -> None:
    """Vinyl Siding Institute, Accessories: 3/4 in below the starter, 1/4 in gap on top."""
    posts = found(job_of(HOUSE), TrimRole.OUTSIDE_CORNER)
    assert [inches for _, inches in posts] == [96.5] * 4


def test_two_walls_alone_have_a_post_at_every_free_end() -> None:
    """Two walls that meet share one post; their other ends have one each."""
    two = ", ".join(HOUSE.split(", {")[0:1]) + ", {name: b, width: 99, height: 120}"
    posts = found(job_of(two), TrimRole.OUTSIDE_CORNER)
    # The shared post is as long as the taller wall asks.
    assert sorted(posts) == [
        ("A outside corner left", 96.5),
        ("A outside corner right, with wall B", 120.5),
        ("B outside corner right", 120.5),
    ]


def test_parts_of_a_building_do_not_share_posts() -> None:
    """Two parts of four walls have eight posts, each as high as its own part."""
    walls = (
        HOUSE
        + ", "
        + ", ".join(f"{{name: {n}, part: garage, width: 240, height: 80}}" for n in "efgh")
    )
    posts = [inches for _, inches in found(job_of(walls), TrimRole.OUTSIDE_CORNER)]
    assert sorted(posts) == [80.5] * 4 + [96.5] * 4


def test_the_starter_leaves_out_the_door() -> None:
    """JLC, Durable Details for Vinyl Siding: 1/4 in gap at posts and, here, at the door."""
    door = "openings: [{name: d, kind: door, x: 100, sill: 0, width: 36, height: 80}]"
    job = job_of("{name: a, width: 240, height: 96, " + door + "}")
    assert [i for _, i in found(job, TrimRole.STARTER)] == [99.5, 103.5]


@pytest.mark.parametrize(
    ("opening", "starters"),
    [
        # Its corners are cut by 6 in: 24 in of it stand on the line.
        ("shape: octagon, cut: 6, x: 100, sill: 0, width: 36, height: 80", [105.5, 109.5]),
        # Its tip only touches the line.
        ("shape: polygon, corners: [[120, 0], [140, 40], [100, 40]]", [239.5]),
        # Cut by the line at half its height: 20 in of 40.
        ("shape: polygon, corners: [[120, -20], [140, 20], [100, 20]]", [109.5, 109.5]),
        # Two legs on the line, from 100 to 110 and from 130 to 140.
        (
            "shape: polygon, corners: [[100, 0], [110, 0], [110, 20], [130, 20], [130, 0],"
            " [140, 0], [140, 40], [100, 40]]",
            [99.5, 19.5, 99.5],
        ),
        # Round, its middle on the line: its whole width of 24 in.
        ("shape: round, x: 108, sill: -12, width: 24, height: 24", [107.5, 107.5]),
    ],
)
def test_the_starter_goes_by_the_shape_on_its_line(opening: str, starters: list[float]) -> None:
    """What stands on the line is left out, and 1/4 in at each end (JLC, as above).

    The recount, which finds it by columns, agrees.
    """
    openings = "openings: [{name: d, kind: door, " + opening + "}]"
    job = job_of("{name: a, width: 240, height: 96, " + openings + "}")
    assert [i for _, i in found(job, TrimRole.STARTER)] == starters
    assert recount(plan_record(make_plan(job))) == ()


def test_channel_round_a_window_and_a_door() -> None:
    """Each mitred end adds one face of 3/4 in (widely taught, from memory)."""
    openings = (
        "[{name: w, x: 20, sill: 30, width: 36, height: 48},"
        " {name: d, kind: door, x: 100, sill: 0, width: 36, height: 80}]"
    )
    job = job_of("{name: a, width: 240, height: 96, openings: " + openings + "}")
    assert found(job, TrimRole.J_CHANNEL) == [
        ("A w, head", 37.5),
        ("A w, sill", 37.5),
        ("A w, left side", 49.5),
        ("A w, right side", 49.5),
        ("A d, head", 37.5),
        ("A d, left side", 80.75),
        ("A d, right side", 80.75),
    ]


@pytest.mark.parametrize(
    ("window", "flashing"),
    [
        ("x: 20, sill: 20, width: 36, height: 48", [36.5]),
        # 36 in to the side and 27 in up are 45 in along a slanted head.
        ("shape: polygon, corners: [[20, 20], [56, 20], [56, 74], [20, 47]]", [45.5]),
        # sqrt(36^2 + (1/4)^2) = 36.0009, up to the next sixteenth.
        ("x: 20, sill: {left: 20, right: 20-1/4}, width: 36, height: 48", [36.5625]),
        ("shape: octagon, x: 20, sill: 20, width: 36, height: 48", []),
        ("shape: arched, x: 20, sill: 20, width: 36, height: 48", []),
        # A dent in its sill makes no second head.
        ("shape: polygon, corners: [[20, 20], [38, 30], [56, 20], [56, 60], [20, 60]]", [36.5]),
    ],
)
def test_flashing_over_straight_heads(window: str, flashing: list[float]) -> None:
    """Progressive Foam: drip caps are as wide as the opening; 1/4 in more at each end here."""
    head = "head_flashing: [window], rules: {head_flashing_reach: 1/4}, "
    opening = "openings: [{name: w, " + window + "}]"
    job = job_of("{name: a, width: 240, height: 96, " + opening + "}", head)
    assert [i for _, i in found(job, TrimRole.HEAD_FLASHING)] == flashing
    assert recount(plan_record(make_plan(job))) == ()


def test_channel_along_rakes_is_rounded_up() -> None:
    """A gable of 240 in at 6 in 12: each rake is sqrt(120² + 60²) = 134.164 in."""
    job = job_of("{name: a, width: 240, height: 96, gable: {pitch: 6/12}}")
    assert found(job, TrimRole.J_CHANNEL) == [("A rake 1", 134.1875), ("A rake 2", 134.1875)]


def test_support_under_sills_and_eaves_is_a_quarter_inch_short_each_end() -> None:
    """Under a window of 36 in hangs 35-1/2 in; under an eave of 240 in, 239-1/2 in."""
    window = "openings: [{name: w, x: 20, sill: 30, width: 36, height: 48}]"
    job = job_of("{name: a, width: 240, height: 96, " + window + "}")
    assert found(job, TrimRole.SILL_CHANNEL) == [("A under w", 35.5), ("A eave", 239.5)]


def test_several_eaves_of_a_wall_are_numbered_from_the_left() -> None:
    """A roof line with a step at 100 in has eaves of 100 and 140 in, 1/2 in short each."""
    corners = "[[0, 0], [240, 0], [240, 96], [100, 96], [100, 120], [0, 120]]"
    job = job_of(f"{{name: a, outline: {corners}}}")
    assert found(job, TrimRole.SILL_CHANNEL) == [("A eave 1", 99.5), ("A eave 2", 139.5)]


def splice(role: str, inches: float) -> list[float]:
    """Splice a stretch of the built-in trim of a role."""
    trim = job_of(HOUSE).trim_for(TrimRole(role))
    assert trim is not None
    stretch = Stretch(trim.role, "A", "here", Ticks(int(inches * INCH)))
    return [length / INCH for length in piece_lengths(stretch, trim, Unit.INCH)]


def test_starter_strips_leave_a_quarter_inch() -> None:
    """JLC, Durable Details for Vinyl Siding: 20 ft is 120 + 1/4 gap + 119-3/4 in."""
    assert splice("starter", 240) == [120, 119.75]


def test_posts_lap_by_three_quarters() -> None:
    """Vinyl Siding Institute, Accessories: 25 ft in 20-ft posts is 240 + 60-3/4 in."""
    assert splice("outside_corner", 300) == [240, 60.75]


def test_no_rest_is_shorter_than_a_foot() -> None:
    """122 in of starter: 120 + 1/4 would leave 1-3/4 in, so a foot is made of it."""
    assert splice("starter", 122) == [109.75, 12]


def test_a_rest_that_the_gap_swallows_is_no_piece() -> None:
    """120-1/8 in of starter is one whole strip."""
    assert splice("starter", 120.125) == [120]


def test_channel_is_bent_round_a_round_opening() -> None:
    """Round 24 in runs pi times 24, 75.4 in, and the face of 3/4 in by which it laps."""
    window = "{name: R, shape: round, x: 60, sill: 30, width: 24, height: 24}"
    job = job_of(f"{{name: a, width: 240, height: 96, openings: [{window}]}}")
    ((place, length),) = found(job, TrimRole.J_CHANNEL)
    assert place == "A R, bent all round"
    assert 75.398 + 0.75 <= length <= 75.398 + 0.75 + 3 / 16
    # No sill-support channel runs under a curve; the eave has one.
    assert [place for place, _ in found(job, TrimRole.SILL_CHANNEL)] == ["A eave"]


def test_channel_runs_along_every_side_of_an_octagon() -> None:
    """A regular one of 24 in has sides of 9.94 in, with a face of 3/4 in at each mitre."""
    window = "{name: O, shape: octagon, x: 60, sill: 30, width: 24, height: 24}"
    job = job_of(f"{{name: a, width: 240, height: 96, openings: [{window}]}}")
    assert [length for _, length in found(job, TrimRole.J_CHANNEL)] == [11.5] * 8
    assert ("A under O", 9.4375) in found(job, TrimRole.SILL_CHANNEL)


def test_channel_runs_over_an_arch_and_not_under_a_door() -> None:
    """A door of 36 by 80 in under half a circle: 56.55 in over it, 62 in up each side."""
    door = "{name: D, kind: door, shape: arched, x: 60, sill: 0, width: 36, height: 80}"
    job = job_of(f"{{name: a, width: 240, height: 96, openings: [{door}]}}")
    channels = dict(found(job, TrimRole.J_CHANNEL))
    assert channels["A D, left side"] == channels["A D, right side"] == 62.75
    assert 56.549 + 1.5 <= channels["A D, head, bent over the arch"] <= 56.549 + 1.5 + 3 / 16
    assert len(channels) == 3


def test_channel_is_named_by_the_side_that_it_runs_along() -> None:
    """A sill that rises 1 in over 36 in is a sill still; slopes are named as one sees them.

    sqrt(36^2 + 1) is 36.01 in, to the tape 36-1/16, and a face of 3/4 in at either mitre.
    """
    tilted = "{name: T, x: 20, sill: {left: 30, right: 31}, width: 36, height: 40}"
    octagon = "{name: O, shape: octagon, cut: 6, x: 80, sill: 30, width: 24, height: 24}"
    job = job_of(f"{{name: a, width: 140, height: 96, openings: [{tilted}, {octagon}]}}")
    channels = dict(found(job, TrimRole.J_CHANNEL))
    assert [channels.pop(f"A T, {side}") for side in ("sill", "head")] == [37.5625] * 2
    assert [channels.pop(f"A T, {side} side") for side in ("left", "right")] == [41.5] * 2
    assert set(channels) == {
        f"A O, {side}"
        for side in (
            *("sill", "head", "left side", "right side"),
            *(
                f"{half} {side} slope"
                for half in ("lower", "upper")
                for side in ("left", "right")
            ),
        )
    }
