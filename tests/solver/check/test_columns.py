"""What is left of a polygon, against areas worked out by hand and by another library."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, box, unary_union

from lapwright.check.columns import Cell, cells_left, connected

SQUARE = [(0, 0), (12, 0), (12, 12), (0, 12)]
GABLE = [(0, 0), (12, 0), (12, 4), (6, 10), (0, 4)]


def area(cells: list[Cell]) -> Fraction:
    """Give the area of all cells."""
    return sum((cell.area for cell in cells), Fraction(0))


def rectangle(left: int, right: int, low: int, high: int) -> list[tuple[int, int]]:
    """Give the corners of a rectangle."""
    return [(left, low), (right, low), (right, high), (left, high)]


@pytest.mark.parametrize(
    ("wanted", "removed", "bottom", "top", "left"),
    [
        (SQUARE, [], 0, 12, 144),
        (SQUARE, [], 3, 5, 24),
        # A square of 4 from the middle, another lapping it by 2 by 2: 16 + 16 - 4 are gone.
        (SQUARE, [rectangle(4, 8, 4, 8), rectangle(6, 10, 6, 10)], 0, 12, 116),
        # What reaches over the edge counts only inside: 2 by 2.
        (SQUARE, [rectangle(10, 20, 10, 20)], 0, 12, 140),
        # 12 by 4, and a triangle of 12 by 6.
        (GABLE, [], 0, 10, 84),
        # From 4 to 7 the gable narrows from 12 to 6.
        (GABLE, [], 4, 7, 27),
        (GABLE, [rectangle(0, 12, 0, 10)], 0, 10, 0),
    ],
)
def test_areas_by_hand(
    wanted: list[tuple[int, int]],
    removed: list[list[tuple[int, int]]],
    bottom: int,
    top: int,
    left: int,
) -> None:
    """What is left has the area that is worked out by hand."""
    assert area(cells_left(wanted, removed, bottom, top)) == left


def test_parts_that_touch_in_a_point_are_apart() -> None:
    """Two boxes that take a square's crossing corners leave two parts."""
    removed = [rectangle(0, 6, 6, 12), rectangle(6, 12, 0, 6)]
    parts = connected(cells_left(SQUARE, removed, 0, 12))
    assert sorted(area(list(part)) for part in parts) == [36, 36]


def test_a_part_goes_round_a_hole() -> None:
    """A hole in the middle leaves one part, a slot from edge to edge leaves two."""
    assert len(connected(cells_left(SQUARE, [rectangle(4, 8, 4, 8)], 0, 12))) == 1
    assert len(connected(cells_left(SQUARE, [rectangle(4, 8, 0, 12)], 0, 12))) == 2


def test_the_span_of_a_cell_at_a_height() -> None:
    """A cell under a slope from 0 up to 4 over 8 is met at height 1 from 2 on."""
    cell = Cell(0, 8, 0, 0, 0, 4)
    assert cell.span(1) == (2, 8)
    assert cell.span(4) == (8, 8)
    assert cell.span(5) is None
    assert cell.at(2) == (0, 1)


rectangles = st.tuples(*[st.integers(-2, 14)] * 4).map(
    lambda n: rectangle(min(n[:2]), max(n[:2]) + 1, min(n[2:]), max(n[2:]) + 1)
)
slants = st.tuples(st.integers(0, 12), st.integers(0, 12), st.integers(1, 4)).map(
    lambda n: [(n[0], -1), (n[0] + n[2], -1), (n[1] + n[2], 13), (n[1], 13)]
)
# Corners between whole numbers, such as those of cells, and a level top inside the strip.
wedges = st.tuples(st.integers(0, 24), st.integers(1, 24), st.integers(1, 30)).map(
    lambda n: [
        (Fraction(n[0], 3), Fraction(-1, 2)),
        (Fraction(n[0], 3) + Fraction(n[1], 7), Fraction(n[2], 3)),
        (Fraction(n[0], 3) - Fraction(n[1], 5), Fraction(n[2], 3)),
    ]
)


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from([SQUARE, GABLE]),
    st.lists(st.one_of(rectangles, slants, wedges), max_size=4),
    st.integers(0, 6),
    st.integers(7, 12),
)
def test_areas_and_parts_agree_with_another_library(
    wanted: list[tuple[int, int]],
    removed: list[list[tuple[int, int]]],
    bottom: int,
    top: int,
) -> None:
    """Area and number of parts are those that a library of floats finds."""
    cells = cells_left(wanted, removed, bottom, top)
    strip = Polygon(wanted).intersection(box(-1, bottom, 13, top))
    floats = [[(float(x), float(y)) for x, y in shape] for shape in removed]
    other = strip.difference(unary_union([Polygon(shape) for shape in floats]))
    assert float(area(cells)) == pytest.approx(other.area, abs=1e-9)
    # A library of floats may leave shreds, or a neck, where sides or corners only touch.
    thinner = other.buffer(-1e-7, join_style="mitre")
    found = [part for part in getattr(thinner, "geoms", [thinner]) if part.area > 1e-9]
    assert len(connected(cells)) == len(found)
