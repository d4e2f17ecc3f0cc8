"""The cut sheets as they are listed on the page: marks, and which piece lies where."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lapwright_cli.reports.cutsheets import number_ranges
from lapwright_cli.reports.sheets import CutSheet, crosscuts, cut_sheets
from lapwright_cli.reports.writing import (
    kerf_of,
    on_tape,
    on_wall,
    plain,
    plural,
    role_words,
)

if TYPE_CHECKING:
    from lapwright.plan import Bar, Plan


@dataclass(frozen=True, slots=True)
class PlaceView:
    """A place on the stock lengths of a sheet."""

    words: str
    """From where to where, from the left end of the stock length."""
    labels: tuple[str, ...]
    """As they stand in the plan, one a bar."""


@dataclass(frozen=True, slots=True)
class SheetView:
    """A cut sheet in short."""

    number: int
    what: str
    """How many of what to take."""
    marks: str
    """Where it is crosscut."""
    places: tuple[PlaceView, ...]


def view_sheets(plan: Plan) -> tuple[SheetView, ...]:
    """List the sheets of a plan by number."""
    return tuple(_view(sheet, plan) for sheet in cut_sheets(plan))


def _view(sheet: CutSheet, plan: Plan) -> SheetView:
    unit, bar, many = plan.job.unit, sheet.pattern, len(sheet.bars)
    kind = "leftover" if sheet.is_leftover else "stock length"
    numbers = number_ranges(each.number for each in sheet.bars)
    return SheetView(
        number=sheet.number,
        what=(
            f"{plural(many, kind)} of {on_wall(bar.stock, unit)},"
            f" {role_words(sheet.material.role)}: {plain(sheet.material.name)};"
            f" {'bar' if many == 1 else 'bars'} {numbers}"
        ),
        marks=_marks(bar, kerf_of(sheet.material, plan), plan),
        places=tuple(
            PlaceView(
                f"{on_tape(cut.start, unit)} to {on_tape(cut.end, unit)}"
                f" ({on_tape(cut.end - cut.start, unit)})",
                sheet.labels(position),
            )
            for position, cut in enumerate(bar.cuts)
        ),
    )


def _marks(bar: Bar, kerf: int, plan: Plan) -> str:
    """Say where a stock length is crosscut, in the words of the cut sheets."""
    unit = plan.job.unit
    cuts = crosscuts(bar, kerf)
    if not cuts:
        return "No crosscut."
    texts = [
        on_tape(cut.at, unit) + ("" if cut.keeps_left else ", blade left of the mark")
        for cut in cuts
    ]
    return f"Crosscut marks from the stock's left end: {'; '.join(texts)}."
