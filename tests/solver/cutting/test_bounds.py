"""Bounds by hand, and bounds from dual values that need not be right."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.cutting import Piece, Problem, Stock
from lapwright.cutting.bounds import dual_bound, halves_bound, material_bound
from lapwright.cutting.core import Core, frame
from lapwright.cutting.knapsack import Knapsack
from tests.solver.cutting.small import cheapest, problems

if TYPE_CHECKING:
    from collections.abc import Sequence


def core_of(problem: Problem) -> Core:
    """Give the core of a problem."""
    core = frame(problem).core
    assert core is not None
    return core


def test_material_bound_by_hand() -> None:
    """The bin that is cheapest for its capacity comes first, as far as it reaches."""
    problem = Problem((Piece(7, 10),), (Stock(14, cost=4, supply=2), Stock(21, cost=12)))
    core = core_of(problem)
    # Two bars of 14 hold 28 of 70 for 8; the other 42 take two bars of 21 for 24.
    assert material_bound(core, core.demand) * core.cost_unit == 32


def test_halves_bound_by_hand() -> None:
    """Three pieces longer than half a bar need three bars, whatever their sum."""
    core = core_of(Problem((Piece(51, 3), Piece(49, 1)), (Stock(100, cost=1),)))
    assert halves_bound(core, core.demand) == 3
    # 51 * 3 + 49 = 202 in capacity 100 is 2.02 bars of material
    assert material_bound(core, core.demand) == Fraction(202, 100)


@settings(max_examples=150, deadline=None)
@given(
    problems(counted=True),
    st.lists(st.integers(0, 1000), min_size=6, max_size=6),
    st.sampled_from([1, 7, 64]),
)
def test_bounds_never_exceed_the_optimum(
    problem: Problem, drawn: list[int], scale: int
) -> None:
    """However wrong the dual values are, the bound they give is true."""
    exact = cheapest(problem)
    if exact is None:
        return
    core = core_of(problem)
    values = np.array(drawn[: len(core.lengths)])
    knapsack = Knapsack(core)
    knapsack.fill(values, np.array(core.demand))
    best = [knapsack.best(b.capacity) for b in core.bins]
    supply: Sequence[int | None] = [b.supply for b in core.bins]
    bounds: list[Fraction] = [
        dual_bound(core, core.demand, supply, values.tolist(), best, scale),
        material_bound(core, core.demand),
        Fraction(halves_bound(core, core.demand)),
    ]
    assert max(bounds) * core.cost_unit <= exact
