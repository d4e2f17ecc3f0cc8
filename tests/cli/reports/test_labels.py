"""Labels find room in their pieces or beside them; a geometry library is the oracle."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from shapely import LineString, Polygon, box

from lapwright.measure import INCH
from lapwright.plan import NotchEdge, PieceNotch
from lapwright_cli.reports import shapes
from lapwright_cli.reports.labels import Box, beside, crosses, inside
from tests.cli.reports.small_plan import SIDING, inches

if TYPE_CHECKING:
    from lapwright.plan import SidingPiece

PLAIN = SIDING[0]
HOLE = PieceNotch("W1", NotchEdge.HOLE, inches(20), inches(60), inches(2), inches(2), inches(6))


@pytest.mark.parametrize(
    "piece", [*SIDING, replace(PLAIN, notches=(HOLE,))], ids=lambda piece: piece.label
)
@pytest.mark.parametrize(("wide", "tall"), [(10, 3), (30, 5), (12, 7.5), (60, 2)])
def test_a_label_lies_in_its_piece(piece: SidingPiece, wide: float, tall: float) -> None:
    """Its box is within what is left of the piece when slopes, notches and holes are off."""
    found = inside(piece, wide * INCH, tall * INCH, 0, piece.length)
    whole = Polygon([(u / INCH, v / INCH) for u, v in shapes.outline(piece)])
    for hole in shapes.holes(piece):
        whole = whole.difference(Polygon([(u / INCH, v / INCH) for u, v in hole]))
    if found is not None:
        u, v = (ticks / INCH for ticks in found)
        label = box(u - wide / 2, v - tall / 2, u + wide / 2, v + tall / 2)
        assert whole.buffer(0.001).covers(label)
        return
    # Nowhere on a fine grid is there room for a label that is larger by a tenth.
    across, up = 0.55 * wide, 0.55 * tall
    spots = [(u / 2, v / 4) for u in range(1, 300) for v in range(1, 32)]
    assert not any(whole.covers(box(u - across, v - up, u + across, v + up)) for u, v in spots)


def test_a_label_stands_beside_the_hole_and_below_the_notch() -> None:
    """By hand: 80 in with a hole from 20 to 60 leave 20 in at each side, the left one first."""
    with_hole = replace(PLAIN, notches=(HOLE,))
    assert inside(with_hole, 15 * INCH, 4 * INCH, 0, with_hole.length) == (
        inches(10),
        inches(4),
    )
    # 25 in have no room beside it, and 2 in above and below it no room for 3 in.
    assert inside(with_hole, 25 * INCH, 3 * INCH, 0, with_hole.length) is None
    assert inside(with_hole, 25 * INCH, 1 * INCH, 0, with_hole.length) is not None


def test_only_what_is_seen_of_a_piece_has_room() -> None:
    """A window of 20 in has no room for 30, whatever the piece's length."""
    assert inside(PLAIN, 30 * INCH, 3 * INCH, 10 * INCH, 30 * INCH) is None
    found = inside(PLAIN, 16 * INCH, 3 * INCH, 10 * INCH, 30 * INCH)
    assert found == (inches(20), inches(4))


@pytest.mark.parametrize(
    "line",
    [
        ((0, 0), (10, 10)),
        ((0, 5), (10, 5)),
        ((4, 9), (9, 4)),
        ((0, 4), (4, 0)),
        ((2, 0), (2, 10)),
        ((5, 5), (5.5, 5.2)),
    ],
)
def test_a_line_crosses_a_box(line: tuple[tuple[float, float], tuple[float, float]]) -> None:
    """As the geometry library says, for lines that pass, end in, or miss a box."""
    inner = box(3, 3, 7, 6).buffer(-1e-9)
    assert crosses(*line, Box(3, 3, 7, 6)) == LineString(line).intersects(inner)


WALL = ((0.0, 100.0), (300.0, 100.0), (300.0, 0.0), (0.0, 0.0))
SHEET = Box(0, -20, 300, 100)


def test_a_label_goes_into_the_opening_beside() -> None:
    """A filler of 8 pt between two windows: the label is in one of them, not on siding."""
    windows = [Box(100, 20, 150, 80), Box(158, 20, 208, 80)]
    place = beside(Box(150, 40, 158, 50), 20, 8, windows, WALL, [], SHEET)
    assert place is not None
    assert any(window.holds(place) for window in windows)
    assert abs((place.low + place.high) / 2 - 45) < 1
    other = beside(Box(150, 40, 158, 50), 20, 8, windows, WALL, [place], SHEET)
    assert other is not None
    assert not other.meets(place)


def test_a_label_goes_above_the_wall() -> None:
    """A low strip at the eave has its label over the wall, in the middle of the strip."""
    place = beside(Box(100, 0, 200, 3), 20, 8, [], WALL, [], SHEET)
    assert place is not None
    assert place.high <= 0
    assert (place.left + place.right) / 2 == 150


def test_where_nothing_is_free_there_is_no_place() -> None:
    """In the middle of a wall no label covers another piece."""
    assert beside(Box(150, 40, 155, 50), 20, 8, [], WALL, [], SHEET) is None
