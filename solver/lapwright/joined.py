"""Seams and cuts decided together for one siding of a job."""

from __future__ import annotations

import time
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from lapwright.errors import NoPlanError
from lapwright.job.material import Family
from lapwright.job.rules import SeamRule
from lapwright.joint.fewest import solve_fewest_seams
from lapwright.joint.looks import arrange
from lapwright.joint.plan import audit
from lapwright.joint.solve import solve_joint
from lapwright.measure import Ticks
from lapwright.seams.placing import place_in_turn
from lapwright.seams.split import RULE_OF, Split, judge_in_turn
from lapwright.sight import apart_of, views_of
from lapwright.ways import (
    BY_ITSELF,
    Choice,
    Single,
    choices_of,
    parts_of,
    problem_of,
    row_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from lapwright.cutting import Watcher
    from lapwright.job.job import Job
    from lapwright.job.rules import Rules
    from lapwright.job.wall import Wall
    from lapwright.joint.plan import JointPlan
    from lapwright.takeoff.run import Run as CourseRun


@dataclass(eq=False)
class Decider:
    """Decides the seams of sidings together with their cuts, and keeps the cuttings.

    Parameters
    ----------
    until
        When all sidings are to be decided, by `time.monotonic`; None for no limit. [seconds]
    sidings
        How many there are to come.
    seam_price
        What a seam weighs beside the stock. [as the stock costs]
    watcher
        Hears how the search comes on.
    fewest_seams
        Whether fewer seams come before less stock, whatever they weigh.
    """

    until: float | None
    sidings: int
    seam_price: int
    watcher: Callable[[Job], Watcher]
    fewest_seams: bool = False
    made: dict[str, JointPlan] = field(default_factory=dict)
    """By the name of the siding."""

    def __call__(self, job: Job, runs: Sequence[tuple[Wall, CourseRun]]) -> list[Split]:
        """Decide one siding.

        Where hard rules between courses are broken, it is decided once more as if there
        were no others.

        Raises
        ------
        NoPlanError
            The rules and the stock leave no way to make a run.
        """
        began = time.monotonic()
        share = None
        if self.until is not None:
            share = max(self.until - began, 0.0) / max(self.sidings, 1)
        rules = job.rules
        # What a run has by itself comes first in its ways.
        is_twice = not {*rules.hard} <= {*BY_ITSELF} and len(rules.hard) < len(SeamRule)
        first = share and FIRST * share if is_twice else share
        splits, plan = self._decide(job, runs, first, rules)
        missed = hard_broken(splits, rules)
        if missed and is_twice:
            left = share and max(share - (time.monotonic() - began), 0.0)
            eased = replace(job, rules=hard_only(rules))
            other, instead = self._decide(eased, runs, left, rules)
            if hard_broken(other, rules) < missed:
                splits, plan = other, instead
        if plan is not None:
            self.made[job.siding.name] = plan
        self.sidings -= 1
        return splits

    def _decide(
        self,
        job: Job,
        runs: Sequence[tuple[Wall, CourseRun]],
        seconds: float | None,
        rules: Rules,
    ) -> tuple[list[Split], JointPlan | None]:
        """Decide one siding by the rules of its job, and judge it by rules."""
        began = time.monotonic()
        first = place_in_turn(job, runs)
        if not any(len(split.parts) > 1 for split in first):
            return first, None
        choices = choices_of(runs, job)
        pairs = list(zip(choices, first, strict=True))
        start = [row_of(c, split.parts) for c, split in pairs if isinstance(c, Choice)]
        solver = solve_fewest_seams if self.fewest_seams else solve_joint
        try:
            plan = solver(
                problem_of(job, choices, self.seam_price),
                time_limit=seconds and max(seconds - (time.monotonic() - began), 0.0),
                watcher=self.watcher(job),
                start=None if None in start else [row or 0 for row in start],
            )
        except NoPlanError as error:
            reasons = (f"{job.siding.name}: {reason}" for reason in error.reasons)
            raise NoPlanError(*reasons) from None
        return _arranged(job, choices, plan, rules)


def _arranged(
    job: Job, choices: Sequence[Choice | Single], plan: JointPlan, rules: Rules
) -> tuple[list[Split], JointPlan]:
    """Let a plan look better, where rules then are broken no oftener, and judge it."""

    def judged(rows: Sequence[int]) -> list[Split]:
        row = iter(rows)
        parts = [
            (c.wall, c.run, parts_of(c, next(row) if isinstance(c, Choice) else 0))
            for c in choices
        ]
        return judge_in_turn(parts, rules, lapped=job.siding.family is Family.LAPPED)

    def missed(splits: Sequence[Split]) -> tuple[int, int]:
        return hard_broken(splits, rules), sum(len(split.broken) for split in splits)

    splits = judged(plan.rows)
    problem = replace(plan.problem, apart=apart_of(rules))
    marks = {wall.mark: number for number, wall in enumerate(job.walls)}
    views = views_of((choice.wall, choice.run) for choice in choices)
    rows = arrange(problem, plan.rows, {marks[mark]: view for mark, view in views.items()})
    if rows == plan.rows:
        return splits, plan
    other = judged(rows)
    # A seam that is too near two others is told once: fewer of them may be told oftener.
    if missed(other) > missed(splits):
        return splits, plan
    plan = replace(plan, rows=rows)
    audit(plan)
    return other, plan


FIRST = 0.6
"""Of the time of a siding with hard rules, for a plan by all of its rules."""


def hard_broken(splits: Sequence[Split], rules: Rules) -> int:
    """Count how often hard rules are broken."""
    told = (words for split in splits for _, words in split.broken)
    return sum(RULE_OF[words] in rules.hard for words in told)


def hard_only(rules: Rules) -> Rules:
    """Give rules in which those for seams that are not hard ask for nothing.

    But for the keep-out: a seam over or under an opening stays a fault.
    """

    def eased(rule: SeamRule, length: Ticks) -> Ticks:
        return length if rule in rules.hard else Ticks(0)

    return replace(
        rules,
        stagger=eased(SeamRule.STAGGER, rules.stagger),
        in_line_width=eased(SeamRule.IN_LINE, rules.in_line_width),
        shortest_piece=eased(SeamRule.SHORTEST_PIECE, rules.shortest_piece),
    )
