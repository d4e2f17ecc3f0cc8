"""The cut sheets are read back from the PDF and compared with the plan."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from pypdf import PdfReader

from lapwright.measure import Unit
from lapwright_cli.paper import Paper
from lapwright_cli.reports.cutsheets import cut_sheets_pdf, number_ranges, sheet_data
from lapwright_cli.reports.sheets import cut_sheets, straight_to_the_wall
from lapwright_cli.reports.writing import on_tape
from tests.cli.reports.reading_back import NAMES, pages, size, words
from tests.cli.reports.small_plan import LABELS, PLAN, bar, renamed


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
    words = {word.rstrip(":;.,") for word in " ".join(small[1:]).split()}
    for material in PLAN.materials:
        for own in material.bars:
            for cut in own.cuts:
                for mark in (cut.start, cut.end, cut.end - cut.start):
                    assert on_tape(mark, PLAN.job.unit) in words
            assert not own.offcut or on_tape(own.offcut, PLAN.job.unit) in words


def test_the_cover_says_what_to_take(small: list[str]) -> None:
    """The cover counts stock lengths by material and warns."""
    words = " ".join(small[0].split())
    assert 'Siding: double 4 10\' 0" (120") 3 6–8' in words
    assert 'Siding: double 4 12\' 6" (150") 3 3–5' in words
    assert 'J-channel: J-channel 3/4 in 12\' 6" (150") 3 1–2' in words
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
    """Bars 7 and 8 are one sheet, and nobody reads two pieces of 150 in."""
    text = " ".join(" ".join(small).split())
    assert 'Take 2 stock lengths of 12\' 6" (150"), cut each alike bars 7–8' in text
    assert 'Take 1 stock length of 12\' 6" (150"), no crosscut bar 1' in text
    assert "of these" not in text


def test_a_sheet_says_all_of_its_work() -> None:
    """One full expected sheet: two cuts with scrap between, FACTORY ends, an offcut."""
    sheet = sheet_data(PLAN)["parts"][1]["sheets"][1]
    drawing = sheet.pop("drawing")
    assert drawing["width"] == 540
    assert sheet == {
        "number": "4",
        "call": "Take 1 stock length of",
        "stock": '12\' 6" (150")',
        "way": "",
        "bars": "bar 2",
        "all_bars": "",
        "is_uncut": False,
        "cuts": 'Crosscut square, marks from the stock\'s left end: 50-1/2" and 70", blade left'
        ' of the mark (two cuts, scrap 19-1/4" between). Kerf 1/8".',
        "rows": [
            {
                "place": "1",
                "start": '0"',
                "end": '50-1/2"',
                "length": '50-1/2"',
                "ends": "left FACTORY, right square",
                "labels": ["A-2-2"],
                # A-1-1 and A-1-2 hang before it, and one of them is not cut yet.
                "straight": [False],
            },
            {
                "place": "2",
                "start": '70"',
                "end": '150"',
                "length": '80"',
                "ends": "left square, right FACTORY",
                "labels": ["A-1-1"],
                "straight": [True],
            },
        ],
        "columns": ["bar 2"],
        "inline": True,
        "beside": 3,
        "across": 6,
        "offcut": 'Offcut 19-1/4": scrap',
        "so_far": "so far 2 of 6 stock lengths, 3 of 7 pieces",
        "sketch_title": "",
        "sketch": None,
        "works": [],
    }


def test_what_hangs_next_is_marked_for_the_wall() -> None:
    """By hand: the course above waits; all that hangs in the order of cutting does not."""
    found = straight_to_the_wall(PLAN, cut_sheets(PLAN))
    assert found == {"A-1-1", "A-1-2", "A-3-1", "A-3-2", "A-4-1"}
    told = words(cut_sheets_pdf(PLAN))
    # Once on the cover, which explains it, and once at the foot of each page.
    assert told.count("→") == len(found) + 1 + len(pages(cut_sheets_pdf(PLAN)))
    assert "A-1-2 →" in told
    assert "A-2-1 →" not in told


def test_an_end_that_is_not_cut_is_called_so() -> None:
    """At 0 and at the stock length's end there is no square cut but the end as it comes."""
    trim, siding = (part["sheets"] for part in sheet_data(PLAN)["parts"])
    assert siding[0]["rows"][0]["ends"] == "left as it comes, right FACTORY"
    assert [row["ends"] for row in trim[0]["rows"]] == [
        "left as it comes, right square",
        "both square",
    ]
    whole = replace(PLAN.materials[1], bars=(bar(1, 150, 0, ("A-J1", 0, 150)),))
    (sheet,) = sheet_data(replace(PLAN, materials=(whole,)))["parts"][0]["sheets"]
    assert sheet["rows"][0]["ends"] == "both as it comes"
    assert sheet["way"] == "whole, no cut"
    assert sheet["drawing"] is None


