"""Soffits on paper and on the page: every panel has its words, its sketch and its place."""

from __future__ import annotations

import io
from importlib import import_module
from typing import TYPE_CHECKING, Any

import pytest

from lapwright.job.reading import parse_job
from lapwright.planning import make_plan
from lapwright_cli.reading import reading_text
from lapwright_cli.reports.cutsheets import cut_sheets_pdf, sheet_data
from lapwright_cli.reports.dxf import elevations_dxf
from lapwright_cli.reports.elevations import anchor, elevations_html
from lapwright_cli.reports.order import order_text
from lapwright_cli.reports.panels import cut_corners, panel_words
from lapwright_cli.reports.sheets import cut_sheets
from lapwright_cli.reports.stickers import stickers
from tests.cli.reports.test_elevations import Page

if TYPE_CHECKING:
    from lapwright.plan import Plan

ezdxf: Any = import_module("ezdxf")

TEXT = """
job: Shed
siding: {material: vinyl double 4}
head_flashing: [window]
walls:
  - name: a
    width: 60
    height: 40
    openings: [{name: w, x: 12, sill: 10, width: 24, height: 20}]
soffits:
  - {name: Front, length: 24, depth: 12, wall: a, right: outside corner}
  - {name: Porch, length: 30, depth: 20, panels: along}
"""


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Plan a wall with two soffits."""
    return make_plan(parse_job(TEXT, "x.yaml"))


def test_the_words_of_panels(plan: Plan) -> None:
    """By hand, as in the tests of the takeoff: the third panel is half a square."""
    words = {panel.label: panel_words(panel, plan) for panel in plan.soffits}
    assert words == {
        "E1-SO1": [],
        # Turned to the right: 12 in wide, its wall end at the left, its right edge below.
        "E1-SO2": ['Cut the slant from 1/4" along the lower edge to 1/4" up the left end.'],
        "E1-SO3": [
            'Rip to 11-1/4" wide.',
            "Cut the slant from the lower right corner to the upper left corner.",
        ],
        "E2-SO1": [],
        "E2-SO2": ['Rip to 7-1/2" wide.'],
    }


def test_a_panel_is_turned_as_it_is_cut(plan: Plan) -> None:
    """The point of the third panel, at the fascia and the right, comes to the right below."""
    third = next(panel for panel in plan.soffits if panel.label == "E1-SO3")
    inches = [(u / 8128, v / 8128) for u, v in cut_corners(third, plan)]
    assert inches == [(0, 11.25), (11.25, 0), (11.25, 11.25)]


def test_the_slant_keeps_the_side_that_hangs(plan: Plan) -> None:
    """The kept part is at the fascia: the corner that is cut off is at the wall end."""
    third = next(panel for panel in plan.soffits if panel.label == "E1-SO3")
    assert (0, 0) not in cut_corners(third, plan)
    assert (third.length, third.width) in cut_corners(third, plan)


def test_the_cut_sheets_tell_and_draw_the_panels(plan: Plan) -> None:
    """The part of the soffit has a sketch and words for each panel that wants work."""
    parts = {part["title"]: part for part in sheet_data(plan)["parts"]}
    sheets = parts["Soffit panel: vented soffit panel 12 in"]["sheets"]
    told = [words for s in sheets for work in s["works"] for words in work["words"]]
    assert sum(words.startswith("Rip to") for words in told) == 2
    assert all(bool(s["sketch"]) == bool(s["works"]) for s in sheets)
    assert cut_sheets_pdf(plan).startswith(b"%PDF")
    assert any("soffit_kerf" in t or "Soffit panels" in t for t in sheet_data(plan)["read"])


def test_panels_of_another_form_are_on_another_sheet(plan: Plan) -> None:
    """Stock lengths with the same cuts but other rips or slants are not put together."""
    forms = {panel.label: (panel.width, panel.outline) for panel in plan.soffits}
    for sheet in cut_sheets(plan):
        if sheet.material.role == "soffit":
            for position in range(len(sheet.pattern.cuts)):
                assert len({forms[label] for label in sheet.labels(position)}) == 1


def test_the_page_shows_every_panel_and_its_row(plan: Plan) -> None:
    """Each piece of trim of a soffit has a row, each panel a link to it, each head its cap."""
    text = elevations_html(plan)
    page = Page(text)
    for piece in plan.trim:
        assert page.anchors.count(anchor(piece.label)) == 1, piece.label
    for panel in plan.soffits:
        assert f"#{anchor(panel.label)}" in page.links
    assert {"soffit-E1", "soffit-E2"} <= set(page.anchors)
    assert text.count('class="cap"') == 1
    assert "soffit E1 above: Front" in " ".join(page.words)


def test_every_panel_has_its_sticker(plan: Plan) -> None:
    """Pieces of soffits get stickers as those of walls do, with the soffit's name."""
    made = {sticker.label: sticker for sticker in stickers(plan)}
    assert set(made) == {p.label for p in plan.siding} | {p.label for p in plan.trim}
    assert made["E1-SO2"].lines[-1] == "Soffit panel, soffit E1 Front"
    assert made["A1.1"].lines[-1] == "course 1, wall A a"


def test_the_drawing_for_cad_holds_the_soffits(plan: Plan) -> None:
    """By hand: the eave is 24 by 12 in and 12 in longer at the fascia; each panel is named."""
    made = ezdxf.read(io.StringIO(elevations_dxf(plan).decode("utf-8")))
    assert not made.audit().errors
    rings = [e for e in made.modelspace() if e.dxf.layer == "outline"]
    spots = [sorted(ring.get_points("xy")) for ring in rings]
    left = spots[1][0][0]
    assert [(x - left, y) for x, y in spots[1]] == [(0, 0), (0, 12), (24, 0), (36, 12)]
    texts = [e.dxf.text.split(":")[0] for e in made.modelspace() if e.dxf.layer == "labels"]
    for piece in plan.trim:
        assert texts.count(piece.label) == 1, piece.label


def test_what_is_read_and_what_is_ordered(plan: Plan) -> None:
    """`check` tells each soffit and its panels; the order tells what they were made with."""
    read = reading_text(plan.job)
    assert 'E1  Front: eave over wall A, 24" by 12", 3 panels across' in read
    assert "head flashing over: window" in read
    assert "panels lie along it" in read
    order = order_text(plan)
    assert "Head flashing: head flashing (drip cap)" in order
    assert "soffit nails" in order
    assert "blade takes from soffit (kerf)" in order
