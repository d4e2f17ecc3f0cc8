"""Places along a wall stand where the outline in the job says."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from lapwright.job.reading import parse_job
from lapwright.measure import INCH
from lapwright.planning import make_plan
from lapwright_cli.reports.elevationbook import book_data
from lapwright_cli.reports.places import places_along
from lapwright_cli.reports.wallview import view_wall
from lapwright_cli.reports.wallwords import opening_rows, seam_span
from tests.cli.reports.test_elevationbook import flat, texts

if TYPE_CHECKING:
    from lapwright.plan import Plan

STEPPED = """
job: On a slope
siding: {material: vinyl double 4}
rules: {extra_seams: 1}
walls:
  - name: Right
    outline: [[0, 0], [8', 0], [8', 18], [24', 18], [24', 106], [12', 178], [0, 106]]
    lower_edges: ground
    openings:
      - {name: Kitchen window left, kind: window, x: 4', sill: 4', width: 3', height: 3'}
      - {name: V, kind: vent, shape: round, x: 11', sill: 11', width: 2', height: 2'}
"""


@pytest.fixture(scope="module")
def stepped() -> Plan:
    """Plan a gable wall on a foundation that steps up 18 in at 8 ft.

    No panel of 12 ft 6 in reaches from there to the right end: some seam is over the step.
    """
    return make_plan(parse_job(STEPPED, "x.yaml"), time_limit=1.0)


def test_sides_steps_and_peak_are_named_below_the_wall(stepped: Plan) -> None:
    """Each number has the name of what stands there, a long one cut off."""
    (wall,) = stepped.job.walls
    told = [
        "Kitchen windo…: 4' 0\"",
        "Kitchen windo…: 7' 0\"",
        "step 1: 8' 0\"",
        "V: 11' 0\"",
        "peak: 12' 0\"",
        "V: 13' 0\"",
    ]
    assert [text for _, text in places_along(wall, stepped.job.unit)] == told
    (drawn,) = book_data(stepped)["walls"]
    assert {text for part in texts(drawn) for text, _ in part} >= set(told)


@pytest.mark.parametrize(
    ("outline", "told"),
    [
        # A gambrel bends twice; both ends of the step in the middle are told.
        (
            "[[0, 0], [60, 0], [60, 8], [90, 8], [90, 0], [144, 0], [144, 96], [120, 132],"
            " [72, 144], [24, 132], [0, 96]]",
            [
                "corner: 2' 0\"",
                "step 1: 5' 0\"",
                "peak: 6' 0\"",
                "step 1: 7' 6\"",
                "corner: 10' 0\"",
            ],
        ),
        # Nothing but its ends: a shed has no peak.
        ("[[0, 0], [144, 0], [144, 96], [0, 120]]", []),
    ],
)
def test_corners_between_the_ends_are_told(outline: str, told: list[str]) -> None:
    """Bends of the roof's line are corners, the highest of a slope up and down the peak."""
    text = (
        "{job: x, siding: {material: vinyl double 4}, walls: [{name: a, lower_edges: ground,"
        f" outline: {outline}}}]}}"
    )
    job = parse_job(text, "x.yaml")
    assert [words for _, words in places_along(job.walls[0], job.unit)] == told


def test_a_seam_over_a_step_ends_at_the_wall(stepped: Plan) -> None:
    """Course 3 begins at 16 in; right of 8 ft its seams stand over a step at 18 in."""
    (wall,) = stepped.job.walls
    seams = [seam for seam in stepped.seams if seam.course == 3]
    assert any(seam.x > 96 * INCH for seam in seams)
    for seam in seams:
        low = 18 if seam.x > 96 * INCH else 16
        assert seam_span(seam, wall, stepped) == (low * INCH, 24 * INCH)


def test_a_ripped_bottom_is_dashed_and_its_label_keeps_off_it(stepped: Plan) -> None:
    """Dashes run over the whole step, 24 - 8 ft, and each label stands above them."""
    (drawn,) = book_data(stepped)["walls"]
    assert drawn["key"].endswith(
        "Thick dashes: cut top or bottom edge, to punch and to support."
    )
    (part,) = drawn["parts"]
    strokes = list(flat(part["drawing"]["strokes"]))
    ripped = {
        piece.label
        for piece in stepped.siding
        if any(notch.opening == "step" for notch in piece.notches)
    }
    dashes = [s for s in strokes if s[0] == "line" and s[6] and s[5] == 1.6 and s[2] == s[4]]
    labels = [s for s in strokes if s[0] == "text" and s[3] in ripped]
    assert len(labels) == len(ripped) > 0
    foot = max(dash[2] for dash in dashes)
    over = [s for s in labels if s[1] > min(dash[1] for dash in dashes if dash[2] == foot)]
    assert over
    assert all(y + 0.73 * high < foot - 0.8 for _, _, y, _, high in over)
    wide = next(s for s in strokes if s[0] == "text" and s[3] == "wide 24' 0\"")
    span = max(s[3] - s[1] for s in strokes if s[0] == "line" and abs(s[2] - wide[2]) < 4)
    own = [dash for dash in dashes if dash[2] == foot]
    assert max(d[3] for d in own) - min(d[1] for d in own) == pytest.approx(2 * span / 3, abs=6)


def test_a_label_on_the_page_keeps_off_a_ripped_bottom(stepped: Plan) -> None:
    """Between a label and the step below it stays a tenth of its letters, at least."""
    (wall,) = stepped.job.walls
    view = view_wall(wall, stepped)
    ripped = [p.label for p in stepped.siding if any(n.opening == "step" for n in p.notches)]
    labels = [p.words for p in view.pieces if p.label in ripped and p.words]
    foot = max(int(spot.split(",")[1]) for spot in view.outline.split())
    over = [w for w in labels if w.x > 8 * 12 * 25.4]
    assert over
    assert all(foot - 18 * 25.4 - w.y > 0.1 * w.size for w in over)


def test_a_bottom_ripped_in_part_says_which_part() -> None:
    """A step at 100 in below a piece that ends 1/4 in before 140 in.

    A notch is cut 1/4 in wider than what it is for, so that 139-3/4 - 99-3/4 in are ripped.
    """
    text = (
        "{job: x, siding: {material: vinyl double 4}, walls: [{name: a, lower_edges: ground,"
        " outline: [[0, 0], [100, 0], [100, 2], [140, 2], [140, 96], [0, 96]]}]}"
    )
    plan = make_plan(parse_job(text, "x.yaml"), time_limit=1.0)
    (drawn,) = book_data(plan)["walls"]
    assert drawn["courses"][0]["rows"][0][3] == 'ripped bottom: the right 40"'
    (told,) = [note for note in drawn["hanging"] if note.startswith("Ripped foot")]
    assert 'bottom edge of A1.1 (only the right 40") is cut' in told.replace("\u00a0", " ")


def test_the_shape_of_an_opening_is_told_with_its_kind() -> None:
    """The box alone would not tell a round vent from a square one; out of level is no shape."""
    box = "sill: 12, width: 24, height: 24"
    text = (
        "{job: x, siding: {material: vinyl double 4}, walls: [{name: a, width: 20', height: 9',"
        f" openings: [{{name: R, kind: vent, shape: round, x: 0, {box}}},"
        f" {{name: A, shape: arched, x: 30, {box}}}, {{name: O, shape: octagon, x: 60, {box}}},"
        " {name: P, shape: polygon, corners: [[90, 12], [114, 12], [100, 36]]},"
        f" {{name: D, kind: door, x: 120, {box}}},"
        " {name: L, x: 150, sill: {left: 12, right: 13}, width: 24, height: 24}]}]}"
    )
    plan = make_plan(parse_job(text, "x.yaml"), time_limit=1.0)
    assert [row[:2] for row in opening_rows(plan.job.walls[0], plan)] == [
        ("R", "round vent"),
        ("A", "arched window"),
        ("O", "octagonal window"),
        ("P", "window by its corners"),
        ("D", "door"),
        ("L", "window"),
    ]