def test_slopes_are_cut_after_the_crosscuts(small: list[str]) -> None:
    """A rake is no crosscut: the sheet says what comes first and names no edge below 0."""
    sheet = sheet_data(PLAN)["parts"][1]["sheets"][5]
    assert sheet["cuts"] == (
        "Crosscut square first, one cut, marks from the stock's left end: 99-1/2\"; then cut"
        ' the slopes of the piece. Kerf 1/8".'
    )
    assert sheet["sketch_title"].startswith(
        "Marks below: from the left end of the piece, butt edge down"
    )
    assert '-1/16"' not in " ".join(" ".join(small).split()).split()


def test_long_offcuts_are_kept_and_marked() -> None:
    """From 24 in on an offcut is worth its mark; below it is scrap."""
    words = [s["offcut"] for part in sheet_data(PLAN)["parts"] for s in part["sheets"]]
    assert 'Offcut 29-3/8": keep, mark it “offcut 29-3/8"”' in words
    assert 'Offcut 9-7/8": scrap' in words
    assert "No offcut" in words


def test_only_the_pieces_that_slope_are_told_to_be_cut_so() -> None:
    """Of three pieces the second has a rake, or the second and the third."""

    def told(*labels: str) -> str:
        """Give the cuts of a stock length of three pieces, of which these slope."""
        raked = [p for p in PLAN.siding if p.label == "A-4-1"]
        own = tuple(replace(raked[0], label=label) for label in labels)
        plain = tuple(
            replace(PLAN.siding[0], label=label, notches=())
            for label in {"P", "Q", "R"} - {*labels}
        )
        cuts = ("P", 0, 10), ("Q", 10.125, 20), ("R", 20.125, 30)
        one = replace(PLAN.materials[0], bars=(bar(1, 150, 0, *cuts),))
        plan = replace(PLAN, siding=(*own, *plain), materials=(one,))
        (sheet,) = sheet_data(plan)["parts"][0]["sheets"]
        return str(sheet["cuts"]).replace("\u00a0", " ")

    assert "then cut the slopes of piece 2." in told("Q")
    assert "then cut the slopes of pieces 2 and 3." in told("Q", "R")
    assert "then cut the slopes of each piece." in told("P", "Q", "R")
    assert "slopes" not in told()


def test_a_last_cut_by_a_hair_is_owned_up_to() -> None:
    """By hand: 149-31/32 of 150 in leaves less than a mark; nobody is to keep or doubt it."""
    hair = bar(1, 150, 0, ("A-J1", 0, 149.96875))
    plan = replace(PLAN, materials=(replace(PLAN.materials[1], bars=(hair,)),))
    (sheet,) = sheet_data(plan)["parts"][0]["sheets"]
    assert sheet["cuts"].endswith(
        'No kerf. The last cut is meant: it takes only 1/32" off the end.'
    )
    assert sheet["offcut"] == "No offcut"
    siding = bar(1, 150, 0, ("A-1-1", 0, 149.75))
    plan = replace(PLAN, materials=(replace(PLAN.materials[0], bars=(siding,)),))
    (sheet,) = sheet_data(plan)["parts"][0]["sheets"]
    # 1/4 in less the blade of 1/8 in is no more than another blade takes; a mark more is.
    assert "meant" not in sheet["cuts"]
    assert sheet["offcut"] == "No offcut"
    siding = bar(1, 150, 0, ("A-1-1", 0, 149.6875))
    plan = replace(PLAN, materials=(replace(PLAN.materials[0], bars=(siding,)),))
    (sheet,) = sheet_data(plan)["parts"][0]["sheets"]
    assert sheet["offcut"] == 'Offcut 3/16": scrap'


def test_boxes_stand_in_a_column_for_each_stock_length(small: list[str]) -> None:
    """Of two bars with two pieces each, every label stands under its own bar."""
    text = " ".join(" ".join(small).split())
    assert (
        'ends bar 7 bar 8 1 0" 101-1/4" 101-1/4" left as it comes, right square A-J5 A-J6'
        ' 2 101-1/4" 138-3/4" 37-1/2" both square A-J1 A-J2'
    ) in text


def test_boxes_of_many_stock_lengths_have_a_table_of_their_own() -> None:
    """Seven bars with two pieces each: six columns, and then the seventh."""
    bars = tuple(bar(n, 150, 90, (f"P{n}", 0, 30), (f"Q{n}", 30, 60)) for n in range(1, 8))
    plan = replace(PLAN, materials=(replace(PLAN.materials[1], bars=bars),))
    text = " ".join(" ".join(pages(cut_sheets_pdf(plan))).split())
    assert "tick bar 1 bar 2 bar 3 bar 4 bar 5 bar 6 1 P1 P2 P3 P4 P5 P6 2 Q1 Q2" in text
    assert "tick bar 7 1 P7 2 Q7" in text


