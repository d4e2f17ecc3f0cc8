"""Soffits: panels by hand, and against polygons; channels, fascia and frieze by hand."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon
from shapely.affinity import translate

from lapwright.check import recount
from lapwright.errors import NoPlanError
from lapwright.job.material import TrimRole
from lapwright.job.reading import parse_job
from lapwright.job.soffit import PanelWay
from lapwright.measure import INCH
from lapwright.planning import make_plan
from lapwright.record import plan_record
from lapwright.takeoff.soffit import Panel, edges_of, lay_soffit

if TYPE_CHECKING:
    from lapwright.job.job import Job


def job_of(soffit: str, extra: str = "") -> Job:
    """Make a job of one wall and one soffit."""
    return parse_job(
        "{job: x, siding: {material: vinyl double 4}, " + extra + "walls:"
        " [{name: a, width: 120, height: 16}], soffits: [{name: s, " + soffit + "}]}",
        "x.yaml",
    )


def inches(panel: Panel) -> tuple[float, ...]:
    """Give x, y, width and length of a panel in inches."""
    return tuple(v / INCH for v in (panel.x, panel.y, panel.width, panel.length))


def edges(job: Job) -> dict[str, tuple[str, float]]:
    """Give role and inches of every edge by its place."""
    (soffit,) = job.soffits
    return {e.place: (e.role.value, e.length / INCH) for e in edges_of(soffit, job)}


def test_panels_across_are_half_an_inch_shorter_than_the_depth() -> None:
    """Vinyl Siding Institute, Soffit Installation (from memory): 16 in gives 15-1/2 in.

    By hand: 120 in less 1/4 in at each end is 119-1/2 in: nine panels and 11-1/2 in.
    """
    job = job_of("length: 120, depth: 16")
    panels = lay_soffit(job.soffits[0], job)
    assert [inches(p)[2:] for p in panels] == [(12, 15.5)] * 9 + [(11.5, 15.5)]
    assert inches(panels[0])[:2] == (0.25, 0.25)
    assert all(p.outline == () for p in panels)


def test_panels_along_lie_in_rows_and_are_spliced() -> None:
    """By hand: 25 in less two gaps is two rows of 12 in and 1/2 in; 199-1/2 in is spliced.

    144 in, a gap of 1/2 in, and 199-1/2 - 144-1/2 = 55 in.
    """
    job = job_of("length: 200, depth: 25, panels: along")
    rows = [inches(p) for p in lay_soffit(job.soffits[0], job)]
    assert rows == [
        (0.25, 0.25, 12, 144),
        (144.75, 0.25, 12, 55),
        (0.25, 12.25, 12, 144),
        (144.75, 12.25, 12, 55),
        (0.25, 24.25, 0.5, 144),
        (144.75, 24.25, 0.5, 55),
    ]


def test_panels_at_an_outside_mitre_are_of_falling_depth() -> None:
    """By hand: 24 in long, 12 in deep, a mitre of 45° round the right corner.

    Clear of 1/4 in: from 1/4 in to 24 + 11-1/2 = 35-1/2 in, 11-1/2 in deep.  The third
    panel begins at 24-1/4 in, where the mitre has come 1/4 in out from the clear edge at
    the wall, and ends at 35-1/2 in, 11-1/4 in wide, in a point at the fascia.
    """
    job = job_of("length: 24, depth: 12, right: outside corner")
    panels = lay_soffit(job.soffits[0], job)
    assert [inches(p) for p in panels] == [
        (0.25, 0.25, 12, 11.5),
        (12.25, 0.25, 12, 11.5),
        (24.25, 0.5, 11.25, 11.25),
    ]
    third = [(u / INCH, v / INCH) for u, v in panels[2].outline]
    assert third == [(0, 0), (11.25, 11.25), (0, 11.25)]
    # The second meets the mitre only in its last quarter of an inch.
    second = [(u / INCH, v / INCH) for u, v in panels[1].outline]
    assert second == [(0, 0), (11.75, 0), (12, 0.25), (12, 11.5), (0, 11.5)]


def test_a_panel_along_an_inside_mitre_is_cut_by_its_slant() -> None:
    """By hand: at an inside corner the fascia is shorter than the wall by the depth.

    Clear at the wall: 48 - 1/4 - 2 × 1/4 = 47-1/4 in long, from 1/4 in; 11-1/2 in farther
    out it is 11-1/2 in shorter.
    """
    job = job_of("length: 48, depth: 12, right: inside corner, panels: along")
    (panel,) = lay_soffit(job.soffits[0], job)
    assert inches(panel) == (0.25, 0.25, 11.5, 47.25)
    assert [(u / INCH, v / INCH) for u, v in panel.outline] == [
        (0, 0),
        (47.25, 0),
        (35.75, 11.5),
        (0, 11.5),
    ]


def test_no_sliver_is_ripped_at_both_ends() -> None:
    """By hand: 120-1/2 in clear leaves 1/2 in; nine whole panels and two of 6-1/4 in."""
    job = job_of("length: 121, depth: 12, rip: both ends")
    widths = [p.width / INCH for p in lay_soffit(job.soffits[0], job)]
    assert widths == [6.25, *[12] * 9, 6.25]


def test_what_goes_with_an_eave_between_an_end_and_a_corner() -> None:
    """By hand: 120 in, 12 in deep, round the right corner meets one 9 in deep.

    Fascia 129 in and 1 in to bend; the mitre is sqrt(12² + 9²) = 15 in less 1/4 in.
    """
    job = job_of(
        "length: 120, depth: 12, right: outside corner, right_depth: 9,"
        " fascia_channel: f-channel"
    )
    assert edges(job) == {
        "s, fascia": ("fascia", 130),
        "s, under the soffit": ("frieze", 120),
        "s, at the wall": ("f_channel", 120),
        "s, at the fascia": ("f_channel", 129),
        "s, left end": ("j_channel", 12),
        "s, right mitre": ("j_channel", 14.75),
    }


def test_an_open_eave_has_only_fascia_and_frieze() -> None:
    """Without panels no channel is planned; an inside corner shortens the fascia."""
    job = job_of("length: 120, depth: 12, left: inside corner, panels: none")
    assert edges(job) == {
        "s, fascia": ("fascia", 108),
        "s, under the soffit": ("frieze", 120),
    }


def test_a_soffit_deeper_than_a_panel_is_refused_with_the_way_out() -> None:
    """Panels of 12 ft do not reach across 13 ft; the message says what to do."""
    job = job_of("length: 120, depth: 13'")
    with pytest.raises(NoPlanError, match=r"soffit s: .* longer than .* lay its panels along"):
        make_plan(job)


def test_a_soffit_takes_its_length_from_its_wall() -> None:
    """Along the eave it is the wall's width, along a rake the slope: sqrt(60² + 25²) = 65."""
    walls = "walls: [{name: a, width: 120, height: 16, gable: {rise: 25}}], soffits: ["
    text = "{job: x, siding: {material: vinyl double 4}, " + walls
    text += "{name: s, wall: a, depth: 12}, {name: l, wall: A, along: left rake, depth: 12},"
    text += " {name: r, wall: a, along: right rake, depth: 12}]}"
    job = parse_job(text, "x.yaml")
    assert [s.length / INCH for s in job.soffits] == [120, 65, 65]
    assert [(s.mark, s.wall) for s in job.soffits] == [("E1", "A"), ("E2", "A"), ("E3", "A")]


