"""A wall in words, the same in every elevation: what it is, its openings and its courses."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lapwright.job.corners import corners_of, readings_of
from lapwright.job.wall import OpeningShape
from lapwright_cli.reports.poles import clad_courses
from lapwright_cli.reports.writing import area, on_tape, on_wall, plain

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.soffit import Soffit
    from lapwright.job.wall import Opening, Wall
    from lapwright.measure import Unit
    from lapwright.plan import Plan, Seam, SidingPiece, SoffitPanel


def wall_name(wall: Wall) -> str:
    """Name a wall by its mark and its name."""
    return f"Wall {plain(wall.mark)}: {plain(wall.name)}"


def wall_facts(wall: Wall, plan: Plan) -> tuple[str, ...]:
    """Tell how large a wall is, where its courses begin, and what it ends in."""
    unit = plan.job.unit
    figures = next(f for f in plan.walls if f.wall == wall.mark)
    many = sum(piece.wall == wall.mark for piece in plan.siding)
    return (
        f"wide {on_wall(wall.width, unit)}, high {on_wall(wall.height, unit)}",
        f"{area(figures.gross, unit)} in all, {area(figures.net, unit)} without the openings",
        f"{len(clad_courses(wall, plan))} courses, first butt edge"
        f" {on_wall(abs(figures.courses[0]), unit)}"
        f" {'below' if figures.courses[0] < 0 else 'above'} the bottom",
        *_zone_facts(wall, plan),
        f"left end: {wall.left.value}; right end: {wall.right.value}",
        f"{many} pieces of siding, {sum(s.wall == wall.mark for s in plan.seams)} seams",
        *(
            ("black bars over openings: head flashing",)
            if any(
                p.role == "head_flashing"
                and p.wall == wall.mark
                and p.place.startswith("over ")
                for p in plan.trim
            )
            else ()
        ),
        *(
            f"soffit {plain(soffit.mark)} above: {plain(soffit.name)}"
            for soffit in plan.job.soffits
            if soffit.wall == wall.mark
        ),
    )


def _zone_facts(wall: Wall, plan: Plan) -> Iterator[str]:
    """Tell what clads a wall, where the job has several sidings."""
    unit = plan.job.unit
    if not wall.zones and len(plan.job.sidings) > 1:
        yield f"siding: {plain(plan.job.cladding(wall.siding)[0].name)}"
    for number, zone in enumerate(wall.zones, start=1):
        name = plain(plan.job.cladding(zone.siding)[0].name)
        begins = "" if zone.start is None else f", first butt edge {on_wall(zone.start, unit)}"
        yield (
            f"zone {number}, {on_wall(zone.low, unit)} to {on_wall(zone.high, unit)} above the"
            f" bottom: {name}{begins}"
        )


def opening_rows(wall: Wall, plan: Plan) -> tuple[tuple[str, ...], ...]:
    """List the openings from left to right: name, kind, both sides, sill, head and size."""
    unit = plan.job.unit
    return tuple(
        (
            plain(opening.name),
            opening_kind(opening),
            on_wall(opening.x, unit),
            on_wall(opening.right, unit),
            *levels_of(opening, unit),
            opening_size(opening, unit),
        )
        for opening in sorted(wall.openings, key=lambda o: (o.x, o.sill))
    )


def opening_kind(opening: Opening) -> str:
    """Name what fills an opening, with its shape where it is no upright rectangle."""
    kind = opening.kind.value
    if opening.shape is OpeningShape.RECTANGLE or readings_of(opening) is not None:
        return kind
    if opening.shape is OpeningShape.POLYGON:
        return f"{kind} by its corners"
    return f"{opening.shape.value.replace('octagon', 'octagonal')} {kind}"


def levels_of(opening: Opening, unit: Unit) -> tuple[str, str]:
    """Write the heights of a sill and a head, both readings where one is out of level."""
    readings = readings_of(opening)
    if readings is None:
        return on_wall(opening.sill, unit), on_wall(opening.head, unit)

    def written(left: int, right: int) -> str:
        if left == right:
            return on_wall(left, unit)
        return f"left {on_wall(left, unit)} / right {on_wall(right, unit)}"

    return written(*readings.sill), written(*readings.head)


def opening_size(opening: Opening, unit: Unit) -> str:
    """Write how large an opening is; one that leans has the height of its sides."""
    height, readings = int(opening.height), readings_of(opening)
    if readings is not None:
        sides = {head - sill for sill, head in zip(readings.sill, readings.head, strict=True)}
        height = sides.pop() if len(sides) == 1 else height
    return f"{on_tape(opening.width, unit)} × {on_tape(height, unit)}"


def course_words(own: Sequence[SidingPiece], plan: Plan) -> str:
    """Name a course by the height of its butt edge and the places of its seams.

    Parameters
    ----------
    own
        The pieces of one course of a wall.
    plan
        The plan.
    """
    unit, first = plan.job.unit, own[0]
    seams = sorted(s.x for s in plan.seams if s.wall == first.wall and s.course == first.course)
    side = "below" if first.y < 0 else "above"
    words = f"Course {first.course}: butt edge {on_wall(abs(first.y), unit)} {side} the bottom"
    if plan.siding_of(first).varies:
        words += f", exposure {on_tape(plan.exposure_of(first), unit)}"
    if seams:
        word = "seam" if len(seams) == 1 else "seams"
        at = ", ".join(on_wall(x, unit) for x in seams)
        words += f"; {word} {at} from the left"
    return words


def seams_of(own: Sequence[SidingPiece], plan: Plan) -> tuple[int, ...]:
    """Give the places of the seams of a course, from the wall's left. [ticks]"""
    first = own[0]
    found = (s.x for s in plan.seams if (s.wall, s.course) == (first.wall, first.course))
    return tuple(sorted(found))


