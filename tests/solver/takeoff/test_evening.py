"""Exposures that are evened out, against every choice of lines that there is."""

from __future__ import annotations

from fractions import Fraction
from itertools import accumulate, combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lapwright.job.material import Family, Siding, StockLength
from lapwright.measure import INCH, TAPE_INCH, Ticks, Unit
from lapwright.takeoff.evening import divide, even_exposures

PLANK = Siding(
    "plank",
    Family.BUTTED,
    Ticks(7 * INCH),
    (StockLength(Ticks(144 * INCH)),),
    Ticks(6 * INCH),
    Ticks(8 * INCH),
)


@pytest.mark.parametrize(
    ("height", "limits", "courses"),
    [
        (5, (7, 6, 8), None),  # lower than one course may be
        (9, (7, 6, 8), None),  # too high for one, too low for two
        (48, (7, 6, 8), 7),  # 6-6/7 is nearer 7 than 8 is
        (40, (9, 8, 11), 5),  # 10 and 8 are as near 9, and five courses lap more
    ],
)
def test_a_height_is_divided(
    height: int, limits: tuple[int, int, int], courses: int | None
) -> None:
    """The exposure nearest the nominal one is taken, none where the limits leave none."""
    found = divide(height, *limits)
    assert (None if found is None else found.courses) == courses


def hits_of(lines: tuple[int, ...], wanted: dict[int, int]) -> tuple[int, Fraction] | None:
    """Give hits and unevenness of a choice of lines, None where it cannot be kept."""
    uneven = Fraction(0)
    for low, high in pairwise((0, *lines)):
        found = divide(high - low, 7 * INCH, 6 * INCH, 8 * INCH)
        if found is None:
            return None
        uneven += found.courses * (found.exposure - 7 * INCH) ** 2
    return sum(wanted[line] for line in lines), uneven


@given(st.dictionaries(st.integers(16, 16 * 90), st.integers(1, 3), max_size=6))
def test_no_choice_of_lines_hits_more(marks: dict[int, int]) -> None:
    """Every subset of the lines is tried: none hits more, or as many more evenly."""
    wanted = {mark * TAPE_INCH: count for mark, count in marks.items()}
    exposures = even_exposures(0, wanted, PLANK, Unit.INCH)
    laid = list(accumulate(exposures[:-1]))
    # The chosen lines are those that the last evened line ends at; others may be hit by luck.
    found = sum(count for line, count in wanted.items() if line in laid)
    every = (
        hits_of(tuple(lines), wanted)
        for size in range(len(wanted) + 1)
        for lines in combinations(sorted(wanted), size)
    )
    most = max(hits for hits, _ in filter(None, every))
    assert found >= most
    assert all(6 * INCH <= exposure <= 8 * INCH for exposure in exposures)
