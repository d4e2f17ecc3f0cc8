"""Rules for seams that a job forbids to break, and what would let a plan keep them."""

from __future__ import annotations

import time
from dataclasses import replace
from typing import TYPE_CHECKING

from lapwright.errors import HardRuleError, NoPlanError
from lapwright.job.field import job_of
from lapwright.job.rules import SeamRule
from lapwright.joined import Decider, hard_broken
from lapwright.measure import Rounding, Ticks, tape_step, to_tape, write_length
from lapwright.seams.split import RULE_OF
from lapwright.siding import lay_out

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.cutting import Watcher
    from lapwright.job.job import Job
    from lapwright.job.rules import Rules
    from lapwright.siding import Layout

TRIES = 12
"""How many relaxed plans share the time that the plan itself had."""
MOST_TOLD = 20
"""More seams than this are not told one by one."""


def with_all_hard(job: Job) -> Job:
    """Give a job in which no rule for seams may be broken."""
    every = tuple(SeamRule)
    return replace(
        job,
        rules=replace(job.rules, hard=every),
        further=tuple(
            replace(cladding, rules=replace(cladding.rules, hard=every))
            for cladding in job.further
        ),
    )


def keep_hard_rules(job: Job, layout: Layout, seconds: float | None) -> None:
    """Refuse a layout that breaks a hard rule, and tell what would let one keep it.

    Parameters
    ----------
    job, layout
        The job as it was laid out.
    seconds
        About how long to look for what would help; None for no limit. [seconds]

    Raises
    ------
    HardRuleError
        Which rule each seam breaks, and the least change that was found to help.
    """
    reasons: list[str] = []
    for siding in job.sidings:
        part, laid = job_of(job, siding), layout.of(siding)
        broken = [
            (seam, RULE_OF[words])
            for seam, words in laid.broken
            if RULE_OF[words] in part.rules.hard
        ]
        if not broken:
            continue
        for seam, rule in broken[:MOST_TOLD]:
            place = to_tape(seam.x, job.unit, Rounding.NEAREST)
            reasons.append(
                f"wall {seam.wall}, course {seam.course}, seam between {seam.left} and"
                f" {seam.right} at {write_length(place, job.unit)}: it breaks"
                f" {_now(rule, part)}"
            )
        if len(broken) > MOST_TOLD:
            reasons.append(f"and {len(broken) - MOST_TOLD} more")
        rules = list(dict.fromkeys(rule for _, rule in broken))
        cures = list(_cures(part, rules, seconds))
        name = f"{siding.name}: " if job.further else ""
        if cures:
            reasons.append(f"{name}one was found with {', and one with '.join(cures)}")
        else:
            reasons.append(f"{name}none was found with one of these rules eased, either")
    if reasons:
        raise HardRuleError(*reasons)


def _now(rule: SeamRule, job: Job) -> str:
    """Name a rule with the value that it has."""
    rules = job.rules
    if rule is SeamRule.IN_LINE:
        return f"in_line (in_line_courses {rules.in_line_courses})"
    return f"{rule.value} of {write_length(getattr(rules, rule.value), job.unit)}"


def _cures(job: Job, broken: list[SeamRule], seconds: float | None) -> Iterator[str]:
    """Tell each change of one rule with which a plan was found that keeps all of them."""
    share = None if seconds is None else seconds / TRIES
    more = job.rules.extra_seams + 1
    if _keeps(job, replace(job.rules, extra_seams=more), share):
        yield f"extra_seams: {more}"
    for rule in broken:
        if rule is SeamRule.IN_LINE:
            for courses in range(job.rules.in_line_courses - 1, 0, -1):
                if _keeps(job, replace(job.rules, in_line_courses=courses), share):
                    yield f"in_line_courses {courses} instead of {job.rules.in_line_courses}"
                    break
            continue
        value = _least_change(job, rule, share)
        if value is not None:
            was = write_length(getattr(job.rules, rule.value), job.unit)
            yield f"{rule.value} {write_length(value, job.unit)} instead of {was}"


def _least_change(job: Job, rule: SeamRule, share: float | None) -> Ticks | None:
    """Find the greatest lower value of a rule with which a plan keeps all, by halving.

    To a mark of the tape, if the time allows to find plans so near to what has none.
    """
    step = tape_step(job.unit)
    low, high = 0, -(-getattr(job.rules, rule.value) // step)

    def keeps(steps: int) -> bool:
        return _keeps(job, _with(job.rules, rule, Ticks(steps * step)), share)

    if high == 0 or not keeps(0):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        if keeps(middle):
            low = middle
        else:
            high = middle
    return Ticks(low * step)


def _with(rules: Rules, rule: SeamRule, length: Ticks) -> Rules:
    if rule is SeamRule.STAGGER:
        return replace(rules, stagger=length)
    if rule is SeamRule.KEEP_OUT:
        return replace(rules, keep_out=length)
    return replace(rules, shortest_piece=length)


class _Silent:
    def hear(self, stage: str, seconds: float, best: int | None, bound: int) -> None:
        pass


def _silent(job: Job) -> Watcher:  # noqa: ARG001 - a decider asks for one by its job
    return _Silent()


def _keeps(job: Job, rules: Rules, seconds: float | None) -> bool:
    """Whether a plan is found by other rules that breaks none of them that is hard."""
    eased = replace(job, rules=rules)
    until = None if seconds is None else time.monotonic() + seconds
    try:
        layout = lay_out(eased, Decider(until, 1, 0, _silent))
    except NoPlanError:
        return False
    return not hard_broken(layout.splits, rules)
