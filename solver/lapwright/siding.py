"""The siding of a job: courses, runs, pieces and seams, before anything is cut."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.errors import NoPlanError
from lapwright.job.field import fields_of, job_of
from lapwright.job.material import Family
from lapwright.measure import Rounding, Ticks, to_tape
from lapwright.notches import notches_of
from lapwright.plan import EndCut, PieceEnd, Seam, SidingPiece
from lapwright.seams.placing import place_in_turn
from lapwright.takeoff.grid import courses_of
from lapwright.takeoff.run import find_runs

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from lapwright.job.field import Field
    from lapwright.job.job import Job
    from lapwright.job.material import Siding
    from lapwright.job.wall import Wall
    from lapwright.measure import Unit
    from lapwright.seams.split import Part, Split
    from lapwright.takeoff.course import Course
    from lapwright.takeoff.run import Run, RunEnd

    Decide = Callable[[Job, Sequence[tuple[Wall, Run]]], Sequence[Split]]
    """Splits the runs of one siding, given in the order of hanging."""


@dataclass(frozen=True, slots=True)
class Layout:
    """All siding of a job, laid out."""

    courses: tuple[tuple[Course, ...], ...]
    """By wall, as in the job."""
    splits: tuple[Split, ...]
    """Every run with its pieces, by siding, wall, course and run."""
    pieces: tuple[SidingPiece, ...]
    """In the order of hanging."""
    seams: tuple[Seam, ...]
    broken: tuple[tuple[Seam, str], ...]
    """Every rule that a seam breaks, in words."""

    def of(self, siding: Siding) -> Layout:
        """Give what of it one siding makes, without the courses."""
        pieces = tuple(piece for piece in self.pieces if piece.siding == siding.name)
        labels = {piece.label for piece in pieces}
        places = {(piece.wall, piece.course) for piece in pieces}
        return Layout(
            (),
            tuple(s for s in self.splits if (s.run.wall, s.run.course.number) in places),
            pieces,
            tuple(seam for seam in self.seams if seam.left in labels),
            tuple(entry for entry in self.broken if entry[0].left in labels),
        )


def lay_out(job: Job, decide: Decide = place_in_turn) -> Layout:
    """Lay out the siding of a job.

    Parameters
    ----------
    job
        The job.
    decide
        Says where runs are split; by rule, run after run, if not given.

    Raises
    ------
    NoPlanError
        The rules and the stock leave no way to make a run.
    """
    laid = _courses(job)
    made = [
        _lay_out(
            job_of(job, siding),
            [
                (field.wall, courses)
                for field, courses in laid
                if field.siding.name == siding.name
            ],
            decide,
        )
        for siding in job.sidings
    ]
    # Every course is of one siding, so that wall and course give back the order of hanging.
    place = {wall.mark: number for number, wall in enumerate(job.walls)}
    courses: list[tuple[Course, ...]] = [()] * len(job.walls)
    for field, upward in laid:
        courses[place[field.wall.mark]] += upward
    return Layout(
        courses=tuple(courses),
        splits=tuple(split for layout in made for split in layout.splits),
        pieces=tuple(
            sorted(
                (piece for layout in made for piece in layout.pieces),
                # One run may lie over another, as between two openings.
                key=lambda piece: (place[piece.wall], piece.course, piece.x),
            )
        ),
        seams=tuple(
            sorted(
                (seam for layout in made for seam in layout.seams),
                key=lambda seam: (place[seam.wall], seam.course),
            )
        ),
        broken=tuple(entry for layout in made for entry in layout.broken),
    )


def _courses(job: Job) -> list[tuple[Field, tuple[Course, ...]]]:
    """Lay the courses of every field, numbered through each wall from its bottom."""
    laid = []
    counted: dict[str, int] = {}
    for field in fields_of(job):
        first = counted.get(field.wall.mark, 0) + 1
        courses = courses_of(job_of(job, field.siding), field.wall, first)
        if not courses:
            raise NoPlanError(
                f"wall {field.wall.mark}, zone {field.zone}: no course begins below its top;"
                " a lower start or a higher top would give it one"
            )
        counted[field.wall.mark] = first + len(courses) - 1
        laid.append((field, courses))
    return laid


def _lay_out(
    job: Job, walls: Sequence[tuple[Wall, Sequence[Course]]], decide: Decide
) -> Layout:
    """Lay out one siding of a job: its pieces, its seams, and the rules they break."""
    splits = decide(
        job,
        [
            (wall, run)
            for wall, courses in walls
            for course in courses
            for run in find_runs(wall, course, job.rules, job.unit)
        ],
    )
    pieces: list[SidingPiece] = []
    seams: list[Seam] = []
    broken: list[tuple[Seam, str]] = []
    labels = _labels(splits)
    for number, split in enumerate(splits):
        made = list(_pieces(split, job, labels[number]))
        joined = [
            Seam(a.wall, a.course, a.run, Ticks(a.x + a.length), a.label, b.label)
            for a, b in pairwise(made)
        ]
        pieces += made
        seams += joined
        broken += [(joined[number - 1], rule) for number, rule in split.broken]
    return Layout((), tuple(splits), tuple(pieces), tuple(seams), tuple(broken))


def _labels(splits: Sequence[Split]) -> list[list[str]]:
    """Label the parts of every run, counted from the left within their course."""
    labels = [[""] * len(split.parts) for split in splits]
    courses: dict[tuple[str, int], list[tuple[int, int, int]]] = {}
    for number, split in enumerate(splits):
        places = courses.setdefault((split.run.wall, split.run.course.number), [])
        places += ((part.x, number, place) for place, part in enumerate(split.parts))
    for (wall, course), places in courses.items():
        for count, (_, number, place) in enumerate(sorted(places), start=1):
            labels[number][place] = f"{wall}{course}.{count}"
    return labels


def _pieces(split: Split, job: Job, labels: list[str]) -> Iterator[SidingPiece]:
    run = split.run
    course = run.course
    seam = EndCut.FACTORY if job.siding.family is Family.LAPPED else EndCut.SQUARE
    last = len(split.parts) - 1
    for position, part in enumerate(split.parts):
        height, ripped = _height(run, part, job)
        yield SidingPiece(
            label=labels[position],
            wall=run.wall,
            course=course.number,
            run=run.number,
            siding=job.siding.name,
            x=part.x,
            y=course.butt,
            length=part.length,
            height=height,
            ripped=ripped,
            left=_end(run.left, part.x, part.end, job.unit, None if position == 0 else seam),
            right=_end(
                run.right, part.end, part.x, job.unit, None if position == last else seam
            ),
            notches=notches_of(run, part.x, part.length, height, job.unit),
        )


def _height(run: Run, part: Part, job: Job) -> tuple[Ticks, bool]:
    exposure = run.course.exposure
    highest = run.height(part.x, part.end)
    if highest >= exposure:
        return exposure, False
    return to_tape(highest, job.unit, Rounding.DOWN), highest in run.eaves


def _end(end: RunEnd, outermost: int, far: int, unit: Unit, seam: EndCut | None) -> PieceEnd:
    """Make an end of a piece; a shallow rake may reach over a seam into the next piece."""
    profile = end.profile(outermost, far, unit)
    if seam is not None:
        return PieceEnd(seam, "seam", profile)
    return PieceEnd(EndCut.RAKED if profile else EndCut.SQUARE, end.meets, profile)
