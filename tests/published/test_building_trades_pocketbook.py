"""International Correspondence Schools, Building Trades Pocketbook, Carpentry.

"Estimating quantities": siding with 1 in of lap; ordinary openings are not taken off.
"""

from __future__ import annotations

from fractions import Fraction

from lapwright.job.reading import parse_job
from lapwright.measure import INCH, Ticks, square_feet
from lapwright.takeoff.convention import (
    Convention,
    GableRule,
    OpeningRule,
    area_by,
    board_foot_factor,
)


def test_four_inch_siding_takes_a_third_more() -> None:
    """4 in wide with 1 in of lap: add one third, which is exactly what the lap takes."""
    assert board_foot_factor(Ticks(4 * INCH), Ticks(3 * INCH)) == 1 + Fraction(1, 3)


def test_six_inch_siding_takes_a_quarter_more() -> None:
    """6 in wide with 1 in of lap: add one quarter, a fifth for the lap and the rest waste."""
    lap = board_foot_factor(Ticks(6 * INCH), Ticks(5 * INCH))
    assert lap == 1 + Fraction(1, 5)
    assert lap < 1 + Fraction(1, 4)


def test_openings_are_not_taken_off() -> None:
    """A wall of 20 x 8 ft counts as 160 sq ft whatever window is in it."""
    text = (
        "{job: x, unit: ft, siding: {material: vinyl double 4}, walls: [{name: a, width: 20,"
        " height: 8, openings: [{name: w, x: 5, sill: 3, width: 3, height: 4}]}]}"
    )
    (wall,) = parse_job(text, "x.yaml").walls
    rule = Convention(OpeningRule.NONE, GableRule.EXACT, "")
    assert square_feet(area_by(wall, rule, Fraction(0))) == 160
