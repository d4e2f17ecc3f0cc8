"""Seams first, cuts after: every run is split by rule, then all pieces are cut at best.

The second step is an optimal cutting plan, but of the pieces that the first has made.
"""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

from benchmarks.hung import Hung, Placed, runs_of
from lapwright.bars import Material, Saw, Terms, Want, cut_material
from lapwright.cutting import Ends
from lapwright.job.material import Family
from lapwright.measure import Ticks
from lapwright.planning import NoWatcher
from lapwright.seams.placing import place_in_turn

if TYPE_CHECKING:
    from lapwright.job.job import Job
    from lapwright.plan import MaterialPlan
    from lapwright.seams.split import Split


def seams_then_cuts(job: Job, limit: float) -> tuple[Hung, MaterialPlan]:
    """Hang and cut the siding of a job.

    Parameters
    ----------
    limit
        For the cutting. [seconds]

    Raises
    ------
    NoPlanError
        The rules and the stock leave no way to make a run.
    """
    until = time.monotonic() + limit
    counted: dict[tuple[str, int], int] = {}
    pieces = tuple(
        p
        for split in place_in_turn(job, list(runs_of(job)))
        for p in place_run(split, job, counted)
    )
    siding = job.siding
    planned, _ = cut_material(
        Material("siding", siding.name, siding.stock, job.rules.siding_kerf),
        [Want(p.label, Ticks(p.length), p.ends) for p in pieces],
        1,
        Terms(job.spare, job.unit, until, NoWatcher(), Saw()),
    )
    return Hung(pieces, planned.bars), planned


def place_run(
    split: Split, job: Job, counted: dict[tuple[str, int], int]
) -> tuple[Placed, ...]:
    """Label the pieces of a run, and say which factory ends they keep.

    Parameters
    ----------
    counted
        Pieces so far, by wall and course; it is counted on.
    """
    run, made = split.run, []
    key = (run.wall, run.course.number)
    for part, keeps in zip(split.parts, ends_of(split, job), strict=True):
        counted[key] = counted.get(key, 0) + 1
        label = f"{run.wall}{run.course.number}.{counted[key]}"
        made.append(Placed(label, *key, run.number, part.x, part.length, keeps))
    return tuple(made)


def ends_of(split: Split, job: Job) -> list[Ends]:
    """Give the factory ends that the pieces of a run keep."""
    many = len(split.parts)
    if many == 1 or job.siding.family is Family.BUTTED:
        return [Ends.NONE] * many
    return [Ends.RIGHT, *[Ends.BOTH] * (many - 2), Ends.LEFT]
