"""Westlake Royal, Managing Expansion and Contraction in Vinyl Siding Installation."""

from __future__ import annotations

from fractions import Fraction

import pytest

from lapwright.job.thermal import movement
from lapwright.measure import FOOT, INCH


@pytest.mark.parametrize("degrees", [100, 110, 120])
def test_a_twelve_foot_panel_through_the_seasons(degrees: int) -> None:
    """A 12-ft panel moves 1/2 to 5/8 in; the page gives no degrees, these are ours.

    At 3.5e-5 for each °F, in the middle of the published coefficients, 100 to 120 °F
    from the coldest night to a wall in the sun fall into that range.
    """
    moved = movement(12 * FOOT, Fraction("3.5e-5"), degrees) / INCH
    assert Fraction(1, 2) <= moved <= Fraction(5, 8)
