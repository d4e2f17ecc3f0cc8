"""Jackson Lumber & Millwork, product catalog p. 70, Estimating Siding & Accessories.

The rules of the page; its worked gable and dormer are in test_estimating_pages.
"""

from __future__ import annotations

from fractions import Fraction

from lapwright.job.catalogue import built_in_trim
from lapwright.job.material import Family, TrimRole
from lapwright.job.reading import parse_job
from lapwright.measure import FOOT, Ticks, Unit, square_feet
from lapwright.takeoff.convention import OpeningRule, estimates
from lapwright.takeoff.stretch import Stretch, piece_lengths


def test_all_openings_off_and_a_tenth_more() -> None:
    """Take all openings off, add 10 %: a net wall of 195 sq ft is ordered as 214.5."""
    # The wall of Florida State University, Liberal Arts Math, example 2.6.5.
    text = (
        "{job: x, unit: ft, siding: {material: vinyl double 4}, walls:"
        " [{name: a, width: 24, height: 8, gable: {rise: 6}, openings:"
        " [{name: w1, x: 2, sill: 3, width: 6, height: 4},"
        " {name: w2, x: 16, sill: 3, width: 6, height: 4},"
        " {name: d, kind: door, x: 10, sill: 0, width: 3, height: 7}]}]}"
    )
    first = estimates(parse_job(text, "x.yaml"))[0]
    assert first.convention.openings is OpeningRule.ALL
    assert square_feet(first.area) == Fraction("214.5")
    assert first.squares == Fraction("2.145")
    # A panel covers 8-1/3 sq ft: 25.74 panels, of which 24 make a carton.
    assert (first.pieces, first.cartons) == (26, 2)


def test_starter_is_the_way_round_over_ten() -> None:
    """Starter strips: feet round the house over 10, rounded up; 176 ft take 18."""
    trim = {t.role: t for t in built_in_trim(None, Family.LAPPED)}[TrimRole.STARTER]
    stretch = Stretch(TrimRole.STARTER, "A", "along the bottom", Ticks(176 * FOOT))
    assert len(piece_lengths(stretch, trim, Unit.FOOT)) == 18
