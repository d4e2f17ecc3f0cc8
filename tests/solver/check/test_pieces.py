"""Pieces of siding against their wall: each fault is named with its piece."""

from __future__ import annotations

from copy import deepcopy
from typing import TYPE_CHECKING

import pytest

from lapwright.check import recount
from tests.solver.check.changes import Case, put
from tests.solver.check.handmade import (
    end,
    gable_wall,
    window_wall,
)
from tests.solver.check.handmade import inches as i

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.solver.check.changes import Change
    from tests.solver.check.handmade import Record


def extra_notch(record: Record) -> None:
    """Copy a notch to a piece that has none."""
    record["pieces"][0]["notches"] = deepcopy(record["pieces"][2]["notches"])


def double_notch(record: Record) -> None:
    """List a notch twice."""
    record["pieces"][2]["notches"] *= 2


CASES: list[Case] = [
    (
        "label dup",
        gable_wall,
        put(("trim", 0, "label"), "A1"),
        (
            "label 'A1': found it 2 times, wanted a label once in the plan",
            "piece A1 (j_channel): found it cut nowhere, wanted it cut once",
            "bar 4, piece A-J1: found it cut, wanted a piece of this material",
        ),
    ),
    (
        "length text",
        gable_wall,
        put(("pieces", 0, "length_text"), '99-1/4"'),
        ('piece A1, length_text: found 99-1/4", wanted 99-1/2"',),
    ),
    (
        "unknown wall",
        gable_wall,
        put(("pieces", 0, "wall"), "Z"),
        (
            ('wall A, course 1, run 1: found no piece, wanted siding from 1/4" to 99-3/4"'),
            "piece A1: found wall Z, wanted a wall of the job",
        ),
    ),
    (
        "unknown run",
        gable_wall,
        put(("pieces", 0, "run"), 2),
        (
            ('wall A, course 1, run 1: found no piece, wanted siding from 1/4" to 99-3/4"'),
            "piece A1: found wall A, course 1, run 2, wanted a run that there is",
        ),
    ),
    (
        "x",
        gable_wall,
        put(("pieces", 0, "x"), 0),
        (
            'piece A1 (wall A, course 1, run 1), left end: found 0", wanted 1/4"',
            ('piece A1 (wall A, course 1, run 1), right end: found 99-1/2", wanted 99-3/4"'),
        ),
    ),
    (
        "y",
        gable_wall,
        put(("pieces", 1, "y"), i(9)),
        ('piece A2 (wall A, course 2), butt edge: found 9", wanted 10"',),
    ),
    (
        "height",
        window_wall,
        put(("pieces", 5, "height"), i(9.9375)),
        ('piece A3.2 (wall A, course 3), height: found 9-15/16", wanted 9-7/8"',),
    ),
    (
        "ripped",
        window_wall,
        put(("pieces", 5, "ripped"), False),
        ("piece A3.2 (wall A, course 3): found not ripped, wanted ripped",),
    ),
    (
        "notch gone",
        window_wall,
        put(("pieces", 2, "notches"), []),
        (
            (
                "piece A2.1 (wall A, course 2), notch: found none, wanted sill of "
                'opening W1 from 79-1/2" to 120" at 3-7/8"'
            ),
        ),
    ),
    (
        "notch height",
        window_wall,
        put(("pieces", 2, "notches", 0, "cut_left"), i(4)),
        (
            (
                "piece A2.1 (wall A, course 2), notch: found sill of opening W1 from "
                '79-1/2" to 120" at 4" left and 3-7/8" right, wanted sill of opening '
                'W1 from 79-1/2" to 120" at 3-7/8"'
            ),
        ),
    ),
    (
        "notch start",
        window_wall,
        put(("pieces", 2, "notches", 0, "start"), i(79.75)),
        (
            (
                "piece A2.1 (wall A, course 2), notch: found sill of opening W1 from "
                '79-3/4" to 120" at 3-7/8", wanted sill of opening W1 from 79-1/2" '
                'to 120" at 3-7/8"'
            ),
        ),
    ),
    (
        "notch edge",
        window_wall,
        put(("pieces", 2, "notches", 0, "edge"), "hole"),
        (
            (
                "piece A2.1 (wall A, course 2), notch: found hole of opening W1 from "
                '79-1/2" to 120" at 3-7/8" up to 0", wanted sill of opening W1 from '
                '79-1/2" to 120" at 3-7/8"'
            ),
        ),
    ),
    (
        "notch extra",
        window_wall,
        extra_notch,
        (
            (
                "piece A1.1 (wall A, course 1), notch: found sill of opening W1 from "
                '79-1/2" to 120" at 3-7/8", wanted no notch there'
            ),
        ),
    ),
    (
        "notch twice",
        window_wall,
        double_notch,
        (
            (
                "piece A2.1 (wall A, course 2), notch: found sill of opening W1 from "
                '79-1/2" to 120" at 3-7/8" twice, wanted it once'
            ),
        ),
    ),
    (
        "profile",
        gable_wall,
        put(("pieces", 1, "right", "profile"), [[0, 0], [i(10), i(24.9375)]]),
        (
            (
                'piece A2 (wall A, course 2), right end, profile: found (0", 0") '
                '(10", 24-15/16"), wanted (0", 0") (10", 25")'
            ),
        ),
    ),
    (
        "square rake",
        gable_wall,
        put(("pieces", 1, "left"), end("square", "rake")),
        (
            "piece A2 (wall A, course 2), left end, cut: found square, wanted raked",
            (
                "piece A2 (wall A, course 2), left end, profile: found none, wanted "
                '(0", 0") (10", 25")'
            ),
        ),
    ),
    (
        "meets",
        window_wall,
        put(("pieces", 0, "left", "meets"), "inside corner"),
        (
            (
                "piece A1.1 (wall A, course 1), left end, meets: found inside "
                "corner, wanted outside corner"
            ),
        ),
    ),
    (
        "cut seam",
        window_wall,
        put(("pieces", 0, "right", "cut"), "square"),
        (
            ("piece A1.1 (wall A, course 1), right end, cut: found square, wanted factory"),
            'bar 1, piece A1.1: found it at 44", wanted it at 0"',
        ),
    ),
    (
        "factory at stop",
        window_wall,
        put(("pieces", 1, "right", "cut"), "factory"),
        (
            ("piece A1.2 (wall A, course 1), right end, cut: found factory, wanted square"),
            (
                'bar 2, piece A1.2: found it ending at 100-1/2", wanted it at the '
                "right end, for it keeps the right factory end"
            ),
        ),
    ),
    (
        "order of pieces",
        gable_wall,
        lambda record: record["pieces"].reverse(),
        (
            (
                "piece A2: found it after piece A3, wanted the order of wall, course "
                "and place from the left"
            ),
            (
                "piece A1: found it after piece A2, wanted the order of wall, course "
                "and place from the left"
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
