"""The siding of a job as some way hangs and cuts it, and its recount.

Every way is counted by the judges of `lapwright.check`, which share no arithmetic with
what is measured here.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.check.bars import judge_materials
from lapwright.check.claims import Bar as ClaimedBar
from lapwright.check.claims import Claims, Cut, End, Line, Material, Piece
from lapwright.check.claims import Seam as ClaimedSeam
from lapwright.check.joints import fewest_pieces, judge_joints, judge_seams
from lapwright.check.layout import lay_job
from lapwright.cutting import Ends
from lapwright.measure import write_length
from lapwright.takeoff.grid import courses_of
from lapwright.takeoff.run import find_runs

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.job.job import Job
    from lapwright.job.wall import Wall
    from lapwright.plan import Bar
    from lapwright.takeoff.run import Run


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece of siding where it hangs."""

    label: str
    wall: str
    course: int
    run: int
    """The run within the course, from 1 at the left."""
    x: int
    """Left end, from the wall's left. [ticks]"""
    length: int
    """[ticks]"""
    ends: Ends
    """The factory ends that it keeps."""


@dataclass(frozen=True, slots=True)
class Hung:
    """The siding of a job, hung and cut."""

    pieces: tuple[Placed, ...]
    bars: tuple[Bar, ...]
    """Numbered from 1."""


@dataclass(frozen=True, slots=True)
class Counted:
    """What the recount finds of one way."""

    faults: tuple[str, ...]
    """Pieces that do not fit their run or their bar; none in a sound plan."""
    broken: int
    """Rules for seams that are not kept."""
    extra: int
    """Seams more than the fewest and what the job allows beyond them."""


def runs_of(job: Job) -> Iterator[tuple[Wall, Run]]:
    """List the runs of a job in the order of hanging.

    Raises
    ------
    ValueError
        The job has several sidings: these ways know one.
    """
    if job.further or any(wall.zones for wall in job.walls):
        raise ValueError("these ways hang one siding")
    for wall in job.walls:
        for course in courses_of(job, wall):
            for run in find_runs(wall, course, job.rules, job.unit):
                yield wall, run


def cost_of(job: Job, bars: tuple[Bar, ...]) -> int:
    """Give what bars cost, or their length where there are no prices."""
    prices = {s.length: s.length if s.price is None else s.price for s in job.siding.stock}
    return sum(prices[bar.stock] for bar in bars)


def recount(job: Job, hung: Hung) -> Counted:
    """Recount pieces, joints, seams and bars."""
    pieces = [_claimed(piece, job) for piece in hung.pieces]
    by_run: dict[tuple[str, int, int], list[Piece]] = {}
    for piece in sorted(pieces, key=lambda piece: piece.x):
        by_run.setdefault((piece.wall, piece.course, piece.run), []).append(piece)
    seams = tuple(
        ClaimedSeam(a.wall, a.course, a.run, a.right_x, a.label, b.label)
        for own in by_run.values()
        for a, b in pairwise(own)
    )
    ((part, laid),) = lay_job(job)
    faults: list[str] = []
    extra = 0
    for mark, courses in laid.items():
        for course in courses:
            for run in course.runs:
                where = f"wall {mark}, course {course.number}, run {run.number}"
                own = by_run.pop((mark, course.number, run.number), [])
                if not own:
                    faults.append(f"{where}: no piece")
                    continue
                faults += judge_joints(run, own, part, where)
                fewest = fewest_pieces(run, part) or len(own)
                extra += max(len(own) - fewest - part.rules.extra_seams, 0)
    faults += [f"no such run: {key}" for key in by_run]
    # With no finding that tells of it, every rule that a seam breaks is a fault.
    broken = list(judge_seams(seams, pieces, laid, (), part))
    faults += judge_materials(_claims(job, hung, pieces), job)
    return Counted(tuple(faults), len(broken), extra)


def _claimed(piece: Placed, job: Job) -> Piece:
    left, right = (
        End("factory" if keeps else "square", "", ())
        for keeps in (
            piece.ends in (Ends.LEFT, Ends.BOTH),
            piece.ends in (Ends.RIGHT, Ends.BOTH),
        )
    )
    return Piece(
        label=piece.label,
        wall=piece.wall,
        course=piece.course,
        run=piece.run,
        siding=job.siding.name,
        x=piece.x,
        y=0,
        length=piece.length,
        text=write_length(piece.length, job.unit),
        height=0,
        ripped=False,
        left=left,
        right=right,
        notches=(),
    )


def _claims(job: Job, hung: Hung, pieces: list[Piece]) -> Claims:
    """Say of the bars what can be said: how they are cut, and what they cost."""
    unit, siding = job.unit, job.siding
    bars = tuple(
        ClaimedBar(
            number,
            bar.stock,
            write_length(bar.stock, unit),
            tuple(Cut(cut.label, cut.start, cut.end) for cut in bar.cuts),
            bar.offcut,
        )
        for number, bar in enumerate(hung.bars, start=1)
    )
    order = []
    for stock in siding.stock:
        count = sum(bar.stock == stock.length for bar in bars)
        if count:
            spare = (count * job.spare).__ceil__()
            text = write_length(stock.length, unit)
            order.append(Line(stock.length, text, count, spare, stock.carton, stock.price))
    material = Material(
        role="siding",
        name=siding.name,
        status="time limit",
        priced=siding.stock[0].price is not None,
        bound=0,
        cost=cost_of(job, hung.bars),
        order=tuple(order),
        bars=bars,
    )
    return Claims((), tuple(pieces), (), (), (material,), ())
