"""A job: the walls of a house, what they are clad with, and by which rules."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.job.material import EaveTrim, TrimRole
from lapwright.measure import INCH, Ticks, write_length

if TYPE_CHECKING:
    from fractions import Fraction

    from lapwright.job.estimating import Estimating
    from lapwright.job.labour import Labour
    from lapwright.job.material import Siding, Trim
    from lapwright.job.rules import Rules
    from lapwright.job.soffit import Soffit
    from lapwright.job.stickers import StickerSheet
    from lapwright.job.supplies import Supplies
    from lapwright.job.thermal import Thermal
    from lapwright.job.wall import OpeningKind, Wall
    from lapwright.measure import Unit


@dataclass(frozen=True, slots=True)
class Cladding:
    """A further siding of a job, with the rules and the trim that it is hung by."""

    siding: Siding
    rules: Rules
    trim: tuple[Trim, ...] = ()
    """Starter and channels that go with it, as far as it has them."""


@dataclass(frozen=True, slots=True)
class StartRange:
    """The heights among which a start is looked for, above the lowest bottom. [ticks]"""

    lowest: Ticks
    highest: Ticks
    step: Ticks


_AT_THE_BOTTOM = StartRange(Ticks(0), Ticks(0), INCH)


@dataclass(frozen=True, slots=True)
class Job:
    """Everything that a plan is made from."""

    name: str
    unit: Unit
    """What bare numbers of the job mean, and which tape the sheets are for."""
    currency: str
    """What stands before a price, such as ``$``; empty where there is none."""
    temperature: Fraction
    """At hanging. [°F]"""
    spare: Fraction
    """Pieces to order beyond the plan, as a share of each count."""
    walls: tuple[Wall, ...]
    """In the order in which they are met walking round the house to the right."""
    siding: Siding
    """The first siding: that of all walls and zones that name no other."""
    trim: tuple[Trim, ...]
    """At most one a role; a role without trim is not supplied by this job."""
    rules: Rules
    start_range: StartRange = _AT_THE_BOTTOM
    """Where a start is looked for."""
    start: Ticks | None = _AT_THE_BOTTOM.highest
    """Height of the first butt edge above the lowest bottom of each part of the house,
    for walls without a start of their own; None: the best of `start_range`. [ticks]"""
    eave_trim: EaveTrim = EaveTrim.SILL_CHANNEL
    """What takes the siding's top edge under an eave."""
    head_flashing: tuple[OpeningKind, ...] = ()
    """Kinds of opening that get flashing over their heads."""
    band_flashing: bool = False
    """Whether belly bands get flashing along their upper edges."""
    soffits: tuple[Soffit, ...] = ()
    remarks: tuple[str, ...] = ()
    """What the reading had to assume or change, to be shown in every report."""
    thermal: Thermal | None = None
    """Movement by heat and cold; None: the end gap is a rule of the trade alone."""
    supplies: Supplies | None = None
    """How nails, barrier and flashing are counted; None: they are not."""
    estimating: Estimating | None = None
    """What estimating conventions assume; None: they are not laid beside the plan."""
    labour: Labour | None = None
    """What work takes; None: the job does not say."""
    stickers: StickerSheet | None = None
    """The job's own sheet of stickers, None where it has none."""

    further: tuple[Cladding, ...] = ()
    """Sidings beside the first, each by a name of its own."""

    def __hash__(self) -> int:
        # What is remembered of a job is asked for wall by wall; to go through all of its
        # walls each time would make twice the house four times the work.
        return hash((self.name, self.siding.name, len(self.walls)))

    @property
    def sidings(self) -> tuple[Siding, ...]:
        """All sidings, the first one first."""
        return (self.siding, *(cladding.siding for cladding in self.further))

    def cladding(self, name: str) -> tuple[Siding, Rules]:
        """Give a siding and its rules by its name, the first where the name is empty.

        Raises
        ------
        KeyError
            The job has no siding of this name.
        """
        if name in ("", self.siding.name):
            return self.siding, self.rules
        for cladding in self.further:
            if cladding.siding.name == name:
                return cladding.siding, cladding.rules
        raise KeyError(name)

    def hung_trim(self, name: str, role: TrimRole) -> Trim | None:
        """Give the trim of a role that goes with a siding, None where it has none."""
        for cladding in self.further:
            if cladding.siding.name == name:
                return next((trim for trim in cladding.trim if trim.role is role), None)
        return self.trim_for(role)

    def band_trim(self, height: Ticks) -> Trim | None:
        """Give the board of the belly bands of a height, None where the job has none."""
        board = self.trim_for(TrimRole.BELLY_BAND)
        if board is None:
            return None
        return replace(board, name=f"{board.name} {write_length(height, self.unit)}")

    @property
    def trim_materials(self) -> tuple[Trim, ...]:
        """Every trim that may be bought, each once, by role; belly bands by height."""
        found = [trim for trim in self.trim if trim.role is not TrimRole.BELLY_BAND]
        found += [trim for cladding in self.further for trim in cladding.trim]
        heights = {
            Ticks(above.low - below.high)
            for wall in self.walls
            for below, above in pairwise(wall.zones)
        }
        bands = (self.band_trim(height) for height in sorted(heights) if height)
        found += [board for board in bands if board is not None]
        order = list(TrimRole)
        return tuple(sorted(dict.fromkeys(found), key=lambda trim: order.index(trim.role)))

    def trim_for(self, role: TrimRole) -> Trim | None:
        """Give the trim of a role, or None where the job has none."""
        return next((trim for trim in self.trim if trim.role is role), None)
