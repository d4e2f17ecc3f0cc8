"""A plan: what to buy, how to cut it, and where every piece goes.

A plan is plain data.  It is made by `lapwright.planning`, recounted by
`lapwright.check` and shown by the reports; none of these changes it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lapwright.job.job import Job
    from lapwright.job.material import Siding
    from lapwright.measure import Ticks


class EndCut(StrEnum):
    """What an end of a piece is."""

    FACTORY = "factory"
    """As the stock length came, to be lapped."""
    SQUARE = "square"
    RAKED = "raked"
    """Cut along a profile, most often a roof slope."""


class NotchEdge(StrEnum):
    """Which edge of a piece a notch is cut into."""

    SILL = "sill"
    """From the top edge down to the cut height, under an opening or an eave."""
    HEAD = "head"
    """From the butt edge up to the cut height, over an opening."""
    HOLE = "hole"
    """Inside the piece, from the cut height up to `PieceNotch.upper`."""
    END = "end"
    """At an end of the piece, along `PieceNotch.points`."""


@dataclass(frozen=True, slots=True)
class PieceEnd:
    """One end of a siding piece."""

    cut: EndCut
    meets: str
    """What it runs into: a stop, ``rake``, ``opening W1`` or ``seam``."""
    profile: tuple[tuple[Ticks, Ticks], ...] = ()
    """Where the outline sets the end in, most often at a rake: (height above the butt
    edge, inset from the piece's outermost point of this end), from the butt edge up.
    A shallow rake may reach over a seam, whose end then has a profile as well. [ticks]"""


@dataclass(frozen=True, slots=True)
class PieceNotch:
    """A notch in a piece, by the marks that are made on it."""

    opening: str
    """Names of the openings, ``eave``, ``roof`` for a lower roof under the wall, ``step``
    where its foundation steps up, ``bottom``, or ``outline`` where slopes of it meet."""
    edge: NotchEdge
    start: Ticks
    """From the piece's left end. [ticks]"""
    end: Ticks
    """From the piece's left end. [ticks]"""
    cut_left: Ticks
    """Cut height up from the butt edge at the notch's left side. [ticks]"""
    cut_right: Ticks
    """Cut height up from the butt edge at the notch's right side. [ticks]"""
    upper: Ticks
    """Upper cut height of a hole or at an end; 0 for the other edges. [ticks]"""
    points: tuple[tuple[Ticks, Ticks], ...] = ()
    """Of a notch that is no box: the corners of what is cut out, counter-clockwise, as
    (from the piece's left end, up from the butt edge).  Then `cut_left` and `cut_right`
    are its lowest height (highest, of a head), and `upper` the highest. [ticks]"""


@dataclass(frozen=True, slots=True)
class SidingPiece:
    """One piece of siding as it is cut and hung."""

    label: str
    wall: str
    """Mark of the wall."""
    course: int
    """From 1 at the bottom."""
    run: int
    """The run within the course, from 1 at the left."""
    siding: str
    """Name of its material."""
    x: Ticks
    """Left end, from the wall's left. [ticks]"""
    y: Ticks
    """Butt edge, from the wall's bottom. [ticks]"""
    length: Ticks
    """Along the longest line of the piece. [ticks]"""
    height: Ticks
    """Up from the butt edge to the highest point that is seen or cut. [ticks]"""
    ripped: bool
    """Whether the top edge is cut along the whole piece, down to `height`."""
    left: PieceEnd
    right: PieceEnd
    notches: tuple[PieceNotch, ...] = ()


@dataclass(frozen=True, slots=True)
class TrimPiece:
    """One piece of trim as it is cut and hung."""

    label: str
    role: str
    material: str
    """Name of its material."""
    wall: str
    """Mark of the wall or the soffit that it is listed with."""
    place: str
    """Where on the wall, in words."""
    length: Ticks


@dataclass(frozen=True, slots=True)
class SoffitPanel:
    """Where a panel of a soffit hangs, and its form; it is cut as a piece of trim."""

    label: str
    """Of its piece of trim."""
    soffit: str
    """Mark of the soffit."""
    x: Ticks
    """Left end along the wall, from the soffit's left end; below zero round an outside
    corner. [ticks]"""
    y: Ticks
    """What is nearest to the wall, from the wall. [ticks]"""
    width: Ticks
    """Ripped to this, the panel's face where it is whole. [ticks]"""
    length: Ticks
    """The length of its piece of trim. [ticks]"""
    outline: tuple[tuple[Ticks, Ticks], ...] = ()
    """Corners (along the wall, out from it) from the corner at `x` and `y`, where the
    panel is mitred; empty for a rectangle. [ticks]"""


@dataclass(frozen=True, slots=True)
class Seam:
    """Where two pieces of one run meet."""

    wall: str
    course: int
    run: int
    x: Ticks
    """Right end of the left piece, from the wall's left. [ticks]"""
    left: str
    """Label of the left piece."""
    right: str
    """Label of the right piece."""


@dataclass(frozen=True, slots=True)
class BarCut:
    """One piece on its stock length."""

    label: str
    start: Ticks
    """From the left end of the stock length. [ticks]"""
    end: Ticks
    """From the left end of the stock length. [ticks]"""


@dataclass(frozen=True, slots=True)
class Bar:
    """One stock length and how it is cut."""

    number: int
    """Counted through the whole plan, in the order of cutting."""
    stock: Ticks
    """Its length. [ticks]"""
    cuts: tuple[BarCut, ...]
    """From left to right."""
    offcut: Ticks
    """What is left, less what the last blade eats. [ticks]"""


@dataclass(frozen=True, slots=True)
class OrderLine:
    """How many of a stock length to buy."""

    stock: Ticks
    count: int
    """What the plan cuts."""
    spare: int
    """What the job wants beyond."""
    carton: int | None
    """Pieces in a carton, None where sold by the piece."""
    price: int | None
    """For one piece. [1/10000 of the currency]"""
    on_hand: bool = False
    """Whether it is there and need not be bought."""

    @property
    def pieces(self) -> int:
        """Pieces to have, spare included."""
        return self.count + self.spare

    @property
    def cartons(self) -> int | None:
        """Whole cartons to buy, None where sold by the piece."""
        return None if self.carton is None else -(-self.pieces // self.carton)

    @property
    def bought(self) -> int:
        """Pieces that are bought: whole cartons where sold so."""
        if self.on_hand:
            return 0
        return self.pieces if self.carton is None else (self.cartons or 0) * self.carton

    @property
    def cost(self) -> int | None:
        """For all that is bought. [1/10000 of the currency]"""
        return None if self.price is None else self.price * self.bought


@dataclass(frozen=True, slots=True)
class MaterialPlan:
    """The cutting of one material."""

    role: str
    """``siding`` or a role of trim."""
    name: str
    """Tells several sidings apart."""
    status: str
    """``proven``, ``time limit``, ``work limit`` or ``interrupted``."""
    bound: int
    """No cutting of these pieces costs less; with `seams_too`, none with other seams
    either. [ticks or 1/10000 of the currency]"""
    cost: int
    """What the planned stock lengths cost. [as `bound`]"""
    priced: bool
    """Whether bound and cost are money; else they are length."""
    order: tuple[OrderLine, ...]
    bars: tuple[Bar, ...]
    seams_too: bool = False
    """Whether bound and status speak of all places of the seams as well: of those that
    break no more rules by themselves than a run must."""
    least_seams: int | None = None
    """Where the seams were put first: no plan that keeps the rules as well has fewer of
    them; bound and status speak of plans with no more seams than this one."""

    @property
    def stock_total(self) -> int:
        """Length of all planned stock lengths. [ticks]"""
        return sum(bar.stock for bar in self.bars)

    @property
    def piece_total(self) -> int:
        """Length of all pieces. [ticks]"""
        return sum(cut.end - cut.start for bar in self.bars for cut in bar.cuts)

    @property
    def offcut_total(self) -> int:
        """Length that becomes no piece: offcuts and kerf. [ticks]"""
        return self.stock_total - self.piece_total


@dataclass(frozen=True, slots=True)
class SupplyLine:
    """How much is needed of what is counted by rule and not cut."""

    name: str
    quantity: int
    unit: str
    """What is counted: ``nails``, ``lb``, ``rolls`` or ``pieces``."""
    how: str
    """How it was counted, in words."""


@dataclass(frozen=True, slots=True)
class WallFigures:
    """What a wall comes to."""

    wall: str
    gross: int
    """Area of the outline. [ticks²]"""
    openings: int
    """Area of the openings inside of it, counted once. [ticks²]"""
    courses: tuple[Ticks, ...]
    """Heights of the butt edges, from the bottom. [ticks]"""
    tops: tuple[Ticks, ...]
    """Heights of the top lines of its courses, from the bottom. [ticks]"""

    @property
    def net(self) -> int:
        """Area to clad. [ticks²]"""
        return self.gross - self.openings


@dataclass(frozen=True, slots=True)
class Plan:
    """The whole plan of a job."""

    job: Job
    walls: tuple[WallFigures, ...]
    """As in the job."""
    siding: tuple[SidingPiece, ...]
    """By wall, course and place from the left: the order of hanging."""
    trim: tuple[TrimPiece, ...]
    seams: tuple[Seam, ...]
    materials: tuple[MaterialPlan, ...]
    """Siding first, then trim by role."""
    findings: tuple[str, ...]
    """What the crew must know: slivers, rules that could not be kept, and the like."""
    supplies: tuple[SupplyLine, ...] = ()
    """What is counted by rule: nails, weather barrier, flashing."""
    soffits: tuple[SoffitPanel, ...] = ()
    """By soffit, from the left end, or from the wall row by row."""

    def siding_of(self, piece: SidingPiece) -> Siding:
        """Give the siding that a piece is of."""
        return self.job.cladding(piece.siding)[0]

    def exposure_of(self, piece: SidingPiece) -> int:
        """Give the exposure of a piece's course. [ticks]"""
        figures = next(figures for figures in self.walls if figures.wall == piece.wall)
        return figures.tops[piece.course - 1] - figures.courses[piece.course - 1]

    def material(self, role: str) -> MaterialPlan | None:
        """Give the cutting of a material by its role."""
        return next((m for m in self.materials if m.role == role), None)
