"""Courses: the strips of a wall, one exposure high, counted from the starter."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lapwright.measure import Ticks

if TYPE_CHECKING:
    from lapwright.job.wall import Wall


@dataclass(frozen=True, slots=True)
class Course:
    """One row of siding on a wall."""

    number: int
    """From 1 at the bottom."""
    butt: Ticks
    """Height of the butt edge above the wall's bottom. [ticks]"""
    line: Ticks
    """Height of the top line, one exposure up. [ticks]"""


def lay_courses(wall: Wall, exposure: Ticks, first: int = 1) -> tuple[Course, ...]:
    """Lay courses from the wall's start until its top is reached.

    Parameters
    ----------
    wall
        The wall.
    exposure
        Height of a course, above zero. [ticks]
    first
        Number of the lowest course: in the upper zones of a wall the count goes on.
    """
    count = -(-(wall.height - wall.start) // exposure)
    butts = (wall.start + number * exposure for number in range(count))
    return tuple(
        Course(number, Ticks(butt), Ticks(butt + exposure))
        for number, butt in enumerate(butts, start=first)
    )
