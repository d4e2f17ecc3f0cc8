"""Runs: the connected parts of a course between what stops the siding."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.errors import NoPlanError
from lapwright.measure import Rounding, Ticks, Unit, tape_step, to_tape
from lapwright.takeoff.slab import blocked_in, bottoms_of, cut_slabs, eaves_of, roofs_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.rules import Rules
    from lapwright.job.wall import Wall
    from lapwright.takeoff.course import Course
    from lapwright.takeoff.slab import Blocked, Level, Slab, Trapezoid


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

    def profile(self, outermost: int, far: int, unit: Unit) -> tuple[tuple[Ticks, Ticks], ...]:
        """Give (height, inset from a piece's outermost point), to the tape. [ticks]

        Parameters
        ----------
        outermost
            This end of the piece.  What rounding took off its length is less for the
            rake to take off. [ticks]
        far
            Its other end, which a shallow rake may reach below its top. [ticks]
        unit
            Of the tape.
        """
        sign = 1 if far > outermost else -1
        line = [(height, (x - outermost) * sign) for height, x in self.bends]
        kept = _raise_line(_clip_line(line, Fraction(abs(far - outermost))), tape_step(unit))
        points = [
            (to_tape(height, unit, Rounding.NEAREST), to_tape(inset, unit, Rounding.UP))
            for height, inset in kept
        ]
        profile = tuple(p for i, p in enumerate(points) if i == 0 or p != points[i - 1])
        return profile if any(inset for _, inset in profile) else ()


@dataclass(frozen=True, slots=True)
class RunNotch:
    """A notch of a run, from the wall's left end."""

    opening: str
    """Name of the opening, ``eave`` or ``roof``."""
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
    eaves: tuple[Ticks, ...]
    """Heights above the butt edge of the lowered eaves that its course meets. [ticks]"""
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

    Raises
    ------
    NoPlanError
        Two slopes of the outline meet inside a run.
    """
    slabs = cut_slabs(wall, course, rules)
    parts = sorted(
        _connected([slab.free for slab in slabs]),
        key=lambda shape: (_extent(shape)[0], shape[0].low),
    )
    boxes = blocked_in(wall, course, rules)
    eaves = [e for e in eaves_of(wall, rules) if course.butt < e.y and e.low < course.line]
    roofs = [r for r in roofs_of(wall, rules) if r.y < course.line and course.butt < r.high]
    bottoms = bottoms_of(wall) if course.butt < wall.bottom else ()
    runs: list[Run] = []
    for shape in parts:
        left, right = _extent(shape)
        x = Ticks(math.ceil(left))
        length = to_tape(math.floor(right) - x, unit, Rounding.DOWN)
        top = max(part.high for part in shape) - course.butt
        if length <= 0 or to_tape(top, unit, Rounding.DOWN) <= 0:
            continue
        _refuse_valley(wall, course, slabs, shape)
        runs.append(
            Run(
                wall=wall.mark,
                course=course,
                number=len(runs) + 1,
                x=x,
                length=length,
                left=_run_end(wall, course, slabs, shape, 1),
                right=_run_end(wall, course, slabs, shape, -1),
                notches=tuple(
                    sorted(
                        [
                            *_opening_notches(course, shape, x, x + length, boxes),
                            *_level_notches(course, shape, (x, x + length), eaves, rules),
                            *_level_notches(course, shape, (x, x + length), roofs, rules),
                            *_bottom_notches(course, shape, (x, x + length), bottoms),
                        ],
                        key=lambda notch: (notch.left, notch.below or 0),
                    )
                ),
                eaves=tuple(sorted(Ticks(e.low - course.butt) for e in eaves)),
                shape=shape,
            )
        )
    return tuple(runs)


def _refuse_valley(
    wall: Wall, course: Course, slabs: Sequence[Slab], shape: Sequence[Trapezoid]
) -> None:
    """Refuse a run that the outline parts from above or below: no marks tell its cut."""
    for slab in slabs:
        here = [part for part in shape if part.low == slab.low]
        sides = [
            any(a.middle < part.right.middle and part.left.middle < b.middle for part in here)
            for a, b in slab.ground
        ]
        if sum(sides) > 1 and not _is_level(wall, slab):
            raise NoPlanError(
                f"wall {wall.mark}, course {course.number}: two slopes of the outline meet"
                " inside the course; make two walls of it that meet there"
            )


def _is_level(wall: Wall, slab: Slab) -> bool:
    """Whether the outline has only plumb sides in a slab, so that notches tell its steps."""
    pairs = zip(wall.outline, [*wall.outline[1:], wall.outline[0]], strict=True)
    return not any(
        a.x != b.x and a.y != b.y and min(a.y, b.y) < slab.high and slab.low < max(a.y, b.y)
        for a, b in pairs
    )


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


def _run_end(
    wall: Wall,
    course: Course,
    slabs: Sequence[Slab],
    shape: Sequence[Trapezoid],
    sign: int,
) -> RunEnd:
    """Find what one end of a run meets, and how the outline runs there.

    Parameters
    ----------
    sign
        1 for the left end, -1 for the right one.
    """
    stop = wall.left.value if sign > 0 else wall.right.value
    left, right = _extent(shape)
    outermost = left if sign > 0 else right
    sides = [part.left if sign > 0 else part.right for part in shape]
    owner = next(s.owner for s in sides if outermost in (s.low, s.high))
    top = max(part.high for part in shape)
    points: list[tuple[Fraction, Fraction]] = []
    for slab in slabs:
        grounds = [
            a if sign > 0 else b
            for a, b in slab.ground
            if slab.high <= top and a.middle < right and left < b.middle
        ]
        if grounds:
            side = min(grounds, key=lambda boundary: boundary.middle * sign)
            points += [
                (slab.low - course.butt, side.low),
                (slab.high - course.butt, side.high),
            ]
    # Beside a level side the plumb side of the outline goes on.
    return RunEnd(stop if owner in ("wall", "level") else owner, _bends(points))


def _bends(
    points: Sequence[tuple[Fraction, Fraction]],
) -> tuple[tuple[Fraction, Fraction], ...]:
    """Keep the bends of a boundary; nothing of one that is plumb all the way.

    Where the outline steps in at a level edge and goes on plumb, the step is the matter
    of a notch under that eave, so the line ends below it.
    """
    bends: list[tuple[Fraction, Fraction]] = []
    for point in points:
        if bends and bends[-1] == point:
            continue
        if len(bends) > 1 and _straight(bends[-2], bends[-1], point):
            bends.pop()
        bends.append(point)
    steps = [i for i, (a, b) in enumerate(pairwise(bends), start=1) if a[0] == b[0]]
    if steps and len({x for _, x in bends[steps[-1] :]}) == 1:
        bends = bends[: steps[-1]]
    places = [x for _, x in bends]
    return tuple(bends) if max(places) != min(places) else ()


def _raise_line(
    line: Sequence[tuple[Fraction, Fraction]], mark: int
) -> list[tuple[Fraction, Fraction]]:
    """Let no inset be below nothing: there the piece ends before the outline does.

    What rounding took from the piece, less than two marks of the tape, makes no bend.
    """
    raised: list[tuple[Fraction, Fraction]] = []
    before: tuple[Fraction, Fraction] | None = None
    for height, inset in line:
        if before and before[1] * inset < 0 and min(before[1], inset) <= -2 * mark:
            share = -before[1] / (inset - before[1])
            raised.append((before[0] + (height - before[0]) * share, Fraction(0)))
        raised.append((height, max(inset, Fraction(0))))
        before = (height, inset)
    return raised


def _clip_line(
    line: Sequence[tuple[Fraction, Fraction]], length: Fraction
) -> list[tuple[Fraction, Fraction]]:
    """End a line where it reaches a piece's other end. [ticks]"""
    kept: list[tuple[Fraction, Fraction]] = []
    for height, inset in line:
        if inset > length:
            if kept and kept[-1][1] < length:
                before = kept[-1]
                share = (length - before[1]) / (inset - before[1])
                kept.append((before[0] + (height - before[0]) * share, length))
            break
        kept.append((height, inset))
    return kept


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


def _level_notches(
    course: Course,
    shape: Sequence[Trapezoid],
    extent: tuple[int, int],
    levels: Sequence[Level],
    rules: Rules,
) -> Iterator[RunNotch]:
    """Find the notches under eaves, or over roofs, that the course meets."""
    top = max(part.high for part in shape)
    for level in levels:
        is_eave = level.high == level.y
        # Where the outline goes on past its end, the siding there keeps its end gap.
        start = max(level.left - (rules.end_gap if level.open_left else 0), extent[0])
        end = min(level.right + (rules.end_gap if level.open_right else 0), extent[1])
        meets = any(
            (part.high == level.low if is_eave else part.low == level.high)
            and max(part.left.middle, Fraction(level.left), Fraction(extent[0]))
            < min(part.right.middle, Fraction(level.right), Fraction(extent[1]))
            for part in shape
        )
        if not meets or start >= end:
            continue
        if is_eave and top > level.low:
            below = Ticks(level.low - course.butt)
            yield RunNotch("eave", Ticks(start), Ticks(end), below, None)
        elif not is_eave:
            above = Ticks(level.high - course.butt)
            yield RunNotch("roof", Ticks(start), Ticks(end), None, above)


def _bottom_notches(
    course: Course,
    shape: Sequence[Trapezoid],
    extent: tuple[int, int],
    bottoms: Sequence[Level],
) -> Iterator[RunNotch]:
    """Find where a first course that begins below the wall's bottom is ripped there."""
    for bottom in bottoms:
        start, end = max(bottom.left, extent[0]), min(bottom.right, extent[1])
        if start < end and any(
            part.low == bottom.y
            and max(part.left.middle, Fraction(start)) < min(part.right.middle, Fraction(end))
            for part in shape
        ):
            above = Ticks(bottom.y - course.butt)
            yield RunNotch("bottom", Ticks(start), Ticks(end), None, above)


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
