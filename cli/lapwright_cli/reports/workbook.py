"""Tables for a spreadsheet: typed cells, frozen headings, pages set up for the printer.

A text stays a text whatever it begins with, and where a spreadsheet would take it for a
formula once someone edits the cell, the cell is marked as text as well.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from datetime import UTC, datetime
from fractions import Fraction
from typing import TYPE_CHECKING

from lapwright_cli.paper import Paper
from lapwright_cli.reports.writing import MADE_BY, is_formula

if TYPE_CHECKING:
    from collections.abc import Sequence

Cell = str | int | Fraction | None
"""A text, a whole number, any other number, or nothing."""

_LETTER, _A4 = 1, 9
"""Codes of paper in a workbook (ECMA-376, part 1, 18.3.1.63, paperSize)."""
_MADE = datetime(2000, 1, 1, tzinfo=UTC).replace(tzinfo=None)
"""No clock gets into a file: the same plan gives the same bytes."""
_LEAST, _MOST = 7, 60
"""A column is at least and at most so many letters wide."""
_HEADING_WIDTH = 16
"""A heading is wrapped from so many letters on."""


@dataclass(frozen=True, slots=True)
class Table:
    """A sheet of a workbook."""

    name: str
    heading: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    money: frozenset[int] = frozenset()
    """Positions of the columns that are money, counted from 0."""
    total: bool = False
    """Whether the last row is a total."""


def workbook_bytes(tables: Sequence[Table], title: str, paper: Paper) -> bytes:
    """Write tables as a workbook (Office Open XML), each on a sheet of its own.

    Parameters
    ----------
    tables
        In the order of their sheets.
    title
        Stands in the head of every printed page.
    paper
        What the sheets are set up for; they are printed lying, one page wide.
    """
    # The library is large; who only reads the order should not wait for it.
    import xlsxwriter

    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    book.set_properties({"title": title, "author": MADE_BY, "created": _MADE})
    base = {"valign": "top"}
    forms = {
        "text": book.add_format(base | {"text_wrap": True}),
        "formula": book.add_format(base | {"text_wrap": True, "quote_prefix": True}),
        "number": book.add_format(base),
        "money": book.add_format(base | {"num_format": "#,##0.00"}),
        "head": book.add_format(
            {"bold": True, "bottom": 2, "text_wrap": True, "valign": "top"}
        ),
    }
    last = {
        name: book.add_format(
            {"bold": True, "top": 1} | ({"num_format": "#,##0.00"} if name == "money" else {})
        )
        for name in forms
    }
    for table in tables:
        sheet = book.add_worksheet(table.name)
        for column, text in enumerate(table.heading):
            sheet.write_string(0, column, text, forms["head"])
            sheet.set_column(column, column, _width(table, column))
        for line, row in enumerate(table.rows, 1):
            is_total = table.total and line == len(table.rows)
            for column, cell in enumerate(row):
                kind = _kind(cell, column, table)
                form = (last if is_total else forms)[kind]
                if cell is None:
                    sheet.write_blank(line, column, None, form)
                elif isinstance(cell, str):
                    sheet.write_string(line, column, cell, form)
                else:
                    sheet.write_number(line, column, _number(cell), form)
        sheet.freeze_panes(1, 0)
        sheet.repeat_rows(0)
        sheet.set_landscape()
        sheet.set_paper(_A4 if paper is Paper.A4 else _LETTER)
        sheet.set_margins(left=0.5, right=0.5, top=0.75, bottom=0.75)
        sheet.fit_to_pages(1, 0)
        # The sign & begins a code of the printed head; doubled it is itself.
        sheet.set_header(f"&L{title.replace('&', '&&')}&R{table.name}")
        sheet.set_footer(f"&L{MADE_BY}&Rpage &P of &N")
    book.close()
    return out.getvalue()


def _kind(cell: Cell, column: int, table: Table) -> str:
    if isinstance(cell, str):
        return "formula" if is_formula(cell) else "text"
    return "money" if column in table.money else "number"


def _number(cell: int | Fraction) -> int | float:
    """Turn an exact number into one of a spreadsheet, whole where it is whole."""
    whole = int(cell)
    return whole if whole == cell else float(cell)


def _width(table: Table, column: int) -> float:
    cells = (row[column] for row in table.rows)
    longest = max((len(_shown(cell)) for cell in cells), default=0)
    head = min(_HEADING_WIDTH, len(table.heading[column]))
    return min(_MOST, max(_LEAST, longest, head)) + 2


def _shown(cell: Cell) -> str:
    if cell is None:
        return ""
    return cell if isinstance(cell, str) else f"{float(cell):.2f}"
