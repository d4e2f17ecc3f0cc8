"""Soffits: the undersides of eaves and rakes, section by section.

A section is seen from below with the wall at its lower edge: x runs along the wall from
its left end (as seen from outside), y from the wall out to the fascia.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from lapwright.job.material import TrimRole

if TYPE_CHECKING:
    from lapwright.measure import Ticks


class PanelWay(StrEnum):
    """How the panels of a soffit lie."""

    ACROSS = "across"
    """From the wall to the fascia, side by side."""
    ALONG = "along"
    """Along the eave, row by row."""
    NONE = "none"
    """There are none: an open eave, of which only fascia and frieze are planned."""


class SoffitEnd(StrEnum):
    """What the panels of a soffit end in at its left or right."""

    J_CHANNEL = "j-channel"
    NONE = "none"
    """Nothing of this job: a wall, a return, a trim board."""
    OUTSIDE_CORNER = "outside corner"
    """A mitre with the soffit round an outside corner."""
    INSIDE_CORNER = "inside corner"
    """A mitre with the soffit round an inside corner."""

    @property
    def is_corner(self) -> bool:
        """Whether two soffits meet there in a mitre."""
        return self in (SoffitEnd.OUTSIDE_CORNER, SoffitEnd.INSIDE_CORNER)


class SoffitPlace(StrEnum):
    """The edge of its wall that a soffit runs along."""

    EAVE = "eave"
    LEFT_RAKE = "left rake"
    RIGHT_RAKE = "right rake"


class Receiver(StrEnum):
    """What takes the panels at the wall or at the fascia."""

    F_CHANNEL = "f-channel"
    J_CHANNEL = "j-channel"
    NONE = "none"

    @property
    def role(self) -> TrimRole | None:
        """Its role as trim."""
        return {
            Receiver.F_CHANNEL: TrimRole.F_CHANNEL,
            Receiver.J_CHANNEL: TrimRole.J_CHANNEL,
        }.get(self)


class Rip(StrEnum):
    """Where the panel or panels stand that are ripped to the width that is left."""

    LAST = "last"
    """At the right end (of panels along the eave: at the fascia)."""
    BOTH_ENDS = "both ends"
    """Half of what is left at either side."""


class Corners(NamedTuple):
    """Where the two ends of a soffit begin and end. [ticks]"""

    wall_left: Fraction
    wall_right: Fraction
    fascia_left: Fraction
    fascia_right: Fraction


@dataclass(frozen=True, slots=True)
class Soffit:
    """One section of a soffit, with what belongs to its eave or rake."""

    name: str
    mark: str
    """The short mark that the labels of its pieces begin with, such as ``E1``."""
    wall: str
    """Mark of the wall that it hangs over; empty where the job names none."""
    along: SoffitPlace
    length: Ticks
    """Along the wall, between the backs of the channels or the corners of walls. [ticks]"""
    depth: Ticks
    """From the wall to the fascia, between the backs of the channels. [ticks]"""
    panels: PanelWay
    rip: Rip
    left: SoffitEnd
    right: SoffitEnd
    left_depth: Ticks
    """Depth of the soffit that it meets round its left corner. [ticks]"""
    right_depth: Ticks
    """Depth of the soffit that it meets round its right corner. [ticks]"""
    wall_channel: Receiver
    fascia_channel: Receiver

    def corners(self) -> Corners:
        """Give the corners of the soffit: a mitre goes from wall corner to fascia corner."""
        left, right = (
            {SoffitEnd.OUTSIDE_CORNER: depth, SoffitEnd.INSIDE_CORNER: -depth}.get(end, 0)
            for end, depth in ((self.left, self.left_depth), (self.right, self.right_depth))
        )
        return Corners(
            Fraction(0), Fraction(self.length), Fraction(-left), Fraction(self.length + right)
        )

    def clear(self, gap: int) -> list[tuple[Fraction, Fraction]]:
        """Give the corners of what its panels may cover, counter-clockwise.

        The gap is taken off at the wall, at the fascia and at each end; at a mitre it is
        measured as the panel's end is, straight from the wall to the fascia.
        """
        corners, depth = self.corners(), Fraction(self.depth)
        low, high = Fraction(gap), depth - gap
        lean_left = (corners.fascia_left - corners.wall_left) / depth
        lean_right = (corners.fascia_right - corners.wall_right) / depth
        back_left = abs(lean_left) * gap if self.left.is_corner else gap
        back_right = abs(lean_right) * gap if self.right.is_corner else gap
        left = [corners.wall_left + lean_left * y + back_left for y in (low, high)]
        right = [corners.wall_right + lean_right * y - back_right for y in (low, high)]
        return [(left[0], low), (right[0], low), (right[1], high), (left[1], high)]
