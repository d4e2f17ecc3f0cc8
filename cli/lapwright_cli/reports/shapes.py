"""The shape of a siding piece as it is drawn, and its work in words.

A shape lies in the piece's own plane: u runs from its left end to the right, v from
the butt edge upwards. [ticks]
"""

from __future__ import annotations

from itertools import pairwise
from math import atan2, degrees
from typing import TYPE_CHECKING, NamedTuple

from lapwright.job.material import Family, TrimRole
from lapwright.measure import INCH, MILLIMETRE, Rounding, round_ticks, tape_step
from lapwright.plan import EndCut, NotchEdge
from lapwright_cli.reports.endcuts import FEW_POINTS, has_table, with_joined_ends
from lapwright_cli.reports.writing import on_tape, plain

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.measure import Unit
    from lapwright.plan import PieceEnd, PieceNotch, Plan, SidingPiece


FOOT = ("bottom", "step")
"""What a notch along the foot of the wall is cut for: its bottom, or a step of it."""
_NEAR_PITCH = 4.0
"""A cut that differs from a slope of its wall by less than this is along it. [°]"""
_FROM_TOP = (NotchEdge.SILL, NotchEdge.HOLE)
"""Notches under whose lower edge siding stands."""
POINT = INCH // 8
"""An edge no longer than this is called a point. [ticks]"""


class Spot(NamedTuple):
    """A point of a piece. [ticks]"""

    u: int
    v: int


def outline(piece: SidingPiece) -> tuple[Spot, ...]:
    """Give the edge of a piece, counter-clockwise from the left end of its butt edge.

    Notches that are open to an edge are cut out; holes and what is traced from point to
    point are not, see `holes`.
    """
    left = _side(piece.left, piece.height)
    right = _side(piece.right, piece.height)
    boxes = sorted((n for n in piece.notches if not n.points), key=lambda n: n.start)
    top = [n for n in boxes if n.edge is NotchEdge.SILL]
    foot = [n for n in boxes if n.edge is NotchEdge.HEAD]
    foot_spots, foot_left, foot_right = _edge(foot, 0, left[0][1], piece.length - right[0][1])
    top_spots, top_left, top_right = _edge(
        top, piece.height, left[-1][1], piece.length - right[-1][1]
    )
    right_side = _between(right, foot_right, top_right)
    (lowest, inset), *upwards = _between(left, foot_left, top_left)
    return _without_repeats(
        [
            Spot(inset, lowest),
            *foot_spots,
            *(Spot(piece.length - out, v) for v, out in right_side),
            *reversed(top_spots),
            *(Spot(out, v) for v, out in reversed(upwards)),
        ]
    )


def holes(piece: SidingPiece) -> tuple[tuple[Spot, ...], ...]:
    """Give the edges of the holes inside a piece, and of all that is traced."""
    return tuple(
        tuple(Spot(u, v) for u, v in n.points)
        if n.points
        else (
            Spot(n.start, n.cut_left),
            Spot(n.end, n.cut_right),
            Spot(n.end, n.upper),
            Spot(n.start, n.upper),
        )
        for n in piece.notches
        if n.points or n.edge is NotchEdge.HOLE
    )


def traces(piece: SidingPiece, notch: PieceNotch) -> tuple[tuple[Spot, ...], ...]:
    """Give the lines along which a notch is traced, each from its left end.

    What lies along an edge of the piece is not cut.
    """
    ring = [Spot(u, v) for u, v in notch.points]
    lines: list[list[Spot]] = []
    for a, b in zip(ring, (*ring[1:], *ring[:1]), strict=True):
        along_end = a.u == b.u and a.u in (0, piece.length)
        along_edge = a.v == b.v and a.v in (0, piece.height)
        if along_end or along_edge:
            continue
        if lines and lines[-1][-1] == a:
            lines[-1].append(b)
        else:
            lines.append([a, b])
    if len(lines) > 1 and lines[-1][-1] == lines[0][0]:
        lines[0] = lines.pop()[:-1] + lines[0]
    return tuple(
        tuple(line if line[0].u <= line[-1].u else reversed(line)) for line in sorted(lines)
    )


def has_work(piece: SidingPiece) -> bool:
    """Whether a piece needs more than square cuts to length."""
    return piece.ripped or needs_sketch(piece)


