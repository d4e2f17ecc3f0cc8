"""The shape of what a job file says of materials: siding, trim, and the rules for them."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from lapwright.job.material import Family
from lapwright.job.rules import SeamRule
from lapwright.job.value import (
    Count,
    Form,
    Length,
    Name,
    PositiveCount,
    PositiveLength,
    Price,
    fault,
    show,
)


def _exposures(value: object) -> object:
    if value == "even" or (isinstance(value, list) and value):
        return value
    raise fault(show(value), "even, or a list of exposures from the bottom course up")


class LeftoverForm(Form):
    """Pieces that are on hand: they cost nothing."""

    length: PositiveLength
    count: PositiveCount
    ends: Literal["both", "none"] | None = None


class StockForm(Form):
    """A length that a material is bought in."""

    length: PositiveLength
    price: Price | None = None
    carton: PositiveCount | None = None
    supply: Count | None = None


_Exposures = Annotated[
    Literal["even"] | list[PositiveLength],
    BeforeValidator(_exposures),
]


class SidingForm(Form):
    """The siding: a material of the catalogue, or one of the job's own."""

    material: Name
    family: Family | None = None
    exposure: PositiveLength | None = None
    least_exposure: PositiveLength | None = None
    greatest_exposure: PositiveLength | None = None
    exposures: _Exposures | None = None
    stock: Annotated[list[StockForm], Field(min_length=1)] | None = None
    leftovers: list[LeftoverForm] = []


class TrimForm(Form):
    """One trim material; what is not given comes from the catalogue."""

    name: Name | None = None
    stock: Annotated[list[StockForm], Field(min_length=1)] | None = None
    leftovers: list[LeftoverForm] = []
    face: Length | None = None
    splice_lap: Length | None = None
    splice_gap: Length | None = None


def _trim_or_none(value: object) -> object:
    if value is None or isinstance(value, (str, bool, int, float, list)):
        if value == "none":
            return None
        raise fault(show(value), "none, or a group of keys such as stock and face")
    return value


_TrimOrNone = Annotated[TrimForm | None, BeforeValidator(_trim_or_none)]


class TrimsForm(Form):
    """Trim by its role; a role set to ``none`` is not supplied by this job."""

    starter: _TrimOrNone = None
    outside_corner: _TrimOrNone = None
    inside_corner: _TrimOrNone = None
    j_channel: _TrimOrNone = None
    sill_channel: _TrimOrNone = None
    belly_band: _TrimOrNone = None
    head_flashing: _TrimOrNone = None
    fascia: _TrimOrNone = None
    frieze: _TrimOrNone = None
    f_channel: _TrimOrNone = None
    soffit: _TrimOrNone = None


class HungTrimsForm(Form):
    """Trim that goes with a further siding."""

    starter: _TrimOrNone = None
    j_channel: _TrimOrNone = None
    sill_channel: _TrimOrNone = None


def _hard(value: object) -> object:
    known = [rule.value for rule in SeamRule]
    if value == "all":
        return tuple(SeamRule)
    wanted = f"all, or a list of {', '.join(known[:-1])} and {known[-1]}"
    if not isinstance(value, list):
        raise fault(show(value), wanted)
    wrong = [entry for entry in value if entry not in known]
    if wrong:
        raise fault(show(wrong[0]), wanted)
    return tuple(rule for rule in SeamRule if rule in value)


_HardRules = Annotated[
    tuple[SeamRule, ...],
    BeforeValidator(_hard),
    WithJsonSchema(
        {
            "anyOf": [
                {"const": "all"},
                {"type": "array", "items": {"enum": [rule.value for rule in SeamRule]}},
            ],
            "description": "Rules for seams that no plan may break.",
        }
    ),
]


class RulesForm(Form):
    """Rules of the trade that this job wants otherwise than the catalogue."""

    end_gap: Length | None = None
    lap: Length | None = None
    joint_gap: Length | None = None
    stagger: Length | None = None
    in_line_courses: PositiveCount | None = None
    in_line_width: Length | None = None
    extra_seams: Count | None = None
    hard: _HardRules | None = None
    shortest_piece: PositiveLength | None = None
    keep_out: Length | None = None
    side_clearance: Length | None = None
    sill_clearance: Length | None = None
    head_clearance: Length | None = None
    roof_clearance: Length | None = None
    stud_spacing: PositiveLength | None = None
    first_stud: Length | None = None
    band_clearance: Length | None = None
    band_gap: Length | None = None
    starter_gap: Length | None = None
    post_top_gap: Length | None = None
    post_below: Length | None = None
    channel_short: Length | None = None
    channel_tabs: Length | None = None
    head_flashing_reach: Length | None = None
    soffit_gap: Length | None = None
    soffit_span: PositiveLength | None = None
    fascia_corner: Length | None = None
    furring: Length | None = None
    crimp_spacing: PositiveLength | None = None
    level_check: PositiveCount | None = None
    sliver: Length | None = None
    narrowest: Length | None = None
    siding_kerf: Length | None = None
    trim_kerf: Length | None = None
    soffit_kerf: Length | None = None


class FurtherSidingForm(SidingForm):
    """A siding beside the first, with rules and trim of its own where it wants others."""

    rules: RulesForm = RulesForm()
    trim: HungTrimsForm = HungTrimsForm()