def seam_span(seam: Seam, wall: Wall, plan: Plan) -> tuple[int, int]:
    """Give foot and top of a seam above the wall's bottom, but for what an opening takes.

    Returns
    -------
    tuple of int
        Equal where an opening takes all of it. [ticks]
    """
    piece = next(piece for piece in plan.siding if piece.label == seam.left)
    foot, top = int(piece.y), int(piece.y + piece.height)
    foot, top = _clad_between(wall, int(seam.x), foot, top)
    for opening in wall.openings:
        corners = corners_of(opening)
        at = [
            a.y + (b.y - a.y) * (seam.x - a.x) // (b.x - a.x)
            for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)
            if (a.x <= seam.x) != (b.x <= seam.x)
        ]
        if at and min(at) < top and foot < max(at):
            # A seam that goes on under and over the opening is told by its upper part.
            foot, top = (max(at), top) if max(at) < top else (foot, max(min(at), foot))
    return foot, top


def _clad_between(wall: Wall, x: int, low: int, high: int) -> tuple[int, int]:
    """Give what the wall's outline leaves of an upright line between two heights. [ticks]"""
    at = sorted(
        int(a.y + (b.y - a.y) * (x - a.x) // (b.x - a.x))
        for a, b in wall.edges
        if (a.x <= x) != (b.x <= x)
    )
    parts = [
        (max(low, foot), min(high, top)) for foot, top in zip(at[::2], at[1::2], strict=True)
    ]
    return max(parts, key=lambda part: part[1] - part[0], default=(low, high))


def soffit_name(soffit: Soffit) -> str:
    """Name a soffit by its mark and its name."""
    return f"Soffit {plain(soffit.mark)}: {plain(soffit.name)}"


def soffit_facts(soffit: Soffit, panels: Sequence[SoffitPanel], plan: Plan) -> tuple[str, ...]:
    """Tell how large a soffit is, what it ends in, and what it lies over."""
    unit = plan.job.unit
    facts = [
        f"{soffit.along.value}, long {on_wall(soffit.length, unit)},"
        f" deep {on_wall(soffit.depth, unit)}",
        f"left end: {soffit.left.value}; right end: {soffit.right.value}",
    ]
    if panels:
        facts.append(f"{len(panels)} panels {soffit.panels.value} the overhang")
    if soffit.wall:
        facts.append(f"over wall {plain(soffit.wall)}")
    return tuple(facts)
