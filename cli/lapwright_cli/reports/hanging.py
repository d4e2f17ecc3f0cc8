"""What the crew does on a wall, in its order, and which pieces want punch and support."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.job.material import Family, TrimRole
from lapwright.plan import NotchEdge
from lapwright_cli.reports.shapes import FOOT, crimp_spacing
from lapwright_cli.reports.writing import on_tape, on_wall, plain, role_amid

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from lapwright.job.wall import Wall
    from lapwright.measure import Unit
    from lapwright.plan import Plan, SidingPiece


def hanging_notes(wall: Wall, plan: Plan) -> tuple[str, ...]:
    """Say in which order a wall is hung, one text a step, then what each cut edge needs."""
    pieces = [piece for piece in plan.siding if piece.wall == wall.mark]
    # A band between zones comes when the siding below it is up.
    roles = dict.fromkeys(
        piece.role
        for piece in plan.trim
        if piece.wall == wall.mark and piece.role != TrimRole.BELLY_BAND
    )
    notes = []
    if roles:
        names = ", ".join(role_amid(role) for role in roles)
        notes.append(f"Before the first course: trim of this wall ({names}).")
    if pieces:
        notes += _order_notes(wall, pieces, plan)
    cut = [piece for piece in pieces if _top_is_cut(piece)]
    lapped = [piece for piece in cut if plan.siding_of(piece).family is Family.LAPPED]
    butted = [piece for piece in cut if piece not in lapped]
    return (
        *notes,
        *_foot_notes(pieces, plan),
        *_joint_notes(wall, plan),
        *_band_notes(wall, plan),
        *_lapped_notes(lapped, plan),
        *_butted_notes(butted),
    )


def _foot_notes(pieces: Sequence[SidingPiece], plan: Plan) -> Iterator[str]:
    """Say what holds the pieces that lose their lower edge along the wall's bottom."""
    cut = [piece for piece in pieces if any(n.opening in FOOT for n in piece.notches)]
    lapped = [piece for piece in cut if plan.siding_of(piece).family is Family.LAPPED]
    butted = [piece for piece in cut if piece not in lapped]
    if lapped:
        apart = on_tape(crimp_spacing(plan), plan.job.unit)
        yield (
            f"Ripped foot: the bottom edge of {_feet(lapped, plan)} is cut and has lost its"
            f" lock. Crimp it every {apart}, tabs facing out, and set it in the sill-support"
            " channel there, which takes the place of the starter strip."
        )
    if butted:
        yield (
            f"Ripped foot: the bottom edge of {_feet(butted, plan)} is cut. Put a strip as"
            " thick as the starter behind it, so that it leans like the courses above."
        )


def ripped_foot(piece: SidingPiece, unit: Unit) -> str:
    """Say which part of a piece's bottom edge is ripped; empty where all of it is."""
    words = []
    for notch in piece.notches:
        if notch.opening not in FOOT or (notch.start <= 0 and notch.end >= piece.length):
            continue
        wide = on_tape(notch.end - notch.start, unit)
        if notch.start <= 0:
            words.append(f"the left {wide}")
        elif notch.end >= piece.length:
            words.append(f"the right {wide}")
        else:
            start, end = on_tape(notch.start, unit), on_tape(notch.end, unit)
            words.append(f"{start} to {end} from its left end")
    return " and ".join(words)


def _feet(pieces: Sequence[SidingPiece], plan: Plan) -> str:
    """List pieces, each with the part of its bottom edge that is ripped, if not all is."""
    parts = [(plain(piece.label), ripped_foot(piece, plan.job.unit)) for piece in pieces]
    return ", ".join(f"{label} (only {part})" if part else label for label, part in parts)


