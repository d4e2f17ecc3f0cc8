"""Movement by heat and cold, and the end gap that it asks for."""

from __future__ import annotations

from fractions import Fraction

import pytest

from lapwright.job.reading import parse_job
from lapwright.job.thermal import Thermal, movement, write_degrees
from lapwright.measure import INCH, MILLIMETRE, Ticks, Unit

VINYL = Thermal(Fraction("4.5e-5"), Fraction(-20), Fraction(130), Ticks(INCH))


@pytest.mark.parametrize(
    ("coefficient", "inches"), [("2.78e-5", "0.42"), ("3.5e-5", "0.53"), ("4.5e-5", "0.68")]
)
def test_a_panel_over_a_hundred_degrees(coefficient: str, inches: str) -> None:
    """By hand: 150 in × coefficient × 100 °F is 0.417, 0.525 and 0.675 in."""
    moved = movement(150 * INCH, Fraction(coefficient), 100) / INCH
    assert (moved * 100 + Fraction(1, 2)).__floor__() == Fraction(inches) * 100


def test_room_is_shared_by_both_ends_and_rounded_up() -> None:
    """By hand: 150 in × 4.5e-5 × (130 - 60) = 0.4725 in, half 0.236 in, so 1/4 in or 7 mm."""
    length, hung = 150 * INCH, Fraction(60)
    assert VINYL.growth(length, hung) == Fraction("0.4725") * INCH
    assert VINYL.room_at_each_end(length, hung, Unit.INCH) == INCH // 4
    assert VINYL.room_at_each_end(length, hung, Unit.MILLIMETRE) == 7 * MILLIMETRE  # 6.0 up


def test_a_piece_hung_at_the_hottest_needs_no_room() -> None:
    """Nothing grows beyond the hottest, nothing shrinks below the coldest."""
    assert VINYL.room_at_each_end(150 * INCH, Fraction(130), Unit.INCH) == 0
    assert VINYL.growth(150 * INCH, Fraction(140)) == 0
    assert VINYL.shrinkage(150 * INCH, Fraction(-30)) == 0


@pytest.mark.parametrize(
    ("more", "gap"),
    [
        # 150 × 4.5e-5 × 110 / 2 = 0.371 in, more than 3/8 in would be from 131 F on.
        ("hanging_temperature: 20 F", "3/8"),
        ("hanging_temperature: 10 F", "7/16"),  # 150 × 4.5e-5 × 120 / 2 = 0.405 in
        ("hanging_temperature: 100 F", "1/4"),  # 0.101 in, less than makers ask for
        ("hanging_temperature: 10 F\nrules: {end_gap: 1/8}", "1/8"),  # given is given
    ],
)
def test_the_end_gap_is_the_larger_of_need_and_rule(more: str, gap: str) -> None:
    """The longest stock length makes the gap, never below the rule, unless one is given."""
    text = (
        "job: x\nsiding: {material: vinyl double 4, stock: [{length: 150}, {length: 100}]}\n"
        "thermal: {coefficient: 4.5e-5 /F, coldest: -20 F, hottest: 130 F}\n"
        "walls: [{name: a, width: 30', height: 8'}]\n" + more + "\n"
    )
    assert parse_job(text, "x.yaml").rules.end_gap == Fraction(gap) * INCH


def test_degrees_are_written_by_the_unit() -> None:
    """Fahrenheit beside inches, Celsius beside millimetres."""
    assert write_degrees(Fraction(-4), Unit.INCH) == "-4 °F"
    assert write_degrees(Fraction(-4), Unit.METRE) == "-20 °C"
