"""Marks on the drawings of the cut sheets."""

from __future__ import annotations

from lapwright_cli.reports.drawing import (
    apart,
    blade_marks,
    draw_bar,
    draw_piece,
    text_width,
)
from tests.cli.reports.small_plan import PLAN, bar, inches

SIDING = {piece.label: piece for piece in PLAN.siding}


def test_marks_never_stand_on_each_other() -> None:
    """Ten marks a quarter inch apart spread over levels without touching."""
    marks = [(100.0 + 3 * i, f'{i}-1/4"') for i in range(10)]
    placed, levels = apart(marks, 500)
    assert levels > 1
    for i, (x, level, text) in enumerate(placed):
        for other_x, other_level, other in placed[:i]:
            clear = abs(x - other_x) >= (text_width(text) + text_width(other)) / 2
            assert level != other_level or clear


def test_marks_stay_on_the_paper() -> None:
    """A mark at an edge is moved inwards."""
    placed, _ = apart([(0.0, '0"'), (500.0, '150"')], 500)
    assert placed[0][0] - text_width('0"') / 2 >= 0
    assert placed[1][0] + text_width('150"') / 2 <= 500


def test_a_piece_at_the_right_end_is_cut_at_its_start() -> None:
    """An offcut between two pieces has a mark at each side."""
    assert blade_marks(PLAN.materials[0].bars[1], inches(0.125)) == {inches(50.5), inches(70)}


def test_one_cut_parts_two_pieces_that_fill_the_stock_length() -> None:
    """Where only the blade lies between them, the second needs no mark of its own."""
    full = bar(1, 150, 0, ("P", 0, 50), ("Q", 50.125, 150))
    assert blade_marks(full, inches(0.125)) == {inches(50)}


def test_drawings_hold_their_marks() -> None:
    """Blade marks stand in the drawing of the bar, notch marks in that of the piece."""
    own = {label: SIDING[label] for label in ("A-2-2", "A-1-1")}
    drawn = draw_bar(PLAN.materials[0].bars[1], own, inches(0.125), PLAN, 540)
    texts = {stroke[3] for stroke in drawn.strokes if stroke[0] == "text"}
    assert texts == {"1", "2", '50-1/2"', '70"'}
    sketch = draw_piece(SIDING["A-2-1"], inches(8), PLAN.job.unit, 540)
    texts = {stroke[3] for stroke in sketch.strokes if stroke[0] == "text"}
    assert texts == {'59-1/2"', '96"', '150"', '3-7/8"'}
