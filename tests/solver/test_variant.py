"""Other ways to buy and hang a job are planned like any plan."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from lapwright.job.reading import parse_job
from lapwright.measure import FOOT, INCH, Ticks
from lapwright.planning import make_plan
from lapwright.variant import (
    Trial,
    Variant,
    length_variants,
    rules_broken,
    seams_of,
    start_variants,
    try_out,
    without_each_length,
)

if TYPE_CHECKING:
    from lapwright.job.job import Job

# Eight courses of 8 in on 5 ft 4 in; a wall of 19 ft 0-1/2 in between posts is a run of 19 ft.
JOB = """\
job: x
unit: ft
siding:
  material: vinyl double 4
  stock:
    - {length: 10', price: 9}
    - {length: 12', price: 12}
    - {length: 20', price: 21}
trim:
  starter: none
  outside_corner: {stock: [{length: 6', price: 5}, {length: 10', price: 9}]}
  j_channel: none
  sill_channel: none
supplies: none
estimating: none
rules: {siding_kerf: 0}
walls:
  - {name: a, width: 19' 1/2", height: 5' 4"}
"""


@pytest.fixture(scope="module")
def job() -> Job:
    """Give a job with three stock lengths of siding and two of posts."""
    return parse_job(JOB, "job.yaml")


def test_each_length_alone_then_the_mixes(job: Job) -> None:
    """Of three lengths there are three alone, three pairs, and all."""
    names = [variant.name for variant in length_variants(job)]
    assert names == [
        "10'",
        "12'",
        "20'",
        "10' + 12'",
        "10' + 20'",
        "12' + 20'",
        "10' + 12' + 20'",
    ]


def test_of_many_lengths_not_all_mixes_are_tried(job: Job) -> None:
    """Of five: five alone, ten pairs, and all five."""
    first = job.siding.stock[0]
    stock = [replace(first, length=Ticks(n * FOOT)) for n in (8, 9, 10, 11, 12)]
    assert len(length_variants(job, stock)) == 5 + 10 + 1


def test_starts_are_those_of_the_walls_that_share(job: Job) -> None:
    """A start goes to the job, walls keep their own; without starts all stays as it is."""
    variant = Variant("x", job)
    assert start_variants(variant, ()) == (variant,)
    made, below, best = start_variants(variant, (Ticks(2 * INCH), Ticks(-2 * INCH), None))
    assert (made.name, made.job.start) == ("x, start 0' 2\"", 2 * INCH)
    assert (below.name, below.job.start) == ("x, start -0' 2\"", -2 * INCH)
    assert (best.name, best.job.start) == ("x, best start", None)


def test_a_variant_without_a_plan_says_why(job: Job) -> None:
    """Siding of 20 ft alone goes; a stock of one length of 10 ft does not reach."""
    long = next(v for v in length_variants(job) if v.name == "20'")
    trial = try_out(long)
    assert trial.plan is not None
    # One run of 19 ft in each of eight courses, from one length each.
    assert trial.plan.materials[0].order[0].count == 8
    assert trial.plan.seams == ()
    counted = replace(job.siding.stock[0], supply=1)
    short = Variant("1 × 10'", replace(job, siding=replace(job.siding, stock=(counted,))))
    assert isinstance(failed := try_out(short), Trial)
    assert failed.plan is None
    assert failed.reasons


def test_each_length_that_a_plan_takes_is_left_out_in_turn(job: Job) -> None:
    """By hand: with 20 ft, 8 × 21 = 168; without it two pieces a course that lap 1 in.

    Then a course takes 19 ft 1 in: two of 10 ft at 18, or one of them is of 12 ft where the
    stagger asks for it, at 21; so from 8 × 18 = 144 to 168, with a seam a course.  The two
    posts of 5 ft 4-1/2 in take 6 ft each at 10 together; without it, 10 ft each at 18.
    """
    plan = make_plan(job)
    found = {(w.material.role, int(w.stock) // FOOT): w for w in without_each_length(plan)}
    assert sorted(found) == [("outside_corner", 6), ("siding", 20)]
    siding = found["siding", 20]
    assert siding.material.cost == 168 * 10_000
    assert siding.other is not None
    assert 144 * 10_000 <= siding.other.cost <= 168 * 10_000
    assert siding.seams == 8
    posts = found["outside_corner", 6]
    assert posts.material.cost == 10 * 10_000
    assert posts.other is not None
    assert posts.other.cost == 18 * 10_000
    assert posts.seams is None


def test_what_is_left_may_have_no_room_for_a_stagger() -> None:
    """Of three courses on 23 ft from 12 ft 6 in none can be 24 in from the next; by hand.

    Both pieces lap by 1 in, on a run of 275-1/2 in: seams are 23-1/2 in apart at most.
    """
    narrow = JOB.replace("19' 1/2\"", "23'").replace("height: 5' 4\"", "height: 2'")
    narrow = narrow.replace("10', price: 9}\n    - {length: 12'", "12' 6\"", 1)
    narrow = narrow.replace("20', price: 21", "25', price: 24")
    plan = make_plan(parse_job(narrow, "job.yaml"))
    (siding,) = (w for w in without_each_length(plan) if w.seams is not None)
    assert int(siding.stock) // FOOT == 25
    assert rules_broken(plan, siding.material.name) == 0
    assert (siding.seams, siding.broken) == (3, 2)


def test_trim_too_long_for_what_is_left_is_spliced_anew() -> None:
    """Posts of 10 ft and 1/2 in come from 12 ft; without it they are spliced from 6 ft."""
    tall = JOB.replace("height: 5' 4\"", "height: 10'")
    tall = tall.replace("{length: 10', price: 9}]}", "{length: 12', price: 9}]}")
    plan = make_plan(parse_job(tall, "job.yaml"))
    without = {int(w.stock) // FOOT: w for w in without_each_length(plan) if w.seams is None}
    other = without[12].other
    assert other is not None
    assert {int(line.stock) // FOOT for line in other.order} == {6}
    assert sum(len(bar.cuts) for bar in other.bars) > 2


ZONED = JOB.replace(
    "walls:\n",
    """\
sidings:
  - material: shingles
    family: lapped
    exposure: 8"
    stock: [{length: 10', price: 14}, {length: 20', price: 27}]
walls:
""",
).replace("height: 5' 4\"}", "height: 8', zones: [{top: 4'}, {siding: shingles}]}")


def test_each_of_several_sidings_is_varied_by_itself() -> None:
    """The first has its seven choices, the second its lengths alone; both keep the other."""
    job = parse_job(ZONED, "job.yaml")
    variants = length_variants(job)
    assert len(variants) == 7 + 2
    assert [v.name for v in variants[-2:]] == ["shingles: 10'", "shingles: 20'"]
    assert variants[0].name == "vinyl double 4: 10'"
    for variant in variants[-2:]:
        assert variant.job.siding == job.siding
        assert len(variant.job.further[0].siding.stock) == 1


def test_a_length_of_a_further_siding_is_left_out_in_turn() -> None:
    """By hand: six courses of 19 ft, from 20 ft at 27 = 162; without it a seam in each."""
    plan = make_plan(parse_job(ZONED, "job.yaml"))
    found = {(w.material.name, int(w.stock) // FOOT): w for w in without_each_length(plan)}
    shingles = found["shingles", 20]
    assert shingles.material.cost == 162 * 10_000
    assert seams_of(plan, "shingles") == 0
    assert shingles.other is not None
    assert shingles.other.name == "shingles"
    assert {int(line.stock) // FOOT for line in shingles.other.order} == {10}
    assert shingles.seams == 6


def test_a_start_above_the_lowest_zone_has_no_plan() -> None:
    """The lowest zone ends at 4 ft; a start at 5 ft leaves it without a course."""
    variant = Variant("x", parse_job(ZONED, "job.yaml"))
    (high,) = start_variants(variant, (Ticks(5 * FOOT),))
    assert try_out(high).reasons == (
        "wall a: start 5' 0\" is not below the top of its lowest zone",
    )
