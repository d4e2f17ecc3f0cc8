"""An end of a piece as one line of marks, where a cutout takes off more of its slope."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.measure import Rounding, Ticks, round_ticks
from lapwright.plan import NotchEdge

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.plan import PieceEnd, PieceNotch, SidingPiece

FEW_POINTS = 8
"""A traced notch of more corners than these is a curve, which is no part of a slope."""

Mark = tuple[Fraction, Fraction]
"""A height up from the butt edge, and how far in from the end of the piece. [ticks]"""
Side = tuple[Mark, Mark]
"""A straight line between two marks."""


def with_joined_ends(piece: SidingPiece, step: Ticks) -> SidingPiece:
    """Tell each sloping end by one line, with what is cut out along it.

    A slope and a cutout beside it that touch are one cut to the one at the saw.  The line
    never lies outside of the slope, and bends by less than a mark are left out of it.

    Parameters
    ----------
    piece
        The piece.
    step
        From one mark of the tape to the next. [ticks]

    Returns
    -------
    SidingPiece
        The same piece where no such cutout is, or where it does not touch the slope.
    """
    for notch in piece.notches:
        if notch.edge is not NotchEdge.END or not 0 < len(notch.points) <= FEW_POINTS:
            continue
        if notch.start == 0 and notch.end < piece.length and piece.left.profile:
            line = _joined(piece, piece.left, _turned(notch, 0), step)
            end = "left"
        elif notch.end == piece.length and notch.start > 0 and piece.right.profile:
            line = _joined(piece, piece.right, _turned(notch, piece.length), step)
            end = "right"
        else:
            continue
        if line is not None:
            rest = tuple(other for other in piece.notches if other is not notch)
            own = replace(getattr(piece, end), profile=line)
            piece = replace(piece, notches=rest, **{end: own})
    return piece


def has_table(end: PieceEnd) -> bool:
    """Whether an end has so many bends that its marks stand in a table."""
    return len(_bends(end)) > 3


def end_marks(end: PieceEnd, length: int, *, is_right: bool) -> tuple[tuple[int, int], ...]:
    """Give the marks of an end from left to right: (from the left end, up). [ticks]"""
    spots = [(int(inset), int(v)) for v, inset in _bends(end)]
    if is_right:
        return tuple((length - u, v) for u, v in reversed(spots))
    return tuple(spots)


def _bends(end: PieceEnd) -> Sequence[tuple[int, int]]:
    """Give the points of an end from where the first cut off the square end begins."""
    points = end.profile
    return points[1:] if len(points) > 2 and points[0][1] == points[1][1] == 0 else points


def _turned(notch: PieceNotch, end: int) -> tuple[Mark, ...]:
    """Give the corners of a cutout as heights, and distances from an end."""
    return tuple((Fraction(v), Fraction(abs(u - end))) for u, v in notch.points)


def _joined(
    piece: SidingPiece, end: PieceEnd, ring: Sequence[Mark], step: Ticks
) -> tuple[tuple[Ticks, Ticks], ...] | None:
    """Put a slope and a cutout together; None where something stays between them."""
    points = [(Fraction(v), Fraction(inset)) for v, inset in end.profile]
    points = [(Fraction(0), points[0][1]), *points, (Fraction(piece.height), points[-1][1])]
    slope, cutout = tuple(pairwise(points)), tuple(pairwise((*ring, ring[0])))
    line: list[Mark] = []
    for low, high in _levels(slope, cutout, piece.height):
        inset = _across(slope, low, high)[0]
        cut = _across(cutout, low, high)
        if cut:
            if len(cut) > 2 or cut[0][0] > inset[0] or cut[0][1] > inset[1]:
                return None
            inset = (max(inset[0], cut[-1][0]), max(inset[1], cut[-1][1]))
        line += [(low, inset[0]), (high, inset[1])]
    marks = _simple(line, slope, step)
    if marks[-1][1] == marks[-2][1] and marks[-1][0] - marks[-2][0] < step:
        # The slope's own upper mark is the nearest one to its top.
        marks.pop()
    # Lower down, an end that leans inward takes more off.
    upright = Rounding.DOWN if line[0][1] <= line[-1][1] else Rounding.UP
    return tuple(
        (_mark(v, step, upright), _mark(inset, step, Rounding.UP)) for v, inset in marks
    )


def _levels(
    slope: Sequence[Side], cutout: Sequence[Side], height: int
) -> Iterator[tuple[Fraction, Fraction]]:
    """Cut an end into levels between which no lines bend or cross."""
    ends = {v for side in (*slope, *cutout) for v, _ in side if 0 < v < height}
    found = sorted({Fraction(0), Fraction(height), *ends})
    crossed = set(found)
    for low, high in pairwise(found):
        inset = _across(slope, low, high)[0]
        for other in _across(cutout, low, high):
            before, after = inset[0] - other[0], inset[1] - other[1]
            if before * after < 0:
                crossed.add(low + (high - low) * before / (before - after))
    return pairwise(sorted(crossed))


def _across(sides: Sequence[Side], low: Fraction, high: Fraction) -> list[Mark]:
    """Give how far in sides lie at the foot and at the top of a level, outermost first."""
    found = []
    for side in sides:
        (v1, u1), (v2, u2) = sorted(side)
        if v1 <= low and high <= v2:
            slant = (u2 - u1) / (v2 - v1)
            found.append((u1 + slant * (low - v1), u1 + slant * (high - v1)))
    return sorted(found)


def _simple(line: Sequence[Mark], slope: Sequence[Side], step: Ticks) -> list[Mark]:
    """Leave out bends by less than a mark, as far as the slope is still cut off whole."""
    marks = [mark for mark, before in zip(line, (None, *line), strict=False) if mark != before]
    for least in (0, int(step)):
        kept = marks[:1]
        skipped: list[Mark] = []
        for bend, after in pairwise(marks[1:]):
            skipped.append(bend)
            if any(_is_bent(kept[-1], s, after, least) for s in skipped) or not _is_beyond(
                kept[-1], after, slope
            ):
                kept.append(bend)
                skipped = []
        marks = [*kept, marks[-1]]
    return marks


def _is_bent(before: Mark, bend: Mark, after: Mark, least: int) -> bool:
    """Whether a bend lies off the line between two marks, by so much at least. [ticks]"""
    rise, run = after[0] - before[0], after[1] - before[1]
    turn = rise * (bend[1] - before[1]) - run * (bend[0] - before[0])
    return turn != 0 and abs(turn) >= least * max(rise, abs(run))


def _is_beyond(before: Mark, after: Mark, slope: Sequence[Side]) -> bool:
    """Whether no bend of the slope lies farther in than a line."""
    rise, run = after[0] - before[0], after[1] - before[1]
    bends = {mark for side in slope for mark in side if before[0] < mark[0] < after[0]}
    return all(inset <= before[1] + run * (v - before[0]) / rise for v, inset in bends)


def _mark(length: Fraction, step: Ticks, rounding: Rounding) -> Ticks:
    """Bring a crossing onto the tape; what is a whole length already stays."""
    if length.denominator == 1:
        return Ticks(int(length))
    return round_ticks(length, step, rounding)
