"""Areas of a wall: the outline, and the openings inside of it counted once."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.job.wall import OpeningShape
from lapwright.takeoff.slab import outline_widths

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.job.wall import Opening, Point, Wall

_PI = Fraction(3_141_592_653_589_793, 10**15)
"""To sixteen digits: below a square tick on any wall of this world."""


def gross_area(outline: Sequence[Point]) -> int:
    """Area of a polygon, rounded down. [ticks²]"""
    pairs = zip(outline, [*outline[1:], outline[0]], strict=True)
    return abs(sum(a.x * b.y - b.x * a.y for a, b in pairs)) // 2


def opening_area(wall: Wall) -> int:
    """Area of a wall's openings, each spot once, outside the outline not at all. [ticks²]

    A round opening counts as the ellipse in its box; where it touches another opening or
    runs past the outline, it counts as its box.
    """
    boxes = list(wall.openings)
    rounds = [o for o in boxes if o.shape is OpeningShape.ROUND and _stands_alone(o, wall)]
    area = Fraction(_box_area(wall, [o for o in boxes if o not in rounds]))
    area += sum(_PI / 4 * o.width * o.height for o in rounds)
    return math.floor(area)


def _stands_alone(opening: Opening, wall: Wall) -> bool:
    whole = _box_area(wall, [opening]) == opening.width * opening.height
    return whole and not any(
        other is not opening
        and other.x < opening.right
        and opening.x < other.right
        and other.sill < opening.head
        and opening.sill < other.head
        for other in wall.openings
    )


def _box_area(wall: Wall, boxes: Sequence[Opening]) -> Fraction:
    """Area of boxes inside a wall, each spot once. [ticks²]"""
    heights = {y for o in boxes for y in (o.sill, o.head)} | {p.y for p in wall.outline}
    edges = {x for o in boxes for x in (o.x, o.right)}
    area = Fraction(0)
    for low, high in pairwise(sorted(heights)):
        here = [o for o in boxes if o.sill <= low and high <= o.head]
        if here:
            area += sum(
                width
                for left, right, width in outline_widths(wall.outline, low, high, edges)
                if any(o.x <= left and right <= o.right for o in here)
            )
    return area
