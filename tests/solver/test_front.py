"""What fewer seams cost, by reckoning on small walls."""

from __future__ import annotations

from itertools import pairwise

import pytest

from lapwright.front import fronts
from lapwright.job.reading import parse_job
from lapwright.planning import make_plan

WALLS = (
    "walls: [{name: a, width: 20', height: 48}, {name: b, width: 19', height: 48},"
    " {name: c, width: 9', height: 48}]"
)


def job_text(rules: str) -> str:
    """Write a job of three walls in six courses each, two of which take seams."""
    return (
        "{job: x, siding: {material: vinyl double 4, stock: [{length: 12' 6\"}]},"
        f" rules: {rules}, {WALLS}}}"
    )


def test_fewer_seams_never_cost_less() -> None:
    """From the twelve seams that the runs need on, each point has a reason to be there."""
    job = parse_job(job_text("{extra_seams: 1}"), "x")
    (front,) = fronts(job, time_limit=6.0)
    assert front.points[0].seams == 12
    for one, more in pairwise(front.points):
        assert one.seams < more.seams
        assert (more.broken, more.cost) < (one.broken, one.cost)
        assert more.bound <= one.bound
    for point in front.points:
        assert point.bound <= point.cost
        assert (point.status == "proven") <= (point.bound == point.cost)
    few = make_plan(job, time_limit=4.0, fewest_seams=True).materials[0]
    assert front.points[0].bound <= few.cost


def test_without_extra_seams_there_is_one_point() -> None:
    """Every run has its fewest seams then, and the costs are those of the plan."""
    job = parse_job(job_text("{}"), "x")
    (front,) = fronts(job, time_limit=2.0)
    (point,) = front.points
    plan = make_plan(job, time_limit=2.0)
    assert (point.seams, front.extra_seams) == (len(plan.seams), 0)
    assert point.bound <= plan.materials[0].cost


@pytest.mark.parametrize("width", ["9'", "12' 6\""])
def test_walls_without_a_seam(width: str) -> None:
    """A run that one panel makes leaves nothing to choose; one panel or less each."""
    text = f"{{job: x, siding: {{material: vinyl double 4}}, walls: [{{name: a, width: {width}"
    (front,) = fronts(parse_job(text + ", height: 48}]}", "x"), time_limit=2.0)
    assert [(p.seams, p.broken, p.panels, p.status) for p in front.points] == [
        (0, 0, 6, "proven")
    ]
