"""U.S. Army Engineer School, subcourse EN0069, Frame Structures, lesson 4.

"Materials Estimating": paragraph 4-6 and the answers to the self-test, where stock
lengths are chosen so that they yield most pieces with least waste.  No kerf is taken.
"""

from __future__ import annotations

from lapwright.cutting import Piece, Problem, Stock, solve
from lapwright.measure import FOOT
from lapwright.takeoff.supply import pounds_by_area

FT = 12  # the lesson's lengths in inches


def cheapest(length: int, count: int, *stock: int) -> tuple[list[int], int]:
    """Cut pieces from stock lengths priced by length: the lengths used, and the waste."""
    problem = Problem((Piece(length, count),), tuple(Stock(s, cost=s) for s in stock))
    plan = solve(problem)
    assert plan.is_proven
    used = [s for s, bars in zip(stock, plan.bars_of_stock, strict=True) for _ in range(bars)]
    return used, sum(used) - length * count


def test_answers_13_and_14_four_brace_stakes() -> None:
    """Four pieces of 2 ft 4 in: one 10-ft length with 8 in waste, not a 12-ft length."""
    assert cheapest(28, 4, 10 * FT, 12 * FT) == ([10 * FT], 8)


def test_answers_13_and_14_a_twelve_foot_length_yields_five() -> None:
    """A 12-ft length yields five stakes with 4 in waste, and wastes 2 ft 8 in with four."""
    assert cheapest(28, 5, 12 * FT) == ([12 * FT], 4)
    assert cheapest(28, 4, 12 * FT) == ([12 * FT], 32)


def test_paragraph_4_6c_1_two_pieces_of_four_and_a_half_feet() -> None:
    """Two pieces of 4 ft 6 in: a 10-ft length with 12 in waste, not one that wastes 36 in."""
    assert cheapest(54, 2, 10 * FT, 12 * FT) == ([10 * FT], 12)
    assert cheapest(54, 2, 12 * FT) == ([12 * FT], 36)


def test_paragraph_4_6c_2_two_pieces_of_three_feet() -> None:
    """Two pieces of 3 ft: an 8-ft length; a 10-ft length would waste 48 in."""
    assert cheapest(36, 2, 8 * FT, 10 * FT)[0] == [8 * FT]
    assert cheapest(36, 2, 10 * FT)[1] == 48
    assert cheapest(36, 3, 10 * FT) == ([10 * FT], 12)


def test_consolidation_nine_pieces_of_three_feet() -> None:
    """Nine pieces of 3 ft, merged from four items: 10-ft lengths waste less than 8-ft ones."""
    tens, eights = cheapest(36, 9, 10 * FT), cheapest(36, 9, 8 * FT)
    assert tens[1] < eights[1]
    assert tens == ([10 * FT] * 3, 36)  # by hand: three a length, 12 in left of each
    assert eights == ([8 * FT] * 5, 156)  # by hand: two a length, one length with one


def test_nails_for_sheathing() -> None:
    """1500 sq ft of sheathing at 20 lb of 8d nails for 1000 sq ft take 30 lb."""
    assert pounds_by_area(1500 * FOOT * FOOT, 20, 1000 * FOOT * FOOT) == 30
