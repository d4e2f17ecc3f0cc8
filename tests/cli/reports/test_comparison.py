"""Variants side by side: text, page, PDF and workbook of two plans and one without."""

from __future__ import annotations

import io
from dataclasses import replace
from fractions import Fraction
from html import unescape

import openpyxl
import pytest

from lapwright import __version__
from lapwright.front import Front, Point
from lapwright.job.estimating import Estimating
from lapwright.job.labour import Labour
from lapwright.job.material import StockLength
from lapwright.measure import FOOT
from lapwright.variant import Trial, Variant, length_variants
from lapwright_cli.paper import Paper
from lapwright_cli.reports.comparing import (
    comparison_files,
    comparison_html,
    comparison_pdf,
    comparison_xlsx,
)
from lapwright_cli.reports.comparison import Comparison, compare_trials, comparison_text
from tests.cli.reports.reading_back import NAMES, pages, size, words
from tests.cli.reports.small_plan import PLAN, inches
from tests.cli.reports.test_front import PRICED

# 0.5 min a cut, 3 a set-up, 4 a piece, at $60 an hour: a dollar a minute.
LABOUR = Labour(Fraction(1, 2), Fraction(3), Fraction(4), None, 600_000)
JOB = replace(
    PLAN.job, estimating=Estimating(Fraction(1, 5), Fraction(FOOT * FOOT)), labour=LABOUR
)
BOTH = replace(PLAN, job=JOB)
# Half of it: three bars of siding, and all of them proven.
PART = replace(
    BOTH,
    seams=PLAN.seams[:1],
    siding=PLAN.siding[:4],
    trim=(),
    materials=(
        replace(
            PLAN.materials[0],
            order=PLAN.materials[0].order[1:],
            bars=PLAN.materials[0].bars[:3],
        ),
    ),
)
TRIALS = (
    Trial(Variant("10' + 12' 6\"", JOB), BOTH),
    Trial(Variant("12' 6\"", JOB), PART),
    Trial(Variant("10'", JOB), None, ("piece A-2-1 is too long", "so is A-1-2")),
)
MADE = compare_trials(JOB, TRIALS, 5.0)

# By hand.  First: bars 2 to 6 and two ways of trim are set-ups, 7; crosscuts are 2 + 4 on
# siding and 2 + 2 + 2 on trim, slopes are 1 + 1 + 2, so 16 cuts; 16 × 0.5 + 7 × 3 + 13 × 4
# = 81 min.  Second: two set-ups, 3 crosscuts, 1.5 + 6 + 16 = 23.5 min; of 450 in 150 + 50.5
# + 80 + 120.5 = 401 in become pieces, so 49 in or 10.9 % do not.
EXPECTED = f"""\
Comparison for Small shed
1 wall; 3 variants, each planned and recounted like any plan, with 5 s to search.
33.3 sq ft in all, 31.3 sq ft without the openings.

  variant       panels  to buy   stock   siding    order  seams  offcut  set-ups  cuts   work   wages  order and wages  by area   bound                                 proof
  10' + 12' 6"       6      16  67' 6"  $172.80        -      3  13.5 %        7    16  1.4 h  $81.00                -   4 to 6  $61.20  at most 11.1 % to save for its seams
  12' 6"             3      12  37' 6"  $136.80  $136.80      1  10.9 %        2     3  0.4 h  $23.50          $160.30   4 to 6  $61.20                  proven for its seams

  least cost of the order, of those that have a price: 12' 6"
  least cost of the siding: 12' 6"
  least cost of order and wages, of those that have a price: 12' 6"
  least stock: 12' 6"
  fewest seams: 12' 6"
  fewest set-ups: 12' 6"

No plan
  10': piece A-2-1 is too long; so is A-1-2

Pieces that the estimating conventions would order
  convention                                      12' 6"
  all openings off                                     5
  half of the openings off                             5
  only large openings off                              5
  no opening off, instead of waste                     4
  all openings off, gables 1 ft higher                 6
  all openings off, gables and 20 %                    5
  all openings off, gables and one third               5
  all openings off, gables 3/4 of width x height       5
  all openings off, gables x 1.5                       5

  - panels: stock lengths of siding that are cut; to buy: with spare and whole cartons; stock: the length of the panels; order: siding and trim, all that is bought.
  - set-ups: ways in which siding and trim are crosscut; cuts: crosscuts, slopes and rips of siding and trim, without notches; offcut: share of the panels, kerf included.
  - bound: the siding comes to no less than this before spare and cartons, with these stock lengths and the rules for seams kept as well; proven: no material comes to less; cost proven: that, too, but whether fewer rules could be broken is not known. Both hold wherever the seams lie, but for where it says “for its seams”: there they are of the seams as they are.
  - by area: what the estimating conventions would order of the longest stock length in each variant, 20.0 % waste added; rules, not a plan.
  - work: 0.5 min a cut, 3 min a set-up, 4 min a piece hung, at $60.00 an hour, as the job says; nothing else is counted.
  - blade takes 1/8" from siding; spare 10.0 %; lapwright {__version__}.
"""  # noqa: E501 - lines as the terminal shows them


