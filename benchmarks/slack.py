"""Whether the rules leave a house freedom to choose where its seams go."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchmarks.hung import runs_of
from lapwright.job.material import Family
from lapwright.measure import INCH
from lapwright.seams.butted import joint_places
from lapwright.seams.lapped import lapping
from lapwright.seams.split import Split, Zone, broken_by_place, kept_out

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.job.job import Job
    from lapwright.takeoff.run import Run

SHARE = 90
"""So many in a hundred of the runs with seams must have room for a stagger."""


def has_slack(job: Job) -> bool:
    """Whether nearly all runs with seams have room for one.

    A run has room where its first seam can lie in two places at least a stagger apart,
    with no more seams than the job allows, no piece too short, and clear of openings.
    """
    rooms = [
        _room(run, kept_out(wall, run, job.rules), job) >= job.rules.stagger
        for wall, run in runs_of(job)
        if run.length > job.siding.longest
    ]
    return bool(rooms) and 100 * sum(rooms) >= SHARE * len(rooms)


def _room(run: Run, outs: Sequence[Zone], job: Job) -> int:
    """Give how far apart the places for the first seam lie. [ticks]"""
    if job.siding.family is Family.BUTTED:
        places = _on_studs(run, outs, job)
    else:
        ways = (_lapped(run, outs, job, n) for n in range(job.rules.extra_seams + 1))
        places = [place for way in ways for place in way]
    return max(places) - min(places) if places else 0


def _lapped(run: Run, outs: Sequence[Zone], job: Job, extra: int) -> list[int]:
    made, rules = lapping(run, job, extra), job.rules
    low = max(rules.shortest_piece, run.left.inset + made.lap, made.ends - made.panel)
    high = made.ends - max(rules.shortest_piece, run.right.inset + made.lap)
    firsts = range(low, min(high, int(made.panel)) + 1, INCH)
    return [
        first
        for first in firsts
        if not any(
            broken_by_place(zone, run.course.number, outs, {}, rules)
            for zone in Split(run, made.parts(first)).seams
        )
    ]


def _on_studs(run: Run, outs: Sequence[Zone], job: Job) -> list[int]:
    rules, longest = job.rules, int(job.siding.longest)
    clear = [
        place
        for place in joint_places(run, job)
        if not broken_by_place(
            Zone(place, place + rules.joint_gap), run.course.number, outs, {}, rules
        )
    ]

    def joints(x: int) -> int | None:
        """Count the joints to the right of a joint. [joints]"""
        count = 0
        while run.end - x > longest:
            near = [
                p for p in clear if x < p <= min(x + longest, run.end - rules.shortest_piece)
            ]
            if not near:
                return None
            x, count = near[-1], count + 1
        return count

    first = [p for p in clear if rules.shortest_piece <= p - run.x <= longest]
    counted = [
        (place, count)
        for place in first
        if run.end - place >= rules.shortest_piece and (count := joints(place)) is not None
    ]
    fewest = min((count for _, count in counted), default=0)
    return [place for place, count in counted if count <= fewest + rules.extra_seams]
