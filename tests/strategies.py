"""Inputs that many property tests draw from."""

from __future__ import annotations

from hypothesis import strategies as st

from lapwright.job.outline import normal_outline
from lapwright.job.wall import Opening, OpeningKind, Point, StopKind, Wall
from lapwright.measure import TAPE_INCH, Ticks


def tape(low: int, high: int) -> st.SearchStrategy[Ticks]:
    """Draw a length on the marks of an inch tape, between two counts of 1/16 in."""
    return st.integers(low, high).map(lambda marks: Ticks(marks * TAPE_INCH))


@st.composite
def openings(draw: st.DrawFn, width: Ticks, height: Ticks) -> tuple[Opening, ...]:
    """Draw up to four openings inside a wall's box; they may touch and overlap."""
    found = []
    for number in range(draw(st.integers(0, 4))):
        w = draw(tape(16, 1600))
        h = draw(tape(16, 1300))
        x = draw(tape(0, width // TAPE_INCH))
        sill = draw(tape(0, height // TAPE_INCH))
        found.append(Opening(f"O{number}", OpeningKind.WINDOW, x, sill, w, h))
    return tuple(found)


@st.composite
def walls(draw: st.DrawFn) -> Wall:
    """Draw a rectangle, gable, shed or stepped wall with openings, sizes to the tape."""
    width = draw(tape(16 * 40, 16 * 480))
    height = draw(tape(16 * 20, 16 * 200))
    rise = draw(tape(16, 16 * 120))
    zero = Ticks(0)
    floor = [Point(zero, zero), Point(width, zero)]
    top = Ticks(height + rise)
    shape = draw(st.sampled_from(("rectangle", "gable", "shed", "step")))
    half = Ticks(width // 2 // TAPE_INCH * TAPE_INCH)
    rest = {
        "rectangle": [Point(width, height), Point(zero, height)],
        "gable": [Point(width, height), Point(half, top), Point(zero, height)],
        "shed": [Point(width, height), Point(zero, top)],
        "step": [
            Point(width, height),
            Point(half, height),
            Point(half, top),
            Point(zero, top),
        ],
    }[shape]
    outline, _ = normal_outline(floor + rest)
    return Wall(
        name="Wall",
        mark="A",
        outline=outline,
        openings=draw(openings(width, height)),
        left=StopKind.OUTSIDE_CORNER,
        right=StopKind.OUTSIDE_CORNER,
        start=zero,
    )
