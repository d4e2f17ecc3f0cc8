"""Where things stand along a wall, from its left end: openings, steps and the peak."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from lapwright.job.wall import LowerEdge
from lapwright_cli.reports.writing import on_wall, plain, shortened

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.job.wall import Wall
    from lapwright.measure import Unit

_LONGEST = 14
"""A name is cut off after so many letters beside its number."""


class Step(NamedTuple):
    """A level lower edge above the wall's bottom."""

    name: str
    """Steps are counted from the lowest; what lies equally high has one number."""
    y: int
    """[ticks]"""
    left: int
    """From the wall's left end. [ticks]"""
    right: int
    """[ticks]"""

    def words(self, unit: Unit) -> str:
        """Name it with where it lies along the wall."""
        return (
            f"{self.name}, {on_wall(self.left, unit)} to {on_wall(self.right, unit)}"
            " from the left"
        )


def steps_of(wall: Wall) -> tuple[Step, ...]:
    """List the steps of a foundation, or the level lower roofs, from the lowest."""
    word = "step" if wall.lower_edges is LowerEdge.GROUND else "lower roof"
    edges = [
        (int(a.y), int(a.x), int(b.x)) for a, b in wall.edges if a.y == b.y > 0 and a.x < b.x
    ]
    heights = sorted({y for y, _, _ in edges})
    return tuple(
        Step(f"{word} {heights.index(y) + 1}", y, left, right)
        for y, left, right in sorted(edges)
    )


def peaks_of(wall: Wall) -> tuple[tuple[int, int], ...]:
    """Give place and height of each corner of a wall between a rise and a fall. [ticks]"""
    corners = wall.outline
    return tuple(
        sorted(
            (int(here.x), int(here.y))
            for before, here, after in zip(
                [corners[-1], *corners[:-1]], corners, [*corners[1:], corners[0]], strict=True
            )
            # An outline goes round against the clock: its upper sides from right to left.
            if before.x > here.x > after.x and before.y < here.y > after.y
        )
    )


def places_along(wall: Wall, unit: Unit) -> tuple[tuple[int, str], ...]:
    """Tell each side of an opening and each corner of the wall's outline between its ends.

    Returns
    -------
    tuple
        Of each place, from the left: how far it is from the wall's left end [ticks], and
        what is there with that number.
    """
    found: dict[int, list[str]] = {}
    for x, name in _named(wall):
        names = found.setdefault(x, [])
        if name not in names:
            names.append(name)
    return tuple(
        (x, f"{', '.join(names)}: {on_wall(x, unit)}") for x, names in sorted(found.items())
    )


def _named(wall: Wall) -> Iterator[tuple[int, str]]:
    for opening in sorted(wall.openings, key=lambda o: (o.x, o.sill)):
        for side in (opening.x, opening.right):
            yield int(side), shortened(plain(opening.name), _LONGEST)
    corners = [(x, "peak") for x, _ in peaks_of(wall)]
    corners += [(x, step.name) for step in steps_of(wall) for x in (step.left, step.right)]
    told = {x for x, _ in corners}
    corners += [(int(p.x), "corner") for p in wall.outline if int(p.x) not in told]
    yield from ((x, name) for x, name in corners if 0 < x < wall.width)
