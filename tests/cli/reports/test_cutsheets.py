"""The cut sheets are read back from the PDF and compared with the plan."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from pypdf import PdfReader

from lapwright.measure import Unit
from lapwright_cli.reports.cutsheets import cut_sheets_pdf, number_ranges
from lapwright_cli.reports.writing import on_tape
from tests.cli.reports.small_plan import LABELS, PLAN, renamed


def pages(content: bytes) -> list[str]:
    """Give the text of each page."""
    return [page.extract_text() for page in PdfReader(io.BytesIO(content)).pages]


@pytest.fixture(scope="module")
def small() -> list[str]:
    """Give the pages of the small plan."""
    return pages(cut_sheets_pdf(PLAN))


def test_every_label_is_on_the_sheets_once(small: list[str]) -> None:
    """No piece is forgotten and none is cut twice."""
    words = " ".join(small[1:]).split()
    counts = {label: words.count(label) for label in LABELS}
    assert counts == dict.fromkeys(counts, 1)


def test_every_tape_mark_is_on_the_sheets(small: list[str]) -> None:
    """Start, end and length of every cut, and every offcut, can be read."""
    words = set(" ".join(small[1:]).split())
    for material in PLAN.materials:
        for bar in material.bars:
            for cut in bar.cuts:
                for mark in (cut.start, cut.end, cut.end - cut.start):
                    assert on_tape(mark, PLAN.job.unit) in words
            assert not bar.offcut or on_tape(bar.offcut, PLAN.job.unit) in words


def test_the_cover_says_what_to_take(small: list[str]) -> None:
    """The cover counts stock lengths by material and warns."""
    words = " ".join(small[0].split())
    assert 'Siding: double 4 120" 3 4–6' in words
    assert 'Siding: double 4 150" 3 1–3' in words
    assert 'J-channel: J-channel 3/4 in 150" 3 7–8' in words
    assert "wall A course 4: the piece at the peak ends in two points" in words
    assert "Cold vinyl breaks." in words


def test_pages_and_totals_run_on(small: list[str]) -> None:
    """Each page knows its number, and the last sheet of a material its totals."""
    for number, text in enumerate(small, 1):
        assert f"page {number} of {len(small)}" in text
    text = " ".join(" ".join(small).split())
    assert "so far 6 of 6 stock lengths, 7 of 7 pieces" in text
    assert "so far 3 of 3 stock lengths, 6 of 6 pieces" in text


def test_alike_stock_lengths_are_cut_together(small: list[str]) -> None:
    """Bars 7 and 8 are one sheet, to be cut twice."""
    text = " ".join(" ".join(small).split())
    assert 'Cut 2 of these: 150" bars 7–8' in text


def test_the_same_plan_gives_the_same_bytes() -> None:
    """Neither the clock nor the machine's fonts get into the file."""
    assert cut_sheets_pdf(PLAN) == cut_sheets_pdf(PLAN)


@pytest.mark.parametrize(("unit", "size"), [(Unit.FOOT, (612, 792)), (Unit.METRE, (595, 842))])
def test_the_paper_goes_with_the_unit(unit: Unit, size: tuple[int, int]) -> None:
    """US letter for feet and inches, A4 for metric jobs."""
    content = cut_sheets_pdf(replace(PLAN, job=replace(PLAN.job, unit=unit)))
    box = PdfReader(io.BytesIO(content)).pages[0].mediabox
    assert (round(box.width), round(box.height)) == size


@pytest.mark.parametrize(
    "name",
    [
        "#text(red)[x] $x$ *b* _i_ `c` @ref <label> // \\ ",
        '<b>"quoted"</b> \' \\u{41}',
        "Sauna – Süd, стена, τοίχος",
    ],
)
def test_names_are_set_as_they_are(name: str) -> None:
    """Nothing in a name is read as markup."""
    text = "".join("".join(pages(cut_sheets_pdf(renamed(PLAN, name)))).split())
    # Six materials' and sheets' headings and more; the zero-width breaks are no letters.
    assert text.replace("\u200b", "").count("".join(name.split())) > 12


@pytest.mark.parametrize("name", ["W" * 80, "wall " * 16, "日本🧱" * 20])
def test_long_names_stay_on_the_page(name: str) -> None:
    """A name of eighty letters takes some lines more, and no line is as long as it."""
    texts = pages(cut_sheets_pdf(renamed(PLAN, name)))
    assert len(texts) < 20
    assert max(line.count("W") for text in texts for line in text.splitlines()) < 60


def test_letters_beyond_the_fonts_are_owned_up_to() -> None:
    """Where a name will show boxes, the cover says so; else it does not."""
    note = "An empty box in a name"
    assert note in pages(cut_sheets_pdf(renamed(PLAN, "日本")))[0]
    assert note not in pages(cut_sheets_pdf(PLAN))[0]


def test_numbers_are_written_as_ranges() -> None:
    """Neighbours are drawn together."""
    assert number_ranges([5, 3, 4, 9, 11, 12]) == "3–5, 9, 11–12"
