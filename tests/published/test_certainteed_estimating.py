"""CertainTeed, Estimating & Installing Vinyl Siding: gables and gambrels by area.

The page gives rules without worked numbers; the sizes here are ours.
"""

from __future__ import annotations

from fractions import Fraction

from lapwright.job.wall import Point
from lapwright.measure import FOOT, Ticks, square_feet
from lapwright.takeoff.area import gross_area
from lapwright.takeoff.convention import GableRule, gable_of


def feet(*corners: tuple[int, int]) -> list[Point]:
    """Make a polygon from feet."""
    return [Point(Ticks(x * FOOT), Ticks(y * FOOT)) for x, y in corners]


def test_a_gable_is_measured_a_foot_higher() -> None:
    """Centre height and 1 ft, times half of the width: 28 by 4 ft is (4 + 1) x 14."""
    gable = gable_of(feet((0, 0), (28, 0), (28, 8), (14, 12), (0, 8)))
    assert square_feet(gable.area_by(GableRule.FOOT_HIGHER)) == 5 * 14


def test_the_upper_wall_of_a_gambrel() -> None:
    """1/2 (B + C) H + 1/2 C D, with B the foot, C the width at the break, H and D heights."""
    b, c, h, d = 24, 16, 6, 4
    upper = feet((0, 0), (b, 0), ((b + c) // 2, h), (b // 2, h + d), ((b - c) // 2, h))
    expected = Fraction((b + c) * h + c * d, 2)
    assert square_feet(gross_area(upper)) == expected
    assert square_feet(gable_of(upper).area) == expected
