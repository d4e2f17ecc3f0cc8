"""What pieces take of a bar, in units, against their lengths and kerfs."""

from __future__ import annotations

from itertools import combinations_with_replacement

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.cutting import Ends, Piece, Stock
from lapwright.joint.core import core_of
from lapwright.joint.problem import NOWHERE, JointProblem, Run, Ways


@settings(max_examples=300, derandomize=True, deadline=None)
@given(
    unit=st.integers(2, 12),
    kerf=st.integers(0, 30),
    bars=st.sets(st.integers(60, 140), min_size=1, max_size=3),
    sizes=st.sets(st.integers(1, 12), min_size=1, max_size=4),
    has_whole=st.booleans(),
)
def test_units_say_what_fits(
    unit: int, kerf: int, bars: set[int], sizes: set[int], has_whole: bool
) -> None:
    """Rounded down all that fits still fits, and two pieces do only if they fit in truth.

    A bar holds pieces and a kerf between any two: arithmetic, no source.
    """
    lengths = {unit * size for size in sizes if unit * size <= max(bars)} or {min(bars)}
    lengths |= {min(bars)} if has_whole else set()
    stock = tuple(Stock(length, length) for length in sorted(bars))
    fixed = tuple(Piece(length, 1) for length in sorted(lengths))
    problem = JointProblem((), fixed, stock, kerf)
    core = core_of(problem)
    # A piece that a bar holds alone, but not beside a kerf, takes no more than that bar.
    fills = {n for n in lengths for bar in bars if n <= bar < n + max(kerf, 1)}
    for number, bar in enumerate(stock):
        for many in range(1, 5):
            for kinds in combinations_with_replacement(range(len(lengths)), many):
                needed = sum(core.lengths[kind] for kind in kinds) + kerf * (many - 1)
                taken = sum(int(core.sizes[kind]) for kind in kinds)
                assert taken <= core.caps[number] or needed > bar.length
                if many == 2 and not any(core.lengths[kind] in fills for kind in kinds):
                    assert needed <= bar.length or taken > core.caps[number]


def test_a_bar_yields_no_more_of_a_kind_than_plans_ask_for() -> None:
    """Two runs in 4 + 4 + 2 or 5 + 5, and a fixed 3: by hand.

    Of 4 and 5 both runs may ask for two, of 2 for one; a bar of 18 holds four 4 and three 5.
    """
    ways = Ways(
        lengths=np.array([[4, 4, 2], [5, 5, 0]]),
        ends=(Ends.NONE,) * 3,
        whole=np.zeros((2, 1), dtype=np.int64),
        seams=np.array([[8, 16], [10, NOWHERE]]),
        broken=np.zeros(2, dtype=np.int64),
    )
    runs = (Run(0, 1, ways), Run(1, 1, ways))
    core = core_of(JointProblem(runs, (Piece(3, 1),), (Stock(18, 1),)))
    found = dict(zip(core.lengths, core.most.tolist(), strict=True))
    assert found == {5: 3, 4: 4, 3: 1, 2: 2}
