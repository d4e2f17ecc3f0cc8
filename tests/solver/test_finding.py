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
