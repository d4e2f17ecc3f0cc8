"""Leftovers on hand in every report: taken, never bought, and called what they are."""

from __future__ import annotations

import io
from dataclasses import replace
from html import unescape
from importlib import import_module
from typing import Any

import openpyxl

from lapwright.job.material import StockLength
from lapwright.plan import OrderLine
from lapwright.variant import Without
from lapwright_cli.reports import (
    cut_sheets_pdf,
    elevations_html,
    order_csv,
    order_pdf,
    order_text,
    order_xlsx,
)
from lapwright_cli.reports.dxf import cut_sheets_dxf
from tests.cli.reports.reading_back import words
from tests.cli.reports.small_plan import PLAN, inches

ezdxf: Any = import_module("ezdxf")
# The three bars of 120 in of the small plan are leftovers, of which there are four.
LEFT = OrderLine(inches(120), 3, 0, None, 0, on_hand=True)
SIDING = replace(
    PLAN.materials[0], order=(LEFT, PLAN.materials[0].order[1]), cost=342_000, bound=342_000
)
STOCK = (StockLength(inches(120), 0, None, 4), PLAN.job.siding.stock[1])
WITH_LEFTOVERS = replace(
    PLAN,
    job=replace(PLAN.job, siding=replace(PLAN.job.siding, stock=STOCK)),
    materials=(SIDING, PLAN.materials[1]),
)


def test_the_page_for_the_yard_asks_for_none_of_them() -> None:
    """What is on hand has neither price nor spare, and fills no carton."""
    told = words(order_pdf(WITH_LEFTOVERS)).replace("\u00a0", " ")
    assert "leftover: 3 planned, on hand, not to be bought. 0" in told
    assert "$0.00" not in told
    # By hand: a carton of 12 panels and 4 lengths of channel.
    assert "Total: 16 stock lengths" in told


def test_the_order_says_what_is_on_hand() -> None:
    """Text, table and workbook: nothing to buy, and how many are left of four."""
    without = (Without(SIDING, inches(150), SIDING, 3),)
    text = order_text(WITH_LEFTOVERS, without)
    assert "as ordered: 12 × 12' 6\", $136.80, 3 seams" in text
    assert "Siding: double 4, 10': 4 on hand, 3 planned, 1 left" in text
    # 6 of siding and 3 of channel; a spare of each that is bought; 8 more fill the carton.
    assert "9 planned + 2 spare - 3 on hand + 8 to fill cartons = 16 bought" in text
    assert "Siding,double 4,120,3,0,3,,,0,0.00,0.00\r\n" in order_csv(WITH_LEFTOVERS)
    book = openpyxl.load_workbook(io.BytesIO(order_xlsx(WITH_LEFTOVERS)))
    rows = list(book["Order"].iter_rows(min_row=2, max_row=3, values_only=True))
    assert [row[2] for row in rows] == ["on hand: 10'", "12' 6\""]
    assert [row[9] for row in rows] == [0, 12]
    there = list(book["On hand"].iter_rows(min_row=2, values_only=True))
    assert there == [("Siding", "double 4", "on hand: 10'", 120, 4, 3, 1)]


def test_the_saw_takes_a_leftover_not_a_stock_length() -> None:
    """Bars 4 to 6 are leftovers on the sheets, on the page and in the drawing."""
    told = words(cut_sheets_pdf(WITH_LEFTOVERS)).replace("\u00a0", " ")
    assert told.count('Take 1 leftover of 10\' 0" (120")') == 3
    assert 'leftover of 10\' 0" (120") 3 6–8' in told
    page = (
        unescape(elevations_html(WITH_LEFTOVERS)).replace("\u00a0", " ").replace("\u2060", "")
    )
    assert page.count("1 leftover of 10' 0\", Siding: double 4; bar") == 3
    drawing = ezdxf.read(io.StringIO(cut_sheets_dxf(WITH_LEFTOVERS).decode()))
    texts = [each.dxf.text for each in drawing.modelspace().query("TEXT")]
    assert sum(": 1 leftover of 10'," in text for text in texts) == 3
