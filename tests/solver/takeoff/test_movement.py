"""What cold draws apart: ends out of their channels, laps open."""

from __future__ import annotations

from fractions import Fraction

import pytest

from lapwright.finding import find_all
from lapwright.job.reading import parse_job
from lapwright.measure import INCH, Ticks
from lapwright.siding import lay_out
from lapwright.takeoff.movement import end_drawn_out, lap_opened, share_upright


def job_text(more: str, coldest: str = "-20 F") -> str:
    """Write a job of one wall of two pieces a course, hung at 80 F."""
    return (
        "job: x\nsiding: {material: vinyl double 4}\nhanging_temperature: 80 F\n"
        f"thermal: {{coefficient: 4e-5 /F, coldest: {coldest}, hottest: 120 F, pocket: 1/2}}\n"
        "walls: [{name: a, width: 24', height: 8}]\n" + more + "\n"
    )


def test_an_end_is_drawn_out_where_half_the_shrinkage_is_covered_no_more() -> None:
    """By hand: length × 4e-5 × 100 °F / 2 against 1/2 - 1/4 in: from 125 in on it shows."""
    job = parse_job(job_text(""), "x.yaml")
    assert end_drawn_out(job, 125 * INCH) == (Fraction(INCH, 4), Ticks(INCH // 4))
    assert end_drawn_out(job, 124 * INCH) is None


def test_a_lap_opens_where_two_halves_come_to_the_lap() -> None:
    """By hand: two pieces of 250 in draw apart by 500 × 4e-5 × 100 / 2 = 1 in."""
    job = parse_job(job_text(""), "x.yaml")
    assert lap_opened(job, 250 * INCH, 250 * INCH) == INCH
    assert lap_opened(job, 250 * INCH, 249 * INCH) is None


@pytest.mark.parametrize(
    ("more", "coldest", "told"),
    [
        ("", "-20 F", ['at -20 °F it draws back by 5/16" at each end, and only 1/4"']),
        ("", "60 F", []),
        (
            "rules: {lap: 3/8}",
            "-20 F",
            ["it draws back by", 'at -20 °F they draw apart by 9/16", and they lap only 3/8"'],
        ),
    ],
)
def test_the_worst_is_told_once(more: str, coldest: str, told: list[str]) -> None:
    """One finding for the ends, one for the laps, and none where all stays covered."""
    job = parse_job(job_text(more, coldest), "x.yaml")
    cold = [line for line in find_all(job, lay_out(job)) if " draw" in line]
    assert len(cold) == len(told)
    for line, words in zip(cold, told, strict=True):
        assert words in line


def test_without_the_group_nothing_is_told() -> None:
    """A job that says nothing of heat and cold has no such finding."""
    text = "\n".join(
        line for line in job_text("").splitlines() if not line.startswith("thermal")
    )
    job = parse_job(text, "x.yaml")
    assert end_drawn_out(job, 1000 * INCH) is None
    assert lap_opened(job, 1000 * INCH, 1000 * INCH) is None
    assert not [line for line in find_all(job, lay_out(job)) if " draw" in line]


def test_the_shares_of_an_upright_gap_are_the_gap() -> None:
    """Top and bottom together are the whole gap, whatever it is."""
    top, bottom = share_upright(Ticks(1000))
    assert top + bottom == 1000
    assert bottom == 2 * top == Fraction(2000, 3)
