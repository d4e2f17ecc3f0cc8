"""The page of elevations is parsed and compared with the plan."""

from __future__ import annotations

from dataclasses import replace
from html import unescape
from html.parser import HTMLParser
from itertools import pairwise

import pytest
from shapely import Point, Polygon, box

from lapwright.job.reading import parse_job
from lapwright.planning import make_plan
from lapwright_cli.paper import Paper
from lapwright_cli.reading import reading_text
from lapwright_cli.reports.elevations import anchor, elevations_html, plan_hash
from lapwright_cli.reports.hanging import hanging_notes
from lapwright_cli.reports.shapes import support_words
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
        if data.strip() and self.open[-1] not in ("style", "script"):
            self.words.append(" ".join(data.split()))


def test_every_piece_has_its_anchor_once() -> None:
    """Each label can be linked to, and every link of the page leads somewhere."""
    page = Page(elevations_html(PLAN))
    for label in LABELS:
        assert page.anchors.count(anchor(label)) == 1
    assert len(page.anchors) == len(set(page.anchors))
    assert {link.removeprefix("#") for link in page.links} <= set(page.anchors)
    assert page.open == []


@pytest.mark.parametrize("paper", list(Paper))
def test_the_page_is_printed_on_the_paper_asked_for(paper: Paper) -> None:
    """The paper's name is the one that style sheets know (CSS Paged Media Module Level 3)."""
    assert f"@page {{ size: {paper.value} landscape" in elevations_html(PLAN, paper)


def test_the_page_needs_nothing_from_elsewhere() -> None:
    """No address, no import, and a rule that lets the browser load nothing."""
    text = elevations_html(PLAN)
    page = Page(text)
    assert "://" not in text
    assert "@import" not in text
    assert "url(" not in text.replace("url(#hatch-1)", "")
    assert "default-src 'none'" in text
    assert page.tags.count("script") == 1
    assert page.outside == []
    assert all(link.startswith("#") for link in page.links)


def test_the_drawing_holds_labels_openings_and_dimensions() -> None:
    """Labels, the opening's name, heights of courses and sides of openings are drawn."""
    text = elevations_html(PLAN)
    drawing = Page(text[text.index("<svg") : text.index("</svg>") + 6]).words
    for piece in PLAN.siding:
        assert piece.label in drawing
    # Courses of 8 in; the window from 60 to 96 in; the wall 200 in wide and 32 in high.
    for words in ("2: 0' 8\"", "4: 2' 0\"", "W1", "wide 16' 8\"", "2' 8\""):
        assert words in drawing
    # The peak stands over the middle of 200 in.
    for words in ("W1: 5' 0\"", "W1: 8' 0\"", "peak: 8' 4\""):
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
    assert row[-2:] == ["3", "1"]
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
    assert page.tags.count("script") == 1
    assert any(name in words for words in page.words)
    for piece in renamed(PLAN, name).siding:
        assert page.anchors.count(anchor(piece.label)) == 1


def test_different_labels_have_different_anchors() -> None:
    """No two labels fall together, whatever signs they hold."""
    labels = ["A 1", "A_1", "A_20_1", "A1", "A/1", "Ä1", "A\u20281"]
    anchors = {anchor(label) for label in labels}
    assert len(anchors) == len(labels)
    assert all(name.isascii() and " " not in name for name in anchors)


CHEEK = """
job: Dormer
siding: {material: vinyl triple 3}
walls:
  - {name: Cheek, outline: [[0, 0], [6', 4' 6"], [0, 4' 6"]], right: j-channel}
  - name: Gable
    width: 20'
    height: 5'
    gable: {pitch: 7/12}
    openings: [{name: R, kind: window, shape: round, x: 9', sill: 4', width: 2', height: 2'}]
"""


ZONES = """
job: Zones
siding: {material: vinyl double 4}
sidings:
  - {material: plank, family: butted, exposure: 6, stock: [{length: 12'}]}
rules: {furring: 2, crimp_spacing: 4}
walls:
  - name: Gable
    width: 20'
    height: 5' 3"
    gable: {rise: 6'}
    openings: [{name: W, kind: window, x: 8', sill: 7' 3", width: 2', height: 2'}]
    zones: [{top: 5' 3", band: 9-1/4"}, {siding: plank}]
"""


