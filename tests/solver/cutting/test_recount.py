"""The recount finds every kind of fault, each planted by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lapwright.cutting import (
    CutPlan,
    Ends,
    Pattern,
    Piece,
    Problem,
    Status,
    Stock,
    recount,
)
from lapwright.errors import AuditError

PROBLEM = Problem(
    (
        Piece(40, 3),
        Piece(19, 2, Ends.LEFT, label="a"),
        Piece(19, 1, Ends.RIGHT),
        Piece(100, 1, Ends.BOTH),
    ),
    (Stock(100, cost=7, supply=4), Stock(60, cost=5)),
    kerf=1,
)
GOOD = CutPlan(
    PROBLEM,
    (
        Pattern(0, 1, ((0, 2), (1, 1))),
        Pattern(0, 1, ((0, 1), (1, 1), (2, 1))),
        Pattern(0, 1, ((3, 1),)),
    ),
    bound=21,
    status=Status.PROVEN,
)
# 40 + 40 + 19 and two cuts are 101: one kerf too long; without a kerf it is right.
SOUND = replace(GOOD, problem=replace(PROBLEM, kerf=0))


def faults(plan: CutPlan) -> str:
    """Give what the recount finds."""
    with pytest.raises(AuditError) as raised:
        recount(plan)
    return str(raised.value)


def test_sound_plan_passes() -> None:
    """A plan that is right is let through."""
    recount(SOUND)


def test_kerf_counts() -> None:
    """Pieces that only fit without the saw do not fit."""
    assert faults(GOOD) == "pattern 1: takes 101 of a bar of 100"


@pytest.mark.parametrize(
    ("patterns", "fault"),
    [
        (SOUND.patterns[:2], "piece 4 (100): cut 0 times, wanted 1"),
        ((*SOUND.patterns, Pattern(1, 1, ((0, 1),))), "piece 1 (40): cut 4 times"),
        ((Pattern(0, 1, ((0, 3),)), *SOUND.patterns[1:]), "takes 120 of a bar of 100"),
        ((Pattern(0, 1, ((1, 2),)), *SOUND.patterns[1:]), "keep the same factory end"),
        ((Pattern(0, 1, ((3, 1), (1, 1))), *SOUND.patterns), "is not a whole bar"),
        ((Pattern(1, 1, ((3, 1),)), *SOUND.patterns[:2]), "is not a whole bar"),
        ((Pattern(2, 1, ((0, 1),)), *SOUND.patterns), "there is no stock number 2"),
        ((Pattern(0, 1, ((9, 1),)), *SOUND.patterns), "not in the problem"),
        ((Pattern(0, 1, ()), *SOUND.patterns), "a bar without a piece"),
        ((Pattern(0, 0, ((0, 1),)), *SOUND.patterns), "cut 0 times"),
        ((Pattern(0, 1, ((0, -1),)), *SOUND.patterns), "not cut at all"),
        ((Pattern(0, 1, ((0, 1), (0, 1))), *SOUND.patterns), "is listed twice"),
        ((Pattern(0, 5, ((0, 1),)), *SOUND.patterns), "8 bars, only 4"),
    ],
)
def test_planted_fault_is_found(patterns: tuple[Pattern, ...], fault: str) -> None:
    """Each fault is found in a plan that is right but for it."""
    assert fault in faults(replace(SOUND, patterns=patterns))


def test_bound_above_the_cost_is_found() -> None:
    """A bound cannot be above the cost."""
    wrong = replace(SOUND, bound=22, status=Status.TIME_LIMIT)
    assert faults(wrong) == "the bound 22 is above the cost 21"


def test_false_proof_is_found() -> None:
    """Proven means that bound and cost are equal."""
    assert "said to be proven" in faults(replace(SOUND, bound=20))
