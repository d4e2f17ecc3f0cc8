"""Stretches in which few runs have a seam, against all choices of ways."""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.joint.core import core_of, each_alone
from lapwright.joint.ties import least_ties
from lapwright.joint.windows import Stacks
from tests.solver.joint.tiny import problems, too_near_pairs

if TYPE_CHECKING:
    from random import Random

    from lapwright.joint.problem import JointProblem


@settings(max_examples=200, derandomize=True, deadline=None)
@given(problems(), st.randoms(use_true_random=False))
def test_windows_hold_what_keeps_apart(problem: JointProblem, chance: Random) -> None:
    """Ways that keep apart have no seam too many in any window, however it was found.

    And one way for each run breaks a rule if and only if there is a window that tells.
    """
    ties = least_ties(core_of(problem))
    core = each_alone(core_of(problem, ties.rows))
    runs = range(len(core.classes))
    stacks = Stacks(core, [(run,) for run in runs], ties.soft, alone=True)
    ways = [range(len(c.rows)) for c in core.classes]
    shares = [np.array([0.01 + chance.random() ** 3 for _ in some]) for some in ways]
    uses = [
        (run, way, float(shares[run][way] / shares[run].sum()))
        for run in runs
        for way in ways[run]
    ]
    windows = list(stacks.too_full(uses))
    hits = [
        [(group, stacks.hits(window, group)) for group, *_ in window.stretches]
        for window in windows
    ]
    for chosen in product(*ways):
        rows = tuple(core.row(run, way) for run, way in enumerate(chosen))
        broken = too_near_pairs(problem, rows)
        if not {pair for pair in broken if pair not in ties.soft}:
            for window, hit in zip(windows, hits, strict=True):
                held = sum(bool(inside[chosen[group]]) for group, inside in hit)
                assert held <= window.most
    chosen = tuple(chance.choice(some) for some in ways)
    rows = tuple(core.row(run, way) for run, way in enumerate(chosen))
    hard = {pair for pair in too_near_pairs(problem, rows) if pair not in ties.soft}
    found = list(stacks.too_full([(run, way, 1.0) for run, way in enumerate(chosen)]))
    assert bool(hard) == bool(found)