@pytest.mark.parametrize(
    ("place", "told"),
    [
        ("12' 6\"", "12' 6\" from its left end: hang each course from both ends towards there"),
        ("-2'", "its left end: hang each course from right to left"),
        ("0", "its left end: hang each course from right to left"),
        ("30'", "its right end: hang each course from left to right"),
    ],
)
def test_laps_face_away_from_where_people_look(place: str, told: str) -> None:
    """Vinyl Siding Institute, Installation Manual, Horizontal Siding: laps face away.

    So the panel nearer to who looks lies on top: courses begin at the far ends.
    """
    text = """
job: Seen
siding: {{material: {siding}}}
walls: [{{name: Front, width: 30', height: 5', {more}}}]
"""
    for siding, laps in (("vinyl double 4", 1), ("fiber-cement 8-1/4", 0)):
        job = parse_job(text.format(siding=siding, more=f"seen_from: {place}"), "x.yaml")
        notes = hanging_notes(job.walls[0], make_plan(job, time_limit=2.0))
        assert sum(f"this wall is seen from {told}, so that" in note for note in notes) == laps
        assert sum("from left to right, as the table" in note for note in notes) == 1 - laps


@pytest.mark.parametrize(
    ("unit", "place", "told"),
    [
        ("in", "12' 6\"", ", seen from 12' 6\" from its left end"),
        ("in", "-30", ", seen from 2' 6\" left of its left end"),
        ("mm", "3810", ", seen from 3810 mm from its left end"),
    ],
)
def test_the_reading_tells_from_where_a_wall_is_seen(unit: str, place: str, told: str) -> None:
    """What was understood of `seen_from` stands in the line of the wall; 30 in is 2 ft 6 in."""
    text = f"""
job: Seen
unit: {unit}
siding: {{material: vinyl double 4}}
walls: [{{name: Front, width: 30', height: 5', seen_from: {place}}}]
"""
    wall = next(
        line
        for line in reading_text(parse_job(text, "x.yaml")).splitlines()
        if "Front:" in line
    )
    assert wall.endswith(told)


def test_a_band_and_each_siding_are_told_in_their_turn() -> None:
    """The band comes between two zones; planks are not furred or punched; rules are the job's.

    By hand: courses of 8 in up to 63 in, of which the eighth has 7 in and keeps 6-7/8 in;
    it loses 1-1/8 in, which is less than the furring that the job asks for.
    """
    plan = make_plan(parse_job(ZONES, "x.yaml"))
    told = " ".join(hanging_notes(plan.job.walls[0], plan))
    assert "Belly band: when course 8 is up, before course 9." in told
    assert 'Crimp the cut edge every 4"' in told
    assert "Furring" not in told
    for piece in plan.siding:
        words = support_words(piece, plan)
        assert (piece.siding == "plank") <= (words == ())


def test_a_label_lies_in_its_piece() -> None:
    """No label runs over a slope, a notch or a curve (shapely is the oracle)."""
    plan = make_plan(parse_job(CHEEK, "x.yaml"))
    seen = 0
    for wall in plan.job.walls:
        for piece in view_wall(wall, plan).pieces:
            whole = ring(piece.points)
            for hole in piece.holes:
                whole = whole.difference(ring(hole))
            if piece.words is None:
                assert whole.buffer(5).contains(Point(piece.dot))
                continue
            seen += 1
            half, tall = (
                0.31 * piece.words.size * len(piece.words.text),
                0.72 * piece.words.size,
            )
            x, base = piece.words.x, piece.words.y
            assert whole.buffer(2).covers(box(x - half, base - tall, x + half, base)), (
                piece.label
            )
    assert seen > 15


def ring(points: str) -> Polygon:
    """Read the corners of a polygon."""
    return Polygon([tuple(map(int, spot.split(","))) for spot in points.split()])


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
    """Four sides six inches apart are told in their order without touching, in two rows.

    With their names they are longer than the wall of 200 in is wide.
    """
    openings = tuple(
        replace(WINDOW, name=f"W{i}", x=inches(60 + 12 * i), width=inches(6)) for i in range(2)
    )
    view = view_wall(replace(WALL, openings=openings), PLAN)
    sides = ("W0: 5' 0\"", "W0: 5' 6\"", "W1: 6' 0\"", "W1: 6' 6\"")
    told = [w for w in view.words if w.text in sides]
    assert tuple(w.text for w in sorted(told, key=lambda w: sides.index(w.text))) == sides
    rows = [[w for w in told if w.y == y] for y in sorted({w.y for w in told})]
    for row in rows:
        assert [w.x for w in row] == sorted(w.x for w in row)
        for a, b in pairwise(row):
            assert b.x - a.x > 0.6 * a.size * (len(a.text) + len(b.text)) / 2
    for upper, lower in pairwise(rows):
        assert lower[0].y - upper[0].y > lower[0].size


