"""Seams: how pieces must join, and rules that must be kept or told."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from lapwright.check import recount
from lapwright.measure import Unit
from tests.solver.check.changes import Case, drop, put, relength
from tests.solver.check.handmade import (
    bar,
    end,
    piece,
    plank_wall,
    seam,
    window_wall,
)
from tests.solver.check.handmade import inches as i
from tests.solver.check.handmade import millimetres as mm

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.solver.check.changes import Change
    from tests.solver.check.handmade import Record


def off_stud(record: Record) -> None:
    """Move a seam to 2 mm beside its stud, everything else following."""
    left, right = record["pieces"][:2]
    relength(left, mm(2818), Unit.MILLIMETRE)
    relength(right, mm(2174), Unit.MILLIMETRE, x=mm(2823))
    record["seams"][0]["x"] = mm(2821)
    bars = record["materials"][0]["bars"]
    bars[0] = bar(Unit.MILLIMETRE, 1, mm(3000), mm(179), ("A1.1", 0, mm(2818)))
    bars[1] = bar(Unit.MILLIMETRE, 2, mm(3000), mm(823), ("A1.2", 0, mm(2174)))


def stacked(record: Record) -> None:
    """Put the seam of course 1 in one line with that of course 3."""
    left, right = record["pieces"][:2]
    relength(left, i(60), Unit.INCH)
    relength(right, i(140.5), Unit.INCH, x=i(59.25))
    record["seams"][0]["x"] = i(60.25)
    bars = record["materials"][0]["bars"]
    bars[0] = bar(Unit.INCH, 1, i(144), i(83.875), ("A1.1", i(84), i(144)))
    bars[1] = bar(Unit.INCH, 2, i(144), i(3.375), ("A1.2", 0, i(140.5)))


def one_seam_more(record: Record) -> None:
    """Cut a plank of course 1 in two on the stud at 2020."""
    unit, butt = Unit.MILLIMETRE, end("square", "seam")
    first = record["pieces"][0]
    relength(first, mm(2016), unit)
    second = piece(
        unit,
        "A1.3",
        (1, mm(2021), 0, mm(798)),
        siding="plank",
        left=butt,
        right=butt,
        height=mm(150),
    )
    record["pieces"].insert(1, second)
    record["seams"][0] = seam(1, mm(2819), "A1.3", "A1.2")
    record["seams"].append(seam(1, mm(2019), "A1.1", "A1.3"))
    record["findings"].append("A1.1 and A1.3 are in line with A2.1 and A2.2")
    material = record["materials"][0]
    material["bars"][0] = bar(unit, 1, mm(3000), mm(981), ("A1.1", 0, mm(2016)))
    cut = ("A1.2", 0, mm(2176)), ("A1.3", mm(2179), mm(2977))
    material["bars"][1] = bar(unit, 2, mm(3000), mm(20), *cut)


def off_the_tape(record: Record) -> None:
    """Move a seam by half a millimetre, everything else following."""
    unit, half = Unit.MILLIMETRE, 160
    left, right = record["pieces"][:2]
    relength(left, mm(2816) + half, unit)
    relength(right, mm(2176) - half, unit, x=mm(2821) + half)
    record["seams"][0]["x"] = mm(2819) + half
    bars = record["materials"][0]["bars"]
    bars[0] = bar(unit, 1, mm(3000), mm(181) - half, ("A1.1", 0, mm(2816) + half))
    bars[1] = bar(unit, 2, mm(3000), mm(821) + half, ("A1.2", 0, mm(2176) - half))


def double_seam(record: Record) -> None:
    """List a seam twice."""
    record["seams"].append(record["seams"][0])


CASES: list[Case] = [
    (
        "lap",
        window_wall,
        put(("pieces", 1, "x"), i(99)),
        (
            (
                'piece A1.2 (wall A, course 1, run 1), right end: found 199-1/2", '
                'wanted 199-3/4"'
            ),
            (
                "seam of A1.1 and A1.2 (wall A, course 1, run 1): found a lap of "
                '1-1/4", wanted a lap of 1"'
            ),
        ),
    ),
    (
        "gap",
        plank_wall,
        put(("pieces", 1, "x"), mm(2822)),
        (
            ("piece A1.2 (wall A, course 1, run 1), right end: found 4998 mm, wanted 4997 mm"),
            (
                "seam of A1.1 and A1.2 (wall A, course 1, run 1): found a gap of 3 "
                "mm, wanted a gap of 2 mm"
            ),
        ),
    ),
    (
        "stud",
        plank_wall,
        off_stud,
        (
            (
                "seam of A1.1 and A1.2 (wall A, course 1, run 1): found its middle "
                "at 2822 mm, wanted it on a stud"
            ),
        ),
    ),
    (
        "tape",
        plank_wall,
        off_the_tape,
        (
            (
                "piece A1.1 (wall A, course 1, run 1), length: found 2816.5 mm, "
                "wanted a mark of the tape"
            ),
            (
                "piece A1.2 (wall A, course 1, run 1), length: found 2175.5 mm, "
                "wanted a mark of the tape"
            ),
        ),
    ),
    (
        "seam gone",
        window_wall,
        drop(("seams", 0)),
        (
            (
                "seam of A1.1 and A1.2: found no such seam in the list, wanted it at "
                '100-1/4" in wall A, course 1, run 1'
            ),
        ),
    ),
    (
        "seam moved",
        window_wall,
        put(("seams", 0, "x"), i(100)),
        (
            (
                "seam of A1.1 and A1.2: found no such seam in the list, wanted it at "
                '100-1/4" in wall A, course 1, run 1'
            ),
            (
                'seam of A1.1 and A1.2: found it at 100" in wall A, course 1, run 1, '
                "wanted no such seam"
            ),
        ),
    ),
    (
        "seam twice",
        window_wall,
        double_seam,
        ("seam of A1.1 and A1.2: found it twice in the list, wanted it once",),
    ),
    (
        "shortest",
        plank_wall,
        put(("job", "rules", "shortest_piece"), "2100 mm"),
        (
            (
                "seam of A2.1 and A2.2: found piece A2.1 of 2016 mm, shorter than "
                "2100 mm, wanted the rule kept, or a finding that names both"
            ),
        ),
    ),
    (
        "stagger",
        plank_wall,
        put(("job", "rules", "stagger"), "801 mm"),
        (
            (
                "seam of A1.1 and A1.2: found it 800 mm to the side and 1 courses "
                "(stagger) of the seam of A2.1 and A2.2, wanted the rule kept, or a "
                "finding that names both"
            ),
        ),
    ),
    (
        "in line",
        window_wall,
        stacked,
        (
            (
                'seam of A1.1 and A1.2: found it 0" to the side and 2 courses (in '
                "line) of the seam of A3.1 and A3.2, wanted the rule kept, or a "
                "finding that names both"
            ),
        ),
    ),
    (
        "keep out",
        window_wall,
        put(("job", "rules", "keep_out"), "20 in"),
        (
            (
                "seam of A2.1 and A2.2: found it at opening W1, wanted the rule "
                "kept, or a finding that names both"
            ),
            (
                "seam of A3.1 and A3.2: found it at opening W1, wanted the rule "
                "kept, or a finding that names both"
            ),
        ),
    ),
    (
        "fewest",
        plank_wall,
        one_seam_more,
        (
            (
                "wall A, course 1, run 1: found 3 pieces, wanted 2 (as few as the "
                "stock allows, and extra seams)"
            ),
        ),
    ),
]


@pytest.mark.parametrize(
    ("make", "change", "faults"), [case[1:] for case in CASES], ids=[case[0] for case in CASES]
)
def test_a_fault_is_found(
    make: Callable[[], Record], change: Change, faults: tuple[str, ...]
) -> None:
    """A change of a right plan gives just the faults that it makes."""
    record = make()
    change(record)
    assert recount(record) == faults


@pytest.mark.parametrize(
    ("make", "change"),
    [
        (plank_wall, put(("job", "rules", "stagger"), "801 mm")),
        (plank_wall, put(("job", "rules", "shortest_piece"), "2100 mm")),
    ],
)
def test_a_broken_rule_that_is_told_stands(make: Callable[[], Record], change: Change) -> None:
    """A finding that names both pieces of a seam makes a broken rule no fault."""
    record = make()
    change(record)
    assert len(recount(record)) == 1
    record["findings"] = ["the seam of A1.1 and A1.2 and that of A2.1 and A2.2 are too near"]
    assert recount(record) == ()


def test_a_longer_label_is_no_mention() -> None:
    """A finding that names A1.10 does not name A1.1."""
    record = plank_wall()
    put(("job", "rules", "stagger"), "801 mm")(record)
    record["findings"] = ["the seam of A1.10 and A1.2", "the seam of A1.1 and A1.2.5"]
    assert len(recount(record)) == 1


def test_an_extra_seam_may_be_allowed() -> None:
    """With an extra seam allowed, a run in one piece more than the fewest stands."""
    record = plank_wall()
    one_seam_more(record)
    record["job"]["rules"]["extra_seams"] = 1
    assert recount(record) == ()
