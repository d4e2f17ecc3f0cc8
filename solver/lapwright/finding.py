"""What the crew must know about a layout before it buys and cuts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lapwright.job.wall import OpeningShape
from lapwright.measure import Rounding, to_tape, write_length
from lapwright.plan import NotchEdge
from lapwright.seams.split import KEEP_OUT

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.job.job import Job
    from lapwright.plan import SidingPiece
    from lapwright.siding import Layout


def find_all(job: Job, layout: Layout) -> tuple[str, ...]:
    """List what the crew must know, each as one sentence.

    The order is: what the reading changed, openings, slivers and narrow fillers,
    then rules for seams that could not be kept.
    """
    return (
        *job.remarks,
        *_openings(job),
        *_starts(job),
        *_ripped(job, layout),
        *(line for piece in layout.pieces for line in _thin(job, piece)),
        *_seams(job, layout),
    )


def _openings(job: Job) -> Iterator[str]:
    for wall in job.walls:
        for opening in wall.openings:
            name = f"wall {wall.mark}, opening {opening.name}"
            if opening.shape is OpeningShape.ROUND:
                yield f"{name}: round, but cut as its box; trace the curve on the wall"
            outside = (
                opening.x < 0
                or opening.sill < 0
                or opening.right > wall.width
                or opening.head > wall.height
            )
            if outside:
                yield f"{name}: runs past the wall's edge; only what is on the wall counts"


def _starts(job: Job) -> Iterator[str]:
    for wall in job.walls:
        if wall.start > 0:
            yield (
                f"wall {wall.mark}: the first course begins"
                f" {write_length(wall.start, job.unit)} up; nothing is planned below it"
            )
        pairs = zip(wall.outline, [*wall.outline[1:], wall.outline[0]], strict=True)
        if any(a.x < b.x and (a.y > 0 or b.y > 0) for a, b in pairs):
            yield (
                f"wall {wall.mark}: has a lower edge above its bottom; siding is planned down"
                " to it, but the cut along it and its flashing must be measured on the wall"
            )


def _ripped(job: Job, layout: Layout) -> Iterator[str]:
    """Report courses ripped to a sliver, each once."""
    thin = {
        (piece.wall, piece.course, piece.height): None
        for piece in layout.pieces
        if piece.ripped and piece.height < job.rules.sliver
    }
    for wall, course, height in thin:
        yield (
            f"wall {wall}, course {course}: a sliver, ripped to"
            f" {write_length(height, job.unit)}; another start height would cure it"
        )


def _thin(job: Job, piece: SidingPiece) -> Iterator[str]:
    rules, unit = job.rules, job.unit
    for notch in piece.notches:
        left_over: int = min(notch.cut_left, notch.cut_right)
        place = "under"
        if notch.edge is NotchEdge.HEAD:
            left_over, place = piece.height - max(notch.cut_left, notch.cut_right), "over"
        if left_over < rules.sliver:
            yield (
                f"piece {piece.label}: a sliver, {write_length(left_over, unit)} left"
                f" {place} {notch.opening}; another start height would cure it"
            )
        if notch.edge is NotchEdge.HOLE:
            yield f"piece {piece.label}: {notch.opening} is a hole inside the piece"
    if piece.length < rules.narrowest:
        yield (
            f"piece {piece.label}: a filler of only {write_length(piece.length, unit)}"
            f" between {piece.left.meets} and {piece.right.meets};"
            " a wider stop would cure it"
        )


def _seams(job: Job, layout: Layout) -> Iterator[str]:
    walls = {wall.mark: wall for wall in job.walls}
    for seam, rule in layout.broken:
        why = "no place keeps every rule here"
        wide = [
            opening.name
            for opening in walls[seam.wall].openings
            if opening.x < seam.x < opening.right and opening.width > job.siding.longest
        ]
        if rule == KEEP_OUT and wide:
            why = f"{wide[0]} is wider than the longest stock length"
        elif job.rules.extra_seams == 0:
            why += " with the fewest seams; extra_seams would allow one more"
        place = to_tape(seam.x, job.unit, Rounding.NEAREST)
        yield (
            f"seam between {seam.left} and {seam.right} at"
            f" {write_length(place, job.unit)} {rule}; {why}"
        )
