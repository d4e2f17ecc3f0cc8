"""Problems from columns of numbers, and plans as rows.

Any mapping from names to columns will do: a dictionary of lists or arrays, or a table
of pandas, which this module never imports.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lapwright.cutting.problem import Ends, Piece, Problem, Stock

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lapwright.cutting.plan import CutPlan


def problem_from_columns(
    pieces: Mapping[str, Iterable[Any]], stock: Mapping[str, Iterable[Any]], kerf: int = 0
) -> Problem:
    """Make a problem from columns.

    Parameters
    ----------
    pieces
        Columns ``length`` and ``count``, and if wanted ``ends`` (``none``, ``left``,
        ``right``, ``both``) and ``label``.
    stock
        Columns ``length`` and ``cost``, and if wanted ``supply`` (missing or blank is
        as many as wanted) and ``label``.
    kerf
        Width of the cut. [the unit of the lengths]

    Raises
    ------
    KeyError
        A column is missing.
    ValueError
        A number is no whole number, or is impossible; or columns differ in length.

    Examples
    --------
    >>> from lapwright.cutting import solve
    >>> problem = problem_from_columns(
    ...     {"length": [45, 36, 31, 14], "count": [97, 610, 395, 211]},
    ...     {"length": [100], "cost": [1]},
    ... )
    >>> plan = solve(problem)
    >>> plan.bars
    453
    >>> sorted(rows_of_plan(plan)[0])
    ['bars', 'length', 'offcut', 'pattern', 'piece', 'pieces_a_bar', 'stock_length']
    """
    piece_rows = _rows(pieces, ("length", "count"), {"ends": "none", "label": ""})
    stock_rows = _rows(stock, ("length", "cost"), {"supply": None, "label": ""})
    return Problem(
        tuple(
            Piece(_whole(w), _whole(n), Ends(ends), str(label))
            for w, n, ends, label in piece_rows
        ),
        tuple(
            Stock(_whole(w), _whole(cost), _supply(there), str(label))
            for w, cost, there, label in stock_rows
        ),
        kerf=kerf,
    )


def rows_of_plan(plan: CutPlan) -> list[dict[str, int]]:
    """Give a plan as rows, one for each kind of piece of each pattern.

    Returns
    -------
    list of dict
        The number of the pattern, its stock length and how many bars are cut so, the
        index and length of the piece, how many of it a bar yields, and the offcut of
        the bar. [the unit of the lengths]
    """
    pieces, stock = plan.problem.pieces, plan.problem.stock
    return [
        {
            "pattern": number,
            "stock_length": stock[pattern.stock].length,
            "bars": pattern.count,
            "piece": index,
            "length": pieces[index].length,
            "pieces_a_bar": many,
            "offcut": plan.offcut(pattern),
        }
        for number, pattern in enumerate(plan.patterns, start=1)
        for index, many in pattern.pieces
    ]


def _rows(
    columns: Mapping[str, Iterable[Any]],
    needed: tuple[str, ...],
    optional: Mapping[str, object],
) -> list[tuple[Any, ...]]:
    """Turn columns into rows, with a default for each column that is not there."""
    filled = [list(columns[name]) for name in needed]
    for name, default in optional.items():
        there = list(columns[name]) if name in columns else [default] * len(filled[0])
        filled.append(there)
    return list(zip(*filled, strict=True))


def _whole(number: Any) -> int:
    """Turn any kind of whole number into an int, and refuse all others."""
    whole = int(number)
    if whole != number:
        raise ValueError(f"{number!r} is no whole number")
    return whole


def _supply(number: Any) -> int | None:
    """Turn a supply into an int; missing values are as many as wanted."""
    # A missing number of pandas is not equal to itself.
    if number is None or number == "" or number != number:
        return None
    return _whole(number)
