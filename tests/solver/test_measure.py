"""Lengths: exact reading and writing, and refusing what is no length."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lapwright.measure import (
    FOOT,
    INCH,
    MILLIMETRE,
    LengthError,
    Rounding,
    Unit,
    read_length,
    read_measure,
    read_number,
    round_ticks,
    to_tape,
    write_decimal,
    write_length,
)

READ = [
    ("12' 6-1/2\"", 150 * INCH + INCH // 2),
    ("12' 6 1/2\"", 150 * INCH + INCH // 2),
    ("12'6", 150 * INCH),
    ("12ft 6in", 150 * INCH),
    ("12 ft 6 in", 150 * INCH),
    ("12′ 6″", 150 * INCH),
    ("3 5/8", 3 * INCH + 5 * INCH // 8),
    ("3-5/8", 3 * INCH + 5 * INCH // 8),
    ("29/8", 3 * INCH + 5 * INCH // 8),
    ("150.5 in", 150 * INCH + INCH // 2),
    ("6''", 6 * INCH),
    ("3810 mm", 150 * INCH),
    ("381cm", 150 * INCH),
    ("3.81 m", 150 * INCH),
    ("0.1 mm", 32),
    ("1/64 in", 127),
    ("0", 0),
]


@pytest.mark.parametrize(("text", "ticks"), READ)
def test_reads_what_people_write(text: str, ticks: int) -> None:
    """Every common way of writing a length is read to the exact tick."""
    assert read_length(text, Unit.INCH) == ticks


REFUSED = [
    ("7' 13\"", "less than 12 inches"),
    ("7'13", "less than 12 inches"),
    ("1/0", "not zero"),
    ('1/0"', "not zero"),
    ("-3", "not negative"),
    ("−3 in", "not negative"),
    ("", "a length such as"),
    ("   ", "a length such as"),
    ("nan", "a length such as"),
    ("inf", "a length such as"),
    ("1e3", "a length such as"),
    ("3 5/4", "fraction below one"),
    ("12 furlongs", "a length such as"),
    ("12,5", "a length such as"),
    ("0.1 in", "whole number of 1/64 in or of 0.1 mm"),
    ("1/3 in", "whole number of 1/64 in or of 0.1 mm"),
]


@pytest.mark.parametrize(("text", "wanted"), REFUSED)
def test_refuses_what_is_no_length(text: str, wanted: str) -> None:
    """What cannot be a length is refused, with what was found and what was wanted."""
    with pytest.raises(LengthError) as caught:
        read_length(text, Unit.INCH)
    assert wanted in caught.value.wanted
    assert caught.value.found in (repr(text), "nothing")


def test_true_and_false_are_no_lengths() -> None:
    """A yes or no of a file is not taken for one or zero."""
    with pytest.raises(LengthError):
        read_length(True, Unit.INCH)


@given(st.integers(0, 10**9), st.sampled_from([Unit.INCH, Unit.FOOT, Unit.MILLIMETRE]))
def test_what_is_written_reads_back(ticks: int, unit: Unit) -> None:
    """Reading what was written gives the same ticks, whatever unit bare numbers take."""
    for bare in Unit:
        assert read_length(write_length(ticks, unit), bare) == ticks


@given(st.fractions(min_value=0, max_value=1000, max_denominator=640))
def test_decimals_read_back(number: Fraction) -> None:
    """A decimal or fraction that was written is read as the same number."""
    assert read_number(write_decimal(number)) == number


@given(st.integers(0, 10**7), st.sampled_from(list(Unit)))
def test_bare_numbers_take_the_unit(count: int, unit: Unit) -> None:
    """A bare number means the job's unit, exactly."""
    assert read_measure(str(count), unit) == count * unit.ticks


@given(st.integers(0, 10**8), st.sampled_from(list(Unit)))
def test_tape_rounding_goes_the_safe_way(ticks: int, unit: Unit) -> None:
    """Down never grows, up never shrinks, and all lie within one mark of the tape."""
    down = to_tape(ticks, unit, Rounding.DOWN)
    up = to_tape(ticks, unit, Rounding.UP)
    near = to_tape(ticks, unit, Rounding.NEAREST)
    step = MILLIMETRE if unit.is_metric else INCH // 16
    assert down <= ticks <= up
    assert up - down in (0, step)
    assert near in (down, up)
    assert down % step == 0


def test_nearest_takes_ties_up() -> None:
    """Half a mark goes up."""
    assert round_ticks(Fraction(5, 2), 1) == 3


def test_inch_and_millimetre_are_whole_ticks() -> None:
    """NIST SP 811 (2008), appendix B.8, row inch: 25.4 mm exactly (from memory)."""
    assert Fraction(INCH, MILLIMETRE) == Fraction(254, 10)
    assert FOOT == 12 * INCH
