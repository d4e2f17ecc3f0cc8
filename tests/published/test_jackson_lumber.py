"""Jackson Lumber & Millwork, product catalog p. 70, Estimating Siding & Accessories.

The rules of the page; its worked gable and dormer are in test_estimating_pages.
"""

from __future__ import annotations

from fractions import Fraction

from lapwright.job.catalogue import built_in_trim
from lapwright.job.material import Family, TrimRole
from lapwright.job.reading import parse_job
from lapwright.measure import FOOT, Ticks, Unit, square_feet
from lapwright.planning import make_plan
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


def test_fascia_and_f_channel_are_the_way_over_twelve() -> None:
    """Fascia round the house, F-channel along the overhang: feet over 12, rounded up."""
    for role in ("fascia", "f_channel"):
        trim = {t.role: t for t in built_in_trim(None, Family.LAPPED)}[TrimRole(role)]
        # 176 ft are 14.67 lengths; so little is lost in laps that it stays at 15.
        stretch = Stretch(trim.role, "E1", "along the eave", Ticks(176 * FOOT))
        assert len(piece_lengths(stretch, trim, Unit.FOOT)) == 15


def test_soffit_is_length_times_width() -> None:
    """Squares of soffit: length x width / 100; panels of 12 in over 60 ft by 20 in take one.

    A stock length of 12 ft covers 12 sq ft and yields seven panels of 19-1/2 in (at 20 in
    deep, without kerf), so that the 100 sq ft of the rule are 9 stock lengths; the plan
    cuts 60 panels, and 60 over 7 are 9 as well.
    """
    text = (
        "{job: x, siding: {material: vinyl double 4}, rules: {soffit_kerf: 0}, walls:"
        " [{name: a, width: 99, height: 16}],"
        " soffits: [{name: s, length: 60', depth: 20, left: none, right: none}]}"
    )
    plan = make_plan(parse_job(text, "x.yaml"))
    soffit = plan.material("soffit")
    assert soffit is not None
    assert square_feet(60 * FOOT * 20 * FOOT // 12) == 100
    assert -(-100 // 12) == sum(line.count for line in soffit.order) == 9
