"""What one piece must look like: its height, its raked ends and its notches."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.check.claims import Notch
from lapwright.check.edges import clear_over, edges_of, steps_of
from lapwright.measure import Rounding, round_ticks, tape_step, to_tape

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.check.columns import Cell, Number
    from lapwright.check.layout import Course, Hole, Run
    from lapwright.job.job import Job


@dataclass(frozen=True, slots=True)
class Height:
    """How high a piece stands above its butt edge."""

    top: Number
    """Its highest point, from the wall's bottom, exactly. [ticks]"""
    height: int
    """Above the butt edge, as it is cut. [ticks]"""
    ripped: bool


def height_of(course: Course, run: Run, left: int, right: int, job: Job) -> Height:
    """Find the height of the piece that covers a run between two places. [ticks]"""
    top: Number = course.butt
    for cell, start, end in _inside(run.cells, left, right):
        top = max(top, cell.at(start)[1], cell.at(end)[1])
    if top == course.top:
        return Height(top, course.top - course.butt, ripped=False)
    ripped = any(
        eave.y - job.rules.sill_clearance == top
        and max(eave.left, cell.left, left) < min(eave.right, cell.right, right)
        and cell.high_left == cell.high_right == top
        for eave in course.eaves
        for cell in run.cells
    )
    return Height(top, to_tape(top - course.butt, job.unit, Rounding.DOWN), ripped)


def notches_of(
    course: Course, run: Run, left: int, right: int, top: Number, job: Job
) -> tuple[Notch, ...]:
    """Find the notches of the piece that covers a run between two places.

    Parameters
    ----------
    left, right
        The ends of the piece on the wall. [ticks]
    top
        The highest point of the piece, from the wall's bottom. [ticks]
    """
    return (
        *(
            notch
            for hole in course.holes
            if hole.is_box
            and not hole.is_whole
            and (notch := _notch(course, run, left, right, hole, job))
        ),
        *_eave_notches(course, run, left, right, top, job),
        *_roof_notches(course, run, left, right, job),
        *_bottom_notches(course, run, left, right, job),
    )


def profile_of(
    course: Course, run: Run, edge: int, top: Number, job: Job, *, at_left: bool
) -> tuple[tuple[int, int], ...] | None:
    """Find the profile of a raked end.

    Parameters
    ----------
    edge
        The piece's outermost point at this end, from the wall's left. [ticks]
    top
        The highest point of the piece, from the wall's bottom. [ticks]

    Returns
    -------
    tuple of (height, inset), or None
        From the bottom up, empty for a square end; None where the outline juts out
        further up, which no profile can say. [ticks]
    """
    if not course.is_sloped:
        return ()
    line: list[tuple[Number, Number]] = []
    step_at = 0
    for low, high, x_low, x_high in _outermost(run.ground, top, at_left=at_left):
        start, end = (x_low - edge, x_high - edge) if at_left else (edge - x_low, edge - x_high)
        if line and line[-1] != (low, start):
            if start < line[-1][1]:
                return None
            step_at = len(line)
        if not line or line[-1] != (low, start):
            line.append((low, start))
        line.append((high, end))
    if step_at and len({x for _, x in line[step_at:]}) == 1:
        # Plumb above a level edge of the outline: that is a notch's matter.
        line = line[:step_at]
    return _on_the_tape(_bent(line, tape_step(job.unit)), course.butt, job)


def _inside(
    cells: tuple[Cell, ...], left: Number, right: Number
) -> Iterator[tuple[Cell, Number, Number]]:
    """Give the cells that lie between two places, and between which."""
    for cell in cells:
        start, end = max(cell.left, left), min(cell.right, right)
        if start < end:
            yield cell, start, end


def _notch(
    course: Course, run: Run, left: int, right: int, hole: Hole, job: Job
) -> Notch | None:
    above = below = False
    for cell, start, end in _inside(run.cells, max(left, hole.left), min(right, hole.right)):
        x = Fraction(start + end) / 2
        low, high = cell.at(x)
        if not _is_cut(run.ground, x, (low, high), hole):
            continue
        below = below or high <= hole.low
        above = above or low >= hole.high
    if not (above or below):
        return None
    step = tape_step(job.unit)
    sill = round_ticks(hole.low - course.butt, step, Rounding.DOWN)
    head = round_ticks(hole.high - course.butt, step, Rounding.UP)
    start, end = _marks(hole.left, hole.right, left, right, job)
    name = hole.opening.name
    if above and below:
        return Notch(name, "hole", start, end, sill, sill, head)
    if below:
        return Notch(name, "sill", start, end, sill, sill, 0)
    return Notch(name, "head", start, end, head, head, 0)


def _is_cut(
    ground: tuple[Cell, ...], x: Fraction, part: tuple[Number, Number], hole: Hole
) -> bool:
    """Whether a hole takes something from the ground over or under a part of it."""
    for cell in ground:
        if cell.left < x <= cell.right:
            low, high = cell.at(x)
            if low <= part[0] and part[1] <= high:
                return min(high, hole.high) > max(low, hole.low)
    return False


