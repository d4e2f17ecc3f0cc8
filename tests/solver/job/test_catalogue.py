"""The built-in catalogue: every value has a source and can be used."""

from __future__ import annotations

import pytest

from lapwright.job.catalogue import (
    built_in_siding,
    built_in_trim,
    default_rules,
    entries,
    siding_names,
)
from lapwright.job.material import Family, TrimRole
from lapwright.job.rules import Rules
from lapwright.measure import FOOT, INCH


def test_every_entry_names_its_source() -> None:
    """No value of the catalogue stands without where it comes from."""
    listed = entries()
    assert len(listed) > 30
    for entry in listed:
        assert len(entry.source) > 10, entry


@pytest.mark.parametrize("family", list(Family))
def test_every_rule_has_a_default(family: Family) -> None:
    """The catalogue gives exactly the rules that a job needs, for either family."""
    given = default_rules(None, family, cold=False)
    # Which rules are hard is a choice of the job's own.
    assert {*given, "hard"} == set(Rules.__slots__)
    Rules(**given)


@pytest.mark.parametrize("name", siding_names())
def test_every_siding_can_be_used(name: str) -> None:
    """Every built-in siding has an exposure, stock lengths and trim."""
    siding = built_in_siding(name)
    assert siding.exposure > 0
    assert siding.stock == tuple(sorted(siding.stock, key=lambda s: s.length))
    assert TrimRole.STARTER in {trim.role for trim in built_in_trim(name, siding.family)}


def test_cartons_of_vinyl_hold_two_squares() -> None:
    """Pieces x exposure x length is 200 sq ft, to 0.5 % (trade identity, from memory)."""
    for name in siding_names():
        siding = built_in_siding(name)
        for stock in siding.stock:
            if stock.carton is not None:
                area = stock.carton * siding.exposure * stock.length
                assert abs(area / (200 * FOOT * FOOT) - 1) < 0.005, name


def test_engineered_wood_has_its_makers_joint_gap() -> None:
    """Louisiana-Pacific, Installation Video Series, part 7: butt gap at least 3/16 in."""
    rules = default_rules("engineered wood 8 in by 16 ft", Family.BUTTED, cold=False)
    assert rules["joint_gap"] == 3 * INCH // 16
