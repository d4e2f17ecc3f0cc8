"""What the crew must know about the heights of courses: starts, corners, slivers."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from lapwright.job.field import first_field, job_of
from lapwright.job.material import Family, TrimRole
from lapwright.job.wall import LowerEdge, StopKind
from lapwright.measure import Ticks, write_length
from lapwright.plan import NotchEdge
from lapwright.takeoff.grid import best_start, candidate, courses_of, walls_that_share
from lapwright.takeoff.slab import bottoms_of, roofs_of
from lapwright.takeoff.strip import strips_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.job import Job
    from lapwright.job.wall import Wall
    from lapwright.plan import SidingPiece
    from lapwright.siding import Layout
    from lapwright.takeoff.course import Course
    from lapwright.takeoff.grid import Candidate

_CORNERS = (StopKind.OUTSIDE_CORNER, StopKind.INSIDE_CORNER)


def find_about_courses(job: Job, layout: Layout) -> Iterator[str]:
    """List where courses of one siding begin above or below a bottom, or miss a line."""
    for wall in job.walls:
        yield from _start(job, wall, courses_of(job, wall)[0])
        yield from _steps(job, wall, courses_of(job, wall))
    if job.siding.evened:
        for wall in job.walls:
            courses = courses_of(job, wall)
            places = [strip.place for strip in strips_of(wall, courses, job.rules)]
            if places:
                yield (
                    f"wall {wall.mark}: no course line could be had {', '.join(places)}, so"
                    " that planks are cut there; wider limits of the exposure, or a start of"
                    " its own for the wall, would cure it"
                )
    yield from _bare_edges(job, layout)


def _start(job: Job, wall: Wall, first: Course) -> Iterator[str]:
    over = Ticks(first.butt - wall.bottom)
    # Only an upper zone has its bottom above that of the wall; there a band may lie below.
    clear = job.rules.band_clearance if wall.bottom > 0 else 0
    if over > clear:
        yield (
            f"wall {wall.mark}: the first course begins"
            f" {write_length(over, job.unit)} up; nothing is planned below it;"
            " a lower start would cure it"
        )
    elif over < 0 and bottoms_of(wall):
        cure = "a course line at the wall's bottom would cure it"
        if wall.start is None and job.start is None:
            cure = "start: best took it for the fewest slivers"
        held = "a strip of its own behind it"
        if job.siding.family is Family.LAPPED:
            held = "a sill-support channel and snap locks, not the starter strip,"
        yield (
            f"wall {wall.mark}: the first course is ripped at its bottom edge, which loses"
            f" {write_length(-over, job.unit)}; {held} must hold it; {cure}"
        )


def _steps(job: Job, wall: Wall, courses: Sequence[Course]) -> Iterator[str]:
    """Report steps of the foundation that no course line meets."""
    steps = {int(edge.y) for edge in roofs_of(wall, job.rules) if edge.kind == "step"}
    for y in sorted(steps):
        cut = next((c for c in courses if c.butt < y < c.line), None)
        if cut is not None:
            held = "a strip of its own behind it"
            if job.siding.family is Family.LAPPED:
                held = "a sill-support channel and snap locks, not the starter strip,"
            yield (
                f"wall {wall.mark}: over the step {write_length(Ticks(y), job.unit)} up course"
                f" {cut.number} is ripped at its bottom edge, which loses"
                f" {write_length(Ticks(y - cut.butt), job.unit)}; {held} must hold it; a course"
                " line at the step would cure it"
            )


def find_about_corners(job: Job) -> Iterator[str]:
    """List the corners at which bottoms, or courses of one siding, miss each other."""
    for wall, following in neighbours(job):
        yield from _bottoms(job, wall, following)
        field, other = first_field(job, wall), first_field(job, following)
        if field.siding.name != other.siding.name:
            continue
        off = corner_offset(job_of(job, field.siding), field.wall, other.wall)
        if off is None:
            continue
        cure = "the same base and start would cure it"
        own = [w.mark for w in (wall, following) if w.start is not None]
        if own:
            cure = f"without a start of its own for wall {' and '.join(own)} they would"
        words = "their exposures differ"
        if off:
            higher = following if off > 0 else wall
            words = f"those of wall {higher.mark} are {write_length(abs(off), job.unit)} higher"
        yield (
            f"wall {wall.mark} and wall {following.mark}: their courses do not line up at the"
            f" corner, {words}; {cure}"
        )


def _bottoms(job: Job, wall: Wall, following: Wall) -> Iterator[str]:
    """Report two walls whose bottoms are not equally high at the corner that they share.

    Where the higher one stands over a lower roof there, that is as it should be.
    """
    ends = _plumb_ends(wall, wall.width), _plumb_ends(following, 0)
    if not ends[0] or not ends[1]:
        return
    apart = following.base + min(ends[1]) - wall.base - min(ends[0])
    higher, own = (following, ends[1]) if apart > 0 else (wall, ends[0])
    if apart and (min(own) == 0 or higher.lower_edges is LowerEdge.GROUND):
        yield (
            f"walls {wall.mark} and {following.mark} meet at a corner, but their bottoms differ"
            f" by {write_length(Ticks(abs(apart)), job.unit)} there, where that of wall"
            f" {higher.mark} is higher; if that is not so, mend the base or the outline of one"
        )


def neighbours(job: Job) -> Iterator[tuple[Wall, Wall]]:
    """Give the walls that meet at a corner, the left one first."""
    parts: dict[str, list[Wall]] = {}
    for wall in job.walls:
        parts.setdefault(wall.part, []).append(wall)
    for walls in parts.values():
        # Two walls cannot go round a building.
        following = [*walls[1:], walls[0]] if len(walls) > 2 else walls[1:]
        for wall, other in zip(walls, following, strict=False):
            if wall.right in _CORNERS and other.left is wall.right:
                yield wall, other


def corner_offset(job: Job, wall: Wall, following: Wall) -> int | None:
    """Tell by how much the courses of two walls miss each other at their corner.

    Returns
    -------
    int or None
        How much higher the first of the following wall's lines is than the nearest one of
        the wall, 0 where only later ones differ; None where all meet. [ticks]
    """
    ends = _lines_beside(job, wall, wall.width), _lines_beside(job, following, 0)
    if ends[0] is None or ends[1] is None:
        return None
    (low_a, high_a, lines_a), (low_b, high_b, lines_b) = ends[0], ends[1]
    low, high = max(low_a, low_b), min(high_a, high_b)
    ours = [y for y in lines_a if low < y < high]
    theirs = [y for y in lines_b if low < y < high]
    if ours == theirs:
        return None
    if not theirs or not ours:
        return 0
    return theirs[0] - min(lines_a, key=lambda y: (abs(y - theirs[0]), y))


def _lines_beside(job: Job, wall: Wall, x: int) -> tuple[int, int, list[int]] | None:
    """Give foot and top of the siding at a plumb end, and its course lines, by the house."""
    ends = _plumb_ends(wall, x)
    if not ends:
        return None
    courses = courses_of(job, wall)
    lines = [course.butt for course in courses] + [courses[-1].line]
    foot, top = max(min(ends), lines[0]), min(max(ends), lines[-1])
    return wall.base + foot, wall.base + top, [wall.base + y for y in lines]


def _plumb_ends(wall: Wall, x: int) -> list[int]:
    """List the heights at which a wall's plumb sides at a place begin and end. [ticks]"""
    return [int(y) for a, b in wall.edges if a.x == b.x == x for y in (a.y, b.y)]


