"""The polygons that stand for curves, against the curves themselves."""

from __future__ import annotations

from fractions import Fraction
from math import floor, lcm
from typing import TYPE_CHECKING

from lapwright.check.fault import fault
from lapwright.check.surround import edges_of
from lapwright.job.wall import OpeningShape
from lapwright.measure import INCH

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.job.wall import Opening

_OFF = INCH // 64 + 2
"""A corner may lie so far outside of the curve, rounding to ticks included. [ticks]"""
_FINE = 10**6
"""The square of a side's distance may be less than the radius's by one part in so many."""


def judge_curve(opening: Opening, where: str) -> Iterator[str]:
    """Check that a curve's polygon clears the curve, and by no more than it may."""
    if opening.shape not in (OpeningShape.ROUND, OpeningShape.ARCHED):
        return
    spring: int = opening.sill
    half = Fraction(opening.width, 2)
    middle = opening.x + half
    if opening.shape is OpeningShape.ROUND:
        wide, high = half, Fraction(opening.height, 2)
        centre = opening.sill + high
    else:
        spring = opening.head - opening.rise
        if opening.rise <= half:
            wide = high = (half * half + Fraction(opening.rise) ** 2) / (2 * opening.rise)
            centre = opening.head - high
        else:
            wide, high, centre = half, Fraction(opening.rise), Fraction(spring)
    arched = opening.shape is OpeningShape.ARCHED
    # In parts of a tick all of these are whole, and whole numbers are many times as fast.
    parts = lcm(*(number.denominator for number in (middle, centre, wide, high)))
    x0, y0, across, up = (int(number * parts) for number in (middle, centre, wide, high))
    radius = across * up
    farthest = floor((radius * (1 + Fraction(_OFF) / min(wide, high))) ** 2)
    for a, b in edges_of(opening):
        if arched and (min(a.y, b.y) < spring or a.y == b.y == opening.sill):
            continue
        # Each way times the other's half axis: the curve is a circle.
        (x1, y1), (x2, y2) = (
            ((p.x * parts - x0) * up, (p.y * parts - y0) * across) for p in (a, b)
        )
        cross = x1 * y2 - x2 * y1
        apart = (x2 - x1) ** 2 + (y2 - y1) ** 2
        # An arch's first and last side reach the curve at the spring line.
        if cross < 0 or cross**2 * _FINE < apart * radius**2 * (_FINE - 1):
            yield fault(where, "a side of its polygon inside the curve", "it outside")
        for x, y in ((x1, y1), (x2, y2)):
            if x * x + y * y > farthest:
                yield fault(where, "a corner of its polygon far off the curve", "it near")
