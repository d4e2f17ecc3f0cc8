"""Gentek, Vinyl Siding Installation Guide: what the maker reckons for heat and cold."""

from __future__ import annotations

from fractions import Fraction

from lapwright.job.catalogue import group_texts
from lapwright.job.material import Family
from lapwright.job.thermal import movement
from lapwright.job.value import read_coefficient
from lapwright.measure import FOOT, INCH, MILLIMETRE

COEFFICIENT = read_coefficient(group_texts("thermal", Family.LAPPED)["coefficient"])


def test_eight_millimetres_in_three_metres() -> None:
    """The catalogue's coefficient moves 3 m by 8 mm over 55 °C, which is 99 °F."""
    assert movement(3000 * MILLIMETRE, COEFFICIENT, 99) == 8 * MILLIMETRE


def test_a_third_of_an_inch_in_ten_feet() -> None:
    """The same page in inches: 1/3 in for 10 ft and 100 °F, to its rounding of some 3 %."""
    moved = movement(10 * FOOT, COEFFICIENT, 100) / INCH
    assert abs(moved / Fraction(1, 3) - 1) < Fraction(4, 100)
