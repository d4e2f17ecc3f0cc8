"""The page for the yard is read back and compared with the plan."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest

from lapwright.measure import Unit
from lapwright.plan import SupplyLine
from lapwright.variant import Without
from lapwright_cli.paper import Paper
from lapwright_cli.reports.order import order_csv, order_text
from lapwright_cli.reports.yard import order_pdf
from tests.cli.reports.reading_back import NAMES, pages, size, words
from tests.cli.reports.small_plan import PLAN, inches, renamed

CHEAPER = replace(PLAN.materials[0], order=PLAN.materials[0].order[:1], status="time limit")
WITHOUT = (
    # 4 of 10' at 9.00 are 36.00, and 172.80 - 36.00 = 136.80.
    Without(PLAN.materials[0], inches(150), CHEAPER, 4, broken=2),
    Without(PLAN.materials[0], inches(120), None, None, ("first", "second", "third", "4th")),
)


def test_the_page_says_what_to_send() -> None:
    """Material by material: length, count, cartons, price, cost and spare.

    By hand: 3 + 1 of 10 ft; of 12 ft 6 in 3 + 1, in a carton of 12 with 8 more.
    """
    (text,) = pages(order_pdf(PLAN))
    told = " ".join(text.split())
    for part in (
        "Order Small shed",
        "Siding: double 4",
        "10' (120\") 3 planned + 1 spare panel. 4 $9.00 $36.00",
        '12\' 6" (150") 3 planned + 1 spare panel;'
        " 8 more to fill the carton. 12 1 carton of 12 $11.40 $136.80",
        "J-channel: J-channel 3/4 in",
        "Total: 20 stock lengths; $172.80; 1 material has no price",
        "Spare: 10.0 % of each count, rounded up.",
        "page 1 of 1",
    ):
        assert part in told, part


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("many", [1, 12, 20])
def test_an_order_of_many_materials_is_one_page(many: int, paper: Paper) -> None:
    """An order a little too long is set smaller, and nothing of it is lost."""
    plan = replace(PLAN, materials=PLAN.materials[:1] + PLAN.materials[1:] * many)
    (text,) = pages(order_pdf(plan, paper, WITHOUT))
    assert text.count("J-channel 3/4 in") == many
    assert "page 1 of 1" in " ".join(text.split())


def test_an_order_too_long_to_be_read_on_one_page_goes_on() -> None:
    """Letters are never set smaller than three quarters of their size."""
    plan = replace(PLAN, materials=PLAN.materials[:1] + PLAN.materials[1:] * 60)
    texts = pages(order_pdf(plan))
    assert len(texts) > 1
    assert "".join(texts).count("J-channel 3/4 in") == 60


LIMITED = replace(
    PLAN,
    job=replace(
        PLAN.job,
        siding=replace(
            PLAN.job.siding,
            stock=(
                replace(PLAN.job.siding.stock[0], supply=7),
                *PLAN.job.siding.stock[1:],
            ),
        ),
    ),
)


def test_what_is_on_hand_is_told_in_text_table_and_page() -> None:
    """Seven of 10 ft are to be had and three are cut; a job without a limit says nothing."""
    line = "Siding: double 4, 10': 7 to be had, 3 planned, 4 left"
    assert f"\n\nOn hand, or only so many to be had\n  {line}\n" in order_text(LIMITED)
    assert line in words(order_pdf(LIMITED)).replace("\u00a0", " ")
    last = list(csv.reader(io.StringIO(order_csv(LIMITED))))[-2:]
    assert [row[:6] for row in last] == [
        [
            "On hand, or only so many to be had",
            "material",
            "stock length [in]",
            "to be had",
            "planned",
            "left",
        ],
        ["Siding", "double 4", "120", "7", "3", "4"],
    ]
    assert all(len(row) == 11 for row in last)
    for told in (order_text(PLAN), order_csv(PLAN), words(order_pdf(PLAN))):
        assert "On hand" not in told


def test_an_order_without_spare_says_so() -> None:
    """Nothing is bought beyond the plan, and a spoilt piece must be bought anew."""
    order = tuple(replace(line, spare=0) for line in PLAN.materials[0].order)
    plan = replace(
        PLAN,
        job=replace(PLAN.job, spare=PLAN.job.spare * 0),
        materials=(replace(PLAN.materials[0], order=order),),
    )
    told = words(order_pdf(plan))
    assert "3 planned, no spare: a spoilt piece must be bought anew." in told
    assert "The job asks for no spare." in told


SHORTAGE = """\
If a stock length cannot be had (to buy, spare and whole cartons included)
  Siding: double 4
    as ordered: 4 × 10' + 12 × 12' 6", $172.80, 3 seams
    without 12' 6": 4 × 10', $36.00, 4 seams, 2 rules broken,\
 the best found so far; $136.80 less
    without 10': no plan: first; second; and 2 reasons more
"""


def test_what_takes_the_place_of_a_stock_length_is_told_in_text_and_page() -> None:
    """Each stock length left out in turn: what to buy then, cost, seams, or why not."""
    text = order_text(PLAN, WITHOUT)
    assert f"\n\n{SHORTAGE}\nTo know" in text
    assert text.replace(f"{SHORTAGE}\n", "") == order_text(PLAN)
    told = words(order_pdf(PLAN, None, WITHOUT))
    for line in SHORTAGE.splitlines():
        assert line.strip() in told.replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("unit", "asked", "wanted"),
    [
        (Unit.FOOT, None, (612, 792)),
        (Unit.METRE, None, (595, 842)),
        (Unit.METRE, Paper.LETTER, (612, 792)),
        (Unit.INCH, Paper.A4, (595, 842)),
    ],
)
def test_the_paper_is_the_one_asked_for(
    unit: Unit, asked: Paper | None, wanted: tuple[int, int]
) -> None:
    """US letter for feet and inches and A4 for metric jobs, unless another is asked for."""
    plan = replace(PLAN, job=replace(PLAN.job, unit=unit))
    assert size(order_pdf(plan, asked)) == wanted


@pytest.mark.parametrize("name", NAMES)
def test_names_are_set_as_they_are(name: str) -> None:
    """No name is read as markup, runs off the page, or costs a second page."""
    plan = renamed(replace(PLAN, supplies=(SupplyLine("nails", 1, "nails", name),)), name)
    (text,) = pages(order_pdf(plan))
    assert max(line.count("W") for line in text.splitlines()) < 70
    if all(ord(sign) < 0x590 for sign in name):
        flat = "".join(text.replace("\u200b", "").split())
        assert flat.count("".join(name.split())) >= 3
    else:
        assert "An empty box in a name" in text


def test_the_same_plan_gives_the_same_bytes() -> None:
    """Neither the clock nor the machine's fonts get into the file."""
    assert order_pdf(PLAN) == order_pdf(PLAN)
