"""Runs: the connected parts of a course between what stops the siding."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.measure import Rounding, Ticks, Unit, to_tape
from lapwright.takeoff.slab import blocked_by, eaves_of, free_slabs

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.rules import Rules
    from lapwright.job.wall import Wall
    from lapwright.takeoff.course import Course
    from lapwright.takeoff.slab import Blocked, Boundary, Eave, Trapezoid


@dataclass(frozen=True, slots=True)
class RunEnd:
    """One end of a run."""

    meets: str
    """What it runs into: a kind of stop, ``rake`` or ``opening W1``."""
    bends: tuple[tuple[Fraction, Fraction], ...] = ()
    """(Height above the butt edge, x) from the bottom up; empty if square. [ticks]"""

    @property
    def inset(self) -> int:
        """How far its points lie apart along the course, rounded up. [ticks]"""
        places = [x for _, x in self.bends]
        return math.ceil(max(places) - min(places)) if places else 0

    def profile(self, outermost: int, unit: Unit) -> tuple[tuple[Ticks, Ticks], ...]:
        """Give (height, inset from a piece's outermost point), to the tape. [ticks]

        What rounding took off the piece's length is less for the rake to take off.
        """
        return tuple(
            (
                to_tape(height, unit, Rounding.NEAREST),
                to_tape(max(abs(x - outermost), Fraction(0)), unit, Rounding.UP),
            )
            for height, x in self._clipped(outermost)
        )

    def _clipped(self, outermost: int) -> tuple[tuple[Fraction, Fraction], ...]:
        """Bring points that lie beyond the outermost point of a piece back to it."""
        if not self.bends:
            return ()
        places = [x for _, x in self.bends]
        is_left = abs(min(places) - outermost) < abs(max(places) - outermost)
        limit = Fraction(outermost)
        return tuple(
            (height, max(x, limit) if is_left else min(x, limit)) for height, x in self.bends
        )


@dataclass(frozen=True, slots=True)
class RunNotch:
    """A notch of a run, from the wall's left end."""

    opening: str
    """Name of the opening, or ``eave``."""
    left: Ticks
    right: Ticks
    below: Ticks | None
    """Height above the butt edge up to which siding stands below it, or None."""
    above: Ticks | None
    """Height above the butt edge from which siding stands above it, or None."""


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of a course that is clad without a stop in between."""

    wall: str
    """Mark of the wall."""
    course: Course
    number: int
    """Within the course, from 1 at the left."""
    x: Ticks
    """Left end, from the wall's left. [ticks]"""
    length: Ticks
    """Clear length, to the tape. [ticks]"""
    left: RunEnd
    right: RunEnd
    notches: tuple[RunNotch, ...]
    eave: Ticks | None
    """Height above the butt edge of the lowered eave that cuts its top, or None."""
    shape: tuple[Trapezoid, ...]
    """What it covers, exactly."""

    @property
    def end(self) -> int:
        """Right end, from the wall's left. [ticks]"""
        return self.x + self.length

    def height(self, left: int, right: int) -> Fraction:
        """Give its highest point above the butt edge between two places. [ticks]"""
        tops = [_top_between(part, left, right) for part in self.shape]
        butt = Fraction(self.course.butt)
        return max((top for top in tops if top is not None), default=butt) - butt


def find_runs(wall: Wall, course: Course, rules: Rules, unit: Unit) -> tuple[Run, ...]:
    """Find the runs of a course, from left to right.

    Parameters
    ----------
    wall
        The wall.
    course
        One of its courses.
    rules
        Gaps and clearances.
    unit
        Of the tape that lengths are rounded to.
    """
    parts = sorted(
        _connected(free_slabs(wall, course, rules)),
        key=lambda shape: (_extent(shape)[0], shape[0].low),
    )
    boxes = [box for o in wall.openings if (box := blocked_by(o, course, rules)) is not None]
    eaves = [
        eave
        for eave in eaves_of(wall)
        if course.butt < eave.y and eave.y - rules.sill_clearance < course.line
    ]
    runs: list[Run] = []
    for shape in parts:
        left, right = _extent(shape)
        x = Ticks(math.ceil(left))
        length = to_tape(math.floor(right) - x, unit, Rounding.DOWN)
        top = max(part.high for part in shape) - course.butt
        if length <= 0 or to_tape(top, unit, Rounding.DOWN) <= 0:
            continue
        runs.append(
            Run(
                wall=wall.mark,
                course=course,
                number=len(runs) + 1,
                x=x,
                length=length,
                left=_left_end(wall, course, shape, x),
                right=_right_end(wall, course, shape, math.floor(right)),
                notches=tuple(
                    sorted(
                        [
                            *_opening_notches(course, shape, x, x + length, boxes),
                            *_eave_notches(course, shape, x, x + length, eaves, rules),
                        ],
                        key=lambda notch: (notch.left, notch.below or 0),
                    )
                ),
                eave=_top_eave(course, top, eaves, rules),
                shape=shape,
            )
        )
    return tuple(runs)


def _connected(slabs: Sequence[Sequence[Trapezoid]]) -> list[tuple[Trapezoid, ...]]:
    """Gather trapezoids that share part of a level side."""
    parts = [part for slab in slabs for part in slab]
    group = list(range(len(parts)))

    def root(i: int) -> int:
        while group[i] != i:
            group[i] = group[group[i]]
            i = group[i]
        return i

    first = 0
    for lower, upper in pairwise(slabs):
        second = first + len(lower)
        for i, a in enumerate(lower, start=first):
            for j, b in enumerate(upper, start=second):
                if max(a.left.high, b.left.low) < min(a.right.high, b.right.low):
                    group[root(i)] = root(j)
        first = second
    gathered: dict[int, list[Trapezoid]] = {}
    for i, part in enumerate(parts):
        gathered.setdefault(root(i), []).append(part)
    return [tuple(found) for found in gathered.values()]


def _extent(shape: Sequence[Trapezoid]) -> tuple[Fraction, Fraction]:
    left = min(min(part.left.low, part.left.high) for part in shape)
    return left, max(max(part.right.low, part.right.high) for part in shape)


def _top_between(part: Trapezoid, left: int, right: int) -> Fraction | None:
    """Give the highest point of a trapezoid between two places, None if it has none."""
    top = part.high
    for side, place, sign in ((part.left, right, 1), (part.right, left, -1)):
        beyond_low, beyond_high = (side.low - place) * sign, (side.high - place) * sign
        if beyond_low >= 0 and beyond_high >= 0:
            return None
        if beyond_high > 0:
            share = (place - side.low) / (side.high - side.low)
            top = min(top, part.low + (part.high - part.low) * share)
    return top


def _left_end(wall: Wall, course: Course, shape: Sequence[Trapezoid], x: int) -> RunEnd:
    points = []
    meets = ""
    for low, high in _slab_heights(shape):
        part = min(
            (p for p in shape if (p.low, p.high) == (low, high)), key=lambda p: p.left.middle
        )
        # An opening that takes a part of the height makes a notch, not an end, unless
        # openings take the whole height only together.
        notched = not part.left.ends and part.outline_left.middle >= x - 1
        side = part.outline_left if notched else part.left
        meets = meets or _meets(side, wall.left.value)
        points += [(low - course.butt, side.low), (high - course.butt, side.high)]
    return _end(meets, [(height, max(place, Fraction(x))) for height, place in points])


def _right_end(wall: Wall, course: Course, shape: Sequence[Trapezoid], x: int) -> RunEnd:
    points = []
    meets = ""
    for low, high in _slab_heights(shape):
        part = max(
            (p for p in shape if (p.low, p.high) == (low, high)), key=lambda p: p.right.middle
        )
        notched = not part.right.ends and part.outline_right.middle <= x + 1
        side = part.outline_right if notched else part.right
        meets = meets or _meets(side, wall.right.value)
        points += [(low - course.butt, side.low), (high - course.butt, side.high)]
    return _end(meets, [(height, min(place, Fraction(x))) for height, place in points])


def _slab_heights(shape: Sequence[Trapezoid]) -> list[tuple[Fraction, Fraction]]:
    return sorted({(part.low, part.high) for part in shape})


def _meets(side: Boundary, stop: str) -> str:
    return stop if side.owner == "wall" else side.owner


def _end(meets: str, points: Sequence[tuple[Fraction, Fraction]]) -> RunEnd:
    """Turn the points of a boundary into an end, without those on a straight line."""
    bends: list[tuple[Fraction, Fraction]] = []
    for point in points:
        if bends and bends[-1] == point:
            continue
        if len(bends) > 1 and _straight(bends[-2], bends[-1], point):
            bends.pop()
        bends.append(point)
    places = [x for _, x in bends]
    # Less than two ticks come from rounding to ticks: a square cut.
    if max(places) - min(places) < 2:
        return RunEnd(meets)
    return RunEnd(meets, tuple(bends))


def _straight(
    a: tuple[Fraction, Fraction], b: tuple[Fraction, Fraction], c: tuple[Fraction, Fraction]
) -> bool:
    return (b[0] - a[0]) * (c[1] - a[1]) == (c[0] - a[0]) * (b[1] - a[1])


def _opening_notches(
    course: Course, shape: Sequence[Trapezoid], left: int, right: int, boxes: Sequence[Blocked]
) -> Iterator[RunNotch]:
    for box in boxes:
        start, end = max(box.left, left), min(box.right, right)
        if box.whole or start >= end:
            continue
        below = _covers(shape, start, end, high=box.low)
        above = _covers(shape, start, end, low=box.high)
        if below or above:
            yield RunNotch(
                box.opening.name,
                Ticks(start),
                Ticks(end),
                Ticks(box.low - course.butt) if below else None,
                Ticks(box.high - course.butt) if above else None,
            )


def _eave_notches(
    course: Course,
    shape: Sequence[Trapezoid],
    left: int,
    right: int,
    eaves: Sequence[Eave],
    rules: Rules,
) -> Iterator[RunNotch]:
    top = max(part.high for part in shape)
    for eave in eaves:
        low = eave.y - rules.sill_clearance
        start = max(eave.left - (rules.end_gap if eave.open_left else 0), left)
        end = min(eave.right + (rules.end_gap if eave.open_right else 0), right)
        if top > low and start < end and _covers(shape, start, end, high=low):
            below = Ticks(low - course.butt)
            yield RunNotch("eave", Ticks(start), Ticks(end), below, None)


def _covers(
    shape: Sequence[Trapezoid],
    start: int,
    end: int,
    *,
    low: int | None = None,
    high: int | None = None,
) -> bool:
    """Whether a shape has a part between two places, above or below a height."""
    return any(
        max(part.left.middle, Fraction(start)) < min(part.right.middle, Fraction(end))
        for part in shape
        if (high is None or part.high <= high) and (low is None or part.low >= low)
    )


def _top_eave(
    course: Course, top: Fraction, eaves: Sequence[Eave], rules: Rules
) -> Ticks | None:
    """Give the lowered eave that is the top of a run, above its butt edge."""
    for eave in eaves:
        lowered = eave.y - rules.sill_clearance - course.butt
        if lowered == top:
            return Ticks(lowered)
    return None
