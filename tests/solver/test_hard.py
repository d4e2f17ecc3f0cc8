"""Rules for seams that no plan may break, reckoned on walls of one or two panels."""

from __future__ import annotations

import pytest

from lapwright.check import recount
from lapwright.errors import HardRuleError, InputError
from lapwright.hard import with_all_hard
from lapwright.job.reading import parse_job
from lapwright.job.rules import SeamRule
from lapwright.planning import make_plan
from lapwright.record import plan_record


def job_text(rules: str, wall: str = "width: 23', height: 48") -> str:
    """Write a job of one wall from panels of 12 ft 6 in."""
    return (
        "{job: x, siding: {material: vinyl double 4, stock: [{length: 12' 6\"}]},"
        f" rules: {{{rules}}}, walls: [{{name: a, {wall}}}]}}"
    )


def test_the_keys_are_read() -> None:
    """Each name in the order of the rules, or all; what is none of them is refused."""
    assert parse_job(job_text(""), "x").rules.hard == ()
    assert parse_job(job_text("hard: all"), "x").rules.hard == tuple(SeamRule)
    some = parse_job(job_text("hard: [keep_out, stagger]"), "x").rules.hard
    assert some == (SeamRule.STAGGER, SeamRule.KEEP_OUT)
    with pytest.raises(InputError, match="found 'lap', wanted all, or a list of stagger"):
        parse_job(job_text("hard: [lap]"), "x")
    with pytest.raises(InputError, match="found 'yes', wanted all, or a list of"):
        parse_job(job_text("hard: yes"), "x")


def test_a_stagger_that_has_no_room() -> None:
    """A wall of 23 ft from panels of 12 ft 6 in leaves its one seam 24 in less a bit.

    The run is 275-1/2 in long, and both pieces lap by 1 in: the first is from 126-1/2 to
    150 in long, so that seams of neighbouring courses are 23-1/2 in apart at most.
    """
    job = parse_job(job_text("hard: [stagger]"), "x")
    with pytest.raises(HardRuleError) as caught:
        make_plan(job, time_limit=6.0)
    *seams, cure = caught.value.reasons
    assert seams
    assert all('it breaks stagger of 24"' in reason for reason in seams)
    assert all(reason.startswith("wall A, course ") for reason in seams)
    cures = ["extra_seams: 1", 'stagger 23-1/2" instead of 24"']
    assert cure == f"one was found with {', and one with '.join(cures)}"


@pytest.mark.parametrize("rules", ["extra_seams: 1", 'stagger: 23-1/2"'])
def test_what_helps_does(rules: str) -> None:
    """With either of the two changes there is a plan, and the recount agrees."""
    plan = make_plan(parse_job(job_text(f"hard: [stagger], {rules}"), "x"), time_limit=6.0)
    record = plan_record(plan)
    assert record["job"]["rules"]["hard"] == ["stagger"]
    assert recount(record) == ()


def test_a_soft_rule_gives_way_to_a_hard_one() -> None:
    """Two courses: where the stagger is hard, the other rules are let go for it."""
    wall = "width: 23', height: 16"
    rules = 'hard: [stagger], stagger: 23", shortest_piece: 130'
    plan = make_plan(parse_job(job_text(rules, wall), "x"), time_limit=6.0)
    assert recount(plan_record(plan)) == ()
    one, other = plan.seams
    assert abs(one.x - other.x) >= 23 * 8128
    # 275-1/2 + 1 - 130: both pieces would have room, if it were not for the stagger.
    assert any("shorter than the shortest piece" in finding for finding in plan.findings)


def test_all_rules_may_be_hard() -> None:
    """A plan that breaks none is the same plan; one that breaks some is refused."""
    kept = with_all_hard(parse_job(job_text("", "width: 18', height: 48"), "x"))
    assert kept.rules.hard == tuple(SeamRule)
    assert recount(plan_record(make_plan(kept, time_limit=6.0))) == ()
    short = with_all_hard(
        parse_job(job_text("shortest_piece: 140", "width: 18', height: 8"), "x")
    )
    with pytest.raises(HardRuleError, match="it breaks shortest_piece of 140"):
        make_plan(short, time_limit=6.0)


def test_the_recount_lets_no_hard_rule_be_broken() -> None:
    """A finding is no excuse for a seam that breaks a hard rule."""
    job = parse_job(job_text(""), "x")
    record = plan_record(make_plan(job, time_limit=1.0))
    assert recount(record) == ()
    record["job"]["rules"]["hard"] = ["stagger"]
    faults = recount(record)
    assert faults
    assert all("wanted the rule kept, for the job lets no plan break it" in f for f in faults)


def test_a_rule_of_one_run_that_is_hard_leaves_the_others_in_force() -> None:
    """Over a window no seam may be; the courses beside it keep their stagger all the same.

    The wall is 30 ft wide, so each course has two seams and room for a stagger; where
    seams are hard only by the window, none of the courses above breaks a rule.
    """
    wall = (
        "width: 30', height: 96, openings: [{name: A, x: 120, sill: 32, width: 60, height: 32}]"
    )
    for hard in ("", "hard: [keep_out], "):
        text = job_text(f"{hard}keep_out: 3, extra_seams: 1", wall)
        plan = make_plan(parse_job(text, "x"), time_limit=2.0)
        assert recount(plan_record(plan)) == ()
        assert not [f for f in plan.findings if "stagger" in f or "in line" in f]
