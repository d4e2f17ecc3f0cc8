"""Counts by the estimating rules of the trade, to lay beside the exact count."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING

from lapwright.measure import FOOT

if TYPE_CHECKING:
    from lapwright.measure import Ticks

SQUARE = 100 * FOOT * FOOT
"""A square: 100 square feet of wall. [ticks²]"""


def pieces_by_area(
    area: int | Fraction, exposure: Ticks, length: Ticks, added: Fraction
) -> int:
    """Count the pieces that cover an area, with a share added for waste.

    Parameters
    ----------
    area
        What is to be covered. [ticks²]
    exposure, length
        Of a piece. [ticks]
    added
        Share added for waste, such as 1/10.

    References
    ----------
    Larry Haun, How to Build a House, Taunton Press, siding chapter: squares = area / 100,
    and 10 % for waste.
    """
    return math.ceil(area * (1 + added) / (exposure * length))


def boards_across(width: Ticks, face: Ticks, wasted: Fraction) -> int:
    """Count the boards that lie side by side across a width, a share being wasted.

    Parameters
    ----------
    width
        What is to be covered. [ticks]
    face
        Width that a board covers. [ticks]
    wasted
        Share of what is bought that is wasted, below 1.

    References
    ----------
    U.S. Army Engineer School, subcourse EN01136, lesson 5: width / face / (1 - waste),
    rounded up.
    """
    return math.ceil(Fraction(width, face) / (1 - wasted))
