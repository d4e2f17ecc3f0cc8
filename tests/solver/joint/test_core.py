"""What pieces take of a bar, in units, against their lengths and kerfs."""

from __future__ import annotations

from itertools import combinations_with_replacement

from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.cutting import Piece, Stock
from lapwright.joint.core import core_of
from lapwright.joint.problem import JointProblem


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
