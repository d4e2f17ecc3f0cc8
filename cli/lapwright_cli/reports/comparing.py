"""The files of a comparison: text, page, PDF and workbook."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import partial
from importlib.resources import files
from typing import TYPE_CHECKING

from lapwright.job.material import MONEY
from lapwright.measure import Unit
from lapwright_cli.paper import Paper
from lapwright_cli.reports.chart import chart_svg
from lapwright_cli.reports.comparison import (
    CONVENTIONS_HEADING,
    FRONT_HEADING_OF_JOB,
    Comparison,
    as_texts,
    comparison_text,
)
from lapwright_cli.reports.front import front_meaning, front_rows, front_svg
from lapwright_cli.reports.legend import breakable
from lapwright_cli.reports.setting import set_pages
from lapwright_cli.reports.workbook import Cell, Table, workbook_bytes
from lapwright_cli.reports.writing import MADE_BY, plain, unbroken

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from lapwright.front import Front
    from lapwright_cli.reports.comparison import Column

_ROWS_A_CHART = 10
"""So many variants have room in one drawing on a page that lies."""


def comparison_files(comparison: Comparison, paper: Paper) -> Mapping[str, bytes]:
    """Write all files of a comparison, by their names."""
    return {
        "compare.txt": comparison_text(comparison).encode(),
        "compare.html": comparison_html(comparison, paper).encode(),
        "compare.pdf": comparison_pdf(comparison, paper),
        "compare.xlsx": comparison_xlsx(comparison, paper),
    }


def comparison_html(comparison: Comparison, paper: Paper) -> str:
    """Write a comparison as one page for a browser, without anything from elsewhere."""
    # The template engine is large; who only reads the text should not wait for it.
    from jinja2 import Environment, StrictUndefined
    from markupsafe import Markup

    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    environment.filters["unbroken"] = partial(unbroken, joiner="\u2060")
    source = files("lapwright_cli.reports").joinpath("compare.html.j2").read_text("utf-8")
    # The drawing escapes its own texts.
    chart = Markup(chart_svg(comparison)) if comparison.found else ""  # noqa: S704
    return environment.from_string(source).render(
        it=comparison,
        conventions_title=CONVENTIONS_HEADING,
        chart=chart,
        front_title=FRONT_HEADING_OF_JOB,
        fronts=[_front(front, comparison, Markup) for front in comparison.fronts],
        paper="A4" if paper is Paper.A4 else "letter",
        made_by=MADE_BY,
    )


def comparison_pdf(comparison: Comparison, paper: Paper) -> bytes:
    """Set a comparison on pages, the same bytes for the same comparison."""
    width = paper.height - 72
    charts = [
        chart_svg(part, width)
        for first in range(0, len(comparison.found), _ROWS_A_CHART)
        if (part := _part(comparison, first, first + _ROWS_A_CHART)).found
    ]
    data = {
        "paper": paper.typst_name,
        "title": breakable(comparison.title),
        "made_by": MADE_BY,
        "intro": comparison.intro,
        "rows": [[breakable(cell) for cell in row] for row in comparison.rows],
        "charts": charts,
        "least": [breakable(words) for words in comparison.least],
        "failed": [
            [breakable(name), [breakable(r) for r in reasons]]
            for name, reasons in comparison.failed
        ],
        "conventions_title": CONVENTIONS_HEADING,
        "conventions": [
            [breakable(cell) for cell in row] for row in as_texts(comparison.conventions)
        ],
        "front_title": FRONT_HEADING_OF_JOB,
        "fronts": [_front(front, comparison, str, width) for front in comparison.fronts],
        "notes": [unbroken(note) for note in comparison.notes],
    }
    return set_pages("compare.typ", data)


def comparison_xlsx(comparison: Comparison, paper: Paper) -> bytes:
    """Write a comparison as a workbook, every figure a number."""
    columns = comparison.columns
    tables = [
        Table(
            "Comparison",
            ("variant", *(_heading(column) for column in columns)),
            tuple(
                (name, *(column.cell(figures) for column in columns))
                for name, figures in comparison.found
            ),
            frozenset(n for n, column in enumerate(columns, 1) if column.is_money),
        )
    ]
    if comparison.conventions:
        heading, *rows = comparison.conventions
        tables.append(Table("By area", tuple(map(str, heading)), tuple(rows)))
    if comparison.fronts:
        tables.append(_front_table(comparison))
    notes: list[tuple[Cell, ...]] = [("note", words) for words in comparison.intro]
    notes += [("least", words) for words in comparison.least]
    notes += [
        ("no plan", f"{name}: {'; '.join(reasons)}") for name, reasons in comparison.failed
    ]
    notes += [("note", words) for words in comparison.notes]
    notes += [
        (f"{FRONT_HEADING_OF_JOB}: {plain(front.siding)}", words)
        for front in comparison.fronts
        for words in front_meaning(front)
    ]
    tables.append(Table("Notes", ("about", "what"), tuple(notes)))
    return workbook_bytes(tables, comparison.title, paper)


def _front(
    front: Front, comparison: Comparison, markup: Callable[[str], str], width: float = 700.0
) -> dict[str, object]:
    """Give what a page shows of what fewer seams cost in one siding."""
    job = comparison.job
    return {
        "name": breakable(plain(front.siding)),
        "rows": front_rows(front, job),
        "meaning": [unbroken(words) for words in front_meaning(front)],
        # One point makes no choice; the drawing escapes its own texts.
        "svg": markup(front_svg((front,), job, width)) if len(front.points) > 1 else "",
    }


def _front_table(comparison: Comparison) -> Table:
    """Lay out what fewer seams cost, a row a point, every figure a number."""
    job = comparison.job
    money = f" [{plain(job.currency)}]" if job.currency else ""
    unit = Unit.MILLIMETRE if job.unit.is_metric else Unit.INCH
    priced = any(front.priced for front in comparison.fronts)
    heading = ["siding", "seams", "rules broken", "panels"]
    if priced:
        heading += [f"cost{money}", f"no less than{money}"]
    if any(not front.priced for front in comparison.fronts):
        heading += [f"stock [{unit.value}]", f"no stock less than [{unit.value}]"]
    rows: list[tuple[Cell, ...]] = []
    for front in comparison.fronts:
        for point in front.points:
            per = MONEY if front.priced else unit.ticks
            figures: list[Cell] = [Fraction(point.cost, per), Fraction(point.bound, per)]
            room: list[Cell] = [None] * (len(heading) - 4 - len(figures))
            rows.append(
                (
                    plain(front.siding),
                    point.seams,
                    point.broken,
                    point.panels,
                    *(figures + room if front.priced else room + figures),
                    plain(point.status),
                )
            )
    columns = frozenset({4, 5}) if priced else frozenset[int]()
    return Table("Fewer seams", (*heading, "proof"), tuple(rows), columns)


def _heading(column: Column) -> str:
    return f"{column.name} [{column.unit}]" if column.unit else column.name


def _part(comparison: Comparison, first: int, last: int) -> Comparison:
    return replace(comparison, found=comparison.found[first:last])
