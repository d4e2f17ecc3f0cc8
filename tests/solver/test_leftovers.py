"""Leftovers on hand: they cost nothing, are used where that saves stock, and not bought."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from lapwright.check import recount
from lapwright.errors import InputError
from lapwright.job.reading import parse_job
from lapwright.measure import INCH
from lapwright.planning import make_plan
from lapwright.record import plan_record
from lapwright.variant import length_variants, without_each_length
from lapwright_cli.reports.onhand import on_hand_lines
from lapwright_cli.reports.order import order_text

WALLS = "walls: [{name: a, width: 7', height: 48}]"


def job_text(leftovers: str, siding: str = "fiber-cement 8-1/4", price: str = "10") -> str:
    """Write a job of seven planks of nearly 7 ft, from 12 ft and what is on hand."""
    return (
        f"{{job: x, currency: $, spare: 10 %, siding: {{material: {siding}, stock:"
        f" [{{length: 12', price: {price}}}], leftovers: {leftovers}}}, {WALLS}}}"
    )


def test_leftovers_are_used_first() -> None:
    """Seven courses of 7 in cover 48 in; three planks come from leftovers of 8 ft.

    A plank of 12 ft yields one of 7 ft, so that four are bought, and one to spare.
    """
    job = parse_job(job_text("[{length: 8', count: 3}, {length: 30, count: 9}]"), "x")
    plan = make_plan(job)
    (siding, *_) = plan.materials
    order = [(s.stock // INCH, s.count, s.spare, s.bought) for s in siding.order]
    assert order == [(96, 3, 0, 0), (144, 4, 1, 5)]
    assert (siding.cost, siding.status) == (400_000, "proven")
    assert recount(plan_record(plan)) == ()
    assert on_hand_lines(plan) == (
        "Siding: fiber-cement 8-1/4, 2' 6\": 9 on hand, 0 planned, 9 left",
        "Siding: fiber-cement 8-1/4, 8': 3 on hand, 3 planned, 0 left",
    )
    text = order_text(plan)
    assert re.search(r"8' +3 +0 +3 +- +0 +on hand +\$0\.00", text)
    assert " - 3 on hand + " in text


def test_leftovers_stay_whatever_is_bought() -> None:
    """They are there with every stock length that is compared, and are not done without."""
    job = parse_job(job_text("[{length: 8', count: 3}]"), "x")
    (variant,) = length_variants(job)
    assert [s.length // INCH for s in variant.job.siding.stock] == [96, 144]
    plan = make_plan(replace(job, trim=()))
    assert list(without_each_length(plan)) == []


def test_no_more_leftovers_are_ordered_to_spare() -> None:
    """The recount finds a spare leftover: nobody sells one."""
    job = parse_job(job_text("[{length: 8', count: 3}]"), "x")
    record = plan_record(make_plan(job))
    record["materials"][0]["order"][0]["spare"] = 1
    assert recount(record) == ('material siding, order of 96", spare: found 1, wanted 0',)


def test_leftovers_of_trim() -> None:
    """A starter of 7 ft from a leftover of 90 in; the rest is as without."""
    text = (
        "{job: x, siding: {material: fiber-cement 8-1/4}, trim: {starter: {stock:"
        f" [{{length: 12', price: 3}}], leftovers: [{{length: 90, count: 2}}]}}}}, {WALLS}}}"
    )
    starter = make_plan(parse_job(text, "x")).material("starter")
    assert starter is not None
    assert [(line.stock // INCH, line.count, line.on_hand) for line in starter.order] == [
        (90, 1, True)
    ]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (job_text("[{length: 8', count: 0}]"), "found '0', wanted a whole number above zero"),
        (job_text("[{length: 12', count: 1}]"), "a length that there is already"),
        (job_text("[{length: 13', count: 1}]"), "a leftover longer than every stock length"),
        (
            job_text("[{length: 8', count: 1}]", "vinyl double 4"),
            "a leftover of lapped siding without both factory ends, wanted ends: both",
        ),
        (
            job_text("[{length: 8', count: 1}]").replace(", price: 10", ""),
            "leftovers of a material whose stock has no prices",
        ),
        (job_text("[{length: 8', count: 1, ends: top}]"), "leftovers"),
    ],
)
def test_leftovers_that_cannot_be_used(text: str, words: str) -> None:
    """Each fault is told with what was found."""
    with pytest.raises(InputError) as caught:
        parse_job(text, "x")
    assert words in str(caught.value)


def test_whole_lapped_leftovers_may_lie_anywhere() -> None:
    """Leftovers of lapped siding with both factory ends are planned like stock."""
    text = job_text("[{length: 8', count: 4, ends: both}]", "vinyl double 4")
    plan = make_plan(parse_job(text, "x"))
    assert plan.materials[0].cost == 200_000
    assert recount(plan_record(plan)) == ()
