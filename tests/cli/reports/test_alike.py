"""Findings that are alike are told once, and none is lost."""

from __future__ import annotations

from dataclasses import replace

from lapwright.job.reading import parse_job
from lapwright_cli.reading import reading_text
from lapwright_cli.reports.alike import told_once
from lapwright_cli.reports.order import order_text
from tests.cli.reports.small_plan import PLAN

RULE = "is in line with a seam too few courses away; another stock length may cure it"
THIN = "a filler of only 76 mm between opening O4 and opening O3; a wider stop would cure it"


def test_alike_pieces_and_seams_are_told_where_the_first_stood() -> None:
    """Two pieces and three seams become two sentences; what differs in a word stays apart."""
    found = (
        f"piece A2.2: {THIN}",
        f"seam between A1.1 and A1.2 at 3810 mm {RULE}",
        "wall A, opening O3: round; bend its channel to the curve",
        f"piece A3.2: {THIN}",
        f'seam between A2.1 and A2.2 at 150-1/2" {RULE}',
        f"piece A4.2: {THIN.replace('76', '77')}",
        f"seam between A3.1 and A3.2 at 3810.5 mm {RULE}",
        f"piece A3.2: {THIN}",
    )
    assert told_once(found) == (
        f"pieces A2.2, A3.2: {THIN}",
        f"3 seams: each {RULE}; they are at the right end of A1.1, A2.1, A3.1",
        "wall A, opening O3: round; bend its channel to the curve",
        f"piece A4.2: {THIN.replace('76', '77')}",
    )


def test_what_is_understood_of_a_job_tells_what_is_alike_once() -> None:
    """On 24 ft by panels of 12 ft 6 in, two a course leave no room for a stagger of 24 in.

    With one seam more a course has.
    """
    wall = "walls: [{name: a, width: 24', height: 9'}]\n"
    job = f"job: x\nsiding: {{material: vinyl double 4}}\n{wall}"
    told = [
        line for line in reading_text(parse_job(job, "x")).splitlines() if "stagger;" in line
    ]
    assert len(told) == 1
    assert "seams: each is nearer" in told[0]
    assert "extra_seams: 1 would allow one more and may save stock" in told[0]
    more = reading_text(parse_job(f"{job}rules: {{extra_seams: 1}}\n", "x"))
    assert "to know before work begins" not in more


def test_a_finding_of_one_is_told_in_its_own_words() -> None:
    """A single seam keeps its place, and a seam without one is no list."""
    cold = "seam between A1.1 and A1.2: at -10 °F they draw apart by 1/2 in"
    one = f"seam between A1.1 and A1.2 at 3810 mm {RULE}"
    assert told_once((cold, one)) == (cold, one)


def test_the_order_of_a_house_with_many_broken_rules_can_be_read() -> None:
    """Two hundred seams are one sentence under what to know."""
    many = tuple(f"seam between B{n}.1 and B{n}.2 at 12 mm {RULE}" for n in range(200))
    text = order_text(replace(PLAN, findings=many))
    assert text.count(RULE) == 1
    assert "  - 200 seams: each is in line" in text
    assert all(f"B{n}.1" in text for n in range(200))
