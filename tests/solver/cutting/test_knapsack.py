"""Pricing: the best pattern, the best with each item, and the list of all."""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.cutting.core import Bin, Core, frame
from lapwright.cutting.knapsack import Knapsack
from lapwright.cutting.listing import list_patterns
from tests.solver.cutting.small import problems

if TYPE_CHECKING:
    from lapwright.cutting import Problem


def every_pattern(core: Core, capacity: int) -> list[tuple[int, ...]]:
    """Give every pattern of a bin by counting."""
    ranges = [range(n + 1) for n in core.demand]
    return [
        counts
        for counts in product(*ranges)
        if sum(n * w for n, w in zip(counts, core.lengths, strict=True)) <= capacity
        and sum(counts[i] for i in core.lefts) <= 1
        and sum(counts[i] for i in core.rights) <= 1
    ]


def worth(counts: tuple[int, ...], values: list[int]) -> int:
    """Give what a pattern is worth."""
    return sum(n * v for n, v in zip(counts, values, strict=True))


@settings(max_examples=200, deadline=None)
@given(
    problems(),
    st.lists(st.integers(0, 9), min_size=6, max_size=6),
    st.none() | st.integers(0, 8),
)
def test_tables_against_counting(problem: Problem, drawn: list[int], waste: int | None) -> None:
    """The best value, the best with each item and the list of all are exact.

    They are so with a limit on the waste of a bar too.
    """
    core = frame(problem).core
    assert core is not None
    values = drawn[: len(core.lengths)]
    knapsack = Knapsack(core)
    if waste is not None:
        waste = min(waste, core.capacity)
    knapsack.fill(np.array(values), np.array(core.demand), waste)
    for bin_ in core.bins:
        fitting = every_pattern(core, bin_.capacity)
        least_length = 0 if waste is None else bin_.capacity - waste
        every = [c for c in fitting if worth(c, list(core.lengths)) >= least_length]
        if not every:
            assert knapsack.best(bin_.capacity) < 0
            continue
        best = max(worth(counts, values) for counts in every)
        assert knapsack.best(bin_.capacity) == best
        rows, gains = knapsack.patterns(bin_.capacity, 0)
        for row, gain in zip(rows.tolist(), gains.tolist(), strict=True):
            assert tuple(row) in every
            assert worth(tuple(row), values) == gain
        for item in range(len(core.lengths)):
            held = [worth(c, values) for c in every if c[item]]
            if values[item] and held and core.demand[item] == 1:
                found = [g for r, g in zip(rows, gains, strict=True) if r[item]]
                assert max(found) == max(held)

        least = best - 3
        listed = list_patterns(knapsack, bin_.capacity, least, 10_000)
        assert listed is not None
        full = {
            counts
            for counts in every
            if worth(counts, values) >= least
            and not any(
                (*counts[:i], counts[i] + 1, *counts[i + 1 :]) in fitting
                for i in range(len(counts))
            )
        }
        assert {tuple(row) for row in listed.tolist()} == full
        assert len(listed) == len(full)


def test_list_gives_up_where_told() -> None:
    """A list that grows beyond its limit is no list."""
    core = Core((3, 2, 1), (9, 9, 9), 3, 0, (Bin(0, 20, 1, None),), 1)
    knapsack = Knapsack(core)
    knapsack.fill(np.array([0, 0, 0]), np.array(core.demand))
    assert list_patterns(knapsack, 20, 0, 3) is None
