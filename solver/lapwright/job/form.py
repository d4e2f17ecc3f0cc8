"""The shape of a job file: what keys it may have and what each must hold.

The models only carry text into exact values; what the values mean together
(an opening inside its wall, names used once) is judged by `lapwright.job.reading`.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationInfo, WithJsonSchema

from lapwright.job.material import EaveTrim
from lapwright.job.material_form import FurtherSidingForm, RulesForm, SidingForm, TrimsForm
from lapwright.job.value import (
    LENGTH_WORDS,
    TEXT_OR_NUMBER,
    Area,
    Coefficient,
    Form,
    Length,
    Minutes,
    Name,
    Percent,
    PositiveCount,
    PositiveLength,
    Price,
    SignedLength,
    Temperature,
    fault,
    read_signed_length,
    show,
)
from lapwright.job.wall import FlashedKind
from lapwright.job.wall_form import SoffitForm, WallForm
from lapwright.measure import Ticks, Unit


class ThermalForm(Form):
    """Movement by heat and cold; makes the end gap from the longest stock length."""

    coefficient: Coefficient | None = None
    coldest: Temperature
    hottest: Temperature
    pocket: PositiveLength | None = None


class SuppliesForm(Form):
    """What is counted by a rule and not cut; what is not given comes from the catalogue."""

    nail_spacing: PositiveLength | None = None
    trim_nail_spacing: PositiveLength | None = None
    post_nail_spacing: PositiveLength | None = None
    nails_a_pound: PositiveCount | None = None
    barrier_width: PositiveLength | None = None
    barrier_length: PositiveLength | None = None
    barrier_lap: Length | None = None
    tape_length: PositiveLength | None = None
    corner_flashing_side: PositiveLength | None = None
    corner_flashing_length: PositiveLength | None = None
    furring_spacing: PositiveLength | None = None
    furring_length: PositiveLength | None = None


class EstimatingForm(Form):
    """What the estimating conventions beside the plan assume."""

    waste: Percent | None = None
    large_opening: Area | None = None


class LabourForm(Form):
    """What work takes; what is not given counts nothing."""

    minutes_a_cut: Minutes | None = None
    minutes_a_setup: Minutes | None = None
    minutes_a_piece: Minutes | None = None
    minutes_a_seam: Minutes | None = None
    rate_an_hour: Price | None = None


class StickersForm(Form):
    """A sheet of stickers; margins that are not given set the stickers amid the paper."""

    paper: Literal["letter", "a4"] | None = None
    columns: PositiveCount
    rows: PositiveCount
    width: PositiveLength
    height: PositiveLength
    left: Length | None = None
    top: Length | None = None
    across: PositiveLength | None = None
    down: PositiveLength | None = None


def _start(value: object, info: ValidationInfo) -> object:
    return value if value == "best" else read_signed_length(value, info)


class StartRangeForm(Form):
    """Where a start is looked for, from each part's lowest bottom."""

    lowest: SignedLength | None = None
    highest: SignedLength = Ticks(0)
    step: PositiveLength | None = None


Start = Annotated[
    Literal["best"] | Ticks,
    BeforeValidator(_start),
    WithJsonSchema(TEXT_OR_NUMBER | {"description": f"best, or {LENGTH_WORDS}"}),
]


def _group_or_none(value: object) -> object:
    if value is None or isinstance(value, (str, bool, int, float, list)):
        if value == "none":
            return None
        raise fault(show(value), "none, or a group of keys")
    return value


class JobForm(Form):
    """A whole job file."""

    job: Name
    unit: Unit = Unit.INCH
    currency: Name | None = None
    hanging_temperature: Temperature = Fraction(60)
    spare: Percent = Fraction(0)
    siding: SidingForm
    sidings: list[FurtherSidingForm] = []
    start: Start = Ticks(0)
    start_range: StartRangeForm = StartRangeForm()
    trim: TrimsForm = TrimsForm()
    rules: RulesForm = RulesForm()
    thermal: Annotated[ThermalForm | None, BeforeValidator(_group_or_none)] = None
    supplies: Annotated[SuppliesForm | None, BeforeValidator(_group_or_none)] = SuppliesForm()
    estimating: Annotated[EstimatingForm | None, BeforeValidator(_group_or_none)] = (
        EstimatingForm()
    )
    eave_trim: EaveTrim = EaveTrim.SILL_CHANNEL
    head_flashing: list[FlashedKind] = []
    labour: Annotated[LabourForm | None, BeforeValidator(_group_or_none)] = None
    stickers: Annotated[StickersForm | None, BeforeValidator(_group_or_none)] = None
    walls: Annotated[list[WallForm], Field(min_length=1)]
    soffits: list[SoffitForm] = []


def schema() -> dict[str, Any]:
    """Give the JSON Schema of a job file."""
    made = JobForm.model_json_schema()
    optional = ("thermal", "supplies", "estimating", "labour", "stickers")
    groups = [made["properties"][name] for name in optional]
    trims = [made["$defs"][name]["properties"] for name in ("TrimsForm", "HungTrimsForm")]
    for role in (*(role for form in trims for role in form.values()), *groups):
        # A role or a group is left out by the word none; an empty value is refused.
        role["anyOf"] = [
            {"const": "none"} if choice == {"type": "null"} else choice
            for choice in role["anyOf"]
        ]
    made["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    made["title"] = "A lapwright job"
    return made
