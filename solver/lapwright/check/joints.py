"""Seams: how the pieces of a run join, and the rules that seams must keep."""

from __future__ import annotations

import re
from collections import Counter
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.check.claims import Seam
from lapwright.check.fault import course_place, fault
from lapwright.job.material import Family
from lapwright.job.rules import SeamRule
from lapwright.measure import Rounding, tape_step, to_tape, write_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from lapwright.check.claims import Piece
    from lapwright.check.layout import Course, Run
    from lapwright.job.job import Job
    from lapwright.job.wall import Opening


def fewest_pieces(run: Run, job: Job) -> int | None:
    """Give the least number of pieces that a run can be made of.

    Returns
    -------
    int or None
        None where no number of pieces is enough, as with studs too far apart.
    """
    longest, rules = job.siding.longest, job.rules
    if run.length <= longest:
        return 1
    if job.siding.family is Family.LAPPED:
        if rules.lap >= longest:
            return None
        return 1 - -(run.length - longest) // (longest - rules.lap)
    # Going as far as one can each time leaves the least for the rest.
    half = Fraction(_gap(job), 2)
    count, start = 1, run.left
    while run.right - start > longest:
        stud = (start + longest + half - rules.first_stud) // rules.stud_spacing
        middle = rules.first_stud + stud * rules.stud_spacing
        following = (middle + half).__floor__()
        if following <= start:
            return None
        start, count = following, count + 1
    return count


def judge_joints(run: Run, pieces: Sequence[Piece], job: Job, where: str) -> Iterator[str]:
    """Check that the pieces of a run cover it from end to end, and how they join."""
    unit = job.unit
    first, last = pieces[0], pieces[-1]
    if first.x != run.left:
        found, wanted = write_length(first.x, unit), write_length(run.left, unit)
        yield fault(f"piece {first.label} ({where}), left end", found, wanted)
    # Where whole stock lengths lie before it, the last piece may miss a mark of the tape.
    short, mark = run.right - last.right_x, tape_step(unit)
    if not (short == 0 or (0 < short < mark and len(pieces) > 1)):
        found, wanted = write_length(last.right_x, unit), write_length(run.right, unit)
        yield fault(f"piece {last.label} ({where}), right end", found, wanted)
    lapped = job.siding.family is Family.LAPPED
    whole = {stock.length for stock in job.siding.stock}
    for piece in pieces:
        if piece.length % mark and piece.length not in whole:
            found = write_length(piece.length, unit)
            yield fault(f"piece {piece.label} ({where}), length", found, "a mark of the tape")
    for piece in pieces:
        if not 0 < piece.length <= job.siding.longest:
            found = write_length(piece.length, unit)
            wanted = f"above nothing and at most {write_length(job.siding.longest, unit)}"
            yield fault(f"piece {piece.label} ({where}), length", found, wanted)
    for piece in pieces[1:-1]:
        if lapped and piece.length not in whole:
            found = write_length(piece.length, unit)
            wanted = "a whole stock length, for it keeps both factory ends"
            yield fault(f"piece {piece.label} ({where}), length", found, wanted)
    for left, right in pairwise(pieces):
        seam = f"seam of {left.label} and {right.label} ({where})"
        apart = right.x - left.right_x
        if lapped:
            if -apart != job.rules.lap:
                found, wanted = _lap_words(-apart, job), _lap_words(job.rules.lap, job)
                yield fault(seam, found, wanted)
            continue
        if apart != _gap(job):
            yield fault(seam, _lap_words(-apart, job), _lap_words(-_gap(job), job))
        twice = left.right_x + right.x - 2 * job.rules.first_stud
        off = twice % (2 * job.rules.stud_spacing)
        if min(off, 2 * job.rules.stud_spacing - off) > 2 * mark:
            found = f"its middle at {write_length((left.right_x + right.x) // 2, unit)}"
            yield fault(seam, found, "it on a stud")


def _gap(job: Job) -> int:
    """Give the gap between butted pieces as it is left. [ticks]"""
    return to_tape(job.rules.joint_gap, job.unit, Rounding.UP)


def _lap_words(lap: int, job: Job) -> str:
    if lap < 0 or job.siding.family is Family.BUTTED:
        return f"a gap of {write_length(-lap, job.unit)}"
    return f"a lap of {write_length(lap, job.unit)}"


_KEPT = "the rule kept, for the job lets no plan break it"


def judge_seams(
    seams: Sequence[Seam],
    pieces: Sequence[Piece],
    courses: Mapping[str, Sequence[Course]],
    findings: Sequence[str],
    job: Job,
) -> Iterator[str]:
    """Compare the list of seams with the pieces, and every broken rule with the findings."""
    met = _seams_of(pieces)
    wanted = dict.fromkeys(seam for _, _, seam in met)
    claimed = Counter(seams)
    for seam in wanted:
        if not claimed[seam]:
            yield fault(_name(seam), "no such seam in the list", f"it {_place(seam, job)}")
        elif claimed[seam] > 1:
            yield fault(_name(seam), "it twice in the list", "it once")
    for seam in claimed:
        if seam not in wanted:
            yield fault(_name(seam), f"it {_place(seam, job)}", "no such seam")
    yield from _judge_wide(met, courses, findings, job)
    for left, right, seam in met:
        for rule, words in _broken_alone(left, right, seam, courses, job):
            if rule in job.rules.hard:
                yield fault(_name(seam), words, _KEPT)
            elif not _is_told(seam, findings):
                yield fault(_name(seam), words, "the rule kept, or a finding that names both")
    for a, b in _near(list(wanted), max(job.rules.in_line_courses, 2)):
        for rule, where in _broken_together(a, b, job):
            words = f"{where} of the {_name(b)}"
            if rule in job.rules.hard:
                yield fault(_name(a), words, _KEPT)
            elif not any(_is_told(seam, findings) for seam in (a, b)):
                yield fault(_name(a), words, "the rule kept, or a finding that names both")