def _eave_notches(
    course: Course, run: Run, left: int, right: int, top: Number, job: Job
) -> Iterator[Notch]:
    for eave in course.eaves:
        line = eave.y - job.rules.sill_clearance
        if not course.butt < line < course.top or line == top:
            continue
        # Where the outline goes on upwards, the siding above keeps its end gap.
        start_x = eave.left - (job.rules.end_gap if eave.rises_left else 0)
        end_x = eave.right + (job.rules.end_gap if eave.rises_right else 0)
        if any(
            cell.high_left == cell.high_right == line
            for cell, _, _ in _inside(run.cells, max(left, eave.left), min(right, eave.right))
        ):
            height = to_tape(line - course.butt, job.unit, Rounding.DOWN)
            start, end = _marks(start_x, end_x, left, right, job)
            yield Notch("eave", "sill", start, end, height, height, 0)


def _roof_notches(course: Course, run: Run, left: int, right: int, job: Job) -> Iterator[Notch]:
    for roof in course.roofs:
        line = roof.y + clear_over(course.wall, job.rules)
        if not (roof.y < course.top and course.butt < line):
            continue
        if any(
            cell.low_left == cell.low_right == line
            for cell, _, _ in _inside(run.cells, max(left, roof.left), min(right, roof.right))
        ):
            # Where the outline goes on downwards, the siding below keeps its end gap.
            start_x = roof.left - (job.rules.end_gap if roof.falls_left else 0)
            end_x = roof.right + (job.rules.end_gap if roof.falls_right else 0)
            height = to_tape(line - course.butt, job.unit, Rounding.UP)
            start, end = _marks(start_x, end_x, left, right, job)
            name = "step" if roof.y in steps_of(course.wall) else "roof"
            yield Notch(name, "head", start, end, height, height, 0)


def _bottom_notches(
    course: Course, run: Run, left: int, right: int, job: Job
) -> Iterator[Notch]:
    """Find where a course that begins below the wall's bottom is ripped there."""
    foot = course.wall.bottom
    if course.butt >= foot:
        return
    for a, b in edges_of(course.wall):
        if a.y == b.y == foot and any(
            cell.low_left == cell.low_right == foot
            for cell, _, _ in _inside(run.cells, max(left, a.x), min(right, b.x))
        ):
            height = to_tape(foot - course.butt, job.unit, Rounding.UP)
            start, end = _marks(a.x, b.x, left, right, job)
            yield Notch("bottom", "head", start, end, height, height, 0)


def _marks(start: int, end: int, left: int, right: int, job: Job) -> tuple[int, int]:
    """Give the marks of a notch from the piece's left end. [ticks]"""
    return (
        max(0, to_tape(start - left, job.unit, Rounding.DOWN)),
        min(right - left, to_tape(end - left, job.unit, Rounding.UP)),
    )


def _outermost(
    ground: tuple[Cell, ...], top: Number, *, at_left: bool
) -> Iterator[tuple[Number, Number, Number, Number]]:
    """Follow the left or right boundary upwards: (low, high, x at low, x at high)."""
    heights = {
        y
        for cell in ground
        for y in (cell.low_left, cell.low_right, cell.high_left, cell.high_right)
        if y < top
    } | {top}
    for low, high in pairwise(sorted(heights)):
        # Between two corners the boundary is straight, so two places tell it.
        third = Fraction(high - low) / 3
        found = [_end_at(ground, y, at_left=at_left) for y in (low + third, high - third)]
        if found[0] is not None and found[1] is not None:
            step = found[1] - found[0]
            yield low, high, found[0] - step, found[1] + step


def _end_at(ground: tuple[Cell, ...], y: Number, *, at_left: bool) -> Number | None:
    """Give the leftmost or rightmost place at a height. [ticks]"""
    best: Number | None = None
    # The cells stand in columns from left to right, so the first hits decide.
    for cell in ground if at_left else reversed(ground):
        if best is not None and (cell.left >= best if at_left else cell.right <= best):
            break
        span = cell.span(y)
        if span is not None:
            end = span[0] if at_left else span[1]
            if best is None or (end < best if at_left else end > best):
                best = end
    return best


def _bent(line: list[tuple[Number, Number]], mark: int) -> list[tuple[Number, Number]]:
    """Keep the ends and the bends of a line, and let no inset be below nothing."""
    bends: list[tuple[Number, Number]] = []
    for y, x in line:
        while len(bends) > 1 and (bends[-1][0] - bends[-2][0]) * (x - bends[-2][1]) == (
            bends[-1][1] - bends[-2][1]
        ) * (y - bends[-2][0]):
            bends.pop()
        bends.append((y, x))
    raised: list[tuple[Number, Number]] = []
    for (y, x), (before_y, before_x) in zip(bends, [bends[0], *bends], strict=False):
        # What rounding took from the end makes no bend: a mark of the run's length, and
        # another of the last piece's.
        if before_x * x < 0 and min(before_x, x) <= -2 * mark:
            raised.append((before_y + Fraction((y - before_y) * -before_x) / (x - before_x), 0))
        raised.append((y, max(x, 0)))
    return raised


def _on_the_tape(
    line: list[tuple[Number, Number]], butt: int, job: Job
) -> tuple[tuple[int, int], ...]:
    step = tape_step(job.unit)
    points = [(round_ticks(y - butt, step), round_ticks(x, step, Rounding.UP)) for y, x in line]
    kept = [here for i, here in enumerate(points) if i == 0 or here != points[i - 1]]
    return tuple(kept) if any(inset for _, inset in kept) else ()
