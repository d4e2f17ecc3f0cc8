"""Bars within a gap and whole plans from them, against trying everything."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from lapwright.cutting import Piece, Stock
from lapwright.cutting.covers import all_bars
from lapwright.joint.bound import Relaxation, cover_of
from lapwright.joint.closing import close
from lapwright.joint.core import core_of
from lapwright.joint.problem import JointProblem
from lapwright.joint.ties import Tied, least_ties
from lapwright.joint.worth import Duals, Worth, patterns_within
from tests.solver.joint.tiny import NEVER, choices, cutter, problems, rules_broken

if TYPE_CHECKING:
    from collections.abc import Sequence


@settings(max_examples=200, derandomize=True, deadline=None)
@given(st.data())
def test_all_bars_within_a_gap(data: st.DataObject) -> None:
    """All bars that no piece fits into any more are listed, if they cost little enough."""
    lengths = sorted(data.draw(st.sets(st.integers(6, 14), min_size=1, max_size=2)))
    sizes = data.draw(st.sets(st.integers(1, lengths[-1]), max_size=4))
    fixed = tuple(Piece(size, data.draw(st.integers(1, 3))) for size in sorted(sizes))
    stock = tuple(Stock(length, length) for length in lengths)
    core = core_of(JointProblem((), fixed, stock, data.draw(st.integers(0, 1))))
    plain = np.array([data.draw(st.integers(0, 4)) for _ in core.sizes], dtype=float)
    none = np.zeros(core.capacity + 1)
    price = np.array([data.draw(st.integers(0, 9)) for _ in stock] + [0], dtype=float)
    gap = data.draw(st.integers(0, 4)) + 0.5

    wanted = set()
    counts = [range(int(most) + 1) for most in core.most]
    for number, capacity in enumerate(core.caps):
        for many in product(*counts):
            room = capacity - sum(m * int(s) for m, s in zip(many, core.sizes, strict=True))
            is_full = all(
                m == most or int(size) > room
                for m, most, size in zip(many, core.most, core.sizes, strict=True)
            )
            worth = sum(m * w for m, w in zip(many, plain, strict=True))
            if room >= 0 and is_full and price[number] - worth <= gap:
                wanted.add((number, tuple(k for k, m in enumerate(many) for _ in range(m))))
    duals = Duals(Worth(plain, none, none), price, np.zeros(0))
    found = patterns_within(core, duals, gap, 5000)
    assert found is not None
    listed = [(pattern.stock, pattern.plain) for pattern in found]
    assert len(set(listed)) == len(listed)
    assert set(listed) == wanted
    if wanted:
        assert patterns_within(core, duals, gap, len(wanted) - 1) is None


@settings(max_examples=60, derandomize=True, deadline=None)
@given(problems())
def test_close_finds_what_there_is(problem: JointProblem) -> None:
    """Ways that are found keep the rules, and the bars are enough for their pieces.

    And where there are such ways some are found.
    """
    problem = replace(problem, most_seams=None)
    core = core_of(problem)
    ties = least_ties(core)
    assume(not core.has_ends and not ties.soft and max(core.costs) > 0)
    # Nothing is rounded: what fits in units fits.
    assume(core.caps == tuple(each.length + problem.kerf for each in problem.stock))
    relaxation = Relaxation(core, ties, alone=True)
    _, duals = relaxation.generate(lambda: False)
    upper = relaxation.scale * 3 + max(core.costs)
    bars = all_bars([cover_of(relaxation, duals)], core.costs, core.supply, int(upper), 2000)
    assume(bars is not None and len(bars))
    assert bars is not None
    costs = np.array(core.costs)
    for many in bars[:3].tolist():
        relaxation.within(many)
        value, _ = relaxation.generate_above(lambda: False, -1.0)
        if value > int(np.array(many) @ costs) / relaxation.scale + 1e-9:
            continue
        closing = close(relaxation, Tied(core, ties), many, None)
        found = closing.ways.result()
        closing.stop()
        plans = _plans(problem, many)
        if found is None:
            assert not plans
        else:
            assert tuple(core.row(run, way) for run, way in enumerate(found)) in plans


def _plans(problem: JointProblem, bars: Sequence[int]) -> set[tuple[int, ...]]:
    """List the choices of ways that keep the rules and that some bars are enough for."""
    stock = tuple(replace(each, supply=n) for each, n in zip(problem.stock, bars, strict=False))
    cost_of = cutter(replace(problem, stock=stock))
    return {
        rows
        for rows in choices(problem)
        if rules_broken(problem, rows) == problem.least_broken and cost_of(rows) < NEVER
    }
