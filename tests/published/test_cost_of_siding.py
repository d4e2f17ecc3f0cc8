"""Cost of Siding, encyclopedia.jrank.org: half of the openings, and a fifth for gables.

The page gives rules without worked numbers; the wall is that of Florida State
University, Liberal Arts Math, example 2.6.5.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from lapwright.job.reading import parse_job
from lapwright.measure import square_feet
from lapwright.takeoff.convention import Convention, GableRule, OpeningRule, area_by

WALL = (
    "{job: x, unit: ft, siding: {material: vinyl double 4}, walls:"
    " [{name: a, width: 24, height: 8, gable: {rise: 6}, openings:"
    " [{name: w1, x: 2, sill: 3, width: 6, height: 4},"
    " {name: w2, x: 16, sill: 3, width: 6, height: 4},"
    " {name: d, kind: door, x: 10, sill: 0, width: 3, height: 7}]}]}"
)


@pytest.mark.parametrize(
    ("openings", "gables", "feet"),
    [
        # 192 + 72 of wall and gable, 69 of openings.
        (OpeningRule.ALL, GableRule.EXACT, Fraction(195)),
        (OpeningRule.HALF, GableRule.EXACT, Fraction(264) - Fraction(69, 2)),
        (OpeningRule.HALF, GableRule.FIFTH_MORE, 192 + 72 * Fraction(6, 5) - Fraction(69, 2)),
    ],
)
def test_half_of_the_openings_and_a_fifth(
    openings: OpeningRule, gables: GableRule, feet: Fraction
) -> None:
    """Half of the openings come off, and a fifth is added to the gable alone."""
    (wall,) = parse_job(WALL, "x.yaml").walls
    area = area_by(wall, Convention(openings, gables, ""), Fraction(0))
    assert square_feet(area) == feet
