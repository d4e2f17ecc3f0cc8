"""Variants of a job side by side, for the estimator."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from lapwright.job.labour import MINUTES
from lapwright.job.material import MONEY
from lapwright.measure import Unit, write_decimal
from lapwright_cli.reports.figures import Figures, figures_of
from lapwright_cli.reports.front import FRONT_HEADING, front_lines
from lapwright_cli.reports.writing import (
    MADE_BY,
    area,
    on_tape,
    on_wall,
    plain,
    plural,
    price,
    share,
    stock_words,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from lapwright.front import Front
    from lapwright.job.job import Job
    from lapwright.variant import Trial
    from lapwright_cli.reports.workbook import Cell

CONVENTIONS_HEADING = "Pieces that the estimating conventions would order"
FRONT_HEADING_OF_JOB = f"{FRONT_HEADING}, in the job as it stands"
_FOR_ITS_SEAMS = " for its seams"
_WORK = {
    "minutes_a_cut": "cut",
    "minutes_a_setup": "set-up",
    "minutes_a_piece": "piece hung",
    "minutes_a_seam": "seam",
}


@dataclass(frozen=True, slots=True)
class Column:
    """One figure of every variant."""

    name: str
    unit: str
    """For the heading where the cells are bare numbers; empty for counts and words."""
    text: Callable[[Figures], str]
    cell: Callable[[Figures], Cell]
    is_money: bool = False
    bar: Callable[[Figures], Fraction | int | None] | None = None
    """What the chart shows of it, None where it shows nothing."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """Everything that the reports of a comparison hold, in words and in numbers."""

    title: str
    intro: tuple[str, ...]
    columns: tuple[Column, ...]
    found: tuple[tuple[str, Figures], ...]
    """Name and figures of every variant that has a plan."""
    least: tuple[str, ...]
    """Which variant has the least of what."""
    conventions: tuple[tuple[Cell, ...], ...]
    """What each convention would order of each longest length, heading first."""
    failed: tuple[tuple[str, tuple[str, ...]], ...]
    """Name of every variant without a plan, and why."""
    notes: tuple[str, ...]
    job: Job
    """The job that all are variants of."""
    fronts: tuple[Front, ...] = ()
    """What fewer seams cost in the job as it stands, by siding; empty if not asked for."""

    @property
    def rows(self) -> tuple[tuple[str, ...], ...]:
        """The table as texts, heading first."""
        heading = ("variant", *(column.name for column in self.columns))
        return (
            heading,
            *((name, *(c.text(figures) for c in self.columns)) for name, figures in self.found),
        )


def compare_trials(
    job: Job, trials: Sequence[Trial], seconds: float, fronts: Sequence[Front] = ()
) -> Comparison:
    """Lay what came of planning variants side by side.

    Parameters
    ----------
    job
        The job that they are variants of.
    trials
        In the order in which they are told.
    seconds
        The time limit of each.
    fronts
        What fewer seams cost in the job as it stands, where that was looked for.
    """
    found = tuple(
        (plain(t.variant.name), figures_of(t.plan)) for t in trials if t.plan is not None
    )
    walls = plural(len(job.walls), "wall")
    return Comparison(
        title=f"Comparison for {plain(job.name)}",
        intro=(
            f"{walls}; {plural(len(trials), 'variant')}, each planned and recounted like any"
            f" plan, with {seconds:g} s to search.",
            *_area_words(trials),
        ),
        columns=_columns(job, found),
        found=found,
        least=tuple(_least(found)),
        conventions=_conventions(job, found),
        failed=tuple(
            (plain(t.variant.name), tuple(plain(reason) for reason in t.reasons))
            for t in trials
            if t.plan is None
        ),
        notes=tuple(_notes(job, found)),
        job=job,
        fronts=tuple(fronts),
    )


def comparison_text(comparison: Comparison) -> str:
    """Write a comparison as plain text for the terminal."""
    lines = [comparison.title, *comparison.intro]
    if comparison.found:
        lines += ["", *_table(comparison.rows)]
    if comparison.least:
        lines += ["", *(f"  {words}" for words in comparison.least)]
    if comparison.failed:
        lines += ["", "No plan"]
        lines += [f"  {name}: {'; '.join(reasons)}" for name, reasons in comparison.failed]
    if comparison.conventions:
        lines += ["", CONVENTIONS_HEADING, *_table(as_texts(comparison.conventions))]
    if comparison.fronts:
        lines += ["", FRONT_HEADING_OF_JOB, *front_lines(comparison.fronts, comparison.job)]
    lines += ["", *(f"  - {note}" for note in comparison.notes)]
    return "\n".join(lines) + "\n"


def as_texts(rows: Sequence[Sequence[Cell]]) -> tuple[tuple[str, ...], ...]:
    """Write the cells of a table of words and counts."""
    return tuple(tuple("" if cell is None else str(cell) for cell in row) for row in rows)


def _conventions(
    job: Job, found: Sequence[tuple[str, Figures]]
) -> tuple[tuple[Cell, ...], ...]:
    """Lay the conventions down and the longest stock lengths across, each once."""
    columns: dict[tuple[str, int], dict[str, int]] = {}
    for _, figures in found:
        for each in figures.conventions:
            columns.setdefault((each.material, each.longest), dict(each.pieces))
    if not columns:
        return ()
    several = len({material for material, _ in columns}) > 1
    heading = [
        f"{plain(material)}: {stock_words(longest, job.unit)}"
        if several
        else stock_words(longest, job.unit)
        for material, longest in columns
    ]
    names = dict.fromkeys(name for pieces in columns.values() for name in pieces)
    rows: list[tuple[Cell, ...]] = [
        (name, *(pieces.get(name) for pieces in columns.values())) for name in names
    ]
    return (("convention", *heading), *rows)


def _columns(job: Job, found: Sequence[tuple[str, Figures]]) -> tuple[Column, ...]:
    unit = Unit.MILLIMETRE if job.unit.is_metric else Unit.INCH
    money = plain(job.currency)

    def amount(value: int | None) -> str:
        return "-" if value is None else price(value, money)

    def number(value: int | None) -> Fraction | None:
        return None if value is None else Fraction(value, MONEY)

    def bound(figures: Figures) -> str:
        if figures.is_priced or figures.bound is None:
            return amount(figures.bound)
        return on_wall(figures.bound, job.unit)

    columns = [
        Column(
            "panels", "", lambda f: str(f.panels), lambda f: f.panels, bar=lambda f: f.panels
        ),
        Column("to buy", "", lambda f: str(f.bought), lambda f: f.bought),
        Column(
            "stock",
            unit.value,
            lambda f: on_wall(f.stock, job.unit),
            lambda f: Fraction(f.stock, unit.ticks),
        ),
    ]
    if any(f.siding_cost is not None for _, f in found):
        columns += [
            Column(
                "siding",
                money,
                lambda f: amount(f.siding_cost),
                lambda f: number(f.siding_cost),
                is_money=True,
                bar=lambda f: f.siding_cost,
            ),
            Column(
                "order",
                money,
                lambda f: amount(f.order_cost),
                lambda f: number(f.order_cost),
                is_money=True,
            ),
        ]
    else:
        columns[2] = Column(
            "stock",
            unit.value,
            lambda f: on_wall(f.stock, job.unit),
            lambda f: Fraction(f.stock, unit.ticks),
            bar=lambda f: f.stock,
        )
    columns += [
        Column("seams", "", lambda f: str(f.seams), lambda f: f.seams, bar=lambda f: f.seams),
        Column(
            "offcut",
            "%",
            lambda f: share(f.offcut, 1),
            lambda f: round(f.offcut * 100, 1),
            bar=lambda f: f.offcut,
        ),
        Column(
            "set-ups", "", lambda f: str(f.setups), lambda f: f.setups, bar=lambda f: f.setups
        ),
        Column("cuts", "", lambda f: str(f.cuts), lambda f: f.cuts, bar=lambda f: f.cuts),
    ]
    if job.labour is not None:
        columns.append(
            Column(
                "work",
                "h",
                lambda f: f"{_hours(f)} h",
                lambda f: None if f.minutes is None else round(f.minutes / 60, 1),
                bar=lambda f: f.minutes,
            )
        )
        if job.labour.rate_an_hour is not None:
            columns += [
                Column(
                    "wages",
                    money,
                    lambda f: amount(f.wages),
                    lambda f: number(f.wages),
                    is_money=True,
                ),
                Column(
                    "order and wages",
                    money,
                    lambda f: amount(_together(f)),
                    lambda f: number(_together(f)),
                    is_money=True,
                ),
            ]
    if any(f.by_area for _, f in found):
        columns.append(Column("by area", "", _range, _range))
    kinds = {f.is_priced for _, f in found if f.bound is not None}
    is_money = kinds != {False}

    def bound_cell(figures: Figures) -> Cell:
        if figures.bound is None or len(kinds) > 1:
            return bound(figures)
        return Fraction(figures.bound, MONEY if is_money else unit.ticks)

    columns += [
        Column(
            "bound",
            "" if len(kinds) > 1 else money if is_money else unit.value,
            bound,
            bound_cell,
            is_money=is_money,
        ),
        Column("proof", "", _proof, _proof),
    ]
    return tuple(columns)


def _together(figures: Figures) -> int | None:
    if figures.order_cost is None or figures.wages is None:
        return None
    return figures.order_cost + figures.wages


def _hours(figures: Figures) -> str:
    tenths = round((figures.minutes or Fraction(0)) / 6)
    return f"{tenths // 10}.{tenths % 10}"


def _range(figures: Figures) -> str:
    if not figures.by_area:
        return "-"
    low, high = min(figures.by_area), max(figures.by_area)
    return str(low) if low == high else f"{low} to {high}"


def _proof(figures: Figures) -> str:
    if figures.is_proven:
        words = "proven"
    else:
        words = f"at most {share(figures.gap, 1)} to save" if figures.gap else "cost proven"
    return words + _FOR_ITS_SEAMS if _is_for_its_seams(figures) else words


def _is_for_its_seams(figures: Figures) -> bool:
    return figures.seams > 0 and not figures.seams_too


def _least(found: Sequence[tuple[str, Figures]]) -> list[str]:
    """Say which variant has the least of what, all of them where several have."""
    if len(found) < 2:
        return []
    lines = []
    measures: tuple[tuple[str, Callable[[Figures], int | None]], ...] = (
        ("least cost of the order", lambda f: f.order_cost),
        ("least cost of the siding", lambda f: f.siding_cost),
        ("least cost of order and wages", _together),
        ("least stock", lambda f: f.stock),
        ("fewest seams", lambda f: f.seams),
        ("fewest set-ups", lambda f: f.setups),
    )
    for what, value in measures:
        known = [(amount, name) for name, f in found if (amount := value(f)) is not None]
        if not known:
            continue
        best = min(amount for amount, _ in known)
        names = [name for amount, name in known if amount == best]
        some = ", of those that have a price" if len(known) < len(found) else ""
        if len(names) < len(found):
            lines.append(f"{what}{some}: {'; '.join(names)}")
    return lines


def _area_words(trials: Sequence[Trial]) -> list[str]:
    plan = next((t.plan for t in trials if t.plan is not None), None)
    if plan is None:
        return []
    gross, net = sum(w.gross for w in plan.walls), sum(w.net for w in plan.walls)
    unit = plan.job.unit
    words = [f"{area(gross, unit)} in all, {area(net, unit)} without the openings."]
    if any(s.is_on_hand for siding in plan.job.sidings for s in siding.stock):
        words.append("Leftovers on hand may be used in each; they cost nothing.")
    return words


def _bound_words(found: Sequence[tuple[str, Figures]]) -> str:
    """Say of which seams a bound speaks where that differs."""
    if not any(_is_for_its_seams(figures) for _, figures in found):
        return ""
    return (
        " Both hold wherever the seams lie, but for where it says “for its seams”: there they"
        " are of the seams as they are."
    )


def _notes(job: Job, found: Sequence[tuple[str, Figures]]) -> list[str]:
    notes = [
        "panels: stock lengths of siding that are cut; to buy: with spare and whole cartons;"
        " stock: the length of the panels; order: siding and trim, all that is bought.",
        "set-ups: ways in which siding and trim are crosscut; cuts: crosscuts, slopes and rips"
        " of siding and trim, without notches; offcut: share of the panels, kerf included.",
        "bound: the siding comes to no less than this before spare and cartons, with these"
        " stock lengths and the rules for seams kept as well; proven: no material comes to"
        " less; cost proven: that, too, but whether fewer rules could be broken is not known."
        + _bound_words(found),
    ]
    if any(f.by_area for _, f in found) and job.estimating is not None:
        waste = share(job.estimating.waste, 1)
        notes.append(
            "by area: what the estimating conventions would order of the longest stock length"
            f" in each variant, {waste} waste added; rules, not a plan."
        )
    if job.labour is not None:
        labour = job.labour
        minutes = [
            f"{write_decimal(getattr(labour, key))} min a {_WORK[key]}"
            for key in MINUTES
            if getattr(labour, key) is not None
        ]
        rate = labour.rate_an_hour
        paid = "" if rate is None else f", at {price(rate, job.currency)} an hour"
        notes.append(
            f"work: {', '.join(minutes)}{paid}, as the job says; nothing else is counted."
        )
    kerf = on_tape(job.rules.siding_kerf, job.unit)
    notes.append(f"blade takes {kerf} from siding; spare {share(job.spare, 1)}; {MADE_BY}.")
    return notes


def _table(rows: Sequence[Sequence[str]]) -> list[str]:
    """Align the first column to the left, the others to the right."""
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    lines = []
    for first, *others in rows:
        cells = [first.ljust(widths[0])]
        cells += [cell.rjust(w) for cell, w in zip(others, widths[1:], strict=True)]
        lines.append(("  " + "  ".join(cells)).rstrip())
    return lines