def _joint_notes(wall: Wall, plan: Plan) -> Iterator[str]:
    """Say where joint flashing goes on a wall of butted planks.

    References
    ----------
    Journal of Light Construction, Fiber-Cement Siding Details: a strip 6 in wide behind
    every butt joint.  That it laps the course below is common practice, without a source.
    """
    family = {piece.label: plan.siding_of(piece).family for piece in plan.siding}
    seams = [s for s in plan.seams if s.wall == wall.mark and family[s.left] is Family.BUTTED]
    if seams and plan.job.supplies is not None:
        wide = "150 mm" if plan.job.unit.is_metric else '6"'
        many = "the one butt joint" if len(seams) == 1 else f"each of {len(seams)} butt joints"
        yield (
            f"Joint flashing: a strip {wide} wide behind {many}, on the stud, its lower end"
            " over the top of the course below."
        )


def _order_notes(wall: Wall, pieces: Sequence[SidingPiece], plan: Plan) -> Iterator[str]:
    """Say from which end courses are hung: laps face away from where people look.

    Notes
    -----
    Vinyl Siding Institute, Installation Manual, "Horizontal Siding": laps face away from
    entrances and where most people pass, and courses begin at the far end from there.
    """
    families = {plan.siding_of(piece).family for piece in pieces}
    seamed = {seam.left for seam in plan.seams}
    laps = any(
        piece.label in seamed and plan.siding_of(piece).family is Family.LAPPED
        for piece in pieces
    )
    if wall.seen_from is None or not laps:
        yield (
            "Siding from the bottom course up, in each course from left to right, as the"
            " table lists it."
        )
        return
    yield "Siding from the bottom course up; the table lists each course from left to right."
    which = "each course with laps" if Family.BUTTED in families else "each course"
    if wall.seen_from <= 0:
        how = f"its left end: hang {which} from right to left"
    elif wall.seen_from >= wall.width:
        how = f"its right end: hang {which} from left to right"
    else:
        at = on_wall(wall.seen_from, plan.job.unit)
        how = f"{at} from its left end: hang {which} from both ends towards there"
    yield (
        f"Laps: this wall is seen from {how}, so that at every lap the panel nearer to"
        " there lies on top and the edge of the lap faces away."
    )


def _band_notes(wall: Wall, plan: Plan) -> Iterator[str]:
    """Say when the board between two zones comes."""
    pieces = [piece for piece in plan.siding if piece.wall == wall.mark]
    for below, above in pairwise(wall.zones):
        under = [piece.course for piece in pieces if piece.y < below.high]
        over = [piece.course for piece in pieces if piece.y >= above.low]
        if above.low > below.high and under and over:
            yield (
                f"Belly band: when course {max(under)} is up, before course {min(over)}. Flash"
                " its top, then set what the siding above it begins in."
            )


def _lapped_notes(cut: Sequence[SidingPiece], plan: Plan) -> Iterator[str]:
    unit, least = plan.job.unit, plan.job.rules.furring
    if cut:
        yield (
            f"Punch and support: the top edge of {_labels(cut)} is cut and has lost its nail"
            f" hem there. Crimp the cut edge every {on_tape(crimp_spacing(plan), unit)}, tabs"
            " facing out, and set it in the sill-support channel or the trim above."
        )
    deep = [piece for piece in cut if _taken(piece, plan) > least]
    if deep:
        yield (
            f"Furring: more than {on_tape(least, unit)} is cut off {_labels(deep)}."
            " Put a strip behind the cut edge, as thick as it needs to keep the face of the"
            " siding straight."
        )


def _butted_notes(cut: Sequence[SidingPiece]) -> Iterator[str]:
    if cut:
        yield (
            f"Support: the top edge of {_labels(cut)} is cut. Check that something solid"
            " stands behind it to nail to."
        )


def _top_is_cut(piece: SidingPiece) -> bool:
    return piece.ripped or any(n.edge is NotchEdge.SILL for n in piece.notches)


def _taken(piece: SidingPiece, plan: Plan) -> int:
    """Give the most that is cut off the top edge of a piece. [ticks]"""
    kept = [min(n.cut_left, n.cut_right) for n in piece.notches if n.edge is NotchEdge.SILL]
    if piece.ripped:
        kept.append(piece.height)
    exposure = plan.exposure_of(piece)
    return exposure - min(kept, default=exposure)


def _labels(pieces: Iterable[SidingPiece]) -> str:
    return ", ".join(plain(piece.label) for piece in pieces)