ENDS = ("j-channel", "none", "outside corner", "inside corner")


@st.composite
def soffits(draw: st.DrawFn) -> str:
    """Draw a soffit as it stands in a job, lengths in 1/16 in."""
    sixteenth = st.integers(16 * 6, 16 * 40).map(lambda n: f"{n}/16")
    return (
        f"length: {draw(st.integers(16 * 90, 16 * 400))}/16, depth: {draw(sixteenth)},"
        f" left: {draw(st.sampled_from(ENDS))}, right: {draw(st.sampled_from(ENDS))},"
        f" left_depth: {draw(sixteenth)}, right_depth: {draw(sixteenth)},"
        f" panels: {draw(st.sampled_from(('across', 'along')))},"
        f" rip: {draw(st.sampled_from(('last', 'both ends')))}"
    )


def shape(panel: Panel, way: PanelWay) -> Polygon:
    """Give a panel as a polygon where it hangs."""
    u, v = panel.width, panel.length
    if way is PanelWay.ALONG:
        u, v = v, u
    spots = panel.outline or ((0, 0), (u, 0), (u, v), (0, v))
    # Marks of the tape may fold a corner that is thinner than one of them.
    return translate(Polygon(spots).buffer(0), panel.x, panel.y)


@settings(max_examples=40, deadline=None)
@given(soffits(), st.sampled_from(("in", "mm")))
def test_panels_cover_a_soffit_once_and_the_recount_agrees(soffit: str, unit: str) -> None:
    """The panels, as polygons, cover what is clear and nothing twice; every plan stands."""
    if unit == "mm":
        soffit = soffit.replace("/16,", "/16 in,")
        job = parse_job(
            "{job: x, unit: mm, siding: {material: fiber-cement 8-1/4}, walls:"
            " [{name: a, width: 3000, height: 400}], soffits: [{name: s, " + soffit + "}]}",
            "x.yaml",
        )
    else:
        job = job_of(soffit)
    (own,) = job.soffits
    panels = lay_soffit(own, job)
    shapes = [shape(panel, own.panels) for panel in panels]
    clear = Polygon([(float(x), float(y)) for x, y in own.clear(job.rules.soffit_gap)])
    # Rounding to the tape takes at most a mark along each edge of each panel.
    mark = INCH / 16
    trim = job.trim_for(TrimRole.SOFFIT)
    assert trim is not None
    seams = trim.splice_gap * own.depth * (own.length // trim.longest + 2)
    slack = sum(2 * mark * s.length for s in shapes) + seams + mark * clear.length
    assert all(s.difference(clear).area <= 2 * mark * s.length for s in shapes)
    assert all(a.intersection(b).area == 0 for a, b in combinations(shapes, 2))
    assert clear.area - sum(s.area for s in shapes) <= slack
    assert recount(plan_record(make_plan(job))) == ()
