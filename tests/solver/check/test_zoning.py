"""Zones as the recount finds them, against shapely and against the planner's way."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import assume, given, settings
from shapely import Polygon, box

from lapwright.check.zoning import strip_of
from lapwright.errors import AuditError
from lapwright.job import field
from lapwright.job.outline import crossing_edges
from lapwright.job.reading import parse_job
from lapwright.job.wall import Point
from lapwright.measure import Ticks
from lapwright.planning import make_plan
from tests.strategies import tape, walls

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.job.wall import Wall

SHAPES = {
    "gambrel": [(0, 0), (288, 0), (288, 96), (240, 156), (144, 192), (48, 156), (0, 96)],
    "dormer cheek": [(0, 0), (120, 60), (0, 60)],
    "over a lower roof": [(0, 0), (200, 0), (200, 60), (300, 60), (300, 140), (0, 140)],
}


@settings(deadline=None, max_examples=200)
@given(walls(), tape(0, 16 * 260), tape(1, 16 * 200))
def test_a_strip_is_what_lies_between_its_heights(wall: Wall, low: int, high: int) -> None:
    """Its area is that of the outline between the heights (shapely is the oracle)."""
    high = min(low + high, wall.height)
    assume(low < high)
    strip = strip_of(wall.outline, low, high)
    outline = Polygon([tuple(p) for p in wall.outline])
    wanted = outline.intersection(box(-1, low, wall.width + 1, high))
    assume(wanted.geom_type == "Polygon")
    assert abs(Polygon([tuple(p) for p in strip]).area - wanted.area) < 2 * outline.length


@pytest.mark.parametrize("corners", SHAPES.values(), ids=SHAPES.keys())
@pytest.mark.parametrize(("low", "high"), [(0, 50), (10, 58), (20, 60)])
def test_recount_and_planner_cut_alike(
    corners: Sequence[tuple[int, int]], low: int, high: int
) -> None:
    """Two ways that share no arithmetic find the same corners, to the tick."""
    outline = [Point(Ticks(x * 8128), Ticks(y * 8128)) for x, y in corners]
    strip = strip_of(outline, low * 8128, high * 8128)
    planned = field.clip_outline(outline, low * 8128, high * 8128)
    assert planned
    assert crossing_edges(planned) is None
    first = strip.index(planned[0])
    assert strip[first:] + strip[:first] == planned


def test_a_planner_that_cuts_zones_wrongly_is_found_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A plan whose upper zone was cut a foot too far in does not stand."""
    job = parse_job(
        # A job of its own, for what is found of a job is kept.
        "{job: cut wrongly, siding: {material: vinyl double 4}, walls: [{name: a, width: 20',"
        " height: 9', gable: {pitch: 8/12}, zones: [{top: 9', band: 8}, {}]}]}",
        "x",
    )
    true = field.clip_outline

    def narrow(outline: Sequence[Point], low: int, high: int) -> tuple[Point, ...]:
        foot = 24 * 8128 if low else 0
        return tuple(Point(Ticks(max(p.x, foot)), p.y) for p in true(outline, low, high))

    monkeypatch.setattr(field, "clip_outline", narrow)
    with pytest.raises(AuditError, match="wall A, course 15"):
        make_plan(job)
