"""Supplies: nails, weather barrier and flashing, counted by rule and not cut."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from lapwright.job.material import Family, TrimRole
from lapwright.job.wall import StopKind
from lapwright.measure import (
    Rounding,
    square_feet,
    square_metres,
    to_tape,
    write_decimal,
    write_feet,
    write_inches,
    write_millimetres,
)
from lapwright.takeoff.area import gross_area
from lapwright.takeoff.surround import perimeter

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from lapwright.job.job import Job
    from lapwright.job.supplies import Supplies
    from lapwright.job.wall import Wall
    from lapwright.measure import Unit

_POSTS = (TrimRole.OUTSIDE_CORNER, TrimRole.INSIDE_CORNER)
_CORNERS = (StopKind.OUTSIDE_CORNER, StopKind.INSIDE_CORNER)


@dataclass(frozen=True, slots=True)
class Supply:
    """How much of one thing is needed, and how it was counted."""

    name: str
    quantity: int
    unit: str
    """What is counted, such as ``nails`` or ``rolls``."""
    how: str
    """How it was counted, in words."""


def count_supplies(
    job: Job,
    courses: Mapping[tuple[str, int], Sequence[int]],
    trim: Sequence[tuple[TrimRole, int]],
    joints: int,
    clad: Mapping[tuple[str, int], str] | None = None,
) -> tuple[Supply, ...]:
    """Count the supplies of a job.

    Parameters
    ----------
    job
        The job; where it wants nothing counted, nothing is.
    courses
        Lengths of the pieces of siding by (mark of the wall, course). [ticks]
    trim
        Role and length of every piece of trim. [ticks]
    joints
        Seams of butted siding.
    clad
        Name of the siding of each course, where the job has several.

    Returns
    -------
    tuple of Supply
        What there is none of is left out.
    """
    rules, unit = job.supplies, job.unit
    if rules is None:
        return ()
    counted = (
        *_siding_nails_by_siding(job, rules, courses, clad or {}),
        _trim_nails(rules, unit, trim),
        _soffit_nails(rules, job.rules.soffit_span, unit, trim),
        _barrier(rules, unit, job.walls),
        _tape(rules, unit, job.walls),
        _corner_flashing(rules, unit, job.walls),
        Supply(
            "joint flashing",
            joints if any(s.family is Family.BUTTED for s in job.sidings) else 0,
            "pieces",
            "one behind each butt joint",
        ),
        *_furring(rules, unit, job.walls),
    )
    return tuple(supply for supply in counted if supply.quantity > 0)


def nails_for_course(lengths: Iterable[int], spacing: int) -> int:
    """Count the nails of a course.

    Parameters
    ----------
    lengths
        Of its pieces. [ticks]
    spacing
        Of the nails, on centre. [ticks]

    Returns
    -------
    int
        The course's length over the spacing, rounded up, and one for each piece, whose
        far end the spacing does not reach.

    References
    ----------
    International Residential Code, 2018, R703.11.1.3: at most 16 in on centre.
    """
    pieces = list(lengths)
    return math.ceil(Fraction(sum(pieces), spacing)) + len(pieces)


def nails_by_area(area: int, exposure: int, spacing: int) -> Fraction:
    """Give the nails of an area clad without a piece's end, not rounded.

    Parameters
    ----------
    area
        What is clad. [ticks²]
    exposure
        Of a course. [ticks]
    spacing
        Of the nails, on centre. [ticks]
    """
    return Fraction(area, exposure * spacing)


def pounds_by_area(area: int, pounds: int, square: int) -> int:
    """Count pounds of nails by the area that they hold, rounded up.

    Parameters
    ----------
    area
        What is nailed. [ticks²]
    pounds
        What `square` takes. [lb]
    square
        The area that the rule speaks of, such as 1000 sq ft. [ticks²]

    References
    ----------
    U.S. Army Engineer School, subcourse EN0069, lesson 4: 20 lb for 1000 sq ft of
    sheathing.
    """
    return math.ceil(Fraction(area * pounds, square))


def _siding_nails_by_siding(
    job: Job,
    rules: Supplies,
    courses: Mapping[tuple[str, int], Sequence[int]],
    clad: Mapping[tuple[str, int], str],
) -> Iterator[Supply]:
    """Count the nails of every siding apart: each takes nails of its own kind."""
    if len(job.sidings) == 1:
        yield _siding_nails(rules, job.unit, courses)
        return
    for siding in job.sidings:
        own = {key: made for key, made in courses.items() if clad[key] == siding.name}
        supply = _siding_nails(rules, job.unit, own)
        yield replace(supply, name=f"{supply.name}, {siding.name}")


def _siding_nails(
    rules: Supplies, unit: Unit, courses: Mapping[tuple[str, int], Sequence[int]]
) -> Supply:
    nails = sum(nails_for_course(course, rules.nail_spacing) for course in courses.values())
    pieces = sum(len(course) for course in courses.values())
    how = (
        f"every {_short(rules.nail_spacing, unit)} of {len(courses)} courses, not across"
        f" openings, and one for each of {pieces} pieces"
    )
    return _weighed("siding nails", nails, rules.nails_a_pound, how)


def _trim_nails(rules: Supplies, unit: Unit, trim: Sequence[tuple[TrimRole, int]]) -> Supply:
    nails = 0
    trim = [entry for entry in trim if entry[0] is not TrimRole.SOFFIT]
    for role, length in trim:
        if role in _POSTS:
            # A post has a flange on either wall.
            nails += 2 * nails_for_course([length], rules.post_nail_spacing)
        else:
            nails += nails_for_course([length], rules.trim_nail_spacing)
    how = (
        f"every {_short(rules.trim_nail_spacing, unit)} of {len(trim)} pieces, posts every"
        f" {_short(rules.post_nail_spacing, unit)} in both flanges, and one more a piece"
    )
    return _weighed("trim nails", nails, rules.nails_a_pound, how)


def _soffit_nails(
    rules: Supplies, span: int, unit: Unit, trim: Sequence[tuple[TrimRole, int]]
) -> Supply:
    """Count one nail at each place where a panel is held."""
    panels = [length for role, length in trim if role is TrimRole.SOFFIT]
    nails = sum(nails_for_course([length], span) for length in panels)
    how = f"both ends of {len(panels)} panels, and every {_short(span, unit)} between"
    return _weighed("soffit nails", nails, rules.nails_a_pound, how)


def _weighed(name: str, nails: int, nails_a_pound: int | None, how: str) -> Supply:
    """Turn nails into pounds where the job says how many a pound has."""
    if nails_a_pound is None:
        return Supply(name, nails, "nails", how)
    pounds = math.ceil(Fraction(nails, nails_a_pound))
    return Supply(name, pounds, "lb", f"{nails} nails, {nails_a_pound} a pound: {how}")


def _barrier(rules: Supplies, unit: Unit, walls: Sequence[Wall]) -> Supply:
    area = sum(gross_area(wall.outline) for wall in walls)
    wide, long, lap = rules.barrier_width, rules.barrier_length, rules.barrier_lap
    return Supply(
        "weather barrier",
        math.ceil(Fraction(area, (wide - lap) * (long - lap))),
        "rolls",
        f"{_area(area, unit)} in all, rolls of {_long(wide, unit)} by {_long(long, unit)}"
        f" that lap {_short(lap, unit)}",
    )


def _tape(rules: Supplies, unit: Unit, walls: Sequence[Wall]) -> Supply:
    openings = [opening for wall in walls for opening in wall.openings]
    length = sum(perimeter(opening) for opening in openings)
    along = to_tape(length, unit, Rounding.UP)
    return Supply(
        "flashing tape",
        math.ceil(Fraction(length, rules.tape_length)),
        "rolls",
        f"{_long(along, unit)} along heads, sides and sills of openings ({len(openings)}),"
        f" rolls of {_long(rules.tape_length, unit)}",
    )


def _corner_flashing(rules: Supplies, unit: Unit, walls: Sequence[Wall]) -> Supply:
    heights = [height for height in _corner_heights(walls) if height > 0]
    return Supply(
        "corner flashing",
        math.ceil(Fraction(sum(heights), rules.corner_flashing_length)),
        "rolls",
        f"{_long(sum(heights), unit)} up the corners ({len(heights)}),"
        f" {_short(rules.corner_flashing_side, unit)} to each side, rolls of"
        f" {_long(rules.corner_flashing_length, unit)}",
    )


def _furring(rules: Supplies, unit: Unit, walls: Sequence[Wall]) -> Iterator[Supply]:
    """Count upright strips: one at each spacing, and one more at the end of each wall.

    References
    ----------
    Jans Lumber, Estimating Materials Using Perimeter: feet over a stock length, rounded up.
    """
    spacing = rules.furring_spacing
    if spacing is None:
        return
    # Under a gable strips differ in height; all together they take its area.
    area = sum(gross_area(wall.outline) for wall in walls)
    ends = sum(wall.height for wall in walls)
    length = math.ceil(Fraction(area, spacing)) + ends
    yield Supply(
        "furring strips",
        math.ceil(Fraction(length, rules.furring_length)),
        "pieces",
        f"upright every {_short(spacing, unit)} and at the end of each wall,"
        f" pieces of {_long(rules.furring_length, unit)}",
    )


def _corner_heights(walls: Sequence[Wall]) -> Iterator[int]:
    """Give the height of every corner, the taller wall's where two walls share it. [ticks]"""
    for name in dict.fromkeys(wall.part for wall in walls):
        part = [wall for wall in walls if wall.part == name]
        closed = len(part) > 2  # two walls cannot go round a building
        for position, wall in enumerate(part):
            is_last = position == len(part) - 1
            before = part[position - 1] if position or closed else None
            after = None if is_last and not closed else part[(position + 1) % len(part)]
            if wall.left in _CORNERS and (before is None or before.right is not wall.left):
                yield _plumb_height(wall, 0)
            if wall.right in _CORNERS:
                height = _plumb_height(wall, wall.width)
                if after is not None and after.left is wall.right:
                    height = max(height, _plumb_height(after, 0))
                yield height


def _plumb_height(wall: Wall, x: int) -> int:
    """Height of the outline's plumb side at its left or right end, 0 without one. [ticks]"""
    return sum(abs(a.y - b.y) for a, b in wall.edges if a.x == b.x == x)


def _short(length: int, unit: Unit) -> str:
    return write_millimetres(length) if unit.is_metric else write_inches(length)


def _long(length: int, unit: Unit) -> str:
    return write_millimetres(length) if unit.is_metric else write_feet(length)


def _area(area: int, unit: Unit) -> str:
    """Write an area to a tenth."""
    exact = square_metres(area) if unit.is_metric else square_feet(area)
    tenths = write_decimal(Fraction(round(exact * 10), 10))
    return f"{tenths} {'m²' if unit.is_metric else 'sq ft'}"
