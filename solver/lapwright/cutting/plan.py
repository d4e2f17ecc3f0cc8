"""What comes out: patterns, how often each is cut, and what is proven of it."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from lapwright.cutting.problem import Problem


class Status(Enum):
    """How far the search came."""

    PROVEN = "proven"
    """No plan costs less; the bound was proven in whole numbers."""
    TIME_LIMIT = "time limit"
    """The best plan found in the time given; the bound tells how far it may be off."""
    WORK_LIMIT = "work limit"
    """The same, where the search ran out of steps and not of time."""
    INTERRUPTED = "interrupted"
    """The same, where somebody stopped the search."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """One way to cut a stock length, and how many bars are cut so."""

    stock: int
    """Index into the stock of the problem."""
    count: int
    pieces: tuple[tuple[int, int], ...]
    """Index into the pieces of the problem, and how many of them a bar yields."""


@dataclass(frozen=True, slots=True)
class CutPlan:
    """A plan that yields every piece of a problem exactly as often as wanted."""

    problem: Problem
    patterns: tuple[Pattern, ...]
    bound: int
    """No plan costs less than this, rounded up to the next cost that can occur."""
    status: Status

    @property
    def cost(self) -> int:
        """What the bars cost [the unit of the costs]."""
        stock = self.problem.stock
        return sum(stock[p.stock].cost * p.count for p in self.patterns)

    @property
    def bars(self) -> int:
        """How many bars are cut."""
        return sum(pattern.count for pattern in self.patterns)

    @property
    def bars_of_stock(self) -> tuple[int, ...]:
        """How many bars of each stock length are cut, in the order of the problem."""
        used = Counter[int]()
        for pattern in self.patterns:
            used[pattern.stock] += pattern.count
        return tuple(used[index] for index in range(len(self.problem.stock)))

    @property
    def stock_length(self) -> int:
        """How long all bars together are [the unit of the pieces]."""
        stock = self.problem.stock
        return sum(stock[p.stock].length * p.count for p in self.patterns)

    @property
    def setups(self) -> int:
        """How often the saw is set up anew: how many patterns there are."""
        return len(self.patterns)

    @property
    def kept(self) -> int:
        """How long the offcuts worth keeping are together [the unit of the pieces].

        It is 0 where the problem keeps none.
        """
        least = self.problem.keep
        offcuts = [(self.offcut(p), p.count) for p in self.patterns]
        return sum(w * n for w, n in offcuts if least and w >= least)

    @property
    def is_proven(self) -> bool:
        """Whether no plan costs less."""
        return self.status is Status.PROVEN

    def offcut(self, pattern: Pattern) -> int:
        """Give what is left of one bar of a pattern [the unit of the pieces]."""
        pieces = self.problem.pieces
        lengths = sum(pieces[index].length * many for index, many in pattern.pieces)
        number = sum(many for _, many in pattern.pieces)
        return self.problem.offcut(lengths, number, pattern.stock)


class Watcher(Protocol):
    """Hears how a search comes on; it must not change anything."""

    def hear(self, stage: str, seconds: float, best: int | None, bound: int) -> None:
        """Hear the stage, the seconds so far, the best cost yet, and the bound."""


class NoWatcher:
    """Hears nothing."""

    def hear(self, stage: str, seconds: float, best: int | None, bound: int) -> None:
        """Do nothing."""
