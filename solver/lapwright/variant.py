"""Other ways to buy or hang a job: planned and recounted like any plan, to lay beside it."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING

from lapwright.bars import Material, Saw, Terms, Want, cut_material
from lapwright.errors import NoPlanError
from lapwright.finding import seam_at_fault
from lapwright.measure import write_feet, write_length
from lapwright.planning import NoWatcher, Watcher, make_plan

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.job import Job
    from lapwright.job.material import StockLength, Trim
    from lapwright.measure import Ticks, Unit
    from lapwright.plan import MaterialPlan, Plan

_MOST_MIXED = 4
"""Of more stock lengths than this not all mixes are tried, but pairs and all together."""


@dataclass(frozen=True, slots=True)
class Variant:
    """A job as it could be as well, and what is other about it."""

    name: str
    job: Job


@dataclass(frozen=True, slots=True)
class Trial:
    """What came of planning a variant."""

    variant: Variant
    plan: Plan | None
    """Recounted; None where the variant has no plan."""
    reasons: tuple[str, ...] = ()
    """Why it has none."""


@dataclass(frozen=True, slots=True)
class Without:
    """A material of a plan cut again without one of its stock lengths."""

    material: MaterialPlan
    """As it is planned."""
    stock: Ticks
    """The stock length that is left out."""
    other: MaterialPlan | None
    """As it would be cut; None where that cannot be."""
    seams: int | None
    """Of this siding then; None for trim."""
    reasons: tuple[str, ...] = ()
    """Why it cannot be."""
    broken: int = 0
    """Rules for seams that this siding breaks then."""


def try_out(
    variant: Variant, *, time_limit: float | None = 10.0, watcher: Watcher | None = None
) -> Trial:
    """Plan a variant, or say why it has no plan.

    Parameters
    ----------
    variant
        What to plan.
    time_limit
        For its search. [seconds]
    watcher
        Hears how it comes on.
    """
    job = variant.job
    reasons = tuple(_misplaced(job))
    if reasons:
        return Trial(variant, None, reasons)
    try:
        made = make_plan(job, time_limit=time_limit, watcher=watcher)
    except NoPlanError as error:
        return Trial(variant, None, tuple(error.reasons))
    return Trial(variant, made)


def length_variants(job: Job, stock: Sequence[StockLength] = ()) -> tuple[Variant, ...]:
    """List a job with each stock length of its siding alone, then with the mixes.

    Parameters
    ----------
    job
        The job.
    stock
        Stock lengths to compare; those of the job, if none are given.  What the job has on
        hand stays, where these have prices and one of them is longer.
    """
    lengths = tuple(sorted(_with_on_hand(stock, job), key=lambda s: s.length))
    first = f"{job.siding.name}: " if job.further else ""
    variants = [
        Variant(first + _together(chosen, job), with_stock(job, job.siding.name, chosen))
        for chosen in _choices(lengths)
    ]
    for cladding in job.further:
        siding = cladding.siding
        variants += (
            Variant(
                f"{siding.name}: {_together(chosen, job)}", with_stock(job, siding.name, chosen)
            )
            for chosen in _choices(siding.stock)
            # With all of them it is the job as it stands.
            if len(chosen) < len(siding.stock)
        )
    return tuple(variants)


def _with_on_hand(stock: Sequence[StockLength], job: Job) -> tuple[StockLength, ...]:
    """Add what is on hand to stock lengths that are asked for."""
    if not stock:
        return job.siding.stock
    if any(s.price is None for s in stock):
        return tuple(stock)
    longest = max(s.length for s in stock)
    asked = {s.length for s in stock}
    there = (s for s in job.siding.stock if s.is_on_hand and s.length not in asked)
    return (*stock, *(s for s in there if s.length < longest))


def with_stock(job: Job, name: str, stock: tuple[StockLength, ...]) -> Job:
    """Give a job in which the siding of a name is sold in other stock lengths."""
    if name == job.siding.name:
        return replace(job, siding=replace(job.siding, stock=stock))
    further = (
        replace(c, siding=replace(c.siding, stock=stock)) if c.siding.name == name else c
        for c in job.further
    )
    return replace(job, further=tuple(further))


def start_variants(variant: Variant, starts: Sequence[Ticks | None]) -> tuple[Variant, ...]:
    """List a variant with the courses begun at each of some heights.

    Parameters
    ----------
    variant
        Its walls with a start of their own keep that.
    starts
        Above the lowest bottom of each part of the house; None is the best of the job's
        range.
    """
    if not starts:
        return (variant,)
    unit = variant.job.unit
    return tuple(
        Variant(
            f"{variant.name}, {'best start' if start is None else _start_words(start, unit)}",
            replace(variant.job, start=start),
        )
        for start in starts
    )


@dataclass(frozen=True, slots=True)
class _Search:
    """How a stock length less is searched for."""

    time_limit: float | None
    watcher: Watcher | None
    fewest_seams: bool


def without_each_length(
    plan: Plan,
    *,
    time_limit: float | None = 10.0,
    watcher: Watcher | None = None,
    fewest_seams: bool = False,
) -> Iterator[Without]:
    """Cut each material again without each of the stock lengths that the plan takes.

    Siding is laid out anew, since its seams go with its stock lengths.

    Parameters
    ----------
    plan
        A checked plan.
    time_limit
        For each stock length. [seconds]
    watcher
        Hears how it comes on.
    fewest_seams
        Whether the plan was made for the fewest seams first.
    """
    search = _Search(time_limit, watcher, fewest_seams)
    for material in plan.materials:
        for line in material.order:
            stock = _stock(plan.job, material)
            kept = tuple(s for s in stock if s.length != line.stock)
            # Leftovers alone are no stock to plan a house from.
            sold = any(not s.is_on_hand for s in kept)
            if sold and line.count and not line.on_hand:
                yield _without(plan, material, line.stock, kept, search)


def _without(
    plan: Plan,
    material: MaterialPlan,
    left_out: Ticks,
    kept: tuple[StockLength, ...],
    search: _Search,
) -> Without:
    job = plan.job
    time_limit, watcher = search.time_limit, search.watcher
    try:
        if material.role == "siding":
            other = replace(with_stock(job, material.name, kept), trim=(), supplies=None)
            made = make_plan(
                other,
                time_limit=time_limit,
                watcher=watcher,
                fewest_seams=search.fewest_seams,
            )
            found = next(m for m in made.materials if m.name == material.name)
            seams = seams_of(made, material.name)
            broken = rules_broken(made, material.name)
            return Without(material, left_out, found, seams, broken=broken)
        trim = next(t for t in job.trim if t.role.value == material.role)
        cut = _cut_trim(plan, replace(trim, stock=kept), time_limit, watcher)
    except NoPlanError as error:
        return Without(material, left_out, None, None, tuple(error.reasons))
    return Without(material, left_out, cut, None)


def _cut_trim(
    plan: Plan, trim: Trim, time_limit: float | None, watcher: Watcher | None
) -> MaterialPlan:
    """Cut a trim material from other stock lengths."""
    wants = [Want(p.label, p.length) for p in plan.trim if p.role == trim.role.value]
    if max(want.length for want in wants) > trim.longest:
        # Pieces that no longer come from one stock length are spliced otherwise.
        job = replace(plan.job, trim=(trim,), supplies=None)
        made = make_plan(job, time_limit=time_limit, watcher=watcher)
        return next(m for m in made.materials if m.role == trim.role.value)
    until = None if time_limit is None else time.monotonic() + time_limit
    terms = Terms(plan.job.spare, plan.job.unit, until, watcher or NoWatcher(), Saw())
    material = Material(trim.role.value, trim.name, trim.stock, plan.job.rules.trim_kerf)
    return cut_material(material, wants, 1, terms)[0]


def _stock(job: Job, material: MaterialPlan) -> tuple[StockLength, ...]:
    """Give the stock lengths that a material of a plan may be cut from."""
    if material.role == "siding":
        return job.cladding(material.name)[0].stock
    return next((t.stock for t in job.trim if t.role.value == material.role), ())


def seams_of(plan: Plan, name: str) -> int:
    """Count the seams of one of a plan's sidings."""
    own = _pieces_of(plan, name)
    return sum(seam.left in own for seam in plan.seams)


