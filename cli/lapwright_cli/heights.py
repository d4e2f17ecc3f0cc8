"""Starts of the courses beside each other: what each leaves at sills, heads and eaves."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lapwright.errors import NoPlanError
from lapwright.job.field import job_of
from lapwright.measure import Rounding, Ticks, to_tape, write_length
from lapwright.siding import lay_out
from lapwright.takeoff.grid import candidate, candidates, walls_that_share

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.job.job import Job
    from lapwright.job.wall import Wall
    from lapwright.takeoff.grid import Candidate
    from lapwright.takeoff.strip import Strip


def heights_text(job: Job) -> str:
    """Write a table of the starts of each part of the house, the best one marked."""
    return "\n".join(_lines(job)) + "\n"


def _lines(job: Job) -> Iterator[str]:
    for siding in job.sidings:
        own_job = job_of(job, siding)
        for part, walls in walls_that_share(own_job).items():
            if len(job.sidings) > 1:
                yield f"{siding.name}:"
            yield from _table(own_job, part, walls)
            yield ""
    own = [wall.mark for wall in job.walls if wall.start is not None]
    if own:
        yield f"left as they are, with a start of their own: {', '.join(own)}"
        yield ""
    span, unit = job.start_range, job.unit
    yield (
        f"starts from {write_length(span.lowest, unit)} to {write_length(span.highest, unit)},"
        f" every {write_length(span.step, unit)} (start_range); a sliver is a strip lower than"
        f" {write_length(job.rules.sliver, unit)}"
    )
    yield (
        "best: fewest slivers; of these the fewest walls whose first course is ripped at the"
        " bottom; then the highest smallest strip, the fewest courses, the start nearest the"
        " bottom, and the lower one"
    )


def _table(job: Job, part: str, walls: tuple[Wall, ...]) -> Iterator[str]:
    tried = {c.start: c for c in candidates(job, walls)}
    best = min(tried.values(), key=lambda c: c.rank)
    if job.start is not None:
        tried.setdefault(job.start, candidate(job, walls, job.start))
    now = best.start if job.start is None else job.start
    many = "wall" if len(walls) == 1 else "walls"
    where = f"part {part}, {many}" if part else many
    yield f"{where} {', '.join(wall.mark for wall in walls)}"
    heading = ("start", "slivers", "smallest strip", "deepest cut", "ripped", "courses")
    rows: list[tuple[str, ...]] = [("", *heading, "pieces")]
    for start in sorted(tried, reverse=True):
        each = tried[start]
        sign = ("*" if each is best else "") + (">" if start == now else "")
        rows.append((sign, *_cells(each, job), _pieces(job, walls, start)))
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    for row in rows:
        cells = [
            cell.ljust(width) if number in (0, 3, 4) else cell.rjust(width)
            for number, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        yield ("  " + "  ".join(cells)).rstrip()
    yield "  * best   > in the job as it is; ripped: walls whose first course is cut below"
    # Places that many walls share would fill a line each.
    yield from _details("at the best start", best, job)
    if now != best.start:
        yield from _details("at the start in the job", tried[Ticks(now)], job)


def _cells(each: Candidate, job: Job) -> tuple[str, ...]:
    def say(strip: Strip | None, height: int) -> str:
        if strip is None:
            return "none"
        return f"{_on_tape(height, job)} {strip.place} ({strip.wall})"

    small, deep = each.smallest, each.deepest
    return (
        write_length(each.start, job.unit),
        str(each.slivers),
        say(small, small.left if small else 0),
        say(deep, deep.taken if deep else 0),
        str(each.ripped),
        str(each.courses),
    )


def _on_tape(height: int, job: Job) -> str:
    return write_length(to_tape(height, job.unit, Rounding.NEAREST), job.unit)


def _pieces(job: Job, walls: tuple[Wall, ...], start: int) -> str:
    """Count the pieces that the walls take at a start, - where no layout keeps the rules."""
    alone = replace(job, walls=walls, start=Ticks(start))
    try:
        return str(len(lay_out(alone).pieces))
    except NoPlanError:
        return "-"


def _details(name: str, each: Candidate, job: Job) -> Iterator[str]:
    """List the strips of a start, equal ones of a wall together, the lowest first."""
    by_height: dict[tuple[int, str], list[str]] = {}
    for strip in sorted(each.strips, key=lambda s: s.left):
        by_height.setdefault((strip.left, strip.wall), []).append(strip.place)
    start = write_length(each.start, job.unit)
    yield f"  {name}, {start}: " + (
        "; ".join(
            f"{_on_tape(left, job)} {', '.join(places)} ({wall})"
            for (left, wall), places in by_height.items()
        )
        or "no course is cut"
    )
