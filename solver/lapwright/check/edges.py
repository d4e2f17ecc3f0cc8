"""The edges of a wall's outline."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lapwright.job.wall import LowerEdge

if TYPE_CHECKING:
    from lapwright.job.rules import Rules
    from lapwright.job.wall import Point, Wall


def edges_of(wall: Wall) -> list[tuple[Point, Point]]:
    """Give the edges of a wall's outline; the wall is at the left of each."""
    return list(zip(wall.outline, [*wall.outline[1:], wall.outline[0]], strict=True))


def clear_over(wall: Wall, rules: Rules) -> int:
    """Give how far siding stays above a level lower edge over the bottom. [ticks]"""
    return 0 if wall.lower_edges is LowerEdge.GROUND else rules.roof_clearance


def steps_of(wall: Wall) -> set[int]:
    """Give the heights at which the foundation under a wall steps up. [ticks]"""
    if wall.lower_edges is not LowerEdge.GROUND:
        return set()
    return {int(a.y) for a, b in edges_of(wall) if a.y == b.y > wall.bottom and b.x > a.x}


def is_step(wall: Wall, edge: int) -> bool:
    """Whether an edge of a wall, by its number, is where the foundation steps up."""
    edges = edges_of(wall)
    a, b = edges[edge]
    if a.x != b.x or wall.lower_edges is not LowerEdge.GROUND:
        return False
    # The outline goes up to the tread that follows, or down from the tread before.
    tread = edges[(edge + 1) % len(edges)] if b.y > a.y else edges[edge - 1]
    return tread[0].y == tread[1].y > wall.bottom and tread[0].x < tread[1].x
