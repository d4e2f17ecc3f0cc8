"""Pieces with factory ends: lengths that the linear program takes in as it needs them."""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.cutting import Ends, Piece, Stock
from lapwright.cutting.master import INFINITE, Program
from lapwright.joint.bound import Relaxation, cover_of
from lapwright.joint.core import RunClass, core_of
from lapwright.joint.ends import Known, Needs
from lapwright.joint.problem import JointProblem, Run, Ways

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.joint.core import Core


def bars(core: Core) -> Iterator[tuple[int, tuple[int, ...], int, int]]:
    """List all bars: stock, how many of each kind, and what the pieces with ends take."""
    for stock, capacity in enumerate(core.caps):
        counts = [range(min(int(many), 3) + 1) for many in core.most]
        for plain in product(*counts):
            room = capacity - sum(n * int(s) for n, s in zip(plain, core.sizes, strict=True))
            for left in range(room + 1):
                yield from ((stock, plain, left, right) for right in range(room - left + 1))


def value_of_all(core: Core) -> float:
    """Solve the linear program with all ways, all bars and a row for every length."""
    kinds, stocks = len(core.sizes), len(core.costs)
    ends = 2 * (core.capacity + 1)
    runs = kinds + ends
    uses = runs + len(core.classes)
    low = np.zeros(uses + stocks)
    low[:kinds] = core.wanted
    low[runs:uses] = [len(c.members) for c in core.classes]
    high = np.full(len(low), INFINITE)
    high[runs:uses] = low[runs:uses]
    program = Program(low, high)
    scale = max(core.costs) or 1
    rows = np.arange(len(low))
    for k, (cost, there) in enumerate(zip(core.costs, core.supply, strict=True)):
        program.add(np.array([cost / scale]), [(np.array([uses + k]), np.ones(1))])
        program.limit(k, INFINITE if there is None else float(there))
    columns = []

    def column() -> np.ndarray:
        columns.append(np.zeros(len(low)))
        return columns[-1]

    for stock, plain, left, right in bars(core):
        made = column()
        made[:kinds] = plain
        made[kinds + left] += left > 0
        made[kinds + core.capacity + 1 + right] += right > 0
        made[uses + stock] = -1
    for number, c in enumerate(core.classes):
        for way in range(len(c.left)):
            made = column()
            for kind in c.plain[way]:
                if kind >= 0:
                    made[kind] -= 1
            made[kinds + c.left[way]] -= c.left[way] > 0
            made[kinds + core.capacity + 1 + c.right[way]] -= c.right[way] > 0
            made[runs + number] = 1
            made[uses:] -= c.uses[way]
    program.add(np.zeros(len(columns)), [(rows, made) for made in columns])
    answer = program.solve()
    assert answer is not None
    return answer[0]


@st.composite
def lapped(draw: st.DrawFn) -> JointProblem:
    """Draw runs of two pieces, whose seam may be anywhere, stock lengths and fixed pieces."""
    lengths = sorted(draw(st.sets(st.integers(25, 40), min_size=1, max_size=2)))
    stock = tuple(Stock(n, draw(st.integers(2 * n, 3 * n))) for n in lengths)
    longest = lengths[-1]
    runs = []
    for number in range(draw(st.integers(3, 8))):
        ends = draw(st.integers(longest + 1, 2 * longest - 2))
        first = np.arange(ends - longest, longest + 1)
        none = np.zeros(len(first), dtype=np.int64)
        pieces = np.column_stack((first, ends - first))
        whole = np.zeros((len(first), len(stock)), dtype=np.int64)
        columns = (Ends.RIGHT, Ends.LEFT)
        ways = Ways(pieces, columns, whole, 2 * first[:, None], none)
        runs += [Run(0, 2 * number, ways)] * draw(st.integers(1, 2))
    fixed = draw(st.dictionaries(st.integers(7, longest), st.integers(1, 3), max_size=2))
    pieces_ = tuple(Piece(length, many) for length, many in fixed.items())
    return JointProblem(tuple(runs), pieces_, stock)


@settings(max_examples=60, derandomize=True, deadline=None)
@given(lapped())
def test_lengths_that_matter_are_taken_in(problem: JointProblem) -> None:
    """The value is that of a program with all lengths, and what is proven comes to it."""
    core = core_of(problem)
    relaxation = Relaxation(core)
    value, duals = relaxation.generate(lambda: False)
    assert value == pytest.approx(value_of_all(core), abs=1e-6)
    cover = cover_of(relaxation, duals)
    # The cheapest bars, or parts of them, that keep the cover.
    rates = [cost / worth for cost, worth in zip(core.costs, cover.worth, strict=True) if worth]
    if cover.least > 0:
        assert cover.least * min(rates) / relaxation.scale == pytest.approx(value, abs=1e-4)


@settings(max_examples=100, derandomize=True)
@given(st.data())
def test_what_pieces_must_be_worth(data: st.DataObject) -> None:
    """A length is worth what the way lacks most that needs it; that way stands behind it."""
    capacity, many = 6, data.draw(st.integers(1, 8))

    def numbers(least: int, most: int) -> np.ndarray:
        found = [data.draw(st.integers(least, most)) for _ in range(many)]
        return np.array(found, dtype=np.int64)

    none = np.zeros((many, 0), dtype=np.int64)
    rows = np.arange(many)
    classes = [
        RunClass(
            (0,), rows, none, numbers(0, 6), numbers(0, 6), none, none, (), none, rows, True
        )
        for _ in range(2)
    ]
    lacking = {number: numbers(-3, 5).astype(float) for number in range(2)}
    side = data.draw(st.integers(0, 1))
    need = Needs(classes).least(side, lacking, capacity)
    for size in range(1, capacity + 1):
        asking = [
            (lacking[number][way], number, way)
            for number, c in enumerate(classes)
            for way in range(many)
            if (c.right if side else c.left)[way] == size
        ]
        most = max((lack for lack, _, _ in asking), default=0.0)
        assert need.worth[size] == max(most, 0.0)
        behind = need.behind(size)
        assert (behind is None) == (most <= 0)
        if behind is not None:
            assert (most, *behind) in asking


def test_known_lengths_stand_between_their_neighbours() -> None:
    """A length that is put in lies between the next shorter one and the next longer one."""
    known = Known()
    assert known.put(5, 0) == (None, None)
    assert known.put(9, 1) == (0, None)
    assert known.put(7, 2) == (0, 1)
    assert known.put(2, 3) == (None, 0)
    dual = np.array([0.5, 0.75, -1.0, 0.25])
    assert known.spread(dual, 9).tolist() == [0, 0, 0.25, 0, 0, 0.5, 0, 0, 0, 0.75]
    assert known.is_new(9).tolist() == [0, 1, 0, 1, 1, 0, 1, 0, 1, 0]
