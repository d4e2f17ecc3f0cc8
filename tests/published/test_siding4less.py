"""Dealer's measuring guide siding4less (buysellfind.net/siding4less): a house 60 x 28 ft."""

from __future__ import annotations

import pytest

from lapwright.job.wall import Point
from lapwright.measure import FOOT, INCH, Ticks, square_feet
from lapwright.takeoff.convention import GableRule, area_in_courses, gable_of

AROUND = Ticks(2 * (60 + 28) * FOOT)


@pytest.mark.parametrize(
    ("height", "exposure", "courses", "feet"),
    [
        # The guide cuts 104 in = 8.667 ft off to 8.66 ft and gets 1524; exactly 1525-1/3.
        pytest.param(99, 8, 13, 1524, id="double 4"),
        pytest.param(99, 10, 10, 1466, id="double 5"),
        # Twelve courses without vertical waste; the guide gives no area.
        pytest.param(96, 8, 12, 1408, id="twelve courses"),
    ],
)
def test_walls_by_whole_courses(height: int, exposure: int, courses: int, feet: int) -> None:
    """The walls round the house, a part of a course counted as a whole one."""
    area = area_in_courses(AROUND, Ticks(height * INCH), Ticks(exposure * INCH))
    assert area == AROUND * courses * exposure * INCH
    assert 0 <= square_feet(area) - feet < 2


@pytest.mark.parametrize(
    ("base", "exact", "one", "both"),
    # 30 ft is the house's 28 ft with an overhang of 1 ft at each side.
    [(30, 90, 120, 240), (28, 84, 112, 224)],
)
def test_gables_and_a_third(base: int, exact: int, one: int, both: int) -> None:
    """A gable 6 ft high takes its area and one third."""
    corners = ((0, 0), (base, 0), (base // 2, 6))
    gable = gable_of([Point(Ticks(x * FOOT), Ticks(y * FOOT)) for x, y in corners])
    assert square_feet(gable.area) == exact
    assert square_feet(gable.area_by(GableRule.THIRD_MORE)) == one
    assert 2 * square_feet(gable.area_by(GableRule.THIRD_MORE)) == both
