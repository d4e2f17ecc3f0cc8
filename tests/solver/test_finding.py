"""What the crew must know before it buys: openings that no stock length spans.

Larry Haun, *Habitat for Humanity: How to Build a House*, siding chapter: no joint of panels
directly below or above a window, where one can be had.
"""

from __future__ import annotations

import pytest

from lapwright.check import recount
from lapwright.job.reading import parse_job
from lapwright.planning import make_plan
from lapwright.record import plan_record

GARAGE = """
job: Carport
siding: {{material: {siding}, stock: [{{length: {stock}}}]}}
walls:
  - name: Front
    width: 24'
    height: 9'
    openings: [{{name: G, kind: {kind}, x: {x}, sill: {sill}, width: {width}, height: 5'}}]
"""


def findings(**words: str) -> list[str]:
    """Plan a wall with one opening; give what is said of its width."""
    usual = {"siding": "vinyl double 4", "stock": "150", "kind": "garage door"}
    usual |= {"x": "4'", "sill": "0", "width": "16'"}
    job = parse_job(GARAGE.format(**(usual | words)), "job.yaml")
    return [finding for finding in make_plan(job).findings if "does not span" in finding]


def test_an_opening_wider_than_any_panel() -> None:
    """The finding names wall, opening, width and panel; 192 + 2 x (1/4 + 1) would do.

    1/4 in is the side clearance, and the panel laps 1 in beyond it at both ends.
    """
    assert findings() == [
        'wall A, opening G: 192" wide; the longest stock length of 150" does not span it with'
        ' its seams clear, so that one must lie over it; a stock length of 194-1/2" would'
        " cure it"
    ]


@pytest.mark.parametrize(
    ("width", "stock", "told"),
    [
        # 147-1/2 + 2 x (1/4 + 1) = 150, and a sixteenth more is too much.
        ("147-1/2", "150", False),
        ("147-9/16", "150", True),
        ("192", "194-1/2", False),
    ],
)
def test_a_panel_must_reach_over_its_laps(width: str, stock: str, *, told: bool) -> None:
    """A panel spans an opening if its laps lie beyond the side clearances as well."""
    assert bool(findings(width=width, stock=stock)) is told


def test_a_run_that_ends_beside_the_opening_needs_no_lap() -> None:
    """From the stop at 1/4 in on, a panel must reach 1/4 + 1 in past 1 in + 12 ft 3 in.

    That is 1 + 147 + 1-1/4 - 1/4 = 149 in.
    """
    assert findings(x="1", width="147", stock="149") == []
    (told,) = findings(x="1", width="147", stock="148-15/16")
    assert told.endswith('a stock length of 149" would cure it')


def test_a_window_is_passed_over_and_under() -> None:
    """Courses over and under a wide window want a seam each."""
    (told,) = findings(kind="window", sill="20")
    assert "one must lie over and under it" in told


def test_a_plank_must_reach_from_stud_to_stud() -> None:
    """Studs at 32 and 256 in are the nearest that keep a joint off a door from 48 to 240.

    The studs at its very sides are nearer than the side clearance: 256 - 32 = 224 in.
    """
    (told,) = findings(siding="fiber-cement 8-1/4", stock="144")
    assert told.endswith('a stock length of 224" would cure it')


def test_the_recount_asks_for_the_finding() -> None:
    """A plan that leaves the finding out does not stand."""
    job = parse_job(
        GARAGE.format(
            siding="vinyl double 4", stock="150", kind="door", x="4'", sill="0", width="16'"
        ),
        "job.yaml",
    )
    record = plan_record(make_plan(job))
    record["findings"] = [line for line in record["findings"] if "does not span" not in line]
    assert recount(record) == (
        'opening G of wall A: found it 192" wide, a seam at it, and no finding, wanted one'
        ' that names it, 192" and the stock length of 150"',
    )


FORCED = """
job: Shed
siding: {{material: vinyl double 4}}
rules: {{{rules}}}
walls:
  - name: Front
    width: {width}
    height: 8'
    openings: [{{name: W, {opening}}}]
"""


