"""Diving: ways are given to runs one after the other, the rest is relaxed again."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from lapwright.joint.neighbours import Neighbours
from lapwright.joint.ties import Tied

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from lapwright.joint.bound import Relaxation
    from lapwright.joint.core import Flags
    from lapwright.joint.problem import Whole
    from lapwright.joint.worth import Values

    _Use = tuple[float, int, int, int]
    """How often a way is used, its group, its number and its column."""

ROUNDS = 1
"""Rounds of new columns after each way, besides the first."""
JUMP, MORE_ROUNDS = 0.2, 8
"""And so many, where the value goes up by so much, or beyond enough. [dearest bars]"""
OFTEN = 4
"""Windows are added at so many steps where few ways are given at each; else at every one."""
FAR = 1e18
FAILS = 2
"""After so many ways in vain some that were given before are taken back as well."""
LEAST_BACK, PART_BACK = 4, 8
"""At least so many of them, or one of so many of all runs."""
SURELY = 1e-6
HALF = 0.5
LIKELY = 0.5
"""What is used so often is given in a bold dive."""
DEAR = 100.0
"""What a broken rule counts where a way must be taken. [dearest bars]"""


def dive(
    relaxation: Relaxation,
    kept: Mapping[int, int],
    chance: Random | None,
    is_over: Callable[[], bool],
    *,
    is_bold: bool = False,
    within: Mapping[int, Flags] | None = None,
    enough: float = FAR,
    mends: int = 0,
    finishes: bool = False,
) -> tuple[float, list[int]] | None:
    """Give every run a way, following the linear program.

    Where its value goes beyond what is enough, what was given last is taken back: half of
    it is given alone, or something else; and if that is in vain, some other ways are taken
    back too, and given anew.

    Parameters
    ----------
    relaxation
        It has been solved; it is released again at the end.
    kept
        Ways that some runs have already, as rows of their class.
    chance
        Where to go if ways look alike; None goes straight.
    is_over
        Tells whether the time is up.
    is_bold
        Whether to give many ways at once, which is faster and mostly dearer.
    within
        What ways are allowed from the beginning, of some groups.
    enough
        What the ways may cost. [dearest bars]
    mends
        How often some are taken back because they cost more.
    finishes
        Whether ways that cost more are of use, where none were found that do not.

    Returns
    -------
    value : float
        Of the linear program with these ways. [dearest bars]
    ways : list of int
        For every run a row of its class.

    None if the time was up, there was no way on, or ways cost more and are of no use.
    """
    given = _Given(relaxation, kept, within or {})
    luck = chance or Random(1)  # noqa: S311 - no secret
    last: list[_Pick] = []
    fails = 0
    try:
        before, steps = FAR, 0
        while True:
            relaxed = _relaxed(given, before, enough, tells=is_bold or steps % OFTEN == 0)
            steps += 1
            if is_over():
                return None
            if relaxed and relaxed[0] > enough:
                if not mends and not finishes:
                    return None
                if not mends:
                    # What is sought is not found: then any ways are better than none.
                    enough, is_bold = FAR, True
                    given.free()
                    continue
                mends, is_bold = mends - 1, False
                given.take_back(pick.run for pick in last)
                if len(last) > 1:
                    last = last[: len(last) // 2]
                    given.give(last)
                    continue
                fails += 1
                if last and fails <= FAILS:
                    relaxation.bar(last[0].column)
                else:
                    given.free()
                    given.take_back(given.some(luck))
                    fails = 0
                last = []
                continue
            if not any(given.waiting):
                return relaxed and (relaxed[0], given.ways)
            before = relaxed[0] if relaxed else before
            uses = given.uses(relaxed[1]) if relaxed else []
            if not uses:
                last = []
                given.give_cheapest()
                continue
            least = LIKELY if is_bold else 1 - SURELY
            picks = [use for use in uses if use[0] >= least]
            picks.sort(key=lambda use: (-use[0], use[1], use[2]))
            if not picks and chance:
                picks = chance.choices(uses, [use[0] ** 2 for use in uses])
            elif not picks:
                picks = [max(uses, key=lambda use: (use[0], -use[1], -use[2]))]
            last = given.pick(picks, least)
    finally:
        relaxation.restrict({})
        relaxation.release()


class _Pick(NamedTuple):
    """A run that was given a way."""

    run: int
    way: int
    column: int


class _Given:
    """The ways that are given so far, and what they leave to runs without one."""

    def __init__(
        self, relaxation: Relaxation, kept: Mapping[int, int], within: Mapping[int, Flags]
    ) -> None:
        core = relaxation.core
        self.relaxation, self._kept, self._within = relaxation, kept, within
        self._near = Neighbours(core, soft=relaxation.ties.soft)
        self._tied = Tied(core, relaxation.ties)
        self.ways = [-1] * len(core.problem.runs)
        self._allowed = dict(within)
        self.waiting: list[list[int]] = [[] for _ in relaxation.groups]
        """Runs without a way, by group."""
        for run, group in sorted(relaxation.group_of.items()):
            self.waiting[group].append(run)
            if run in kept:
                self._hold(run, kept[run])

    def _hold(self, run: int, way: int) -> None:
        group = self.relaxation.group_of[run]
        self.ways[run] = way
        self._near.give(run, way)
        self._tied.give(run, way)
        self.waiting[group].remove(run)
        self.relaxation.fix(group, way)

    def give(self, picks: Sequence[_Pick]) -> None:
        """Give some runs their ways."""
        for run, way, _ in picks:
            self._hold(run, way)
        self._allow([pick.run for pick in picks])

    def take_back(self, some: Iterable[int]) -> None:
        """Take back the ways of some runs."""
        runs = list(some)
        for run in runs:
            group, way = self.relaxation.group_of[run], self.ways[run]
            self.ways[run] = -1
            self._near.take(run, way)
            self._tied.take(run)
            self.waiting[group].append(run)
            self.waiting[group].sort()
            self.relaxation.fix(group, way, back=True)
        self._allow(runs)

    def free(self) -> None:
        """Allow again what broke a rule beside some ways, or cost too much."""
        self.relaxation.free(tuple(self.relaxation.barred))

    def some(self, chance: Random) -> list[int]:
        """Choose some runs with a way: those whose way costs most more than another, or any.

        Of lapped panels half of them beside those without one, if there are.
        """
        held = [r for r, way in enumerate(self.ways) if way >= 0 and r not in self._kept]
        many = min(len(held), max(LEAST_BACK, len(self.ways) // PART_BACK))
        if self.relaxation.core.has_ends:
            lacking = [run for runs in self.waiting for run in runs]
            first = sorted({r for run in lacking for r in self._near.near(run)} & set(held))
            chosen = set(chance.sample(first, min(len(first), many // 2)))
        else:
            dearer = {run: self._dearer(run) for run in held}
            rank = {run: cost * (HALF + chance.random()) for run, cost in dearer.items()}
            first = sorted(held, key=lambda run: (-rank[run], run))[: many // 2]
            chosen = {run for run in first if rank[run] > SURELY}
        others = [run for run in held if run not in chosen]
        return sorted(chosen | set(chance.sample(others, many - len(chosen))))

    def _dearer(self, run: int) -> float:
        """Give how much more the way of a run costs than the cheapest, by the last worths."""
        values = self.relaxation.dearness[self.relaxation.group_of[run]]
        return float(values[self.ways[run]] - values.min())

    def pick(self, picks: Sequence[_Use], least: float) -> list[_Pick]:
        """Give ways that break no more rules than they must; bar the others."""
        found: list[_Pick] = []
        for share, group, way, column in picks:
            for _ in range(max(1, int(share + 1 - least))):
                if not self.waiting[group]:
                    break
                harm, run = min((self._worse(r, way), r) for r in self.waiting[group])
                if harm > 0:
                    self.relaxation.bar(column)
                    break
                self._hold(run, way)
                found.append(_Pick(run, way, column))
        self._allow([each.run for each in found])
        return found

    def give_cheapest(self) -> None:
        """Give a run the cheapest way that is free: all that the program knows are barred."""
        group = next(number for number, runs in enumerate(self.waiting) if runs)
        run = self.waiting[group][-1]
        blocked = _all_blocked(self._near, self._tied, run)
        self._hold(run, int((self.relaxation.dearness[group] + DEAR * blocked).argmin()))

    def uses(self, use: Values) -> list[_Use]:
        """List the ways of runs without one that are used."""
        return [
            (float(use[column]), group, way, column)
            for column, group, way in self.relaxation.ways
            if self.waiting[group] and use[column] > SURELY
        ]

    def _worse(self, run: int, way: int) -> int:
        """Count the rules that a way breaks more than the best one of the run."""
        beyond = self._near.harm(run, way) - self._near.least(run)
        if run in self._tied.tree_of:
            more = self._tied.beyond(run)
            beyond += int(more[way] - more.min())
        return beyond

    def _allow(self, runs: Sequence[int]) -> None:
        """Leave to runs without a way what those with one leave to them."""
        near, tied = self._near, self._tied
        others = {r for run in runs for r in (run, *near.near(run), *tied.runs(run))}
        for group in sorted({self.relaxation.group_of[other] for other in others}):
            if self.waiting[group]:
                free = _free(near, tied, self.waiting[group])
                before = self._within.get(group)
                if before is not None and (free & before).any():
                    free &= before
                self._allowed[group] = free
        self.relaxation.restrict(self._allowed)


def _relaxed(
    given: _Given, before: float, enough: float, *, tells: bool
) -> tuple[float, Values] | None:
    """Solve the linear program with what is given.

    Parameters
    ----------
    before
        Its value before the last ways. [dearest bars]
    enough
        The value that is sought. [dearest bars]
    tells
        Whether to tell it of rules that its solution breaks.
    """
    relaxation = given.relaxation
    relaxed = relaxation.relax(ROUNDS)
    if relaxed and tells and relaxation.alone:
        # Where some are given the others lean on rules that nothing told it of.
        uses = [(group, way, share) for share, group, way, _ in given.uses(relaxed[1])]
        if relaxation.tighten_for(uses):
            relaxed = relaxation.relax(ROUNDS)
    has_jumped = relaxed and relaxation.core.has_ends and relaxed[0] > before + JUMP
    if relaxed and (has_jumped or relaxed[0] > enough):
        # What is given leaves too little: there may be ways that it does not know.
        relaxed = relaxation.relax(MORE_ROUNDS)
    return relaxed


def _all_blocked(near: Neighbours, tied: Tied, run: int) -> Whole:
    """Give how many rules each way of a run breaks, beside those that no plan keeps."""
    blocked = near.all_blocked(run)
    return blocked + tied.beyond(run) if run in tied.tree_of else blocked


def _free(near: Neighbours, tied: Tied, runs: Sequence[int]) -> Flags:
    """Tell which ways break no more rules than need be for one of some like runs."""
    blocked = [_all_blocked(near, tied, run) for run in runs]
    return np.asarray(np.any([each == each.min() for each in blocked], axis=0))
