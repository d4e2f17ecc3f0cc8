"""Branch and cut over a list of patterns, against trying every choice."""

from __future__ import annotations

from itertools import product

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.cutting.cuts import Row
from lapwright.cutting.tree import End, Tree


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_tree_against_every_choice(data: st.DataObject) -> None:
    """A plan is found if and only if one exists, within a counted supply."""
    items = data.draw(st.integers(1, 4))
    number = data.draw(st.integers(1, 5))
    cells = st.lists(st.integers(0, 2), min_size=items, max_size=items)
    counts = np.array([data.draw(cells) for _ in range(number)])
    whole = st.lists(st.integers(0, 3), min_size=number, max_size=number)
    costs = np.array(data.draw(whole))
    demand = np.array(data.draw(cells))
    most = data.draw(st.integers(0, 5))
    limits = [Row(np.ones(number, dtype=np.int64), None, data.draw(st.integers(1, 4)))]
    exists = any(
        (np.array(use) @ counts >= demand).all()
        and np.array(use) @ costs <= most
        and sum(use) <= (limits[0].high or 0)
        for use in product(range(5), repeat=number)
    )
    tree = Tree(counts, costs, demand, limits, [limits[0].weights], most)
    end, use = tree.search(lambda: False, 1000)
    assert end is (End.FOUND if exists else End.NONE) or end is End.OPEN
    if use is not None:
        assert exists
        assert (use @ counts >= demand).all()
        assert use @ costs <= most


def test_a_gap_of_the_linear_program_is_proven() -> None:
    """Three items of which any two share a bar need two bars, not one and a half."""
    pairs = np.array([[1, 1, 0], [1, 0, 1], [0, 1, 1]])
    one = np.ones(3, dtype=np.int64)
    assert Tree(pairs, one, one, [], [], 1).search(lambda: False, 10)[0] is End.NONE
    assert Tree(pairs, one, one, [], [], 2).search(lambda: False, 10)[0] is End.FOUND


def test_tree_stops_when_the_time_is_up() -> None:
    """Without time, nothing is claimed."""
    pairs = np.array([[1, 1, 0], [1, 0, 1], [0, 1, 1]])
    one = np.ones(3, dtype=np.int64)
    end, use = Tree(pairs, one, one, [], [], 2).search(lambda: True, 10)
    assert (end, use) == (End.OPEN, None)
