"""Runs: the connected parts of a course between what stops the siding."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.job.wall import StopKind
from lapwright.measure import Rounding, Ticks, Unit, tape_step, to_tape
from lapwright.takeoff.blocked import taken_by
from lapwright.takeoff.slab import bottoms_of, cut_slabs, ground_of, step_ends

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.rules import Rules
    from lapwright.job.wall import Wall
    from lapwright.takeoff.blocked import Blocked
    from lapwright.takeoff.course import Course
    from lapwright.takeoff.slab import Level, Number, Slab, Trapezoid


@dataclass(frozen=True, slots=True)
class RunEnd:
    """One end of a run."""

    meets: str
    """What it runs into: a kind of stop, ``rake`` or ``opening W1``."""
    bends: tuple[tuple[Number, Number], ...] = ()
    """(Height above the butt edge, x) from the bottom up; empty if square. [ticks]"""

    @property
    def inset(self) -> int:
        """How far its points lie apart along the course, rounded up. [ticks]"""
        places = [x for _, x in self.bends]
        return math.ceil(max(places) - min(places)) if places else 0

    def place(self, y: Number, butt: int) -> Number:
        """Give where the outline bounds the end at a height, plumb beyond its bends. [ticks]"""
        height = y - butt
        if height <= self.bends[0][0]:
            return self.bends[0][1]
        for (low, x_low), (high, x_high) in pairwise(self.bends):
            if height <= high:
                if x_low == x_high or height == high:
                    return x_high
                if height == low:
                    return x_low
                return x_low + Fraction(x_high - x_low) * (height - low) / (high - low)
        return self.bends[-1][1]

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
    heights: tuple[Number, ...]
    """Where the slabs of its course begin and end, from the bottom up. [ticks]"""
    taken: tuple[Blocked, ...]
    """What openings take from its course."""
    bottom: int
    """The wall's bottom, below which nothing hangs. [ticks]"""

    def rows(self) -> dict[Number, list[Trapezoid]]:
        """Gather what it covers by the height at which its slab begins."""
        found: dict[Number, list[Trapezoid]] = {low: [] for low in self.heights}
        for part in self.shape:
            found[part.low].append(part)
        return found

    @property
    def end(self) -> int:
        """Right end, from the wall's left. [ticks]"""
        return self.x + self.length

    def height(self, left: int, right: int) -> Number:
        """Give its highest point above the butt edge between two places. [ticks]"""
        butt = self.course.butt
        best: Number = butt
        # The highest slabs come last.
        for part in reversed(self.shape):
            if part.high <= best:
                break
            top = _top_between(part, left, right)
            if top is not None:
                best = max(best, top)
        return best - butt


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
    ground = ground_of(wall, rules)
    taken = tuple(taken_by(ground.takings, course, wall.bottom))
    slabs = cut_slabs(ground, course, taken, rules)
    heights = (*(slab.low for slab in slabs), slabs[-1].high) if slabs else ()
    parts = sorted(
        _connected([slab.free for slab in slabs]),
        key=lambda shape: (*_extent(shape), shape[0].low),
    )
    boxes = [blocked for blocked in taken if blocked.is_box]
    eaves = [e for e in ground.eaves if course.butt < e.y and e.low < course.line]
    roofs = [r for r in ground.roofs if r.y < course.line and course.butt < r.high]
    bottoms = bottoms_of(wall) if course.butt < wall.bottom else ()
    runs: list[Run] = []
    for shape in parts:
        left, right = _extent(shape)
        x = Ticks(math.ceil(left))
        length = to_tape(math.floor(right) - x, unit, Rounding.DOWN)
        height = max(part.high for part in shape) - min(part.low for part in shape)
        if length <= 0 or to_tape(height, unit, Rounding.DOWN) <= 0:
            continue
        runs.append(
            Run(
                wall=wall.mark,
                course=course,
                number=len(runs) + 1,
                x=x,
                length=length,
                left=_run_end(wall, course, slabs, shape, 1, rules.end_gap),
                right=_run_end(wall, course, slabs, shape, -1, rules.end_gap),
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
                heights=heights,
                taken=taken,
                bottom=wall.bottom,
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
        i = j = 0
        while i < len(lower) and j < len(upper):
            a, b = lower[i], upper[j]
            if max(a.left.high, b.left.low) < min(a.right.high, b.right.low):
                group[root(first + i)] = root(second + j)
            if a.right.high < b.right.low:
                i += 1
            else:
                j += 1
        first = second
    gathered: dict[int, list[Trapezoid]] = {}
    for i, part in enumerate(parts):
        gathered.setdefault(root(i), []).append(part)
    return [tuple(found) for found in gathered.values()]


def _extent(shape: Sequence[Trapezoid]) -> tuple[Number, Number]:
    left = min(min(part.left.low, part.left.high) for part in shape)
    return left, max(max(part.right.low, part.right.high) for part in shape)


def _top_between(part: Trapezoid, left: int, right: int) -> Number | None:
    """Give the highest point of a trapezoid between two places, None if it has none."""
    top = part.high
    for side, place, sign in ((part.left, right, 1), (part.right, left, -1)):
        beyond_low, beyond_high = (side.low - place) * sign, (side.high - place) * sign
        if beyond_low >= 0 and beyond_high >= 0:
            return None
        if beyond_high > 0:
            share = Fraction(place - side.low) / (side.high - side.low)
            top = min(top, part.low + (part.high - part.low) * share)
    return top


def _run_end(
    wall: Wall,
    course: Course,
    slabs: Sequence[Slab],
    shape: Sequence[Trapezoid],
    sign: int,
    gap: int,
) -> RunEnd:
    """Find what one end of a run meets, and how the outline runs there.

    Parameters
    ----------
    sign
        1 for the left end, -1 for the right one.
    gap
        Between it and the stop. [ticks]
    """
    stop = wall.left.value if sign > 0 else wall.right.value
    left, right = _extent(shape)
    outermost = left if sign > 0 else right
    sides = [part.left if sign > 0 else part.right for part in shape]
    owner = next(s.owner for s in sides if outermost in (s.low, s.high))
    top = max(part.high for part in shape)
    points: list[tuple[Number, Number]] = []
    for slab in slabs:
        grounds = [
            a if sign > 0 else b
            for a, b in slab.ground
            if slab.high <= top and a.twice < 2 * right and 2 * left < b.twice
        ]
        if grounds:
            side = min(grounds, key=lambda boundary: boundary.twice * sign)
            points += [
                (slab.low - course.butt, side.low),
                (slab.high - course.butt, side.high),
            ]
    edge = outermost - gap * sign
    if any(
        low.x == edge and low.y < course.line and course.butt < high.y
        for low, high in step_ends(wall)
    ):
        stop = StopKind.J_CHANNEL.value
    # Beside a level side the plumb side of the outline goes on.
    return RunEnd(stop if owner in ("wall", "level") else owner, _bends(points, sign))


def _bends(
    points: Sequence[tuple[Number, Number]], sign: int
) -> tuple[tuple[Number, Number], ...]:
    """Keep the bends of a boundary; nothing of one that is plumb all the way.

    Where the outline steps in at a level edge and goes on plumb, the step is the matter
    of a notch under that eave, so the line ends below it.  Where it steps out, all that
    is below is the matter of notches.
    """
    if any(a[0] == b[0] and (b[1] - a[1]) * sign < 0 for a, b in pairwise(points)):
        return ()
    bends: list[tuple[Number, Number]] = []
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
    line: Sequence[tuple[Number, Number]], mark: int
) -> list[tuple[Number, Number]]:
    """Let no inset be below nothing: there the piece ends before the outline does.

    What rounding took from the piece, less than two marks of the tape, makes no bend.
    """
    raised: list[tuple[Number, Number]] = []
    before: tuple[Number, Number] | None = None
    for height, inset in line:
        if before and before[1] * inset < 0 and min(before[1], inset) <= -2 * mark:
            share = -Fraction(before[1]) / (inset - before[1])
            raised.append((before[0] + (height - before[0]) * share, 0))
        raised.append((height, max(inset, 0)))
        before = (height, inset)
    return raised


def _clip_line(
    line: Sequence[tuple[Number, Number]], length: Number
) -> list[tuple[Number, Number]]:
    """Keep of a line what lies on a piece, up to where it leaves it. [ticks]"""
    kept: list[tuple[Number, Number]] = []
    for before, here in pairwise([line[0], *line] if line else []):
        if (before[1] > length) != (here[1] > length):
            share = Fraction(length - before[1]) / (here[1] - before[1])
            crossing = (before[0] + (here[0] - before[0]) * share, length)
            if crossing not in (before, here):
                kept.append(crossing)
        if here[1] <= length:
            kept.append(here)
        elif kept:
            break
    return kept


def _straight(
    a: tuple[Number, Number], b: tuple[Number, Number], c: tuple[Number, Number]
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
    """Find the notches under eaves, or over roofs and steps, that the course meets."""
    top = max(part.high for part in shape)
    for level in levels:
        is_eave = level.kind == "eave"
        # Where the outline goes on past its end, the siding there keeps its end gap.
        start = max(level.left - (rules.end_gap if level.open_left else 0), extent[0])
        end = min(level.right + (rules.end_gap if level.open_right else 0), extent[1])
        first, last = max(level.left, extent[0]), min(level.right, extent[1])
        meets = any(
            max(part.left.high, first) < min(part.right.high, last)
            if is_eave
            else max(part.left.low, first) < min(part.right.low, last)
            for part in shape
            if (part.high == level.low if is_eave else part.low == level.high)
        )
        if not meets or start >= end:
            continue
        if is_eave and top > level.low:
            below = Ticks(level.low - course.butt)
            yield RunNotch("eave", Ticks(start), Ticks(end), below, None)
        elif not is_eave:
            above = Ticks(level.high - course.butt)
            yield RunNotch(level.kind, Ticks(start), Ticks(end), None, above)


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
            part.low == bottom.y and max(part.left.low, start) < min(part.right.low, end)
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
        _meets(part, start, end)
        for part in shape
        if (high is None or part.high <= high) and (low is None or part.low >= low)
    )


def _meets(part: Trapezoid, start: int, end: int) -> bool:
    """Whether anything of a part, be it the tip at a rake, lies between two places."""
    first, last = min(part.left.low, part.left.high), max(part.right.low, part.right.high)
    return max(first, start) < min(last, end)
