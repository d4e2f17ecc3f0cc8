"""Soffits cut into panels, and the channels, fascia and frieze that go with them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import isqrt
from typing import TYPE_CHECKING

from lapwright.errors import NoPlanError
from lapwright.job.material import TrimRole
from lapwright.job.soffit import PanelWay, Rip, SoffitEnd
from lapwright.measure import Rounding, Ticks, to_tape, write_length
from lapwright.takeoff.splice import splice

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.job import Job
    from lapwright.job.material import Trim
    from lapwright.job.soffit import Soffit
    from lapwright.measure import Unit

_Spot = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Panel:
    """One panel of a soffit."""

    x: Ticks
    """Left end, from the left end of the wall; below zero round a corner. [ticks]"""
    y: Ticks
    """End or edge nearest to the wall, from the wall. [ticks]"""
    width: Ticks
    """Ripped to this; the panel's face where it is whole. [ticks]"""
    length: Ticks
    """Cut to this, the box that covers it where it is mitred. [ticks]"""
    outline: tuple[tuple[Ticks, Ticks], ...]
    """Corners from the left end of the edge nearest to the wall, counter-clockwise;
    empty for a rectangle. [ticks]"""


@dataclass(frozen=True, slots=True)
class Edge:
    """A length of channel, fascia or frieze that a soffit asks for."""

    role: TrimRole
    place: str
    length: Ticks
    """To the tape. [ticks]"""


def lay_soffit(soffit: Soffit, job: Job) -> tuple[Panel, ...]:
    """Lay the panels of a soffit, from its left end, or from the wall row by row.

    Raises
    ------
    NoPlanError
        The soffit is deeper than a panel that lies across it is long.
    """
    trim = job.trim_for(TrimRole.SOFFIT)
    if trim is None or soffit.panels is PanelWay.NONE:
        return ()
    clear = soffit.clear(job.rules.soffit_gap)
    if soffit.panels is PanelWay.ALONG:
        return tuple(_along(soffit, clear, trim, job))
    panels = tuple(_across(soffit, clear, trim, job))
    longest = max((panel.length for panel in panels), default=0)
    if longest > trim.longest:
        raise NoPlanError(
            f"soffit {soffit.name}: panels of {write_length(longest, job.unit)} are longer than"
            f" every stock length (longest {write_length(trim.longest, job.unit)}); make two"
            " sections of it with a channel between, or lay its panels along"
        )
    return panels


def edges_of(soffit: Soffit, job: Job) -> tuple[Edge, ...]:
    """List channels, fascia and frieze of a soffit, whether or not the job has them."""
    rules, unit, name = job.rules, job.unit, soffit.name
    corners = soffit.corners()
    at_fascia = corners.fascia_right - corners.fascia_left
    found = []
    ends = (
        ("left", soffit.left, soffit.left_depth),
        ("right", soffit.right, soffit.right_depth),
    )
    bent = sum(end is SoffitEnd.OUTSIDE_CORNER for _, end, _ in ends)
    fascia = at_fascia + bent * rules.fascia_corner
    found.append(Edge(TrimRole.FASCIA, f"{name}, fascia", to_tape(fascia, unit, Rounding.UP)))
    at_wall = to_tape(soffit.length, unit, Rounding.DOWN)
    found.append(Edge(TrimRole.FRIEZE, f"{name}, under the soffit", at_wall))
    if soffit.panels is PanelWay.NONE:
        return tuple(found)
    if soffit.wall_channel.role is not None:
        found.append(Edge(soffit.wall_channel.role, f"{name}, at the wall", at_wall))
    if soffit.fascia_channel.role is not None:
        fitted = to_tape(at_fascia, unit, Rounding.DOWN)
        found.append(Edge(soffit.fascia_channel.role, f"{name}, at the fascia", fitted))
    for side, end, depth in ends:
        if end.is_corner:
            slant = isqrt(soffit.depth**2 + depth**2) - rules.soffit_gap
            fitted = to_tape(max(slant, 0), unit, Rounding.DOWN)
            found.append(Edge(TrimRole.J_CHANNEL, f"{name}, {side} mitre", fitted))
        elif end is SoffitEnd.J_CHANNEL:
            fitted = to_tape(soffit.depth, unit, Rounding.DOWN)
            found.append(Edge(TrimRole.J_CHANNEL, f"{name}, {side} end", fitted))
    return tuple(found)


