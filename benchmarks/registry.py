"""The families of cutting problems that are measured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from lapwright.cutting import Problem


@dataclass(frozen=True, slots=True)
class Instance:
    """One problem, and the best value that others have proven for it."""

    name: str
    problem: Problem
    optimum: int | None
    """The proven optimum in the cost of the problem; None where none is known."""


@dataclass(frozen=True, slots=True)
class Family:
    """A frozen set of instances of one source."""

    name: str
    source: str
    """Who made the instances, and where they were published."""
    load: Callable[[Path], Iterator[Instance]]
    """Read the instances from the data folder, in the order of their names."""
    example: Callable[[], Instance]
    """Make the smallest problem of the same kind, without any data."""

    def __post_init__(self) -> None:
        """Refuse a family without a name or a source."""
        if not self.name.isidentifier() or not self.source:
            raise ValueError(f"a family needs a name and a source: {self.name!r}")


_FAMILIES: dict[str, Family] = {}


def register(family: Family) -> Family:
    """Add a family; its name must be new."""
    if family.name in _FAMILIES:
        raise ValueError(f"there are two families {family.name!r}")
    _FAMILIES[family.name] = family
    return family


def families() -> tuple[Family, ...]:
    """Give all families in the order in which they were added."""
    return tuple(_FAMILIES.values())