@pytest.mark.parametrize("many", [1, 2, 3, 45])
@pytest.mark.parametrize("mark", ["A", "BB", "Annex"])
def test_no_arrow_stands_on_a_line_of_its_own(mark: str, many: int) -> None:
    """Each box with its label and its arrow stays in one line, wherever the boxes stand."""
    labels = [f"{mark}{n + 10}.1" for n in range(many)]
    own = replace(PLAN.siding[0], notches=())
    siding = tuple(replace(own, label=label) for label in labels)
    for end in (150, 80.9375):
        bars = tuple(
            bar(n, 150, 150 - end, (label, 0, end)) for n, label in enumerate(labels, 1)
        )
        material = replace(PLAN.materials[0], bars=bars)
        plan = replace(PLAN, siding=siding, materials=(material,))
        lines = " ".join(pages(cut_sheets_pdf(plan))[1:]).replace("\u2060", "").splitlines()
        told = [line.replace("\u00a0", " ") for line in lines]
        assert sum(f"{label} →" in line for line in told for label in labels) == many
        assert not any(line.strip() == "→" for line in told)


def test_a_long_list_of_bars_stands_below_the_heading() -> None:
    """Of 60 bars in a row the heading says 12–71; of every other one it says how many."""
    material = PLAN.materials[1]

    def headings(step: int) -> tuple[str, str]:
        """Give the heading's bars and the line below it for 60 alike bars."""
        bars = tuple(bar(12 + n * step, 150, 90, (f"P{n}", 0, 60)) for n in range(60))
        plan = replace(PLAN, materials=(replace(material, bars=bars),))
        (sheet,) = sheet_data(plan)["parts"][0]["sheets"]
        # A line of 60 numbers goes on over several lines and pushes down what follows.
        assert len(pages(cut_sheets_pdf(plan))) < 5
        return sheet["bars"], sheet["all_bars"]

    assert headings(1) == ("bars 12–71", "")
    short, full = headings(2)
    assert short == "60 bars"
    assert full == f"Bars {', '.join(str(12 + 2 * n) for n in range(60))}."


@pytest.mark.parametrize("paper", list(Paper))
def test_the_paper_that_is_asked_for_goes_before_the_unit(paper: Paper) -> None:
    """Feet on A4 and metres on letter, drawings as wide as the paper lets them be."""
    for unit in (Unit.FOOT, Unit.METRE):
        plan = replace(PLAN, job=replace(PLAN.job, unit=unit))
        wanted = (612, 792) if paper is Paper.LETTER else (595, 842)
        assert size(cut_sheets_pdf(plan, paper)) == wanted
        drawing = sheet_data(plan, paper)["parts"][1]["sheets"][1]["drawing"]
        assert round(drawing["width"]) == wanted[0] - 72


def test_a_use_that_is_the_name_is_told_once() -> None:
    """No sheet says starter strip: starter strip."""
    trim = replace(PLAN.materials[1], name="j-channel")
    parts = sheet_data(replace(PLAN, materials=(PLAN.materials[0], trim)))["parts"]
    assert [part["title"] for part in parts] == ["J-channel", "Siding: double 4"]


def test_the_cover_tells_what_the_words_mean(small: list[str]) -> None:
    """Bar, labels, crimp, rake, the two left ends, and a saw where no kerf is reckoned."""
    words = " ".join(" ".join(small).split())
    for part in (
        "measure a few stock lengths",
        "A bar is one stock length",
        "Cut the sheets in their order: trim first",
        "Trim of a wall goes there first",
        'Offcuts of 24" and longer are kept',
        "snap-lock punch",
        "Raked is cut along the slope",
        "left end of the STOCK LENGTH",
        "left end of the PIECE",
        "Trim: the marks leave nothing for a blade",
        "set trim_kerf in the job",
        "A-1-1 is wall A, course 1",
        "Trim: wall, then J",
    ):
        assert part in words


def test_the_same_plan_gives_the_same_bytes() -> None:
    """Neither the clock nor the machine's fonts get into the file."""
    assert cut_sheets_pdf(PLAN) == cut_sheets_pdf(PLAN)


@pytest.mark.parametrize(("unit", "size"), [(Unit.FOOT, (612, 792)), (Unit.METRE, (595, 842))])
def test_the_paper_goes_with_the_unit(unit: Unit, size: tuple[int, int]) -> None:
    """US letter for feet and inches, A4 for metric jobs."""
    content = cut_sheets_pdf(replace(PLAN, job=replace(PLAN.job, unit=unit)))
    box = PdfReader(io.BytesIO(content)).pages[0].mediabox
    assert (round(box.width), round(box.height)) == size


@pytest.mark.parametrize("name", [n for n in NAMES if max(n) < "\u0590"])
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