def rules_broken(plan: Plan, name: str) -> int:
    """Count the rules that the seams of one of a plan's sidings break, as its findings tell."""
    own = _pieces_of(plan, name)
    return sum(seam_at_fault(finding) in own for finding in plan.findings)


def _pieces_of(plan: Plan, name: str) -> set[str]:
    """Give the labels of the pieces of one of a plan's sidings."""
    return {piece.label for piece in plan.siding if piece.siding == name}


def _misplaced(job: Job) -> Iterator[str]:
    """Say which walls a start leaves without a course, or more than one course below."""
    if job.start is None:
        return
    shared = [wall for wall in job.walls if wall.start is None]
    lowest: dict[str, int] = {}
    for wall in shared:
        lowest[wall.part] = min(wall.base, lowest.get(wall.part, wall.base))
    start = _start_words(job.start, job.unit)
    for wall in shared:
        top = wall.zones[0].high if wall.zones else wall.height
        if lowest[wall.part] + job.start >= wall.base + top:
            what = "the top of its lowest zone" if wall.zones else "its top"
            yield f"wall {wall.name}: {start} is not below {what}"
    if shared and job.start <= -job.siding.exposure:
        yield f"{start} is a whole course below the bottom"


def _start_words(start: int, unit: Unit) -> str:
    return f"start {'-' if start < 0 else ''}{write_length(abs(start), unit)}"


def _together(stock: Sequence[StockLength], job: Job) -> str:
    # What is on hand is there with each and tells none apart.
    return " + ".join(_bought(s.length, job.unit) for s in stock if not s.is_on_hand)


def _choices(stock: Sequence[StockLength]) -> Iterator[tuple[StockLength, ...]]:
    """List which stock lengths to buy; what is on hand is there with each."""
    free = [s for s in stock if s.is_on_hand]
    sold = [s for s in stock if not s.is_on_hand]
    count = len(sold)
    for size in range(1, count + 1) if count <= _MOST_MIXED else (1, 2, count):
        for chosen in combinations(sold, size):
            yield tuple(sorted((*chosen, *free), key=lambda s: s.length))


def _bought(length: Ticks, unit: Unit) -> str:
    """Write a stock length as a dealer calls it."""
    return (
        write_length(length, unit) if unit.is_metric else write_feet(length).replace(' 0"', "")
    )
