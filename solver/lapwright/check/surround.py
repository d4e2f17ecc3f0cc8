"""What runs round openings, recounted: channel, and support under straight sills."""

from __future__ import annotations

from fractions import Fraction
from math import isqrt
from typing import TYPE_CHECKING

from lapwright.job.corners import corners_of
from lapwright.job.wall import OpeningKind, OpeningShape

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.check.layout import Course
    from lapwright.job.job import Job
    from lapwright.job.wall import Opening, Point

SILLED = (OpeningKind.WINDOW, OpeningKind.VENT)
_STRAIGHT = (OpeningShape.OCTAGON, OpeningShape.POLYGON)


def channel_lengths(opening: Opening, face: int, tabs: int = 0) -> Iterator[int]:
    """Give the length of every channel round an opening. [ticks]"""
    silled = opening.kind in SILLED
    edges = edges_of(opening)
    if opening.shape is OpeningShape.ROUND:
        yield sum(up(a, b) for a, b in edges) + face
    elif opening.shape in _STRAIGHT:
        floor = min(a.y for a, _ in edges)
        bare = [not silled and a.y == b.y == floor for a, b in edges]
        for (a, b), before, here, after in zip(
            edges, [bare[-1], *bare], bare, [*bare[1:], bare[0]], strict=False
        ):
            if not here:
                yield up(a, b) + (2 - before - after) * face
    else:
        ends = 2 if silled else 1
        upright: int = opening.height
        head: int = opening.width
        if opening.shape is OpeningShape.ARCHED:
            upright -= opening.rise
            spring = opening.sill + upright
            head = 0
            for a, b in edges:
                low, high = min(a.y, b.y), max(a.y, b.y)
                if low >= spring and not low == high == opening.sill:
                    head += up(a, b)
                elif high > spring:
                    # A plumb side may go on above the line where the arch begins.
                    head += high - spring
        yield head + 2 * face + (tabs if opening.shape is OpeningShape.RECTANGLE else 0)
        if silled:
            yield opening.width + 2 * face
        if upright:
            yield from [upright + ends * face] * 2


def edges_of(opening: Opening) -> list[tuple[Point, Point]]:
    """Give the sides of an opening's polygon; its inside is at the left of each."""
    corners = corners_of(opening)
    return list(zip(corners, [*corners[1:], corners[0]], strict=True))


def straight_head(opening: Opening) -> int | None:
    """Give the length of an upper edge that is straight from side to side. [ticks]"""
    over = [(a, b) for a, b in edges_of(opening) if b.x < a.x]
    for a, b in over:
        if (a.x, b.x) == (opening.right, opening.x) and len(over) == 1:
            return up(a, b)
    return None


def sills_of(opening: Opening) -> list[tuple[Point, Point]]:
    """Give the lower sides that are straight and rise at most one in twelve."""
    if opening.shape is OpeningShape.ROUND:
        return []
    return [
        (a, b) for a, b in edges_of(opening) if b.x > a.x and 12 * abs(a.y - b.y) <= b.x - a.x
    ]


def notched_sills(
    openings: Sequence[Opening], courses: Sequence[Course], job: Job
) -> dict[str, list[int]]:
    """Give the lengths of the sills of every opening of a wall under which a notch is cut.

    An opening may stand on the top of a zone, and so be none of its openings.
    """
    found: dict[str, list[int]] = {}
    for opening in openings:
        sills = sills_of(opening)
        if any(_is_clad_below(a, b, courses, job) for a, b in sills):
            found[opening.name] = [isqrt((b.x - a.x) ** 2 + (b.y - a.y) ** 2) for a, b in sills]
    return found


def _is_clad_below(a: Point, b: Point, courses: Sequence[Course], job: Job) -> bool:
    """Whether a piece stands right under a sill at one of nine places along it."""
    for tenth in range(1, 10):
        x = Fraction(a.x * (10 - tenth) + b.x * tenth, 10)
        y = Fraction(a.y * (10 - tenth) + b.y * tenth, 10) - job.rules.sill_clearance
        for course in courses:
            if not course.butt < y < course.top:
                continue
            for run in course.runs:
                for cell in run.cells:
                    if cell.left <= x <= cell.right:
                        low, high = cell.at(x)
                        if low < y <= high:
                            return True
    return False


def up(a: Point, b: Point) -> int:
    """Give the distance of two corners, rounded up. [ticks]"""
    square = (a.x - b.x) ** 2 + (a.y - b.y) ** 2
    return isqrt(square - 1) + 1 if square else 0
