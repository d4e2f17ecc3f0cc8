"""Other ways to buy or hang a job: planned and recounted like any plan, to lay beside it."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING

from lapwright.bars import Material, Saw, Terms, Want, cut_material
from lapwright.errors import NoPlanError
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
    """Of the whole siding then; None for trim."""
    reasons: tuple[str, ...] = ()
    """Why it cannot be."""


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
    high = [wall for wall in job.walls if wall.start >= wall.height]
    if high:
        return Trial(
            variant,
            None,
            tuple(
                f"wall {wall.name}: the first course at {write_length(wall.start, job.unit)}"
                f" is not below its top at {write_length(wall.height, job.unit)}"
                for wall in high
            ),
        )
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
        Stock lengths to compare; those of the job, if none are given.
    """
    lengths = tuple(sorted(stock or job.siding.stock, key=lambda s: s.length))
    return tuple(
        Variant(
            " + ".join(_bought(s.length, job.unit) for s in chosen),
            replace(job, siding=replace(job.siding, stock=chosen)),
        )
        for chosen in _choices(lengths)
    )


def start_variants(variant: Variant, starts: Sequence[Ticks]) -> tuple[Variant, ...]:
    """List a variant with the first course of every wall begun at each of some heights."""
    if not starts:
        return (variant,)
    return tuple(
        Variant(
            f"{variant.name}, start {write_length(start, variant.job.unit)}",
            replace(
                variant.job,
                walls=tuple(replace(wall, start=start) for wall in variant.job.walls),
            ),
        )
        for start in starts
    )


def without_each_length(
    plan: Plan, *, time_limit: float | None = 3.0, watcher: Watcher | None = None
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
    """
    for material in plan.materials:
        for line in material.order:
            stock = _stock(plan.job, material)
            kept = tuple(s for s in stock if s.length != line.stock)
            if kept and line.count:
                yield _without(plan, material, line.stock, kept, time_limit, watcher)


def _without(
    plan: Plan,
    material: MaterialPlan,
    left_out: Ticks,
    kept: tuple[StockLength, ...],
    time_limit: float | None,
    watcher: Watcher | None,
) -> Without:
    job = plan.job
    try:
        if material.role == "siding":
            made = make_plan(
                replace(job, siding=replace(job.siding, stock=kept), trim=(), supplies=None),
                time_limit=time_limit,
                watcher=watcher,
            )
            return Without(material, left_out, made.materials[0], len(made.seams))
        trim = next(t for t in job.trim if t.role.value == material.role)
        other = _cut_trim(plan, replace(trim, stock=kept), time_limit, watcher)
    except NoPlanError as error:
        return Without(material, left_out, None, None, tuple(error.reasons))
    return Without(material, left_out, other, None)


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
        return job.siding.stock
    return next((t.stock for t in job.trim if t.role.value == material.role), ())


def _choices(stock: Sequence[StockLength]) -> Iterator[tuple[StockLength, ...]]:
    count = len(stock)
    for size in range(1, count + 1) if count <= _MOST_MIXED else (1, 2, count):
        yield from combinations(stock, size)


def _bought(length: Ticks, unit: Unit) -> str:
    """Write a stock length as a dealer calls it."""
    return (
        write_length(length, unit) if unit.is_metric else write_feet(length).replace(' 0"', "")
    )
