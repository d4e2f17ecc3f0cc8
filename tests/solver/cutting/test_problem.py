"""The nouns refuse what cannot be."""

from __future__ import annotations

from typing import Any

import pytest

from lapwright.cutting import Ends, Piece, Problem, Stock

ONE = (Piece(1, 1),)
BAR = (Stock(2, cost=1),)


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: Piece(0, 1), "length of a piece must be 1 or more, not 0"),
        (lambda: Piece(5, 0), "count of a piece must be 1 or more"),
        (lambda: Stock(0, cost=1), "length of a stock length must be 1 or more"),
        (lambda: Stock(5, cost=-1), "cost of a stock length must be 0 or more"),
        (lambda: Stock(5, 1, supply=-1), "supply of a stock length must be 0 or more"),
        (lambda: Problem((), BAR), "no piece to cut"),
        (lambda: Problem(ONE, ()), "no stock length to cut from"),
        (lambda: Problem(ONE, BAR, kerf=-1), "kerf must be 0 or more"),
        (lambda: Problem(ONE, BAR, trim=-1), "trim must be 0 or more"),
        (
            lambda: Problem((Piece(1, 1, Ends.LEFT),), BAR, trim=1),
            "keeps a factory end, but the ends are trimmed off",
        ),
    ],
)
def test_impossible_values_are_refused(make: Any, said: str) -> None:
    """A value that cannot be is refused with a sentence that says why."""
    with pytest.raises(ValueError, match=said):
        make()


@pytest.mark.parametrize("value", [1.5, "1", True, None])
def test_only_whole_numbers(value: Any) -> None:
    """A length that is no whole number is refused, even where it looks like one."""
    with pytest.raises(TypeError, match="must be a whole number"):
        Piece(value, 1)


def test_offcut_is_what_the_blade_leaves() -> None:
    """What is left after the last piece is less one kerf, or nothing at all."""
    problem = Problem(ONE, (Stock(100, cost=1),), kerf=3)
    # 100 - 2*40 - 2 cuts of 3
    assert problem.offcut(80, 2, 0) == 14
    # 100 - 96 = 4 after one piece, less the kerf
    assert problem.offcut(96, 1, 0) == 1
    # 2 are left, thinner than the blade
    assert problem.offcut(98, 1, 0) == 0


def test_last_piece_needs_no_cut() -> None:
    """Pieces that end where the bar ends need one cut less than there are pieces."""
    problem = Problem(ONE, (Stock(100, cost=1),), kerf=4)
    assert problem.fits(96, 2, 0)
    assert not problem.fits(97, 2, 0)
