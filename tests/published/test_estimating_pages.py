"""Estimating pages of dealers, authors and a course: areas, squares and trim by length.

Each test names its source.
"""

from __future__ import annotations

from fractions import Fraction

from lapwright.job.material import StockLength, Trim, TrimRole
from lapwright.job.reading import parse_job
from lapwright.job.wall import Point
from lapwright.measure import FOOT, INCH, Ticks, Unit, square_feet
from lapwright.takeoff.area import gross_area, opening_area
from lapwright.takeoff.estimate import SQUARE, pieces_by_area
from lapwright.takeoff.stretch import Stretch, piece_lengths


def feet(*corners: tuple[int, int]) -> list[Point]:
    """Make a polygon from feet."""
    return [Point(Ticks(x * FOOT), Ticks(y * FOOT)) for x, y in corners]


def job_text(walls: str) -> str:
    """Write a job of vinyl around walls."""
    return "{job: x, unit: ft, siding: {material: vinyl double 4}, walls: [" + walls + "]}"


def test_jackson_lumber_gable_end() -> None:
    """Jackson Lumber & Millwork, catalog p. 70: a gable end 4 ft by 28 ft is 56 sq ft."""
    assert square_feet(gross_area(feet((0, 0), (28, 0), (14, 4)))) == 56


def test_jackson_lumber_dormer() -> None:
    """Jackson Lumber & Millwork, catalog p. 70: dormer 4 ft by 6 ft, 24 sq ft both sides."""
    side = square_feet(gross_area(feet((0, 0), (6, 0), (6, 4))))
    assert side == 12
    assert 2 * side == 24


def test_merisko_wall_and_gable() -> None:
    """M. Merisko, How to Do a Siding Takeoff: 25 x 8 ft wall and gable, 3 squares."""
    job = parse_job(job_text("{name: a, width: 25, height: 8, gable: {rise: 8}}"), "x.yaml")
    area = gross_area(job.walls[0].outline)
    assert square_feet(area) == 300
    assert Fraction(area, SQUARE) == 3


def test_florida_state_example_2_6_5() -> None:
    """Florida State University, Liberal Arts Math, example 2.6.5: 195 sq ft net.

    Wall 24 x 8 ft, gable 6 ft high, two windows of 6 x 4 ft and a door of 3 x 7 ft.
    """
    openings = (
        "[{name: w1, x: 2, sill: 3, width: 6, height: 4},"
        " {name: w2, x: 16, sill: 3, width: 6, height: 4},"
        " {name: d, kind: door, x: 10, sill: 0, width: 3, height: 7}]"
    )
    text = job_text(
        "{name: a, width: 24, height: 8, gable: {rise: 6}, openings: " + openings + "}"
    )
    (wall,) = parse_job(text, "x.yaml").walls
    assert square_feet(gross_area(wall.outline) - opening_area(wall)) == 195


def test_jans_lumber_channel_round_a_house() -> None:
    """Jans Lumber, Estimating Materials Using Perimeter: 212 ft in 12-ft lengths, 18."""
    stock = (StockLength(Ticks(12 * FOOT)),)
    zero = Ticks(0)
    trim = Trim(TrimRole.J_CHANNEL, "channel", stock, zero, zero, zero)
    stretch = Stretch(TrimRole.J_CHANNEL, "A", "round the house", Ticks(212 * FOOT))
    assert len(piece_lengths(stretch, trim, Unit.FOOT)) == 18


def test_panels_in_a_square() -> None:
    """A panel seller's page (double 4, 12 ft 6 in long, 12 a box): 12 panels a square."""
    exposure, length = Ticks(8 * INCH), Ticks(150 * INCH)
    assert pieces_by_area(SQUARE, exposure, length, Fraction(0)) == 12
