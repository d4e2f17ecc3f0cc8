"""Seams placed by rule, run after run as they are hung, before anything is cut."""

from __future__ import annotations

from bisect import bisect_left, insort
from typing import TYPE_CHECKING

from lapwright.job.material import Family
from lapwright.seams.butted import place_joints
from lapwright.seams.lapped import place_seams
from lapwright.seams.split import Part, Split, Zone

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.job.job import Job
    from lapwright.job.wall import Wall
    from lapwright.takeoff.run import Run


def place_in_turn(job: Job, runs: Sequence[tuple[Wall, Run]]) -> list[Split]:
    """Split every run: fewest seams, then fewest rules broken, then what is left over.

    Parameters
    ----------
    job
        With one siding.
    runs
        In the order of hanging.

    Raises
    ------
    NoPlanError
        The rules and the stock leave no way to make a run.
    """
    splits: list[Split] = []
    offcuts: list[int] = []
    earlier: dict[str, dict[int, list[Zone]]] = {}
    for wall, run in runs:
        below = earlier.setdefault(wall.mark, {})
        split = _split(wall, run, job, below, offcuts)
        splits.append(split)
        below.setdefault(run.course.number, []).extend(split.seams)
    return splits


def _split(
    wall: Wall,
    run: Run,
    job: Job,
    earlier: dict[int, list[Zone]],
    offcuts: list[int],
) -> Split:
    if run.length <= job.siding.longest:
        return Split(run, (Part(run.x, run.length),))
    if job.siding.family is Family.BUTTED:
        return place_joints(wall, run, job, earlier)
    split = place_seams(wall, run, job, earlier, offcuts)
    # What the last piece leaves has a right factory end, for a first piece to come.
    best = bisect_left(offcuts, split.parts[0].length + job.rules.siding_kerf)
    if best < len(offcuts):
        del offcuts[best]
    insort(offcuts, job.siding.longest - split.parts[-1].length)
    return split
