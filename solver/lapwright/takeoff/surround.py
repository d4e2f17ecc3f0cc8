"""What runs round an opening: channel along its edge, and support under its sill."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor, isqrt
from typing import TYPE_CHECKING

from lapwright.job.corners import corners_of
from lapwright.job.wall import OpeningKind, OpeningShape, Point
from lapwright.measure import Ticks

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from lapwright.job.rules import Rules
    from lapwright.job.wall import Opening
    from lapwright.takeoff.run import Run

_LEVEL_ENOUGH = 12
"""A lower side that rises no more than one in so many is a sill."""
_TRIES = 10
"""A sill is tried for siding below it at every such part of its length."""


def has_sill(opening: Opening) -> bool:
    """Whether channel runs along an opening's lower edge."""
    return opening.kind in (OpeningKind.WINDOW, OpeningKind.VENT)


def chords(opening: Opening, y: int) -> list[tuple[int, int]]:
    """Give what an opening's polygon takes of a line just above a height, outward. [ticks]"""
    corners = corners_of(opening)
    crossed = sorted(
        a.x + Fraction((b.x - a.x) * (y - a.y), b.y - a.y)
        for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)
        if min(a.y, b.y) <= y < max(a.y, b.y)
    )
    spans = zip(crossed[::2], crossed[1::2], strict=True)
    return [(floor(left), ceil(right)) for left, right in spans if left < right]


def perimeter(opening: Opening) -> int:
    """Give the length round an opening, without the floor under a door. [ticks]

    Of the polygon that it is cut by; each of its sides is rounded up to ticks.
    """
    corners = corners_of(opening)
    return sum(
        _length(side)
        for side in zip(corners, [*corners[1:], corners[0]], strict=True)
        if has_sill(opening) or not side[0].y == side[1].y == opening.sill
    )


def channels_round(opening: Opening, face: int, tabs: int = 0) -> Iterator[tuple[str, int]]:
    """Give where channel runs round an opening, and how long, faces for mitres added.

    Parameters
    ----------
    opening
        The opening.
    face
        Width of the channel's face, which every mitre and lap takes. [ticks]
    tabs
        What is bent down at both ends of a straight head together. [ticks]
    """
    name, shape = opening.name, opening.shape
    corners = corners_of(opening)
    if shape is OpeningShape.ROUND:
        yield f"{name}, bent all round", _length([*corners, corners[0]]) + face
        return
    if shape in (OpeningShape.OCTAGON, OpeningShape.POLYGON):
        yield from _sides(opening, face)
        return
    across = opening.width + 2 * face
    upright = opening.height - opening.rise + (2 if has_sill(opening) else 1) * face
    if shape is OpeningShape.ARCHED:
        spring = Ticks(opening.head - opening.rise)
        over = [p for p in _from_right(corners) if p.y > spring]
        ends = Point(Ticks(opening.right), spring), Point(opening.x, spring)
        arch = _length([ends[0], *over, ends[1]])
        yield f"{name}, head, bent over the arch", arch + 2 * face
    else:
        yield f"{name}, head", across + tabs
    if has_sill(opening):
        yield f"{name}, sill", across
    if opening.height > opening.rise:
        yield f"{name}, left side", upright
        yield f"{name}, right side", upright


def _from_right(corners: Sequence[Point]) -> list[Point]:
    """Turn an arched opening's corners to begin with the right one of its sill."""
    first = max(range(len(corners)), key=lambda i: (-corners[i].y, corners[i].x))
    return [*corners[first:], *corners[:first]]


def _sides(opening: Opening, face: int) -> Iterator[tuple[str, int]]:
    """Give channel along every straight side; none along the floor under a door."""
    corners = corners_of(opening)
    sides = list(zip(corners, [*corners[1:], corners[0]], strict=True))
    held = [has_sill(opening) or not a.y == b.y == opening.sill for a, b in sides]
    named: Counter[str] = Counter()
    for i, side in enumerate(sides):
        if held[i]:
            mitres = held[i - 1] + held[(i + 1) % len(sides)]
            name = _name(*side)
            named[name] += 1
            number = f" {named[name]}" if named[name] > 1 else ""
            yield f"{opening.name}, {name}{number}", _length(side) + mitres * face


def _name(a: Point, b: Point) -> str:
    """Name a side of an opening, whose inside is at its left, as one sees it."""
    across, up = b.x - a.x, b.y - a.y
    if abs(up) * _LEVEL_ENOUGH <= abs(across):
        return "sill" if across > 0 else "head"
    if across == 0:
        return "right side" if up > 0 else "left side"
    return f"{'lower' if across > 0 else 'upper'} {'right' if up > 0 else 'left'} slope"


def _length(places: Sequence[Point]) -> int:
    """Length of a line from corner to corner, each part rounded up. [ticks]"""
    total = 0
    for a, b in pairwise(places):
        square = (b.x - a.x) ** 2 + (b.y - a.y) ** 2
        root = isqrt(square)
        total += root if root * root == square else root + 1
    return total


def straight_sills(opening: Opening) -> list[tuple[Point, Point]]:
    """List the straight lower sides of an opening that are about level, left end first."""
    if opening.shape is OpeningShape.ROUND:
        return []
    corners = corners_of(opening)
    pairs = zip(corners, [*corners[1:], corners[0]], strict=True)
    return [
        (a, b) for a, b in pairs if a.x < b.x and abs(b.y - a.y) * _LEVEL_ENOUGH <= b.x - a.x
    ]


def head_length(opening: Opening) -> int | None:
    """Give the length of a head that is one straight side, rounded up; else None. [ticks]"""
    if opening.shape in (OpeningShape.ROUND, OpeningShape.ARCHED):
        return None
    corners = corners_of(opening)
    pairs = zip(corners, [*corners[1:], corners[0]], strict=True)
    upper = [pair for pair in pairs if pair[0].x > pair[1].x]
    return _length(upper[0]) if len(upper) == 1 else None


def sill_lengths(opening: Opening) -> list[int]:
    """Give the lengths of an opening's straight sills, rounded down. [ticks]"""
    return [isqrt((b.x - a.x) ** 2 + (b.y - a.y) ** 2) for a, b in straight_sills(opening)]


def is_supported(opening: Opening, runs: Iterable[Run], rules: Rules) -> bool:
    """Whether a notch is cut under a straight sill of an opening.

    Parameters
    ----------
    opening
        The opening.
    runs
        The runs of its wall.
    rules
        Gaps and clearances.
    """
    spots = [
        (
            a.x + Fraction((b.x - a.x) * i, _TRIES),
            a.y + Fraction((b.y - a.y) * i, _TRIES) - rules.sill_clearance,
        )
        for a, b in straight_sills(opening)
        for i in range(1, _TRIES)
    ]
    if not spots:
        return False
    lowest, highest = min(y for _, y in spots), max(y for _, y in spots)
    for run in runs:
        if highest <= run.course.butt or run.course.line <= lowest:
            continue
        inside = [(x, y) for x, y in spots if run.course.butt < y < run.course.line]
        for x, y in inside:
            for part in run.shape:
                if part.low < y <= part.high:
                    share = Fraction(y - part.low) / Fraction(part.high - part.low)
                    left, right = (
                        side.low + share * (side.high - side.low)
                        for side in (part.left, part.right)
                    )
                    if left <= x <= right:
                        return True
    return False
