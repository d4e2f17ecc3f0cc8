"""The order as a workbook is read back and compared with the plan."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import TYPE_CHECKING

import openpyxl
import pytest

from lapwright.job.material import StockLength
from lapwright.measure import Unit
from lapwright.plan import SupplyLine
from lapwright.variant import Without
from lapwright_cli.paper import Paper
from lapwright_cli.reports.orderbook import order_xlsx
from tests.cli.reports.reading_back import NAMES
from tests.cli.reports.small_plan import PLAN, inches, renamed

if TYPE_CHECKING:
    from openpyxl import Workbook

    from lapwright.plan import Plan


def book(plan: Plan, paper: Paper | None = None) -> Workbook:
    """Write the workbook of a plan and read it back."""
    return openpyxl.load_workbook(io.BytesIO(order_xlsx(plan, paper)))


def rows(made: Workbook, name: str) -> list[tuple[object, ...]]:
    """Give the rows of a sheet."""
    return [tuple(row) for row in made[name].iter_rows(values_only=True)]


def test_the_order_is_numbers_with_their_units_in_the_headings() -> None:
    """The whole sheet: counts, money and lengths are numbers, and the total is their sum.

    By hand: 4 at 9.00 and a carton of 12 at 11.40 come to 36.00 + 136.80 = 172.80.
    """
    made = book(PLAN)
    assert made.sheetnames == ["Order", "Trim", "Counted by rule", "On hand", "Notes"]
    assert rows(made, "Order") == [
        (
            "use",
            "material",
            "sold as",
            "stock length [in]",
            "planned [pieces]",
            "spare [pieces]",
            "to have [pieces]",
            "in a carton [pieces]",
            "cartons",
            "to buy [pieces]",
            "price each [$]",
            "cost [$]",
        ),
        ("Siding", "double 4", "10'", 120, 3, 1, 4, None, None, 4, 9, 36),
        ("Siding", "double 4", "12' 6\"", 150, 3, 1, 4, 12, 1, 12, 11.4, 136.8),
        ("Total", None, None, None, 6, 2, 8, None, None, 16, None, 172.8),
    ]
    assert made["Order"].cell(2, 12).number_format == "#,##0.00"
    trim = rows(made, "Trim")
    assert trim[1][:3] == ("J-channel", "J-channel 3/4 in", "12' 6\"")
    assert trim[2][:2] == ("Total", "without what has no price")
    assert trim[2][-1] is None


@pytest.mark.parametrize(
    ("unit", "asked", "code"),
    [
        (Unit.INCH, None, 1),
        (Unit.METRE, None, 9),
        (Unit.METRE, Paper.LETTER, 1),
        (Unit.FOOT, Paper.A4, 9),
    ],
)
def test_sheets_are_set_up_for_the_printer(unit: Unit, asked: Paper | None, code: int) -> None:
    """Paper (ECMA-376, paperSize: 1 letter, 9 A4), lying, one page wide, heading frozen."""
    made = book(replace(PLAN, job=replace(PLAN.job, unit=unit)), asked)
    for sheet in made.worksheets:
        assert int(sheet.page_setup.paperSize) == code
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert (sheet.page_setup.fitToWidth or 1, sheet.page_setup.fitToHeight) == (1, 0)
        assert sheet.freeze_panes == "A2"
        assert sheet.print_title_rows == "$1:$1"


def test_metric_lengths_are_millimetres() -> None:
    """120 in are 3048 mm."""
    made = rows(book(replace(PLAN, job=replace(PLAN.job, unit=Unit.METRE))), "Order")
    assert made[0][3] == "stock length [mm]"
    assert made[1][2:4] == ("3048 mm", 3048)


@pytest.mark.parametrize("name", NAMES)
def test_a_name_stays_the_text_that_it_is(name: str) -> None:
    """No cell is a formula, each keeps its text, and risky ones are marked as text."""
    made = book(renamed(PLAN, name))
    for sheet in made.worksheets:
        for row in sheet.iter_rows():
            assert all(cell.data_type in ("s", "n") for cell in row)
    cell = made["Order"].cell(2, 2)
    assert cell.value == " ".join(name.split())
    assert bool(cell.quotePrefix) == name.startswith(("=", "+", "-", "@"))
    # The printed head doubles the sign that begins its codes.
    assert made["Order"].oddHeader.left.text.replace("&&", "&").endswith(name.strip()[-10:])


def test_what_is_counted_by_rule_and_on_hand_have_their_sheets() -> None:
    """Of 5 lengths on hand the plan takes 3, and 2 are left."""
    siding = replace(
        PLAN.job.siding,
        stock=(StockLength(inches(120), 90_000, None, 5), PLAN.job.siding.stock[1]),
    )
    plan = replace(
        PLAN,
        job=replace(PLAN.job, siding=siding),
        supplies=(SupplyLine("siding nails", 58, "nails", "=58"),),
    )
    made = book(plan)
    assert rows(made, "Counted by rule")[1] == ("siding nails", 58, "nails", "=58")
    assert rows(made, "On hand")[1:] == [("Siding", "double 4", "10'", 120, 5, 3, 2)]
    assert "no limit" in str(rows(book(PLAN), "On hand")[1][0])


def test_notes_hold_proof_shortage_and_findings() -> None:
    """All that is words stands on the last sheet."""
    without = (Without(PLAN.materials[0], inches(120), None, None, ("piece X is too long",)),)
    made = openpyxl.load_workbook(io.BytesIO(order_xlsx(PLAN, None, without)))
    notes = [f"{about}: {what}" for about, what in rows(made, "Notes")]
    assert "Siding: double 4: without 10': no plan: piece X is too long" in notes
    assert any("proven: from these stock lengths" in note for note in notes)
    assert "to know: wall A course 4: the piece at the peak ends in two points" in notes
    assert any(note.startswith("made by: lapwright") for note in notes)


def test_the_same_plan_gives_the_same_bytes() -> None:
    """No clock gets into the file."""
    assert order_xlsx(PLAN) == order_xlsx(PLAN)