def _bare_edges(job: Job, layout: Layout) -> Iterator[str]:
    """Report cut edges for whose support the job has no trim."""
    if job.siding.family is not Family.LAPPED:
        return
    pieces: dict[str, list[SidingPiece]] = {wall.mark: [] for wall in job.walls}
    for piece in layout.pieces:
        pieces[piece.wall].append(piece)
    for mark, own in pieces.items():
        cut: dict[TrimRole, dict[str, None]] = {
            TrimRole.SILL_CHANNEL: {},
            TrimRole.J_CHANNEL: {},
        }
        for piece in own:
            if piece.ripped:
                cut[TrimRole.SILL_CHANNEL]["under the eave"] = None
            for notch in piece.notches:
                if notch.opening in ("bottom", "step"):
                    cut[TrimRole.SILL_CHANNEL][f"along the {notch.opening}"] = None
                    continue
                if notch.edge is not NotchEdge.HEAD:
                    place = "the eave" if notch.opening == "eave" else notch.opening
                    cut[TrimRole.SILL_CHANNEL][f"under {place}"] = None
                if notch.edge is not NotchEdge.SILL:
                    place = "the lower roof" if notch.opening == "roof" else notch.opening
                    cut[TrimRole.J_CHANNEL][f"over {place}"] = None
        for role, places in cut.items():
            if places and job.trim_for(role) is None:
                yield (
                    f"wall {mark}: cut edges {', '.join(places)} have no support, for the"
                    f" job has no {role.value}; that role under trim would cure it"
                )


@lru_cache(maxsize=64)
def sliver_cure(job: Job, mark: str) -> str:
    """Say what would cure a sliver on a wall."""
    siding, unit = job.siding, job.unit
    if siding.family is Family.BUTTED and not siding.varies and siding.least_exposure:
        return "exposures: even would fit the courses to sills, heads and eaves"
    wall = next(wall for wall in job.walls if wall.mark == mark)
    if wall.start is not None or siding.varies:
        return "another start height would cure it"
    walls = walls_that_share(job)[wall.part]
    best, span = best_start(job, walls), job.start_range
    if best.slivers < _present(job, walls).slivers:
        left = {0: "no sliver", 1: "one sliver"}.get(best.slivers, f"{best.slivers} slivers")
        part = f"part {wall.part}" if wall.part else "the house"
        return f"start: {write_length(best.start, unit)} would leave {left} on {part}"
    low, high = write_length(span.lowest, unit), write_length(span.highest, unit)
    return f"no start from {low} to {high} leaves fewer; a wider start_range may cure it"


def _present(job: Job, walls: tuple[Wall, ...]) -> Candidate:
    if job.start is None:
        return best_start(job, walls)
    return candidate(job, walls, job.start)