FRONTS = (
    PRICED,
    Front(
        "plank",
        priced=False,
        extra_seams=0,
        points=(Point(4, 0, 5, 60 * FOOT, 60 * FOOT, "proven"),),
    ),
)


def named(name: str) -> Comparison:
    """Give the comparison with a name in every place that a name can reach."""
    trials = [
        replace(trial, variant=Variant(name, JOB), reasons=(name,) if trial.reasons else ())
        for trial in TRIALS
    ]
    fronts = [replace(front, siding=name) for front in FRONTS]
    return compare_trials(replace(JOB, name=name), trials, 5.0, fronts)


def test_the_text_is_as_expected() -> None:
    """The whole text: table, least of each, no plan, conventions, what figures are."""
    assert comparison_text(MADE) == EXPECTED


def test_work_is_told_only_where_the_job_says_what_it_takes() -> None:
    """Without minutes there is no word of hours or wages, and nothing is assumed."""
    job = replace(JOB, labour=None)
    trials = [replace(t, plan=replace(t.plan, job=job)) for t in TRIALS if t.plan is not None]
    text = comparison_text(compare_trials(job, trials, 5.0))
    assert "wages" not in text
    assert " h " not in text
    assert "work" not in text


def test_the_page_and_the_pdf_hold_every_cell_of_the_table() -> None:
    """What the text says is on the page and in the PDF as well."""
    page = unescape(comparison_html(MADE, Paper.LETTER)).replace("\u00a0", " ")
    page = page.replace("\u2060", "")
    told = words(comparison_pdf(MADE, Paper.LETTER)).replace("\u00a0", " ")
    heading, *rows = MADE.rows
    assert " ".join(heading) in told
    for row in rows:
        assert "".join(f"<td>{cell}</td>" for cell in row[1:]) in page
        assert " ".join(row) in told
    for part in (*MADE.least, *MADE.notes, "piece A-2-1 is too long; so is A-1-2"):
        assert part in page
        assert part in told
    # Bars: a rectangle for each of seven figures of two variants, the least one black.
    assert page.count("<rect") == 7 * 2
    assert page.count('fill="#000"') == 7


def test_the_workbook_holds_numbers() -> None:
    """Every figure is a number under a heading with its unit."""
    made = openpyxl.load_workbook(io.BytesIO(comparison_xlsx(MADE, Paper.A4)))
    assert made.sheetnames == ["Comparison", "By area", "Notes"]
    heading, first, second = made["Comparison"].iter_rows(values_only=True)
    assert dict(zip(heading, second, strict=True)) == {
        "variant": "12' 6\"",
        "panels": 3,
        "to buy": 12,
        "stock [in]": 450,
        "siding [$]": 136.8,
        "order [$]": 136.8,
        "seams": 1,
        "offcut [%]": 10.9,
        "set-ups": 2,
        "cuts": 3,
        "work [h]": 0.4,
        "wages [$]": 23.5,
        "order and wages [$]": 160.3,
        "by area": "4 to 6",
        "bound [$]": 61.2,
        "proof": "proven for its seams",
    }
    assert dict(zip(heading, first, strict=True))["order [$]"] is None
    assert list(made["By area"].iter_rows(values_only=True))[4] == (
        "no opening off, instead of waste",
        4,
    )


def test_what_fewer_seams_cost_is_in_every_file() -> None:
    """Text, page, PDF and workbook hold every point; the drawing is left out of one point."""
    made = compare_trials(JOB, TRIALS, 5.0, FRONTS)
    text = comparison_text(made)
    head = "What fewer seams cost, in the job as it stands"
    assert f"\n{head}\n\ndouble 4\n" in text
    assert "      3             1       8  $90.00        $90.00  proven\n" in text
    page = unescape(comparison_html(made, Paper.LETTER)).replace("\u2060", "")
    told = words(comparison_pdf(made, Paper.LETTER)).replace("\u00a0", " ")
    for cells in (
        ("3", "1", "8", "$90.00", "$90.00", "proven"),
        ("10", "0", "7", "$80.10", "$79.50", "time limit"),
        ("4", "0", "5", "60' 0\"", "60' 0\"", "proven"),
    ):
        first, *others = cells
        row = "".join(f"<td>{cell}</td>" for cell in others)
        assert f'<th scope="row">{first}</th>{row}' in page
        assert " ".join(cells) in told
    assert head in told
    assert page.count("<circle") == 2
    assert page.count("$90.00, breaks 1 rule") == 1
    assert "$90.00, breaks 1 rule" in told
    book = openpyxl.load_workbook(io.BytesIO(comparison_xlsx(made, Paper.A4)))
    assert list(book["Fewer seams"].iter_rows(values_only=True)) == [
        (
            *("siding", "seams", "rules broken", "panels", "cost [$]", "no less than [$]"),
            *("stock [in]", "no stock less than [in]", "proof"),
        ),
        ("double 4", 3, 1, 8, 90, 90, None, None, "proven"),
        ("double 4", 10, 0, 7, 80.1, 79.5, None, None, "time limit"),
        ("plank", 4, 0, 5, None, None, 720, 720, "proven"),
    ]


