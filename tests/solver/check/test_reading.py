"""Records that cannot be read: each fault is named with its place, never a traceback."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from lapwright.check import recount
from tests.solver.check.changes import Case, drop, put
from tests.solver.check.handmade import (
    gable_wall,
    window_wall,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.solver.check.changes import Change
    from tests.solver.check.handmade import Record


CASES: list[Case] = [
    ("format", window_wall, put(("format",), 2), ("format: found 2, wanted 1",)),
    (
        "ticks",
        window_wall,
        put(("ticks_per_inch",), 8000),
        ("ticks_per_inch: found 8000, wanted 8128",),
    ),
    (
        "missing pieces",
        window_wall,
        drop(("pieces",)),
        ("pieces: found nothing, wanted a list",),
    ),
    (
        "missing key",
        window_wall,
        drop(("pieces", 1, "left")),
        ("pieces 2, left: found nothing, wanted a group of keys",),
    ),
    (
        "text len",
        window_wall,
        put(("pieces", 0, "length"), "100 in"),
        ("pieces 1, length: found '100 in', wanted a whole number",),
    ),
    (
        "bool",
        window_wall,
        put(("pieces", 0, "ripped"), 0),
        ("pieces 1, ripped: found 0, wanted true or false",),
    ),
    (
        "cut enum",
        window_wall,
        put(("pieces", 0, "left", "cut"), "torn"),
        ("pieces 1, left, cut: found 'torn', wanted one of factory, square, raked",),
    ),
    (
        "profile form",
        gable_wall,
        put(("pieces", 1, "left", "profile"), [[0]]),
        ("pieces 2, left, profile 1: found a list, wanted a height and an inset",),
    ),
    (
        "job bad",
        window_wall,
        put(("job", "unit"), "inn"),
        ("job, unit: found 'inn', wanted 'in', 'ft', 'mm', 'cm' or 'm'",),
    ),
    (
        "status",
        window_wall,
        put(("materials", 0, "status"), "optimal"),
        (
            (
                "materials 1, status: found 'optimal', wanted one of proven, time "
                "limit, work limit, interrupted"
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
