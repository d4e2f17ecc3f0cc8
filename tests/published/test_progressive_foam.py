"""Progressive Foam Technologies, How to Measure For New Siding: rules with their waste.

The page gives rules without worked numbers; the gable and the dormer are those of
Jackson Lumber & Millwork, catalog p. 70, whose exact areas are 56 and 24 sq ft.
"""

from __future__ import annotations

from fractions import Fraction

from lapwright.job.material import TrimRole
from lapwright.job.reading import parse_job
from lapwright.job.wall import Point
from lapwright.measure import FOOT, Ticks, square_feet
from lapwright.takeoff.convention import (
    Convention,
    GableRule,
    OpeningRule,
    area_by,
    dormer_sides,
    gable_of,
)
from lapwright.takeoff.stretch import find_stretches


def test_a_gable_is_three_quarters_of_its_box() -> None:
    """Width x height x 0.75: 28 x 4 x 0.75 = 84, which is 56 and a half of it."""
    corners = [Point(Ticks(x * FOOT), Ticks(y * FOOT)) for x, y in ((0, 0), (28, 0), (14, 4))]
    gable = gable_of(corners)
    assert square_feet(gable.area_by(GableRule.THREE_QUARTERS)) == 84
    assert square_feet(gable.area_by(GableRule.HALF_MORE)) == 84


def test_both_sides_of_a_dormer() -> None:
    """Width x height x 1.5: 6 x 4 x 1.5 = 36, which is 24 and a half of it."""
    width, height = Ticks(6 * FOOT), Ticks(4 * FOOT)
    assert square_feet(dormer_sides(width, height, GableRule.HALF_MORE)) == 36
    assert square_feet(dormer_sides(width, height, GableRule.EXACT)) == 24


def test_only_large_openings_are_taken_off() -> None:
    """A picture window and a garage door come off, a common window does not."""
    openings = (
        "[{name: p, x: 1, sill: 3, width: 8, height: 5},"
        " {name: g, kind: garage door, x: 20, sill: 0, width: 9, height: 7},"
        " {name: w, x: 12, sill: 3, width: 3, height: 4}]"
    )
    text = (
        "{job: x, unit: ft, siding: {material: vinyl double 4}, walls:"
        " [{name: a, width: 30, height: 8, openings: " + openings + "}]}"
    )
    (wall,) = parse_job(text, "x.yaml").walls
    rule = Convention(OpeningRule.LARGE, GableRule.EXACT, "")
    large = Fraction(30 * FOOT * FOOT)
    assert square_feet(area_by(wall, rule, large)) == 30 * 8 - 8 * 5 - 9 * 7


def test_channel_runs_along_the_tops_of_walls() -> None:
    """J-channel: beside what goes round openings, the tops of walls."""
    text = (
        "{job: x, unit: ft, siding: {material: vinyl double 4}, eave_trim: j-channel,"
        " rules: {channel_short: 0}, walls: [{name: a, width: 30, height: 8}]}"
    )
    stretches = find_stretches(parse_job(text, "x.yaml"), frozenset())
    channels = [s.length / FOOT for s, _ in stretches if s.role is TrimRole.J_CHANNEL]
    assert channels == [30]
    assert not [s for s, _ in stretches if s.role is TrimRole.SILL_CHANNEL]


def test_a_drip_cap_is_as_wide_as_its_opening() -> None:
    """Drip caps over openings: the width of each."""
    text = (
        "{job: x, unit: ft, siding: {material: vinyl double 4}, head_flashing: [window, door],"
        " walls: [{name: a, width: 30, height: 8, openings:"
        " [{name: w, x: 2, sill: 3, width: 3, height: 4},"
        " {name: d, kind: door, x: 10, sill: 0, width: 3.5, height: 7},"
        " {name: g, kind: garage door, x: 15, sill: 0, width: 9, height: 7}]}]}"
    )
    stretches = find_stretches(parse_job(text, "x.yaml"), frozenset())
    caps = [s.length / FOOT for s, _ in stretches if s.role is TrimRole.HEAD_FLASHING]
    assert caps == [3, 3.5]
