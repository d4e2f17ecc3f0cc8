"""A family of our own: cutting lists such as a saw operator gets."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

from benchmarks.registry import Family, Instance, register
from lapwright.cutting import Piece, Problem, Stock

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

NUMBER = 60
FEET = (8, 10, 12, 14, 16, 20)
"""Common stock lengths of lumber and trim. [ft]"""


def make_order(seed: int, lengths: int, pieces: int) -> Problem:
    """Make an order in sixteenths of an inch, the same for the same seed.

    Parameters
    ----------
    seed
        Which order.
    lengths
        How many different lengths it has.
    pieces
        How many pieces it has, about.
    """
    chance = Random(seed)  # noqa: S311 - no secret
    feet = sorted(chance.sample(FEET, chance.randint(1, 6)))
    # By the foot, with some odd cents: the longest are a little dearer.
    stock = tuple(
        Stock(f * 192, cost=f * 100 + chance.choice((0, 0, 25, 50)) + 2 * f * (f > 14))
        for f in feet
    )
    longest = feet[-1] * 192
    share = max(1, 2 * pieces // lengths)
    sizes = [chance.randint(96, longest) for _ in range(lengths)]
    counts = [chance.randint(1, share) for _ in range(lengths)]
    wanted = tuple(Piece(w, n) for w, n in zip(sizes, counts, strict=True))
    return Problem(wanted, stock, kerf=chance.choice((0, 2, 3)))


def _load(data: Path) -> Iterator[Instance]:
    """Make the orders; nothing is read."""
    del data
    for seed in range(NUMBER):
        chance = Random(1000 + seed)  # noqa: S311 - no secret
        lengths = chance.randint(10, 60)
        pieces = chance.randint(max(20, lengths), 2000)
        problem = make_order(seed, lengths, pieces)
        yield Instance(f"order_{seed:02d}", problem, None)


register(
    Family(
        "orders",
        "made here: 10 to 60 lengths, 20 to 2,000 pieces, 1 to 6 stock lengths",
        _load,
        lambda: Instance("example", make_order(0, 10, 20), None),
    )
)
