"""Columns in, rows out: lists, arrays and tables of pandas give the same problem."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from lapwright.cutting import (
    Ends,
    Piece,
    Problem,
    Stock,
    problem_from_columns,
    rows_of_plan,
    solve,
)

PIECES: dict[str, list[Any]] = {"length": [45, 36], "count": [2, 3]}
STOCK: dict[str, list[Any]] = {"length": [100, 80], "cost": [9, 8], "supply": [None, 4]}
PROBLEM = Problem((Piece(45, 2), Piece(36, 3)), (Stock(100, 9), Stock(80, 8, supply=4)), kerf=1)


def test_lists_and_arrays_give_the_same_problem() -> None:
    """Numbers of any library are turned into plain whole numbers."""
    arrays = {name: np.array(column) for name, column in PIECES.items()}
    assert problem_from_columns(PIECES, STOCK, kerf=1) == PROBLEM
    assert problem_from_columns(arrays, STOCK, kerf=1) == PROBLEM


def test_a_pandas_table_gives_the_same_problem() -> None:
    """A table of pandas works as it is; its missing numbers are no limit."""
    pandas = pytest.importorskip("pandas")
    pieces, stock = pandas.DataFrame(PIECES), pandas.DataFrame(STOCK)
    assert problem_from_columns(pieces, stock, kerf=1) == PROBLEM


def test_ends_and_labels() -> None:
    """Factory ends are given by their names."""
    columns = PIECES | {"ends": ["left", "none"], "label": ["a", "b"]}
    pieces = problem_from_columns(columns, STOCK).pieces
    assert pieces == (Piece(45, 2, Ends.LEFT, "a"), Piece(36, 3, Ends.NONE, "b"))


def test_what_is_no_whole_number_is_refused() -> None:
    """Half a millimetre is a matter of the unit, not of rounding."""
    with pytest.raises(ValueError, match=r"45\.5 is no whole number"):
        problem_from_columns({"length": [45.5], "count": [1]}, STOCK)
    with pytest.raises(KeyError, match="count"):
        problem_from_columns({"length": [45]}, STOCK)
    with pytest.raises(ValueError, match=r"shorter|longer"):
        problem_from_columns({"length": [45, 46], "count": [1]}, STOCK)


def test_rows_hold_every_piece_of_a_plan() -> None:
    """The rows count every piece exactly as often as it is wanted."""
    rows = rows_of_plan(solve(PROBLEM))
    for index, piece in enumerate(PROBLEM.pieces):
        mine = [row for row in rows if row["piece"] == index]
        assert sum(row["bars"] * row["pieces_a_bar"] for row in mine) == piece.count
        assert {row["length"] for row in mine} == {piece.length}
