"""One house measured four ways, side by side, for its siding alone."""

from __future__ import annotations

import time
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from benchmarks.hung import Hung, Placed, cost_of, recount
from benchmarks.practice import by_practice
from benchmarks.random_house import read_data
from benchmarks.seams_first import seams_then_cuts
from benchmarks.slack import has_slack
from lapwright.cutting import Ends
from lapwright.plan import EndCut
from lapwright.planning import make_plan
from lapwright.takeoff.convention import CONVENTIONS, estimates

if TYPE_CHECKING:
    from collections.abc import Callable

    from lapwright.job.job import Job
    from lapwright.plan import MaterialPlan, Plan, SidingPiece

PRACTICE, SEAMS_FIRST, LAPWRIGHT = WAYS = ("practice", "seams first", "lapwright")


@dataclass(frozen=True, slots=True)
class House:
    """A house to measure."""

    name: str
    family: str
    data: dict[str, Any]
    """Of its job file."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What one way comes to on one house."""

    seconds: float
    """From the job to the bars; for lapwright the recount is in it."""
    panels: int
    cost: int
    """[1/10000 of the currency, or ticks where the job has no prices]"""
    offcut: float
    """Share of the stock lengths that becomes no piece."""
    seams: int
    broken: int
    """Rules for seams that are not kept."""
    extra: int
    """Seams more than the job allows."""
    status: str = ""
    bound: int = 0
    seams_too: bool = False
    """Whether status and bound hold whatever the seams are, not for these pieces alone."""


@dataclass(frozen=True, slots=True)
class Row:
    """One house, measured."""

    name: str
    family: str
    openings: int
    stock: int
    """How many stock lengths it has to choose from."""
    is_free: bool
    """Whether the rules leave freedom for the seams."""
    dearest: int
    """Cost of the longest stock length. [as `Outcome.cost`]"""
    ways: dict[str, Outcome]
    by_area: int
    """Panels of the longest stock length that the net area and 10 percent come to."""
    failures: tuple[str, ...]
    stages: dict[str, float] = field(default_factory=dict)
    """Seconds of lapwright's stages."""

    @property
    def area_cost(self) -> int:
        """Give what the order by area costs. [as `Outcome.cost`]"""
        return self.by_area * self.dearest

    @property
    def is_proven(self) -> bool:
        """Whether no plan costs less, wherever its seams are."""
        plan = self.ways[LAPWRIGHT]
        return plan.seams_too and plan.status == "proven"

    @property
    def gap(self) -> float | None:
        """Of cost to bound, as a share of it; None if the bound speaks of the pieces alone."""
        plan = self.ways[LAPWRIGHT]
        return (plan.cost - plan.bound) / plan.bound if plan.seams_too else None

    @property
    def above(self) -> int | None:
        """Panels above the bound: the gap in longest stock lengths, rounded up."""
        plan = self.ways[LAPWRIGHT]
        return -(-(plan.cost - plan.bound) // self.dearest) if plan.seams_too else None


class _Clock:
    """Notes when each stage of a planning begins."""

    def __init__(self) -> None:
        self.begun: list[tuple[str, float]] = []

    def begin(self, stage: str) -> None:
        self.begun.append((stage, time.perf_counter()))

    def hear(self, stage: str, seconds: float, best: str | None, bound: str) -> None:
        """Do nothing."""

    def stages(self) -> dict[str, float]:
        """Give the seconds of each stage; the last one has ended now."""
        ends = [begun for _, begun in self.begun[1:]] + [time.perf_counter()]
        taken: dict[str, float] = {}
        for (stage, begun), end in zip(self.begun, ends, strict=True):
            taken[stage] = taken.get(stage, 0.0) + end - begun
        return taken


def measure(house: House, limit: float, ways: tuple[str, ...] = WAYS) -> Row:
    """Measure one house; what a way cannot do is told among the failures.

    Parameters
    ----------
    limit
        For each search. [seconds]
    """
    whole = read_data(house.data)
    job = replace(whole, trim=(), supplies=None)
    clock = _Clock()
    runs: dict[str, Callable[[], tuple[Hung, MaterialPlan | None]]] = {
        PRACTICE: lambda: (by_practice(job), None),
        SEAMS_FIRST: lambda: seams_then_cuts(job, limit),
        LAPWRIGHT: lambda: hung_of(make_plan(job, time_limit=limit, watcher=clock)),
    }
    outcomes: dict[str, Outcome] = {}
    failures: list[str] = []
    stages: dict[str, float] = {}
    for way in ways:
        start = time.perf_counter()
        try:
            hung, plan = runs[way]()
        except Exception as error:  # a benchmark goes on and tells
            failures.append(f"{way}: {type(error).__name__}: {error}")
            continue
        seconds = time.perf_counter() - start
        stages = clock.stages() if way == LAPWRIGHT else stages
        outcomes[way], faults = _outcome(job, hung, plan, seconds)
        failures += [f"{way}, recounted: {fault}" for fault in faults]
    longest = job.siding.stock[-1]
    return Row(
        name=house.name,
        family=house.family,
        openings=sum(len(wall.openings) for wall in job.walls),
        stock=len(job.siding.stock),
        is_free=has_slack(job),
        dearest=int(longest.length if longest.price is None else longest.price),
        ways=outcomes,
        by_area=next(e.pieces for e in estimates(job) if e.convention is CONVENTIONS[0]),
        failures=tuple(failures),
        stages=stages,
    )


def hung_of(plan: Plan) -> tuple[Hung, MaterialPlan]:
    """Give the siding of a plan as the other ways give it."""
    siding = plan.materials[0]
    pieces = tuple(
        Placed(p.label, p.wall, p.course, p.run, p.x, p.length, _ends(p)) for p in plan.siding
    )
    return Hung(pieces, siding.bars), siding


def _ends(piece: SidingPiece) -> Ends:
    left = piece.left.cut is EndCut.FACTORY
    right = piece.right.cut is EndCut.FACTORY
    if left:
        return Ends.BOTH if right else Ends.LEFT
    return Ends.RIGHT if right else Ends.NONE


def _outcome(
    job: Job, hung: Hung, plan: MaterialPlan | None, seconds: float
) -> tuple[Outcome, tuple[str, ...]]:
    counted = recount(job, hung)
    total = sum(bar.stock for bar in hung.bars)
    used = sum(piece.length for piece in hung.pieces)
    runs = {(piece.wall, piece.course, piece.run) for piece in hung.pieces}
    outcome = Outcome(
        seconds=seconds,
        panels=len(hung.bars),
        cost=cost_of(job, hung.bars),
        offcut=1 - used / total,
        seams=len(hung.pieces) - len(runs),
        broken=counted.broken,
        extra=counted.extra,
        status="" if plan is None else plan.status,
        bound=0 if plan is None else plan.bound,
        # Where no run is longer than a panel there are no seams to place elsewhere.
        seams_too=plan is not None and (plan.seams_too or len(hung.pieces) == len(runs)),
    )
    return outcome, counted.faults
