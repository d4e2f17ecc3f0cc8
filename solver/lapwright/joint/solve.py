"""The search: a bound, dives, branching, ruin and refill; the best plan is recounted."""

from __future__ import annotations

import time
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from math import ceil, gcd, log
from random import Random
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from lapwright.cutting import CutPlan, NoWatcher, Status, recount, solve
from lapwright.cutting.covers import (
    Choices,
    Cover,
    choices,
    least_cost,
    likely_bars,
    room_left,
)
from lapwright.errors import AuditError, NoPlanError
from lapwright.joint.beside import begin, join
from lapwright.joint.bound import Relaxation, cover_of
from lapwright.joint.branch import Telling, is_too_few, search
from lapwright.joint.core import Core, core_of
from lapwright.joint.dive import dive
from lapwright.joint.fill import Filling
from lapwright.joint.likely import bars_for
from lapwright.joint.plan import (
    JointPlan,
    audit,
    broken_rules,
    cut_as_filled,
    cutting_of,
    runs_at_fault,
    seams_in,
)
from lapwright.joint.seek import seek
from lapwright.joint.ties import Ties, least_ties
from lapwright.joint.worth import NEARLY

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lapwright.cutting import Watcher
    from lapwright.joint.beside import Beside
    from lapwright.joint.problem import JointProblem, Whole
    from lapwright.joint.worth import Duals, Values

RUINS = (3, 4, 5, 6, 8, 10)
"""How many bars are emptied at once."""
NOISES = (0.0, 0.01, 0.03, 0.06)
"""By how much worths are shaken for a refill."""
HEAT = 0.01
"""How much worse a plan may be to go on from. [dearest bars]"""
ROUNDS = 12
"""How often windows are added."""
HARDLY = 1e-6
"""What is above another value by less than this is not looked into. [dearest bars]"""
LITTLE = 3e-4
"""What new windows must tell at least to go on. [dearest bars]"""
STILL = 2
"""How often windows may tell so little before branching begins."""
STEPS = 6000
"""How often a search without a time limit ruins and refills."""
PARTS = 300
"""How many parts branching looks at without a time limit."""
FRUITLESS, BRANCHING = 0.75, 0.97
"""Shares of the time after which branching ends, without any ways and with some."""
MUCH = 0.003
"""What ways must save to be cut from any bars, if not from those sought. [dearest bars]"""
CHOICES = 4000
"""So many choices of bars are looked at in one branching."""
RANKED = 20_000
"""And so many of the cheapest are ranked by the room that they leave."""
MANY = 150
"""With more runs than this the second search of one length only dives."""
ALONE = 300
"""With more runs than this they are not looked at one by one."""
DIVES = 24
"""How often a search without a time limit dives."""
EARLY, LATE = 0.3, 0.96
"""Shares of the time at which the first dives and the last ones end."""
FIRST_DIVES, PATIENCE = 0.4, 2
"""The same where dives pay, and how long they are in vain."""
RULES_FIRST = 0.7
"""The same where they must mend broken rules: a plan counts more than a proof."""
TIDY = 0.15
"""Share of the time to look for fewer seams at a cost that is proven."""
SEAM = 1e-4
"""What a seam costs in a dive. [dearest bars]"""
FEW = 12
"""With no more runs than this the plan is there before another process has begun."""
HEARD = 0.25
"""Share of the time that the first search does not hear the second."""
FIRST_PLAN, BESIDE = "first plan", "beside"
"""The stages of the plan that it begins with, and of those that the other search finds."""
FAR = 1e9
"""More than any plan costs. [dearest bars]"""
FIRST = 0.12
"""Share of the time that one of the first cuttings may take."""
AT_ONCE = 0.01
"""The same of the ways that it begins with, where the other search soon finds better ones."""
CUTTING, BRIEFLY = 0.04, 0.02
"""Share of the time that one after a later dive may take, and one of lapped panels, or one
from any bars where another search looks for better ways meanwhile."""


