"""The elevations on paper are read back from the PDF and compared with the plan."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from lapwright.job.reading import parse_job, read_job
from lapwright.measure import INCH, Unit
from lapwright.planning import make_plan
from lapwright_cli.paper import Paper
from lapwright_cli.reports.elevationbook import book_data, elevations_pdf
from lapwright_cli.reports.hanging import hanging_notes
from lapwright_cli.reports.poles import clad_courses
from lapwright_cli.reports.wallsheet import LEAST, draw_wall
from lapwright_cli.reports.wallwords import seam_span
from lapwright_cli.reports.writing import on_tape, on_wall
from tests.cli.reports.reading_back import NAMES, pages, size
from tests.cli.reports.small_plan import LABELS, PLAN, renamed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.plan import Plan

LONG = """
job: Long shed
siding: {material: vinyl double 4}
walls:
  - name: Front
    width: 130'
    height: 40'
    openings:
      - {name: A, kind: window, x: 20', sill: 3', width: 4', height: 4'}
      - {name: B, kind: window, x: 58' 3", sill: 14' 10", width: 5', height: 5'}
      - {name: C, kind: door, x: 100', sill: 0, width: 3', height: 7'}
"""
NARROW = """
job: Narrow places
siding: {material: vinyl double 4}
rules: {narrowest: 0}
walls:
  - name: Front
    width: 30'
    height: 8' 2-1/2"
    openings:
      - {name: A, kind: window, x: 4", sill: 2', width: 4', height: 4'}
      - {name: B, kind: window, x: 4' 9", sill: 2', width: 4', height: 4'}
"""


@pytest.fixture(scope="module")
def long() -> Plan:
    """Plan a wall that no page holds at a size that can be read."""
    return make_plan(parse_job(LONG, "x.yaml"), time_limit=2)


def flat(strokes: list[list[Any]], x: float = 0, y: float = 0) -> Iterator[list[Any]]:
    """Give all strokes on the paper, those inside a clip moved to where they are."""
    for stroke in strokes:
        if stroke[0] == "clip":
            yield from flat(stroke[5], x + stroke[1], y + stroke[2])
        elif stroke[0] == "text":
            yield ["text", stroke[1] + x, stroke[2] + y, *stroke[3:]]
        elif stroke[0] == "area":
            yield ["area", [[a + x, b + y] for a, b in stroke[1]], *stroke[2:]]
        else:
            x1, y1, x2, y2, *rest = stroke[1:]
            yield ["line", x1 + x, y1 + y, x2 + x, y2 + y, *rest]


def texts(wall: dict[str, Any]) -> list[list[tuple[str, float]]]:
    """Give the texts on each drawing of a wall, with their sizes."""
    return [
        [(s[3], s[4]) for s in flat(part["drawing"]["strokes"]) if s[0] == "text"]
        for part in wall["parts"]
    ]


def test_every_piece_is_drawn_once_and_listed_once() -> None:
    """In the PDF each label stands once on the drawing, once in its table, and in the notes."""
    told = [re.sub(r"[,.;:]$", "", w) for w in " ".join(pages(elevations_pdf(PLAN))).split()]
    notes = [
        re.sub(r"[,.;:]$", "", w)
        for n in hanging_notes(PLAN.job.walls[0], PLAN)
        for w in n.split()
    ]
    siding = {piece.label for piece in PLAN.siding}
    for label in LABELS:
        wanted = (2 if label in siding else 1) + notes.count(label)
        assert told.count(label) == wanted, label


@pytest.mark.parametrize("paper", list(Paper))
def test_every_label_of_a_demo_is_on_its_drawing_once(paper: Paper) -> None:
    """All walls of a demo, on both papers: each label once, and none too small to read."""
    plan = make_plan(read_job(Path("demo_jobs/tern_hollow_house.yaml")), time_limit=2)
    data = book_data(plan, paper)
    for wall, drawn in zip(plan.job.walls, data["walls"], strict=True):
        assert drawn["left_out"] == []
        found = [text for part in texts(drawn) for text, _ in part]
        for piece in plan.siding:
            assert found.count(piece.label) == (piece.wall == wall.mark)
        assert min(size for part in texts(drawn) for _, size in part) >= LEAST


def test_every_course_height_is_told_and_stands_where_it_is(long: Plan) -> None:
    """The line of a course is as far above the next as its exposure is, to scale, and named."""
    for plan in (PLAN, long):
        (wall,), (drawn,) = plan.job.walls, book_data(plan)["walls"]
        courses = clad_courses(wall, plan)
        found = set[int]()
        for part in drawn["parts"]:
            strokes = list(flat(part["drawing"]["strokes"]))
            names = {s[3]: s[2] for s in strokes if s[0] == "text"}
            lines = [s for s in strokes if s[0] == "line" and s[5] == 1.4 and s[2] == s[4]]
            places = {}
            for number, butt in enumerate(courses, 1):
                words = [t for t in names if t.split("  ")[0].strip() == str(number)]
                for text in words:
                    if text.split("  ", 1)[1].strip() == on_wall(butt, plan.job.unit):
                        places[number] = names[text]
                        found.add(number)
            heights = sorted((s[2] for s in lines), reverse=True)
            assert len(heights) == len(places)
            steps = {round(a - b, 1) for a, b in pairwise(heights)}
            assert max(steps) - min(steps) <= 0.11
        assert found == set(range(1, len(courses) + 1))
        text = " ".join(" ".join(pages(elevations_pdf(plan))).split())
        for number, butt in enumerate(courses, 1):
            assert f"Course {number} · butt edge {on_wall(butt, plan.job.unit)} up" in text


def test_a_piece_is_drawn_to_scale() -> None:
    """Pieces and window are as wide and as far apart on the paper as on the wall."""
    (drawn,) = book_data(PLAN)["walls"]
    strokes = list(flat(drawn["parts"][0]["drawing"]["strokes"]))
    rings = [s[1] for s in strokes if s[0] == "area" and len(s[1]) == 4 and s[3] == 0.5]
    first = next(r for r in rings if len({y for _, y in r}) == 2)
    wide = max(x for x, _ in first) - min(x for x, _ in first)
    scale = wide / (80 * INCH)
    (window,) = [s[1] for s in strokes if s[0] == "area" and s[2] == "opening"]
    assert max(x for x, _ in window) - min(x for x, _ in window) == pytest.approx(
        36 * INCH * scale, abs=0.05
    )
    tall = max(y for _, y in window) - min(y for _, y in window)
    assert tall == pytest.approx(8 * INCH * scale, abs=0.05)
    left = min(x for x, _ in window) - min(x for x, _ in first)
    assert left == pytest.approx((60 - 0.25) * INCH * scale, abs=0.05)


def test_a_wall_too_large_for_a_page_is_parted(long: Plan) -> None:
    """Every label is on a part, on none twice, large enough; parts overlap and fit the page."""
    for paper in Paper:
        (drawn,) = book_data(long, paper)["walls"]
        title = drawn["parts"][0]["title"].replace("\u00a0", " ")
        parts = texts(drawn)
        assert len(parts) > 1
        labels = {piece.label for piece in long.siding}
        for part in parts:
            own = [text for text, _ in part if text in labels]
            assert len(own) == len(set(own))
            assert min(size for _, size in part) >= LEAST
        assert {text for part in parts for text, _ in part} >= labels
        assert drawn["left_out"] == []
        lies = drawn["lies"]
        room = (paper.height if lies else paper.width) - 60
        assert all(part["drawing"]["width"] <= room for part in drawn["parts"])
        assert title.startswith(f"part 1 of {len(parts)}: 0' 0\" to ")
        told = " ".join(" ".join(pages(elevations_pdf(long, paper))).split())
        for number in range(1, len(parts) + 1):
            assert f"part {number} of {len(parts)}" in told


def test_parts_show_all_of_the_wall(long: Plan) -> None:
    """Side by side and in rows, each part begins before the one before it ends."""
    sheet = draw_wall(long.job.walls[0], long, 700, 450)
    places = [
        [int(a) * 12 + int(b) for a, b in re.findall(r"(\d+)' (\d+)", part.title)]
        for part in sheet.parts
    ]
    columns, rows = (
        sorted({(p[0], p[1]) for p in places}),
        sorted({(p[2], p[3]) for p in places}),
    )
    for spans, end in ((columns, 130 * 12), (rows, 40 * 12)):
        assert spans[0][0] == 0
        assert spans[-1][1] == end
        # A label of five letters has room in what two parts have in common.
        assert all(a[1] - b[0] >= 15 for a, b in pairwise(spans))
    assert len(places) == len(columns) * len(rows)


def test_fillers_between_openings_have_their_label_beside_them() -> None:
    """In 5 in no label fits; it stands in the window or outside the corner, never on siding."""
    plan = make_plan(parse_job(NARROW, "x.yaml"), time_limit=2)
    (drawn,) = book_data(plan)["walls"]
    (found,) = texts(drawn)
    labels = [text for text, _ in found]
    assert all(labels.count(piece.label) == 1 for piece in plan.siding)
    narrow = [piece for piece in plan.siding if piece.length < 6 * INCH]
    assert len(narrow) >= 8
    strokes = list(flat(drawn["parts"][0]["drawing"]["strokes"]))
    windows = [s[1] for s in strokes if s[0] == "area" and s[2] == "opening"]
    corner = min(x for s in strokes if s[0] == "area" and s[3] == 1.4 for x, _ in s[1])
    for piece in narrow:
        x, y = next((s[1], s[2]) for s in strokes if s[0] == "text" and s[3] == piece.label)
        assert x < corner or any(
            min(a for a, _ in ring) < x < max(a for a, _ in ring)
            and min(b for _, b in ring) < y < max(b for _, b in ring)
            for ring in windows
        ), piece.label


def test_a_cut_edge_is_dashed_and_told() -> None:
    """The notch below the window is a cut top edge: dashes on the drawing, words beside."""
    (drawn,) = book_data(PLAN)["walls"]
    strokes = flat(drawn["parts"][0]["drawing"]["strokes"])
    dashes = [s for s in strokes if s[0] == "line" and s[5] == 1.6]
    assert len(dashes) == 1
    assert "Thick dashes: cut top edge" in drawn["key"]
    assert any("A-2-1" in words for words in drawn["hanging"])
    bare = replace(PLAN, siding=tuple(replace(p, notches=()) for p in PLAN.siding))
    (plain,) = book_data(bare)["walls"]
    assert "dashes" not in plain["key"]


def planned(text: str) -> Plan:
    """Plan a job of one or two walls."""
    return make_plan(parse_job(text, "x.yaml"), time_limit=1.0)


@pytest.mark.parametrize(
    ("siding", "held"),
    [
        ("vinyl double 4", "sill-support channel there"),
        ("fiber-cement 8-1/4", "a strip as thick as the starter"),
    ],
)
def test_what_holds_a_first_course_that_is_ripped_is_told(siding: str, held: str) -> None:
    """A wall 5 in higher than its neighbour loses the lower edge of its first course."""
    wall = "{name: %s, width: 9', height: 8', base: %s}"
    walls = f"{wall % ('a', 0)}, {wall % ('b', 5)}"
    plan = planned(f"{{job: x, siding: {{material: {siding}}}, walls: [{walls}]}}")
    low, high = ([*hanging_notes(wall, plan)] for wall in plan.job.walls)
    assert not [note for note in low if note.startswith("Ripped foot")]
    (told,) = [note for note in high if note.startswith("Ripped foot")]
    assert "the bottom edge of B1.1 is cut" in told
    assert held in told


def test_trim_is_named_amid_the_sentence() -> None:
    """Words of the trade have no capital within a sentence, but for the letter J."""
    plan = planned(
        "{job: x, siding: {material: vinyl double 4}, walls: [{name: a, width: 14', height: 90,"
        " openings: [{name: W, x: 60, sill: 36, width: 24, height: 36}]}]}"
    )
    first = hanging_notes(plan.job.walls[0], plan)[0]
    assert first == (
        "Before the first course: trim of this wall (starter strip, outside corner post,"
        " J-channel, sill-support channel)."
    )


def test_joint_flashing_is_told_by_the_wall() -> None:
    """Journal of Light Construction: a strip 6 in wide behind every butt joint.

    20 ft of planks of 12 ft have one joint in each of the courses that pass no opening; the
    strips of all walls together are what the order counts.
    """
    walls = "{name: a, width: 20', height: 40}, {name: b, width: 10', height: 40}"
    plan = planned(f"{{job: x, siding: {{material: fiber-cement 8-1/4}}, walls: [{walls}]}}")
    long, short = ([*hanging_notes(wall, plan)] for wall in plan.job.walls)
    (told,) = [note for note in long if note.startswith("Joint flashing")]
    assert told.startswith(
        f'Joint flashing: a strip 6" wide behind each of {len(plan.seams)} butt'
    )
    assert not [note for note in short if note.startswith("Joint flashing")]
    (counted,) = [line for line in plan.supplies if line.name == "joint flashing"]
    assert counted.quantity == len(plan.seams) > 1


def test_a_seam_over_an_opening_is_drawn_above_it() -> None:
    """A garage door of 16 ft up to 84 in: the course from 80 in on has its seam over it.

    Where the seam is clear of it, the whole height of a course of 8 in is drawn.
    """
    plan = planned(
        "{job: x, siding: {material: vinyl double 4}, walls: [{name: a, width: 24', height: 9',"
        " openings: [{name: G, kind: garage door, x: 4', sill: 0, width: 16', height: 84}]}]}"
    )
    (wall,) = plan.job.walls
    spans = {seam.course: seam_span(seam, wall, plan) for seam in plan.seams}
    assert spans[11] == (84 * INCH, 88 * INCH)
    assert spans[12] == (88 * INCH, 96 * INCH)


def test_the_tables_tell_pieces_trim_and_heights() -> None:
    """One full course, the heights to mark, and the trim with its places."""
    (drawn,) = book_data(PLAN)["walls"]
    assert drawn["courses"][1] == {
        "heading": "Course 2 · butt edge 0'\u00a08\" up · seam 12'\u00a06-1/4\"",
        "rows": [
            ["A-2-1", '150"', "0' 1/4\"", "notched for W1", "3"],
            ["A-2-2", '50-1/2"', "12' 5-1/4\"", "", "4"],
        ],
    }
    assert ['12"', "1' 0\"", "sill W1"] in drawn["heights"]
    assert ["A-J5", "J-channel", "left rake", '101-1/4"', "1"] in drawn["trim"]
    assert len(drawn["trim"]) == len(PLAN.trim)
    words = " ".join(" ".join(pages(elevations_pdf(PLAN))).split())
    for row in (*drawn["trim"], *drawn["heights"]):
        assert " ".join(row).replace("\u00a0", " ") in words.replace("\u00a0", " ")


@pytest.mark.parametrize("paper", list(Paper))
def test_pages_are_numbered_and_on_the_paper_asked_for(paper: Paper) -> None:
    """Each page knows its number; the same plan gives the same bytes."""
    content = elevations_pdf(PLAN, paper)
    assert content == elevations_pdf(PLAN, paper)
    assert size(content) == ((612, 792) if paper is Paper.LETTER else (595, 842))
    read = pages(content)
    for number, text in enumerate(read, 1):
        assert f"page {number} of {len(read)}" in text
    assert "Wall A: South page 2" in " ".join(read[0].split())
    assert all("Wall A: South" in text for text in read[1:])


def test_metric_numbers_are_bare_and_said_to_be_millimetres() -> None:
    """Heights beside a metric wall have no unit each, but the drawing says which it is."""
    plan = replace(PLAN, job=replace(PLAN.job, unit=Unit.MILLIMETRE))
    (drawn,) = book_data(plan)["walls"]
    (found,) = texts(drawn)
    assert "Numbers are millimetres." in drawn["key"]
    assert not any('"' in text or "'" in text for text, _ in found)
    assert on_tape(PLAN.siding[0].length, Unit.MILLIMETRE) in " ".join(
        " ".join(pages(elevations_pdf(plan))).split()
    )


@pytest.mark.parametrize("name", [n for n in NAMES if max(n) < "\u0590"])
def test_names_are_set_as_they_are(name: str) -> None:
    """Nothing in a name is read as markup."""
    text = "".join("".join(pages(elevations_pdf(renamed(PLAN, name)))).split())
    # In labels of all pieces, notes and places of trim; zero-width breaks are no letters.
    assert text.replace("\u200b", "").count("".join(name.split())) > 20


@pytest.mark.parametrize("name", ["W" * 80, "wall " * 16, "日本🧱" * 20])
def test_long_names_stay_on_the_page(name: str) -> None:
    """A name of eighty letters takes some lines more, and no line is as long as it."""
    texts = pages(elevations_pdf(renamed(PLAN, name)))
    assert len(texts) < 20
    assert max(line.count("W") for text in texts for line in text.splitlines()) < 100


def test_letters_beyond_the_fonts_are_owned_up_to() -> None:
    """Where a name will show boxes, the first page says so."""
    assert "An empty box in a name" in pages(elevations_pdf(renamed(PLAN, "日本")))[0]


def test_soffits_are_drawn_with_their_numbers() -> None:
    """Each panel's number is on the drawing, each label and place in the table."""
    text = """
job: Shed
siding: {material: vinyl double 4}
walls: [{name: a, width: 60, height: 40}]
soffits:
  - {name: Front, length: 24, depth: 12, wall: a, right: outside corner}
  - {name: Porch, length: 30, depth: 20, panels: along}
"""
    plan = make_plan(parse_job(text, "x.yaml"))
    data = book_data(plan)
    front, porch = data["soffits"]
    for drawn, mark in ((front, "E1"), (porch, "E2")):
        (drawing,) = drawn["drawings"]
        found = [s[3] for s in flat(drawing["strokes"]) if s[0] == "text"]
        panels = [panel for panel in plan.soffits if panel.soffit == mark]
        assert [t for t in found if t.isdigit()] == [str(n + 1) for n in range(len(panels))]
        assert {p.label for p in plan.trim if p.wall == mark} == {
            row[0] for row in drawn["trim"]
        }
    assert ["E1-SO1", "Soffit panel", "", '11-1/2"'] in [row[:4] for row in front["trim"]]
    told = " ".join(" ".join(pages(elevations_pdf(plan))).split())
    assert told.count("E1-SO3") == 1
    assert "Soffit E2: Porch" in told


def test_trim_round_an_opening_is_named_at_its_sides() -> None:
    """Head over sill, left of right, all inside the hatch; nothing lies on another text.

    A letter of the drawing is 0.602 of its size wide and 0.73 of it high.
    """
    job = NARROW.replace('x: 4", sill', "x: 4', sill").replace("x: 4' 9\"", "x: 20'")
    plan = make_plan(parse_job(job, "x.yaml"), time_limit=2)
    strokes = list(flat(book_data(plan)["walls"][0]["parts"][0]["drawing"]["strokes"]))
    holes = [s[1] for s in strokes if s[0] == "area" and s[2] == "opening"]
    assert len(holes) == 2
    told = [s for s in strokes if s[0] == "text"]
    boxes = [(x, y, x + 0.602 * of * len(t), y + 0.73 * of) for _, x, y, t, of in told]
    for hole, name in zip(holes, "AB", strict=True):
        at = {}
        for side in ("head", "sill", "left side", "right side"):
            (label,) = [p.label for p in plan.trim if p.place == f"{name}, {side}"]
            if side == "sill":
                label += " " + next(p.label for p in plan.trim if p.place == f"under {name}")
            (at[side],) = [b for b, s in zip(boxes, told, strict=True) if s[3] == label]
        for left, top, right, foot in at.values():
            assert min(x for x, _ in hole) < left < right < max(x for x, _ in hole)
            assert min(y for _, y in hole) < top < foot < max(y for _, y in hole)
        assert at["head"][3] < at["sill"][1]
        assert at["left side"][2] < at["right side"][0]
    for place, (left, top, right, foot) in enumerate(boxes):
        for other in boxes[place + 1 :]:
            apart = right <= other[0] or other[2] <= left or foot <= other[1] or other[3] <= top
            assert apart


def test_no_label_lies_on_a_bar_of_head_flashing() -> None:
    """A course that begins 1 in below a head is told beside the bar, not through it.

    The door's head is at 82 in, the butt edge of the course at 81; bars are 3 pt thick.
    """
    job = """
job: Door
siding: {material: vinyl triple 3}
head_flashing: [door]
walls:
  - name: Front
    width: 11'
    height: 9'
    openings: [{name: D, kind: door, x: 5' 10", sill: 0, width: 38, height: 82}]
"""
    plan = make_plan(parse_job(job, "x.yaml"), time_limit=2)
    strokes = list(flat(book_data(plan)["walls"][0]["parts"][0]["drawing"]["strokes"]))
    (bar,) = [s for s in strokes if s[0] == "line" and s[5] == 3.0]
    assert {p.label for p in plan.siding} <= {s[3] for s in strokes if s[0] == "text"}
    for _, x, y, text, of in [s for s in strokes if s[0] == "text"]:
        if x < bar[3] and bar[1] < x + 0.602 * of * len(text):
            assert y >= bar[2] + 1.5 or y + 0.73 * of <= bar[2] - 1.5, text