def _seams_of(pieces: Sequence[Piece]) -> list[tuple[Piece, Piece, Seam]]:
    by_run: dict[tuple[str, int, int], list[Piece]] = {}
    for piece in pieces:
        by_run.setdefault((piece.wall, piece.course, piece.run), []).append(piece)
    return [
        (a, b, Seam(a.wall, a.course, a.run, a.right_x, a.label, b.label))
        for run in by_run.values()
        for a, b in pairwise(sorted(run, key=lambda piece: piece.x))
    ]


def _near(seams: Sequence[Seam], courses: int) -> Iterator[tuple[Seam, Seam]]:
    """Pair the seams of a wall that are less than so many courses apart."""
    stacked: dict[tuple[str, int], list[int]] = {}
    for i, seam in enumerate(seams):
        stacked.setdefault((seam.wall, seam.course), []).append(i)
    for i, seam in enumerate(seams):
        near = range(seam.course - courses + 1, seam.course + courses)
        for j in sorted(j for c in near for j in stacked.get((seam.wall, c), ()) if j > i):
            yield seam, seams[j]


def _name(seam: Seam) -> str:
    return f"seam of {seam.left} and {seam.right}"


def _place(seam: Seam, job: Job) -> str:
    place = course_place(seam.wall, seam.course)
    return f"at {write_length(seam.x, job.unit)} in {place}, run {seam.run}"


def _is_told(seam: Seam, findings: Sequence[str]) -> bool:
    """Whether one finding names both pieces of a seam."""
    return any(_names(told, seam.left) and _names(told, seam.right) for told in findings)


def _names(finding: str, label: str) -> bool:
    """Whether a finding names a label, and not a longer one that begins alike."""
    return label in finding and bool(
        re.search(rf"(?<![\w.-]){re.escape(label)}(?!\w|[.-]\w)", finding)
    )


def _broken_alone(
    left: Piece,
    right: Piece,
    seam: Seam,
    courses: Mapping[str, Sequence[Course]],
    job: Job,
) -> Iterator[tuple[SeamRule, str]]:
    """Give the rules that a seam breaks by itself, and how in words."""
    rules, unit = job.rules, job.unit
    for piece in (left, right):
        if piece.length < rules.shortest_piece:
            length = write_length(piece.length, unit)
            shortest = write_length(rules.shortest_piece, unit)
            words = f"piece {piece.label} of {length}, shorter than {shortest}"
            yield SeamRule.SHORTEST_PIECE, words
    for opening in _openings_at(left, right, seam, courses, job):
        yield SeamRule.KEEP_OUT, f"it at opening {opening.name}"


def _openings_at(
    left: Piece,
    right: Piece,
    seam: Seam,
    courses: Mapping[str, Sequence[Course]],
    job: Job,
) -> Iterator[Opening]:
    """Give the openings that a seam lies over or under, or too near to."""
    rules = job.rules
    course = next((c for c in courses.get(seam.wall, ()) if c.number == seam.course), None)
    if course is None:
        return
    start, end = sorted((left.right_x, right.x))
    keep = max(rules.side_clearance, rules.keep_out)
    for opening in course.wall.openings:
        meets = (
            (opening.head > course.butt and opening.sill - rules.sill_clearance < course.top)
            or opening.sill == course.top
            or opening.head == course.butt
        )
        if meets and start < opening.right + keep and end > opening.x - keep:
            yield opening


def _judge_wide(
    met: Sequence[tuple[Piece, Piece, Seam]],
    courses: Mapping[str, Sequence[Course]],
    findings: Sequence[str],
    job: Job,
) -> Iterator[str]:
    """Ask for a finding about every opening that no stock length spans."""
    wide = {
        (seam.wall, opening.name): opening.right - opening.x
        for left, right, seam in met
        for opening in _openings_at(left, right, seam, courses, job)
        if opening.right - opening.x > job.siding.longest
    }
    for (mark, name), width in wide.items():
        lengths = [write_length(length, job.unit) for length in (width, job.siding.longest)]
        words = [f"wall {mark}", f"opening {name}", *lengths]
        if not any(all(word in told for word in words) for told in findings):
            yield fault(
                f"opening {name} of wall {mark}",
                f"it {lengths[0]} wide, a seam at it, and no finding",
                f"one that names it, {lengths[0]} and the stock length of {lengths[1]}",
            )


def _broken_together(a: Seam, b: Seam, job: Job) -> Iterator[tuple[SeamRule, str]]:
    """Give the rules that two seams break together, and how in words."""
    rules = job.rules
    if a.wall != b.wall or a.course == b.course:
        return
    courses, apart = abs(a.course - b.course), abs(a.x - b.x)
    words = f"it {write_length(apart, job.unit)} to the side and {courses} courses"
    if courses == 1 and apart < rules.stagger:
        yield SeamRule.STAGGER, f"{words} (stagger)"
        if SeamRule.IN_LINE in rules.hard:
            # Of neighbouring courses that is a matter of the stagger.
            return
    if courses < rules.in_line_courses and apart < rules.in_line_width:
        yield SeamRule.IN_LINE, f"{words} (in line)"
