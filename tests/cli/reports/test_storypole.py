"""Story poles: every height to mark, in tables and on strips at full size."""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from shutil import which
from typing import TYPE_CHECKING, Any

import pytest

from lapwright.job.reading import parse_job
from lapwright.measure import INCH, MILLIMETRE, Unit
from lapwright.planning import make_plan
from lapwright_cli.paper import Paper
from lapwright_cli.reports.elevations import elevations_html
from lapwright_cli.reports.poles import MarkKind, poles
from lapwright_cli.reports.storypole import mark_rows, pole_data, story_pole_pdf
from lapwright_cli.reports.wallwords import opening_rows
from tests.cli.reports.reading_back import pages, size, words
from tests.cli.reports.small_plan import JOB, PLAN, WALL, inches

if TYPE_CHECKING:
    from pathlib import Path

POINTS_AN_INCH = 72


def strips(data: dict[str, Any]) -> list[dict[str, Any]]:
    """Give all strips of all poles."""
    return [s for pole in data["poles"] for page in pole["pages"] for s in page]


def test_the_table_has_every_height() -> None:
    """Four courses of 8 in, the window from 12 to 20 in, eaves of the gable at 16 in.

    Its peak is 16 in above them, over the middle of 200 in.
    """
    (pole,) = poles(PLAN)
    assert mark_rows(pole, Unit.INCH) == [
        ('0"', "0' 0\"", "course 1"),
        ('0"', "0' 0\"", "bottom (A)"),
        ('8"', "0' 8\"", "course 2"),
        ('12"', "1' 0\"", "sill W1 (A)"),
        ('16"', "1' 4\"", "course 3"),
        ('16"', "1' 4\"", "eave (A)"),
        ('20"', "1' 8\"", "head W1 (A)"),
        ('24"', "2' 0\"", "course 4"),
        ('32"', "2' 8\"", "peak, 8' 4\" from the left (A)"),
    ]
    page = elevations_html(PLAN)
    assert "sill W1 (A)" in page
    assert "zero: bottom of wall A" in page


def test_the_level_is_checked_each_fifth_course() -> None:
    """Vinyl Siding Institute, Installation Manual: the level is checked each 5th or 6th course.

    When five courses of 8 in are up, the sixth begins at 40 in.
    """
    text = "{job: x, siding: {material: vinyl double 4}, rules: {%s}, walls: [%s]}"
    wall = "{name: a, width: 12', height: 9'}"
    for rules, heights in (("", (40, 80)), ("level_check: 6", (48, 96))):
        plan = make_plan(parse_job(text % (rules, wall), "x.yaml"), time_limit=1.0)
        (pole,) = poles(plan)
        told = [mark.height for mark in pole.marks if "check the level" in mark.text]
        assert told == [inches(height) for height in heights]


def test_a_starter_is_marked_only_where_there_is_one() -> None:
    """2 in over the bottom and over the butt edge above a band; none on a dormer's cheek.

    The band ends at 4 ft 9-1/4 in, the zone's first butt edge 1/4 in over it.
    """
    text = (
        "{job: x, siding: {material: vinyl double 4}, walls: ["
        "{name: a, width: 12', height: 9', zones: [{top: 4', band: 9-1/4}, {}]},"
        "{name: b, part: dormer, outline: [[0, 0], [6', 4'], [0, 4']]}]}"
    )
    plan = make_plan(parse_job(text, "x.yaml"), time_limit=1.0)
    told = {
        pole.walls: [m.height for m in pole.marks if m.kind is MarkKind.STARTER]
        for pole in poles(plan)
    }
    assert told == {("A",): [inches(2), inches(48 + 9.25 + 0.25 + 2)], ("B",): []}


def test_walls_with_lines_of_their_own_have_their_own_pole() -> None:
    """A wall that shares its lines stands on one pole, one with a start on another."""
    shared = [replace(WALL, mark=mark, name=mark, start=None) for mark in "AB"]
    walls = (*shared, replace(WALL, mark="C", name="C", base=inches(4)))
    figures = tuple(replace(PLAN.walls[0], wall=wall.mark) for wall in walls)
    plan = replace(PLAN, job=replace(JOB, walls=walls), walls=figures)
    assert [pole.walls for pole in poles(plan)] == [("A", "B"), ("C",)]


