"""Soffits, recounted: panels by upright columns, and the trim that goes with them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import isqrt
from typing import TYPE_CHECKING

from lapwright.check.fault import fault
from lapwright.check.reading import show
from lapwright.job.material import TrimRole
from lapwright.job.soffit import PanelWay, Receiver, Rip, SoffitEnd
from lapwright.measure import Rounding, tape_step, to_tape, write_length

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from lapwright.check.claims import Claims
    from lapwright.check.reading import Group
    from lapwright.job.job import Job
    from lapwright.job.material import Trim
    from lapwright.job.soffit import Soffit
    from lapwright.measure import Unit

    Divide = Callable[[int, Trim], list[int]]

_RECEIVERS = {Receiver.F_CHANNEL: TrimRole.F_CHANNEL, Receiver.J_CHANNEL: TrimRole.J_CHANNEL}


@dataclass(frozen=True, slots=True)
class Panel:
    """A panel, as claimed or as wanted. [ticks]"""

    soffit: str
    x: int
    y: int
    width: int
    length: int
    corners: frozenset[tuple[int, int]]

    def words(self, unit: Unit) -> str:
        """Say where it is and what it measures."""
        texts = [write_length(self.width, unit), write_length(self.length, unit)]
        slant = f", corners {sorted(self.corners)}" if self.corners else ""
        return f"{' by '.join(texts)} at ({self.x}, {self.y}){slant}"


@dataclass(frozen=True, slots=True)
class Claimed:
    """A panel as claimed, with the label of the piece that it is cut as."""

    label: str
    panel: Panel
    text: str
    """Its width as the tape shows it."""


@dataclass(frozen=True, slots=True)
class _Side:
    """A side of the clear soffit: x = at + slope × y, inside of it where kept."""

    at: Fraction
    slope: Fraction
    is_left: bool

    def x(self, y: Fraction) -> Fraction:
        return self.at + self.slope * y

    def limits(self, x: Fraction) -> tuple[Fraction | None, Fraction | None]:
        """Give the lowest and the highest y that lie inside of this side at a place."""
        if not self.slope:
            return None, None
        y = (x - self.at) / self.slope
        return (None, y) if (self.slope > 0) is self.is_left else (y, None)


def read_soffits(top: Group) -> tuple[Claimed, ...]:
    """Read the panels that a record claims, none in a plan of before there were any."""
    if "soffits" not in top.data:
        return ()
    return tuple(
        Claimed(
            group.text("label"),
            Panel(
                group.text("soffit"),
                group.whole("x"),
                group.whole("y"),
                group.whole("width"),
                group.whole("length"),
                frozenset(_points(group)),
            ),
            group.text("width_text"),
        )
        for group in top.groups("soffits")
    )


def _points(group: Group) -> Iterator[tuple[int, int]]:
    for number, entry in enumerate(group.entries("outline"), start=1):
        pair = list(entry) if isinstance(entry, (list, tuple)) else []
        if len(pair) == 2 and all(type(value) is int for value in pair):
            yield int(pair[0]), int(pair[1])
        else:
            where = f"{group.place}, outline {number}"
            group.faults.append(fault(where, show(entry), "two lengths"))


def judge_soffits(
    panels: tuple[Claimed, ...], claims: Claims, job: Job, divide: Divide
) -> Iterator[str]:
    """Compare the panels with the soffits of the job, and with the pieces of trim.

    Parameters
    ----------
    divide
        Divides a length into pieces that can be bought. [ticks]
    """
    pieces = {p.label: p for p in claims.trim if p.role == TrimRole.SOFFIT.value}
    for label in sorted(set(pieces) - {panel.label for panel in panels}):
        yield fault(f"piece {label} (soffit)", "no panel", "a panel that hangs somewhere")
    seen: set[str] = set()
    for claimed in panels:
        where, panel = f"soffit panel {claimed.label}", claimed.panel
        piece = pieces.get(claimed.label)
        if piece is None or claimed.label in seen:
            yield fault(where, "no piece of its own", "one piece of trim")
        elif (piece.wall, piece.length) != (panel.soffit, panel.length):
            found = f"a piece of {piece.wall}, {write_length(piece.length, job.unit)}"
            yield fault(where, found, f"one of {panel.soffit}, {panel.words(job.unit)}")
        seen.add(claimed.label)
        text = write_length(panel.width, job.unit)
        if claimed.text != text:
            yield fault(f"{where}, width_text", claimed.text, text)
    for soffit in job.soffits:
        have = [claimed.panel for claimed in panels if claimed.panel.soffit == soffit.mark]
        want = list(_wanted(soffit, job, divide))
        if len(have) != len(want):
            yield fault(f"soffit {soffit.mark}", f"{len(have)} panels", f"{len(want)}")
        for number, (one, other) in enumerate(zip(have, want, strict=False), start=1):
            if one != other:
                where = f"soffit {soffit.mark}, panel {number}"
                yield fault(where, one.words(job.unit), other.words(job.unit))
        across = soffit.panels is PanelWay.ACROSS
        told = any(soffit.name in line and "span" in line for line in claims.findings)
        if across and any(p.length > job.rules.soffit_span for p in have) and not told:
            wanted = "one that its panels span too far"
            yield fault(f"soffit {soffit.mark}", "no finding", wanted)
    marks = {soffit.mark for soffit in job.soffits}
    for claimed in panels:
        if claimed.panel.soffit not in marks:
            yield fault(f"soffit panel {claimed.label}", claimed.panel.soffit, "a soffit")


def edges_of_soffits(job: Job) -> Iterator[tuple[TrimRole, str, int]]:
    """Give all other trim of soffits: role, mark, length on the tape. [ticks]"""
    unit, rules = job.unit, job.rules
    for soffit in job.soffits:
        fascia = bent = int(soffit.length)
        for end, meets in (
            (soffit.left, soffit.left_depth),
            (soffit.right, soffit.right_depth),
        ):
            if end is SoffitEnd.OUTSIDE_CORNER:
                fascia, bent = fascia + meets, bent + meets + rules.fascia_corner
            if end is SoffitEnd.INSIDE_CORNER:
                fascia, bent = fascia - meets, bent - meets
            length = soffit.depth if end is SoffitEnd.J_CHANNEL else 0
            if end in (SoffitEnd.OUTSIDE_CORNER, SoffitEnd.INSIDE_CORNER):
                slant = isqrt(meets * meets + soffit.depth * soffit.depth)
                length = slant - rules.soffit_gap
            if length > 0 and soffit.panels is not PanelWay.NONE:
                fit = to_tape(length, unit, Rounding.DOWN)
                yield TrimRole.J_CHANNEL, soffit.mark, fit
        yield TrimRole.FASCIA, soffit.mark, to_tape(bent, unit, Rounding.UP)
        yield TrimRole.FRIEZE, soffit.mark, to_tape(soffit.length, unit, Rounding.DOWN)
        if soffit.panels is PanelWay.NONE:
            continue
        for receiver, long in (
            (soffit.wall_channel, soffit.length),
            (soffit.fascia_channel, fascia),
        ):
            if receiver in _RECEIVERS:
                fit = to_tape(long, unit, Rounding.DOWN)
                yield _RECEIVERS[receiver], soffit.mark, fit


def _wanted(soffit: Soffit, job: Job, divide: Divide) -> Iterator[Panel]:
    trim = job.trim_for(TrimRole.SOFFIT)
    if trim is None or soffit.panels is PanelWay.NONE:
        return
    unit, gap = job.unit, job.rules.soffit_gap
    sides = _sides(soffit, gap)
    foot, head = Fraction(gap), Fraction(soffit.depth - gap)
    if soffit.panels is PanelWay.ACROSS:
        left, right = _reach(sides, foot, head)
        a = _up(left, unit)
        for width in _widths(_down(right, unit) - a, trim.face, soffit.rip, job):
            spots = _columns(sides, (a, a + width), (foot, head))
            if spots:
                y = _up(min(v for _, v in spots), unit)
                length = _down(max(v for _, v in spots) - y, unit)
                if length > 0:
                    corners = _corners(spots, (a, y), (width, length), unit)
                    yield Panel(soffit.mark, a, y, width, length, corners)
            a += width
        return
    c = int(gap)
    for width in _widths(soffit.depth - 2 * gap, trim.face, soffit.rip, job):
        low, high = Fraction(c), Fraction(c + width)
        left, right = _reach(sides, low, high)
        x = _up(left, unit)
        whole = {stock.length for stock in trim.stock}
        safe = Rounding.UP if trim.splice_lap else Rounding.DOWN
        for part in divide(max(_down(right - x, unit), 0), trim):
            length = part if part in whole else int(to_tape(part, unit, safe))
            spots = _columns(sides, (x, x + length), (low, high))
            if length > 0 and spots:
                corners = _corners(spots, (x, c), (length, width), unit)
                yield Panel(soffit.mark, x, c, width, length, corners)
            x += length + trim.splice_gap - trim.splice_lap
        c += width


def _sides(soffit: Soffit, gap: int) -> tuple[_Side, _Side]:
    """Give both ends of the clear soffit; a mitre leaves the gap along its panels."""
    sides = []
    for end, meets, wall, out in (
        (soffit.left, soffit.left_depth, 0, -1),
        (soffit.right, soffit.right_depth, int(soffit.length), 1),
    ):
        per = Fraction(meets, soffit.depth)
        if end is SoffitEnd.OUTSIDE_CORNER:
            # A panel that ends at the mitre with its wall end is moved out by the gap.
            sides.append(_Side(wall - out * per * gap, out * per, out < 0))
        elif end is SoffitEnd.INSIDE_CORNER:
            sides.append(_Side(wall - out * per * gap, -out * per, out < 0))
        else:
            sides.append(_Side(Fraction(wall - out * gap), Fraction(0), out < 0))
    return sides[0], sides[1]


def _reach(sides: tuple[_Side, _Side], low: Fraction, high: Fraction) -> tuple[Fraction, ...]:
    left, right = sides
    return min(left.x(low), left.x(high)), max(right.x(low), right.x(high))


def _widths(length: int, face: int, rip: Rip, job: Job) -> Iterator[int]:
    """Give whole faces, and before or after them what is left. [ticks]"""
    unit, count = job.unit, length // face
    left_over = length - count * face
    if rip is Rip.BOTH_ENDS and count and left_over:
        # Half a rest that would be reported as narrow takes half a panel more.
        halves = Fraction(left_over, 2) >= job.rules.narrowest
        count, left_over = (count, left_over) if halves else (count - 1, left_over + face)
    before = _down(Fraction(left_over, 2), unit) if rip is Rip.BOTH_ENDS else 0
    after = _down(Fraction(left_over - before), unit)
    if before:
        yield before
    for _ in range(count):
        yield face
    if after:
        yield after


def _columns(
    sides: tuple[_Side, _Side], across: tuple[int, int], out: tuple[Fraction, Fraction]
) -> set[tuple[Fraction, Fraction]]:
    """Find the corners of what is clear in a box, column by column."""
    low, high = out
    left, right = _reach(sides, low, high)
    first, last = max(Fraction(across[0]), left), min(Fraction(across[1]), right)
    places = sorted(
        {first, last}
        | {x for s in sides for x in (s.x(low), s.x(high)) if first < x < last and s.slope}
    )
    if first > last:
        return set()
    lower, upper = [], []
    for x in places:
        limits = [side.limits(x) for side in sides]
        bottom = max([low, *(a for a, _ in limits if a is not None)])
        top = min([high, *(b for _, b in limits if b is not None)])
        if bottom <= top:
            lower.append((x, bottom))
            upper.append((x, top))
    return {*_bends(lower), *_bends(upper)}


def _bends(chain: list[tuple[Fraction, Fraction]]) -> Iterator[tuple[Fraction, Fraction]]:
    """Leave out the points that lie straight between their neighbours."""
    for i, (x, y) in enumerate(chain):
        if 0 < i < len(chain) - 1:
            (ax, ay), (bx, by) = chain[i - 1], chain[i + 1]
            if (y - ay) * (bx - ax) == (by - ay) * (x - ax):
                continue
        yield x, y


def _corners(
    spots: set[tuple[Fraction, Fraction]],
    corner: tuple[int, int],
    size: tuple[int, int],
    unit: Unit,
) -> frozenset[tuple[int, int]]:
    """Bring corners to the nearest mark inside a box; none for the box itself."""
    step = tape_step(unit)
    found = set()
    for spot in spots:
        point = []
        for axis in (0, 1):
            away = spot[axis] - corner[axis]
            marks = (2 * away + step).__floor__() // (2 * step)
            point.append(size[axis] if away >= size[axis] else max(marks * step, 0))
        found.add((point[0], point[1]))
    box = {(0, 0), (size[0], 0), size, (0, size[1])}
    return frozenset() if found >= box or len(found) < 3 else frozenset(found)


def _up(length: Fraction, unit: Unit) -> int:
    return int(to_tape(length, unit, Rounding.UP))


def _down(length: Fraction, unit: Unit) -> int:
    return int(to_tape(length, unit, Rounding.DOWN))
