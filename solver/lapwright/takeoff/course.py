"""Courses: the strips of a wall between course lines, and the grid that lines stand on."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain, repeat
from typing import TYPE_CHECKING

from lapwright.measure import Ticks

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.job.wall import Wall


@dataclass(frozen=True, slots=True)
class Course:
    """One row of siding on a wall."""

    number: int
    """From 1 at the bottom."""
    butt: Ticks
    """Height of the butt edge above the wall's bottom, below zero where the first course
    is ripped there. [ticks]"""
    line: Ticks
    """Height of the top line, its exposure up. [ticks]"""

    @property
    def exposure(self) -> Ticks:
        """Height that is seen of it. [ticks]"""
        return Ticks(self.line - self.butt)


@dataclass(frozen=True, slots=True)
class Grid:
    """Course lines that walls share."""

    start: Ticks
    """Height of the first butt edge above the level line of the house. [ticks]"""
    exposures: tuple[Ticks, ...]
    """From the bottom course up; the last one goes on. [ticks]"""

    def courses(self) -> Iterator[tuple[int, int]]:
        """Give butt edge and top line of every course, upwards without end. [ticks]"""
        butt: int = self.start
        for exposure in chain(self.exposures, repeat(self.exposures[-1])):
            yield butt, butt + exposure
            butt += exposure


def lay_courses(wall: Wall, grid: Grid, first: int = 1) -> tuple[Course, ...]:
    """Lay the courses of a grid on a wall, from its bottom until its top is reached.

    Parameters
    ----------
    wall
        The wall; its base tells how its bottom stands to the grid.
    grid
        The course lines, by the level line of the house.
    first
        Number of the lowest course: in the upper zones of a wall the count goes on.

    Returns
    -------
    tuple of Course
        The first one begins at the start, or is the one that the wall's bottom crosses.
    """
    laid: list[Course] = []
    for low, high in grid.courses():
        butt, line = Ticks(low - wall.base), Ticks(high - wall.base)
        if butt >= wall.height:
            break
        if line > wall.bottom:
            laid.append(Course(first + len(laid), butt, line))
    return tuple(laid)
