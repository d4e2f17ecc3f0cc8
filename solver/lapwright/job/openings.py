"""Openings of a job file: what is wrong with one, and what it comes to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lapwright.errors import Finding
from lapwright.job.corners import regular_cut
from lapwright.job.outline import crossing_edges, normal_outline, twice_area
from lapwright.job.wall import Opening, OpeningShape, Point
from lapwright.measure import Ticks, write_length

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.job.document import Document
    from lapwright.job.wall_form import OpeningForm
    from lapwright.measure import Unit

    Path = tuple[str | int, ...]

_BOX = ("x", "sill", "width", "height")


def judge_opening(
    document: Document, path: Path, opening: OpeningForm, unit: Unit
) -> Iterator[Finding]:
    """Find what is wrong between the keys of an opening."""
    shape = opening.shape
    own = {OpeningShape.ARCHED: "rise", OpeningShape.OCTAGON: "cut"}
    polygon = shape is OpeningShape.POLYGON
    wanted = ("corners",) if polygon else _BOX
    for key in wanted:
        if getattr(opening, key) is None:
            whole = document.place(path)
            place = type(whole)(
                whole.file, whole.line, whole.column, document.place((*path, key)).key
            )
            yield Finding(place, "nothing", f"the key {key!r}")
    for key in (*_BOX, "rise", "cut", "corners"):
        if getattr(opening, key) is None or key in wanted or key == own.get(shape):
            continue
        found = f"{key!r} of an opening of the shape {shape.value!r}"
        fits = [s.value for s, k in own.items() if k == key] or ["polygon"]
        want = "corners alone" if polygon else f"the shape {fits[0]!r}, or no {key!r}"
        yield Finding(document.place((*path, key)), found, want)
    yield from _judge_sizes(document, path, opening, unit)


def _judge_sizes(
    document: Document, path: Path, opening: OpeningForm, unit: Unit
) -> Iterator[Finding]:
    sill, width, height = opening.sill, opening.width, opening.height
    tilted = sill is not None and sill.left != sill.right
    if tilted and opening.shape not in (OpeningShape.RECTANGLE, OpeningShape.POLYGON):
        found = f"a sill out of level under the shape {opening.shape.value!r}"
        wanted = "one height, or the shape 'rectangle' or 'polygon'"
        yield Finding(document.place((*path, "sill")), found, wanted)
    if width is None or height is None:
        if opening.corners is not None:
            yield from _judge_corners(document, path, opening)
        return
    if opening.shape is OpeningShape.ARCHED and (opening.rise or 0) > height:
        found = f"an arch that rises {write_length(opening.rise or 0, unit)}"
        wanted = f"at most the height of the opening, {write_length(height, unit)}"
        yield Finding(document.place((*path, "rise")), found, wanted)
    if opening.shape is OpeningShape.OCTAGON and 2 * (opening.cut or 0) > min(width, height):
        found = f"corners cut by {write_length(opening.cut or 0, unit)}"
        wanted = f"at most half of {write_length(min(width, height), unit)}"
        yield Finding(document.place((*path, "cut")), found, wanted)


def _judge_corners(document: Document, path: Path, opening: OpeningForm) -> Iterator[Finding]:
    corners = [Point(x, y) for x, y in opening.corners or ()]
    spot = document.place((*path, "corners"))
    if twice_area(corners) == 0:
        yield Finding(spot, "corners without area between them", "an opening with some area")
    elif (edges := crossing_edges(normal_outline(corners)[0])) is not None:
        found = f"sides {edges[0] + 1} and {edges[1] + 1} that cross or touch"
        yield Finding(spot, found, "corners in order round the opening, no side crossing")


def opening_of(form: OpeningForm, moved: Point) -> Opening:
    """Make an opening from a form that has been judged.

    Parameters
    ----------
    form
        The opening as the job file has it.
    moved
        What was taken from every place of its wall. [ticks]
    """
    x, sill, width, height = form.x, form.sill, form.width, form.height
    if form.corners is not None:
        return _polygon(form, [Point(a, b) for a, b in form.corners], moved)
    if x is None or sill is None or width is None or height is None:
        raise ValueError("an opening has corners, or a box")
    if sill.left != sill.right:
        # The sides are plumb, and the head is out of level as the sill is.
        end = Ticks(x + width)
        corners = [
            Point(x, sill.left),
            Point(end, sill.right),
            Point(end, Ticks(sill.right + height)),
            Point(x, Ticks(sill.left + height)),
        ]
        return _polygon(form, corners, moved)
    rise = cut = Ticks(0)
    if form.shape is OpeningShape.ARCHED:
        rise = form.rise or Ticks(min(width // 2, height))
    if form.shape is OpeningShape.OCTAGON:
        cut = form.cut or regular_cut(width, height)
    left, low = Ticks(x - moved.x), Ticks(sill.left - moved.y)
    return Opening(form.name, form.kind, left, low, width, height, form.shape, rise, cut)


def _polygon(form: OpeningForm, corners: list[Point], moved: Point) -> Opening:
    outline, low = normal_outline(corners)
    left, sill = Ticks(low.x - moved.x), Ticks(low.y - moved.y)
    places = tuple(Point(Ticks(p.x + left), Ticks(p.y + sill)) for p in outline)
    width, height = Ticks(max(p.x for p in outline)), Ticks(max(p.y for p in outline))
    kind, shape = form.kind, OpeningShape.POLYGON
    return Opening(form.name, kind, left, sill, width, height, shape, corners=places)
