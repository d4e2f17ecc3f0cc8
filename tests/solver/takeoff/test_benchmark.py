"""The house that the benchmark of the takeoff draws."""

from __future__ import annotations

import pytest

from benchmarks.takeoff import EACH, WALLS, house
from lapwright.job.corners import is_box


@pytest.mark.parametrize("shaped", [False, True])
def test_the_house_is_as_large_as_it_says(shaped: bool) -> None:
    """Twelve walls and sixty openings, the same from the same seed."""
    job = house(1, shaped=shaped)
    openings = [opening for wall in job.walls for opening in wall.openings]
    assert (len(job.walls), len(openings)) == (WALLS, WALLS * EACH) == (12, 60)
    assert all(is_box(opening) for opening in openings) is not shaped
    assert house(1, shaped=shaped) == job