def _strips(length: int, face: int, rip: Rip, job: Job) -> list[int]:
    """Divide a length into whole faces and what is left, to the tape. [ticks]"""
    unit = job.unit
    whole, rest = divmod(length, face)
    if rip is Rip.LAST:
        widths = [*[face] * whole, int(to_tape(rest, unit, Rounding.DOWN))]
    else:
        if whole and 0 < rest < 2 * job.rules.narrowest:
            whole, rest = whole - 1, rest + face
        first = int(to_tape(Fraction(rest, 2), unit, Rounding.DOWN))
        last = int(to_tape(rest - first, unit, Rounding.DOWN))
        widths = [first, *[face] * whole, last]
    return [width for width in widths if width > 0]


def _across(soffit: Soffit, clear: list[_Spot], trim: Trim, job: Job) -> Iterator[Panel]:
    unit = job.unit
    x = to_tape(min(u for u, _ in clear), unit, Rounding.UP)
    end = to_tape(max(u for u, _ in clear), unit, Rounding.DOWN)
    for width in _strips(end - x, trim.face, soffit.rip, job):
        inside = _between(clear, 0, x, x + width)
        if inside:
            y = to_tape(min(v for _, v in inside), unit, Rounding.UP)
            length = to_tape(max(v for _, v in inside) - y, unit, Rounding.DOWN)
            if length > 0:
                outline = _outline(inside, (x, y), (width, length), unit)
                yield Panel(x, y, Ticks(width), length, outline)
        x = Ticks(x + width)


def _along(soffit: Soffit, clear: list[_Spot], trim: Trim, job: Job) -> Iterator[Panel]:
    unit, rules = job.unit, job.rules
    y = rules.soffit_gap
    for width in _strips(soffit.depth - 2 * y, trim.face, soffit.rip, job):
        row = _between(clear, 1, y, y + width)
        x = to_tape(min(u for u, _ in row), unit, Rounding.UP)
        end = to_tape(max(u for u, _ in row), unit, Rounding.DOWN)
        for length in splice(Ticks(max(end - x, 0)), trim, unit):
            inside = _between(row, 0, x, x + length)
            if length > 0 and inside:
                outline = _outline(inside, (x, y), (length, width), unit)
                yield Panel(x, y, Ticks(width), length, outline)
            x = Ticks(x + length + trim.splice_gap - trim.splice_lap)
        y = Ticks(y + width)


def _between(spots: Sequence[_Spot], axis: int, low: int, high: int) -> list[_Spot]:
    """Keep the part of a convex polygon between two lines across an axis."""
    kept = list(spots)
    for limit, sign in ((low, 1), (high, -1)):
        before, kept = kept, []
        for a, b in zip(before, [*before[1:], *before[:1]], strict=True):
            from_a, from_b = sign * (a[axis] - limit), sign * (b[axis] - limit)
            if from_a >= 0:
                kept.append(a)
            if from_a * from_b < 0:
                share = from_a / (from_a - from_b)
                kept.append((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))
    return kept


def _outline(
    spots: Sequence[_Spot], corner: tuple[int, int], size: tuple[int, int], unit: Unit
) -> tuple[tuple[Ticks, Ticks], ...]:
    """Bring a polygon to the tape, from the corner of its box; empty for a rectangle."""

    def near(spot: _Spot, axis: int) -> Ticks:
        exact = spot[axis] - corner[axis]
        if exact >= size[axis]:
            return Ticks(size[axis])
        return Ticks(max(to_tape(exact, unit, Rounding.NEAREST), 0))

    points = [(near(spot, 0), near(spot, 1)) for spot in spots]
    kept: list[tuple[Ticks, Ticks]] = []
    for point in points:
        if point not in kept:
            kept.append(point)
    box = {(0, 0), (size[0], 0), (size[0], size[1]), (0, size[1])}
    if {(int(u), int(v)) for u, v in kept} >= box or len(kept) < 3:
        return ()
    first = min(range(len(kept)), key=lambda i: (kept[i][1], kept[i][0]))
    return tuple(kept[first:] + kept[:first])
