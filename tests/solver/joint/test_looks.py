"""Seams that look better for nothing: the same pieces are cut, hung in other places.

M. Guertin, "Vinyl Siding Done Right", Fine Homebuilding, warns of uniform stair-step
patterns; what makes a stair step, and that seams are better out of sight, is common
practice, no source.  All numbers are by hand.
"""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lapwright.cutting import Ends, Stock
from lapwright.joint.looks import View, arrange, stair_steps
from lapwright.joint.problem import NOWHERE, Apart, JointProblem, Run, Ways
from tests.solver.joint.tiny import joints, pieces_of, problems, rules_broken

APART = Apart(stagger=5, in_line_courses=2, in_line_width=4)
FIRST = (10, 16, 22, 28)


def two_pieces(*firsts: int, total: int = 40, lapped: bool = True) -> Ways:
    """List ways of two pieces each, by the length of the first."""
    many = len(firsts)
    ends = (Ends.RIGHT, Ends.LEFT) if lapped else (Ends.NONE, Ends.NONE)
    return Ways(
        np.array([(first, total - first) for first in firsts], dtype=np.int64),
        ends,
        np.zeros((many, 1), dtype=np.int64),
        np.array([(2 * first,) for first in firsts], dtype=np.int64),
        np.zeros(many, dtype=np.int64),
    )


def problem(*runs: Run, apart: Apart = APART) -> JointProblem:
    """Put runs together that are cut from one stock length."""
    return JointProblem(runs, (), (Stock(50, 50),), apart=apart)


def stairs(made: JointProblem, rows: tuple[int, ...]) -> int:
    """Count stair steps as plainly as can be: every three seams, looked at one by one."""
    placed = [
        (run.wall, run.course, int(seam) / 2)
        for run, row in zip(made.runs, rows, strict=True)
        for seam in run.ways.seams[row]
        if seam != NOWHERE
    ]
    apart, total = made.apart, 0
    for (wall, course, a), (second, over, b), (third, top, c) in product(placed, repeat=3):
        if not (wall == second == third and over == course + 1 and top == course + 2):
            continue
        same_side = a < b < c or a > b > c
        alike = abs((b - a) - (c - b)) < apart.in_line_width / 2
        short = abs(b - a) < 2 * apart.stagger and abs(c - b) < 2 * apart.stagger
        total += same_side and alike and short
    return total


def in_sight(made: JointProblem, rows: tuple[int, ...], views: dict[int, View]) -> int:
    """Count the seams that catch the eye."""
    return sum(
        abs(int(seam) / 2 - views[run.wall].place) < views[run.wall].near
        for run, row in zip(made.runs, rows, strict=True)
        for seam in run.ways.seams[row]
        if run.wall in views and run.course in views[run.wall].courses and seam != NOWHERE
    )


def test_a_stair_of_four_courses_is_hung_in_another_order() -> None:
    """Seams at 10, 16, 22, 28 step aside by 6 and 6 again, less than twice 5: two stairs.

    With the same four cuts in another order there is none, such as 10, 22, 16, 28.
    """
    ways = two_pieces(*FIRST)
    made = problem(*(Run(0, course, ways) for course in (1, 2, 3, 4)))
    assert stairs(made, (0, 1, 2, 3)) == 2
    rows = arrange(made, (0, 1, 2, 3), {})
    assert sorted(rows) == [0, 1, 2, 3]
    assert stairs(made, rows) == 0
    assert rules_broken(made, rows) == 0


@pytest.mark.parametrize(
    ("seams", "steps"),
    [
        ((10, 16, 22), [1]),
        ((22, 16, 10), [1]),
        # 6 and 7 differ by less than half of 4; 6 and 8 do not; 6 back again is no stair.
        ((10, 16, 23), [1]),
        ((10, 16, 24), []),
        ((10, 16, 10), []),
        # 9 is less than twice the stagger of 5, 10 is not.
        ((10, 19, 28), [1]),
        ((10, 20, 30), []),
    ],
)
def test_what_is_a_stair_step(seams: tuple[int, ...], steps: list[int]) -> None:
    """Two steps the same way, about alike, each less than twice the stagger."""
    placed = {course: [2 * seam] for course, seam in enumerate(seams, start=1)}
    assert stair_steps(placed, APART) == steps


