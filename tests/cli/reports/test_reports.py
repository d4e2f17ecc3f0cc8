"""The table of reports, and the cautions in them."""

from __future__ import annotations

import json

import pytest

from lapwright.job.material import Family
from lapwright_cli.reports import REPORTS, Report
from lapwright_cli.reports.cautions import cautions
from tests.cli.reports.small_plan import PLAN, renamed


def test_the_files_have_their_names() -> None:
    """The output folder holds these files."""
    assert [report.name for report in REPORTS] == [
        "order.csv",
        "order.txt",
        "order.xlsx",
        "order.pdf",
        "cut-sheets.pdf",
        "elevations.html",
        "elevations.pdf",
        "story-pole.pdf",
        "plan.json",
    ]


@pytest.mark.parametrize("report", REPORTS, ids=lambda report: report.name)
def test_a_report_is_a_pure_function_of_the_plan(report: Report) -> None:
    """Written twice, a report has the same bytes, and some."""
    content = report.write(PLAN)
    assert content
    assert report.write(PLAN) == content


def test_the_recorded_plan_can_be_read() -> None:
    """plan.json is JSON and knows every piece."""
    content = next(report for report in REPORTS if report.name == "plan.json").write(PLAN)
    assert len(json.loads(content)["pieces"]) == len(PLAN.siding)


def test_the_csv_is_marked_as_utf8_only_where_it_must_be() -> None:
    """Plain letters need no mark; others would be misread by spreadsheets without one."""
    write = REPORTS[0].write
    assert write(PLAN).startswith(b"use,")
    assert write(renamed(PLAN, "Süd")).startswith(b"\xef\xbb\xbfuse,")


def test_cautions_go_with_the_family() -> None:
    """Silica concerns cement, cold concerns vinyl, and what concerns all is in both."""
    lapped = " ".join(c.about + " " + c.text for c in cautions(Family.LAPPED))
    butted = " ".join(c.about + " " + c.text for c in cautions(Family.BUTTED))
    assert "29 CFR 1926.1153" in butted
    assert "29 CFR 1926.1153" not in lapped
    assert "brittle" in lapped
    assert "brittle" not in butted
    for words in ("eye protection", "1978", "asbestos", "local building code", "scaffold"):
        assert words in lapped
        assert words in butted
