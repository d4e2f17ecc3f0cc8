"""Pricing for very fine units gives the same values as a full table."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.cutting import Piece, Problem, Status, Stock, recount, solve
from lapwright.cutting.core import frame
from lapwright.cutting.knapsack import Knapsack
from lapwright.cutting.wide import LooseKnapsack, WideKnapsack, coarse_of, knapsack_of
from tests.solver.cutting.small import problems


@settings(max_examples=80, deadline=None)
@given(problems(), st.lists(st.integers(0, 9), min_size=6, max_size=6))
def test_one_row_is_as_good_as_a_table(problem: Problem, drawn: list[int]) -> None:
    """Best values agree, and every pattern fits and is worth what is said."""
    core = frame(problem).core
    assert core is not None
    values, limits = np.array(drawn[: len(core.lengths)]), np.array(core.demand)
    table, row = Knapsack(core), WideKnapsack(core)
    table.fill(values, limits)
    row.fill(values, limits)
    for bin_ in core.bins:
        assert row.best(bin_.capacity) == table.best(bin_.capacity)
        counts, gains = row.patterns(bin_.capacity, 0)
        assert (counts @ np.array(core.lengths) <= bin_.capacity).all()
        assert (counts @ values == gains).all()
        assert gains.max(initial=0) == row.best(bin_.capacity)


@settings(max_examples=80, deadline=None)
@given(
    problems(),
    st.lists(st.integers(0, 9), min_size=6, max_size=6),
    st.integers(1, 6),
    st.none() | st.integers(0, 6),
)
def test_loose_values_are_never_too_low(
    problem: Problem, drawn: list[int], unit: int, waste: int | None
) -> None:
    """Rounding errs to the safe side, and only patterns that fit are given."""
    core = frame(problem).core
    assert core is not None
    values, limits = np.array(drawn[: len(core.lengths)]), np.array(core.demand)
    table, loose = Knapsack(core), LooseKnapsack(core, unit)
    table.fill(values, limits, waste)
    loose.fill(values, limits, waste)
    for bin_ in core.bins:
        assert loose.best(bin_.capacity) >= table.best(bin_.capacity)
        counts, _ = loose.patterns(bin_.capacity, 0)
        assert (counts @ np.array(core.lengths) <= bin_.capacity).all()


def test_units_finer_than_memory_allows() -> None:
    """Thousandths of a millimetre on a bar of 6 m are solved within a small gap."""
    pieces = tuple(Piece(401_003 + 99_991 * i, 3, label=str(i)) for i in range(30))
    problem = Problem(pieces, (Stock(6_000_001, cost=1),), kerf=3_001)
    core = frame(problem).core
    assert core is not None
    assert isinstance(knapsack_of(core), LooseKnapsack)
    plan = solve(problem, time_limit=5)
    recount(plan)
    assert plan.cost <= plan.bound + 1


def test_fine_units_are_solved_through_coarse_ones() -> None:
    """Lengths around a third of a bar of 100,000 are proven like any others."""
    pieces = tuple(Piece(20_000 + 1_237 * i % 15_000, 1) for i in range(60))
    problem = Problem(pieces, (Stock(100_000, cost=1),))
    core = frame(problem).core
    assert core is not None
    assert isinstance(knapsack_of(core), WideKnapsack)
    coarse = coarse_of(core)
    assert coarse is not None
    assert coarse.capacity <= 20_000
    plan = solve(problem, time_limit=30)
    recount(plan)
    assert plan.status is Status.PROVEN
