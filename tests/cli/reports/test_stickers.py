"""Stickers are read back from the PDF, and their codes lead to places in the elevations."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
import segno

from lapwright.job.catalogue import sticker_sheets
from lapwright_cli.reports.elevations import elevations_html
from lapwright_cli.reports.stickers import code_svg, sticker_data, stickers, stickers_pdf
from tests.cli.reports.reading_back import NAMES, pages, size, words
from tests.cli.reports.small_plan import LABELS, PLAN, renamed

if TYPE_CHECKING:
    from lapwright.job.stickers import StickerSheet

SHEETS = sticker_sheets()
SMALL = SHEETS["2-5/8 x 1 in, 30 a sheet"]


def test_every_piece_has_one_sticker_with_all_that_it_needs() -> None:
    """Label, length, sheet and bar, course or use, wall; one full sticker of each kind."""
    made = list(stickers(PLAN))
    assert sorted(sticker.label for sticker in made) == sorted(LABELS)
    told = {sticker.label: sticker for sticker in made}
    assert told["A-2-2"].lines == ('50-1/2"', "sheet 4, bar 2", "course 2, wall A South")
    assert told["A-J2"].lines == ('37-1/2"', "sheet 1, bar 8", "J-channel, wall A South")
    assert told["A-2-2"].link == "elevations.html#A-2-2"


def test_the_stickers_come_in_the_order_of_cutting() -> None:
    """Sheet by sheet, bar by bar, from the left: as the pieces come off the saw."""
    labels = [sticker.label for sticker in stickers(PLAN)]
    assert labels[:4] == ["A-J5", "A-J1", "A-J6", "A-J2"]
    assert labels[6:10] == ["A-2-1", "A-2-2", "A-1-1", "A-1-2"]


@pytest.mark.parametrize("name", ["A", *NAMES])
def test_every_link_has_its_place_in_the_elevations(name: str) -> None:
    """Each code's anchor is the id of one element of the page, whatever the labels hold."""
    plan = renamed(PLAN, name)
    page = elevations_html(plan)
    for sticker in stickers(plan, "https://site.example/e.html"):
        address, _, place = sticker.link.partition("#")
        assert address == "https://site.example/e.html"
        assert re.fullmatch(r"[A-Za-z0-9._-]+", place)
        assert page.count(f' id="{place}"') == 1


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS.keys())
def test_the_pdf_holds_every_sticker(sheet: StickerSheet) -> None:
    """Each label once, with its length, on the paper of the sheet."""
    content = stickers_pdf(PLAN, sheet)
    told = words(content).split()
    assert {label: told.count(label) for label in LABELS} == dict.fromkeys(LABELS, 1)
    assert '101-1/4"' in told
    assert size(content) == ((595, 842) if sheet.paper == "a4" else (612, 792))
    assert len(pages(content)) == -(-len(LABELS) // sheet.count)


def test_stickers_lie_where_the_sheet_has_them() -> None:
    """By hand, in points: the first at 13.5, 36; columns 198 apart, rows 72."""
    data = sticker_data(PLAN, SMALL)
    assert [data[key] for key in ("left", "top", "across", "down")] == [13.5, 36, 198, 72]
    assert (data["width"], data["height"]) == (189, 72)


@pytest.mark.parametrize("name", NAMES)
def test_names_are_set_as_they_are(name: str) -> None:
    """A long or odd name costs no sticker its place, and is no markup."""
    content = stickers_pdf(renamed(PLAN, name), SMALL)
    assert len(pages(content)) == 1
    if all(ord(sign) < 0x590 for sign in name):
        assert "".join(name.split()) in "".join(words(content).split())


def test_a_code_is_drawn_as_the_library_makes_it() -> None:
    """The drawing has the dark modules of the code, four white ones round it, and no more."""
    text = "elevations.html#piece-A1.1"
    svg = code_svg(text)
    matrix = segno.make_qr(text, error="m", boost_error=False, mask=2).matrix
    drawn = {
        (int(x) + step, int(y))
        for x, y, wide in re.findall(r"M(\d+) (\d+)h(\d+)v1", svg)
        for step in range(int(wide))
    }
    dark = {(x + 4, y + 4) for y, row in enumerate(matrix) for x, bit in enumerate(row) if bit}
    assert drawn == dark
    assert f'viewBox="0 0 {len(matrix) + 8} {len(matrix) + 8}"' in svg


def test_the_same_plan_gives_the_same_bytes() -> None:
    """Neither the clock nor the machine's fonts get into the file."""
    assert stickers_pdf(PLAN, SMALL) == stickers_pdf(PLAN, SMALL)
