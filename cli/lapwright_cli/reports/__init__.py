"""The reports: each a pure function of a checked plan and of how it is printed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lapwright.record import plan_bytes
from lapwright_cli.reports.cutsheets import cut_sheets_pdf
from lapwright_cli.reports.elevationbook import elevations_pdf
from lapwright_cli.reports.elevations import elevations_html
from lapwright_cli.reports.options import Options
from lapwright_cli.reports.order import order_csv, order_text
from lapwright_cli.reports.orderbook import order_xlsx
from lapwright_cli.reports.storypole import story_pole_pdf
from lapwright_cli.reports.yard import order_pdf

if TYPE_CHECKING:
    from collections.abc import Callable

    from lapwright.plan import Plan

__all__ = [
    "REPORTS",
    "Options",
    "Report",
    "cut_sheets_pdf",
    "elevations_html",
    "elevations_pdf",
    "order_csv",
    "order_pdf",
    "order_text",
    "order_xlsx",
    "story_pole_pdf",
]

_PLAIN = Options()


@dataclass(frozen=True, slots=True)
class Report:
    """A file of the output folder, and how it is written."""

    name: str
    make: Callable[[Plan, Options], bytes]

    def write(self, plan: Plan, options: Options = _PLAIN) -> bytes:
        """Write the file of a checked plan."""
        return self.make(plan, options)


def _order_csv_bytes(plan: Plan, _: Options) -> bytes:
    text = order_csv(plan)
    # The mark at the front tells spreadsheets that letters are UTF-8; plain ones need none.
    return text.encode("utf-8" if text.isascii() else "utf-8-sig")


REPORTS = (
    Report("order.csv", _order_csv_bytes),
    Report("order.txt", lambda plan, options: order_text(plan, options.without).encode()),
    Report(
        "order.xlsx", lambda plan, options: order_xlsx(plan, options.paper, options.without)
    ),
    Report("order.pdf", lambda plan, options: order_pdf(plan, options.paper, options.without)),
    Report("cut-sheets.pdf", lambda plan, options: cut_sheets_pdf(plan, options.paper)),
    Report(
        "elevations.html", lambda plan, options: elevations_html(plan, options.paper).encode()
    ),
    Report("elevations.pdf", lambda plan, options: elevations_pdf(plan, options.paper)),
    Report("story-pole.pdf", lambda plan, options: story_pole_pdf(plan, options.paper)),
    Report("plan.json", lambda plan, _: plan_bytes(plan)),
)
"""In the order in which they are told to the crew."""
