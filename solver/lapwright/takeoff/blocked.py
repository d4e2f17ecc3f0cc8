"""What an opening takes from a course, widened by its clearances, as convex polygons."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lapwright.job.corners import corners_of, is_box

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.job.rules import Rules
    from lapwright.job.wall import Opening, Wall
    from lapwright.takeoff.course import Course

    Spot = tuple[int, int]

Edge = tuple[int, int, int, int]
"""A straight line from its lower to its upper end: x, y, x, y. [ticks]"""


@dataclass(frozen=True, slots=True)
class Part:
    """A convex part of what an opening takes, by its two sides from the bottom up."""

    left: tuple[Edge, ...]
    right: tuple[Edge, ...]


@dataclass(frozen=True, slots=True)
class Blocked:
    """Where an opening lets no siding stand, clearances included. [ticks]"""

    opening: Opening
    left: int
    right: int
    low: int
    high: int
    whole: bool
    """Whether it takes the course's whole height by itself."""
    parts: tuple[Part, ...]
    """Convex parts that together are its shape."""

    @property
    def is_box(self) -> bool:
        """Whether it fills its box."""
        return is_box(self.opening)


@dataclass(frozen=True, slots=True)
class Takings:
    """Both shapes that an opening may take from a course."""

    notch: Blocked
    """Where it takes a part of the course's height."""
    whole: Blocked
    """Where it takes all of it."""


def takings_of(wall: Wall, rules: Rules) -> tuple[Takings, ...]:
    """Find what every opening of a wall may take."""
    return tuple(
        Takings(
            _widened(o, pieces, rules.side_clearance, rules, whole=False),
            _widened(o, pieces, rules.end_gap, rules, whole=True),
        )
        for o in wall.openings
        for pieces in (convex_parts(corners_of(o)),)
    )


def taken_by(takings: Sequence[Takings], course: Course, bottom: int) -> list[Blocked]:
    """Give what openings take from a course, of those that meet it.

    A first course that the wall's bottom cuts begins there. [ticks]
    """
    found = []
    for taking in takings:
        low, high = taking.notch.low, taking.notch.opening.head
        if high <= course.butt or low >= course.line:
            continue
        whole = low <= max(course.butt, bottom) and high >= course.line
        found.append(taking.whole if whole else taking.notch)
    return found


def _widened(
    opening: Opening, pieces: Sequence[Sequence[Spot]], side: int, rules: Rules, *, whole: bool
) -> Blocked:
    down, up = rules.sill_clearance, rules.head_clearance
    return Blocked(
        opening=opening,
        left=opening.x - side,
        right=opening.right + side,
        low=opening.sill - down,
        high=opening.head + up,
        whole=whole,
        parts=tuple(_part(widen(piece, side, down, up)) for piece in pieces),
    )


def widen(convex: Sequence[Spot], side: int, down: int, up: int) -> list[Spot]:
    """Widen a convex polygon, counter-clockwise, by a box about each of its points."""
    spots: list[Spot] = []
    count = len(convex)
    # Each side moves to the corner of the box that lies farthest out from it; at a corner
    # of the polygon all corners of the box between those of its two sides come in turn.
    ways = [_way(convex[i], convex[(i + 1) % count]) for i in range(count)]
    box = ((-side, -down), (side, -down), (side, up), (-side, up))
    for i, (x, y) in enumerate(convex):
        first, last = ways[i - 1][1], ways[i][0]
        for step in range((last - first) % 4 + 1):
            by, lift = box[(first + step) % 4]
            spots.append((x + by, y + lift))
    return [a for a, before in zip(spots, [spots[-1], *spots], strict=False) if a != before]


def _way(a: Spot, b: Spot) -> tuple[int, int]:
    """Say to which corners of a box the ends of a side move, from the lower left round."""
    right, up = b[0] - a[0], b[1] - a[1]
    if up == 0:
        return (0, 1) if right > 0 else (2, 3)
    if right == 0:
        return (1, 2) if up > 0 else (3, 0)
    corner = (1 if right > 0 else 2) if up > 0 else (0 if right > 0 else 3)
    return corner, corner


def _part(convex: Sequence[Spot]) -> Part:
    left: list[Edge] = []
    right: list[Edge] = []
    for (x1, y1), (x2, y2) in zip(convex, [*convex[1:], convex[0]], strict=True):
        if y2 > y1:
            right.append((x1, y1, x2, y2))
        elif y2 < y1:
            left.append((x2, y2, x1, y1))
    return Part(*(tuple(sorted(side, key=lambda e: e[1])) for side in (left, right)))


def convex_parts(polygon: Sequence[Spot]) -> list[list[Spot]]:
    """Divide a simple polygon, counter-clockwise, into few convex ones."""
    spots: list[Spot] = [(x, y) for x, y in polygon]
    if _is_convex(spots):
        return [spots]
    parts: list[list[Spot]] = []
    for triangle in _triangles(spots):
        _join(parts, triangle)
    return parts


def _triangles(spots: list[Spot]) -> list[list[Spot]]:
    """Cut ears off a polygon until nothing is left."""
    rest, found = list(spots), []
    while len(rest) > 3:
        for i, here in enumerate(rest):
            before, after = rest[i - 1], rest[(i + 1) % len(rest)]
            turn = _turn(before, here, after)
            inside = turn > 0 and any(
                spot not in (before, here, after) and _holds((before, here, after), spot)
                for spot in rest
            )
            if turn == 0 or (turn > 0 and not inside):
                if turn:
                    found.append([before, here, after])
                del rest[i]
                break
        else:
            raise ValueError("a polygon whose sides cross")
    return [*found, rest] if _turn(*rest) else found


def _join(parts: list[list[Spot]], triangle: list[Spot]) -> None:
    """Add a triangle to a part that stays convex with it, else as one of its own."""
    for part in parts:
        for i, a in enumerate(part):
            b = part[(i + 1) % len(part)]
            if a in triangle and b in triangle:
                (tip,) = (spot for spot in triangle if spot not in (a, b))
                joined = [*part[: i + 1], tip, *part[i + 1 :]]
                if _is_convex(joined):
                    part[:] = joined
                    return
    parts.append(triangle)


def _is_convex(spots: Sequence[Spot]) -> bool:
    return all(_turn(spots[i - 2], spots[i - 1], spot) >= 0 for i, spot in enumerate(spots))


def _holds(triangle: tuple[Spot, Spot, Spot], spot: Spot) -> bool:
    a, b, c = triangle
    return _turn(a, b, spot) >= 0 and _turn(b, c, spot) >= 0 and _turn(c, a, spot) >= 0


def _turn(a: Spot, b: Spot, c: Spot) -> int:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
