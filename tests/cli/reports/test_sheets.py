"""Stock lengths that are cut alike stand on one sheet."""

from __future__ import annotations

from dataclasses import replace

from lapwright_cli.reports.sheets import MOST_LABELS, cut_sheets, places_of_labels
from tests.cli.reports.small_plan import LABELS, PLAN, bar, inches


def test_alike_stock_lengths_share_a_sheet() -> None:
    """Bars 7 and 8 differ only by their labels; all others stand alone."""
    numbers = [[bar.number for bar in sheet.bars] for sheet in cut_sheets(PLAN)]
    assert numbers == [[1], [2], [3], [4], [5], [6], [7, 8], [9]]


def test_a_sheet_counts_what_came_before_it() -> None:
    """The running totals start anew with each material."""
    sheets = cut_sheets(PLAN)
    assert [sheet.number for sheet in sheets] == list(range(1, 9))
    assert [sheet.bars_before for sheet in sheets] == [0, 1, 2, 3, 4, 5, 0, 2]
    assert [sheet.pieces_before for sheet in sheets] == [0, 1, 3, 4, 5, 6, 0, 4]


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
    assert sheets[0] == [1, 21]
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
    assert (sheet.number, found.number) == (7, 8)
