"""The elevations as one page for a browser, without anything from elsewhere."""

from __future__ import annotations

import hashlib
import json
import string
from dataclasses import dataclass
from functools import partial
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from lapwright.measure import tape_step
from lapwright.plan import EndCut
from lapwright.record import plan_record
from lapwright_cli.paper import Paper, paper_for
from lapwright_cli.reports import shapes
from lapwright_cli.reports.cautions import cautions
from lapwright_cli.reports.endcuts import with_joined_ends
from lapwright_cli.reports.hanging import hanging_notes
from lapwright_cli.reports.order import order_rows, total_words
from lapwright_cli.reports.poles import poles
from lapwright_cli.reports.sheetlist import view_sheets
from lapwright_cli.reports.sheets import CutSheet, cut_sheets, places_of_labels
from lapwright_cli.reports.soffitview import SoffitView, view_soffit
from lapwright_cli.reports.storypole import mark_rows
from lapwright_cli.reports.trimmarks import trim_words
from lapwright_cli.reports.wallview import WallView, view_wall
from lapwright_cli.reports.wallwords import (
    course_words,
    opening_rows,
    soffit_facts,
    soffit_name,
    wall_facts,
    wall_name,
)
from lapwright_cli.reports.writing import (
    MADE_BY,
    assumptions,
    bound_words,
    cost_words,
    notices,
    offcut_share,
    on_tape,
    on_wall,
    plain,
    role_words,
    unbroken,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lapwright.job.wall import Wall
    from lapwright.plan import Bar, MaterialPlan, PieceEnd, Plan, SidingPiece

_SAFE_IN_ANCHOR = set(string.ascii_letters + string.digits + ".-")
_TAKEN = ("piece-", "wall-", "soffit-", "sheet-", "hatch-")
"""Begins of the page's own anchors."""
_TAKEN_WHOLE = {
    "main", "find", "wanted", "said", "found", "left-all", "clear", "card",
    "sheets", "sheets-name", "order", "order-name", "know", "know-name",
    "cautions", "cautions-name",
}  # fmt: skip
"""The page's other anchors."""


@dataclass(frozen=True, slots=True)
class _Row:
    """A piece in a table: its anchor, its label and the cells after it."""

    anchor: str
    label: str
    cells: tuple[str, ...]

    @property
    def short(self) -> bool:
        """Whether its label can be an anchor as it is, as in ``#B7.2``."""
        return short_anchor(self.label) == self.label


@dataclass(frozen=True, slots=True)
class _Course:
    """A course in the table of a wall."""

    heading: str
    rows: tuple[_Row, ...]


@dataclass(frozen=True, slots=True)
class _SoffitPage:
    """Everything about a soffit."""

    anchor: str
    name: str
    facts: tuple[str, ...]
    view: SoffitView | None
    """None where no panels are planned."""
    trim: tuple[_Row, ...]


@dataclass(frozen=True, slots=True)
class _WallPage:
    """Everything about a wall."""

    anchor: str
    name: str
    facts: tuple[str, ...]
    view: WallView
    described: str
    hanging: tuple[str, ...]
    openings: tuple[tuple[str, ...], ...]
    courses: tuple[_Course, ...]
    trim: tuple[_Row, ...]


def elevations_html(plan: Plan, paper: Paper | None = None) -> str:
    """Write one page that holds everything: elevations, tables, order and cautions.

    Parameters
    ----------
    plan
        A checked plan.
    paper
        For who prints the page; if not given, the one that goes with the job's unit.
    """
    # The template engine is large; who only reads the order should not wait for it.
    from jinja2 import Environment, StrictUndefined

    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    # Browsers break a line behind any hyphen, which would part 4 from 1/8.
    environment.filters["unbroken"] = partial(unbroken, joiner="\u2060")
    environment.filters["plain"] = plain
    source = _own("elevations.html.j2")
    return environment.from_string(source).render(
        job=plain(plan.job.name),
        paper=(paper or paper_for(plan.job.unit)).value,
        made_by=MADE_BY,
        walls=_wall_pages(plan),
        poles=[(pole, mark_rows(pole, plan.job.unit)) for pole in poles(plan)],
        is_metric=plan.job.unit.is_metric,
        soffits=_soffit_pages(plan),
        materials=[_material(material, plan) for material in plan.materials],
        total=total_words(plan),
        notices=notices(plan),
        cautions=cautions(*(siding.family for siding in plan.job.sidings)),
        assumptions=assumptions(plan),
        anchor=anchor,
        sheets=view_sheets(plan),
        example=plain(plan.siding[0].label) if plan.siding else "A1.1",
        plan_hash=plan_hash(plan),
        # Files of ours, which hold nothing of a job: safe as they are.
        style=_own("elevations.css"),
        script=_own("elevations.js").strip(),
    )


def plan_hash(plan: Plan) -> str:
    """Give a short name of what a plan says, the same for whoever made it.

    Ticks are kept under it, so that a plan that says anything else begins without any.
    """
    record = plan_record(plan)
    del record["made_by"]
    text = json.dumps(record, ensure_ascii=True, sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _own(name: str) -> str:
    return files("lapwright_cli.reports").joinpath(name).read_text("utf-8")


def anchor(label: str) -> str:
    """Turn a label into the anchor of its piece, different labels into different ones.

    Examples
    --------
    >>> anchor("A3.2"), anchor("A 3")
    ('piece-A3.2', 'piece-A_20_3')
    """
    return f"piece-{_slug(label)}"


def short_anchor(label: str) -> str:
    """Give the label itself as the anchor of its piece, where it can be one as it is.

    Examples
    --------
    >>> short_anchor("B7.2"), short_anchor("B 7"), short_anchor("order")
    ('B7.2', 'piece-B_20_7', 'piece-order')
    """
    is_safe = set(label) <= _SAFE_IN_ANCHOR and not label.startswith(_TAKEN)
    return label if is_safe and label not in _TAKEN_WHOLE else anchor(label)


def _slug(text: str) -> str:
    return "".join(sign if sign in _SAFE_IN_ANCHOR else f"_{ord(sign):x}_" for sign in text)


def _wall_pages(plan: Plan) -> list[_WallPage]:
    sources = places_of_labels(cut_sheets(plan))
    return [_wall_page(wall, plan, sources) for wall in plan.job.walls]


def _wall_page(
    wall: Wall, plan: Plan, sources: Mapping[str, tuple[CutSheet, Bar]]
) -> _WallPage:
    pieces = [piece for piece in plan.siding if piece.wall == wall.mark]
    facts = wall_facts(wall, plan)
    return _WallPage(
        anchor=f"wall-{_slug(wall.mark)}",
        name=wall_name(wall),
        facts=facts,
        view=view_wall(wall, plan),
        described=f"Seen from outside. {'; '.join(facts)}. Openings:"
        f" {', '.join(plain(o.name) for o in wall.openings) or 'none'}."
        " The tables below hold every piece.",
        hanging=hanging_notes(wall, plan),
        openings=_opening_rows(wall, plan),
        courses=tuple(
            _course([p for p in pieces if p.course == number], plan, sources)
            for number in sorted({piece.course for piece in pieces})
        ),
        trim=_trim_rows(wall.mark, plan, sources),
    )


def _opening_rows(wall: Wall, plan: Plan) -> tuple[tuple[str, ...], ...]:
    """List the openings of a wall, each with the trim round it."""
    order = sorted(wall.openings, key=lambda o: (o.x, o.sill))
    rows = zip(opening_rows(wall, plan), order, strict=True)
    return tuple((*row, trim_words(opening, wall, plan)) for row, opening in rows)


def _soffit_pages(plan: Plan) -> list[_SoffitPage]:
    sources, unit = places_of_labels(cut_sheets(plan)), plan.job.unit
    pages = []
    for soffit in plan.job.soffits:
        panels = [panel for panel in plan.soffits if panel.soffit == soffit.mark]
        pages.append(
            _SoffitPage(
                anchor=f"soffit-{_slug(soffit.mark)}",
                name=soffit_name(soffit),
                facts=soffit_facts(soffit, panels, plan),
                view=view_soffit(soffit, panels, unit) if panels else None,
                trim=_trim_rows(soffit.mark, plan, sources),
            )
        )
    return pages


def _trim_rows(
    mark: str, plan: Plan, sources: Mapping[str, tuple[CutSheet, Bar]]
) -> tuple[_Row, ...]:
    """List the trim of a wall or a soffit."""
    return tuple(
        _Row(
            anchor(piece.label),
            plain(piece.label),
            (
                role_words(piece.role),
                plain(piece.place),
                on_tape(piece.length, plan.job.unit),
                *_source(piece.label, sources),
            ),
        )
        for piece in plan.trim
        if piece.wall == mark
    )


def _course(
    own: list[SidingPiece], plan: Plan, sources: Mapping[str, tuple[CutSheet, Bar]]
) -> _Course:
    unit = plan.job.unit
    return _Course(
        course_words(own, plan),
        tuple(
            _Row(
                anchor(piece.label),
                plain(piece.label),
                (
                    on_tape(piece.length, unit),
                    on_wall(piece.x, unit),
                    _end(piece.left),
                    _end(piece.right),
                    _work(piece, plan),
                    *_source(piece.label, sources),
                ),
            )
            for piece in own
        ),
    )


def _end(end: PieceEnd) -> str:
    """Say what an end runs into, and what it is where that is not a square cut."""
    if end.cut is EndCut.SQUARE:
        return plain(end.meets)
    return f"{shapes.end_words(end)}, {plain(end.meets)}"


def _work(piece: SidingPiece, plan: Plan) -> str:
    names = shapes.notch_names(piece)
    cause = f"For {', '.join(names)}. " if names else ""
    shown = with_joined_ends(piece, tape_step(plan.job.unit))
    words = (*shapes.shape_words(shown, plan), *shapes.support_words(piece, plan))
    return cause + " ".join(words)


def _source(label: str, sources: Mapping[str, tuple[CutSheet, Bar]]) -> tuple[str, str]:
    """Give the numbers of the sheet and of the bar that a piece comes from."""
    sheet, bar = sources[label]
    return str(sheet.number), str(bar.number)


def _material(material: MaterialPlan, plan: Plan) -> dict[str, Any]:
    heading, *rows = order_rows(material, plan)
    return {
        "name": f"{role_words(material.role)}: {plain(material.name)}",
        "heading": heading,
        "rows": rows,
        "words": (
            f"Planned: {len(material.bars)} stock lengths, {cost_words(material, plan)} before"
            f" spare and whole cartons. {bound_words(material, plan).capitalize()}."
            f" Offcut and kerf: {offcut_share(material)}."
        ),
    }
