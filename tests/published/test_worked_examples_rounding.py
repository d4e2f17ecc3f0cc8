"""Published cutting lists where rounding up the linear program is wrong, or nearly.

B. Fieldhouse, J. Gau and G. Wascher, J. Rietz, as collected in the file nIRUP of the
repository CaPaD-cutting-and-packing/BranchCutPrice; and an instance of 13 items of
the repository INFORMSJoC/2023.0399 (R. da Silva, R. Schouery, INFORMS Journal on
Computing 2025, doi 10.1287/ijoc.2023.0399).  No tolerance may fake these proofs.
"""

from __future__ import annotations

import pytest

from lapwright.cutting import Piece, Problem, Status, Stock, solve

RIETZ = (
    *((177, 3), (145, 2), (133, 2), (130, 1), (129, 5), (127, 2)),
    *((121, 1), (113, 1), (105, 1), (97, 1)),
)


@pytest.mark.parametrize(
    ("stock", "pieces", "optimum"),
    [
        # The linear program gives 149/30, so its ceiling is 5.
        pytest.param(30, ((15, 3), (10, 5), (6, 9)), 6, id="fieldhouse"),
        pytest.param(
            10_000,
            ((5000, 1), (3750, 1), (3250, 1), (3001, 1), (2000, 2)),
            3,
            id="gau-waescher",
        ),
        pytest.param(
            60, ((30, 1), (22, 1), (20, 1), (19, 1), (12, 2)), 3, id="the-same-scaled"
        ),
        pytest.param(45, ((27, 3), (23, 3), (15, 6), (11, 6), (9, 10)), 9, id="rietz"),
        pytest.param(387, RIETZ, 7, id="rietz-x1"),
        # The linear program gives 3 exactly; the optimum is one more.
        pytest.param(
            160,
            (
                *((65, 2), (63, 1), (54, 1), (47, 1), (46, 1), (34, 3)),
                *((12, 1), (10, 1), (8, 1), (6, 1)),
            ),
            4,
            id="thirteen-items",
        ),
    ],
)
def test_optimum_is_proven(
    stock: int, pieces: tuple[tuple[int, int], ...], optimum: int
) -> None:
    """The published optimum is found and proven."""
    wanted = tuple(Piece(length, count) for length, count in pieces)
    plan = solve(Problem(wanted, (Stock(stock, cost=1),)), time_limit=30)
    assert (plan.cost, plan.bound, plan.status) == (optimum, optimum, Status.PROVEN)
