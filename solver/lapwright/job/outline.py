"""The outline of a wall as a polygon: from width, height and gable, or as given."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lapwright.job.wall import Point, Zone
from lapwright.measure import Ticks, round_ticks

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lapwright.job.wall_form import WallForm


def wall_outline(form: WallForm) -> tuple[tuple[Point, ...], Point]:
    """Make the outline of a wall from its form.

    Returns
    -------
    outline : tuple of Point
        Counter-clockwise from the lowest point (the leftmost of these), with its box's
        lower left corner at the origin. [ticks]
    moved : Point
        What was taken from every point to bring it there. [ticks]

    Notes
    -----
    The peak of a gable is rounded to whole ticks (3 µm).
    """
    if form.outline is not None:
        return normal_outline([Point(x, y) for x, y in form.outline])
    if form.width is None or form.height is None:
        raise ValueError("a wall has an outline, or a width and a height")
    zero, width, height = Ticks(0), form.width, form.height
    corners = [Point(zero, zero), Point(width, zero), Point(width, height)]
    if form.gable is not None:
        rise = form.gable.rise
        if form.gable.pitch is not None:
            rise = round_ticks(form.gable.pitch * width / 2, 1)
        corners.append(Point(Ticks(width // 2), Ticks(height + (rise or 0))))
    corners.append(Point(zero, height))
    return normal_outline(corners)


def wall_zones(form: WallForm, clear: Mapping[str, Ticks]) -> tuple[Zone, ...]:
    """Make the zones of a wall from its form, heights from the bottom of its outline.

    Parameters
    ----------
    form
        The wall.
    clear
        What the first butt edge keeps clear of a band below it, by the name of its
        siding; nothing where that is not there. [ticks]
    """
    outline, moved = wall_outline(form)
    top = max(p.y for p in outline)
    zones = []
    low = band = Ticks(0)
    for number, zone in enumerate(form.zones):
        name = zone.siding or form.siding or ""
        high = top if zone.top is None else Ticks(zone.top - moved.y)
        up = zone.start
        if up is None:
            up = clear.get(name, Ticks(0)) if band else Ticks(0)
        start = form.start if number == 0 else Ticks(low + up)
        zones.append(Zone(low, high, name, start))
        band = zone.band
        low = Ticks(high + band)
    return tuple(zones)


def normal_outline(corners: Sequence[Point]) -> tuple[tuple[Point, ...], Point]:
    """Bring a polygon to the form in which walls keep it.

    Doubled points and points inside a straight edge are dropped.
    """
    low_x, low_y = min(p.x for p in corners), min(p.y for p in corners)
    points = [Point(Ticks(p.x - low_x), Ticks(p.y - low_y)) for p in corners]
    points = _without_straight(points)
    if twice_area(points) < 0:
        points.reverse()
    first = min(range(len(points)), key=lambda i: (points[i].y, points[i].x))
    return tuple(points[first:] + points[:first]), Point(low_x, low_y)


def twice_area(points: Sequence[Point]) -> int:
    """Twice the signed area of a polygon, positive counter-clockwise. [ticks²]"""
    following = [*points[1:], points[0]]
    return sum(a.x * b.y - b.x * a.y for a, b in zip(points, following, strict=True))


def crossing_edges(points: Sequence[Point]) -> tuple[int, int] | None:
    """Find two edges of a polygon that meet where they should not, by position."""
    count = len(points)
    edges = [(points[i], points[(i + 1) % count]) for i in range(count)]
    for i in range(count):
        for j in range(i + 1, count):
            neighbours = j == i + 1 or (i == 0 and j == count - 1)
            if neighbours:
                continue
            if _touch(*edges[i], *edges[j]):
                return i, j
    return None


def _without_straight(points: list[Point]) -> list[Point]:
    kept = list(points)
    changed = True
    while changed and len(kept) > 2:
        changed = False
        for i in range(len(kept)):
            before, here, after = kept[i - 1], kept[i], kept[(i + 1) % len(kept)]
            if _turn(before, here, after) == 0:
                del kept[i]
                changed = True
                break
    return kept


def _turn(a: Point, b: Point, c: Point) -> int:
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)


def _touch(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether the segments a-b and c-d share a point."""
    turns = (_turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b))
    if turns[0] * turns[1] < 0 and turns[2] * turns[3] < 0:
        return True
    ends = ((a, b, c), (a, b, d), (c, d, a), (c, d, b))
    return any(
        turn == 0
        and min(p.x, q.x) <= r.x <= max(p.x, q.x)
        and min(p.y, q.y) <= r.y <= max(p.y, q.y)
        for turn, (p, q, r) in zip(turns, ends, strict=True)
    )
