"""Which pieces of trim go round an opening, by side, for the drawings of a wall."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from lapwright_cli.reports.writing import plain

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lapwright.job.wall import Opening, Wall
    from lapwright.plan import Plan


class Side(StrEnum):
    """A side of an opening."""

    HEAD = "head"
    SILL = "sill"
    LEFT = "left"
    RIGHT = "right"


def trim_round(opening: Opening, wall: Wall, plan: Plan) -> Mapping[Side, tuple[str, ...]]:
    """Give the labels of the trim at each side of an opening that has some.

    A channel bent all round is told at the sill, where its ends meet.
    """
    name = opening.name
    sides = {
        f"{name}, head": Side.HEAD,
        f"over {name}": Side.HEAD,
        f"{name}, sill": Side.SILL,
        f"under {name}": Side.SILL,
        f"{name}, bent all round": Side.SILL,
        f"{name}, left side": Side.LEFT,
        f"{name}, right side": Side.RIGHT,
    }
    found: dict[Side, list[str]] = {}
    for piece in plan.trim:
        side = sides.get(piece.place)
        if piece.wall == wall.mark and side is not None:
            found.setdefault(side, []).append(plain(piece.label))
    return {side: tuple(labels) for side, labels in found.items()}


def trim_words(opening: Opening, wall: Wall, plan: Plan) -> str:
    """Say which trim goes round an opening, side by side; nothing where there is none."""
    found = trim_round(opening, wall, plan)
    return "; ".join(f"{side.value} {' '.join(found[side])}" for side in Side if side in found)
