"""U.S. Navy, NAVEDTRA 14044, Builder 3 & 2, vol. 2, ch. 4, fig. 4-3: courses of siding.

Siding 12 in wide, 10 in of it to be seen: a window 61 in high takes six courses of
10-1/6 in, and the 31 in from its sill down to the foundation three of 10-1/3 in.
"""

from __future__ import annotations

from fractions import Fraction

from lapwright.job.reading import parse_job
from lapwright.measure import INCH, TAPE_INCH
from lapwright.planning import make_plan
from lapwright.takeoff.evening import divide

# A head lap of at least 1 in is the same chapter's rule, so that 11 in can be seen at most.
LIMITS = (10, 8, 11)


def test_a_window_of_61_inches() -> None:
    """61 in over 10 in is 6.1: six courses, each 10-1/6 in."""
    found = divide(61, *LIMITS)
    assert found is not None
    assert (found.courses, found.exposure) == (6, Fraction(61, 6))


def test_a_sill_31_inches_above_the_foundation() -> None:
    """31 in over 10 in is 3.1: three courses, each 10-1/3 in."""
    found = divide(31, *LIMITS)
    assert found is not None
    assert (found.courses, found.exposure) == (3, Fraction(31, 3))


def test_the_courses_of_a_wall_are_laid_so() -> None:
    """On a wall with that window, courses end at sill and head, marked by the tape."""
    text = (
        "{job: x, siding: {material: bevel 12 in, family: butted, exposure: 10,"
        " least_exposure: 8, greatest_exposure: 11, exposures: even, stock: [{length: 16'}]},"
        " rules: {sill_clearance: 0}, walls: [{name: a, width: 14', height: 8' 4\", openings:"
        " [{name: W, x: 5', sill: 31, width: 36, height: 61}]}]}"
    )
    (wall,) = make_plan(parse_job(text, "x.yaml")).walls
    lines = [*wall.courses, wall.tops[-1]]
    assert lines[3] == 31 * INCH
    assert lines[9] == 92 * INCH
    for number in range(3):
        assert abs(lines[number] - number * Fraction(31, 3) * INCH) * 2 <= TAPE_INCH
    for number in range(6):
        exact = 31 * INCH + number * Fraction(61, 6) * INCH
        assert abs(lines[3 + number] - exact) * 2 <= TAPE_INCH
