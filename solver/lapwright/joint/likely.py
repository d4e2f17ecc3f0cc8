"""Bars of the linear program that the pieces of chosen ways can be cut from.

Cutting these pieces begins where the linear program ends: most bars of a good plan are
known by then, and need not be found anew.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from lapwright.cutting import Ends

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from lapwright.cutting import Piece
    from lapwright.joint.core import Core
    from lapwright.joint.worth import Pattern


def bars_for(
    core: Core, pieces: Sequence[Piece], patterns: Iterable[Pattern]
) -> Iterator[tuple[int, list[int]]]:
    """Give the bars that yield nothing but some pieces.

    Rounding may make them a little too full.

    Parameters
    ----------
    core
        The problem in units.
    pieces
        Of the ways that were chosen.
    patterns
        What bars yield.

    Yields
    ------
    stock : int
    pieces : list of int
        By their places.
    """
    takes = core.takes(np.array([piece.length for piece in pieces], dtype=np.int64)).tolist()
    at: dict[Ends, dict[int, list[int]]] = {end: {} for end in Ends}
    for place, (piece, taken) in enumerate(zip(pieces, takes, strict=True)):
        key = piece.length if piece.ends is Ends.NONE else taken
        at[piece.ends].setdefault(key, [place])
    kinds = {
        kind: at[Ends.NONE][length]
        for kind, length in enumerate(core.lengths)
        if length in at[Ends.NONE]
    }
    left, right = {0: [], **at[Ends.LEFT]}, {0: [], **at[Ends.RIGHT]}
    for pattern in patterns:
        if pattern.left in left and pattern.right in right:
            found = [*left[pattern.left], *right[pattern.right]]
            if all(kind in kinds for kind in pattern.plain):
                yield pattern.stock, [*(kinds[kind][0] for kind in pattern.plain), *found]
