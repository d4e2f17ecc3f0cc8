"""Vinyl Siding Institute, Installation Manual, Horizontal Siding: the gap at the ends."""

from __future__ import annotations

from fractions import Fraction

import pytest

from lapwright.job.reading import parse_job
from lapwright.measure import INCH


def job_text(more: str) -> str:
    """Write a job of double 4 that comes in one length."""
    return (
        "job: x\nsiding: {material: vinyl double 4, stock: [{length: 150}]}\n"
        f"walls: [{{name: a, width: 30', height: 8'}}]\n{more}\n"
    )


@pytest.mark.parametrize(
    ("degrees", "gap"),
    [("90", "1/4"), ("41", "1/4"), ("40", "1/4"), ("39", "3/8"), ("-10", "3/8")],
)
def test_the_gap_by_temperature(degrees: str, gap: str) -> None:
    """1/4 in at every stop, 3/8 in below 40 F."""
    job = parse_job(job_text(f"hanging_temperature: {degrees} F"), "x.yaml")
    assert job.rules.end_gap == Fraction(gap) * INCH


@pytest.mark.parametrize(("length", "warned"), [("19' 11\"", 0), ("20'", 1), ("25'", 1)])
def test_long_panels_are_not_hung_by_that_rule(length: str, warned: int) -> None:
    """From 20 ft on the rule no longer holds, and the job says so."""
    text = job_text("").replace("length: 150", f"length: {length}")
    remarks = parse_job(text, "x.yaml").remarks
    assert len(remarks) == warned
    assert all("no longer holds" in remark for remark in remarks)


@pytest.mark.parametrize(
    "more", ["rules: {end_gap: 3/8}", "thermal: {coldest: 0 F, hottest: 120 F}"]
)
def test_with_a_figure_given_nothing_is_warned_of(more: str) -> None:
    """A gap of the maker's, or one reckoned from heat and cold, takes the rule's place."""
    text = job_text(more).replace("length: 150", "length: 25'")
    assert parse_job(text, "x.yaml").remarks == ()
