"""Seams of butted siding: every joint has its middle on a stud."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.errors import NoPlanError
from lapwright.measure import Rounding, Ticks, to_tape, write_length
from lapwright.seams.split import SHORT, Part, Split, Zone, broken_by_place, kept_out

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lapwright.job.job import Job
    from lapwright.job.wall import Wall
    from lapwright.takeoff.run import Run


def place_joints(
    wall: Wall, run: Run, job: Job, earlier: Mapping[int, Sequence[Zone]]
) -> Split:
    """Split a run at studs: fewest joints, then fewest rules broken, then least waste.

    With extra seams allowed, rules come before the number of joints.

    Parameters
    ----------
    wall, run, job
        The run, longer than the longest stock length.
    earlier
        Joints of the courses below on the same wall, by course number.

    Raises
    ------
    NoPlanError
        No row of studs lets pieces of the stock reach from end to end.
    """
    rules = job.rules
    outs = kept_out(wall, run, rules)
    longest = int(job.siding.longest)
    joints = joint_places(run, job)
    stops = [Zone(int(run.x), int(run.x)), *joints, Zone(run.end, run.end)]
    faults = [
        broken_by_place(zone, run.course.number, outs, earlier, rules, int(rules.stud_spacing))
        for zone in stops
    ]
    # ways[i][n]: the best way to have n joints at or before stop i, the last one there,
    # as (rules broken, waste, path); ties fall to the leftmost joints.
    ways: list[dict[int, tuple[int, int, tuple[int, ...]]]] = [{0: (0, 0, (0,))}]
    for i in range(1, len(stops)):
        is_joint = i < len(stops) - 1
        found: dict[int, tuple[int, int, tuple[int, ...]]] = {}
        for j in range(i):
            length = stops[i].left - stops[j].right
            if not 0 < length <= longest:
                continue
            against = (len(faults[i]) if is_joint else 0) + (length < rules.shortest_piece)
            waste = _waste(length, job)
            for count, way in ways[j].items():
                made = (way[0] + against, way[1] + waste, (*way[2], i))
                joints_now = count + is_joint
                if joints_now not in found or made < found[joints_now]:
                    found[joints_now] = made
        ways.append(found)
    if not ways[-1]:
        raise NoPlanError(
            f"wall {run.wall}, course {run.course.number}: no joints on studs at"
            f" {write_length(rules.stud_spacing, job.unit)} let pieces of at most"
            f" {write_length(longest, job.unit)} make a run of"
            f" {write_length(run.length, job.unit)}"
        )
    fewest = min(ways[-1])
    allowed = [n for n in ways[-1] if n <= fewest + rules.extra_seams]
    path = ways[-1][min(allowed, key=lambda n: (ways[-1][n][0], n))][2]
    parts = tuple(
        Part(Ticks(stops[a].right), Ticks(stops[b].left - stops[a].right))
        for a, b in pairwise(path)
    )
    broken = [
        (number, rule)
        for number, stop in enumerate(path[1:-1], start=1)
        for rule in dict.fromkeys(faults[stop])
    ]
    broken += [
        (min(number, len(parts) - 1), SHORT)
        for number, part in enumerate(parts, start=1)
        if part.length < rules.shortest_piece
    ]
    return Split(run, parts, tuple(broken))


def joint_places(run: Run, job: Job) -> list[Zone]:
    """List the joints that a run may have: a gap with its middle on a stud. [ticks]

    Pieces are cut to the tape, so the middle is on the stud to within one of its marks.
    """
    rules = job.rules
    first = -(-(int(run.x) - rules.first_stud) // rules.stud_spacing)
    gap = to_tape(rules.joint_gap, job.unit, Rounding.UP)
    joints = []
    stud = rules.first_stud + first * rules.stud_spacing
    while stud < run.end:
        left = run.x + to_tape(stud - gap // 2 - run.x, job.unit, Rounding.DOWN)
        if run.x < left and left + gap < run.end:
            joints.append(Zone(left, left + gap))
        stud += rules.stud_spacing
    return joints


def _waste(length: int, job: Job) -> int:
    """Give what the shortest stock length that holds a piece leaves. [ticks]"""
    return min(s.length - length for s in job.siding.stock if s.length >= length)