def test_a_plan_as_cheap_as_its_bound_is_not_called_proven_for_that() -> None:
    """Where rules might be kept better only the cost is; bounds say of which seams."""
    siding = replace(PART.materials[0], status="work limit", seams_too=True)
    open_plan = replace(PART, materials=(siding,))
    text = comparison_text(compare_trials(JOB, [Trial(Variant("x", JOB), open_plan)], 5.0))
    assert "  cost proven\n" in text
    assert "for its seams" not in text


def test_leftovers_are_told_once_and_name_no_variant() -> None:
    """They are there whatever is bought, also where other lengths are asked for."""
    left = StockLength(inches(96), 0, None, 3)
    job = replace(JOB, siding=replace(JOB.siding, stock=(left, *JOB.siding.stock)))
    variants = length_variants(job)
    assert [v.name for v in variants] == ["10'", "12' 6\"", "10' + 12' 6\""]
    assert all(left in v.job.siding.stock for v in variants)
    asked = length_variants(job, (StockLength(inches(192), 180_000),))
    assert [(v.name, left in v.job.siding.stock) for v in asked] == [("16'", True)]
    bare = length_variants(job, (StockLength(inches(192)),))
    assert [left in v.job.siding.stock for v in bare] == [False]
    short = length_variants(job, (StockLength(inches(72), 60_000),))
    assert [left in v.job.siding.stock for v in short] == [False]
    plan = replace(BOTH, job=job)
    text = comparison_text(compare_trials(job, [Trial(variants[2], plan)], 5.0))
    assert text.count("Leftovers on hand may be used in each; they cost nothing.") == 1


@pytest.mark.parametrize("name", NAMES)
def test_names_are_shown_as_they_are(name: str) -> None:
    """No name is markup on the page, in its drawing, in the PDF or in the workbook."""
    made = named(name)
    page = comparison_html(made, Paper.A4)
    assert "<b>" not in page
    flat = "".join(name.split())
    assert flat[:40] in "".join(unescape(page).split()).replace("\u2060", "")
    texts = pages(comparison_pdf(made, Paper.A4))
    assert len(texts) < 6
    if all(ord(sign) < 0x590 for sign in name):
        assert flat in "".join("".join(texts).replace("\u200b", "").split())
    book = openpyxl.load_workbook(io.BytesIO(comparison_xlsx(made, Paper.A4)))
    for sheet in book.worksheets:
        assert all(cell.data_type != "f" for row in sheet.iter_rows() for cell in row)


@pytest.mark.parametrize(
    ("paper", "wanted"), [(Paper.A4, (842, 595)), (Paper.LETTER, (792, 612))]
)
def test_the_pages_lie(paper: Paper, wanted: tuple[int, int]) -> None:
    """The table is wide, so the paper lies."""
    assert size(comparison_pdf(MADE, paper)) == wanted


def test_many_variants_take_several_drawings() -> None:
    """Of 25 variants each has its bars, ten a drawing, and no page is overrun."""
    trials = [replace(TRIALS[0], variant=Variant(f"No. {n}", JOB)) for n in range(25)]
    made = compare_trials(JOB, trials, 5.0)
    told = words(comparison_pdf(made, Paper.LETTER))
    assert all(told.count(f"No. {n} ") >= 2 for n in range(25))


def test_the_same_comparison_gives_the_same_bytes() -> None:
    """Written twice, each file has the same bytes."""
    assert comparison_files(MADE, Paper.A4) == comparison_files(MADE, Paper.A4)


def test_a_bound_is_a_number_of_what_it_is_reckoned_in() -> None:
    """Without prices it is a length: of 450 in at least 440 are wanted."""
    bare = replace(PART.materials[0], priced=False, cost=inches(450), bound=inches(440))
    made = compare_trials(
        JOB, [Trial(Variant("x", JOB), replace(PART, materials=(bare,)))], 5.0
    )
    book = openpyxl.load_workbook(io.BytesIO(comparison_xlsx(made, Paper.A4)))
    heading, row = book["Comparison"].iter_rows(values_only=True)
    assert dict(zip(heading, row, strict=True))["bound [in]"] == 440
    assert "36' 8\"" in comparison_text(made)
