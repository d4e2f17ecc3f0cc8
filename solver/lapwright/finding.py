"""What the crew must know about a layout before it buys and cuts."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from lapwright.coursing import find_about_corners, find_about_courses, sliver_cure
from lapwright.job.corners import readings_of
from lapwright.job.field import job_of
from lapwright.job.material import Family
from lapwright.job.thermal import write_degrees
from lapwright.job.wall import LowerEdge, OpeningShape
from lapwright.measure import Rounding, to_tape, write_length
from lapwright.plan import NotchEdge
from lapwright.seams.span import spanning
from lapwright.seams.split import KEEP_OUT
from lapwright.takeoff.area import gross_area, is_clipped, opening_area
from lapwright.takeoff.movement import end_drawn_out, lap_opened
from lapwright.takeoff.slab import step_ends

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from lapwright.job.job import Job
    from lapwright.job.wall import Opening
    from lapwright.plan import PieceNotch, SidingPiece
    from lapwright.siding import Layout
    from lapwright.takeoff.run import Run


_STEEP = 12
"""A sill that rises more than one in so many is taken for a slip of the pen."""
_SEAM = "seam between "
"""So a finding about a rule for seams begins."""


def find_all(job: Job, layout: Layout) -> tuple[str, ...]:
    """List what the crew must know, each as one sentence.

    The order is: what the reading changed, openings, where courses begin,
    corners and bare edges, slivers and narrow fillers, what cold draws apart, then rules
    for seams that could not be kept.
    """
    made = [(job_of(job, siding), layout.of(siding)) for siding in job.sidings]
    return (
        *job.remarks,
        *_openings(job),
        *_bare(job, layout),
        *_over_roofs(job),
        *_amid(job),
        *(line for part, laid in made for line in find_about_courses(part, laid)),
        *find_about_corners(job),
        *(_of(job, part, line) for part, laid in made for line in _ripped(part, laid)),
        *(_of(job, part, line) for part, laid in made for line in _weak(part, laid)),
        *(_of(job, part, line) for part, laid in made for line in _cold(part, laid)),
        *(_of(job, part, line) for part, laid in made for line in _too_wide(part, laid)),
        *(_of(job, part, line) for part, laid in made for line in _seams(part, laid)),
    )


def _of(job: Job, part: Job, line: str) -> str:
    """Name the siding that a sentence is about, where the job has several."""
    return f"{part.siding.name}, {line}" if len(job.sidings) > 1 else line


def _openings(job: Job) -> Iterator[str]:
    for wall in job.walls:
        for opening in wall.openings:
            name = f"wall {wall.mark}, opening {opening.name}"
            if opening.shape in (OpeningShape.ROUND, OpeningShape.ARCHED):
                curve = "round" if opening.shape is OpeningShape.ROUND else "arched"
                yield (
                    f"{name}: {curve}; bend its channel to the curve, and trace the curve or"
                    " make a template for what is cut along it"
                )
            if opening.shape is OpeningShape.ROUND:
                yield (
                    f"{name}: no sill-support channel fits under a curve;"
                    " crimp the cut edge into the bent channel"
                )
            readings = readings_of(opening)
            if readings is not None and not readings.is_level:
                apart = abs(readings.sill[1] - readings.sill[0])
                if apart * _STEEP > opening.width:
                    yield (
                        f"{name}: its sill is {write_length(apart, job.unit)} out of level"
                        f" over {write_length(opening.width, job.unit)}; is one of the two"
                        " readings wrong?"
                    )
            if is_clipped(opening, wall):
                yield f"{name}: runs past the wall's edge; only what is on the wall counts"
        for one, other in combinations(wall.openings, 2):
            wide = min(one.right, other.right) - max(one.x, other.x)
            high = min(one.head, other.head) - max(one.sill, other.sill)
            if wide > 0 and high > 0:
                yield (
                    f"wall {wall.mark}, openings {one.name} and {other.name} overlap by"
                    f" {write_length(wide, job.unit)} by {write_length(high, job.unit)};"
                    " is one of them in the right place?"
                )
            elif (wide == 0 and high > 0) or (high == 0 and wide > 0):
                yield (
                    f"wall {wall.mark}, openings {one.name} and {other.name} touch: channel is"
                    " planned round each, also where they touch; if they are joined, give them"
                    " as one opening"
                )


def _bare(job: Job, layout: Layout) -> Iterator[str]:
    """Report walls on which no piece of siding hangs."""
    clad = {piece.wall for piece in layout.pieces}
    for wall in job.walls:
        if wall.mark not in clad:
            why = "nothing fits between its edges, its openings and the gaps"
            if gross_area(wall.outline) == opening_area(wall):
                why = "its openings take all of it"
            yield f"wall {wall.mark}: no siding is planned on it, for {why}; is it right?"


def _over_roofs(job: Job) -> Iterator[str]:
    for wall in job.walls:
        sides = [(a, b) for a, b in wall.edges if a.x < b.x and (a.y > 0 or b.y > 0)]
        if wall.lower_edges is LowerEdge.GROUND:
            sides = [(a, b) for a, b in sides if a.y != b.y]
        if sides:
            is_level = any(a.y == b.y for a, b in sides)
            ground = "; if it is a foundation that steps up, say lower_edges: ground"
            yield (
                f"wall {wall.mark}: stands over a lower roof; its flashing comes first, and a"
                " butt edge that is cut away needs a channel and snap locks to hold it"
                f"{ground if is_level else ''}"
            )


def _amid(job: Job) -> Iterator[str]:
    """Report upright sides within a wall, whose post or channel another wall has, or none."""
    unit = job.unit
    for wall in job.walls:
        risers = step_ends(wall)
        for a, b in wall.edges:
            low, high = sorted((a, b), key=lambda p: p.y)
            if a.x == b.x and 0 < a.x < wall.width and (low, high) not in risers:
                yield (
                    f"wall {wall.mark}: ends upright at {write_length(a.x, unit)} from its"
                    f" left, {write_length(low.y, unit)} to {write_length(high.y, unit)} up; no"
                    " post or channel is planned there, unless the wall that it meets has one"
                )


def _ripped(job: Job, layout: Layout) -> Iterator[str]:
    """Report courses ripped to a sliver, each once."""
    thin = {
        (piece.wall, piece.course, piece.height): None
        for piece in layout.pieces
        if piece.ripped and piece.height < job.rules.sliver
    }
    for wall, course, height in thin:
        yield (
            f"wall {wall}, course {course}: a sliver, ripped to"
            f" {write_length(height, job.unit)}; {sliver_cure(job, wall)}"
        )


def _weak(job: Job, layout: Layout) -> Iterator[str]:
    """Report weak pieces; those of a wall that are weak alike share a sentence."""
    alike: dict[tuple[str, str], list[str]] = {}
    for piece in layout.pieces:
        for words in (*_thin(job, piece), *_tongues(job, piece)):
            alike.setdefault((piece.wall, words), []).append(piece.label)
    for (_, words), labels in alike.items():
        yield f"{'piece' if len(labels) == 1 else 'pieces'} {', '.join(labels)}: {words}"


def _thin(job: Job, piece: SidingPiece) -> Iterator[str]:
    """Say where a piece is lower or narrower than it should be."""
    rules, unit = job.rules, job.unit
    for notch in piece.notches:
        left_over, place = _left_over(piece, notch)
        if left_over is not None and left_over < rules.sliver:
            yield (
                f"a sliver, {write_length(left_over, unit)} left {place} {notch.opening};"
                f" {sliver_cure(job, piece.wall)}"
            )
        if notch.edge is NotchEdge.HOLE:
            yield f"{notch.opening} is a hole inside the piece"
    if piece.length < rules.narrowest and piece.left.meets == piece.right.meets == "rake":
        yield (
            f"a point of only {write_length(piece.length, unit)} between the rakes; wider"
            " trim along them would cover it"
        )
    elif piece.length < rules.narrowest:
        yield (
            f"a filler of only {write_length(piece.length, unit)} between {piece.left.meets}"
            f" and {piece.right.meets}; a wider stop would cure it"
        )


def _left_over(piece: SidingPiece, notch: PieceNotch) -> tuple[int | None, str]:
    """Give how high the strip is that a notch leaves, and on which side of it. [ticks]

    A cut that slants to nothing leaves no strip that another start would cure, and so
    does the cut of an end, but at a seam.
    """
    if notch.edge is NotchEdge.END:
        return _left_at_seam(piece, notch)
    low, high = sorted((notch.cut_left, notch.cut_right))
    if notch.edge is NotchEdge.HEAD:
        return (piece.height - low if high < piece.height else None), "over"
    return (high if low > 0 else None), "under"


def _left_at_seam(piece: SidingPiece, notch: PieceNotch) -> tuple[int | None, str]:
    """Give what a seam in the middle of a cut leaves of the piece there. [ticks]"""
    for end, u in ((piece.left, 0), (piece.right, piece.length)):
        heights = [v for at, v in notch.points if at == u]
        if end.meets != "seam" or not heights:
            continue
        if min(heights) > 0:
            return min(heights), "under"
        if max(heights) < piece.height:
            return piece.height - max(heights), "over"
    return None, ""


def _tongues(job: Job, piece: SidingPiece) -> Iterator[str]:
    """Say where a seam beside an opening leaves but a narrow strip of a piece.

    The seam keeps out of the opening, so that no rule is broken; the strip breaks off all
    the same when the piece is carried.
    """
    rules, unit = job.rules, job.unit
    lap = rules.lap if job.siding.family is Family.LAPPED else 0
    keep_out = to_tape(rules.narrowest - lap + rules.side_clearance, unit, Rounding.UP)
    if rules.keep_out >= keep_out:
        return  # Such a seam breaks the rule, and is told with it.
    for notch in piece.notches:
        for end, wide in (
            (piece.left, notch.start),
            (piece.right, piece.length - notch.end),
        ):
            if end.meets == "seam" and not end.profile and 0 < wide < rules.narrowest:
                yield (
                    f"a tongue only {write_length(wide, unit)} wide between its seam and"
                    f" {notch.opening}; keep_out: {write_length(keep_out, unit)} would put"
                    " the seam farther from it, where there is room"
                )


def _cold(job: Job, layout: Layout) -> Iterator[str]:
    """Report the end and the lap that cold draws apart most, if any is."""
    if job.thermal is None:
        return
    coldest = write_degrees(job.thermal.coldest, job.unit)
    at_stops = (p for p in layout.pieces if {p.left.meets, p.right.meets} != {"seam"})
    piece = max(at_stops, key=lambda piece: piece.length, default=None)
    if piece is not None and (end := end_drawn_out(job, piece.length)) is not None:
        drawn, covered = end
        yield (
            f"piece {piece.label}: at {coldest} it draws back by"
            f" {_on_tape(drawn, job)} at each end, and only"
            f" {_on_tape(covered, job)} of it is covered;"
            " deeper channels, or hanging it in the cold, would cure it"
        )
    if job.siding.family is not Family.LAPPED:
        return
    lengths = {piece.label: piece.length for piece in layout.pieces}
    seam = max(
        layout.seams, key=lambda seam: lengths[seam.left] + lengths[seam.right], default=None
    )
    if seam is None:
        return
    drawn_apart = lap_opened(job, lengths[seam.left], lengths[seam.right])
    if drawn_apart is not None:
        yield (
            f"seam between {seam.left} and {seam.right}: at {coldest} they draw apart by"
            f" {_on_tape(drawn_apart, job)}, and they lap only"
            f" {write_length(job.rules.lap, job.unit)}; a longer lap would cure it"
        )


def _on_tape(length: Fraction | int, job: Job) -> str:
    return write_length(to_tape(length, job.unit, Rounding.NEAREST), job.unit)


def _too_wide(job: Job, layout: Layout) -> Iterator[str]:
    """Report openings that no stock length spans, so that a seam must lie at them."""
    unit, longest = job.unit, job.siding.longest
    runs: dict[str, list[Run]] = {}
    for split in layout.splits:
        runs.setdefault(split.run.wall, []).append(split.run)
    wide: dict[tuple[str, Opening], list[tuple[int, Run]]] = {}
    for wall in job.walls:
        for run in runs.get(wall.mark, ()) if wall.openings else ():
            for opening in wall.openings:
                need = spanning(run, opening, job)
                if need > longest:
                    wide.setdefault((wall.mark, opening), []).append((need, run))
    for (mark, opening), met in wide.items():
        over = ["over"] if any(run.course.line > opening.head for _, run in met) else []
        under = ["under"] if any(run.course.butt < opening.sill for _, run in met) else []
        need = to_tape(max(need for need, _ in met), unit, Rounding.UP)
        yield (
            f"wall {mark}, opening {opening.name}: {write_length(opening.width, unit)} wide;"
            f" the longest stock length of {write_length(longest, unit)} does not span it with"
            f" its seams clear, so that one must lie {' and '.join(over + under)} it; a stock"
            f" length of {write_length(need, unit)} would cure it"
        )


def seam_at_fault(finding: str) -> str | None:
    """Give the piece at the left of a seam, if a finding is about a rule that it breaks."""
    return finding.split()[2] if finding.startswith(_SEAM) else None


def _seams(job: Job, layout: Layout) -> Iterator[str]:
    for seam, rule in layout.broken:
        why = "no place was found that keeps every rule"
        wide = [
            opening.name
            for wall in job.walls
            if wall.mark == seam.wall
            for opening in wall.openings
            if opening.x < seam.x < opening.right and opening.width > job.siding.longest
        ]
        if rule == KEEP_OUT and wide:
            why = (
                f"{wide[0]} is wider than the longest stock length; a longer one would cure it"
            )
        elif job.rules.extra_seams == 0:
            why += (
                " with the fewest seams; extra_seams: 1 would allow one more and may save stock"
            )
        else:
            why += "; another stock length may cure it"
        place = to_tape(seam.x, job.unit, Rounding.NEAREST)
        yield (
            f"{_SEAM}{seam.left} and {seam.right} at"
            f" {write_length(place, job.unit)} {rule}; {why}"
        )
