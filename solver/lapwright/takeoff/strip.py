"""Strips: what courses leave of themselves at sills, heads, eaves and bottoms."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lapwright.takeoff.slab import bottoms_of, eaves_of, roofs_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.rules import Rules
    from lapwright.job.wall import Wall
    from lapwright.takeoff.course import Course


@dataclass(frozen=True, slots=True)
class Strip:
    """What is left of a course at a level edge that cuts it."""

    wall: str
    """Mark of the wall."""
    place: str
    """Where, in words, such as ``under W1``."""
    left: int
    """Height of what is left. [ticks]"""
    taken: int
    """Height of what is cut off. [ticks]"""
    is_bottom: bool = False
    """Whether the wall's bottom cuts it."""


def strips_of(wall: Wall, courses: Sequence[Course], rules: Rules) -> Iterator[Strip]:
    """Find the strips that the courses of a wall leave, by its level edges alone."""
    bottom, height = wall.bottom, wall.height
    below = [(o.sill - rules.sill_clearance, f"under {o.name}") for o in wall.openings]
    above = [
        (o.head + rules.head_clearance, o.head, f"over {o.name}")
        for o in wall.openings
        if o.head < height
    ]
    eaves = eaves_of(wall, rules)
    below += [
        (eave.low, "under the eave" if len(eaves) == 1 else f"under eave {number}")
        for number, eave in enumerate(sorted(eaves, key=lambda e: e.left), start=1)
    ]
    above += [
        (edge.high, edge.y, "over the step" if edge.kind == "step" else "over the lower roof")
        for edge in roofs_of(wall, rules)
    ]
    below = [(y, place) for y, place in below if bottom < y < height]
    above = [(y, edge, place) for y, edge, place in above if edge > bottom]
    for course in courses:
        if course.butt < bottom and bottoms_of(wall):
            yield Strip(
                wall.mark,
                "over the bottom",
                course.line - bottom,
                bottom - course.butt,
                is_bottom=True,
            )
        for y, place in below:
            if course.butt < y < course.line:
                yield Strip(wall.mark, place, y - course.butt, course.line - y)
        for y, edge, place in above:
            if course.butt < edge and y < course.line:
                yield Strip(wall.mark, place, course.line - y, y - course.butt)