def test_a_label_is_an_anchor_as_it_is() -> None:
    """A link to the bare label leads to its row, without any script."""
    page = Page(elevations_html(PLAN))
    for label in LABELS:
        assert page.anchors.count(label) == 1


@pytest.mark.parametrize("label", ["order", "wall-1-name", "sheet-1", "main", "a b", "<i>"])
def test_no_label_takes_an_anchor_of_the_page(label: str) -> None:
    """A label that is called as a part of the page is reached by its long anchor alone."""
    trim = (replace(PLAN.trim[0], label=label), *PLAN.trim[1:])
    bars = PLAN.materials[1].bars
    cuts = (bars[0].cuts[0], replace(bars[0].cuts[1], label=label))
    material = replace(PLAN.materials[1], bars=(replace(bars[0], cuts=cuts), *bars[1:]))
    page = Page(
        elevations_html(replace(PLAN, trim=trim, materials=(PLAN.materials[0], material)))
    )
    assert len(page.anchors) == len(set(page.anchors))
    assert anchor(label) in page.anchors


def test_a_sheet_lists_its_marks_and_pieces() -> None:
    """Bar 2 has 50-1/2 in at its left and 80 in at its right: two crosscuts."""
    text = elevations_html(PLAN)
    start = text.index('<article id="sheet-4"')
    part = text[start : text.index("</article>", start) + 10]
    words = " ".join(Page(part).words).replace("\u2060", "")
    assert '50-1/2"; 70", blade left of the mark' in words
    assert '0" to 50-1/2" (50-1/2") : A-2-2' in words
    assert '70" to 150" (80") : A-1-1' in words


def test_every_piece_can_be_ticked() -> None:
    """Two boxes a piece, each with a name."""
    text = elevations_html(PLAN)
    for label in LABELS:
        for what in ("cut", "hung"):
            assert text.count(f'aria-label="{label} {what}"') == 1


def test_ticks_belong_to_one_plan() -> None:
    """The name that ticks are kept under is another for any other plan."""
    other = replace(PLAN, siding=(replace(PLAN.siding[0], run=2), *PLAN.siding[1:]))
    assert plan_hash(PLAN) == plan_hash(replace(PLAN))
    assert plan_hash(PLAN) != plan_hash(other)


def test_cut_top_edges_are_told_on_the_wall() -> None:
    """The notch below the window leaves 3-7/8 of 8 in, so more than 1 in is cut off.

    Crimps every 6 in, and furring where more than 1 in is cut off: Larry Haun, Habitat for
    Humanity: How to Build a House, Taunton Press, the chapter on siding.
    """
    trim, siding, punch, furring = hanging_notes(WALL, PLAN)
    assert "J-channel" in trim
    assert "from left to right" in siding
    assert "A-2-1 is cut" in punch
    assert 'every 6"' in punch
    assert 'more than 1" is cut off A-2-1' in furring


def test_the_trim_round_an_opening_stands_beside_it() -> None:
    """Each side has the pieces that the table of trim gives that place."""
    places = ("W1, head", "over W1", "W1, sill", "under W1", "W1, left side", "W1, right side")
    trim = tuple(replace(t, place=p) for t, p in zip(PLAN.trim, places, strict=True))
    page = unescape(elevations_html(replace(PLAN, trim=trim))).replace("\u2060", "")
    told = "head A-J1 A-J2; sill A-J3 A-J4; left A-J5; right A-J6"
    assert f'<td class="round">{told}</td></tr>' in page.replace("\u00a0", " ")
    bare = tuple(replace(t, place=f"W10, {t.place}") for t in PLAN.trim)
    assert told.split(";")[1] not in elevations_html(replace(PLAN, trim=bare))
