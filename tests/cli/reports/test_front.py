"""What fewer seams cost: the whole text, and a drawing that holds every point."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

from lapwright.front import Front, Point
from lapwright.measure import FOOT
from lapwright_cli.reports.front import front_svg, front_text
from tests.cli.reports.small_plan import PLAN, renamed

JOB = PLAN.job
PRICED = Front(
    "double 4",
    priced=True,
    extra_seams=1,
    points=(
        Point(3, 1, 8, 900_000, 900_000, "proven"),
        Point(10, 0, 7, 801_000, 795_000, "time limit"),
    ),
)
BY_LENGTH = Front(
    "plank",
    priced=False,
    extra_seams=0,
    points=(Point(4, 0, 5, 60 * FOOT, 60 * FOOT, "proven"),),
)
EXPECTED = """\
What fewer seams cost: Small shed

double 4
  seams  rules broken  panels    cost  no less than  proof
      3             1       8  $90.00        $90.00  proven
     10             0       7  $80.10        $79.50  time limit
  cost: stock lengths of siding that are cut, before spare and whole cartons; no less than: with no more seams, and the rules for seams kept as well, nothing comes to less; proven: so it is the least.

plank
  seams  rules broken  panels   stock  no less than  proof
      4             0       5  60' 0"        60' 0"  proven
  stock: stock lengths of siding that are cut, before spare and whole cartons; no less than: with no more seams, and the rules for seams kept as well, nothing comes to less; proven: so it is the least.
  Every run has its fewest seams; `extra_seams: 1` under `rules` would let each have one more, and so open a choice.
"""  # noqa: E501 - lines as the terminal shows them


def test_the_text_is_as_expected() -> None:
    """Both tables, and what opens a choice where there is none."""
    text = front_text((PRICED, BY_LENGTH), JOB)
    assert text.splitlines() == EXPECTED.splitlines()


def test_one_point_tells_why() -> None:
    """No seams at all, or no choice that is worth more seams."""
    none = replace(BY_LENGTH, points=(replace(BY_LENGTH.points[0], seams=0),))
    assert "No run needs a seam" in front_text((none,), JOB)
    free = replace(BY_LENGTH, extra_seams=1)
    assert "The cheapest plan has the fewest seams as well." in front_text((free,), JOB)


def test_every_point_is_in_the_drawing() -> None:
    """Black where proven, white with a line down where not, and every cost in words."""
    root = ElementTree.fromstring(front_svg((PRICED, BY_LENGTH), JOB))  # noqa: S314 - our own
    svg = "{http://www.w3.org/2000/svg}"
    assert [c.get("fill") for c in root.iter(f"{svg}circle")] == ["#000", "#fff", "#000"]
    texts = [text.text for text in root.iter(f"{svg}text")]
    wanted = {"double 4", "plank", "$90.00, breaks 1 rule", "$80.10", "60' 0\"", "3", "10", "4"}
    assert wanted <= {*texts}
    heights = [float(c.get("cy", "")) for c in root.iter(f"{svg}circle")]
    assert heights[0] < heights[1]


def test_labels_of_near_points_do_not_lie_on_each_other() -> None:
    """Nine points that cost nearly alike, with long labels: each has a place of its own.

    A letter of the drawing is 0.602 of its size wide, and the size is 11.
    """
    near = replace(
        PRICED,
        points=tuple(Point(10 + k, 9 - k, 7, 900_000 - k, 800_000, "limit") for k in range(9)),
    )
    svg = "{http://www.w3.org/2000/svg}"
    root = ElementTree.fromstring(front_svg((near,), JOB))  # noqa: S314 - our own
    costs = [t for t in root.iter(f"{svg}text") if (t.text or "").startswith("$")]
    assert len(costs) == 9
    boxes = [(float(t.get("x", "")), float(t.get("y", "")), len(t.text or "")) for t in costs]
    for place, (x, y, long) in enumerate(boxes):
        for other_x, other_y, _ in boxes[place + 1 :]:
            assert other_x > x + 0.602 * 11 * long or abs(other_y - y) >= 11


def test_names_do_not_break_the_drawing() -> None:
    """Whatever a siding is called, the drawing can be read."""
    bad = replace(PRICED, siding='a "b" <c> & d')
    ElementTree.fromstring(front_svg((bad,), renamed(PLAN, "<&>").job))  # noqa: S314 - our own
