"""Seams of lapped siding: arithmetic by hand, and rules that every split keeps."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.job.reading import parse_job
from lapwright.measure import FOOT, INCH, TAPE_INCH
from lapwright.plan import EndCut
from lapwright.siding import Layout, lay_out

if TYPE_CHECKING:
    from lapwright.job.job import Job


def job_of(wall: str, rules: str = "{}", stock: str = "[{length: 12' 6\"}]") -> Job:
    """Make a job of one wall of vinyl."""
    text = (
        "{job: x, siding: {material: vinyl double 4, stock: " + stock + "},"
        " rules: " + rules + ", walls: [{name: a, " + wall + "}]}"
    )
    return parse_job(text, "x.yaml")


def lengths(layout: Layout, course: int) -> list[int]:
    """Give the lengths of a course's pieces. [ticks]"""
    return [piece.length for piece in layout.pieces if piece.course == course]


def test_two_pieces_reach_one_lap_over_each_other() -> None:
    """24 ft less 1/2 in of gaps plus 1 in of lap: 288-1/2 in in two pieces."""
    layout = lay_out(job_of("width: 24', height: 16"))
    first, second = lengths(layout, 1)
    assert first + second == 288 * INCH + INCH // 2
    assert layout.seams[0].x == layout.pieces[0].x + first
    assert layout.pieces[1].x == layout.seams[0].x - INCH


def test_between_two_seams_hangs_a_whole_panel() -> None:
    """A wall of 34 ft needs three pieces, the middle one a whole 12 ft 6 in."""
    layout = lay_out(job_of("width: 34', height: 8"))
    first, middle, last = layout.pieces
    assert middle.length == 150 * INCH
    assert (middle.left.cut, middle.right.cut) == (EndCut.FACTORY, EndCut.FACTORY)
    assert (first.left.cut, first.right.cut) == (EndCut.SQUARE, EndCut.FACTORY)
    assert (last.left.cut, last.right.cut) == (EndCut.FACTORY, EndCut.SQUARE)
    # 408 - 1/2 + 2 laps - 150
    assert first.length + last.length == (408 + 2 - 150) * INCH - INCH // 2


COUNTS = [(12, 1), (13, 2), (24, 2), (25, 3), (37, 3), (38, 4)]


@pytest.mark.parametrize(("feet", "pieces"), COUNTS)
def test_a_run_has_the_fewest_pieces(feet: int, pieces: int) -> None:
    """So many panels of 150 in with laps of 1 in reach 149 in each and 1 in."""
    layout = lay_out(job_of(f"width: {feet}', height: 8"))
    assert len(layout.pieces) == pieces


def test_a_seam_stays_out_from_over_and_under_a_window() -> None:
    """In the courses that touch the window no lap comes within a notch's width of it."""
    window = "openings: [{name: w, x: 10', sill: 20, width: 4', height: 28}]"
    layout = lay_out(job_of(f"width: 24', height: 72, {window}", "{extra_seams: 1}"))
    assert not layout.broken
    near = [seam for seam in layout.seams if seam.course in (3, 7)]
    assert near
    for seam in near:
        lap = (seam.x - INCH, seam.x)
        assert lap[1] <= 120 * INCH - INCH // 4 or lap[0] >= 168 * INCH + INCH // 4


def test_what_cannot_be_kept_is_reported() -> None:
    """24 ft leave a first piece only 138-1/2 to 150 in: no stagger of 24 in is possible."""
    layout = lay_out(job_of("width: 24', height: 32"))
    assert {rule for _, rule in layout.broken} == {
        "is nearer to a seam of the next course than the stagger"
    }
    assert {seam.course for seam, _ in layout.broken} == {2, 3, 4}


def test_one_more_seam_keeps_the_stagger() -> None:
    """With one extra seam the same wall keeps every rule."""
    layout = lay_out(job_of("width: 24', height: 32", "{extra_seams: 1}"))
    assert not layout.broken
    assert max(len(lengths(layout, course)) for course in (1, 2, 3, 4)) == 3


@settings(max_examples=60, deadline=None)
@given(st.integers(13 * 16 * 12, 60 * 16 * 12), st.integers(0, 2))
def test_every_split_makes_its_run(width: int, extra: int) -> None:
    """Pieces less laps make the clear length, and broken rules are those that are named."""
    job = job_of(
        f"width: {width}/16, height: 40", f"{{extra_seams: {extra}, lap: 1, stagger: 24}}"
    )
    layout = lay_out(job)
    for split in layout.splits:
        parts = split.parts
        total = sum(part.length for part in parts) - (len(parts) - 1) * INCH
        assert total == split.run.length
        assert all(0 < part.length <= 150 * INCH for part in parts)
        assert all(part.length % TAPE_INCH == 0 for part in parts)
        short = [p for p in (parts[0], parts[-1]) if p.length < 2 * FOOT and len(parts) > 1]
        assert bool(short) <= any("shorter" in rule for _, rule in split.broken)
    named = {(seam.course, seam.x) for seam, rule in layout.broken if "stagger" in rule}
    for seam in layout.seams:
        below = [s for s in layout.seams if s.course == seam.course - 1]
        near = any(abs(s.x - seam.x) < 24 * INCH for s in below)
        assert near == ((seam.course, seam.x) in named)
