"""The order of cutting: open stacks counted by hand, and never worse than before."""

from __future__ import annotations

from itertools import permutations

from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.cutting import (
    CutPlan,
    Pattern,
    Piece,
    Problem,
    Status,
    Stock,
    open_stacks,
    with_few_open_stacks,
)


def plan_of(*holds: tuple[int, ...]) -> CutPlan:
    """Make a plan whose patterns hold the given kinds of piece."""
    kinds = max(max(hold) for hold in holds) + 1
    counts = [sum(kind in hold for hold in holds) for kind in range(kinds)]
    pieces = tuple(Piece(1, max(1, count)) for count in counts)
    patterns = tuple(Pattern(0, 1, tuple((k, 1) for k in hold)) for hold in holds)
    problem = Problem(pieces, (Stock(100, cost=1),))
    return CutPlan(problem, patterns, 0, Status.TIME_LIMIT)


def test_open_stacks_by_hand() -> None:
    """Kind 0 is open over all three patterns, kinds 1 and 2 in one each."""
    assert open_stacks(plan_of((0, 1), (2,), (0,))) == 2
    assert open_stacks(plan_of((0, 1), (0,), (2,))) == 2
    assert open_stacks(plan_of((0,), (1,), (0,), (1,))) == 2
    assert open_stacks(plan_of((0,), (0,), (1,), (1,))) == 1


def test_a_chain_is_put_in_its_order() -> None:
    """Patterns that form a chain need two stacks in order, three out of it."""
    chain = plan_of((0, 1), (2, 3), (1, 2), (3, 4))
    assert open_stacks(chain) == 3
    assert open_stacks(with_few_open_stacks(chain)) == 2


kinds = st.lists(st.integers(0, 5), min_size=1, max_size=3, unique=True).map(tuple)


@settings(max_examples=60, deadline=None)
@given(st.lists(kinds, min_size=1, max_size=5))
def test_few_patterns_are_ordered_best(holds: list[tuple[int, ...]]) -> None:
    """No order of a few patterns has fewer open stacks."""
    plan = plan_of(*holds)
    best = min(open_stacks(plan_of(*order)) for order in permutations(holds))
    ordered = with_few_open_stacks(plan)
    assert open_stacks(ordered) == best
    assert sorted(ordered.patterns, key=str) == sorted(plan.patterns, key=str)


@settings(max_examples=20, deadline=None)
@given(st.lists(kinds, min_size=15, max_size=25))
def test_many_patterns_are_never_ordered_worse(holds: list[tuple[int, ...]]) -> None:
    """A long list keeps its patterns, and has no more open stacks than before."""
    plan = plan_of(*holds)
    ordered = with_few_open_stacks(plan)
    assert open_stacks(ordered) <= open_stacks(plan)
    assert sorted(ordered.patterns, key=str) == sorted(plan.patterns, key=str)