def needs_sketch(piece: SidingPiece) -> bool:
    """Whether a piece is cut otherwise than square, or ripped along its whole top."""
    return bool(piece.left.profile or piece.right.profile or piece.notches)


def is_sloped(piece: SidingPiece) -> bool:
    """Whether an end of a piece is cut along a slope."""
    return bool(piece.left.profile or piece.right.profile)


def end_words(end: PieceEnd) -> str:
    """Name an end of a piece for the saw operator."""
    if end.profile and end.cut is not EndCut.RAKED:
        name = "FACTORY" if end.cut is EndCut.FACTORY else "square"
        return f"{name} with a slope"
    return {
        EndCut.FACTORY: "FACTORY",
        EndCut.SQUARE: "square",
        EndCut.RAKED: "raked",
    }[end.cut]


def work_words(piece: SidingPiece, plan: Plan) -> tuple[str, ...]:
    """Say what is cut out of a piece, one text for each notch, raked end and rip.

    The names of openings are left out, so that alike pieces have alike words.  The marks
    of an end with many bends are left to a table.
    """
    unit, lapped = plan.job.unit, plan.siding_of(piece).family is Family.LAPPED
    told = with_joined_ends(piece, tape_step(unit))
    words = [*shape_words(told, plan, is_tabled=True), *_edge_words(told, plan)]
    if lapped and (count := crimps(piece, plan)):
        is_foot = any(n.opening in FOOT for n in piece.notches)
        where = "cut edges" if is_foot else "cut top edges"
        many = "1 crimp" if count == 1 else f"{count} crimps"
        apart = on_tape(crimp_spacing(plan), unit)
        words.append(f"Crimp {where} every {apart}: {many}, tabs facing out.")
    words.extend(weak_words(told, unit))
    return tuple(words)


def shape_words(piece: SidingPiece, plan: Plan, *, is_tabled: bool = False) -> tuple[str, ...]:
    """Say how a piece differs from a rectangle, one text for each notch, end and rip.

    Parameters
    ----------
    piece
        The piece.
    plan
        Gives the unit and the slopes of its wall.
    is_tabled
        Whether the marks of ends with many bends stand in a table beside the words.
    """
    unit, words = plan.job.unit, []
    if piece.ripped:
        words.append(
            f"Rip the top edge along the whole piece: keep {on_tape(piece.height, unit)} from"
            " the butt edge."
        )
    words.extend(_slope_words(piece, plan, is_tabled=is_tabled))
    for notch in piece.notches:
        is_whole = notch.start <= 0 and notch.end >= piece.length
        words.append(notch_words(notch, unit, is_whole=is_whole))
    return tuple(words)


def crimp_spacing(plan: Plan) -> int:
    """Give the spacing of snap locks, on a metric tape in whole centimetres. [ticks]"""
    spacing = plan.job.rules.crimp_spacing
    if plan.job.unit.is_metric:
        spacing = round_ticks(spacing, 10 * MILLIMETRE, Rounding.DOWN)
    return max(int(spacing), 1)


def crimps(piece: SidingPiece, plan: Plan) -> int:
    """Count the snap locks along the cut edges of a piece that trim must hold."""
    lengths = [
        notch.end - notch.start
        for notch in piece.notches
        if notch.edge is not NotchEdge.HEAD or notch.opening in FOOT
    ]
    whole = [int(piece.length)] if piece.ripped else []
    return sum(_crimps_along(length, plan) for length in [*whole, *lengths])