def solve_joint(
    problem: JointProblem,
    *,
    time_limit: float | None = 10.0,
    watcher: Watcher | None = None,
    start: Sequence[int] | None = None,
) -> JointPlan:
    """Find ways for all runs and bars for all pieces: fewest rules broken, least cost.

    The same problem gives the same plan where there is no time limit.  With one, and a
    second core, another process may search beside this one: which of the plans of the same
    cost is found first may differ then.

    Parameters
    ----------
    problem
        Runs, fixed pieces and stock.
    time_limit
        When to stop with the best plan so far; None stops by itself. [seconds]
    watcher
        Hears how the search comes on.
    start
        A way for every run, as a row of its ways, to begin with.

    Returns
    -------
    JointPlan
        Recounted.

    Raises
    ------
    NoPlanError
        There is too little stock.
    KeyboardInterrupt
        The search was stopped before there was any plan.
    """
    beside = None
    if time_limit is not None and FEW < len(problem.runs) <= ALONE:
        # It takes half a second to come up: ties are looked for meanwhile.
        beside = begin(__name__, search_beside.__name__)
    try:
        search = _search_of(problem, time_limit, watcher or NoWatcher())
        if beside and search.is_for_two:
            search.beside = beside
            beside.tell((problem, search.ties, time_limit, search.seconds()))
        elif beside:
            beside.stop()
        status = None
        try:
            search.run(start)
        except KeyboardInterrupt:
            search.hear(at_once=True)
            if search.best is None:
                raise
            status = Status.INTERRUPTED
        else:
            search.hear()
    finally:
        if beside:
            beside.stop()
    return search.plan(status)


def search_beside() -> None:
    """Search beside another search, which has begun this process and will end it."""
    other = join()
    problem, ties, time_limit, spent = other.wait()
    search = _search_of(problem, time_limit, NoWatcher(), ties)
    search.started -= spent
    search.beside, search.is_second = other, True
    search.chance = Random(2)  # noqa: S311 - no secret
    search.run(None)
    other.stay()


def _search_of(
    problem: JointProblem,
    time_limit: float | None,
    watcher: Watcher,
    ties: Ties | None = None,
) -> _Search:
    started = time.monotonic()
    core = every = core_of(problem)
    if ties is None:
        ties = least_ties(core)
    if ties.rows:
        core = core_of(problem, ties.rows)
    return _Search(problem, core, every, ties, time_limit, watcher, started=started)


class Found(NamedTuple):
    """A plan of the other search."""

    rows: tuple[int, ...]
    cut: CutPlan


class Bounded(NamedTuple):
    """A bound of the other search, and what it is the cost of."""

    bound: int
    target: tuple[int, ...] | None


class Dived(NamedTuple):
    """Ways that a dive found."""

    broken: int
    """Rules that they break."""
    value: float
    """Of the linear program with them. [dearest bars]"""
    rows: tuple[int, ...]


