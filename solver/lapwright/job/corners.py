"""The corners of an opening: what a shape means as a polygon.

Curves become polygons whose sides touch them from outside: siding that is cut by the
polygon clears the curve, by little enough that its channel covers the rest.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import isqrt
from typing import TYPE_CHECKING

from lapwright.job.wall import OpeningShape, Point
from lapwright.measure import INCH, Ticks

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.wall import Opening

_OFF = INCH // 64
"""A side's corner lies no farther off the curve than this, a quarter mark. [ticks]"""
_LEAST_SIDES = 4
"""So many sides has an arc at least."""


@lru_cache(maxsize=4096)
def corners_of(opening: Opening) -> tuple[Point, ...]:
    """Give an opening's polygon, counter-clockwise. [ticks]"""
    left, right, sill, head = opening.x, opening.right, opening.sill, opening.head
    if opening.shape is OpeningShape.POLYGON:
        return opening.corners
    if opening.shape is OpeningShape.ROUND:
        return _round(opening)
    if opening.shape is OpeningShape.ARCHED:
        return _arched(opening)
    if opening.shape is OpeningShape.OCTAGON:
        cut = opening.cut
        places = [
            (left + cut, sill),
            (right - cut, sill),
            (right, sill + cut),
            (right, head - cut),
            (right - cut, head),
            (left + cut, head),
            (left, head - cut),
            (left, sill + cut),
        ]
        return _points(places)
    return _points([(left, sill), (right, sill), (right, head), (left, head)])


def is_box(opening: Opening) -> bool:
    """Whether an opening fills its box."""
    return opening.shape is OpeningShape.RECTANGLE


@dataclass(frozen=True, slots=True)
class Readings:
    """Sill and head of an opening with plumb sides, read at both of them. [ticks]"""

    sill: tuple[Ticks, Ticks]
    """At the left side, and at the right one."""
    head: tuple[Ticks, Ticks]
    """At the left side, and at the right one."""

    @property
    def is_level(self) -> bool:
        """Whether each is as high at the left as at the right."""
        return self.sill[0] == self.sill[1] and self.head[0] == self.head[1]


def readings_of(opening: Opening) -> Readings | None:
    """Give the readings of an opening of four corners with plumb sides, None of others."""
    corners = corners_of(opening)
    at_left = sorted(p.y for p in corners if p.x == opening.x)
    at_right = sorted(p.y for p in corners if p.x == opening.right)
    if not len(corners) == 2 * len(at_left) == 2 * len(at_right) == 4:
        return None
    return Readings((at_left[0], at_right[0]), (at_left[1], at_right[1]))


def regular_cut(width: int, height: int) -> Ticks:
    """Give the corner cut that makes an octagon in a box regular, rounded down. [ticks]"""
    least = min(width, height)
    # Of a square of side s each corner is cut by s / (2 + √2) = s · (2 - √2) / 2.
    return Ticks((2 * least - isqrt(2 * least * least)) // 2)


def _points(places: Sequence[tuple[int, int]]) -> tuple[Point, ...]:
    kept = [p for p, before in zip(places, [places[-1], *places], strict=False) if p != before]
    return tuple(Point(Ticks(x), Ticks(y)) for x, y in kept)


def _bulging(places: Sequence[tuple[int, int]]) -> tuple[Point, ...]:
    """Leave out corners that rounding put inside of their neighbours' line."""
    kept: list[tuple[int, int]] = []
    for here in [*places, *places]:
        while len(kept) > 1 and _turn(kept[-2], kept[-1], here) <= 0:
            kept.pop()
        kept.append(here)
    # The second time round every corner has been judged beside all of its neighbours.
    start = min(range(len(kept)), key=lambda i: (kept[i][1], kept[i][0]))
    end = next(i for i in range(start + 1, len(kept)) if kept[i] == kept[start])
    return _points(kept[start:end])


def _turn(a: tuple[int, int], b: tuple[int, int], c: tuple[int, int]) -> int:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _steps(radius: Fraction | int, end: Fraction | int = 1) -> int:
    """Say into how many sides an arc up to tan(angle / 2) = end is divided."""
    # The corner over a step of 2/m in angle is off by about radius / (2 m²).
    least = (Fraction(radius) * end * end / (2 * _OFF)).__ceil__()
    root = isqrt(least)
    return max(_LEAST_SIDES, root if root * root == least else root + 1)


def _quarter(steps: int, end: Fraction) -> Iterator[tuple[Fraction, Fraction]]:
    """Give the corners round a unit arc that begins at (1, 0), up to tan(angle / 2) = end.

    The tangents at tan(half the angle) = s and t meet at (1 - s t, s + t) / (1 + s t).
    """
    for i in range(steps):
        s, t = end * i / steps, end * (i + 1) / steps
        yield (1 - s * t) / (1 + s * t), (s + t) / (1 + s * t)


def _round(opening: Opening) -> tuple[Point, ...]:
    """Go round the ellipse of a box; corners are moved outward to whole ticks."""
    half_width, half_height = Fraction(opening.width, 2), Fraction(opening.height, 2)
    quarter = list(_quarter(_steps(max(opening.width, opening.height) // 2), Fraction(1)))
    middle_x, middle_y = opening.x + half_width, opening.sill + half_height
    right = [((middle_x + half_width * c).__ceil__(), half_height * s) for c, s in quarter]
    left = [((middle_x - half_width * c).__floor__(), half_height * s) for c, s in quarter]
    return _bulging(
        [
            *((x, (middle_y + y).__ceil__()) for x, y in right),
            *((x, (middle_y + y).__ceil__()) for x, y in reversed(left)),
            *((x, (middle_y - y).__floor__()) for x, y in left),
            *((x, (middle_y - y).__floor__()) for x, y in reversed(right)),
        ]
    )


def _arched(opening: Opening) -> tuple[Point, ...]:
    """Set an arch on a box: a part of a circle, or half an ellipse if it rises more."""
    left, right, sill, rise = opening.x, opening.right, opening.sill, opening.rise
    half, spring = Fraction(opening.width, 2), opening.head - opening.rise
    if rise <= half:
        radius = (half * half + rise * rise) / (2 * rise)
        end, tall, centre = rise / half, radius, opening.head - radius
    else:
        radius, end, tall, centre = half, Fraction(1), Fraction(rise), Fraction(spring)
    steps = _steps(max(radius, tall), end)
    # From the crown outward: the unit arc begins at its top.
    arc = [(radius * s, centre + tall * c) for c, s in _quarter(steps, end)]
    middle = opening.x + half
    places = [(left, sill), (right, sill), (right, spring)]
    places += [((middle + x).__ceil__(), y.__ceil__()) for x, y in reversed(arc)]
    places += [((middle - x).__floor__(), y.__ceil__()) for x, y in arc]
    places.append((left, spring))
    return _bulging(places)
