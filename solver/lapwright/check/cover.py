"""What a piece covers by its own marks, against what is free on the wall."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lapwright.check.columns import cells_left, connected
from lapwright.check.fault import fault
from lapwright.measure import round_ticks, tape_step, write_length

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.check.claims import End, Piece
    from lapwright.check.columns import Cell, Corner, Number, Polygon
    from lapwright.check.layout import Course, Run
    from lapwright.job.job import Job

_SLACK = 2
"""What rounding may put astray, in marks of the tape."""


def judge_cover(course: Course, run: Run, piece: Piece, job: Job, where: str) -> Iterator[str]:
    """Check that a piece, cut by its marks, nowhere covers what is not free.

    Notches, profile and height may each follow the rules and the piece still not fit,
    where its shape is one that the marks cannot say.
    """
    if any(_lies_in(piece, cell) for cell in run.cells):
        return
    notches: list[Polygon] = []
    for notch in piece.notches:
        cut, upper = {
            "sill": (notch.cut_left, max(piece.height, notch.cut_left)),
            "head": (0, notch.cut_left),
            "hole": (notch.cut_left, notch.upper),
        }[notch.edge]
        start, end = piece.x + notch.start, piece.x + notch.end
        bottom, top = course.butt + cut, course.butt + upper
        notches.append([(start, bottom), (end, bottom), (end, top), (start, top)])
    free: list[Polygon] = [_corners(cell) for cell in run.cells]
    slack = _SLACK * tape_step(job.unit)
    for part in connected(cells_left(_outline(piece), notches + free, course.butt, course.top)):
        # A sliver may be long; only what is thick both ways is no matter of rounding.
        if any(cell.right - cell.left > slack and _height(cell) > slack for cell in part):
            left, right, low, high = (
                write_length(round_ticks(place, tape_step(job.unit)), job.unit)
                for place in (
                    min(cell.left for cell in part) - piece.x,
                    max(cell.right for cell in part) - piece.x,
                    min(min(cell.low_left, cell.low_right) for cell in part) - course.butt,
                    max(max(cell.high_left, cell.high_right) for cell in part) - course.butt,
                )
            )
            found = (
                f"it standing where no siding may, {left} to {right} from its left end"
                f" and {low} to {high} above its butt edge"
            )
            yield fault(where, found, "it cut away there")


def _height(cell: Cell) -> Number:
    return max(cell.high_left - cell.low_left, cell.high_right - cell.low_right)


def _lies_in(piece: Piece, cell: Cell) -> bool:
    """Whether even the uncut piece lies inside one cell."""
    return (
        cell.left <= piece.x
        and piece.right_x <= cell.right
        and max(cell.low_left, cell.low_right) <= piece.y
        and piece.y + piece.height <= min(cell.high_left, cell.high_right)
    )


def _corners(cell: Cell) -> Polygon:
    return [
        (cell.left, cell.low_left),
        (cell.right, cell.low_right),
        (cell.right, cell.high_right),
        (cell.left, cell.high_left),
    ]


def _outline(piece: Piece) -> Polygon:
    """Give the outline of a piece without its notches."""
    left = _end(piece.left, piece.height)
    right = _end(piece.right, piece.height)
    return [
        *((piece.x + inset, piece.y + y) for y, inset in left),
        *((piece.right_x - inset, piece.y + y) for y, inset in reversed(right)),
    ]


def _end(end: End, height: int) -> list[Corner]:
    """Give an end as (height, inset), from the butt edge up to the top of the piece."""
    points: list[Corner] = list(end.profile) or [(0, 0)]
    if points[-1][0] < height:
        points.append((height, points[-1][1]))
    return points