def test_marks_are_up_from_the_lowest_bottom() -> None:
    """A wall whose bottom stands 16 in higher has its marks 16 in higher."""
    walls = tuple(
        replace(WALL, mark=mark, name=mark, start=None, base=inches(base))
        for mark, base in (("A", 0), ("B", 16))
    )
    figures = tuple(replace(PLAN.walls[0], wall=wall.mark) for wall in walls)
    plan = replace(PLAN, job=replace(JOB, walls=walls), walls=figures)
    (pole,) = poles(plan)
    found = {(m.height, m.kind): m.text for m in pole.marks}
    assert found[inches(16), MarkKind.COURSE] == "course 3 (A); course 1 (B)"
    assert found[inches(36), MarkKind.HEAD] == "head W1 (B)"
    assert pole.zero == "bottom of wall A"


@pytest.mark.parametrize(
    ("unit", "check", "strip"),
    [(Unit.INCH, 6 * INCH, 9 * INCH), (Unit.MILLIMETRE, 150 * MILLIMETRE, 230 * MILLIMETRE)],
)
def test_strips_are_at_full_size(unit: Unit, check: int, strip: int) -> None:
    """A tick on the wall is a tick on paper: the check bar, the strips, and every line."""
    data = pole_data(replace(PLAN, job=replace(JOB, unit=unit)))
    scale = POINTS_AN_INCH / INCH
    assert data["check"]["height"] == pytest.approx(check * scale, abs=0.01)
    laid = strips(data)
    assert len(laid) == -(-32 * INCH // strip)
    # The lines of courses are the thick ones that go right across.
    heights = []
    for number, one in enumerate(laid):
        drawing = one["drawing"]
        for stroke in drawing["strokes"]:
            if stroke[0] == "line" and stroke[1] == 0 and stroke[5] == 1.4:
                up = drawing["height"] - stroke[2]
                heights.append(number * strip + up / scale)
    assert heights == pytest.approx([8 * INCH * n for n in range(4)], abs=INCH / 500)


@pytest.mark.parametrize("unit", [Unit.INCH, Unit.MILLIMETRE])
def test_the_pages_say_how_to_print_them(unit: Unit, tmp_path: Path) -> None:
    """Scale, check bar and joins are told; the same plan gives the same bytes."""
    plan = replace(PLAN, job=replace(JOB, unit=unit))
    made = story_pole_pdf(plan)
    assert made == story_pole_pdf(plan)
    if which("pdftotext") is None:
        pytest.skip("no pdftotext on this machine")
    file = tmp_path / "pole.pdf"
    file.write_bytes(made)
    text = subprocess.run(
        ["pdftotext", "-layout", str(file), "-"], capture_output=True, text=True, check=True
    ).stdout
    for told in ("full size (1 : 1)", "check bar", "tape under 2", "Zero: bottom of wall A"):
        assert told in text
    info = subprocess.run(["pdfinfo", str(file)], capture_output=True, text=True, check=True)
    paper = re.search(r"Page size:\s+([\d.]+) x ([\d.]+)", info.stdout)
    assert paper
    wide = 612 if unit is Unit.INCH else 595.28
    assert float(paper[1]) == pytest.approx(wide, abs=0.01)


@pytest.mark.parametrize("unit", [Unit.INCH, Unit.MILLIMETRE])
@pytest.mark.parametrize(
    ("paper", "wanted"), [(Paper.LETTER, (612, 792)), (Paper.A4, (595, 842))]
)
def test_the_paper_that_is_asked_for_goes_before_the_unit(
    unit: Unit, paper: Paper, wanted: tuple[int, int]
) -> None:
    """Inches on A4 and millimetres on letter: all of a strip on one page, at full size."""
    plan = replace(PLAN, job=replace(JOB, unit=unit))
    made = story_pole_pdf(plan, paper)
    assert size(made) == wanted
    # A page of tables, and one for each three strips.
    assert len(pages(made)) == 1 + len(pole_data(plan, paper)["poles"][0]["pages"])
    assert "100 %" in words(made)


def test_a_course_in_the_tops_clearance_is_not_marked() -> None:
    """A line 1/16 in under the top, which keeps 1/8 in clear, has no siding above it."""
    figures = replace(
        PLAN.walls[0],
        courses=(*PLAN.walls[0].courses, inches(31.9375)),
        tops=(*PLAN.walls[0].tops, inches(39.9375)),
    )
    assert PLAN.job.rules.sill_clearance == inches(0.125)
    (pole,) = poles(replace(PLAN, walls=(figures,)))
    assert [m.text for m in pole.marks if m.kind is MarkKind.COURSE][-1] == "course 4"


def test_a_sill_out_of_level_is_marked_and_told_at_both_sides() -> None:
    """It rises from 37 to 37-1/4 in, and the head above it from 85 to 85-1/4."""
    text = (
        "{job: x, siding: {material: vinyl double 4}, walls: [{name: a, width: 12', height: 9',"
        " openings: [{name: W, x: 24, sill: {left: 37, right: 37-1/4}, width: 36,"
        " height: 48}]}]}"
    )
    plan = make_plan(parse_job(text, "x.yaml"), time_limit=1.0)
    (pole,) = poles(plan)
    told = {mark.text: mark.height for mark in pole.marks}
    assert told["sill W, left side (A)"] == inches(37)
    assert told["sill W, right side (A)"] == inches(37.25)
    assert told["head W, right side (A)"] == inches(85.25)
    ((*_, sill, head, large),) = opening_rows(plan.job.walls[0], plan)
    assert (sill, head) == (
        "left 3' 1\" / right 3' 1-1/4\"",
        "left 7' 1\" / right 7' 1-1/4\"",
    )
    assert large == '36" × 48"'


def test_steps_and_lower_roofs_are_marked() -> None:
    """A foundation that steps up 24 in has its starter's top 2 in over the step."""
    text = (
        "{job: x, siding: {material: vinyl double 4}, walls: [{name: a, lower_edges: %s,"
        " outline: [[0, 0], [100, 0], [100, 24], [140, 24], [140, 96], [0, 96]]}]}"
    )
    told = {}
    for edge in ("ground", "roof"):
        plan = make_plan(parse_job(text % edge, "x.yaml"), time_limit=1.0)
        (pole,) = poles(plan)
        told[edge] = {
            (mark.height / INCH, mark.text)
            for mark in pole.marks
            if mark.kind in (MarkKind.FOOT, MarkKind.STARTER)
        }
    common = {(0, "bottom (A)"), (2, "top of starter strip (A)")}
    # From 100 in, which is 8 ft 4, to 140 in, which is 11 ft 8.
    at = "8' 4\" to 11' 8\" from the left (A)"
    assert told["ground"] == common | {
        (24, f"step 1, {at}"),
        (26, "top of starter strip (A)"),
    }
    assert told["roof"] == common | {(24, f"lower roof 1, {at}")}


@pytest.mark.parametrize("height", [8.875, 9.0625])
def test_no_text_lies_on_the_marks_that_strips_are_joined_by(height: float) -> None:
    """A course 1/8 in under or 1/16 in over the joint of two strips of 9 in is told beside.

    The joints are at the foot of a strip and below its tab; their crosses are 14 pt high.
    """
    figures = replace(
        PLAN.walls[0], courses=(*PLAN.walls[0].courses[:1], inches(height), inches(17))
    )
    laid = strips(pole_data(replace(PLAN, walls=(figures,))))
    for number, one in enumerate(laid):
        drawing = one["drawing"]
        joints = [drawing["height"]] if number else []
        joints += [drawing["height"] - 9 * 72] if number < len(laid) - 1 else []
        told = [s for s in drawing["strokes"] if s[0] == "text" and "course" in s[3]]
        for _, _, y, _, high in told:
            assert all(y + 0.73 * high <= at - 7 or y >= at + 7 for at in joints)
    assert any("course 2" in str(one) for one in laid)