def _crimps_along(length: int, plan: Plan) -> int:
    """Count snap locks along an edge: the first half a spacing in, at least one."""
    spacing = crimp_spacing(plan)
    return max(1, (length - spacing // 2) // spacing + 1)


def support_words(piece: SidingPiece, plan: Plan) -> tuple[str, ...]:
    """Say what holds the cut top edges of a lapped piece, and what must be furred out.

    References
    ----------
    Larry Haun, How to Build a House, Taunton Press: furring under the support trim where
    the cut takes off more than 1 in.
    """
    job = plan.job
    if plan.siding_of(piece).family is not Family.LAPPED:
        return ()
    exposure = plan.exposure_of(piece)
    kept = [n.cut_left for n in piece.notches if n.edge is not NotchEdge.HEAD]
    words = []
    if piece.ripped:
        kept.append(piece.height)
        if job.trim_for(TrimRole.SILL_CHANNEL):
            words.append("The ripped edge goes into the sill-support channel under the eave.")
    taken = max((exposure - height for height in kept), default=0)
    if taken > job.rules.furring:
        words.append(
            f"Fur out behind the support trim: the cut takes off {on_tape(taken, job.unit)}."
        )
    return tuple(words)


def _slope_words(piece: SidingPiece, plan: Plan, *, is_tabled: bool) -> list[str]:
    """Say how the ends of a piece slope, both at once where they are alike."""
    unit, left, right = plan.job.unit, piece.left, piece.right
    pitches = _pitches(piece.wall, plan)
    if left.profile and (left.cut, left.profile) == (right.cut, right.profile):
        sides = [("Both ends", left)]
    else:
        sides = [
            (name, end)
            for name, end in (("Left end", left), ("Right end", right))
            if end.profile
        ]
    return [
        f"{name} {end_words(end)}: {_end_line(end, unit, pitches, is_tabled=is_tabled)}."
        for name, end in sides
    ]


def _end_line(end: PieceEnd, unit: Unit, pitches: Sequence[float], *, is_tabled: bool) -> str:
    """Say how an end runs, or that a table does and how steep its last slope is."""
    if not is_tabled or not has_table(end):
        return rake_words(end, unit, pitches)
    words = "one cut along straight lines through the marks in the table"
    slopes = [a for low, high in pairwise(end.profile) if (a := _angle(low, high, pitches))]
    if slopes:
        words += f"; its slope is {_angles(slopes[-1])}"
    return words


def goes_on(piece: SidingPiece, plan: Plan) -> tuple[bool, bool]:
    """Whether the slope of its left and of its right end goes on above the face line.

    A plank is higher than its face, by what the course above laps over it; how much is
    not known here.  Panels show where their face ends.
    """
    if plan.siding_of(piece).family is Family.LAPPED or piece.ripped:
        return False, False
    if piece.height < plan.exposure_of(piece) or edges(piece)[1] <= POINT:
        return False, False
    spots = outline(piece)
    left, right = (
        len(end.profile) > 1
        and end.profile[-1][0] > piece.height - tape_step(plan.job.unit)
        and end.profile[-1][1] > end.profile[-2][1]
        and Spot(corner, piece.height) in spots
        for end, corner in zip((piece.left, piece.right), face_line(piece), strict=True)
    )
    return left, right


def face_mark(piece: SidingPiece) -> int:
    """Give the height of the upper mark of its slope, on its face line. [ticks]"""
    return min(int(e.profile[-1][0]) for e in (piece.left, piece.right) if e.profile)


def face_line(piece: SidingPiece) -> tuple[int, int]:
    """Give where the ends of a piece meet its top line, from its left end. [ticks]"""
    height = piece.height
    left, right = (_inset(_side(end, height), height) for end in (piece.left, piece.right))
    return left, piece.length - right


def _edge_words(piece: SidingPiece, plan: Plan) -> tuple[str, ...]:
    """Say how long its sloping ends leave the two edges of a piece, or that none is left."""
    unit = plan.job.unit
    if not is_sloped(piece):
        return ()
    foot, top = edges(piece)
    foot_words = "comes to a point" if foot <= POINT else on_tape(foot, unit)
    if top <= POINT:
        return (f"Butt edge {foot_words}; comes to a point at the top.",)
    if plan.siding_of(piece).family is Family.LAPPED:
        return (f"Butt edge {foot_words}; along the top line {on_tape(top, unit)}.",)
    words = f"Butt edge {foot_words}; along the face line {on_tape(top, unit)}."
    if any(goes_on(piece, plan)):
        return (
            words,
            f"Slope: {on_tape(face_mark(piece), unit)} up is the face line, not the plank's"
            " top edge. Mark it there, then go straight on through the top edge.",
        )
    return (words,)


def weak_words(piece: SidingPiece, unit: Unit) -> tuple[str, ...]:
    """Warn of what breaks off easily: narrow strips at notches, and points."""
    least = 50 * MILLIMETRE if unit.is_metric else 2 * INCH
    words = []
    left, right = _side(piece.left, piece.height), _side(piece.right, piece.height)
    for edge in (NotchEdge.SILL, NotchEdge.HEAD):
        notches = sorted(
            (n for n in piece.notches if n.edge is edge and not n.points),
            key=lambda n: n.start,
        )
        if not notches:
            continue
        first, last = notches[0], notches[-1]
        low, high = (
            (_inset(left, first.cut_left), _inset(right, last.cut_right))
            if edge is NotchEdge.SILL
            else (left[0][1], right[0][1])
        )
        strips = [(first.start - low, "at the left end")]
        strips += [(b.start - a.end, "between two notches") for a, b in pairwise(notches)]
        strips.append((piece.length - high - last.end, "at the right end"))
        words += [
            f"Weak: narrow strip {on_tape(wide, unit)} wide {place}."
            for wide, place in strips
            if 0 < wide < least
        ]
    lows = [min(n.cut_left, n.cut_right) for n in piece.notches if n.edge in _FROM_TOP]
    if lows and min(lows) < least:
        is_rip = any(
            n.edge is NotchEdge.SILL and n.start <= 0 and n.end >= piece.length
            for n in piece.notches
        )
        cut = "rip" if is_rip else "notch"
        words.append(f"Weak: only {on_tape(min(lows), unit)} left below the {cut}.")
    if is_sloped(piece) and min(edges(piece)) <= POINT:
        words.append("Weak: comes to a point.")
    return tuple(words)


def _pitches(mark: str, plan: Plan) -> tuple[float, ...]:
    """Find the slopes of a wall's outline, each once. [° from level]"""
    outline = next((wall.outline for wall in plan.job.walls if wall.mark == mark), ())
    sides = zip(outline, (*outline[1:], *outline[:1]), strict=True)
    return tuple(
        {degrees(atan2(abs(b.y - a.y), abs(b.x - a.x))) for a, b in sides} - {0.0, 90.0}
    )


def edges(piece: SidingPiece) -> tuple[int, int]:
    """Give the length of a piece along its butt edge and along its top. [ticks]"""
    left, right = _side(piece.left, piece.height), _side(piece.right, piece.height)
    return (
        piece.length - left[0][1] - right[0][1],
        piece.length - left[-1][1] - right[-1][1],
    )


def rake_words(end: PieceEnd, unit: Unit, pitches: Sequence[float] = ()) -> str:
    """Say how a raked end runs, from the butt edge up.

    Parameters
    ----------
    end
        An end with a profile.
    unit
        The unit of the job.
    pitches
        The slopes of the wall; a cut along one of them is told with its angle, since
        whole marks of the tape would give every piece another. [° from level]
    """
    words = []
    for (low, out), (high, inside) in pairwise(end.profile):
        rise, run = high - low, inside - out
        if not run:
            begin = f"from {on_tape(low, unit)} " if low else ""
            words.append(f"square {begin}up to {on_tape(high, unit)}")
            continue
        way = "inward" if run > 0 else "outward"
        if not rise:
            words.append(f"level {on_tape(abs(run), unit)} {way}")
            continue
        angle = _angle((low, out), (high, inside), pitches)
        words.append(
            f"rise {on_tape(rise, unit)}, run {on_tape(abs(run), unit)} {way}"
            f" ({_angles(angle)})"
        )
    return ", then ".join(words) or "see the wall"


def _angle(lower: tuple[int, int], upper: tuple[int, int], pitches: Sequence[float]) -> float:
    """Give the slope between two points of an end, 0 where level or plumb. [° from level]"""
    rise, run = upper[0] - lower[0], abs(upper[1] - lower[1])
    if not rise or not run:
        return 0.0
    angle = degrees(atan2(rise, run))
    nominal = min(pitches, key=lambda pitch: abs(pitch - angle), default=angle)
    return nominal if abs(nominal - angle) < _NEAR_PITCH else angle


def _angles(angle: float) -> str:
    half = round(2 * angle) / 2
    return f"{90 - half:g}° from square, {half:g}° from the butt edge"


def notch_words(notch: PieceNotch, unit: Unit, *, is_whole: bool = False) -> str:
    """Say where a notch is cut, every mark from the left end or up from the butt edge.

    Parameters
    ----------
    notch
        The notch.
    unit
        The unit of the job.
    is_whole
        Whether it goes along the whole piece.
    """
    if notch.points:
        return _traced_words(notch, unit)
    across = _across(notch, unit)
    left, right = on_tape(notch.cut_left, unit), on_tape(notch.cut_right, unit)
    height = left if left == right else f"{left} at its left and {right} at its right"
    is_rip = is_whole and notch.edge is not NotchEdge.HOLE
    if is_rip and notch.edge is NotchEdge.SILL:
        kept = left if left == right else f"{left} at its left and {right} at its right end"
        return f"Rip the top edge along the whole piece: keep {kept} from the butt edge."
    if notch.edge is NotchEdge.SILL:
        return f"Notch from the top, {across}: cut height {height} up from the butt edge."
    if notch.opening in FOOT or is_rip:
        part = " along the whole piece" if is_whole else f" {across}"
        return f"Rip the bottom edge{part}: cut off {height} up from the butt edge."
    if notch.edge is NotchEdge.HEAD:
        return f"Notch from the butt edge, {across}: cut height {height} up from the butt edge."
    return (
        f"Hole, {across}: from {height} up to {on_tape(notch.upper, unit)} above the butt edge."
    )


def _across(notch: PieceNotch, unit: Unit) -> str:
    """Say how wide a notch is and between which marks."""
    wide = on_tape(notch.end - notch.start, unit)
    start, end = on_tape(notch.start, unit), on_tape(notch.end, unit)
    return f"{wide} wide, {start} to {end} from the left end"


def _traced_words(notch: PieceNotch, unit: Unit) -> str:
    """Say where a notch is traced from point to point."""
    across = _across(notch, unit)
    kind = {
        NotchEdge.SILL: f"Notch from the top, {across}",
        NotchEdge.HEAD: f"Notch from the butt edge, {across}",
        NotchEdge.HOLE: f"Hole, {across}",
        NotchEdge.END: f"End cut, {across}",
    }[notch.edge]
    curved = len(notch.points) > FEW_POINTS
    how = (
        "trace the curve or use a template, checked by" if curved else "straight lines through"
    )
    return f"{kind}: {how} the marks in the table, heights up from the butt edge."


def notch_names(piece: SidingPiece) -> tuple[str, ...]:
    """Name what the notches of a piece are cut for, each once."""
    return tuple(dict.fromkeys(plain(notch.opening) for notch in piece.notches))


def _side(end: PieceEnd, height: int) -> list[tuple[int, int]]:
    """Give the (height, inset) points of an end, from the butt edge to the top."""
    if not end.profile:
        return [(0, 0), (height, 0)]
    points = [(int(v), int(inset)) for v, inset in end.profile]
    if points[0][0] > 0:
        points.insert(0, (0, points[0][1]))
    if points[-1][0] < height:
        points.append((height, points[-1][1]))
    return points


def _edge(
    notches: list[PieceNotch], level: int, first: int, last: int
) -> tuple[list[Spot], int, int]:
    """Run along the top or butt edge from left to right and step into its notches.

    Returns
    -------
    spots : list of Spot
        The edge, without the corners that a notch takes off.
    at_left, at_right : int
        The heights at which the edge meets the ends of the piece. [ticks]
    """
    spots: list[Spot] = []
    at_left = at_right = level
    for notch in notches:
        if notch.start > first:
            spots.append(Spot(notch.start, level))
        else:
            at_left = notch.cut_left
        spots += [Spot(notch.start, notch.cut_left), Spot(notch.end, notch.cut_right)]
        if notch.end < last:
            spots.append(Spot(notch.end, level))
        else:
            at_right = notch.cut_right
    return spots, at_left, at_right


def _between(side: list[tuple[int, int]], low: int, high: int) -> list[tuple[int, int]]:
    """Cut the points of an end down to the heights that its notches leave."""
    inner = [point for point in side if low < point[0] < high]
    return [(low, _inset(side, low)), *inner, (high, _inset(side, high))]


def _inset(side: list[tuple[int, int]], v: int) -> int:
    for (low, out), (high, inside) in pairwise(side):
        if low <= v <= high and high > low:
            return out + (inside - out) * (v - low) // (high - low)
    return side[-1][1]


def _without_repeats(spots: list[Spot]) -> tuple[Spot, ...]:
    kept = [spot for spot, before in zip(spots, [None, *spots], strict=False) if spot != before]
    return tuple(kept)
