"""What a record of a plan claims, as nouns of the check's own."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class End:
    """One end of a siding piece, as claimed."""

    cut: str
    meets: str
    profile: tuple[tuple[int, int], ...]
    """(height above the butt edge, inset), from the bottom up. [ticks]"""


@dataclass(frozen=True, slots=True)
class Notch:
    """A notch, as claimed; all of its measures are in ticks."""

    opening: str
    edge: str
    start: int
    end: int
    cut_left: int
    cut_right: int
    upper: int
    points: tuple[tuple[int, int], ...] = ()
    """Corners of what is cut out where it is no box, (from the left, up); else empty."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of siding, as claimed; all of its measures are in ticks."""

    label: str
    wall: str
    course: int
    run: int
    siding: str
    x: int
    y: int
    length: int
    text: str
    height: int
    ripped: bool
    left: End
    right: End
    notches: tuple[Notch, ...]

    @property
    def right_x(self) -> int:
        """Right end, from the wall's left. [ticks]"""
        return self.x + self.length


@dataclass(frozen=True, slots=True)
class TrimPiece:
    """A piece of trim, as claimed."""

    label: str
    role: str
    material: str
    wall: str
    length: int
    """[ticks]"""
    text: str


@dataclass(frozen=True, slots=True)
class Seam:
    """A seam, as claimed."""

    wall: str
    course: int
    run: int
    x: int
    """Right end of the left piece, from the wall's left. [ticks]"""
    left: str
    right: str


@dataclass(frozen=True, slots=True)
class Cut:
    """A piece on its bar, as claimed, from the bar's left end. [ticks]"""

    label: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Bar:
    """A stock length and its cuts, as claimed. [ticks]"""

    number: int
    stock: int
    text: str
    cuts: tuple[Cut, ...]
    offcut: int


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the order, as claimed."""

    stock: int
    text: str
    count: int
    spare: int
    carton: int | None
    price: int | None


@dataclass(frozen=True, slots=True)
class Material:
    """The cutting of one material, as claimed."""

    role: str
    name: str
    status: str
    priced: bool
    bound: int
    cost: int
    order: tuple[Line, ...]
    bars: tuple[Bar, ...]
    seams_too: bool = False
    least_seams: int | None = None


@dataclass(frozen=True, slots=True)
class Figures:
    """What a wall comes to, as claimed. [ticks², butt edges in ticks]"""

    wall: str
    gross: int
    openings: int
    net: int
    courses: tuple[int, ...]
    tops: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Claims:
    """Everything that a record claims beside its job."""

    walls: tuple[Figures, ...]
    pieces: tuple[Piece, ...]
    trim: tuple[TrimPiece, ...]
    seams: tuple[Seam, ...]
    materials: tuple[Material, ...]
    findings: tuple[str, ...]
