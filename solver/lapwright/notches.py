"""Notches of a piece: from what must be cut out to marks that the tape can show.

Every mark is rounded so that material is taken rather than left.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.measure import Rounding, Ticks, round_ticks, tape_step, to_tape
from lapwright.plan import NotchEdge, PieceNotch
from lapwright.takeoff.cutout import Box, cutouts, is_bent, told_by

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.measure import Unit
    from lapwright.takeoff.cutout import Corner, Cutout
    from lapwright.takeoff.run import Run, RunNotch
    from lapwright.takeoff.slab import Number

_NO_BEND = 8
"""A bend of less than such a part of a mark is none."""

Spot = tuple[int, int]
"""A mark from a piece's left end, and one up from its butt edge. [ticks]"""


def notches_of(
    run: Run, x: int, length: int, height: int, unit: Unit
) -> tuple[PieceNotch, ...]:
    """Find the notches of a piece.

    Parameters
    ----------
    run
        The run that it is a part of.
    x, length, height
        Where it begins on the wall, and how large it is cut. [ticks]
    unit
        Of the tape.
    """
    end = x + length
    highest = run.height(x, end)
    butt = run.course.butt
    simple = [
        notch
        for notch in run.notches
        if notch.left < end
        and x < notch.right
        # Under such an eave the whole piece is ripped.
        and not (notch.opening == "eave" and notch.below == highest)
    ]
    boxes = [
        Box(
            max(notch.left, x),
            min(notch.right, end),
            butt if notch.below is None else butt + notch.below,
            butt + (highest if notch.above is None else notch.above),
        )
        for notch in simple
    ]
    if told_by(run, x, end, butt + highest, boxes):
        return tuple(_simple(notch, x, length, unit) for notch in simple)
    frame = _Frame(run, x, length, height, tape_step(unit))
    found = cutouts(run, x, end, butt + highest, frame.step // _NO_BEND)
    made = (frame.notch(cut, butt + highest) for cut in found)
    return tuple(notch for notch in made if notch is not None)


def _simple(notch: RunNotch, x: int, length: int, unit: Unit) -> PieceNotch:
    start = max(to_tape(notch.left - x, unit, Rounding.DOWN), Ticks(0))
    end = min(to_tape(notch.right - x, unit, Rounding.UP), Ticks(length))
    below = above = Ticks(0)
    if notch.below is not None:
        below = to_tape(notch.below, unit, Rounding.DOWN)
    if notch.above is not None:
        above = to_tape(notch.above, unit, Rounding.UP)
    if notch.above is None:
        return PieceNotch(notch.opening, NotchEdge.SILL, start, end, below, below, Ticks(0))
    if notch.below is None:
        return PieceNotch(notch.opening, NotchEdge.HEAD, start, end, above, above, Ticks(0))
    return PieceNotch(notch.opening, NotchEdge.HOLE, start, end, below, below, above)


@dataclass(frozen=True, slots=True)
class _Frame:
    """A piece on the wall, and the marks of its tape. [ticks]"""

    run: Run
    x: int
    length: int
    height: int
    step: int

    @property
    def butt(self) -> int:
        """Its butt edge, from the wall's bottom."""
        return self.run.course.butt

    def notch(self, cut: Cutout, top: Number) -> PieceNotch | None:
        """Turn a cutout into a notch; None where less than half a mark is to be cut."""
        wide = max(x for x, _ in cut.right) - min(x for x, _ in cut.left)
        if 2 * wide < self.step or 2 * (cut.high - cut.low) < self.step:
            return None
        name = self._name(cut, top)
        return self._plumb_sided(cut, top, name) or self._traced(cut, top, name)

    def _name(self, cut: Cutout, top: Number) -> str:
        """Name the openings, or the edge of the wall, that a cutout is for."""
        names = {o.removeprefix("opening ") for o in cut.owners if o.startswith("opening ")}
        left, right = min(x for x, _ in cut.left), max(x for x, _ in cut.right)
        if not cut.owners and cut.high <= self.run.bottom:
            return "bottom"
        if not cut.owners:
            names = {
                b.opening.name
                for b in self.run.taken
                if b.left < right and left < b.right and b.low < cut.high and cut.low < b.high
            }
        if names:
            return " and ".join(
                b.opening.name for b in self.run.taken if b.opening.name in names
            )
        if "level" in cut.owners or not cut.owners:
            return "eave" if cut.high >= top else "roof"
        return "outline"

    def _plumb_sided(self, cut: Cutout, top: Number, name: str) -> PieceNotch | None:
        """Tell a cutout with plumb sides, open to one edge, by two cut heights."""
        corners = _unbent(
            list(dict.fromkeys([*cut.right, *reversed(cut.left)])), self.step // _NO_BEND
        )
        left, right = min(x for x, _ in corners), max(x for x, _ in corners)
        if len(corners) != 4 or any(x not in (left, right) for x, _ in corners):
            return None
        at_left = sorted(y for x, y in corners if x == left)
        at_right = sorted(y for x, y in corners if x == right)
        if len(at_left) != 2 or len(at_right) != 2:
            return None
        start = round_ticks(left - self.x, self.step, Rounding.DOWN)
        end = min(round_ticks(right - self.x, self.step, Rounding.UP), Ticks(self.length))
        opens = (at_left[0] == at_right[0] == self.butt, at_left[1] == at_right[1] == top)
        if opens == (False, False) and at_left == at_right:
            low = round_ticks(at_left[0] - self.butt, self.step, Rounding.DOWN)
            high = round_ticks(at_left[1] - self.butt, self.step, Rounding.UP)
            return PieceNotch(name, NotchEdge.HOLE, start, end, low, low, high)
        if opens not in ((False, True), (True, False)):
            return None
        is_sill = opens[1]
        edge, rounding = NotchEdge.HEAD, Rounding.UP
        side = 1
        if is_sill:
            edge, rounding, side = NotchEdge.SILL, Rounding.DOWN, 0
        first, last = at_left[side], at_right[side]
        slope = Fraction(last - first) / Fraction(right - left)
        # At the marks the cut lies on the line's safe side as well.
        beyond = [slope * (start + self.x - left), slope * (end + self.x - right)]
        heights = [
            self._up(
                y + (by if (by < 0) == is_sill and _NO_BEND * abs(by) >= self.step else 0),
                rounding,
            )
            for y, by in zip((first, last), beyond, strict=True)
        ]
        return PieceNotch(name, edge, start, end, heights[0], heights[1], Ticks(0))

    def _up(self, y: Number, rounding: Rounding) -> Ticks:
        """Round a height to a mark up from the butt edge, on the piece. [ticks]"""
        mark = round_ticks(y - self.butt, self.step, rounding)
        return Ticks(min(max(mark, 0), self.height))

    def _traced(self, cut: Cutout, top: Number, name: str) -> PieceNotch | None:
        """Tell any other cutout by the marks round it."""
        marks = self._outward(cut)
        if len(marks) < 3:
            return None
        us, vs = [u for u, _ in marks], [v for _, v in marks]
        low, high = Ticks(min(vs)), Ticks(max(vs))
        edge = NotchEdge.HOLE
        if min(us) == 0 or max(us) == self.length:
            edge = NotchEdge.END
        elif high >= self.height and cut.high >= top:
            edge = NotchEdge.SILL
        elif low <= 0:
            edge = NotchEdge.HEAD
        depth, upper = (high, Ticks(0)) if edge is NotchEdge.HEAD else (low, Ticks(0))
        if edge in (NotchEdge.HOLE, NotchEdge.END):
            upper = high
        points = tuple((Ticks(u), Ticks(v)) for u, v in marks)
        ends = Ticks(min(us)), Ticks(max(us))
        return PieceNotch(name, edge, *ends, depth, depth, upper, points)

    def _outward(self, cut: Cutout) -> list[Spot]:
        """Round a cutout to the tape, away from its inside; counter-clockwise."""
        turned = [(-x, y) for x, y in cut.right]
        left = self._side(cut.left, self.x)
        right = [(-u, v) for u, v in self._side(turned, -self.x)]
        spots = [
            (min(max(u, 0), self.length), min(max(v, 0), self.height))
            for u, v in (left[0], *right, *reversed(left[1:]))
        ]
        return _plain(spots)

    def _side(self, chain: Sequence[Corner], origin: int) -> list[Spot]:
        """Round a left side outward, from the bottom up, from an origin. [ticks]"""
        down = [round_ticks(x - origin, self.step, Rounding.DOWN) for x, _ in chain]
        floor = [round_ticks(y - self.butt, self.step, Rounding.DOWN) for _, y in chain]
        ceil = [round_ticks(y - self.butt, self.step, Rounding.UP) for _, y in chain]
        spots: list[Spot] = [(down[0], floor[0])]
        last = len(chain) - 1
        # A side that leans to the right has its outside above it.
        leans = [b[0] > a[0] for a, b in pairwise(chain)]
        for i in range(last):
            low, high = (ceil, ceil) if leans[i] else (floor, floor)
            if chain[i][0] == chain[i + 1][0]:
                low, high = floor, ceil
            if i and leans[i - 1] and not leans[i]:
                # A dent: both sides must pass it on the outside.
                spots[-1] = self._dent(spots, chain[i], origin)
            else:
                spots.append((down[i], low[i]))
            spots.append((down[i + 1], high[i + 1]))
        spots.append((down[last], ceil[last]))
        return spots

    def _dent(self, spots: Sequence[Spot], corner: Corner, origin: int) -> Spot:
        """Find a mark near a dent so that the side up to it passes on its left. [ticks]"""
        x, y = corner[0] - origin, corner[1] - self.butt
        before = spots[-2]
        u = round_ticks(x, self.step, Rounding.DOWN)
        is_level = before[1] == spots[-1][1]
        v = round_ticks(y, self.step, Rounding.UP if is_level else Rounding.NEAREST)
        for aside in (u, Ticks(u - self.step)):
            turn = (aside - before[0]) * (y - before[1]) - (v - before[1]) * (x - before[0])
            if turn <= 0 or v <= before[1]:
                return aside, v
        # A side that leans but little would have to be moved far; it is raised instead.
        return u, round_ticks(y, self.step, Rounding.UP)


def _unbent(corners: list[Corner], least: int) -> list[Corner]:
    """Leave out corners that bend an edge by less than a length. [ticks]"""
    kept = list(corners)
    for corner in corners:
        i = kept.index(corner)
        after = kept[(i + 1) % len(kept)]
        if len(kept) > 4 and not is_bent(kept[i - 1], corner, after, least):
            del kept[i]
    return kept


def _plain(spots: Sequence[Spot]) -> list[Spot]:
    """Leave out repeated marks and those on a straight line."""
    kept: list[Spot] = []
    for spot in _round(spots):
        while len(kept) > 1 and _is_straight(kept[-2], kept[-1], spot):
            kept.pop()
        if not kept or kept[-1] != spot:
            kept.append(spot)
    while len(kept) > 2 and _is_straight(kept[-2], kept[-1], kept[0]):
        kept.pop()
    while len(kept) > 2 and _is_straight(kept[-1], kept[0], kept[1]):
        kept.pop(0)
    return kept


def _round(spots: Sequence[Spot]) -> Iterator[Spot]:
    for spot, before in zip(spots, [spots[-1], *spots], strict=False):
        if spot != before:
            yield spot


def _is_straight(a: Spot, b: Spot, c: Spot) -> bool:
    return (b[0] - a[0]) * (c[1] - a[1]) == (c[0] - a[0]) * (b[1] - a[1])
