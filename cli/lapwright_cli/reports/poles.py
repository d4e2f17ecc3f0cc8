"""Story poles: the heights to mark for walls that share course lines."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.job.corners import readings_of
from lapwright.job.material import TrimRole
from lapwright_cli.reports.places import peaks_of, steps_of
from lapwright_cli.reports.writing import on_wall, plain

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.wall import Opening, Wall
    from lapwright.plan import Plan


class MarkKind(StrEnum):
    """What a mark of a pole stands for."""

    COURSE = "course"
    SILL = "sill"
    HEAD = "head"
    EAVE = "eave"
    PEAK = "peak"
    BAND = "band"
    FOOT = "foot"
    STARTER = "starter"


@dataclass(frozen=True, slots=True)
class Mark:
    """One height to mark."""

    height: int
    """Above the pole's zero, the lowest bottom of its walls. [ticks]"""
    kind: MarkKind
    text: str
    """What it is, and on which walls."""


@dataclass(frozen=True, slots=True)
class Pole:
    """The marks of all walls that share their course lines."""

    name: str
    zero: str
    """Where its zero is, in words."""
    walls: tuple[str, ...]
    """Marks of the walls."""
    marks: tuple[Mark, ...]
    """From the bottom up."""


def clad_courses(wall: Wall, plan: Plan) -> tuple[int, ...]:
    """Give the butt edges of a wall's courses, less one that only the top's clearance has."""
    figures = next(figures for figures in plan.walls if figures.wall == wall.mark)
    highest = wall.height - plan.job.rules.sill_clearance
    return tuple(butt for butt in figures.courses if butt < highest)


def poles(plan: Plan) -> tuple[Pole, ...]:
    """Make the poles of a plan: one for each grid of course lines."""
    groups: dict[tuple[str, str, str], list[Wall]] = {}
    for wall in plan.job.walls:
        own = wall.mark if wall.start is not None or wall.zones else ""
        groups.setdefault((wall.part, own, wall.siding), []).append(wall)
    return tuple(_pole(walls, plan) for walls in groups.values())


def _pole(walls: Sequence[Wall], plan: Plan) -> Pole:
    zero = min(wall.base for wall in walls)
    lowest = [plain(wall.mark) for wall in walls if wall.base == zero]
    found: dict[tuple[int, MarkKind, str], list[str]] = {}
    for wall in walls:
        for mark in wall_marks(wall, plan):
            key = (wall.base + mark.height - zero, mark.kind, mark.text)
            if plain(wall.mark) not in found.setdefault(key, []):
                found[key].append(plain(wall.mark))
    order = list(MarkKind)
    # A course that all walls have needs no list of them.
    everywhere = [plain(wall.mark) for wall in walls]
    grouped: dict[tuple[int, MarkKind], list[str]] = {}
    for (height, kind, name), marks in sorted(
        found.items(), key=lambda item: (item[0][0], order.index(item[0][1]))
    ):
        is_plain = marks == everywhere and kind is MarkKind.COURSE
        words = name if is_plain else f"{name} ({', '.join(marks)})"
        grouped.setdefault((height, kind), []).append(words)
    many = "wall" if len(walls) == 1 else "walls"
    part = f"{plain(walls[0].part)}, " if walls[0].part else ""
    base = "wall" if len(lowest) == 1 else "walls"
    return Pole(
        name=f"{part}{many} {', '.join(everywhere)}",
        zero=f"bottom of {base} {', '.join(lowest)}",
        walls=tuple(wall.mark for wall in walls),
        marks=tuple(
            Mark(height, kind, "; ".join(words)) for (height, kind), words in grouped.items()
        ),
    )


def wall_marks(wall: Wall, plan: Plan) -> Iterator[Mark]:
    """Give the marks of a wall alone, up from its bottom."""
    for height, kind, text in _marks(wall, plan):
        yield Mark(height, kind, text)


def _marks(wall: Wall, plan: Plan) -> Iterator[tuple[int, MarkKind, str]]:
    """Give the heights of a wall above its bottom, each with its kind and name."""
    every = plan.job.rules.level_check
    for number, butt in enumerate(clad_courses(wall, plan), start=1):
        is_checked = number > 1 and (number - 1) % every == 0
        words = "; check the level" if is_checked else ""
        yield butt, MarkKind.COURSE, f"course {number}{words}"
    yield 0, MarkKind.FOOT, "bottom"
    unit = plan.job.unit
    for step in steps_of(wall):
        yield step.y, MarkKind.FOOT, step.words(unit)
    yield from _starters(wall, plan)
    for number, (below, above) in enumerate(pairwise(wall.zones), start=1):
        yield below.high, MarkKind.BAND, f"top of zone {number}"
        if above.low > below.high:
            yield above.low, MarkKind.BAND, f"top of the band over zone {number}"
    for opening in wall.openings:
        for height, kind, text in _levels(opening):
            if 0 < height < wall.height:
                yield height, kind, text
    eaves = {a.y for a, b in wall.edges if a.y == b.y and a.x > b.x}
    eaves |= {max(a.y, b.y) for a, b in wall.edges if a.x == b.x and a.x in (0, wall.width)}
    for y in sorted(eaves):
        yield y, MarkKind.EAVE, "eave"
    for x, peak in peaks_of(wall):
        yield peak, MarkKind.PEAK, f"peak, {on_wall(x, unit)} from the left"


def _starters(wall: Wall, plan: Plan) -> Iterator[tuple[int, MarkKind, str]]:
    """Give the top edge of each starter strip that the wall has, to snap its line by."""
    job = plan.job
    courses = next(figures.courses for figures in plan.walls if figures.wall == wall.mark)
    planned = {p.place for p in plan.trim if (p.wall, p.role) == (wall.mark, TrimRole.STARTER)}
    zones = [(int(zone.low), zone.siding) for zone in wall.zones] or [(0, wall.siding)]
    for number, (low, siding) in enumerate(zones, start=1):
        place = "along the bottom" if number == 1 else f"along the bottom of zone {number}"
        if place not in planned:
            continue
        starter = job.hung_trim(job.cladding(siding)[0].name, TrimRole.STARTER)
        # A plank that is ripped at the bottom has its starter there, not at its butt edge.
        foot = low if courses[0] < low == 0 else min(y for y in courses if y >= low)
        if starter is not None and starter.face:
            yield foot + starter.face, MarkKind.STARTER, f"top of {starter.name}"
    for number, y in enumerate(sorted({step.y for step in steps_of(wall)}), start=1):
        name = next((siding for low, siding in reversed(zones) if low <= y), wall.siding)
        starter = job.hung_trim(job.cladding(name)[0].name, TrimRole.STARTER)
        if f"along step {number}" in planned and starter is not None and starter.face:
            yield y + starter.face, MarkKind.STARTER, f"top of {starter.name}"


def _levels(opening: Opening) -> Iterator[tuple[int, MarkKind, str]]:
    """Give the heights of a sill and a head, at both sides where one is out of level."""
    name, readings = plain(opening.name), readings_of(opening)
    sill: tuple[int, ...] = (opening.sill,)
    head: tuple[int, ...] = (opening.head,)
    if readings is not None:
        sill, head = readings.sill, readings.head
    for kind, heights in ((MarkKind.SILL, sill), (MarkKind.HEAD, head)):
        if len(set(heights)) == 1:
            yield heights[0], kind, f"{kind.value} {name}"
        else:
            for height, side in zip(heights, ("left", "right"), strict=True):
                yield height, kind, f"{kind.value} {name}, {side} side"
