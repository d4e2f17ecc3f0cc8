"""Materials: the siding and its trim, and the stock lengths they come in."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lapwright.measure import Ticks

MONEY = 10_000
"""Prices are whole ten-thousandths of the job's currency."""


class Family(StrEnum):
    """How the ends of two pieces meet in a seam."""

    LAPPED = "lapped"
    """Factory ends slide over each other (vinyl)."""
    BUTTED = "butted"
    """Ends meet on a stud (fiber-cement, engineered wood)."""


class TrimRole(StrEnum):
    """What a trim piece does on the wall."""

    STARTER = "starter"
    OUTSIDE_CORNER = "outside_corner"
    INSIDE_CORNER = "inside_corner"
    J_CHANNEL = "j_channel"
    SILL_CHANNEL = "sill_channel"
    BELLY_BAND = "belly_band"
    HEAD_FLASHING = "head_flashing"
    """A drip cap over the head of an opening."""
    FASCIA = "fascia"
    FRIEZE = "frieze"
    F_CHANNEL = "f_channel"
    SOFFIT = "soffit"
    """Panels; the face is the width that one covers."""


class EaveTrim(StrEnum):
    """What takes the top edge of the siding under an eave."""

    SILL_CHANNEL = "sill channel"
    J_CHANNEL = "j-channel"

    @property
    def role(self) -> TrimRole:
        """Its role as trim."""
        return TrimRole.J_CHANNEL if self is EaveTrim.J_CHANNEL else TrimRole.SILL_CHANNEL


HUNG_WITH_SIDING = (TrimRole.STARTER, TrimRole.J_CHANNEL, TrimRole.SILL_CHANNEL)
"""Trim that holds the siding beside it, and so goes with it; other trim is the house's."""


@dataclass(frozen=True, slots=True)
class StockLength:
    """A length that a material is bought in."""

    length: Ticks
    price: int | None = None
    """For one piece; None: the job gives no price. [1/10000 of the currency]"""
    carton: int | None = None
    """Pieces in a carton; None: sold by the piece."""
    supply: int | None = None
    """Pieces that can be had; None: as many as wanted."""

    @property
    def is_on_hand(self) -> bool:
        """Whether it is there and need not be bought: so many that cost nothing."""
        return self.price == 0 and self.supply is not None


@dataclass(frozen=True, slots=True)
class Siding:
    """The lap siding of a job."""

    name: str
    family: Family
    exposure: Ticks
    """Height of a course. [ticks]"""
    stock: tuple[StockLength, ...]
    """Shortest first; every one priced, or none."""
    least_exposure: Ticks | None = None
    """Where the exposure may vary, the least that a course may have. [ticks]"""
    greatest_exposure: Ticks | None = None
    """Where the exposure may vary, the greatest that the head lap allows. [ticks]"""
    exposures: tuple[Ticks, ...] = ()
    """Given for each course from the bottom up, the last one going on; empty where all
    are alike or evened out. [ticks]"""
    evened: bool = False
    """Whether the courses are evened out between sills, heads and eaves."""

    @property
    def longest(self) -> Ticks:
        """The longest stock length. [ticks]"""
        return self.stock[-1].length

    @property
    def varies(self) -> bool:
        """Whether its courses may differ in exposure."""
        return self.evened or bool(self.exposures)


@dataclass(frozen=True, slots=True)
class Trim:
    """One trim material of a job."""

    role: TrimRole
    name: str
    stock: tuple[StockLength, ...]
    """Shortest first; every one priced, or none."""
    face: Ticks
    """Width of the face; a mitred or tabbed end takes one more face. [ticks]"""
    splice_lap: Ticks
    """By how much two lengths lap where one does not reach. [ticks]"""
    splice_gap: Ticks
    """The gap between two lengths where they do not lap. [ticks]"""

    @property
    def longest(self) -> Ticks:
        """The longest stock length. [ticks]"""
        return self.stock[-1].length
