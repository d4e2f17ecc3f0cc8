"""The notches of a piece as they are claimed, mark by mark."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.check.cover import judge_cover
from lapwright.check.fault import fault
from lapwright.measure import tape_step, write_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.check.claims import Notch, Piece
    from lapwright.check.layout import Course, Run
    from lapwright.job.job import Job

_EDGES_OF_WALL = ("eave", "roof", "step", "bottom", "outline")


def judge_notches(
    course: Course,
    run: Run,
    piece: Piece,
    wanted: Sequence[Notch],
    job: Job,
    where: str,
) -> Iterator[str]:
    """Compare the notches of a piece with the boxes that the rules give.

    Where openings that are no boxes, slopes that meet, or boxes that overlap leave another
    shape, no boxes tell it: then the marks must only be sound, and what the piece covers by
    them is judged by `judge_cover`.
    """
    for notch in piece.notches:
        yield from _judge_marks(course, piece, notch, job, where)
    if sorted(piece.notches, key=_order) == sorted(wanted, key=_order):
        return
    shaped = any(
        not hole.is_box and hole.left < piece.right_x and piece.x < hole.right
        for hole in course.holes
    )
    slanted = any(n.cut_left != n.cut_right or n.opening == "outline" for n in piece.notches)
    if shaped or any(n.points for n in piece.notches) or (course.is_sloped and slanted):
        return
    if not any(judge_cover(course, run, replace(piece, notches=tuple(wanted)), job, where)):
        yield from _differences(piece.notches, wanted, job, where)


def _order(notch: Notch) -> tuple[int, int, str, str]:
    return notch.start, notch.end, notch.opening, notch.edge


def _judge_marks(
    course: Course, piece: Piece, notch: Notch, job: Job, where: str
) -> Iterator[str]:
    """Check that the marks of a notch are marks of the tape, on the piece, and agree."""
    step = tape_step(job.unit)
    if not notch.points:
        return
    names = {hole.opening.name for hole in course.holes}
    if notch.opening not in _EDGES_OF_WALL and not _are_named(notch.opening, names):
        yield fault(f"{where}, notch", notch.opening, "openings that meet the course")
    us, vs = [u for u, _ in notch.points], [v for _, v in notch.points]
    if min(us) < 0 or max(us) > piece.length or min(vs) < 0 or max(vs) > piece.height:
        yield fault(
            f"{where}, notch of {notch.opening}", "marks beside the piece", "them on it"
        )
    rims = {0, piece.length, piece.height}
    if any(mark % step and mark not in rims for mark in us + vs):
        yield fault(
            f"{where}, notch of {notch.opening}", "marks between those of a tape", "marks"
        )
    ring = [*notch.points, notch.points[0]]
    if sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring)) <= 0:
        found = "corners that go round the wrong way"
        yield fault(f"{where}, notch of {notch.opening}", found, "counter-clockwise")
    cut = max(vs) if notch.edge == "head" else min(vs)
    upper = max(vs) if notch.edge in ("hole", "end") else 0
    told = (notch.start, notch.end, notch.cut_left, notch.cut_right, notch.upper)
    if told != (min(us), max(us), cut, cut, upper):
        yield fault(f"{where}, notch", notch_words(notch, job), "the bounds of its corners")


def _are_named(words: str, names: set[str]) -> bool:
    """Whether words are names of openings, one after the other."""
    return any(
        words == name
        or (words.startswith(f"{name} and ") and _are_named(words[len(name) + 5 :], names))
        for name in names
    )


def _differences(
    found: Sequence[Notch], wanted: Sequence[Notch], job: Job, where: str
) -> Iterator[str]:
    missing = [notch for notch in wanted if notch not in found]
    extra = [notch for notch in found if notch not in wanted]
    for notch in extra:
        # A notch that is there but wrong is best shown beside the one that was wanted.
        same = next((other for other in missing if other.opening == notch.opening), None)
        if same is not None:
            missing.remove(same)
        words = notch_words(same, job) if same else "no notch there"
        yield fault(f"{where}, notch", notch_words(notch, job), words)
    for notch in missing:
        yield fault(f"{where}, notch", "none", notch_words(notch, job))
    for number, notch in enumerate(found):
        if notch in wanted and notch in found[:number]:
            yield fault(f"{where}, notch", f"{notch_words(notch, job)} twice", "it once")


def notch_words(notch: Notch, job: Job) -> str:
    """Say in words what a notch is."""

    def say(length: int) -> str:
        return write_length(length, job.unit)

    name = f"opening {notch.opening}"
    if notch.opening in _EDGES_OF_WALL:
        name = f"the {notch.opening}"
    heights = say(notch.cut_left)
    if notch.cut_right != notch.cut_left:
        heights += f" left and {say(notch.cut_right)} right"
    if notch.edge == "hole" or notch.upper:
        heights += f" up to {say(notch.upper)}"
    return f"{notch.edge} of {name} from {say(notch.start)} to {say(notch.end)} at {heights}"
