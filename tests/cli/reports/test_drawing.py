"""Marks on the drawings of the cut sheets."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest

from lapwright.job.material import Family
from lapwright.plan import NotchEdge
from lapwright_cli.reports.drawing import (
    CUT_PEN,
    LETTER_SIZE,
    Drawing,
    draw_bar,
    marks_below,
    spread,
    text_width,
)
from lapwright_cli.reports.sketches import draw_pieces, heights
from tests.cli.reports.small_plan import (
    CORNER,
    FACTORY,
    HEAD,
    PEAK,
    PLAN,
    RAKE,
    SILL,
    bar,
    inches,
    piece,
)

if TYPE_CHECKING:
    from lapwright.plan import PieceNotch

ZERO = inches(0)
SIDING = {piece.label: piece for piece in PLAN.siding}


def texts(drawing: Drawing) -> dict[str, list[float]]:
    """Give the height on the paper of each text of a drawing."""
    found: dict[str, list[float]] = {}
    for stroke in drawing.strokes:
        if stroke[0] == "text":
            found.setdefault(stroke[3], []).append(stroke[2])
    return found


@pytest.mark.parametrize("step", [0.0, 3.0, 20.0, 60.0])
def test_marks_never_stand_on_each_other(step: float) -> None:
    """Numbers of marks that lie close together move aside, in their order."""
    marks = [(100.0 + step * i, f'{i}-1/4"') for i in range(8)]
    middles = spread(marks, 0, 600)
    for (a, (_, one)), (b, (_, other)) in pairwise(zip(middles, marks, strict=True)):
        # More than a letter lies between them: 0 and 50 must not be read as 050.
        assert b - a > (text_width(one) + text_width(other)) / 2 + text_width("0")
    if step == 60:
        assert middles == [x for x, _ in marks]


def test_marks_stay_on_the_paper() -> None:
    """A mark at an edge is moved inwards."""
    left, right = spread([(0.0, '0"'), (500.0, '150"')], 0, 500)
    assert left - text_width('0"') / 2 >= 0
    assert right + text_width('150"') / 2 <= 500


@pytest.mark.parametrize("many", [1, 6, 12, 30])
def test_many_marks_stand_in_several_rows(many: int) -> None:
    """Twelve numbers of 127-3/4 in do not fit side by side on a page; none runs off it."""
    drawing = Drawing(540)
    marks = [(540 * (i + 1) / (many + 1), '127-3/4"') for i in range(many)]
    drawing.height = marks_below(drawing, marks, 20)
    half = text_width('127-3/4"') / 2
    spots = [(s[1] + half, s[2]) for s in drawing.strokes if s[0] == "text"]
    assert len(spots) == many
    assert all(half <= x <= 540 - half + 0.1 for x, _ in spots)
    rows = sorted({y for _, y in spots})
    assert len(rows) == {1: 1, 6: 1, 12: 2, 30: 4}[many]
    for row in rows:
        across = sorted(x for x, y in spots if y == row)
        assert all(b - a >= 2 * half for a, b in pairwise(across))
    assert all(b - a > 0.73 * LETTER_SIZE + 1 for a, b in pairwise([*rows, drawing.height]))


def test_a_bar_holds_its_crosscuts_and_no_other_cut() -> None:
    """Thick lines stand at the crosscuts alone; a slope is not cut on the bar."""
    own = {label: SIDING[label] for label in ("A-2-2", "A-1-1")}
    drawn = draw_bar(PLAN.materials[0].bars[1], own, inches(0.125), PLAN, 540)
    assert set(texts(drawn)) == {"1", "2", '50-1/2"', '70"', "OFFCUT"}
    peak = draw_bar(PLAN.materials[0].bars[5], {"A-4-1": SIDING["A-4-1"]}, 0, PLAN, 540)
    thick = [s for s in peak.strokes if s[0] == "line" and s[5] == CUT_PEN]
    assert [(s[1], s[3]) for s in thick] == [(thick[0][1], thick[0][1])]


def test_an_offcut_is_white_and_named_and_a_notch_is_hatched() -> None:
    """Waste inside a piece and what is left of the bar are told apart without colour."""
    stock = bar(1, 150, 40, ("P", 0, 110))
    notched = {"P": piece("P", 1, 0, 110, (CORNER, CORNER), (SILL,))}
    drawn = draw_bar(stock, notched, 0, PLAN, 540)
    assert 'OFFCUT 40"' in texts(drawn)
    waste = [s for s in drawn.strokes if s[0] == "area" and s[2] == "fine"]
    end_of_piece = 1 + 538 * 110 / 150
    assert waste
    assert all(x <= end_of_piece + 0.1 for s in waste for x, _ in s[1])


@pytest.mark.parametrize("notch", [SILL, HEAD], ids=["sill", "head"])
def test_a_cut_height_is_an_arrow_from_the_butt_edge(notch: PieceNotch) -> None:
    """The number stands inside the piece beside an arrow that begins at the butt edge."""
    notched = replace(SIDING["A-2-1"], notches=(notch,))
    height = notched.notches[0].cut_left
    drawn = draw_pieces([("", notched)], PLAN, 540)
    (words,) = (text for text in texts(drawn) if text in ('3-7/8"', '4-1/8"'))
    (upper,) = texts(drawn)[words]
    box = drawn.strokes[0][1]
    top, base = min(y for _, y in box), max(y for _, y in box)
    assert top < upper < upper + LETTER_SIZE * 0.73 < base
    tip = base - (base - top) * height / inches(8)
    arrows = [s for s in drawn.strokes if s[0] == "line" and s[1] == s[3] and s[5] == 0.7]
    assert [(s[2], s[4]) for s in arrows] == [
        (pytest.approx(tip, abs=0.02), pytest.approx(base, abs=0.02))
    ]
    # Lengths stand below the butt edge, from the piece's own left end.
    for mark in ('0"', '59-1/2"', '96"', '150"'):
        assert texts(drawn)[mark][0] > base


def test_nothing_is_drawn_above_a_piece() -> None:
    """No number and no line that could be read as a depth or as a crosscut."""
    for own in (SIDING["A-2-1"], SIDING["A-3-1"], SIDING["A-4-1"]):
        drawn = draw_pieces([("", own)], PLAN, 540)
        top = min(y for _, y in drawn.strokes[0][1])
        for stroke in drawn.strokes[1:]:
            ys = [y for _, y in stroke[1]] if stroke[0] == "area" else [stroke[2]]
            assert min(ys) >= top - 0.01


def test_a_slope_of_a_plank_is_drawn_on_above_its_face_line() -> None:
    """Dashed, in one line with the cut below it, and the face line is no edge but dashed."""
    siding = replace(PLAN.job.siding, family=Family.BUTTED)
    plan = replace(PLAN, job=replace(PLAN.job, siding=siding))
    drawn = draw_pieces([("", piece("P", 3, 0, 120, (RAKE, CORNER)))], plan, 540)
    lines = [s for s in drawn.strokes if s[0] == "line"]
    (cut,) = (s for s in lines if s[5] == CUT_PEN and not s[6])
    (beyond,) = (s for s in lines if s[5] == CUT_PEN and s[6])
    (x1, y1), (x2, y2) = sorted([tuple(cut[1:3]), tuple(cut[3:5])])
    assert (beyond[1], beyond[2]) == pytest.approx((x2, y2), abs=0.02)
    lean = (beyond[3] - beyond[1]) / (beyond[4] - beyond[2])
    assert lean == pytest.approx((x2 - x1) / (y2 - y1), rel=0.01)
    (face,) = (s for s in lines if s[6] and s is not beyond)
    assert face[2] == face[4] == pytest.approx(y2, abs=0.02)
    # Its height is measured, though it is the height of a whole course.
    assert '8"' in texts(drawn)
    lapped = draw_pieces([("", piece("P", 3, 0, 120, (RAKE, CORNER)))], PLAN, 540)
    assert not any(s[0] == "line" and s[6] for s in lapped.strokes)


def test_one_slope_looks_the_same_in_all_sketches() -> None:
    """Two pieces of other lengths have slopes with the same run on the paper."""
    runs = []
    for length in (150, 90):
        raked = piece("P", 3, 0, length, (RAKE, FACTORY))
        drawn = draw_pieces([("", raked)], PLAN, 540)
        (slope,) = (s for s in drawn.strokes if s[0] == "line" and s[5] == CUT_PEN)
        runs.append((abs(slope[3] - slope[1]), abs(slope[4] - slope[2])))
    assert runs[0] == pytest.approx(runs[1], abs=0.02)


def test_heights_of_bends_peaks_and_rips_are_measured() -> None:
    """Where an end bends, where a piece has its highest point, and where it is ripped."""
    assert [h.v for h in heights(piece("P", 3, 0, 120, (RAKE, RAKE)))] == []
    peak = piece("P", 4, 0, 99.5, (PEAK, PEAK), height=7.9375)
    assert [h.v for h in heights(peak)] == [inches(7.9375)]
    ripped = replace(piece("P", 4, 0, 99.5, (CORNER, CORNER), height=5), ripped=True)
    assert [h.v for h in heights(ripped)] == [inches(5)]
    bend = replace(RAKE, profile=((ZERO, ZERO), (inches(3), ZERO), (inches(8), inches(10))))
    assert [h.v for h in heights(piece("P", 3, 0, 120, (bend, CORNER)))] == [inches(3)]


def test_a_point_has_one_mark() -> None:
    """Insets that are rounded up cross by a mark at a peak; the sketch shows one of them."""
    peak = piece("P", 4, 0, 99.4375, (PEAK, PEAK), height=7.9375)
    drawn = draw_pieces([("", peak)], PLAN, 540)
    assert set(texts(drawn)) == {'0"', '49-3/4"', '99-7/16"', '7-15/16"'}


def test_numbers_of_narrow_notches_and_holes_stand_clear_of_each_other() -> None:
    """Two heights at one small notch or hole go to its two sides, off the thick lines."""
    narrow = replace(SILL, start=inches(60), end=inches(63), cut_right=inches(3))
    vent = replace(
        SILL, edge=NotchEdge.HOLE, start=inches(110), end=inches(122), upper=inches(6)
    )
    notched = replace(SIDING["A-2-1"], notches=(narrow, vent))
    drawn = draw_pieces([("", notched)], PLAN, 540)
    base = max(y for _, y in drawn.strokes[0][1])
    spans = sorted(
        (s[1], s[1] + text_width(s[3])) for s in drawn.strokes if s[0] == "text" and s[2] < base
    )
    assert len(spans) == 4
    assert all(a[1] < b[0] for a, b in pairwise(spans))


def test_a_bend_is_measured_at_its_own_end() -> None:
    """The height below a slope stands near the end that bends, left or right."""
    bend = replace(RAKE, profile=((ZERO, ZERO), (inches(3), ZERO), (inches(8), inches(10))))
    for ends, is_near_right in (((bend, CORNER), False), ((CORNER, bend), True)):
        drawn = draw_pieces([("", piece("P", 3, 0, 120, ends))], PLAN, 540)
        (number,) = (s for s in drawn.strokes if s[0] == "text" and s[3] == '3"')
        right = max(x for x, _ in drawn.strokes[0][1])
        assert (number[1] > right - 60) == is_near_right
        assert (number[1] < 60) != is_near_right


def test_numbers_of_two_sketches_do_not_run_together() -> None:
    """The last mark of one piece and the 0 of the next stand apart, as two numbers do."""
    pieces = [piece("P", 1, 0, length, (CORNER, CORNER)) for length in (80.9375, 40)]
    both = [(f"Piece {n}", replace(p, ripped=True)) for n, p in enumerate(pieces, 1)]
    drawn = draw_pieces(both, PLAN, 540)
    rows: dict[float, list[tuple[float, float]]] = {}
    for stroke in drawn.strokes:
        if stroke[0] == "text":
            _, x, y, text, size = stroke
            rows.setdefault(y, []).append((x, x + text_width(text, size)))
    for spans in rows.values():
        # A letter is 6.3 pt wide.
        assert all(b[0] - a[1] > 8 for a, b in pairwise(sorted(spans)))