@dataclass
class _Search:
    problem: JointProblem
    core: Core
    """Rounded down: for what is proven."""
    every: Core
    """With all ways that break the fewest rules by themselves, though no plan that breaks
    the fewest in all may take them; rounded down."""
    ties: Ties
    time_limit: float | None
    watcher: Watcher
    rows: tuple[int, ...] = ()
    best: CutPlan | None = None
    best_rank: tuple[int, int, int] = (1 << 60, 1 << 60, 1 << 60)
    """Rules broken, cost, and seams."""
    tidy_until: float | None = None
    """When to stop looking for fewer seams at the same cost. [seconds]"""
    bound: int = 0
    """Of plans that break the fewest rules."""
    target: tuple[int, ...] | None = None
    """Numbers of bars, and of seams, that the bound is the cost of."""
    loose_bound: int = 0
    """Of plans whose runs break the fewest by themselves, whatever two break together."""
    covers: list[Cover] = field(default_factory=list)
    choices: Choices | None = None
    mix: Values | None = None
    """Numbers of bars, with parts, of the linear program. (stock + 1,)"""
    learnt: int = 0
    """How many of them the branching knows."""
    known: Relaxation | None = None
    """The last linear program: cutting begins with its bars."""
    taken: set[tuple[int, ...]] = field(default_factory=set)
    """Numbers of bars that ways were cut from in branching."""
    chance: Random = field(default_factory=lambda: Random(1))  # noqa: S311 - no secret
    steps_left: int = STEPS
    """Of a search without a time limit."""
    started: float = field(default_factory=time.monotonic)
    beside: Beside | None = None
    """Another search of the same problem."""
    is_second: bool = False

    def seconds(self) -> float:
        return time.monotonic() - self.started

    def is_over(self, share: float = 1.0) -> bool:
        return self.time_limit is not None and self.seconds() > share * self.time_limit

    @cached_property
    def safe(self) -> Core:
        """Give the problem rounded up: for what is filled."""
        return core_of(self.problem, self.ties.rows, up=True)

    @cached_property
    def least_broken(self) -> int:
        """No plan breaks fewer rules."""
        return self.problem.least_broken + self.ties.least

    @property
    def looks_at_runs(self) -> bool:
        """Whether there are few enough runs to look at them one by one."""
        return len(self.problem.runs) <= ALONE

    @property
    def is_for_two(self) -> bool:
        """Whether another search helps; not where rules of one length cannot all be kept."""
        return len(self.core.caps) > 1 or not self.ties.soft

    @property
    def begins_with_branching(self) -> bool:
        """Whether this is the first of two, and the second dives meanwhile.

        For planks of one length both dive first, for there the first dive mostly is the plan.
        """
        is_first = self.beside is not None and not self.is_second
        return is_first and (self.core.has_ends or len(self.core.caps) > 1)

    @property
    def only_dives(self) -> bool:
        """Whether this is the second search, but for that of few runs and one length."""
        is_large = len(self.problem.runs) > MANY
        return self.is_second and (len(self.core.caps) > 1 or is_large)

    @cached_property
    def least_seams(self) -> int:
        """No plan has fewer seams."""
        return self.problem.least_seams

    @property
    def is_proven(self) -> bool:
        """Whether no plan breaks fewer rules, or as few and costs less."""
        broken, cost, _ = self.best_rank
        return broken <= self.least_broken and cost <= self.bound

    def is_done(self) -> bool:
        """Whether it is proven, and a little time was given to have fewer seams."""
        if not self.is_proven:
            return False
        if self.best_rank[2] <= self.least_seams:
            return True
        if self.tidy_until is None:
            self.tidy_until = self.seconds() + TIDY * (self.time_limit or 0.0)
        return self.time_limit is not None and self.seconds() >= self.tidy_until

    def offer(self, rows: Sequence[int], cut: CutPlan, stage: str) -> None:
        """Take a plan if it is better than the best."""
        joints = seams_in(self.problem, rows)
        most = self.problem.most_seams
        if most is not None and joints > most:
            return
        cost = cut.cost + self.problem.seam_price * joints
        rank = (broken_rules(self.problem, rows), cost, joints)
        if rank < self.best_rank:
            self.rows, self.best, self.best_rank = tuple(rows), cut, rank
            self._tell(stage)
            if self.beside and stage != BESIDE:
                self.beside.tell(Found(self.rows, cut))

    def hear(self, *, at_once: bool = False) -> None:
        """Take what the other search has found.

        Where the first proves its plan by itself, and early, it is the same each time.
        """
        if self.beside is None or not (at_once or self.is_second or self.is_over(HEARD)):
            return
        for what in self.beside.heard():
            if self.is_proven:
                return
            if isinstance(what, Found):
                self.offer(what.rows, what.cut, BESIDE)
            elif isinstance(what, Cover):
                self.covers.append(what)
            elif what.bound >= self.bound:
                self.bound, self.target = what

    def _tell(self, stage: str) -> None:
        best = None if self.best is None else self.best_rank[1]
        bound = self.bound if best is None else min(self.bound, best)
        self.watcher.hear(stage, self.seconds(), best, bound)

    def run(self, start: Sequence[int] | None) -> None:
        """Search until the plan is proven or the time is up."""
        if start is not None:
            self._cut(start, FIRST_PLAN)
        if not self.problem.runs:
            left = None if self.time_limit is None else LATE * self.time_limit
            self.offer((), solve(cutting_of(self.problem, ()), time_limit=left), "cutting")
            return
        relaxation = Relaxation(self.core, self.ties)
        value, duals = self._bound(relaxation)
        if self.is_done():
            return
        if not self.looks_at_runs:
            self._fill_once(relaxation, duals)
        if self.core.has_ends:
            relaxation = relaxation.lean()
        if self.begins_with_branching:
            self._branch(relaxation, value)
            self.hear()
            if self.is_done():
                return
        if self.core.has_ends:
            self._with_ends(relaxation, value, duals)
        else:
            self._without_ends(relaxation, value, duals)
        if self.best_rank[0] > self.least_broken and self.ties.rows:
            loose = Relaxation(self.every)
            self.loose_bound = self._proven_by(loose, loose.generate(self.is_over)[1])

    def _fill_once(self, relaxation: Relaxation, duals: Duals) -> None:
        """Fill bars one after the other, if there is no plan yet."""
        if self.best is None:
            filling = Filling(self.safe, duals, relaxation.scale, self.chance)
            if filling.complete(0.0, FAR):
                self._take(filling)

    def _with_ends(self, relaxation: Relaxation, value: float, duals: Duals) -> None:
        """Dive, branch and dive again, or ruin and refill where dives are lost or runs many.

        Of two searches the first has branched by now.
        """
        dived = self._dive(relaxation, None)
        self._fill_once(relaxation, duals)
        is_lost = self.ties.soft and dived is not None and dived.broken > self.least_broken
        if not self.looks_at_runs or is_lost:
            self._refine(duals, relaxation)
            return
        if dived is not None and dived.broken > self.best_rank[0]:
            self._dives(relaxation, dived, EARLY)
        elif len(self.core.caps) > 1:
            # What they find costs less, and branching knows more bars and ways.
            dived = self._dives(relaxation, dived, FIRST_DIVES, PATIENCE)
        if not (self.begins_with_branching or self.only_dives):
            self._branch(relaxation, value)
        self._dives(relaxation, dived)

    def _without_ends(self, relaxation: Relaxation, value: float, duals: Duals) -> None:
        """Dive, branch and dive again.

        Of two searches for several lengths the first has branched by now, the second seeks.
        """
        dived = self._dive(relaxation, None, is_bold=self.looks_at_runs)
        if self.looks_at_runs and (dived is None or dived.broken > self.least_broken):
            # A bold dive does not look at what its ways leave to others.
            dived = self._dive(relaxation, None) or dived
        for _ in range(DIVES if self.looks_at_runs else 0):
            if dived is None or dived.broken <= self.least_broken:
                break
            # A few runs decided anew mostly are enough to break no more than need be.
            dived = self._dives(relaxation, dived, RULES_FIRST, 1)
        self._fill_once(relaxation, duals)
        if self.only_dives and len(self.core.caps) > 1:
            self._seek(relaxation, value)
        elif self.looks_at_runs and not (self.only_dives or self.begins_with_branching):
            self._branch(relaxation, value)
        self._dives(relaxation, dived)

    def _branch(self, relaxation: Relaxation, value: float) -> None:
        """Look at every run by itself: find out of which bars on there is a plan."""
        alone = self._each_alone(relaxation, value)
        self._prove(alone, None, 0.6)
        most = PARTS if self.time_limit is None else None
        while self.bound < self._least_yet() and not self._is_late():
            listed = self._choices()
            if listed is None and self.best is None:
                # The cost of a plan leaves fewer of them.
                self._dive(relaxation, None, is_bold=not self.core.has_ends)
                self.known = alone
                listed = self._choices()
            if listed is None:
                return
            bars, below = listed.bars[:CHOICES], listed.below
            if len(bars):
                self.target = tuple(bars[0].tolist())
                self._tell_bound()
            upper = below
            if len(listed.bars) > CHOICES:
                below = self._cost_of(listed.bars[CHOICES].tolist())
                # If all cost the same there may be a plan, though nothing is ruled out.
                upper = max(below, self._cost_of(bars[0].tolist()) + 1)
            found = search(
                alone,
                bars,
                upper,
                self._take_ways,
                self._least_yet,
                self._is_late,
                learn=self._learn,
                left=self._for_closing,
                waits=self.time_limit is None,
                most=most,
                closes=not self.is_second and not self.begins_with_branching,
                chance=self.chance if self.is_second else None,
            )
            self._raise(min(found, below))
            if found < below or upper > below:
                return

    def _each_alone(self, relaxation: Relaxation, value: float) -> Relaxation:
        """Give the linear program that looks at every run by itself."""
        alone = Relaxation(self.core, self.ties, alone=True)
        alone.adopt(relaxation)
        last, still = value, 0
        while True:
            # Runs by themselves cost no less than in groups.
            found, duals = alone.generate_above(lambda: self.is_over(0.5), value + HARDLY)
            still = still + 1 if found < last + LITTLE else 0
            last = max(last, found)
            if self.is_done() or self.is_over(0.5) or still == STILL or not alone.tighten():
                break
        self.mix = alone.mix()
        if duals is not None:
            # The lean one numbers its windows otherwise.
            self._learn(cover_of(alone, duals))
        self.known = alone.lean()
        return self.known

    def _seek(self, relaxation: Relaxation, value: float) -> None:
        """Dive for bars that may be enough; the other search rules out those that are not."""
        alone = self._each_alone(relaxation, value)

        def bars_left() -> Whole | None:
            self._least_yet()
            listed = self._choices()
            if listed is None and self.best is None:
                self._dive(relaxation, None, is_bold=not self.core.has_ends)
                self.known = alone
                listed = self._choices()
            return None if listed is None else listed.bars

        def is_over() -> bool:
            return self.is_done() or self.is_over(LATE)

        seek(
            alone,
            bars_left,
            self._room,
            self._take_ways,
            self._take_dearer,
            self._learn,
            is_over,
            self.chance,
        )

    def _is_late(self) -> bool:
        """Tell whether branching must end, or is done; earlier, if it has found no ways."""
        self.hear()
        if self.is_proven:
            return True
        # With factory ends dives find better plans then, if there is no one else to dive.
        is_alone = self.beside is None and self.core.has_ends
        is_fruitless = not self.taken and (is_alone or self.best is None)
        return self.is_over(FRUITLESS if is_fruitless else BRANCHING)

    def _for_closing(self) -> float | None:
        """Tell how long closing a gap may take."""
        limit = self.time_limit
        return None if limit is None else BRANCHING * limit - self.seconds()

    def _choices(self) -> Choices | None:
        """List the numbers of bars that are not ruled out; None if there are too many."""
        core, upper = self.core, self._least_yet()
        least = max(self.bound, self._simple_bound())
        listed = choices(self.covers, core.costs, core.supply, least, upper, self.choices)
        if listed is not None:
            # Of those that cost the same the one with most room comes first.
            first, others = listed.bars[:RANKED], listed.bars[RANKED:]
            spent = first @ np.array(core.costs, dtype=np.int64)
            ranked = first[np.lexsort((-self._room(first), spent))]
            listed = replace(listed, bars=np.concatenate((ranked, others)))
        self.choices = listed
        return listed

    def _room(self, bars: Whole) -> Values:
        """Give about how much room some numbers of bars leave. (choices,)

        Of planks by what is left of them beyond each cover, in bars that are worth most to
        it; of lapped panels by how near they are to the linear program's.
        """
        if self.core.has_ends and self.mix is not None:
            return -(np.abs(bars - self.mix) @ np.array(self.core.costs, dtype=np.int64))
        return room_left(self.covers, bars)

    def _upper(self) -> int:
        """Give from what cost on no plan is better than the best."""
        broken, cost, _ = self.best_rank
        return cost if broken <= self.least_broken else 1 << 60

    def _least_yet(self) -> int:
        """Give the same, with what the other search has found by now."""
        self.hear()
        return self._upper()

    def _take_ways(self, ways: Sequence[int], target: Sequence[int]) -> int:
        """Cut the pieces of ways from bars that are likely enough; give the least cost yet."""
        rows = [self.core.row(run, way) for run, way in enumerate(ways)]
        if broken_rules(self.problem, rows) > self.least_broken:
            return self._upper()
        self._cut(rows, "branch", tuple(target))
        # Cut from any bars they may be a better plan; each time that would take too long.
        much = self._upper() - self._cost_of(target) > MUCH * max(self.core.costs)
        if much and tuple(target) not in self.taken:
            self._cut(rows, "branch")
        self.taken.add(tuple(target))
        return self._upper()

    def _take_dearer(self, ways: Sequence[int], value: float) -> None:
        """Cut the pieces of ways that cost more than was sought, if they may be better yet."""
        rows = [self.core.row(run, way) for run, way in enumerate(ways)]
        least = int(value * max(self.core.costs))
        if (broken_rules(self.problem, rows), least) < self.best_rank[:2]:
            self._cut(rows, "dive")

    def _cost_of(self, target: Sequence[int]) -> int:
        return sum(many * cost for many, cost in zip(target, self.core.costs, strict=True))

    def _bound(self, relaxation: Relaxation) -> tuple[float, Duals]:
        """Find a bound, first of all plans, then of those that keep runs apart."""
        # By length alone; it stands where there is no time for more.
        self.covers.append(cover_of(relaxation, relaxation.by_length()))
        self._raise(self._simple_bound())
        last, duals = relaxation.generate(lambda: self.is_over(0.3))
        self.covers.append(cover_of(relaxation, duals))
        self._raise(self._simple_bound())
        first = duals
        if not self.ties.rows:
            self.loose_bound = self.bound
        # The second looks at every run by itself at once where it seeks.
        for _ in range(0 if self.only_dives and not self.core.has_ends else ROUNDS):
            if self.is_done() or self.is_over(0.3) or not relaxation.tighten():
                break
            value, found = relaxation.generate_above(lambda: self.is_over(0.35), last + HARDLY)
            if found is None or self.is_over(0.35):
                break  # what is cut short proves less
            duals, before, last = found, last, max(value, last)
            if value < before + LITTLE:
                break
        self.mix = relaxation.mix()
        fresh = None if duals is first else duals
        if not self.looks_at_runs and not self.is_done():
            self._prove(relaxation, fresh, 0.4)
        elif fresh is not None:
            self.covers.append(cover_of(relaxation, fresh))
            self._raise(self._simple_bound())
        return last, duals

    def _prove(self, relaxation: Relaxation, duals: Duals | None, share: float) -> None:
        """Raise the bound by whole numbers of bars that the linear program rules out."""
        if duals is not None:
            self.covers.append(cover_of(relaxation, duals))
        while not self.is_over(share) and self._raise_by_covers():
            target = self.target
            if target is None or not self._rules_out(relaxation, target, share):
                return

    def _learn(self, cover: Cover) -> list[Cover]:
        """Take a new cover; give all that are new since the last."""
        if self.beside:
            self.beside.tell(cover)
        self.covers.append(cover)
        self.hear()
        fresh = self.covers[self.learnt :]
        self.learnt = len(self.covers)
        return fresh

    def _rules_out(self, relaxation: Relaxation, target: tuple[int, ...], share: float) -> bool:
        """Tell whether so many bars are too few, and add what proves it."""
        relaxation.within(target)
        least = self._cost_of(target) / relaxation.scale + NEARLY
        telling = Telling(least)
        try:
            while True:
                value, duals = relaxation.generate_above(lambda: self.is_over(share), least)
                cover = cover_of(relaxation, duals) if duals else None
                if cover and is_too_few(cover, target):
                    self._learn(cover)
                    return True
                if not relaxation.alone or self.is_over(share) or telling.is_over(value):
                    return False
                if not relaxation.tighten():
                    return False
        finally:
            relaxation.aim(None)

    def _raise_by_covers(self) -> bool:
        """Raise the bound to the least bars that keep all covers; tell if that may go on."""
        listed = self._choices()
        if listed is None:
            # More covers leave fewer choices: those that are likely may be ruled out.
            self._raise(self._simple_bound())
            target = likely_bars(self.covers, self.core.costs, self.core.supply)
            is_new = bool(target) and target != self.target
            self.target = target or None
            return is_new and not self.is_done()
        self.target = tuple(listed.bars[0].tolist()) if len(listed.bars) else None
        # Without a target all choices that were listed are ruled out.
        self._raise(self._cost_of(self.target) if self.target else listed.below)
        return self.target is not None and not self.is_done()

    def _simple_bound(self) -> int:
        """Give what the best single cover proves, without whole numbers of bars."""
        best = 0
        for cover in self.covers:
            best = max(best, least_cost(cover, self.core.costs, self.core.supply))
        return best

    def _raise(self, bound: int) -> None:
        bound = self._in_units(bound)
        if bound > self.bound:
            self.bound = bound
            if self.target and self._cost_of(self.target) < bound:
                self.target = None  # so few bars are ruled out: nothing aims at them
            self._tell("bound")
            self._tell_bound()

    def _tell_bound(self) -> None:
        if self.beside and not self.is_second:
            self.beside.tell(Bounded(self.bound, self.target))

    def _proven_by(self, relaxation: Relaxation, duals: Duals) -> int:
        core = relaxation.core
        return self._in_units(least_cost(cover_of(relaxation, duals), core.costs, core.supply))

    def _in_units(self, cost: int) -> int:
        """Round up to what bars can cost."""
        unit = gcd(*self.core.costs) or 1
        return -(-cost // unit) * unit

    def _dive(
        self,
        relaxation: Relaxation,
        chance: Random | None,
        kept: Mapping[int, int] | None = None,
        target: tuple[int, ...] | None = None,
        *,
        is_bold: bool = False,
    ) -> Dived | None:
        """Let the linear program choose ways, of all runs or of those that are not kept.

        It asks for least cost, or where there is a target for no more bars than that.
        """
        self.known = relaxation
        relaxation.aim(target, SEAM)
        is_late = partial(self.is_over, LATE)
        found = dive(relaxation, kept or {}, chance, is_late, is_bold=is_bold)
        relaxation.aim(None)
        if found is None:
            return None
        value, ways = found
        rows = [self.core.row(run, way) for run, way in enumerate(ways)]
        seams = seams_in(self.problem, rows)
        broken = broken_rules(self.problem, rows)
        dived = Dived(broken, value, tuple(rows))
        # No cutting of these ways costs less than the linear program says.
        beyond = value - SEAM * seams - NEARLY
        unit = gcd(*self.core.costs) or 1
        least = ceil(beyond * relaxation.scale / unit) * unit
        if target is not None:
            if beyond > 0:
                return dived
            pairs = zip(target, self.core.costs, strict=True)
            least = sum(many * cost for many, cost in pairs)
        if (broken, least, seams) < self.best_rank:
            self._cut(rows, "dive", target)
        return dived

    def _cut(
        self, rows: Sequence[int], stage: str, target: tuple[int, ...] | None = None
    ) -> None:
        """Cut the pieces of some ways as well as can be in a little time."""
        left = None
        if self.time_limit is not None:
            left = self._share_of(stage, target) * self.time_limit
            left = min(left, max(self.time_limit - self.seconds(), left / 4))
        problem = cutting_of(self.problem, rows)
        enough = -1
        if target is not None:
            counted = zip(problem.stock, target, strict=False)
            stock = tuple(replace(stock, supply=many) for stock, many in counted)
            problem = replace(problem, stock=stock)
            # Bars that cost less are looked at by themselves.
            enough = sum(stock.cost * (stock.supply or 0) for stock in problem.stock)
        patterns = self.known.patterns if self.known is not None else ()
        likely = bars_for(self.core, problem.pieces, patterns)
        try:
            cut = solve(
                problem,
                time_limit=left,
                likely=likely,
                bound=self._least_cutting(rows),
                enough=enough,
            )
        except NoPlanError:
            return
        if target is not None:
            cut = replace(cut, problem=cutting_of(self.problem, rows))
        self.offer(rows, cut, stage)

    def _share_of(self, stage: str, target: tuple[int, ...] | None) -> float:
        """Give the share of the time that a cutting may take."""
        if stage == FIRST_PLAN and self.beside:
            return AT_ONCE
        if stage == "dive" and not self.looks_at_runs and not self.is_over(0.4):
            return FIRST
        is_brief = self.core.has_ends or (self.beside and target is None)
        return BRIEFLY if is_brief else CUTTING

    def _least_cutting(self, rows: Sequence[int]) -> int:
        """Give what no cutting of some ways costs less than."""
        joints, most = seams_in(self.problem, rows), self.problem.most_seams
        has_too_many = most is not None and joints > most
        if has_too_many or broken_rules(self.problem, rows) > self.least_broken:
            return 0  # the bound is one of plans that keep to both
        return self.bound - self.problem.seam_price * joints

    def _dives(
        self,
        relaxation: Relaxation,
        first: Dived | None,
        share: float = LATE,
        patience: int = 1 << 30,
    ) -> Dived | None:
        """Dive again and again, most runs keeping the way of the last good one.

        A dive is better where its linear program is: whole bars would hide how near the
        ways are to saving one more.  Every other dive aims at the bars of the bound.

        Parameters
        ----------
        first
            The dive to go on from.
        share
            Of the time, when to stop.
        patience
            When to stop: after so many dives without a better plan.

        Returns
        -------
        Dived or None
            The best dive for least cost.
        """
        chance = self.chance
        now: dict[tuple[int, ...] | None, Dived | None] = {None: first}
        tired = 0
        for number in range(DIVES if self.time_limit is None else 1 << 30):
            if self.is_done() or self.is_over(share) or tired == patience:
                break
            self.hear()
            before = self.best_rank
            target = self.target if number % 2 == 0 else None
            last = now.get(target)
            if last is None:
                now[target] = self._dive(relaxation, None, None, target)
                continue
            free = self._neighbourhood(chance, last)
            kept = {
                run: self.core.way(run, row)
                for run, row in enumerate(last.rows)
                if run not in free
            }
            found = self._dive(relaxation, chance, kept, target)
            if found is not None and found[:2] <= last[:2]:
                now[target] = found
            tired = 0 if self.best_rank < before else tired + 1
        return now[None]

    def _neighbourhood(self, chance: Random, now: Dived) -> set[int]:
        """Choose runs to decide anew: those that break rules, a part of a wall, or any."""
        runs = self.problem.runs
        reach = self.problem.apart.reach
        if now.broken > self.least_broken and chance.random() < 0.7:
            wrong = runs_at_fault(self.problem, now.rows)
            near = set(wrong)
            for one in wrong:
                near |= {
                    other
                    for other, run in enumerate(runs)
                    if run.wall == runs[one].wall
                    and abs(run.course - runs[one].course) <= reach + 1
                }
            return near
        if chance.random() < 0.5:
            middle = chance.choice(runs)
            far = chance.randint(3, 8)
            return {
                index
                for index, run in enumerate(runs)
                if run.wall == middle.wall and abs(run.course - middle.course) <= far
            }
        many = min(len(runs), max(4, len(runs) // chance.choice((3, 4, 6))))
        return set(chance.sample(range(len(runs)), many))

    def _refine(self, duals: Duals, relaxation: Relaxation) -> None:
        """Ruin and refill, with the plan cut anew half way."""
        self._fill(self._filling(duals, relaxation), 0.7)
        if self.best is not None and not self.is_done():
            self._cut(self.rows, "cutting")
        if self.is_done() or self.is_over(0.9):
            return
        self._fill(self._filling(duals, relaxation), 0.97)

    def _filling(self, duals: Duals, relaxation: Relaxation) -> Filling:
        """Give an empty filling that the best plan can be loaded into."""
        start = [self.safe.way(run, row) for run, row in enumerate(self.rows)]
        if -1 in start:
            start = []
        return Filling(self.safe, duals, relaxation.scale, self.chance, start)

    def _fill(self, filling: Filling, share: float) -> None:
        chance = filling.chance
        if self.best is None or not filling.load(self.rows, self.best):
            filling.complete(0.0, FAR)
        if not filling.is_whole:
            return  # there is too little stock
        self._take(filling)
        now = filling.energy()
        least = filling.cost + filling.broken
        least_left = 0 if share > 0.9 else self.steps_left // 2
        while not self.is_done() and not self.is_over(share):
            if self.time_limit is None and self.steps_left <= least_left:
                return
            self.steps_left -= 1
            state = filling.state()
            filling.ruin(chance.choice(RUINS))
            made = filling.complete(chance.choice(NOISES), now + 0.5)
            new = filling.energy() if made else 0.0
            if not made or new > now - HEAT * log(max(chance.random(), 1e-12)):
                filling.come_back(state)
                continue
            now = new
            if filling.cost + filling.broken < least - 1e-9:
                least = filling.cost + filling.broken
                self._take(filling)

    def _take(self, filling: Filling) -> None:
        """Make a plan of bars that are filled; the saw has its own exact rules."""
        if not filling.is_whole or filling.beyond:
            return
        rows = [self.core.row(run, way) for run, way in enumerate(filling.ways())]
        cut = cut_as_filled(self.problem, self.safe, rows, filling)
        try:
            recount(cut)
        except AuditError:  # a whole bar of one stock in another, by less than a unit
            self._cut(rows, "refill")
        else:
            self.offer(rows, cut, "refill")

    def plan(self, status: Status | None) -> JointPlan:
        """Give the best plan, recounted."""
        if self.best is None:
            raise NoPlanError("there is too little stock for the runs")
        is_tied = self.best_rank[0] > self.least_broken
        if is_tied and not self.loose_bound:  # it was stopped before
            loose = Relaxation(self.every)
            self.loose_bound = self._proven_by(loose, loose.by_length())
        bound, done = self.loose_bound if is_tied else self.bound, self.is_proven
        if not self.problem.runs or not self.problem.is_listed:
            bound, done = self._of_cutting()
        if done:
            status = Status.PROVEN
        elif status is None:
            status = Status.TIME_LIMIT if self.is_over(0.85) else Status.WORK_LIMIT
        plan = JointPlan(
            self.problem, self.rows, self.best, min(bound, self.best_rank[1]), status
        )
        audit(plan)
        return plan

    def _of_cutting(self) -> tuple[int, bool]:
        """Give a bound of the cutting of these pieces alone, and whether it proves it."""
        left = None if self.time_limit is None else FIRST * self.time_limit
        made = self.best
        if made is None or self.problem.runs:
            made = solve(cutting_of(self.problem, self.rows), time_limit=left)
        seams = self.problem.seam_price * self.best_rank[2]
        if self.best is None or made.cost < self.best.cost:
            self.best = made
            self.best_rank = (self.best_rank[0], made.cost + seams, self.best_rank[2])
        return made.bound + seams, self.best.cost == made.bound
