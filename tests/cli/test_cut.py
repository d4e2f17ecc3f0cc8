"""What `cut` writes: JSON for programs, a table for people."""

from __future__ import annotations

import json
from fractions import Fraction

from lapwright.cutting import CutPlan, Pattern, Piece, Problem, Status, Stock, solve
from lapwright.job.cutlist import CutList
from lapwright.measure import Unit
from lapwright_cli.cutlist import _decimal, cut_json, cut_text

# Lengths in thirds of an inch, costs in cents.
PROBLEM = Problem(
    (Piece(75, 3, label="sill"), Piece(31, 4)),
    (Stock(300, cost=825), Stock(150, cost=500, supply=2)),
    kerf=1,
)
LIST = CutList(PROBLEM, Unit.INCH, scale=3, cost_scale=100)
PLAN = CutPlan(
    PROBLEM,
    (Pattern(0, 1, ((0, 3), (1, 2))), Pattern(1, 1, ((1, 2),))),
    bound=1300,
    status=Status.TIME_LIMIT,
)


def test_json_by_contract() -> None:
    """The JSON has the agreed names, lengths as texts and costs as numbers."""
    data = json.loads(cut_json(PLAN, LIST))
    assert data == {
        "status": "time limit",
        "bound": 13,
        "cost": 13.25,
        "bars": 2,
        "patterns": [
            {
                "stock_length": "100",
                "count": 1,
                "pieces": [
                    {"length": "25", "count": 3, "label": "sill"},
                    {"length": "10.333333", "count": 2, "label": ""},
                ],
                # 300 - 3*75 - 2*31 - 5 cuts = 8 thirds
                "offcut": "2.666666",
            },
            {
                "stock_length": "50",
                "count": 1,
                "pieces": [{"length": "10.333333", "count": 2, "label": ""}],
                # 150 - 2*31 - 2 cuts = 86 thirds
                "offcut": "28.666666",
            },
        ],
    }
    assert list(data) == ["status", "bound", "cost", "bars", "patterns"]


def test_same_problem_same_bytes() -> None:
    """Solving twice writes the same bytes."""
    first, second = (cut_json(solve(PROBLEM), LIST) for _ in range(2))
    assert first == second


def test_text_is_a_summary_and_a_table() -> None:
    """The whole text for one plan."""
    # 349 of 450 thirds are pieces: 101/450 = 22.4 %.
    assert cut_text(PLAN, LIST) == (
        "7 pieces from 2 bars, cost 13.25\n"
        "bound 13 (time limit)\n"
        "offcut and kerf 22.4% of the stock; kerf 0.333333 in\n"
        "\n"
        "bars  stock [in]  offcut [in]  pieces [in]\n"
        "   1         100     2.666666  3 x 25 sill, 2 x 10.333333\n"
        "   1          50    28.666666  2 x 10.333333\n"
    )


def test_decimals_are_exact_where_they_end() -> None:
    """1/64 has six places and all are written; a third is rounded down."""
    assert _decimal(Fraction(1, 64)) == "0.015625"
    assert _decimal(Fraction(1, 128)) == "0.0078125"
    assert _decimal(Fraction(2, 3)) == "0.666666"
    assert _decimal(Fraction(100)) == "100"
    assert _decimal(Fraction(301, 2)) == "150.5"
