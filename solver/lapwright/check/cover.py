"""What a piece covers by its own marks, against what is free on the wall."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.check.columns import cells_of, columns_of, connected, without
from lapwright.check.fault import fault
from lapwright.measure import round_ticks, tape_step, write_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.check.claims import End, Notch, Piece
    from lapwright.check.columns import Cell, Corner, Number, Polygon
    from lapwright.check.layout import Course, Run
    from lapwright.job.job import Job

_SLACK = 2
"""What rounding may put astray, in marks of the tape."""


def judge_cover(course: Course, run: Run, piece: Piece, job: Job, where: str) -> Iterator[str]:
    """Check that a piece, cut by its marks, covers what is free, and nothing else.

    Notches, profile and height may each follow the rules and the piece still not fit,
    where its shape is one that the marks cannot say.
    """
    plain = not (piece.notches or piece.left.profile or piece.right.profile)
    butt, top = course.butt, course.top
    near = [cell for cell in run.cells if cell.left < piece.right_x and piece.x < cell.right]
    if plain and _fills(piece, near, butt, top):
        return
    slack = _SLACK * tape_step(job.unit)
    box = [(piece.x, butt), (piece.right_x, butt), (piece.right_x, top), (piece.x, top)]
    notches = [_notch(piece, notch) for notch in piece.notches]
    free = [_corners(cell) for cell in near]
    standing: list[Cell] = []
    bare: list[Cell] = []
    # By their numbers: the box that the piece may fill, its outline, notches, what is free.
    for column in columns_of([box, _outline(piece), *notches, *free], butt, top, 2):
        stacks = column.stacks
        cut = [stack for number, stack in stacks.items() if 2 <= number < 2 + len(notches)]
        piece_here = without(stacks.get(1, []), cut)
        free_here = [
            stretch
            for number, stack in stacks.items()
            if number >= 2 + len(notches)
            for stretch in stack
        ]
        standing += cells_of(column, without(piece_here, [free_here]))
        if 0 in stacks:
            bare += cells_of(column, without(free_here, [piece_here]))
    for place in _thick(standing, slack, piece, job):
        found = f"it standing where no siding may, {place}"
        yield fault(where, found, "it cut away there")
    for place in _thick(bare, slack, piece, job):
        yield fault(where, f"the wall bare, {place}", "it left on there")


def _thick(cells: Sequence[Cell], slack: int, piece: Piece, job: Job) -> Iterator[str]:
    """Say where parts lie that are more than what rounding puts astray."""
    if not any(_is_higher(cell, slack) for cell in cells):
        return
    for part in connected(cells):
        # A sliver may be long, also at a slant; a square of the slack fits into no sliver.
        if _holds_square(part, slack):
            left, right, low, high = (
                write_length(round_ticks(place, tape_step(job.unit)), job.unit)
                for place in (
                    min(cell.left for cell in part) - piece.x,
                    max(cell.right for cell in part) - piece.x,
                    min(min(cell.low_left, cell.low_right) for cell in part) - piece.y,
                    max(max(cell.high_left, cell.high_right) for cell in part) - piece.y,
                )
            )
            yield f"{left} to {right} from its left end and {low} to {high} above its butt edge"


def _holds_square(part: Sequence[Cell], side: int) -> bool:
    """Whether an upright square fits into cells that join each other."""
    high = [cell for cell in part if _is_higher(cell, side)]
    if not high or sum(cell.area for cell in part) < side * side:
        return False
    starting: dict[Number, list[Cell]] = {}
    for cell in high:
        starting.setdefault(cell.left, []).append(cell)
    ends = {cell.right for cell in part}
    for cell in sorted(high, key=lambda cell: cell.left):
        inner = [end - side for end in ends if cell.left < end - side < cell.right]
        for start in (cell.left, Fraction(cell.left + cell.right) / 2, *inner):
            if _fits(cell, start, start + side, side, starting, None):
                return True
    return False


def _is_higher(cell: Cell, side: int) -> bool:
    """Whether a cell is higher anywhere than a square that it may be a part of."""
    return cell.high_left - cell.low_left > side or cell.high_right - cell.low_right > side


def _fits(
    cell: Cell,
    start: Number,
    end: Number,
    side: int,
    starting: dict[Number, list[Cell]],
    room: tuple[Number, Number] | None,
) -> bool:
    """Whether between two places the cells from one on leave room for a square."""
    until = min(end, cell.right)
    (low_a, high_a), (low_b, high_b) = cell.at(start), cell.at(until)
    low, high = max(low_a, low_b), min(high_a, high_b)
    if room is not None:
        low, high = max(low, room[0]), min(high, room[1])
    if high - low <= side:
        return False
    if until == end:
        return True
    return any(
        _fits(following, cell.right, end, side, starting, (low, high))
        for following in starting.get(cell.right, ())
    )


def _notch(piece: Piece, notch: Notch) -> Polygon:
    """Give what a notch takes from a piece, on the wall."""
    if notch.points:
        return [(piece.x + u, piece.y + v) for u, v in notch.points]
    top = max(piece.height, notch.cut_left, notch.cut_right)
    (low_left, low_right), (high_left, high_right) = {
        "sill": ((notch.cut_left, notch.cut_right), (top, top)),
        "head": ((0, 0), (notch.cut_left, notch.cut_right)),
    }.get(notch.edge, ((notch.cut_left, notch.cut_right), (notch.upper, notch.upper)))
    start, end = piece.x + notch.start, piece.x + notch.end
    return [
        (start, piece.y + low_left),
        (end, piece.y + low_right),
        (end, piece.y + high_right),
        (start, piece.y + high_left),
    ]


def _fills(piece: Piece, near: Sequence[Cell], butt: int, top: int) -> bool:
    """Whether an uncut piece of the whole height lies on cells of the whole height."""
    return (
        piece.height == top - butt
        and bool(near)
        and near[0].left <= piece.x
        and piece.right_x <= near[-1].right
        and all(
            cell.low_left == cell.low_right == butt and cell.high_left == cell.high_right == top
            for cell in near
        )
        and all(a.right == b.left for a, b in pairwise(near))
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
    if points[0][0] > 0:
        points.insert(0, (0, points[0][1]))
    if points[-1][0] < height:
        points.append((height, points[-1][1]))
    return points
