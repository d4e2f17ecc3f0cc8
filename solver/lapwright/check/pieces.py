"""The siding pieces of a plan, run by run, against the wall."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.check.cover import judge_cover
from lapwright.check.edges import edges_of, is_step
from lapwright.check.fault import course_place, fault, one_of
from lapwright.check.joints import fewest_pieces, judge_joints
from lapwright.check.marks import judge_notches
from lapwright.check.shape import height_of, notches_of, profile_of
from lapwright.job.material import Family
from lapwright.job.wall import StopKind
from lapwright.measure import write_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from lapwright.check.claims import End, Piece
    from lapwright.check.columns import Number
    from lapwright.check.layout import Course, Run
    from lapwright.job.job import Job


def judge_pieces(
    pieces: Sequence[Piece], courses: Mapping[str, Sequence[Course]], job: Job
) -> Iterator[str]:
    """Compare every piece with the run that it belongs to.

    Parameters
    ----------
    courses
        By the mark of the wall.
    """
    by_run: dict[tuple[str, int, int], list[Piece]] = {}
    for piece in pieces:
        by_run.setdefault((piece.wall, piece.course, piece.run), []).append(piece)
    for mark, laid in courses.items():
        for course in laid:
            for run in course.runs:
                found = by_run.pop((mark, course.number, run.number), [])
                found.sort(key=lambda piece: piece.x)
                yield from _judge_run(course, run, found, job)
    for piece in (piece for left in by_run.values() for piece in left):
        where = f"piece {piece.label}"
        if piece.wall not in courses:
            yield fault(where, f"wall {piece.wall}", "a wall of the job")
        else:
            place = f"{course_place(piece.wall, piece.course)}, run {piece.run}"
            yield fault(where, place, "a run that there is")


def judge_order(pieces: Sequence[Piece], marks: Sequence[str]) -> Iterator[str]:
    """Check that pieces stand in the order of hanging."""
    place = {mark: number for number, mark in enumerate(marks)}
    known = [piece for piece in pieces if piece.wall in place]
    keys = [(place[p.wall], p.course, p.x) for p in known]
    for (before, a), (after, b) in pairwise(zip(keys, known, strict=True)):
        if before > after:
            wanted = "the order of wall, course and place from the left"
            yield fault(f"piece {b.label}", f"it after piece {a.label}", wanted)


def _judge_run(course: Course, run: Run, pieces: Sequence[Piece], job: Job) -> Iterator[str]:
    unit = job.unit
    where = f"{course_place(course.wall.mark, course.number)}, run {run.number}"
    if not pieces:
        start, end = write_length(run.left, unit), write_length(run.right, unit)
        yield fault(where, "no piece", f"siding from {start} to {end}")
        return
    fewest = fewest_pieces(run, job)
    # Too few would show as a piece too long or as a place left bare.
    most = None if fewest is None else 1 if fewest == 1 else fewest + job.rules.extra_seams
    if most is not None and len(pieces) > most:
        wanted = f"{most} (as few as the stock allows, and extra seams)"
        yield fault(where, f"{len(pieces)} pieces", wanted)
    yield from judge_joints(run, pieces, job, where)
    for place, piece in enumerate(pieces):
        faults = tuple(
            _judge_piece(
                course,
                run,
                piece,
                job,
                is_first=place == 0,
                is_last=place == len(pieces) - 1,
            )
        )
        yield from faults
        if not faults and run.left <= piece.x and piece.right_x <= run.right:
            name = f"piece {piece.label} ({course_place(piece.wall, piece.course)})"
            yield from judge_cover(course, run, piece, job, name)


def _judge_piece(
    course: Course, run: Run, piece: Piece, job: Job, *, is_first: bool, is_last: bool
) -> Iterator[str]:
    unit = job.unit
    where = f"piece {piece.label} ({course_place(piece.wall, piece.course)})"
    if piece.y != course.butt:
        found, wanted = write_length(piece.y, unit), write_length(course.butt, unit)
        yield fault(f"{where}, butt edge", found, wanted)
    left, right = max(piece.x, run.left), min(piece.right_x, run.right)
    if left >= right:
        # Its place is a fault already; what it would look like there means nothing.
        return
    want = height_of(course, run, left, right, job)
    if piece.height != want.height:
        found, wanted = write_length(piece.height, unit), write_length(want.height, unit)
        yield fault(f"{where}, height", found, wanted)
    if piece.ripped != want.ripped:
        words = ("not ripped", "ripped")
        yield fault(where, words[piece.ripped], words[want.ripped])
    notches = notches_of(course, run, left, right, want.top, job)
    yield from judge_notches(course, run, piece, notches, job, where)
    seam_cut = "factory" if job.siding.family is Family.LAPPED else "square"
    # Where its notches are traced, what it covers is judged, not how the marks are shared.
    # So it is where a shallow rake runs beyond the piece's other end.
    traced = any(notch.points for notch in piece.notches)
    for at_left, end in ((True, piece.left), (False, piece.right)):
        side = f"{where}, {'left' if at_left else 'right'} end"
        edge = left if at_left else right
        profile = profile_of(course, run, edge, want.top, job, at_left=at_left)
        beyond = profile is not None and any(inset > piece.length for _, inset in profile)
        profile = None if course.is_sloped and (traced or beyond) else profile
        if not (is_first if at_left else is_last):
            reached = end.profile if profile is None else profile
            yield from _judge_end(side, end, {seam_cut}, {"seam"}, reached, job)
            continue
        cuts = {"raked"} if profile else {"square"}
        free_form = profile is None
        if profile is None:
            cuts, profile = {"raked", "square"}, end.profile
        meets = set(_meets(course, run, profile, job.rules.end_gap, at_left=at_left))
        if free_form and course.is_sloped and meets:
            meets.add("rake")
        yield from _judge_end(side, end, cuts, meets, profile, job)


def _judge_end(
    where: str,
    end: End,
    cuts: set[str],
    meets: set[str],
    profile: tuple[tuple[int, int], ...],
    job: Job,
) -> Iterator[str]:
    if end.cut not in cuts:
        yield fault(f"{where}, cut", end.cut, one_of(cuts))
    if meets and end.meets not in meets:
        yield fault(f"{where}, meets", end.meets, one_of(meets))
    if end.profile != profile:
        yield fault(f"{where}, profile", _points(end.profile, job), _points(profile, job))


def _points(profile: tuple[tuple[int, int], ...], job: Job) -> str:
    """Write a profile as (height, inset) in the job's unit."""

    def say(length: int) -> str:
        return write_length(length, job.unit)

    return " ".join(f"({say(y)}, {say(inset)})" for y, inset in profile) or "none"


def _meets(
    course: Course,
    run: Run,
    profile: tuple[tuple[int, int], ...],
    gap: int,
    *,
    at_left: bool,
) -> Iterator[str]:
    """Give everything that an end of a run may rightly be said to meet."""
    edge: Number = run.true_left if at_left else run.true_right
    for hole in course.holes:
        side = hole.right if at_left else hole.left
        # One that is no box may end the run anywhere along its edge.
        if side == edge or (not hole.is_box and hole.left <= edge <= hole.right):
            yield f"opening {hole.opening.name}"
    if profile:
        yield "rake"
    stop = course.wall.left if at_left else course.wall.right
    for number, (a, b) in enumerate(edges_of(course.wall)):
        # The wall is at the left of its edges: one going down is a left side of it.
        faces = b.y < a.y if at_left else b.y > a.y
        seat = edge - gap if at_left else edge + gap
        low, high = min(a.y, b.y), max(a.y, b.y)
        if a.x == b.x == seat and faces and low < course.top and high > course.butt:
            is_riser = is_step(course.wall, number)
            yield StopKind.J_CHANNEL.value if is_riser else stop.value
