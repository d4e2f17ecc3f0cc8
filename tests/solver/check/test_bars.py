"""Bars, order, cost and proof: each fault is named with its bar or material."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from lapwright.check import recount
from tests.solver.check.changes import Case, both, drop, put
from tests.solver.check.handmade import (
    gable_wall,
    window_wall,
)
from tests.solver.check.handmade import inches as i

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.solver.check.changes import Change
    from tests.solver.check.handmade import Record


def unkerfed(record: Record) -> None:
    """Cut two pieces of trim without a kerf between."""
    cut = record["materials"][1]["bars"][0]["cuts"][1]
    cut.update(start=i(53.875), end=i(107.75))


def double_material(record: Record) -> None:
    """List a material twice."""
    record["materials"].append(record["materials"][1])


CASES: list[Case] = [
    (
        "bar missing piece",
        window_wall,
        put(("materials", 0, "bars", 0, "cuts", 0, "label"), "A9"),
        (
            "piece A1.1 (siding): found it cut nowhere, wanted it cut once",
            "bar 1, piece A9: found it cut, wanted a piece of this material",
            'bar 1, piece A9: found it at 44", wanted it at 0"',
        ),
    ),
    (
        "bar twice",
        window_wall,
        put(("materials", 0, "bars", 0, "cuts", 0, "label"), "A2.1"),
        (
            "piece A1.1 (siding): found it cut nowhere, wanted it cut once",
            "piece A2.1 (siding): found it cut 2 times, wanted it cut once",
            'bar 1, piece A2.1, length: found 100", wanted 140"',
        ),
    ),
    (
        "bar length",
        gable_wall,
        put(("materials", 0, "bars", 0, "cuts", 0, "end"), i(99)),
        (
            'bar 1, piece A1, length: found 99", wanted 99-1/2"',
            'bar 1, offcut: found 44-3/8", wanted 44-7/8"',
        ),
    ),
    (
        "kerf",
        gable_wall,
        unkerfed,
        ('bar 4, piece A-J2: found it at 53-7/8", wanted it at 54"',),
    ),
    (
        "left factory",
        window_wall,
        put(
            ("materials", 0, "bars", 1, "cuts", 0),
            {"label": "A1.2", "start": i(43.5), "end": i(144)},
        ),
        (
            (
                'bar 2, piece A1.2: found it at 43-1/2", wanted it at the left end, '
                "for it keeps the left factory end"
            ),
        ),
    ),
    (
        "right factory",
        window_wall,
        put(
            ("materials", 0, "bars", 0, "cuts", 0), {"label": "A1.1", "start": 0, "end": i(100)}
        ),
        (
            (
                'bar 1, piece A1.1: found it ending at 100", wanted it at the right '
                "end, for it keeps the right factory end"
            ),
        ),
    ),
    (
        "overlap right",
        window_wall,
        put(
            ("materials", 0, "bars", 3, "cuts", 1),
            {"label": "A3.1", "start": i(60), "end": i(120)},
        ),
        (
            (
                'bar 4, piece A3.1: found it ending at 120", wanted it at the right '
                "end, for it keeps the right factory end"
            ),
            'bar 4, piece A3.1: found it at 60", wanted it at 60-5/8" or after',
        ),
    ),
    (
        "offcut",
        window_wall,
        put(("materials", 0, "bars", 3, "offcut"), i(23.5)),
        ('bar 4, offcut: found 23-1/2", wanted 23-1/4"',),
    ),
    (
        "bar number",
        window_wall,
        put(("materials", 1, "bars", 0, "number"), 5),
        ("bar 5 (starter): found this number, wanted 6",),
    ),
    (
        "stock",
        gable_wall,
        put(("materials", 0, "bars", 0, "stock"), i(150)),
        (
            'bar 1, stock length: found 150", wanted 144"',
            'bar 1, stock_text: found 144", wanted 150"',
            'bar 1, offcut: found 44-3/8", wanted 50-3/8"',
            'material siding, order: found no line, wanted 1 of 150"',
            'material siding, order of 144", count: found 3, wanted 2, as the bars',
            "material siding, cost: found 3511296, wanted 3560064",
        ),
    ),
    (
        "count",
        window_wall,
        put(("materials", 0, "order", 0, "count"), 4),
        ('material siding, order of 144", count: found 4, wanted 5, as the bars',),
    ),
    (
        "spare",
        window_wall,
        put(("materials", 0, "order", 0, "spare"), 0),
        ('material siding, order of 144", spare: found 0, wanted 1',),
    ),
    (
        "carton",
        window_wall,
        put(("materials", 0, "order", 0, "carton"), 24),
        ('material siding, order of 144", carton: found 24, wanted 20',),
    ),
    (
        "price",
        window_wall,
        put(("materials", 0, "order", 0, "price"), 1),
        ('material siding, order of 144", price: found 1, wanted 100000',),
    ),
    (
        "supply",
        window_wall,
        put(("job", "siding", "stock", 0, "supply"), 4),
        (('material siding, order of 144", count: found 5, wanted at most the supply of 4'),),
    ),
    (
        "cost",
        window_wall,
        put(("materials", 0, "cost"), 500001),
        (
            "material siding, cost: found 500001, wanted 500000",
            (
                "material siding, status: found proven with bound 500000 and cost "
                "500001, wanted the bound equal to the cost"
            ),
        ),
    ),
    (
        "bound",
        window_wall,
        put(("materials", 0, "bound"), 500001),
        (
            "material siding, bound: found 500001, wanted at most the cost of 500000",
            (
                "material siding, status: found proven with bound 500001 and cost "
                "500000, wanted the bound equal to the cost"
            ),
        ),
    ),
    (
        "least seams",
        window_wall,
        both(
            put(("materials", 0, "seams_too"), True),
            put(("materials", 0, "least_seams"), 4),
        ),
        ("material siding, least_seams: found 4, wanted at most its 3 seams",),
    ),
    (
        "least seams alone",
        window_wall,
        put(("materials", 0, "least_seams"), 1),
        (
            (
                "material siding, least_seams: found 1, wanted null, for bound and status"
                " speak of these pieces alone"
            ),
        ),
    ),
    (
        "seams of trim",
        window_wall,
        put(("materials", 1, "seams_too"), True),
        ("material starter, seams_too: found yes, wanted no, for trim has no seams to decide",),
    ),
    (
        "proven",
        window_wall,
        put(("materials", 0, "bound"), 400000),
        (
            (
                "material siding, status: found proven with bound 400000 and cost "
                "500000, wanted the bound equal to the cost"
            ),
        ),
    ),
    (
        "priced",
        window_wall,
        put(("materials", 0, "priced"), False),
        ("material siding: found no prices, wanted prices",),
    ),
    (
        "name",
        window_wall,
        put(("materials", 0, "name"), "plank"),
        ("material siding, name: found plank, wanted panel",),
    ),
    (
        "material gone",
        gable_wall,
        drop(("materials", 1)),
        ("material j_channel: found nothing, wanted bars for its 2 pieces",),
    ),
    (
        "material twice",
        gable_wall,
        double_material,
        (
            "material j_channel: found it 2 times, wanted it once",
            "bar 4 (j_channel): found this number, wanted 5",
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
