"""Estimating conventions: gables found in outlines, and what every convention orders."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given

from lapwright.job.reading import parse_job
from lapwright.job.wall import Point, Wall
from lapwright.measure import FOOT, Ticks, square_feet
from lapwright.takeoff.area import gross_area
from lapwright.takeoff.convention import (
    CONVENTIONS,
    Convention,
    GableRule,
    OpeningRule,
    area_by,
    estimates,
    gable_of,
)
from tests.strategies import walls


def feet(*corners: tuple[int, int]) -> list[Point]:
    """Make a polygon from feet."""
    return [Point(Ticks(x * FOOT), Ticks(y * FOOT)) for x, y in corners]


@pytest.mark.parametrize(
    ("corners", "width", "height", "area"),
    [
        pytest.param(((0, 0), (10, 0), (10, 8), (0, 8)), 0, 0, 0, id="rectangle"),
        pytest.param(((0, 0), (10, 0), (10, 8), (5, 12), (0, 8)), 10, 4, 20, id="gable"),
        pytest.param(((0, 0), (10, 0), (10, 8), (0, 12)), 10, 4, 20, id="shed"),
        pytest.param(((0, 0), (10, 0), (10, 4)), 10, 4, 20, id="cheek"),
        # Two gables of 6 ft, a flat part of 2 ft between them, where no gable stands.
        pytest.param(
            ((0, 0), (14, 0), (14, 8), (11, 11), (8, 8), (6, 8), (3, 11), (0, 8)),
            *(12, 3, 18),
            id="two gables",
        ),
        # A lower wing beside a gable: 8 ft up the outline is only the gable's 10 ft wide.
        pytest.param(
            ((0, 0), (16, 0), (16, 6), (10, 6), (10, 8), (5, 12), (0, 8)),
            *(10, 4, 20),
            id="wing",
        ),
    ],
)
def test_the_gable_of_an_outline(
    corners: tuple[tuple[int, int], ...], width: int, height: int, area: int
) -> None:
    """What lies above the first slope: width at its foot, height and area in feet."""
    gable = gable_of(feet(*corners))
    assert gable.width == width * FOOT
    assert gable.height == height * FOOT
    assert square_feet(gable.area) == area


@given(walls())
def test_the_exact_convention_is_the_net_area(wall: Wall) -> None:
    """With gables as they are and no opening off, a wall counts as its gross area."""
    rule = Convention(OpeningRule.NONE, GableRule.EXACT, "")
    area = area_by(wall, rule, Fraction(0))
    assert abs(area - gross_area(wall.outline)) < 1
    assert 0 <= gable_of(wall.outline).area <= area + 1


@given(walls())
def test_what_takes_more_off_orders_less(wall: Wall) -> None:
    """All openings off is least, then half, then none; with nothing large, none is off."""
    large = Fraction(10**15)

    def area(openings: OpeningRule) -> Fraction:
        return area_by(wall, Convention(openings, GableRule.EXACT, ""), large)

    assert area(OpeningRule.ALL) <= area(OpeningRule.HALF) <= area(OpeningRule.NONE)
    assert area(OpeningRule.LARGE) == area(OpeningRule.NONE)


JOB = """
job: x
unit: ft
siding: {material: vinyl double 4}
estimating: GROUP
walls: [{name: a, width: 30, height: 8, gable: {rise: 6},
         openings: [{name: w, x: 3, sill: 3, width: 3, height: 4}]}]
"""


def test_waste_and_threshold_are_inputs() -> None:
    """By hand: 240 + 90 sq ft, 12 of them a window that counts as large from 12 on."""
    group = "{waste: 20 %, large_opening: 12 sq ft}"
    made = estimates(parse_job(JOB.replace("GROUP", group), "x.yaml"))
    by_rule = {(e.convention.openings, e.convention.gables): e for e in made}
    exact = by_rule[OpeningRule.LARGE, GableRule.EXACT]
    assert square_feet(exact.area) == 318 * Fraction(12, 10)
    assert (exact.pieces, exact.cartons) == (46, 2)  # 381.6 / 8-1/3 = 45.8; 24 a carton
    third = by_rule[OpeningRule.ALL, GableRule.THIRD_MORE]
    # The third is the gable's own waste.
    assert square_feet(third.area) == (240 - 12) * Fraction(12, 10) + 120
    foot = by_rule[OpeningRule.ALL, GableRule.FOOT_HIGHER]
    assert square_feet(foot.area) == (240 + 105 - 12) * Fraction(12, 10)
    none = by_rule[OpeningRule.NONE, GableRule.EXACT]
    assert square_feet(none.area) == 330  # the openings are the waste


def test_gables_are_told_only_where_there_are_any() -> None:
    """A house of rectangles is reckoned by the conventions of openings alone."""
    flat = JOB.replace("gable: {rise: 6},", "").replace("GROUP", "{}")
    assert len(estimates(parse_job(flat, "x.yaml"))) == len(OpeningRule)
    assert len(estimates(parse_job(JOB.replace("GROUP", "{}"), "x.yaml"))) == len(CONVENTIONS)
    assert estimates(parse_job(JOB.replace("GROUP", "none"), "x.yaml")) == ()


def test_every_rule_is_in_a_convention_with_its_source() -> None:
    """No rule of openings or gables stands without a convention, and none without source."""
    assert {c.openings for c in CONVENTIONS} == set(OpeningRule)
    assert {c.gables for c in CONVENTIONS} == set(GableRule)
    assert all(len(c.source) > 10 for c in CONVENTIONS)
    assert len({c.name for c in CONVENTIONS}) == len(CONVENTIONS)
