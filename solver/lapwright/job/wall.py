"""Walls as they stand: an outline, its openings, and what stops the siding.

A wall is seen from outside: x runs to the right, y upwards, from the lower left
corner of its outline's box.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from lapwright.measure import Ticks

_LEVEL = Ticks(0)


class Point(NamedTuple):
    """A point of a wall, seen from outside. [ticks]"""

    x: Ticks
    y: Ticks


class StopKind(StrEnum):
    """What an end of the siding runs into."""

    OUTSIDE_CORNER = "outside corner"
    INSIDE_CORNER = "inside corner"
    J_CHANNEL = "j-channel"
    TRIM_BOARD = "trim board"


class LowerEdge(StrEnum):
    """What the level lower edges of a wall above its bottom stand over."""

    ROOF = "roof"
    """A lower roof: the siding stays clear of it, and ends in a channel."""
    GROUND = "ground"
    """A foundation that steps up: siding begins there as it does at the bottom."""


class OpeningKind(StrEnum):
    """What fills an opening."""

    WINDOW = "window"
    DOOR = "door"
    GARAGE_DOOR = "garage door"
    VENT = "vent"


class FlashedKind(StrEnum):
    """What may get flashing along its upper edge: kinds of opening, and belly bands."""

    WINDOW = "window"
    DOOR = "door"
    GARAGE_DOOR = "garage door"
    VENT = "vent"
    BELLY_BAND = "belly band"


class OpeningShape(StrEnum):
    """The shape of an opening in its box."""

    RECTANGLE = "rectangle"
    ROUND = "round"
    """The ellipse that fills the box."""
    ARCHED = "arched"
    """A rectangle with an arch as its top."""
    OCTAGON = "octagon"
    """A rectangle whose four corners are cut off, at 45°."""
    POLYGON = "polygon"
    """By its corners."""


@dataclass(frozen=True, slots=True)
class Opening:
    """A hole in a wall, by its box and its shape in it; see `lapwright.job.corners`."""

    name: str
    kind: OpeningKind
    x: Ticks
    """Left side, from the wall's left end. [ticks]"""
    sill: Ticks
    """Lower edge, from the wall's bottom. [ticks]"""
    width: Ticks
    height: Ticks
    shape: OpeningShape = OpeningShape.RECTANGLE
    rise: Ticks = _LEVEL
    """How far the crown of an arched one stands above where its arch begins. [ticks]"""
    cut: Ticks = _LEVEL
    """What is cut off along both sides at each corner of an octagon. [ticks]"""
    corners: tuple[Point, ...] = ()
    """Of a polygon: counter-clockwise from the lowest (the leftmost of these). [ticks]"""

    @property
    def right(self) -> int:
        """Right side, from the wall's left end. [ticks]"""
        return self.x + self.width

    @property
    def head(self) -> int:
        """Upper edge, from the wall's bottom. [ticks]"""
        return self.sill + self.height


@dataclass(frozen=True, slots=True)
class Zone:
    """A part of a wall between two heights, clad with one siding."""

    low: Ticks
    """Lower edge, from the wall's bottom: the band below ends here. [ticks]"""
    high: Ticks
    """Upper edge, from the wall's bottom: the band above begins here. [ticks]"""
    siding: str
    """Name of the siding."""
    start: Ticks | None
    """Butt edge of its first course, from the wall's bottom; None, of the lowest zone
    alone: it shares the course lines of its part. [ticks]"""


@dataclass(frozen=True, slots=True)
class Wall:
    """One plane of siding."""

    name: str
    mark: str
    """The short mark that the labels of its pieces begin with, such as ``A``."""
    outline: tuple[Point, ...]
    """A simple polygon, counter-clockwise, from its lowest point (the leftmost)."""
    openings: tuple[Opening, ...]
    left: StopKind
    right: StopKind
    start: Ticks | None
    """Height of the first course's butt edge above the outline's bottom, below zero where
    that course is ripped; None: the wall shares the course lines of its part. [ticks]"""
    part: str = ""
    """Part of the building; only walls of one part share corner posts and course lines."""
    base: Ticks = _LEVEL
    """Height of the outline's bottom above the level line of the house. [ticks]"""
    siding: str = ""
    """Name of its siding; empty for the job's first."""
    zones: tuple[Zone, ...] = ()
    """From the bottom up, where it has several; a belly band fills what is between."""
    lower_edges: LowerEdge = LowerEdge.ROOF
    seen_from: Ticks | None = None
    """Where people stand who look at it, along the wall from its left end, beyond its ends
    too; None where that does not matter. [ticks]"""

    @property
    def edges(self) -> tuple[tuple[Point, Point], ...]:
        """Give the edges of the outline in its order; the wall is at the left of each."""
        return tuple(zip(self.outline, (*self.outline[1:], self.outline[0]), strict=True))

    @property
    def bottom(self) -> int:
        """Lowest height of the outline: 0, but for the part of a wall. [ticks]"""
        return min(p.y for p in self.outline)

    @property
    def width(self) -> int:
        """Width of the outline's box. [ticks]"""
        return max(p.x for p in self.outline)

    @property
    def height(self) -> int:
        """Height of the outline's box. [ticks]"""
        return max(p.y for p in self.outline)


def mark_at(position: int) -> str:
    """Give the mark of the wall at a position: A to Z, then AA, AB and so on."""
    letters = ""
    position += 1
    while position:
        position, letter = divmod(position - 1, 26)
        letters = chr(ord("A") + letter) + letters
    return letters
