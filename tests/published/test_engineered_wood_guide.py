"""APA, Engineered Wood Construction Guide, form B360P, 2011, figures 10 and 12, p. 50.

Lap siding: at most 12 in wide, head lap at least 1 in, a starter strip 1-1/2 in wide and as
thick as the siding, 1/8 in at joints unless the maker says otherwise.
"""

from __future__ import annotations

from lapwright.job.catalogue import built_in_siding, built_in_trim
from lapwright.job.material import Family, TrimRole
from lapwright.job.reading import parse_job
from lapwright.measure import INCH

NAME = "engineered wood 8 in by 16 ft"


def test_the_starter_is_an_inch_and_a_half_wide() -> None:
    """Figures 10 and 12: the starter of engineered wood, apart from that of other boards."""
    own = {trim.role: trim for trim in built_in_trim(NAME, Family.BUTTED)}
    other = {trim.role: trim for trim in built_in_trim(None, Family.BUTTED)}
    assert own[TrimRole.STARTER].face * 2 == 3 * INCH
    # It is ripped from the siding.
    assert own[TrimRole.STARTER].stock[0].length == built_in_siding(NAME).longest
    del own[TrimRole.STARTER], other[TrimRole.STARTER]
    assert own == other


def test_the_head_lap_is_an_inch_at_least() -> None:
    """Figures 10 and 12: of 8 in at most 7 in are seen, and no plank is above 12 in wide."""
    greatest = built_in_siding(NAME).greatest_exposure
    assert greatest is not None
    assert 8 * INCH - greatest >= 1 * INCH
    assert greatest + INCH <= 12 * INCH


def test_joints_are_an_eighth_open_or_more() -> None:
    """Figure 10: 1/8 in unless the maker says otherwise, who asks for 3/16 in here."""
    text = "{job: x, siding: {material: NAME}, walls: [{name: a, width: 20', height: 8'}]}"
    job = parse_job(text.replace("NAME", NAME), "x.yaml")
    assert job.rules.joint_gap * 8 >= INCH
