"""Stock lengths that are cut alike stand on one sheet."""

from __future__ import annotations

from dataclasses import replace

from lapwright_cli.reports.sheets import (
    MOST_LABELS,
    Crosscut,
    crosscuts,
    cut_sheets,
    gaps,
    in_order_of_cutting,
    places_of_labels,
)
from tests.cli.reports.small_plan import LABELS, PLAN, bar, inches


def test_alike_stock_lengths_share_a_sheet() -> None:
    """Bars 7 and 8 differ only by their labels; all others stand alone."""
    numbers = [[bar.number for bar in sheet.bars] for sheet in cut_sheets(PLAN)]
    assert numbers == [[7, 8], [9], [1], [2], [3], [4], [5], [6]]


def test_a_sheet_counts_what_came_before_it() -> None:
    """The running totals start anew with each material."""
    sheets = cut_sheets(PLAN)
    assert [sheet.number for sheet in sheets] == list(range(1, 9))
    assert [sheet.bars_before for sheet in sheets] == [0, 2, 0, 1, 2, 3, 4, 5]
    assert [sheet.pieces_before for sheet in sheets] == [0, 4, 0, 1, 3, 4, 5, 6]


def test_another_notch_is_another_sheet() -> None:
    """Two pieces of one length stay apart if a notch differs by one mark."""
    siding = list(PLAN.siding)
    notched = siding[2]
    notch = replace(notched.notches[0], cut_right=inches(4))
    siding.append(replace(notched, label="A-9-1", notches=(notch,)))
    siding.append(replace(notched, label="A-9-2"))
    material = PLAN.materials[0]
    bars = (
        *material.bars,
        bar(20, 150, 0, ("A-9-1", 0, 150)),
        bar(21, 150, 0, ("A-9-2", 0, 150)),
    )
    plan = replace(
        PLAN, siding=tuple(siding), materials=(replace(material, bars=bars), PLAN.materials[1])
    )
    sheets = [[b.number for b in sheet.bars] for sheet in cut_sheets(plan)]
    assert sheets[2] == [1, 21]
    assert [20] in sheets


def test_a_sheet_never_holds_too_many_labels() -> None:
    """A hundred alike stock lengths of two pieces go on sheets of at most 60 labels."""
    bars = tuple(
        bar(number, 150, 50, (f"X{number}", 0, 50), (f"Y{number}", 50, 100))
        for number in range(1, 101)
    )
    material = replace(PLAN.materials[1], bars=bars)
    sheets = cut_sheets(replace(PLAN, materials=(material,)))
    assert sum(len(sheet.bars) for sheet in sheets) == 100
    assert max(len(sheet.bars) * 2 for sheet in sheets) == MOST_LABELS


def test_every_label_has_its_place() -> None:
    """Each piece of siding and trim is found on one sheet and one stock length."""
    places = places_of_labels(cut_sheets(PLAN))
    assert set(places) == set(LABELS)
    sheet, found = places["A-J2"]
    assert (sheet.number, found.number) == (1, 8)


def test_what_hangs_first_is_cut_first() -> None:
    """Trim that siding runs into comes before it; what only a soffit wants comes after."""
    siding, channel = PLAN.materials
    assert in_order_of_cutting(PLAN) == (channel, siding)
    eaves = replace(PLAN, trim=tuple(replace(piece, wall="S") for piece in PLAN.trim))
    assert in_order_of_cutting(eaves) == (siding, channel)


def test_a_piece_at_the_right_end_is_cut_at_its_start() -> None:
    """An offcut between two pieces has a mark at each side."""
    kerf = inches(0.125)
    between = PLAN.materials[0].bars[1]
    assert crosscuts(between, kerf) == (
        Crosscut(inches(50.5), keeps_left=True),
        Crosscut(inches(70), keeps_left=False),
    )
    assert gaps(between, kerf) == ((inches(50.625), inches(69.875)),)


def test_one_cut_parts_two_pieces_that_fill_the_stock_length() -> None:
    """Where only the blade lies between them, the second needs no mark of its own."""
    full = bar(1, 150, 0, ("P", 0, 50), ("Q", 50.125, 150))
    assert crosscuts(full, inches(0.125)) == (Crosscut(inches(50), keeps_left=True),)
    assert gaps(full, inches(0.125)) == ()


def test_what_falls_off_is_what_the_plan_calls_offcut() -> None:
    """The stretches that are left over come to the offcut of every bar."""
    for material, kerf in zip(PLAN.materials, (inches(0.125), 0), strict=True):
        for own in material.bars:
            assert sum(high - low for low, high in gaps(own, kerf)) == own.offcut


def test_stock_lengths_with_the_same_crosscuts_follow_each_other() -> None:
    """A notch makes another sheet, but not another setting of the stop at the saw."""
    material = PLAN.materials[0]
    siding = (
        *PLAN.siding,
        replace(PLAN.siding[0], label="X"),
        replace(PLAN.siding[0], label="Y"),
    )
    bars = (
        bar(1, 150, 0, ("A-2-1", 0, 150)),
        bar(2, 150, 70, ("X", 0, 80)),
        bar(3, 150, 0, ("Z", 0, 150)),
        bar(4, 150, 70, ("Y", 0, 80)),
    )
    siding = (*siding, replace(PLAN.siding[2], label="Z", notches=()))
    plan = replace(PLAN, siding=siding, materials=(replace(material, bars=bars),))
    assert [[b.number for b in sheet.bars] for sheet in cut_sheets(plan)] == [[1], [3], [2, 4]]
