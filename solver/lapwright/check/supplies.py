"""What is counted by rule, recounted."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lapwright.check.areas import gross_area
from lapwright.check.edges import edges_of
from lapwright.check.fault import fault
from lapwright.check.surround import SILLED, up
from lapwright.check.surround import edges_of as sides_of
from lapwright.job.material import Family
from lapwright.job.wall import StopKind

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.check.claims import Claims, Piece
    from lapwright.check.reading import Group
    from lapwright.job.job import Job
    from lapwright.job.supplies import Supplies
    from lapwright.job.wall import Wall

_POSTS = ("outside_corner", "inside_corner")
_CORNERS = (StopKind.OUTSIDE_CORNER, StopKind.INSIDE_CORNER)


@dataclass(frozen=True, slots=True)
class Count:
    """A line of what is counted by rule."""

    name: str
    quantity: int
    unit: str


def read_supplies(top: Group) -> tuple[Count, ...] | None:
    """Read what a record claims; None for a plan of before supplies were counted."""
    job = top.data.get("job")
    asked = isinstance(job, dict) and "supplies" in job
    if "supplies" not in top.data and not asked:
        return None
    return tuple(
        Count(line.text("name"), line.whole("quantity"), line.text("unit"))
        for line in top.groups("supplies")
        # The words on how it was counted are for people; that they are there is enough.
        if isinstance(line.text("how"), str)
    )


def judge_supplies(counts: tuple[Count, ...] | None, claims: Claims, job: Job) -> Iterator[str]:
    """Compare what a plan counts by rule with the job and the plan's own pieces."""
    if counts is None:
        return
    wanted = {count.name: count for count in _recount(claims, job) if count.quantity > 0}
    names = [count.name for count in counts]
    if names != list(wanted):
        yield fault("supplies", ", ".join(names) or "none", ", ".join(wanted) or "none")
    for count in counts:
        right = wanted.get(count.name)
        if right is not None and count != right:
            yield fault(
                f"supplies, {count.name}",
                f"{count.quantity} {count.unit}",
                f"{right.quantity} {right.unit}",
            )


def _recount(claims: Claims, job: Job) -> Iterator[Count]:
    rules = job.supplies
    if rules is None:
        return
    for siding in job.sidings:
        own = [p for p in claims.pieces if p.siding == siding.name or len(job.sidings) == 1]
        name = "siding nails" + (f", {siding.name}" if len(job.sidings) > 1 else "")
        yield _in_pounds(name, _siding_nails(own, rules), rules)
    yield _in_pounds("trim nails", _trim_nails(claims, rules), rules)
    panels = [piece.length for piece in claims.trim if piece.role == "soffit"]
    held = sum(_lengths_in(length, job.rules.soffit_span) + 1 for length in panels)
    yield _in_pounds("soffit nails", held, rules)
    # Strips side by side, each narrower by the lap, and shorter by it.
    strip = rules.barrier_width - rules.barrier_lap
    covered = strip * rules.barrier_length - strip * rules.barrier_lap
    area = sum(gross_area(wall).__floor__() for wall in job.walls)
    yield Count("weather barrier", _lengths_in(area, covered), "rolls")
    yield Count("flashing tape", _lengths_in(_round_openings(job), rules.tape_length), "rolls")
    up = _corner_length(job)
    yield Count("corner flashing", _lengths_in(up, rules.corner_flashing_length), "rolls")
    butted = {siding.name for siding in job.sidings if siding.family is Family.BUTTED}
    # A run of n pieces has n - 1 joints.
    planks = [piece for piece in claims.pieces if piece.siding in butted]
    joints = len(planks) - len({(piece.wall, piece.course, piece.run) for piece in planks})
    yield Count("joint flashing", joints, "pieces")
    if rules.furring_spacing is not None:
        high = sum(max(corner.y for corner in wall.outline) for wall in job.walls)
        upright = _lengths_in(area, rules.furring_spacing) + high
        yield Count("furring strips", _lengths_in(upright, rules.furring_length), "pieces")


def _siding_nails(pieces: Sequence[Piece], rules: Supplies) -> int:
    together: Counter[tuple[str, int]] = Counter()
    for piece in pieces:
        together[piece.wall, piece.course] += piece.length
    between = sum(_lengths_in(length, rules.nail_spacing) for length in together.values())
    return between + len(pieces)


def _trim_nails(claims: Claims, rules: Supplies) -> int:
    nails = 0
    for piece in claims.trim:
        if piece.role == "soffit":
            continue
        post = piece.role in _POSTS
        spacing = rules.post_nail_spacing if post else rules.trim_nail_spacing
        flanges = 2 if post else 1
        nails += flanges * _lengths_in(piece.length, spacing) + flanges
    return nails


def _in_pounds(name: str, nails: int, rules: Supplies) -> Count:
    if rules.nails_a_pound is None:
        return Count(name, nails, "nails")
    return Count(name, _lengths_in(nails, rules.nails_a_pound), "lb")


def _round_openings(job: Job) -> int:
    """Give the length of all edges that are taped. [ticks]"""
    length = 0
    for o in (opening for wall in job.walls for opening in wall.openings):
        for a, b in sides_of(o):
            # Nobody tapes the floor under a door.
            if o.kind in SILLED or a.y > o.sill or b.y > o.sill:
                length += up(a, b)
    return length


def _corner_length(job: Job) -> int:
    """Add up all ends at corners, and take off the lower of two that share a post. [ticks]"""
    length = 0
    last: dict[str, Wall] = {}
    first: dict[str, Wall] = {}
    count = Counter(wall.part for wall in job.walls)
    for wall in job.walls:
        first.setdefault(wall.part, wall)
        if wall.left in _CORNERS:
            length += _end_height(wall, 0)
        if wall.right in _CORNERS:
            length += _end_height(wall, wall.width)
        if wall.part in last:
            length -= _shared(last[wall.part], wall)
        last[wall.part] = wall
    for part, walls in count.items():
        if walls > 2:
            length -= _shared(last[part], first[part])
    return length


def _shared(wall: Wall, following: Wall) -> int:
    """Give the lower height of two ends that are one corner, 0 where they are none. [ticks]"""
    if wall.right not in _CORNERS or wall.right is not following.left:
        return 0
    return min(_end_height(wall, wall.width), _end_height(following, 0))


def _end_height(wall: Wall, x: int) -> int:
    """Give what an outline rises and falls along an end that is plumb. [ticks]"""
    return sum(max(a.y, b.y) - min(a.y, b.y) for a, b in edges_of(wall) if a.x == x == b.x)


def _lengths_in(whole: int, part: int) -> int:
    """Count the parts that reach over a whole: those that go in, and one for a rest."""
    number, rest = divmod(whole, part)
    return number + (1 if rest else 0)
