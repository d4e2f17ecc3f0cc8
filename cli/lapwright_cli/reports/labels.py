"""Where the label of a piece finds room: inside the piece, or else beside it.

Inside, places are sought in the piece's own plane (see `shapes`); beside it, on the paper.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

from lapwright_cli.reports import shapes

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from lapwright.plan import SidingPiece

_STEPS = 12
"""Heights at which room is sought, so many a height of the piece."""
_NEAR = 0.5
"""Just beside a corner of a piece. [ticks]"""
_AWAY = 40
"""A label stands no more steps away from its piece."""
_STEP = 3.0
"""From one place to the next. [pt]"""


class Box(NamedTuple):
    """A level rectangle."""

    left: float
    low: float
    """The lesser of its two y."""
    right: float
    high: float

    def meets(self, other: Box) -> bool:
        """Whether the two have a place in common."""
        across = self.left < other.right and other.left < self.right
        return across and self.low < other.high and other.low < self.high

    def holds(self, other: Box) -> bool:
        """Whether the other lies within."""
        across = self.left <= other.left and other.right <= self.right
        return across and self.low <= other.low and other.high <= self.high


def inside(
    piece: SidingPiece, wide: float, tall: float, low: float, high: float
) -> tuple[float, float] | None:
    """Find where a label fits into a piece, clear of its notches, slopes and holes.

    Parameters
    ----------
    piece
        The piece.
    wide, tall
        What the label needs. [ticks]
    low, high
        Only between these, from the piece's left end. [ticks]

    Returns
    -------
    tuple of float or None
        The middle of the label, from the left end and up from the butt edge, as near to
        half the height as it goes. [ticks]
    """
    room = piece.height - tall
    # Most that have no room are too narrow, whatever their shape.
    if room < 0 or min(high, piece.length) - max(low, 0) < wide:
        return None
    middle = piece.height / 2
    ways = [middle] + [
        middle + side * step * room / _STEPS / 2
        for step in range(1, _STEPS + 1)
        for side in (-1, 1)
    ]
    for v in ways:
        spans = _spans(piece, v - tall / 2, v + tall / 2)
        cut = [(max(a, low), min(b, high)) for a, b in spans]
        a, b = max(cut, key=lambda span: span[1] - span[0], default=(0.0, 0.0))
        if b - a >= wide:
            return (a + b) / 2, v
    return None


def beside(
    piece: Box,
    wide: float,
    tall: float,
    free: Iterable[Box],
    ring: Sequence[tuple[float, float]],
    taken: Sequence[Box],
    sheet: Box,
) -> Box | None:
    """Find where a label fits beside its piece. [pt]

    Parameters
    ----------
    piece
        Round the piece.
    wide, tall
        What the label needs.
    free
        Where nothing hangs: the openings.
    ring
        Corners of the wall; beyond them a label may stand, too.
    taken
        Where something stands already.
    sheet
        The part of the paper that there is.

    Returns
    -------
    Box or None
        The nearest place that is free.
    """
    openings = list(free)
    middle = (piece.low + piece.high) / 2
    found: list[tuple[float, Box]] = []
    for away, up, place in _places(piece, wide, tall):
        if not sheet.holds(place) or any(place.meets(other) for other in taken):
            continue
        if any(opening.holds(place) for opening in openings) or _is_clear_of(ring, place):
            found.append((away + 2 * abs(up - middle), place))
    return min(found, key=lambda one: one[0])[1] if found else None


def crosses(a: tuple[float, float], b: tuple[float, float], box: Box) -> bool:
    """Whether a straight line has a part inside a box."""
    first, last = 0.0, 1.0
    for begin, end, low, high in (
        (a[0], b[0], box.left, box.right),
        (a[1], b[1], box.low, box.high),
    ):
        if begin == end:
            if not low < begin < high:
                return False
            continue
        shares = sorted(((low - begin) / (end - begin), (high - begin) / (end - begin)))
        first, last = max(first, shares[0]), min(last, shares[1])
    return first < last


def _places(piece: Box, wide: float, tall: float) -> Iterator[tuple[float, float, Box]]:
    """Give places at both sides of a piece: how far away, at which height, and the box."""
    middle = (piece.low + piece.high) / 2
    for step in range(_AWAY):
        away = _STEP * (step + 2)
        for rows in (0, -1, 1, -2, 2):
            y = middle + rows * tall
            for left in (piece.right + away, piece.left - away - wide):
                yield away, y, Box(left, y - tall / 2, left + wide, y + tall / 2)
    # Above it, best over its middle; a wide piece is tied to its label from anywhere.
    low, amid = piece.low - _STEP - tall, (piece.left + piece.right - wide) / 2
    for step in range(-_AWAY, _AWAY + 1):
        left = amid + step * _STEP
        if piece.left < left + wide / 2 < piece.right:
            yield abs(step) * _STEP, middle, Box(left, low, left + wide, low + tall)


def _spans(piece: SidingPiece, low: float, high: float) -> list[tuple[float, float]]:
    """Find where a piece is whole all the way between two heights. [ticks]"""
    ring = shapes.outline(piece)
    spans = _across(ring, low, high)
    for hole in shapes.holes(piece):
        at = [u for v in _levels(hole, low, high) for u in _crossings(hole, v)]
        at += [u for u, v in hole if low <= v <= high]
        if not at:
            continue
        spans = [
            part
            for a, b in spans
            for part in ((a, min(b, min(at))), (max(a, max(at)), b))
            if part[0] < part[1]
        ]
    return spans


def _across(
    ring: Sequence[tuple[float, float]], low: float, high: float
) -> list[tuple[float, float]]:
    """Find where every upright line from one height to another lies inside a ring."""
    spans: list[tuple[float, float]] | None = None
    # Between its corners a ring is straight: what holds at both ends holds between.
    for level in _levels(ring, low, high):
        at = sorted(_crossings(ring, level))
        here = list(zip(at[::2], at[1::2], strict=False))
        if spans is None:
            spans = here
        else:
            spans = [
                (max(a, c), min(b, d))
                for a, b in spans
                for c, d in here
                if max(a, c) < min(b, d)
            ]
    return spans or []


def _levels(ring: Sequence[tuple[float, float]], low: float, high: float) -> list[float]:
    corners = {v + side for _, v in ring for side in (-_NEAR, _NEAR)}
    return sorted({low, high, *(v for v in corners if low < v < high)})


def _crossings(ring: Sequence[tuple[float, float]], level: float) -> list[float]:
    return [
        x1 + (x2 - x1) * (level - y1) / (y2 - y1)
        for (x1, y1), (x2, y2) in pairwise((*ring, ring[0]))
        if (y1 < level) != (y2 < level)
    ]


def _is_clear_of(ring: Sequence[tuple[float, float]], box: Box) -> bool:
    """Whether a box lies outside a ring altogether."""
    for level in _levels(ring, box.low, box.high):
        at = sorted(_crossings(ring, level))
        spans = zip(at[::2], at[1::2], strict=False)
        if any(a < box.right and box.left < b for a, b in spans):
            return False
    return True
