"""Drawings for CAD are read back and measured against the plan."""

from __future__ import annotations

import io
from collections import Counter
from dataclasses import replace
from importlib import import_module
from typing import Any

import pytest

from lapwright.job.wall import OpeningShape
from lapwright.measure import INCH, MILLIMETRE, Unit
from lapwright_cli.reports.dxf import cut_sheets_dxf, elevations_dxf
from tests.cli.reports.reading_back import NAMES
from tests.cli.reports.small_plan import LABELS, PLAN, renamed

ezdxf: Any = import_module("ezdxf")


def read(content: bytes) -> Any:
    """Read a drawing as another program would, and have it audited."""
    made = ezdxf.read(io.StringIO(content.decode("utf-8")))
    assert not made.audit().errors
    return made


def on(made: Any, layer: str) -> list[Any]:
    """Give what lies on a layer."""
    return [entity for entity in made.modelspace() if entity.dxf.layer == layer]


def extent(entity: Any) -> tuple[float, float, float, float]:
    """Give least x, least y, greatest x, greatest y of a closed line."""
    points = list(entity.get_points("xy"))
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def test_the_elevation_is_at_true_size_in_inches() -> None:
    """Outline, opening, pieces, seams and trim are as long as in the plan."""
    made = read(elevations_dxf(PLAN))
    assert made.header["$INSUNITS"] == 1
    (outline,) = on(made, "outline")
    assert extent(outline) == (0, 0, 200, 32)
    (window,) = on(made, "openings")
    assert extent(window) == (60, 12, 96, 20)
    found = sorted(extent(piece) for piece in on(made, "pieces"))
    wanted = sorted(
        (p.x / INCH, p.y / INCH, (p.x + p.length) / INCH, (p.y + p.height) / INCH)
        for p in PLAN.siding
    )
    assert [x for spot in found for x in spot] == pytest.approx(
        [x for spot in wanted for x in spot]
    )
    seams = sorted((line.dxf.start.x, line.dxf.start.y) for line in on(made, "seams"))
    assert seams == sorted((s.x / INCH, 8 * (s.course - 1)) for s in PLAN.seams)
    trim = sorted(line.dxf.end.x - line.dxf.start.x for line in on(made, "trim"))
    assert trim == pytest.approx(sorted(p.length / INCH for p in PLAN.trim))


def test_every_piece_is_named_once() -> None:
    """Each label of siding and of trim stands in the elevation once."""
    texts = [text.dxf.text.split(":")[0] for text in on(read(elevations_dxf(PLAN)), "labels")]
    counts = Counter(texts)
    assert {label: counts[label] for label in LABELS} == dict.fromkeys(LABELS, 1)


def test_the_cut_sheets_are_at_true_size() -> None:
    """Each sheet has its stock length, its pieces, cuts and offcuts; labels are all there."""
    made = read(cut_sheets_dxf(PLAN))
    stock = [extent(ring)[2] for ring in on(made, "stock")]
    assert stock == [150, 150, 150, 150, 150, 120, 120, 120]
    # Eight pieces of siding bars, and two of each of two ways of trim.
    lengths = sorted(x2 - x1 for x1, _, x2, _ in map(extent, on(made, "pieces")))
    assert lengths == sorted(
        [150, 50.5, 80, 120.5, 110, 90.5, 99.5, 101.25, 37.5, 10.25, 10.25]
    )
    assert sorted({line.dxf.start.x for line in on(made, "cuts")}) == [
        *(10, 10.25, 20.5, 50.5, 70, 90.5, 99.5, 101.25, 120.5, 138.75)
    ]
    told = " ".join(text.dxf.text for text in on(made, "labels")).replace(",", " ").split()
    assert {label: told.count(label) for label in LABELS} == dict.fromkeys(LABELS, 1)


def test_metric_jobs_are_drawn_in_millimetres() -> None:
    """200 in are 5080 mm."""
    made = read(elevations_dxf(replace(PLAN, job=replace(PLAN.job, unit=Unit.METRE))))
    assert made.header["$INSUNITS"] == 4
    assert extent(on(made, "outline")[0])[2] == 200 * INCH / MILLIMETRE == 5080


def test_a_round_opening_is_an_ellipse() -> None:
    """A window of 36 by 8 in round its box has half axes of 18 and 4 in."""
    wall = PLAN.job.walls[0]
    opening = replace(wall.openings[0], shape=OpeningShape.ROUND)
    job = replace(PLAN.job, walls=(replace(wall, openings=(opening,)),))
    (round_one,) = on(read(elevations_dxf(replace(PLAN, job=job))), "openings")
    assert round_one.dxf.center.x == 78
    assert round_one.dxf.major_axis.magnitude == 18
    assert round_one.dxf.ratio == pytest.approx(4 / 18)


@pytest.mark.parametrize("name", [*NAMES, "^I %%d \\P {x}"])
def test_names_come_back_as_they_are(name: str) -> None:
    """Control signs of a drawing are no commands in a name."""
    plan = renamed(PLAN, name)
    for content in (elevations_dxf(plan), cut_sheets_dxf(plan)):
        texts = [text.plain_text() for text in on(read(content), "labels")]
        assert any(" ".join(name.split()) in text for text in texts)


def test_the_same_plan_gives_the_same_bytes() -> None:
    """Neither the clock nor a number by chance gets into a file."""
    assert elevations_dxf(PLAN) == elevations_dxf(PLAN)
    assert cut_sheets_dxf(PLAN) == cut_sheets_dxf(PLAN)
