"""What is to be cut, and from what: pieces, stock and the saw."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Ends(Enum):
    """The factory ends of the stock length that a piece must keep.

    A stock length has one left and one right factory end and cannot be turned end
    for end, so a bar yields at most one piece that keeps the left end and at most
    one that keeps the right end.
    """

    NONE = "none"
    """Cut at both ends, or either; it may still lie at the end of a bar."""
    LEFT = "left"
    """Keeps the left factory end."""
    RIGHT = "right"
    """Keeps the right factory end."""
    BOTH = "both"
    """A whole, uncut stock length."""


@dataclass(frozen=True, slots=True)
class Piece:
    """Pieces of one length that are wanted.

    Lengths are whole numbers of any one unit, the same in the whole problem.
    """

    length: int
    count: int
    ends: Ends = Ends.NONE
    label: str = ""

    def __post_init__(self) -> None:
        """Refuse what cannot be cut."""
        _whole("the length of a piece", self.length, least=1)
        _whole("the count of a piece", self.count, least=1)


@dataclass(frozen=True, slots=True)
class Stock:
    """One stock length that may be bought, or a leftover on hand.

    A leftover on hand is a stock length of little or no cost with a counted supply.
    """

    length: int
    cost: int
    """In the smallest unit of money, or in any unit that makes it whole."""
    supply: int | None = None
    """How many there are; None is as many as wanted."""
    label: str = ""

    def __post_init__(self) -> None:
        """Refuse what cannot be bought."""
        _whole("the length of a stock length", self.length, least=1)
        _whole("the cost of a stock length", self.cost, least=0)
        if self.supply is not None:
            _whole("the supply of a stock length", self.supply, least=0)


@dataclass(frozen=True, slots=True)
class Problem:
    """A cutting list: the pieces, the stock and what the saw takes.

    Parameters
    ----------
    pieces
        What is wanted; every piece exactly as often as its count says.
    stock
        What it may be cut from.
    kerf
        Width of the cut. [the unit of the pieces]
    trim
        What is cut off both ends of every bar together before it is used; it
        destroys the factory ends. [the unit of the pieces]
    keep
        The shortest offcut that is worth keeping; 0 keeps none.
        [the unit of the pieces]
    """

    pieces: tuple[Piece, ...]
    stock: tuple[Stock, ...]
    kerf: int = 0
    trim: int = 0
    keep: int = 0

    def __post_init__(self) -> None:
        """Refuse a list that has nothing to cut, or nothing to cut it from."""
        if not self.pieces:
            raise ValueError("there is no piece to cut")
        if not self.stock:
            raise ValueError("there is no stock length to cut from")
        _whole("the kerf", self.kerf, least=0)
        _whole("the trim", self.trim, least=0)
        _whole("the shortest offcut worth keeping", self.keep, least=0)
        if self.trim and any(piece.ends is not Ends.NONE for piece in self.pieces):
            raise ValueError("a piece keeps a factory end, but the ends are trimmed off")

    def fits(self, lengths: int, pieces: int, stock: int) -> bool:
        """Tell whether so many pieces of that total length fit a stock length.

        The last piece needs no cut behind it when it ends where the bar ends.

        Parameters
        ----------
        lengths
            Sum of the lengths of the pieces. [the unit of the pieces]
        pieces
            How many pieces they are.
        stock
            Index into `stock`.
        """
        room = self.stock[stock].length - self.trim
        return lengths + max(0, pieces - 1) * self.kerf <= room

    def offcut(self, lengths: int, pieces: int, stock: int) -> int:
        """Give what is left of a bar; the blade eats what is thinner than itself.

        Returns
        -------
        int
            Zero or more. [the unit of the pieces]
        """
        room = self.stock[stock].length - self.trim
        return max(0, room - lengths - pieces * self.kerf)


def _whole(name: str, value: object, least: int) -> None:
    """Refuse anything but a whole number that is large enough."""
    if not isinstance(value, int) or isinstance(value, bool):
        raise TypeError(f"{name} must be a whole number, not {value!r}")
    if value < least:
        raise ValueError(f"{name} must be {least} or more, not {value}")
