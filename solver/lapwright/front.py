"""What a seam less costs: the least cost of a siding for each number of seams."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lapwright.bars import Translator
from lapwright.cutting import Status
from lapwright.joint.fewest import shortened
from lapwright.joint.solve import solve_joint
from lapwright.planning import NoWatcher
from lapwright.seams.placing import place_in_turn
from lapwright.siding import lay_out
from lapwright.ways import Choice, choices_of, problem_of, row_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.job.job import Job
    from lapwright.job.wall import Wall
    from lapwright.joint.plan import JointPlan
    from lapwright.planning import Watcher
    from lapwright.seams.split import Split
    from lapwright.takeoff.run import Run

MOST_POINTS = 9
"""Of one siding."""
SHARE = 0.3
"""Of a siding's time, for the cheapest plan of all."""


@dataclass(frozen=True, slots=True)
class Point:
    """The cheapest plan found with no more seams than it has."""

    seams: int
    broken: int
    """Rules for seams that are broken."""
    panels: int
    """Stock lengths that are cut."""
    cost: int
    """[ticks, or 1/10000 of the currency where priced]"""
    bound: int
    """With no more seams, and the rules kept as well, nothing costs less. [as `cost`]"""
    status: str
    """As of a plan's material."""


@dataclass(frozen=True, slots=True)
class Front:
    """The points of one siding, fewest seams first."""

    siding: str
    priced: bool
    """Whether costs are money; else they are length."""
    extra_seams: int
    """How many more seams than its fewest a run may have."""
    points: tuple[Point, ...]


def fronts(
    job: Job, *, time_limit: float | None = 30.0, watcher: Watcher | None = None
) -> tuple[Front, ...]:
    """Find for each siding of a job what fewer seams cost.

    Parameters
    ----------
    job
        The job.
    time_limit
        For all searches together; None for no limit. [seconds]
    watcher
        Hears how the searches come on.

    Raises
    ------
    NoPlanError
        The rules and the stock leave no way to make a run.
    KeyboardInterrupt
        The search was stopped before there was any plan.
    """
    watcher = watcher or NoWatcher()
    laid: list[tuple[Job, Sequence[tuple[Wall, Run]], Sequence[Split]]] = []

    def note(part: Job, runs: Sequence[tuple[Wall, Run]]) -> Sequence[Split]:
        made = place_in_turn(part, runs)
        laid.append((part, runs, made))
        return made

    watcher.begin("layout")
    lay_out(job, note)
    watcher.begin("seams")
    seconds = None if time_limit is None else time_limit / max(len(laid), 1)
    return tuple(
        _front(part, runs, first, seconds, watcher) for part, runs, first in laid if runs
    )


def _front(
    job: Job,
    runs: Sequence[tuple[Wall, Run]],
    first: Sequence[Split],
    seconds: float | None,
    watcher: Watcher,
) -> Front:
    until = None if seconds is None else time.monotonic() + seconds
    choices = choices_of(runs, job)
    problem = problem_of(job, choices, 0)
    pairs = zip(choices, first, strict=True)
    rows = [row_of(c, split.parts) for c, split in pairs if isinstance(c, Choice)]
    start = None if None in rows else [row or 0 for row in rows]
    priced = all(stock.price is not None for stock in job.siding.stock)
    told = Translator(watcher, job.siding.name, priced, job.unit)

    cheapest = solve_joint(
        problem, time_limit=seconds and SHARE * seconds, watcher=told, start=start
    )
    found = [cheapest]
    limits = _spread(problem.least_seams, cheapest.seams)[:-1]
    before = None if start is None else shortened(problem, start)
    for place, most in enumerate(limits):
        if found[-1].status is Status.INTERRUPTED:
            break
        left = None
        if until is not None:
            left = max(0.0, until - time.monotonic()) / (len(limits) - place)
        limited = replace(problem, most_seams=most)
        found.append(solve_joint(limited, time_limit=left, watcher=told, start=before))
        before = list(found[-1].rows)
    return Front(
        job.siding.name, priced, job.rules.extra_seams, _points([*found[1:], cheapest])
    )


def _spread(least: int, most: int) -> list[int]:
    """List some numbers from the least to the most, both of them, evenly chosen."""
    if most <= least:
        return [most]
    steps = min(MOST_POINTS - 1, most - least)
    return [least + (most - least) * step // steps for step in range(steps + 1)]


def _points(plans: Sequence[JointPlan]) -> tuple[Point, ...]:
    """Make the points of plans with ever more seams allowed, without what is no better."""
    points: list[Point] = []
    bound = 0
    for plan in reversed(plans):
        # What is beyond reach with more seams is so with fewer.
        bound = min(max(bound, plan.bound), plan.cost)
        is_least = bound == plan.cost and plan.broken <= plan.problem.least_broken
        status = Status.PROVEN if is_least else plan.status
        bars = sum(pattern.count for pattern in plan.cut.patterns)
        point = Point(plan.seams, plan.broken, bars, plan.cost, bound, status.value)
        # It has no more seams than those so far: they must break fewer rules or cost less.
        points = [p for p in points if p.broken < point.broken or p.cost < point.cost]
        points.append(point)
    return tuple(reversed(points))
