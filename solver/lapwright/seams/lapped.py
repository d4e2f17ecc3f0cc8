"""Seams of lapped siding: factory ends meet, so one number fixes a whole run.

The first piece keeps its right factory end, the last its left one, and the pieces
between are whole stock lengths; so first piece + last piece is a constant of the run.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lapwright.errors import NoPlanError
from lapwright.measure import Rounding, Ticks, tape_step, to_tape
from lapwright.seams.split import SHORT, Part, Split, Zone, broken_by_place, kept_out

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lapwright.job.job import Job
    from lapwright.job.wall import Wall
    from lapwright.takeoff.run import Run


@dataclass(frozen=True, slots=True)
class Lapping:
    """How a run is made of lapped pieces, but for the length of the first."""

    run: Run
    panel: Ticks
    """Stock length of the pieces between. [ticks]"""
    pieces: int
    ends: int
    """First piece and last piece together. [ticks]"""
    lap: Ticks
    step: Ticks
    """Mark of the tape. [ticks]"""

    @property
    def advance(self) -> int:
        """How far one seam is from the next. [ticks]"""
        return self.panel - self.lap

    def parts(self, first: int) -> tuple[Part, ...]:
        """Give the pieces for a length of the first one. [ticks]

        A last piece that is cut is cut to the tape; a whole one may be off it.
        """
        last = self.ends - first
        if last != self.panel:
            last = last // self.step * self.step
        lengths = [first, *[int(self.panel)] * (self.pieces - 2), last]
        found = []
        x = int(self.run.x)
        for length in lengths:
            found.append(Part(Ticks(x), Ticks(length)))
            x += length - self.lap
        return tuple(found)

    def seams(self, first: int) -> tuple[Zone, ...]:
        """Give where the pieces lap for a length of the first one, from left to right."""
        end, advance = self.run.x + first, self.panel - self.lap
        return tuple(
            Zone(end - self.lap + by, end + by)
            for by in range(0, (self.pieces - 1) * advance, advance)
        )


def lapping(run: Run, job: Job, extra: int = 0) -> Lapping:
    """Find the fewest lapped pieces that make a run longer than any stock length.

    The longest stock length is taken for the pieces between.

    Parameters
    ----------
    run, job
        The run, longer than the longest stock length.
    extra
        How many pieces more than the fewest.

    Raises
    ------
    NoPlanError
        The lap is as long as the longest stock length.
    """
    panel, lap = job.siding.longest, job.rules.lap
    if panel <= lap:
        raise NoPlanError("the lap takes a whole stock length of the siding")
    pieces = -(-(run.length - lap) // (panel - lap)) + extra
    exact = run.length + (pieces - 1) * lap - (pieces - 2) * panel
    # The first piece is cut to the tape, and so is the last: what the rounding takes
    # stays at the right end of the run.
    ends = to_tape(exact, job.unit, Rounding.DOWN)
    return Lapping(run, panel, pieces, ends, lap, tape_step(job.unit))


def lappings(run: Run, job: Job) -> tuple[Lapping, ...]:
    """List how a run can be lapped: by pieces, fewest first, and by what lies between.

    The pieces between the first and the last are whole stock lengths of one kind.
    """
    found = []
    longest = job.siding.longest
    for extra in range(job.rules.extra_seams + 1):
        made = lapping(run, job, extra)
        for stock in reversed(job.siding.stock):
            exact = run.length + (made.pieces - 1) * made.lap
            exact -= (made.pieces - 2) * stock.length
            ends = to_tape(exact, job.unit, Rounding.DOWN)
            is_new = stock.length == longest or made.pieces > 2
            if is_new and 2 * made.step <= ends <= 2 * longest:
                found.append(replace(made, panel=stock.length, ends=ends))
    return tuple(found)


def place_seams(
    wall: Wall,
    run: Run,
    job: Job,
    earlier: Mapping[int, Sequence[Zone]],
    offcuts: Sequence[int],
) -> Split:
    """Split a run so that it breaks the fewest rules and best uses what is left.

    Parameters
    ----------
    wall, run, job
        The run, longer than the longest stock length.
    earlier
        Seams of the courses below on the same wall, by course number.
    offcuts
        Lengths left on the right of stock lengths whose left end is used, from the
        shortest to the longest. [ticks]
    """
    best = _place(wall, lapping(run, job), job, earlier, offcuts)
    for extra in range(1, job.rules.extra_seams + 1):
        made = lapping(run, job, extra)
        if not best.broken or made.ends < 2 * tape_step(job.unit):
            break
        more = _place(wall, made, job, earlier, offcuts)
        if len(more.broken) < len(best.broken):
            best = more
    return best


def _place(
    wall: Wall,
    made: Lapping,
    job: Job,
    earlier: Mapping[int, Sequence[Zone]],
    offcuts: Sequence[int],
) -> Split:
    """Choose the length of the first piece."""
    run, rules = made.run, job.rules
    step = tape_step(job.unit)
    low = max(-(-(made.ends - made.panel) // step) * step, int(step))
    high = min(int(made.panel), made.ends - step)
    outs = kept_out(wall, run, rules)
    below = earlier.get(run.course.number - 1, ())
    first_least = max(rules.shortest_piece, run.left.inset + made.lap)
    last_least = max(rules.shortest_piece, run.right.inset + made.lap)
    known: dict[int, tuple[Zone, ...]] = {}

    def zones(first: int) -> tuple[Zone, ...]:
        if first not in known:
            known[first] = made.seams(first)
        return known[first]

    def faults(first: int) -> list[tuple[int, str]]:
        found = []
        for number, zone in enumerate(zones(first), start=1):
            words = broken_by_place(zone, run.course.number, outs, earlier, rules)
            found += [(number, rule) for rule in dict.fromkeys(words)]
        if first < first_least:
            found.append((1, SHORT))
        if made.ends - first < last_least:
            found.append((made.pieces - 1, SHORT))
        return found

    def shortfall(first: int) -> int:
        """Give by how much a stagger that cannot be kept is missed, over all seams. [ticks]"""
        missed = (
            2 * rules.stagger - abs(zone.twice_middle - other.twice_middle)
            for zone in zones(first)
            for other in below
        )
        return sum(max(miss, 0) for miss in missed)

    def waste(first: int) -> int:
        """Give what is lost if the first piece comes from the best offcut. [ticks]"""
        wanted = first + rules.siding_kerf
        best = bisect_left(offcuts, wanted)
        return offcuts[best] - wanted if best < len(offcuts) else made.panel - first

    def rank(first: int) -> tuple[int, int, int]:
        return shortfall(first), waste(first), -first

    choices = _candidates(made, low, high, outs, earlier, job, offcuts)
    on_tape = {first // step * step for first in choices} | {low, high}
    fitting = (first for first in on_tape if low <= first <= high)
    broken: dict[int, int] = {}
    for first in sorted(fitting, key=lambda first: (waste(first), -first)):
        broken[first] = len(faults(first))
        if not broken[first]:
            # What breaks no rule misses no stagger either, so that waste alone decides.
            return Split(run, made.parts(first))
    least = min(broken.values())
    best = min((first for first, count in broken.items() if count == least), key=rank)
    return Split(run, made.parts(best), tuple(faults(best)))


def _candidates(
    made: Lapping,
    low: int,
    high: int,
    outs: Sequence[Zone],
    earlier: Mapping[int, Sequence[Zone]],
    job: Job,
    offcuts: Sequence[int],
) -> set[int]:
    """List lengths of the first piece at which something begins or ends to be allowed."""
    rules = job.rules
    step = tape_step(job.unit)
    first = {low, high, int(rules.shortest_piece), made.ends - int(rules.shortest_piece)}
    first |= {made.run.left.inset + made.lap, made.ends - made.run.right.inset - made.lap}
    first |= {offcut - rules.siding_kerf for offcut in offcuts}
    advance = made.panel - made.lap
    near = [
        zone
        for below in range(1, max(rules.in_line_courses, 2))
        for zone in earlier.get(made.run.course.number - below, ())
    ]
    for seam in range(made.pieces - 1):
        base = int(made.run.x) + seam * advance
        for out in outs:
            # The lap ends where the piece does, and begins one lap before.
            first |= {out.left - base, out.right + made.lap - base + step}
        for zone in near:
            for apart in (rules.stagger, rules.in_line_width):
                middle = zone.right - base
                first |= {middle - apart, middle + apart + step - 1}
    grid = range(low, high + 1, max((high - low) // 24, int(step)))
    return first | set(grid)
