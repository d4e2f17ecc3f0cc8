"""Wolverine Fit and Finish Installation Guide (CertainTeed), vertical siding."""

from __future__ import annotations

from lapwright.measure import INCH, Ticks
from lapwright.takeoff.evening import share_ends
from lapwright.takeoff.movement import share_upright


def test_a_gap_of_three_quarters_of_an_inch() -> None:
    """Of 3/4 in in all, 1/4 in stays at the top and 1/2 in at the bottom."""
    top, bottom = share_upright(Ticks(3 * INCH // 4))
    assert top == INCH // 4
    assert bottom == INCH // 2


def test_a_balanced_layout_of_upright_panels() -> None:
    """25 full panels and 10 in over: two end pieces are ripped to 5 in each."""
    # The guide's panel is of any width; here 12 in.
    whole, end = share_ends(25 * 12 + 10, 12)
    assert whole == 25
    assert end == 5
