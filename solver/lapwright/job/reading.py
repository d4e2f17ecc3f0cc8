"""From a job file to a job, or to one list of everything that is wrong with it."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING, Any, get_args

from pydantic import BaseModel, ValidationError

from lapwright.errors import Finding, InputError, NoPlanError
from lapwright.job import catalogue
from lapwright.job.document import Document, parse_yaml, read_text
from lapwright.job.form import JobForm
from lapwright.job.groups import (
    long_panels,
    read_estimating,
    read_labour,
    read_stickers,
    read_supplies,
    read_thermal,
)
from lapwright.job.job import Cladding, Job, StartRange
from lapwright.job.judging import judge_job, judge_trim_materials, judge_wall
from lapwright.job.material import HUNG_WITH_SIDING, Family, Siding, StockLength, Trim, TrimRole
from lapwright.job.material_form import FurtherSidingForm, SidingForm, StockForm
from lapwright.job.openings import opening_of
from lapwright.job.outline import wall_outline, wall_zones
from lapwright.job.rules import Rules
from lapwright.job.soffits import OF_SOFFITS, judge_soffits, make_soffits
from lapwright.job.value import show
from lapwright.job.wall import FlashedKind, OpeningKind, Wall, mark_at
from lapwright.job.wall_form import WallForm
from lapwright.measure import INCH, MILLIMETRE, Ticks, Unit, write_length

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from pathlib import Path

    from pydantic_core import ErrorDetails

    from lapwright.job.material_form import HungTrimsForm, LeftoverForm, TrimsForm

_COLD = 40


def read_job(path: Path) -> Job:
    """Read a job file.

    Raises
    ------
    InputError
        The file cannot be read or its content cannot be used; lists every finding,
        each with file, line, column and key.
    """
    return build_job(read_form(path))


def read_form(path: Path) -> JobForm:
    """Read a job file as far as its form, judged: what it says, and nothing filled in.

    Raises
    ------
    InputError
        As for `read_job`.
    """
    return parse_form(read_text(path), str(path))


def parse_job(text: str, file: str) -> Job:
    """Read a job from the text of its file.

    Parameters
    ----------
    text
        YAML, or JSON, which is YAML.
    file
        Name of the file, for the places in messages.

    Raises
    ------
    InputError
        As for `read_job`.
    """
    return build_job(parse_form(text, file))


def job_of_data(data: dict[str, Any]) -> Job:
    """Read a job from plain data, as it stands in the record of a plan.

    Raises
    ------
    InputError
        The data are no job; lists every finding with its key, but without a line.
    """
    return build_job(_judged(Document("", data)))


def parse_form(text: str, file: str) -> JobForm:
    """Read the judged form of a job from the text of its file, as `parse_job` does."""
    return _judged(parse_yaml(text, file))


def _judged(document: Document) -> JobForm:
    """Read the form of a job from a document, and judge it."""
    if "ticks_per_inch" in document.data:
        found, wanted = "a plan.json", "a job file; `lapwright audit` recounts a plan"
        raise InputError(Finding(document.place(()), found, wanted))
    context = {"unit": _unit(document.data)}
    findings: list[Finding] = []
    form = None
    try:
        form = JobForm.model_validate(document.data, context=context)
    except ValidationError as error:
        # Of a value that may be a word or a list, a list is not wrong for being no word.
        errors = (e for e in error.errors() if not any(map(_is_word, e["loc"])))
        findings += (_finding(document, details) for details in errors)
    # Walls that can be read are judged even where others cannot, so that the crew
    # gets all of the findings in one go.
    for position, wall in _walls(document.data):
        try:
            judged = WallForm.model_validate(wall, context=context)
        except ValidationError:
            continue
        findings += judge_wall(document, position, judged)
    findings += judge_job(document, form)
    if form is not None and not findings:
        findings += judge_soffits(document, form)
    if findings or form is None:
        raise InputError(*sorted(findings, key=lambda f: (f.place.line, f.place.column)))
    if findings := list(judge_trim_materials(document, build_job(form))):
        raise InputError(*findings)
    return form


def build_job(form: JobForm) -> Job:
    """Make the job from a form that has been judged."""
    siding = _siding(form.siding)
    cold = form.hanging_temperature < _COLD
    name = form.siding.material
    known = name if name in catalogue.siding_names() else None
    defaults = catalogue.default_rules(known, siding.family, cold=cold)
    given = {k: v for k, v in form.rules.model_dump().items() if v is not None}
    remarks: list[str] = []
    thermal = read_thermal(form, siding.family)
    if thermal is not None:
        # The rule of the trade is the least that makers ask for, so heat can only add to it.
        need = thermal.room_at_each_end(siding.longest, form.hanging_temperature, form.unit)
        defaults["end_gap"] = max(defaults["end_gap"], need)
    elif "end_gap" not in given:
        remarks += long_panels(siding, form.unit)
    rules = Rules(**(defaults | given))
    usual = catalogue.built_in_trim(known, siding.family)
    trim = tuple(
        trim
        for trim in _trim(form.trim, TrimRole, usual)
        if trim.role.value in form.trim.model_fields_set or _is_asked_for(trim.role, form)
    )
    further = tuple(
        _further(entry, form, given, trim if _siding(entry).family is siding.family else None)
        for entry in form.sidings
    )
    clear = {"": rules.band_clearance, siding.name: rules.band_clearance}
    clear |= {other.siding.name: other.rules.band_clearance for other in further}
    walls = tuple(
        _wall(wall, position, remarks, form.unit, clear)
        for position, wall in enumerate(form.walls)
    )
    return Job(
        name=form.job,
        unit=form.unit,
        currency=form.currency or "",
        temperature=form.hanging_temperature,
        spare=form.spare,
        walls=walls,
        siding=siding,
        trim=trim,
        rules=rules,
        eave_trim=form.eave_trim,
        head_flashing=tuple(
            OpeningKind(kind.value)
            for kind in form.head_flashing
            if kind is not FlashedKind.BELLY_BAND
        ),
        band_flashing=FlashedKind.BELLY_BAND in form.head_flashing,
        soffits=make_soffits(form, walls),
        remarks=tuple(remarks),
        thermal=thermal,
        supplies=read_supplies(form, siding.family),
        estimating=read_estimating(form, siding.family),
        labour=read_labour(form),
        stickers=read_stickers(form),
        further=further,
        start_range=_start_range(form, siding.exposure),
        start=None if form.start == "best" else form.start,
    )


def _further(
    entry: FurtherSidingForm,
    form: JobForm,
    given: dict[str, Any],
    like: Sequence[Trim] | None,
) -> Cladding:
    """Make a further siding: its own rules first, then the job's, then the catalogue's.

    Parameters
    ----------
    like
        The job's trim, where it is for this family as well; None for the catalogue's.
    """
    siding = _siding(entry)
    cold = form.hanging_temperature < _COLD
    known = entry.material if entry.material in catalogue.siding_names() else None
    defaults = catalogue.default_rules(known, siding.family, cold=cold)
    own = {k: v for k, v in entry.rules.model_dump().items() if v is not None}
    usual = catalogue.built_in_trim(known, siding.family) if like is None else like
    trim = tuple(_trim(entry.trim, HUNG_WITH_SIDING, usual))
    return Cladding(siding, Rules(**(defaults | given | own)), trim)


def with_material(form: JobForm, name: str) -> Job:
    """Make the job with another siding of the catalogue, all else as it says.

    Raises
    ------
    NoPlanError
        The job's other groups do not go with this siding.
    """
    named = any(w.siding or any(zone.siding for zone in w.zones) for w in form.walls)
    if form.sidings or named:
        raise NoPlanError(f"{name}: walls of the job name their siding; no other is tried")
    family = catalogue.built_in_siding(name).family
    known = catalogue.group_texts("thermal", family)
    if form.thermal and form.thermal.coefficient is None and "coefficient" not in known:
        raise NoPlanError(f"{name}: the job's group thermal gives no coefficient for it")
    return build_job(form.model_copy(update={"siding": SidingForm(material=name)}))


def _unit(data: dict[str, Any]) -> Unit:
    try:
        return Unit(data.get("unit", Unit.INCH))
    except ValueError:
        return Unit.INCH  # reported as a fault of the key itself


def _walls(data: dict[str, Any]) -> Iterator[tuple[int, Any]]:
    walls = data.get("walls")
    if isinstance(walls, list):
        yield from enumerate(walls)


def _siding(given: SidingForm) -> Siding:
    base = None
    if given.material in catalogue.siding_names():
        base = catalogue.built_in_siding(given.material)
    family = given.family or (base.family if base else Family.LAPPED)
    exposure = given.exposure or (base.exposure if base else Ticks(0))
    stock = _stock(given.stock) if given.stock else (base.stock if base else ())
    stock = _with_leftovers(stock, given.leftovers)
    least = given.least_exposure or (base.least_exposure if base else None)
    greatest = given.greatest_exposure or (base.greatest_exposure if base else None)
    return Siding(
        given.material,
        family,
        exposure,
        stock,
        least,
        greatest,
        tuple(given.exposures) if isinstance(given.exposures, list) else (),
        evened=given.exposures == "even",
    )


def _start_range(form: JobForm, exposure: Ticks) -> StartRange:
    """Give the range of starts: from nearly one course below up to the lowest bottom."""
    given = form.start_range
    step = given.step or (10 * MILLIMETRE if form.unit.is_metric else INCH // 2)
    lowest = step - exposure if given.lowest is None else given.lowest
    return StartRange(Ticks(lowest), given.highest, Ticks(step))


def _trim(
    form: TrimsForm | HungTrimsForm, roles: Iterable[TrimRole], usual: Sequence[Trim]
) -> Iterator[Trim]:
    """Make the trim of some roles; what is not given is as usual."""
    built_in = {trim.role: trim for trim in usual}
    for role in roles:
        given = getattr(form, role.value)
        if role.value in form.model_fields_set and given is None:
            continue
        base = built_in.get(role)
        if given is None:
            if base is not None:
                yield base
            continue
        yield Trim(
            role=role,
            name=given.name or (base.name if base else role.value.replace("_", " ")),
            stock=_with_leftovers(
                _stock(given.stock) if given.stock else (base.stock if base else ()),
                given.leftovers,
            ),
            face=_first(given.face, base.face if base else Ticks(0)),
            splice_lap=_first(given.splice_lap, base.splice_lap if base else Ticks(0)),
            splice_gap=_first(given.splice_gap, base.splice_gap if base else Ticks(0)),
        )


def _is_asked_for(role: TrimRole, form: JobForm) -> bool:
    """Whether trim that the job does not name has a place on it."""
    if role is TrimRole.HEAD_FLASHING:
        return bool(form.head_flashing)
    return role not in OF_SOFFITS or bool(form.soffits)


def _first(given: Ticks | None, default: Ticks) -> Ticks:
    return default if given is None else given


def _with_leftovers(
    stock: tuple[StockLength, ...], leftovers: Sequence[LeftoverForm]
) -> tuple[StockLength, ...]:
    found = [StockLength(row.length, 0, None, row.count) for row in leftovers]
    return tuple(sorted((*stock, *found), key=lambda s: s.length))


def _stock(rows: list[StockForm]) -> tuple[StockLength, ...]:
    stock = (StockLength(r.length, r.price, r.carton, r.supply) for r in rows)
    return tuple(sorted(stock, key=lambda s: s.length))


def _wall(
    form: WallForm,
    position: int,
    remarks: list[str],
    unit: Unit,
    clear: Mapping[str, Ticks],
) -> Wall:
    outline, moved = wall_outline(form)
    if any(moved):
        remarks.append(
            f"wall {form.name}: the outline began {write_length(moved.x, unit)} right and"
            f" {write_length(moved.y, unit)} up; it was moved to the lower left, openings too"
        )
    openings = tuple(opening_of(opening, moved) for opening in form.openings)
    return Wall(
        name=form.name,
        mark=form.mark or mark_at(position),
        outline=outline,
        openings=openings,
        left=form.left,
        right=form.right,
        start=form.start,
        part=form.part or "",
        siding=form.siding or "",
        zones=wall_zones(form, clear),
        base=form.base,
        lower_edges=form.lower_edges,
        seen_from=None if form.seen_from is None else Ticks(form.seen_from - moved.x),
    )


def _is_word(step: str | int) -> bool:
    return str(step).startswith("literal[")


def _finding(document: Document, details: ErrorDetails) -> Finding:
    """Turn one error of the form into a finding in the crew's words."""
    path = tuple(step for step in details["loc"] if not str(step).startswith("list["))
    kind, context = details["type"], details.get("ctx", {})
    if kind == "extra_forbidden":
        known = _known_keys(path[:-1])
        word = str(path[-1])
        near = difflib.get_close_matches(word, known, n=1, cutoff=0.5)
        # A word that several keys hold, such as kerf, may mean any of them.
        near = list(dict.fromkeys([*(key for key in known if word in key), *near]))
        wanted = " or ".join(map(repr, near)) if near else "one of " + ", ".join(known)
        return Finding(document.key_place(path), f"the unknown key {path[-1]!r}", wanted)
    if kind == "missing":
        place = document.place(path[:-1])
        return Finding(
            type(place)(place.file, place.line, place.column, document.place(path).key),
            "nothing",
            f"the key {path[-1]!r}",
        )
    place = document.place(path)
    if kind == "job_value":
        return Finding(place, str(context["found"]), str(context["wanted"]))
    found = show(details["input"])
    if kind == "enum":
        options = str(context["expected"])
        return Finding(place, found, options)
    if kind in ("model_type", "dict_type", "model_attributes_type"):
        return Finding(place, found, "a group of keys")
    if kind == "list_type":
        return Finding(place, found, "a list")
    if kind == "too_short":
        return Finding(place, f"{context['actual_length']} entries", _at_least(context))
    if kind == "too_long":
        wanted = f"at most {context['max_length']} entries"
        return Finding(place, f"{context['actual_length']} entries", wanted)
    return Finding(place, found, details["msg"])


def _at_least(context: dict[str, Any]) -> str:
    least = context["min_length"]
    return "at least one entry" if least == 1 else f"at least {least} entries"


def _known_keys(path: Sequence[str | int]) -> list[str]:
    """List the keys that the form knows at a path."""
    model: type[BaseModel] = JobForm
    for step in path:
        if isinstance(step, int):
            continue
        inner = _model_in(model.model_fields[step].annotation)
        if inner is not None:
            model = inner
    return list(model.model_fields)


def _model_in(annotation: Any) -> type[BaseModel] | None:
    """Find the form inside an annotation such as ``list[WallForm]``."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for part in get_args(annotation):
        found = _model_in(part)
        if found is not None:
            return found
    return None
