"""Polygons of curves against the curves: plain geometry of circles and ellipses."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from lapwright.check import curves
from lapwright.job.wall import Opening, OpeningKind, OpeningShape, Point
from lapwright.measure import INCH, Ticks

ROUND = Opening(
    "R",
    OpeningKind.WINDOW,
    Ticks(10 * INCH),
    Ticks(30 * INCH),
    Ticks(24 * INCH),
    Ticks(16 * INCH),
    OpeningShape.ROUND,
)
ARCHED = Opening(
    "A",
    OpeningKind.WINDOW,
    Ticks(0),
    Ticks(0),
    Ticks(36 * INCH),
    Ticks(60 * INCH),
    OpeningShape.ARCHED,
    Ticks(12 * INCH),
)


def ring(sides: int, factor: float) -> list[Point]:
    """Make a polygon about the round opening, its corners at so many half axes."""
    places = (2 * math.pi * i / sides for i in range(sides))
    return [
        Point(
            Ticks(round((22 + 12 * factor * math.cos(a)) * INCH)),
            Ticks(round((38 + 8 * factor * math.sin(a)) * INCH)),
        )
        for a in places
    ]


@pytest.mark.parametrize("opening", [ROUND, ARCHED])
def test_the_polygon_of_a_curve_stands(opening: Opening) -> None:
    """What the job makes of a curve lies outside of it, and near."""
    assert list(curves.judge_curve(opening, "here")) == []


@pytest.mark.parametrize(
    ("sides", "factor", "found"),
    [
        # Corners on the curve: every side of 200 cuts in, by 1 - cos(pi / 200) = 0.012 %.
        (200, 1.0, {"a side of its polygon inside the curve"}),
        # Sides that touch: corners 1/cos(pi/200) off, 0.0015 in, less than 1/64 in.
        (200, 1 / math.cos(math.pi / 200), set()),
        # Eight sides that touch have corners 8.2 % off: 0.66 in even up the short axis.
        (8, 1 / math.cos(math.pi / 8), {"a corner of its polygon far off the curve"}),
        (8, 1.0, {"a side of its polygon inside the curve"}),
    ],
)
def test_a_wrong_polygon_is_found(
    monkeypatch: pytest.MonkeyPatch, sides: int, factor: float, found: set[str]
) -> None:
    """A polygon that cuts into the curve, or stands far off, is a fault."""
    # A little larger, so that no corner is rounded into the curve.
    corners = ring(sides, factor * (1 + 3e-5 * (factor > 1)))
    edges = list(pairwise([*corners, corners[0]]))
    monkeypatch.setattr(curves, "edges_of", lambda _: edges)
    faults = list(curves.judge_curve(ROUND, "here"))
    assert {fault.split("found ")[1].split(", wanted")[0] for fault in faults} == found
