"""Areas and butt edges: a wrong figure is found."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from lapwright.check import recount
from tests.solver.check.changes import Case, put
from tests.solver.check.handmade import inches as i
from tests.solver.check.handmade import (
    window_wall,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.solver.check.changes import Change
    from tests.solver.check.handmade import Record


CASES: list[Case] = [
    (
        "gross",
        window_wall,
        put(("walls", 0, "gross_area"), i(200) * i(30) + i(12) * i(12)),
        (
            "wall A, gross area: found 42.6667 sq ft, wanted 41.6667 sq ft",
            (
                "wall A, net area: found 38.6111 sq ft, wanted 39.6111 sq ft, gross "
                "less openings"
            ),
        ),
    ),
    (
        "opening area",
        window_wall,
        put(("walls", 0, "opening_area"), 0),
        (
            "wall A, opening area: found 0 sq ft, wanted 3.0556 sq ft",
            (
                "wall A, net area: found 38.6111 sq ft, wanted 41.6667 sq ft, gross "
                "less openings"
            ),
        ),
    ),
    (
        "net",
        window_wall,
        put(("walls", 0, "net_area"), 0),
        (("wall A, net area: found 0 sq ft, wanted 38.6111 sq ft, gross less openings"),),
    ),
    (
        "courses",
        window_wall,
        put(("walls", 0, "courses"), [0, i(10)]),
        ("wall A, courses: found 2, wanted 3",),
    ),
    (
        "course height",
        window_wall,
        put(("walls", 0, "courses"), [0, i(10), i(19)]),
        ('wall A, course 3, butt edge: found 19", wanted 20"',),
    ),
    (
        "wall absent",
        window_wall,
        put(("walls",), []),
        ("walls: found none, wanted A as in the job",),
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


def test_a_window_made_round_is_found_everywhere() -> None:
    """The area, the finding, and every piece that was cut along its box are at fault."""
    record = window_wall()
    put(("job", "walls", 0, "openings", 0, "shape"), "round")(record)
    faults = recount(record)
    assert "wall A, opening area: found 3.0556 sq ft, wanted 2.3998 sq ft" in faults
    told = "opening W1 of wall A: found no finding, wanted one that its curve is to be traced"
    assert told in faults
    assert any("the wall bare" in fault for fault in faults)