def test_courses_that_do_not_touch_make_no_stair() -> None:
    """Where a course between has no seam, there is no stair."""
    assert stair_steps({1: [20], 2: [32], 4: [44]}, APART) == []


def test_a_seam_goes_out_of_sight_by_an_exchange_with_another_wall() -> None:
    """The seam at 10 is seen from 11, the one at 22 on the other wall is seen by nobody."""
    ways = two_pieces(*FIRST)
    made = problem(Run(0, 1, ways), Run(1, 1, ways))
    view = View(place=11, near=3, courses=frozenset({1}))
    assert arrange(made, (0, 2), {0: view}) == (2, 0)
    # Neither far off nor above the eyes does it matter.
    assert arrange(made, (0, 2), {0: View(13, 3, frozenset({1}))}) == (0, 2)
    assert arrange(made, (0, 2), {0: View(11, 3, frozenset({2}))}) == (0, 2)


def test_pieces_of_one_run_change_places_only_without_factory_ends() -> None:
    """10 and 30 may hang as 30 and 10 where both are cut at both ends.

    A lapped piece keeps its factory end at the seam: the first its right one, the last its
    left one.  Cut the other way round they are other pieces, which may cost more.
    """
    view = {0: View(10, 3, frozenset({1}))}
    butted = problem(Run(0, 1, two_pieces(10, 30, lapped=False)))
    assert arrange(butted, (0,), view) == (1,)
    lapped = problem(Run(0, 1, two_pieces(10, 30)))
    assert arrange(lapped, (0,), view) == (0,)


def test_no_rule_is_broken_for_looks() -> None:
    """A seam stays in sight where the only exchange would be nearer than the stagger of 5.

    On wall 0 the seams are at 10 in course 1 and at 18 in course 2; wall 1 has one at 14.
    """
    ways = two_pieces(10, 14, 18)
    made = problem(Run(0, 1, ways), Run(0, 2, ways), Run(1, 1, ways))
    view = {0: View(10, 3, frozenset({1}))}
    # 14 is 4 from 18; but 18 and 10 may change places, and course 2 is not in sight.
    assert arrange(made, (0, 2, 1), view) == (2, 0, 1)
    both = {0: View(10, 3, frozenset({1, 2}))}
    assert arrange(made, (0, 2, 1), both) == (0, 2, 1)


@st.composite
def hung(draw: st.DrawFn) -> tuple[JointProblem, tuple[int, ...], dict[int, View]]:
    """Draw a problem, a way for every run, and from where walls are seen."""
    made = draw(problems())
    rows = tuple(draw(st.integers(0, len(run.ways) - 1)) for run in made.runs)
    courses = st.frozensets(st.integers(1, 5))
    view = st.builds(View, st.integers(-3, 15), st.integers(1, 6), courses)
    return made, rows, draw(st.dictionaries(st.integers(0, 1), view))


@given(hung())
def test_the_same_pieces_look_no_worse(
    drawn: tuple[JointProblem, tuple[int, ...], dict[int, View]],
) -> None:
    """Pieces and seams stay the same; rules, then stairs, then seams in sight never rise."""
    made, rows, views = drawn
    after = arrange(made, rows, views)
    assert sorted(pieces_of(made, after), key=str) == sorted(pieces_of(made, rows), key=str)
    assert joints(made, after) == joints(made, rows)

    def looks(rows: tuple[int, ...]) -> tuple[int, int, int]:
        return rules_broken(made, rows), stairs(made, rows), in_sight(made, rows, views)

    assert looks(after) <= looks(rows)
    assert arrange(made, rows, views) == after
