"""What is to be decided: a way to make every run, from bars that all pieces share."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from lapwright.cutting import Ends, Piece, Stock

    Whole = NDArray[np.int64]

NOWHERE = -(1 << 60)
"""Place of a seam that a way does not have."""


@dataclass(frozen=True, eq=False, slots=True)
class Ways:
    """The ways to make a run of one kind: its pieces and where they meet."""

    lengths: Whole
    """Of the pieces to cut, 0 where a way has fewer. (ways, columns)"""
    ends: tuple[Ends, ...]
    """The factory end that the pieces of a column keep. (columns,)"""
    whole: Whole
    """Whole stock lengths that are hung uncut, by stock. (ways, stock)"""
    seams: Whole
    """Twice the middle of each seam along the course; `NOWHERE` where a way has
    fewer. (ways, seams)"""
    broken: Whole
    """Rules that the way breaks by itself. (ways,)"""

    def __len__(self) -> int:
        """Count the ways."""
        return len(self.broken)

    @property
    def joints(self) -> Whole:
        """Count the seams of every way. (ways,)"""
        return np.asarray((self.seams > NOWHERE).sum(axis=1), dtype=np.int64)

    @property
    def least_joints(self) -> int:
        """Give the fewest seams of a way that breaks no more rules than need be."""
        return int(self.joints[self.broken == self.broken.min()].min())


@dataclass(frozen=True, eq=False, slots=True)
class Run:
    """A run that has a choice of ways."""

    wall: int
    """Seams of two walls have nothing to do with each other."""
    course: int
    ways: Ways


@dataclass(frozen=True, slots=True)
class Apart:
    """How far seams of one wall must be apart."""

    stagger: int = 0
    """In neighbouring courses. [unit of the lengths]"""
    in_line_courses: int = 1
    """Within fewer courses than this they may not be in line."""
    in_line_width: int = 0
    """Closer than this they are in line. [unit of the lengths]"""

    @property
    def reach(self) -> int:
        """How many courses away a seam may still matter."""
        return max(self.in_line_courses - 1, 1 if self.stagger else 0)

    def limits(self, courses: int) -> tuple[int, ...]:
        """Give within what two seams so many courses apart break a rule each.

        Returns
        -------
        tuple of int
            Twice the distances, as seams are by twice their middle.
        """
        found = []
        if courses == 1 and self.stagger:
            found.append(2 * self.stagger)
        elif courses < self.in_line_courses and self.in_line_width:
            found.append(2 * self.in_line_width)
        return tuple(found)

    def cliques(self) -> Iterator[tuple[int, int]]:
        """Give stretches in which one of so many courses on top of each other has a seam.

        Yields
        ------
        tuple of int
            Twice the length of the stretch, and the courses.
        """
        for courses in range(1, self.reach + 1):
            widths = [min(self.limits(near), default=0) for near in range(1, courses + 1)]
            if min(widths):
                yield min(widths), courses + 1


@dataclass(frozen=True, slots=True)
class JointProblem:
    """Runs with choices, pieces without, and the stock that all are cut from."""

    runs: tuple[Run, ...]
    fixed: tuple[Piece, ...]
    stock: tuple[Stock, ...]
    kerf: int = 0
    apart: Apart = Apart()
    seam_price: int = 0
    """What a seam weighs beside the stock. [unit of the costs]"""
    most_seams: int | None = None
    """How many seams there may be; None is as many as the ways have."""
    is_listed: bool = True
    """Whether the runs list all their ways; else a bound speaks of the cutting alone."""

    @property
    def least_seams(self) -> int:
        """No plan whose ways break no more rules than they must has fewer seams."""
        return sum(run.ways.least_joints for run in self.runs)

    @property
    def least_broken(self) -> int:
        """No plan breaks fewer rules."""
        return sum(int(run.ways.broken.min()) for run in self.runs)

    @property
    def dearest(self) -> int:
        """Give what bars for any ways cost at most: every piece from a bar of its own."""
        pieces = sum(piece.count for piece in self.fixed)
        for run in self.runs:
            made = (run.ways.lengths > 0).sum(axis=1) + run.ways.whole.sum(axis=1)
            pieces += int(made.max())
        return pieces * max(stock.cost for stock in self.stock)
