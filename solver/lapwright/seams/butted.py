"""Seams of butted siding: every joint has its middle on a stud."""

from __future__ import annotations

from functools import cache
from itertools import accumulate
from typing import TYPE_CHECKING

from lapwright.errors import NoPlanError
from lapwright.measure import Rounding, Ticks, tape_step, to_tape, write_length
from lapwright.seams.split import SHORT, Part, Split, Zone, broken_by_place, kept_out

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lapwright.job.job import Job
    from lapwright.job.wall import Wall
    from lapwright.takeoff.run import Run

    _Way = tuple[int, int, tuple[int, ...], int]
    """Rules broken, waste, lengths of the pieces, and where the next one begins."""


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
    gap = to_tape(rules.joint_gap, job.unit, Rounding.UP)
    studs = joint_places(run, job)
    step = int(tape_step(job.unit))
    # No more joints than this are worth a look: what reaching as far as possible each
    # time takes, and those that the job allows beyond it.
    most = _fewest(run, studs, gap, int(job.siding.longest) + step) + rules.extra_seams

    @cache
    def faults(left: int) -> tuple[str, ...]:
        zone = Zone(left, left + gap)
        return tuple(broken_by_place(zone, run.course.number, outs, earlier, rules))

    lengths = tuple(int(s.length) for s in job.siding.stock)

    @cache
    def piece(room: int) -> tuple[int, bool, int] | None:
        """Give the length of a piece for a room, whether it is short, and its waste."""
        length = fitted(lengths, step, room)
        if length is None:
            return None
        return int(length), length < rules.shortest_piece, _waste(length, job)

    # ways[i][n]: the best way to reach place i with n joints; of those as good the one
    # with the leftmost joints.  Place 0 is the run's left end.
    ways: list[dict[int, _Way]] = [{0: (0, 0, (), int(run.x))}]
    starts = [int(run.x), *(stud + gap for stud in studs)]
    near = 0
    for i, place in enumerate([*studs, int(run.end)], start=1):
        is_last = i == len(studs) + 1
        while near < i and place - starts[near] >= lengths[-1] + step:
            near += 1  # no piece reaches from so far
        found: dict[int, _Way] = {}
        for way in (way for j in range(near, i) for way in ways[j].values()):
            faulty, waste, before, x = way
            count = len(before)
            made = piece(place - x)
            if made is None or count > most:
                continue
            length, is_short, more = made
            end = x + length
            faulty += is_short + (0 if is_last else len(faults(end)))
            here = (faulty, waste + more, (*before, length), end + gap)
            if count not in found or here < found[count]:
                found[count] = here
        ways.append(found)
    # A run longer than any stock length has a joint, be it longer by less than a mark.
    ways[-1].pop(0, None)
    if not ways[-1]:
        raise no_joints(run, job)
    fewest = min(ways[-1])
    allowed = [n for n in ways[-1] if n <= fewest + rules.extra_seams]
    chosen = ways[-1][min(allowed, key=lambda n: (ways[-1][n][0], n))][2]
    left = accumulate(chosen[:-1], lambda x, length: x + length + gap, initial=int(run.x))
    parts = tuple(Part(Ticks(x), Ticks(n)) for x, n in zip(left, chosen, strict=True))
    broken = [
        (number, rule)
        for number, part in enumerate(parts[:-1], start=1)
        for rule in dict.fromkeys(faults(part.end))
    ]
    broken += [
        (min(number, len(parts) - 1), SHORT)
        for number, part in enumerate(parts, start=1)
        if part.length < rules.shortest_piece
    ]
    return Split(run, parts, tuple(broken))


def no_joints(run: Run, job: Job) -> NoPlanError:
    """Say that no row of studs lets pieces of the stock reach from end to end."""
    return NoPlanError(
        f"wall {run.wall}, course {run.course.number}: no joints on studs at"
        f" {write_length(job.rules.stud_spacing, job.unit)} let pieces of at most"
        f" {write_length(job.siding.longest, job.unit)} make a run of"
        f" {write_length(run.length, job.unit)}"
    )


def _fewest(run: Run, studs: Sequence[int], gap: int, reach: int) -> int:
    """Count the joints if each piece goes as far as a stud lets it. [joints]"""
    joints, x = 0, int(run.x)
    while run.end - x > reach:
        near = [stud for stud in studs if x < stud <= x + reach]
        if not near:
            return len(studs)  # no way through, which the search will find
        x = near[-1] + gap
        joints += 1
    return joints + 1  # rounding to the tape may cost one


def fitted(stock: Sequence[int], step: int, room: int) -> Ticks | None:
    """Give the length of a piece for a room: a whole stock length, or cut to the tape.

    A whole stock length may miss the room by less than a mark of the tape.
    """
    if room >= stock[-1] + step:
        return None
    for length in stock:
        if -step < length - room <= 0:
            return Ticks(length)
    cut = room // step * step
    return Ticks(cut) if 0 < cut <= stock[-1] else None


def joint_places(run: Run, job: Job) -> list[int]:
    """List where a piece before a joint may end: the joint's middle is on a stud. [ticks]

    Pieces are cut to the tape, so that a joint lies up to a mark of it to the left.
    """
    rules = job.rules
    first = -(-(int(run.x) - rules.first_stud) // rules.stud_spacing)
    gap = to_tape(rules.joint_gap, job.unit, Rounding.UP)
    places = []
    stud = rules.first_stud + first * rules.stud_spacing
    while stud < run.end:
        left = stud - gap // 2
        if run.x < left and left + gap < run.end:
            places.append(left)
        stud += rules.stud_spacing
    return places


def _waste(length: int, job: Job) -> int:
    """Give what the shortest stock length that holds a piece leaves. [ticks]"""
    return min(s.length - length for s in job.siding.stock if s.length >= length)
