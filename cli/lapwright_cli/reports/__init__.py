"""The reports: each a pure function of a checked plan."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lapwright.record import plan_bytes
from lapwright_cli.reports.cutsheets import cut_sheets_pdf
from lapwright_cli.reports.elevations import elevations_html
from lapwright_cli.reports.order import order_csv, order_text
from lapwright_cli.reports.storypole import story_pole_pdf

if TYPE_CHECKING:
    from collections.abc import Callable

    from lapwright.plan import Plan

__all__ = [
    "REPORTS",
    "Report",
    "cut_sheets_pdf",
    "elevations_html",
    "order_csv",
    "order_text",
    "story_pole_pdf",
]


@dataclass(frozen=True, slots=True)
class Report:
    """A file of the output folder, and how it is written."""

    name: str
    write: Callable[[Plan], bytes]


def _order_csv_bytes(plan: Plan) -> bytes:
    text = order_csv(plan)
    # The mark at the front tells spreadsheets that letters are UTF-8; plain ones need none.
    return text.encode("utf-8" if text.isascii() else "utf-8-sig")


def _order_text_bytes(plan: Plan) -> bytes:
    return order_text(plan).encode()


def _elevations_bytes(plan: Plan) -> bytes:
    return elevations_html(plan).encode()


REPORTS = (
    Report("order.csv", _order_csv_bytes),
    Report("order.txt", _order_text_bytes),
    Report("cut-sheets.pdf", cut_sheets_pdf),
    Report("elevations.html", _elevations_bytes),
    Report("story-pole.pdf", story_pole_pdf),
    Report("plan.json", plan_bytes),
)
"""In the order in which they are told to the crew."""
