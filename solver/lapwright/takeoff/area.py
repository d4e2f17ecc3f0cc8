"""Areas of a wall: the outline, and the openings inside of it counted once."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

from lapwright.job.corners import corners_of
from lapwright.job.wall import OpeningShape
from lapwright.takeoff.slab import edge_at, meeting

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.job.wall import Opening, Point, Wall
    from lapwright.takeoff.blocked import Edge
    from lapwright.takeoff.slab import Number

_PI = Fraction(3_141_592_653_589_793, 10**15)
"""To sixteen digits: below a square tick on any wall of this world."""


def gross_area(outline: Sequence[Point]) -> int:
    """Area of a polygon, rounded down. [ticks²]"""
    return abs(_twice_area(outline)) // 2


def opening_area(wall: Wall) -> int:
    """Area of a wall's openings, each spot once, outside the outline not at all. [ticks²]

    A round opening counts as the ellipse in its box; where its box touches another's or
    runs past the outline, it counts as its polygon, as every other shape does.
    """
    alone = [o for o in wall.openings if _stands_alone(o, wall)]
    rest = [corners_of(o) for o in wall.openings if o not in alone]
    area = _shared_area(wall.outline, rest) if rest else Fraction(0)
    for opening in alone:
        if opening.shape is OpeningShape.ROUND:
            area += _PI / 4 * opening.width * opening.height
        else:
            area += Fraction(_twice_area(corners_of(opening)), 2)
    return math.floor(area)


def is_clipped(opening: Opening, wall: Wall) -> bool:
    """Whether a part of an opening lies outside of its wall."""
    if _stands_alone(opening, replace(wall, openings=(opening,))):
        return False
    corners = corners_of(opening)
    return 2 * _shared_area(wall.outline, [corners]) < _twice_area(corners)


def _twice_area(polygon: Sequence[Point]) -> int:
    pairs = zip(polygon, [*polygon[1:], polygon[0]], strict=True)
    return sum(a.x * b.y - b.x * a.y for a, b in pairs)


def _stands_alone(opening: Opening, wall: Wall) -> bool:
    """Whether an opening's box lies inside the wall and apart from every other."""
    left, right, low, high = opening.x, opening.right, opening.sill, opening.head
    if left < 0 or low < 0 or right > wall.width or high > wall.height:
        return False
    corners = {(x, y) for x in (0, wall.width) for y in (0, wall.height)}
    if set(wall.outline) != corners:
        box = [(left, low), (right, low), (right, high), (left, high)]
        if _shared_area(wall.outline, [box]) != opening.width * opening.height:
            return False
    return not any(
        other is not opening
        and other.x < right
        and left < other.right
        and other.sill < high
        and low < other.head
        for other in wall.openings
    )


def _shared_area(
    outline: Sequence[tuple[int, int]], polygons: Sequence[Sequence[tuple[int, int]]]
) -> Fraction:
    """Area of polygons inside an outline, each spot once. [ticks²]"""
    shapes = [_edges(shape) for shape in (outline, *polygons)]
    every = [edge for shape in shapes for edge in shape]
    marks: set[Number] = {y for edge in every for y in (edge[1], edge[3])}
    for a, b in combinations(every, 2):
        if max(a[1], b[1]) < min(a[3], b[3]) and (a[0] != a[2] or b[0] != b[2]):
            y = meeting(a, b)
            if y is not None:
                marks.add(y)
    twice = Fraction(0)
    for low, high in pairwise(sorted(marks)):
        wall, *others = (_spans(shape, low, high) for shape in shapes)
        covered = sorted(span for spans in others for span in spans)
        for left, right in wall:
            place = left
            for begin, end in covered:
                start, stop = max(begin, place), min(end, right)
                if start < stop:
                    twice += Fraction(stop - start) * (high - low)
                place = max(place, stop)
    return twice / 2


def _edges(polygon: Sequence[tuple[int, int]]) -> list[Edge]:
    pairs = zip(polygon, [*polygon[1:], polygon[0]], strict=True)
    return [(*a, *b) if a[1] < b[1] else (*b, *a) for a, b in pairs if a[1] != b[1]]


def _spans(edges: Sequence[Edge], low: Number, high: Number) -> list[tuple[Number, Number]]:
    """Give where a level line halfway between two heights lies inside, places twice."""
    places = sorted(
        edge_at(edge, low) + edge_at(edge, high)
        for edge in edges
        if edge[1] <= low and high <= edge[3]
    )
    return list(zip(places[::2], places[1::2], strict=True))
