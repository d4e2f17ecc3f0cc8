"""Ends of pieces that slope and have more cut off are told by one line of marks."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from lapwright.measure import MILLIMETRE, Ticks, Unit
from lapwright.plan import EndCut, NotchEdge, PieceEnd, PieceNotch, SidingPiece
from lapwright_cli.reports.cutsheets import sheet_data
from lapwright_cli.reports.endcuts import end_marks, has_table, with_joined_ends
from tests.cli.reports.small_plan import CORNER, PLAN, bar, piece

STEP = Ticks(MILLIMETRE)


def mm(number: float) -> Ticks:
    """Give millimetres. [ticks]"""
    ticks = Fraction(str(number)) * MILLIMETRE
    assert ticks.denominator == 1
    return Ticks(int(ticks))


def raked(
    marks: tuple[tuple[float, float], ...], cutout: tuple[tuple[float, float], ...]
) -> SidingPiece:
    """Make a piece of 1622 by 177.8 mm from its left end and a cutout there. [mm]"""
    points = tuple((mm(u), mm(v)) for u, v in cutout)
    us, vs = [u for u, _ in points], [v for _, v in points]
    low = min(vs)
    notch = PieceNotch(
        "eave", NotchEdge.END, min(us), max(us), low, low, max(vs), points=points
    )
    left = PieceEnd(EndCut.RAKED, "rake", tuple((mm(v), mm(inset)) for v, inset in marks))
    return replace(
        piece("P", 1, 0, 1622, (left, CORNER), (notch,)), length=mm(1622), height=mm(177.8)
    )


def turned(own: SidingPiece) -> SidingPiece:
    """Turn a piece end for end."""
    (notch,) = own.notches
    points = tuple((Ticks(own.length - u), v) for u, v in reversed(notch.points))
    ends = Ticks(own.length - notch.end), Ticks(own.length - notch.start)
    other = replace(notch, start=ends[0], end=ends[1], points=points)
    return replace(own, left=own.right, right=own.left, notches=(other,))


EAVE = raked(
    # A level eave 180 mm long at 155 mm, then a roof of 45 degrees.
    ((0, 0), (155, 0), (155, 180), (178, 203)),
    # 3 mm below the eave, and a sliver along the roof that lies in the slope's waste.
    ((180, 152), (180, 155), (203, 177), (203, 177.8), (202, 177.8), (0, 156), (0, 152)),
)


def test_an_eave_and_its_roof_are_one_line() -> None:
    """By hand: in at 152 mm, 3 mm up, along the roof; what lies in the waste is no cut."""
    own = with_joined_ends(EAVE, STEP)
    assert own.notches == ()
    wanted = ((0, 152), (180, 152), (180, 155), (203, 177.8))
    assert end_marks(own.left, own.length, is_right=False) == tuple(
        (mm(u), mm(v)) for u, v in wanted
    )
    other = with_joined_ends(turned(EAVE), STEP)
    assert end_marks(other.right, own.length, is_right=True) == tuple(
        (mm(1622 - u), mm(v)) for u, v in reversed(wanted)
    )
    assert has_table(own.left)
    assert not has_table(own.right)


def test_a_top_between_two_marks_has_one_mark() -> None:
    """By hand: 203 mm is the slope's upper mark on a face of 203.2 mm; there is no other."""
    ring = (
        (180, 152),
        (180, 155),
        (228, 203),
        (228, 203.2),
        (227.8, 203.2),
        (0, 156),
        (0, 152),
    )
    own = raked(((0, 0), (155, 0), (155, 180), (203, 228)), ring)
    own = with_joined_ends(replace(own, height=mm(203.2)), STEP)
    assert end_marks(own.left, own.length, is_right=False) == tuple(
        (mm(u), mm(v)) for u, v in ((0, 152), (180, 152), (180, 155), (228, 203))
    )


def test_a_sheet_has_one_table_for_such_an_end() -> None:
    """The words send to the table, and no second cut is told."""
    sticks = replace(PLAN.materials[0], bars=(bar(1, 150, 0, ("P", 0, 63.875)),))
    plan = replace(
        PLAN,
        siding=(EAVE,),
        materials=(sticks,),
        job=replace(PLAN.job, unit=Unit.MILLIMETRE),
    )
    (sheet,) = sheet_data(plan)["parts"][0]["sheets"]
    (work,) = sheet["works"]
    assert work["tables"] == [
        [["0 mm", "180 mm", "180 mm", "203 mm"], ["152 mm", "152 mm", "155 mm", "177.8 mm"]]
    ]
    assert work["words"][0].startswith(
        "Left end raked: one cut along straight lines through the marks in the table; its slope"
    )
    assert not any("End cut" in text for text in work["words"])


def test_a_curve_is_not_made_a_part_of_a_slope() -> None:
    """Its words say to trace it, and its many marks stand in a table of their own."""
    ring = (
        (0, 20),
        (9, 20),
        (16, 26),
        (20, 34),
        (21, 44),
        (20, 54),
        (16, 62),
        (9, 68),
        (0, 68),
    )
    curved = raked(((0, 0), (177.8, 20)), ring)
    assert with_joined_ends(curved, STEP) == curved


def test_a_cutout_that_does_not_touch_the_slope_stays() -> None:
    """Where siding stays between the two they are two cuts."""
    apart = raked(((0, 0), (177.8, 20)), ((0, 100), (60, 100), (60, 177.8), (30, 140)))
    assert with_joined_ends(apart, STEP) == apart


@given(
    slope=st.lists(st.integers(0, 60), min_size=2, max_size=4),
    depth=st.integers(1, 150),
    high=st.integers(1, 160),
)
def test_a_joined_end_never_keeps_what_the_slope_or_the_cutout_takes(
    slope: list[int], depth: int, high: int
) -> None:
    """Any slope with a box at the end: at each height it is cut in as far as the farther."""
    insets = [sum(slope[: n + 1]) for n in range(len(slope))]
    rises = [177.8 if n == len(slope) - 1 else 30.0 * n for n in range(len(slope))]
    own = raked(
        tuple(zip(rises, insets, strict=True)),
        ((0, high), (depth, high), (depth, 170), (0, 170)),
    )
    joined = with_joined_ends(own, STEP)
    assert joined.notches == ()
    for v in range(1, 177):
        height = mm(v) + 1
        taken = inset_at(own.left, height)
        if mm(high) < height < mm(170):
            taken = max(taken, Fraction(mm(depth)))
        # Bends by less than a mark are left out, but never what the slope itself takes.
        found = inset_at(joined.left, height)
        assert found >= inset_at(own.left, height)
        assert taken - STEP < found <= taken + 2 * STEP or any(
            abs(height - v) <= 2 * STEP for v, _ in joined.left.profile
        )


def inset_at(end: PieceEnd, height: int) -> Fraction:
    """Measure how far in an end is at a height at which it has no bend. [ticks]"""
    points = [(int(v), int(inset)) for v, inset in end.profile]
    for (low, out), (top, inside) in pairwise(points):
        if low <= height < top:
            return out + Fraction((inside - out) * (height - low), top - low)
    return Fraction(points[0][1] if height < points[0][0] else points[-1][1])