def weak(opening: str, rules: str = "extra_seams: 0", width: str = "299-1/2") -> list[str]:
    """Plan a wall whose one seam has but one place; give what is said of weak pieces.

    299-1/2 in less 1/4 in at either end take two whole panels of 150 in that lap 1 in: the
    first ends 150-1/4 in, and the second begins 149-1/4 in from the wall's left end.
    """
    job = parse_job(FORCED.format(opening=opening, rules=rules, width=width), "job.yaml")
    plan = make_plan(job, time_limit=1.0)
    assert recount(plan_record(plan)) == ()
    return [line for line in plan.findings if line.startswith("piece")]


def test_a_seam_at_the_side_of_a_window_leaves_a_tongue() -> None:
    """A notch from 150-1/4 in on leaves the second panel 1 in of its height beside it.

    keep_out is from the opening's side, the notch 1/4 in nearer, and the lap is 1 in: for
    a tongue of 3 in, 3 - 1 + 1/4 in.  The sill at 20 in is in the third course, and the head
    at 60 in is 4 in up in the eighth.
    """
    window = "x: 150-1/2, sill: 20, width: 36, height: 40"
    assert weak(window) == [
        'pieces A3.2, A8.2: a tongue only 1" wide between its seam and W; keep_out: 2-1/4"'
        " would put the seam farther from it, where there is room"
    ]
    # Under the rule such a seam is told as one that breaks it.
    assert weak(window, 'keep_out: 2-1/4"') == []
    assert weak("x: 152-1/2, sill: 20, width: 36, height: 40") == []


def test_a_seam_over_a_curve_shows_the_strip_that_is_left() -> None:
    """A round window up to 71-1/2 in leaves 1/2 - 1/8 in of the course up to 72 in.

    The seam lies over its middle, so that the cut takes an end off both pieces.
    """
    told = weak("shape: round, x: 137-3/4, sill: 47-1/2, width: 24, height: 24")
    assert sum('a sliver, 3/8" left over W' in line for line in told) == 1
    assert told[-1].startswith("pieces A9.1, A9.2: ")


def test_a_cut_that_slants_to_nothing_is_no_sliver() -> None:
    """The lower corner of an octagon ends 1 in up in a course: a bevel, and no strip.

    24 in wide, its corners are cut by 7.03 in: from 26 in up to 33.03 in.
    """
    text = FORCED.format(
        opening="shape: octagon, x: 60, sill: 26, width: 24, height: 24",
        rules="extra_seams: 0",
        width="140",
    )
    plan = make_plan(parse_job(text, "job.yaml"), time_limit=1.0)
    bevels = [
        sorted((notch.cut_left, notch.cut_right))
        for piece in plan.siding
        for notch in piece.notches
        if piece.course == 5
    ]
    assert [low for low, _ in bevels] == [0, 0]
    assert not [line for line in plan.findings if "sliver" in line]


LOOK = """
{{job: Shed, siding: {{material: vinyl double 4}}, rules: {{{rules}}},
walls: [{{name: Front, width: 12', height: 8', openings: [{openings}]}}]}}
"""


@pytest.mark.parametrize(
    ("openings", "rules", "told"),
    [
        # One in twelve over 36 in is 3 in; more than that is no sill that has settled.
        ("{name: W, x: 36, sill: {left: 30, right: 33}, width: 36, height: 40}", "", None),
        (
            "{name: W, x: 36, sill: {left: 30, right: 33-1/8}, width: 36, height: 40}",
            "",
            'opening W: its sill is 3-1/8" out of level over 36"',
        ),
        (
            "{name: W, x: 36, sill: 30, width: 36, height: 40},"
            " {name: V, x: 72, sill: 30, width: 36, height: 40}",
            "",
            "openings W and V touch",
        ),
        (
            "{name: W, x: 36, sill: 30, width: 36, height: 40},"
            " {name: V, x: 72-1/16, sill: 30, width: 36, height: 40}",
            "",
            None,
        ),
        ("{name: G, x: 0, sill: 0, width: 144, height: 96}", "", "its openings take all of it"),
        ("", "end_gap: 80", "nothing fits between its edges"),
    ],
)
def test_what_may_be_a_slip_of_the_pen_is_asked(
    openings: str, rules: str, told: str | None
) -> None:
    """Readings far apart, windows side by side, and walls without siding are told."""
    words = ("out of level", "touch", "no siding is planned")
    job = parse_job(LOOK.format(openings=openings, rules=rules), "job.yaml")
    plan = make_plan(job, time_limit=1.0)
    found = [line for line in plan.findings if any(word in line for word in words)]
    assert len(found) == (told is not None)
    assert all(told is not None and told in line for line in found)
