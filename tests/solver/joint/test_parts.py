"""The parts of the bound, against trying everything."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.cutting.covers import Cover, choices, room_left
from lapwright.joint.worth import Bars, Plain

MOST = 8


@settings(max_examples=300, derandomize=True)
@given(st.data())
def test_choices(data: st.DataObject) -> None:
    """All numbers of bars between two costs are listed, whether covers come at once or not."""
    kinds = data.draw(st.integers(1, 3))

    def row(least: int, most: int) -> tuple[int, ...]:
        return tuple(data.draw(st.integers(least, most)) for _ in range(kinds))

    costs = row(1, 6)
    supply = tuple(data.draw(st.none() | st.integers(0, 4)) for _ in range(kinds))
    covers = [
        Cover(row(0, 5), data.draw(st.integers(0, 12)))
        for _ in range(data.draw(st.integers(1, 4)))
    ]
    upper = data.draw(st.integers(1, 40))
    most = [upper if there is None else there for there in supply]

    def spent(many: tuple[int, ...]) -> int:
        return sum(c * n for c, n in zip(costs, many, strict=True))

    wanted = [
        many
        for many in product(*(range(n + 1) for n in most))
        if spent(many) < upper
        and all(
            sum(w * n for w, n in zip(cover.worth, many, strict=True)) >= cover.least
            for cover in covers
        )
    ]
    # Also where covers leave bars of less cost: something else can rule them out.
    least = data.draw(st.integers(0, upper))
    wanted = [many for many in wanted if spent(many) >= least]
    known = None
    for some in sorted({data.draw(st.integers(1, len(covers))), len(covers)}):
        known = choices(covers[:some], costs, supply, least, upper, known)
        assert known is not None
    assert known is not None
    listed = [tuple(many) for many in known.bars.tolist()]
    assert sorted(listed) == sorted(many for many in wanted if spent(many) < known.below)
    assert [spent(many) for many in listed] == sorted(map(spent, listed))
    assert min(upper, least + 1) <= known.below <= upper


def test_room_left() -> None:
    """It is what the tightest cover leaves, in bars worth most to it; by hand."""
    covers = [Cover((4, 2, 0), 10), Cover((1, 1, 1), 3), Cover((0, 0, 7), 0)]
    bars = np.array([[2, 1, 0], [3, 0, 1], [1, 1, 0]])
    # 10 of 10 and 3 of 3; 12 and 4, of bars of 4 and of 1; 6 and 2.
    assert room_left(covers, bars).tolist() == [0.0, 0.5, -1.0]


KINDS = st.lists(
    st.tuples(st.integers(1, 9), st.integers(0, 9), st.integers(0, 3)), min_size=1, max_size=4
)
"""Of plain pieces: what one takes, what it is worth, how many there may be."""


def best_plain(kinds: list[tuple[int, int, int]], room: int) -> int:
    """Give the best worth of plain pieces in some room by trying all."""
    return max(
        sum(value * n for (_, value, _), n in zip(kinds, many, strict=True))
        for many in product(*(range(most + 1) for _, _, most in kinds))
        if sum(size * n for (size, _, _), n in zip(kinds, many, strict=True)) <= room
    )


def plain_of(kinds: list[tuple[int, int, int]], capacity: int) -> Plain:
    """Set up the worth of plain pieces."""
    sizes, values, most = (np.array(part) for part in zip(*kinds, strict=True))
    return Plain(sizes, values, most, capacity, np.int64)


@settings(max_examples=150, derandomize=True)
@given(KINDS, st.integers(9, 14))
def test_plain_pieces(kinds: list[tuple[int, int, int]], capacity: int) -> None:
    """In every room the worth is the best, and there are pieces that are worth it."""
    plain = plain_of(kinds, capacity)
    for room in range(capacity + 1):
        best = best_plain(kinds, room)
        assert plain.best[room] == best
        chosen = plain.pieces(room)
        assert sum(kinds[kind][1] for kind in chosen) == best
        assert sum(kinds[kind][0] for kind in chosen) <= room
        assert all(chosen.count(kind) <= kinds[kind][2] for kind in chosen)


@settings(max_examples=150, derandomize=True)
@given(KINDS, st.integers(9, 14))
def test_plain_pieces_of_broken_worth(kinds: list[tuple[int, int, int]], capacity: int) -> None:
    """Where sums are rounded, the pieces still are worth what is told, nearly."""
    sizes, values, most = (np.array(part) for part in zip(*kinds, strict=True))
    plain = Plain(sizes, values / 3, most, capacity, np.float64)
    for room in range(capacity + 1):
        chosen = plain.pieces(room)
        worth = sum(kinds[kind][1] for kind in chosen) / 3
        assert worth == pytest.approx(plain.best[room])
        assert worth == pytest.approx(best_plain(kinds, room) / 3)
        assert sum(kinds[kind][0] for kind in chosen) <= room
        assert all(chosen.count(kind) <= kinds[kind][2] for kind in chosen)


@settings(max_examples=150, derandomize=True)
@given(st.data())
def test_bars_with_ends(data: st.DataObject) -> None:
    """A bar with a piece at either end is worth the best that any three parts are worth."""
    capacity = data.draw(st.integers(9, 12))
    kinds = data.draw(KINDS)
    ends = st.lists(st.integers(0, 9), min_size=capacity, max_size=capacity)
    left = np.array([0, *data.draw(ends)], dtype=np.int64)
    right = np.array([0, *data.draw(ends)], dtype=np.int64)
    bars = Bars(plain_of(kinds, capacity), left, right)
    by_right = bars.by_right(capacity)
    for size in range(capacity + 1):
        room = capacity - size
        best = max(int(left[n]) + best_plain(kinds, room - n) for n in range(room + 1))
        assert by_right[size] == right[size] + best
        made = bars.pattern(0, capacity, size)
        taken = sum(kinds[kind][0] for kind in made.plain)
        assert taken + made.left + made.right <= capacity
        worth = sum(kinds[kind][1] for kind in made.plain)
        assert worth + left[made.left] == best
