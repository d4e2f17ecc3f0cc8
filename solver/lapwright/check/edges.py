"""The edges of a wall's outline."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lapwright.job.wall import Point, Wall


def edges_of(wall: Wall) -> list[tuple[Point, Point]]:
    """Give the edges of a wall's outline; the wall is at the left of each."""
    return list(zip(wall.outline, [*wall.outline[1:], wall.outline[0]], strict=True))
