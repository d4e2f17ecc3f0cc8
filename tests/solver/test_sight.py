"""From where walls are seen, and what the crew is told of stair steps.

M. Guertin, "Vinyl Siding Done Right", Fine Homebuilding: no uniform stair-step patterns.
How high eyes are is common practice, no source.  All numbers are by hand.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import numpy as np
import pytest

from lapwright import joined
from lapwright.check import recount
from lapwright.cutting import Status, solve
from lapwright.job.reading import parse_job
from lapwright.joint.plan import JointPlan, cutting_of
from lapwright.measure import INCH, Ticks
from lapwright.planning import make_plan
from lapwright.record import plan_record
from lapwright.seams.split import Part, Split
from lapwright.siding import lay_out
from lapwright.sight import find_stair_steps, views_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from lapwright.job.job import Job
    from lapwright.job.wall import Wall
    from lapwright.joint.problem import JointProblem
    from lapwright.takeoff.run import Run

WALLS = """
job: Shed
siding: {material: vinyl double 4, stock: [{length: 150}]}
walls:
  - {name: Front, width: 240, height: 8', seen_from: 5'}
  - {name: Back, width: 240, height: 8'}
"""


def test_courses_at_the_height_of_the_eyes() -> None:
    """Of courses of 8 in, the fifth reaches over 36 in and the eleventh begins at 80 in."""
    job = parse_job(WALLS, "x.yaml")
    laid = lay_out(job)
    walls = {wall.mark: wall for wall in job.walls}
    views = views_of((walls[s.run.wall], s.run) for s in laid.splits)
    assert set(views) == {"A"}
    assert views["A"].place == 60 * INCH
    assert views["A"].courses == {5, 6, 7, 8, 9, 10, 11}


def split_at(*firsts: int) -> Callable[[Job, Sequence[tuple[Wall, Run]]], list[Split]]:
    """Split course after course behind a first piece of so many inches."""

    def decide(job: Job, runs: Sequence[tuple[Wall, Run]]) -> list[Split]:
        lap, made = int(job.rules.lap), []
        for (_, run), inches in zip(runs, firsts, strict=True):
            first = Ticks(inches * INCH)
            rest = Part(Ticks(run.x + first - lap), Ticks(run.length - first + lap))
            made.append(Split(run, (Part(run.x, first), rest)))
        return made

    return decide


@pytest.mark.parametrize(
    ("firsts", "told"),
    [
        # Steps of 30 in twice, less than twice the stagger of 24 in.
        ((60, 90, 120, 95), "wall A, courses 1 to 3: seams make a stair step; no better"),
        ((60, 90, 120, 148), "wall A, courses 1 to 3: seams make a stair step, with 1 more on"),
        ((60, 90, 60, 90), ""),
    ],
)
def test_a_stair_that_stays_is_told(firsts: tuple[int, ...], told: str) -> None:
    """One line a wall, with the lowest courses that make one; nothing where there is none."""
    text = WALLS.replace("8'", "32").replace("  - {name: Back, width: 240, height: 32}\n", "")
    job = parse_job(text, "x.yaml")
    found = find_stair_steps(job, lay_out(job, split_at(*firsts)))
    assert len(found) == bool(told)
    assert "".join(found).startswith(told)


def test_seams_go_out_of_sight_for_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Wall A is seen from 60 in: a seam at 100 in is in sight, one at 140 in is not.

    By hand: without rules for seams, those of courses 5 to 11 go to wall B, and its go here.
    """

    def hung(problem: JointProblem, **_: object) -> JointPlan:
        rows = tuple(
            int(np.flatnonzero(run.ways.lengths[:, 0] == (100, 140)[run.wall] * INCH)[0])
            for run in problem.runs
        )
        cut = solve(cutting_of(problem, rows), time_limit=None)
        return JointPlan(problem, rows, cut, 0, Status.WORK_LIMIT)

    monkeypatch.setattr(joined, "solve_joint", hung)
    job = parse_job(f"rules: {{stagger: 0, in_line_width: 0}}\n{WALLS}", "x.yaml")
    plan = make_plan(job, time_limit=None)
    seams: dict[str, list[int]] = {"A": [], "B": []}
    for seam in plan.seams:
        # Siding begins 1/4 in from the wall's end.
        seams[seam.wall].append((seam.x - INCH // 4) // INCH)
    assert seams["A"] == [100] * 4 + [140] * 7 + [100]
    assert Counter(seams["A"] + seams["B"]) == {100: 12, 140: 12}
    assert recount(plan_record(plan)) == ()
