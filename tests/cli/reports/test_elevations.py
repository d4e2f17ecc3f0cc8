"""The page of elevations is parsed and compared with the plan."""

from __future__ import annotations

from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise

import pytest

from lapwright_cli.reports.elevations import anchor, elevations_html
from lapwright_cli.reports.wallview import view_wall
from tests.cli.reports.small_plan import LABELS, PLAN, WALL, WINDOW, inches, renamed

_VOID = {"meta", "link", "br", "hr", "img", "input"}


class Page(HTMLParser):
    """What a browser would find on a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.anchors: list[str] = []
        self.links: list[str] = []
        self.tags: list[str] = []
        self.words: list[str] = []
        self.outside: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag, its anchor, and what it would load."""
        self.tags.append(tag)
        if tag not in _VOID:
            self.open.append(tag)
        for name, value in attrs:
            if name == "id":
                self.anchors.append(value or "")
            if name == "href":
                self.links.append(value or "")
            if name in ("src", "srcset", "action", "data", "xlink:href"):
                self.outside.append(value or "")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag that holds nothing."""
        self.handle_starttag(tag, attrs)
        if tag not in _VOID:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        """Close the tag that was opened last."""
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        """Note a text."""
        if data.strip() and self.open[-1] != "style":
            self.words.append(" ".join(data.split()))


def test_every_piece_has_its_anchor_once() -> None:
    """Each label can be linked to, and every link of the page leads somewhere."""
    page = Page(elevations_html(PLAN))
    for label in LABELS:
        assert page.anchors.count(anchor(label)) == 1
    assert len(page.anchors) == len(set(page.anchors))
    assert {link.removeprefix("#") for link in page.links} <= set(page.anchors)
    assert page.open == []


def test_the_page_needs_nothing_from_elsewhere() -> None:
    """No address, no script, no import: the page works without a network."""
    text = elevations_html(PLAN)
    page = Page(text)
    assert "http" not in text
    assert "@import" not in text
    assert "script" not in page.tags
    assert page.outside == []
    assert all(link.startswith("#") for link in page.links)


def test_the_drawing_holds_labels_openings_and_dimensions() -> None:
    """Labels, the opening's name, heights of courses and sides of openings are drawn."""
    text = elevations_html(PLAN)
    drawing = Page(text[text.index("<svg") : text.index("</svg>") + 6]).words
    for piece in PLAN.siding:
        assert piece.label in drawing
    # Courses of 8 in; the window from 60 to 96 in; the wall 200 in wide and 32 in high.
    for words in ("2: 0' 8\"", "4: 2' 0\"", "W1", "5' 0\"", "8' 0\"", "wide 16' 8\"", "2' 8\""):
        assert words in drawing
    assert text.count('class="seam"') == len(PLAN.seams)


def test_pieces_stand_in_the_order_of_hanging() -> None:
    """The table goes from the bottom up and from left to right."""
    page = Page(elevations_html(PLAN))
    own = [name for name in page.anchors if name in {anchor(p.label) for p in PLAN.siding}]
    assert own == [anchor(piece.label) for piece in PLAN.siding]


def test_a_piece_says_where_it_comes_from() -> None:
    """The row of a piece holds its length, its notch and, last, its sheet and bar."""
    text = elevations_html(PLAN)
    start = text.index('<tr id="piece-A-2-1">')
    row = Page(text[start : text.index("</tr>", start) + 5]).words
    assert row[:3] == ["A-2-1", '150"', "0' 1/4\""]
    assert row[-2:] == ["1", "1"]
    assert any("Notch from the top" in words for words in row)


def test_the_order_and_the_warnings_are_on_the_page() -> None:
    """Costs, findings, remarks and cautions are the plan's own."""
    words = " ".join(Page(elevations_html(PLAN)).words)
    for part in (
        "$136.80",
        "Total: $172.80",
        "the piece at the peak ends in two points",
        "the window W1 stands 12 in above the ground",
        "Siding is not the water barrier.",
    ):
        assert part in words


@pytest.mark.parametrize(
    "name",
    ["<b>\"&amp;'</title></script><img src=x onerror=alert(1)>", "{{ 7 * 7 }}{% if %}"],
)
def test_names_are_shown_as_they_are(name: str) -> None:
    """Nothing in a name becomes a tag, an attribute or a template."""
    page, plain = Page(elevations_html(renamed(PLAN, name))), Page(elevations_html(PLAN))
    assert page.tags.count("img") == page.tags.count("b") == 0
    assert set(page.tags) <= {*plain.tags, "circle"}
    assert any(name in words for words in page.words)
    for piece in renamed(PLAN, name).siding:
        assert page.anchors.count(anchor(piece.label)) == 1


def test_different_labels_have_different_anchors() -> None:
    """No two labels fall together, whatever signs they hold."""
    labels = ["A 1", "A_1", "A_20_1", "A1", "A/1", "Ä1", "A\u20281"]
    anchors = {anchor(label) for label in labels}
    assert len(anchors) == len(labels)
    assert all(name.isascii() and " " not in name for name in anchors)


def test_a_label_without_room_becomes_a_dot() -> None:
    """A name of eighty letters is not drawn over its neighbours."""
    text = elevations_html(renamed(PLAN, "W" * 80))
    assert text.count("<circle") == len(PLAN.siding)


def test_the_same_plan_gives_the_same_page() -> None:
    """Nothing but the plan gets into the page."""
    assert elevations_html(PLAN) == elevations_html(replace(PLAN))


def test_a_seam_under_a_slope_is_still_a_factory_end() -> None:
    """Where a shallow rake reaches over a seam, the end is told as both and drawn so."""
    profile = ((inches(0), inches(0)), (inches(5), inches(0)), (inches(8), inches(30)))
    siding = [
        replace(own, right=replace(own.right, profile=profile)) if own.label == "A-1-1" else own
        for own in PLAN.siding
    ]
    text = elevations_html(replace(PLAN, siding=tuple(siding)))
    start = text.index('<tr id="piece-A-1-1">')
    row = Page(text[start : text.index("</tr>", start) + 5]).words
    assert "FACTORY with a slope, seam" in row
    assert any(
        words.startswith("Right end FACTORY with a slope: square up to") for words in row
    )


def test_sides_of_openings_never_stand_on_each_other() -> None:
    """Four sides six inches apart are told in one row, in their order, without touching."""
    openings = tuple(
        replace(WINDOW, name=f"W{i}", x=inches(60 + 12 * i), width=inches(6)) for i in range(2)
    )
    view = view_wall(replace(WALL, openings=openings), PLAN)
    row = [w for w in view.words if w.text in ("5' 0\"", "5' 6\"", "6' 0\"", "6' 6\"")]
    row = [w for w in row if w.anchor == "middle" and w.y > view.box[1] + view.box[3] // 2]
    assert len(row) == 4
    assert len({w.y for w in row}) == 1
    for a, b in pairwise(row):
        assert b.x - a.x > 0.6 * a.size * len(a.text)
