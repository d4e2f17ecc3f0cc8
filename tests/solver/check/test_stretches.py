"""Trim: the stretches that want it and the pieces that cover them."""

from __future__ import annotations

import json
from copy import deepcopy
from typing import TYPE_CHECKING

import pytest

from lapwright.check import recount
from lapwright.check.stretches import _stretches, pieces_of
from lapwright.job.material import StockLength, Trim, TrimRole
from lapwright.job.reading import parse_job
from lapwright.measure import Ticks, Unit
from tests.solver.check.changes import Case, drop, put, relength
from tests.solver.check.handmade import (
    gable_wall,
    window_wall,
)
from tests.solver.check.handmade import inches as i

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.solver.check.changes import Change
    from tests.solver.check.handmade import Record


def short_rake(record: Record) -> None:
    """Take a mark of the tape off a J-channel, on its bar too."""
    relength(record["trim"][0], i(53.8125), Unit.INCH)
    first, second = record["materials"][1]["bars"][0]["cuts"]
    first["end"] = i(53.8125)
    second.update(start=i(53.9375), end=i(107.8125))
    record["materials"][1]["bars"][0]["offcut"] = i(42.0625)


CASES: list[Case] = [
    (
        "trim length",
        gable_wall,
        short_rake,
        (
            'trim j_channel of wall A: found 1 of 53-13/16" (A-J1), wanted 0',
            'trim j_channel of wall A: found 1 of 53-7/8" (A-J2), wanted 2',
        ),
    ),
    (
        "trim role",
        gable_wall,
        put(("trim", 0, "role"), "starter"),
        (
            'trim j_channel of wall A: found 1 of 53-7/8" (A-J2), wanted 2',
            'trim starter of wall A: found 1 of 53-7/8" (A-J1), wanted 0',
            "material starter: found nothing, wanted bars for its 1 pieces",
            "bar 4, piece A-J1: found it cut, wanted a piece of this material",
        ),
    ),
    (
        "sill channel gone",
        window_wall,
        drop(("trim", 8)),
        (
            'trim sill_channel of wall A: found 0 of 39-3/4", wanted 1',
            "bar 11, piece A-U1: found it cut, wanted a piece of this material",
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


def lengths(record: Record, role: TrimRole, *notched: str) -> list[tuple[str, int]]:
    """Give the stretches of a role: mark of the wall and length, sorted."""
    job = parse_job(json.dumps(record), "")
    return sorted(
        (mark, length)
        for found, mark, length in _stretches({"A": {name: [i(36)] for name in notched}}, job)
        if found is not None and found.role is role
    )


def test_posts_are_shared_within_a_part() -> None:
    """Two walls that meet share a post, walls of different parts do not."""
    record = window_wall()["job"]
    first = record["walls"][0]
    second = deepcopy(first) | {"name": "East", "mark": "B", "start": "4 in"}
    second["openings"] = []
    second["outline"] = [["0", "0"], ["50", "0"], ["50", "60"], ["0", "60"]]
    record["walls"].append(second)
    # 1/2 in more than the height over the start: A's left 30, the shared one from the
    # lower start 0 up to the taller wall's 60, B's right from 4 up to 60.
    shared = [("A", i(30.5)), ("A", i(60.5)), ("B", i(56.5))]
    assert lengths(record, TrimRole.OUTSIDE_CORNER) == shared
    first["part"], second["part"] = "house", "garage"
    apart = [("A", i(30.5)), ("A", i(30.5)), ("B", i(56.5)), ("B", i(56.5))]
    assert lengths(record, TrimRole.OUTSIDE_CORNER) == apart


def test_three_walls_go_round() -> None:
    """The last of three walls meets the first; of two it does not."""
    record = window_wall()["job"]
    for mark in "BC":
        record["walls"].append(deepcopy(record["walls"][0]) | {"name": mark, "mark": mark})
    assert lengths(record, TrimRole.OUTSIDE_CORNER) == [(m, i(30.5)) for m in "ABC"]
    del record["walls"][2]
    marks = [mark for mark, _ in lengths(record, TrimRole.OUTSIDE_CORNER)]
    assert marks == ["A", "A", "B"]


def test_a_door_parts_the_starter_and_has_no_sill() -> None:
    """A door of 36 by 20 at 50: starter on both sides, J-channel on three."""
    record = window_wall()["job"]
    record["walls"][0] |= {"left": "j-channel", "right": "trim board"}
    record["walls"][0]["openings"][0] |= {
        "kind": "door",
        "x": "50 in",
        "sill": "0 in",
        "width": "36 in",
        "height": "20 in",
    }
    # 50 and 200 - 86 = 114, each less 1/4 at both ends.
    assert lengths(record, TrimRole.STARTER) == [("A", i(49.5)), ("A", i(113.5))]
    # Head 36 and two faces, sides 20 and one face, and the left side of the wall.
    assert lengths(record, TrimRole.J_CHANNEL) == [
        ("A", i(20.75)),
        ("A", i(20.75)),
        ("A", i(30)),
        ("A", i(37.5)),
    ]
    # Under the eave only, 200 less 1/8 at both ends; under a notched sill too.
    assert lengths(record, TrimRole.SILL_CHANNEL) == [("A", i(199.75))]
    assert lengths(record, TrimRole.SILL_CHANNEL, "W1")[0] == ("A", i(35.75))


@pytest.mark.parametrize(
    ("length", "lap", "gap", "pieces"),
    [
        (120, 0, 0, [120]),
        # Two laps of 1 in: 120 + 120 + 62 less 2.
        (300, 1, 0, [120, 120, 62]),
        # Two gaps of 1 in: 120 + 120 + 58 and 2.
        (300, 0, 1, [120, 120, 58]),
        # 120 and 120 reach 238 before the last lap: a rest of 6 is made 12, the piece
        # before it gives 6.
        (244, 1, 0, [120, 114, 12]),
        # What a gap alone bridges needs no rest.
        (120.5, 0, 1, [120]),
        # 121-1/2 less 120 and a gap of 1: a rest of 1/2 is made 12.
        (121.5, 0, 1, [108.5, 12]),
    ],
)
def test_a_stretch_is_divided(length: float, lap: int, gap: int, pieces: list[float]) -> None:
    """Whole lengths and a rest, which is never shorter than a foot."""
    stock = (StockLength(Ticks(i(120))),)
    trim = Trim(TrimRole.J_CHANNEL, "J", stock, Ticks(0), Ticks(i(lap)), Ticks(i(gap)))
    assert pieces_of(i(length), trim) == [i(piece) for piece in pieces]
