"""The shape of a job file: what keys it may have and what each must hold.

The models only carry text into exact values; what the values mean together
(an opening inside its wall, names used once) is judged by `lapwright.job.reading`.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationInfo,
    WithJsonSchema,
)
from pydantic_core import PydanticCustomError

from lapwright.job.material import MONEY, EaveTrim, Family
from lapwright.job.soffit import PanelWay, Receiver, Rip, SoffitEnd, SoffitPlace
from lapwright.job.wall import OpeningKind, OpeningShape, StopKind
from lapwright.measure import LengthError, Ticks, Unit, read_length, read_number

_LENGTH_WORDS = (
    "a length such as 12' 6-1/2\", 150.5 in or 3810 mm; a number takes the job's unit"
)


def fault(found: str, wanted: str) -> PydanticCustomError:
    """Make the one kind of error by which a form says found and wanted."""
    return PydanticCustomError(
        "job_value",
        "found {found}, wanted {wanted}",
        {"found": found, "wanted": wanted},
    )


def show(value: object) -> str:
    """Write a value of a job file for a message, shortened."""
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "a group of keys"
    if isinstance(value, list):
        return "a list"
    text = str(value)
    return repr(text if len(text) <= 60 else text[:57] + "...")


def _scalar(value: object, wanted: str) -> str:
    if value is None or isinstance(value, (dict, list, bool)):
        raise fault(show(value), wanted)
    return str(value)


def _length(value: object, info: ValidationInfo) -> Ticks:
    text = _scalar(value, _LENGTH_WORDS)
    unit = info.context["unit"] if info.context else Unit.INCH
    try:
        return read_length(text, unit)
    except LengthError as error:
        raise fault(error.found, error.wanted) from None


def _positive_length(value: object, info: ValidationInfo) -> Ticks:
    length = _length(value, info)
    if length == 0:
        raise fault(show(value), "a length above zero")
    return length


def _signed_length(value: object, info: ValidationInfo) -> Ticks:
    text = _scalar(value, _LENGTH_WORDS).strip()
    if text.startswith(("-", "−")):
        return Ticks(-_length(text[1:], info))
    return _length(value, info)


def _start(value: object, info: ValidationInfo) -> object:
    return value if value == "best" else _signed_length(value, info)


def _exposures(value: object) -> object:
    if value == "even" or (isinstance(value, list) and value):
        return value
    raise fault(show(value), "even, or a list of exposures from the bottom course up")


def read_price(value: object) -> int:
    """Read an amount of money. [1/10000 of the currency]"""
    text = _scalar(value, "a price such as 11.40").strip()
    try:
        exact = Fraction(text) * MONEY
    except (ValueError, ZeroDivisionError):
        raise fault(show(value), "a price such as 11.40") from None
    if exact < 0:
        raise fault(show(value), "a price of zero or more")
    if exact.denominator != 1:
        raise fault(show(value), "a price with at most four decimals")
    return int(exact)


def _minutes(value: object) -> Fraction:
    wanted = "a number of minutes such as 1.5"
    text = _scalar(value, wanted)
    try:
        return read_number(text)
    except LengthError:
        raise fault(show(value), wanted) from None


def _ratio(value: object) -> Fraction:
    wanted = "a pitch as rise over run, such as 6/12"
    text = re.sub(r"\s*(?:in|:)\s*", "/", _scalar(value, wanted).strip())
    try:
        pitch = read_number(text)
    except LengthError:
        raise fault(show(value), wanted) from None
    if pitch == 0:
        raise fault(show(value), "a pitch above zero")
    return pitch


def read_percent(value: object) -> Fraction:
    """Read a share in per cent, from 0 to 1."""
    wanted = "a share such as 5 % between 0 and 100"
    given = _scalar(value, wanted).strip()
    try:
        percent = Fraction(given.removesuffix("%").strip())
    except (ValueError, ZeroDivisionError):
        raise fault(show(value), wanted) from None
    # 0.05 could mean five percent or a twentieth of one.
    unclear = 0 < percent < 1 and not given.endswith("%")
    if unclear or not 0 <= percent <= 100:
        raise fault(show(value), wanted)
    return percent / 100


def _temperature(value: object) -> Fraction:
    wanted = "a temperature such as 60 F or 15 C"
    match = re.fullmatch(
        r"\s*([-+−]?\d+(?:\.\d+)?)\s*°?\s*([FC])\s*",
        _scalar(value, wanted),
        re.IGNORECASE,
    )
    if match is None:
        raise fault(show(value), wanted)
    degrees = Fraction(match[1].replace("−", "-"))
    return degrees if match[2].upper() == "F" else degrees * 9 / 5 + 32


_SCALE = r"\s*(?:/|per)\s*°?\s*(?P<scale>[FC])\s*"
# Two digits of exponent: a coefficient of any material has one.
_COEFFICIENT = re.compile(
    r"\s*(?P<number>\d+\s*/\s*\d+|\d+(?:\.\d*)?(?:e[-+]?\d{1,2})?)" + _SCALE, re.IGNORECASE
)
_AREA = re.compile(r"\s*(?P<number>.+?)\s*(?:(?P<feet>sq\.?\s*ft|ft2|ft²)|m2|m²|sq\.?\s*m)\s*")


def read_coefficient(value: object) -> Fraction:
    """Read the share of its length that a material grows by. [1/°F]"""
    wanted = "a share for each degree, such as 3.5e-5 /F, above zero and below 1e-3 /F"
    match = _COEFFICIENT.fullmatch(_scalar(value, wanted).replace("−", "-"))
    if match is None:
        raise fault(show(value), wanted)
    try:
        share = Fraction(match["number"].replace(" ", ""))
    except ZeroDivisionError:
        raise fault(show(value), wanted) from None
    if match["scale"].upper() == "C":
        share = share * 5 / 9
    if not 0 < share < Fraction(1, 1000):
        raise fault(show(value), wanted)
    return share


def read_area(value: object) -> Fraction:
    """Read an area with its unit. [ticks²]"""
    wanted = "an area such as 30 sq ft or 2.8 m2"
    match = _AREA.fullmatch(_scalar(value, wanted))
    if match is None:
        raise fault(show(value), wanted)
    try:
        number = read_number(match["number"])
    except LengthError:
        raise fault(show(value), wanted) from None
    side = Unit.FOOT.ticks if match["feet"] else Unit.METRE.ticks
    return number * side**2


def _group_or_none(value: object) -> object:
    if value is None or isinstance(value, (str, bool, int, float, list)):
        if value == "none":
            return None
        raise fault(show(value), "none, or a group of keys")
    return value


def _name(value: object) -> str:
    text = " ".join(_scalar(value, "a name").split())
    if not text:
        raise fault("nothing", "a name")
    if len(text) > 80:
        raise fault(f"{len(text)} letters", "a name of at most 80 letters")
    if any(ord(letter) < 32 or letter == "\x7f" for letter in text):
        raise fault(repr(text), "a name without control characters")
    return text


def _count(value: object) -> int:
    text = _scalar(value, "a whole number").strip()
    if not re.fullmatch(r"\d{1,9}", text):
        raise fault(show(value), "a whole number, zero or more")
    return int(text)


def _positive_count(value: object) -> int:
    count = _count(value)
    if count == 0:
        raise fault(show(value), "a whole number above zero")
    return count


_TEXT_OR_NUMBER: dict[str, Any] = {"type": ["string", "number"]}
_LENGTH_SCHEMA = WithJsonSchema(_TEXT_OR_NUMBER | {"description": _LENGTH_WORDS})
Length = Annotated[Ticks, BeforeValidator(_length), _LENGTH_SCHEMA]
PositiveLength = Annotated[Ticks, BeforeValidator(_positive_length), _LENGTH_SCHEMA]
SignedLength = Annotated[Ticks, BeforeValidator(_signed_length), _LENGTH_SCHEMA]
Price = Annotated[int, BeforeValidator(read_price), WithJsonSchema(_TEXT_OR_NUMBER)]
Minutes = Annotated[Fraction, BeforeValidator(_minutes), WithJsonSchema(_TEXT_OR_NUMBER)]
Pitch = Annotated[Fraction, BeforeValidator(_ratio), WithJsonSchema(_TEXT_OR_NUMBER)]
Percent = Annotated[Fraction, BeforeValidator(read_percent), WithJsonSchema(_TEXT_OR_NUMBER)]
Temperature = Annotated[
    Fraction, BeforeValidator(_temperature), WithJsonSchema({"type": "string"})
]
Coefficient = Annotated[
    Fraction, BeforeValidator(read_coefficient), WithJsonSchema({"type": "string"})
]
Area = Annotated[Fraction, BeforeValidator(read_area), WithJsonSchema({"type": "string"})]
Name = Annotated[str, BeforeValidator(_name), WithJsonSchema(_TEXT_OR_NUMBER)]
Count = Annotated[int, BeforeValidator(_count), WithJsonSchema({"type": "integer"})]
PositiveCount = Annotated[
    int, BeforeValidator(_positive_count), WithJsonSchema({"type": "integer"})
]


class Form(BaseModel):
    """A group of keys; a key that it does not know is refused."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


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


class TrimForm(Form):
    """One trim material; what is not given comes from the catalogue."""

    name: Name | None = None
    stock: Annotated[list[StockForm], Field(min_length=1)] | None = None
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


class RulesForm(Form):
    """Rules of the trade that this job wants otherwise than the catalogue."""

    end_gap: Length | None = None
    lap: Length | None = None
    joint_gap: Length | None = None
    stagger: Length | None = None
    in_line_courses: PositiveCount | None = None
    in_line_width: Length | None = None
    extra_seams: Count | None = None
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
    sliver: Length | None = None
    narrowest: Length | None = None
    siding_kerf: Length | None = None
    trim_kerf: Length | None = None
    soffit_kerf: Length | None = None


class FurtherSidingForm(SidingForm):
    """A siding beside the first, with rules and trim of its own where it wants others."""

    rules: RulesForm = RulesForm()
    trim: HungTrimsForm = HungTrimsForm()


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


class GableForm(Form):
    """A gable on top of a wall's rectangle, its peak over the middle."""

    pitch: Pitch | None = None
    rise: PositiveLength | None = None


Corner = Annotated[list[SignedLength], Field(min_length=2, max_length=2)]


class SillForm(Form):
    """A sill out of level, by its height at either side."""

    left: SignedLength
    right: SignedLength


def _sill(value: object, info: ValidationInfo) -> object:
    """Read one height as the same at both sides."""
    if isinstance(value, (dict, SillForm)):
        return value
    height = _signed_length(value, info)
    return SillForm.model_construct(left=height, right=height)


_SILL_SCHEMA = WithJsonSchema(
    {
        "anyOf": [
            _TEXT_OR_NUMBER | {"description": _LENGTH_WORDS},
            {
                "type": "object",
                "description": "A sill out of level: its height at either side.",
                "properties": {
                    side: _TEXT_OR_NUMBER | {"description": _LENGTH_WORDS}
                    for side in ("left", "right")
                },
                "required": ["left", "right"],
                "additionalProperties": False,
            },
        ]
    }
)
Sill = Annotated[SillForm, BeforeValidator(_sill), _SILL_SCHEMA]


class OpeningForm(Form):
    """An opening by its box and shape, or by its corners."""

    name: Name
    kind: OpeningKind = OpeningKind.WINDOW
    x: SignedLength | None = None
    sill: Sill | None = None
    width: PositiveLength | None = None
    height: PositiveLength | None = None
    shape: OpeningShape = OpeningShape.RECTANGLE
    rise: PositiveLength | None = None
    cut: PositiveLength | None = None
    corners: Annotated[list[Corner], Field(min_length=3)] | None = None


class ZoneForm(Form):
    """A zone of a wall, from the band below it (or the wall's bottom) up to its top."""

    siding: Name | None = None
    top: SignedLength | None = None
    band: Length = Ticks(0)
    start: Length | None = None


class WallForm(Form):
    """A wall: width, height and gable, or an outline."""

    name: Name
    mark: Name | None = None
    width: PositiveLength | None = None
    height: PositiveLength | None = None
    gable: GableForm | None = None
    outline: Annotated[list[Corner], Field(min_length=3)] | None = None
    left: StopKind = StopKind.OUTSIDE_CORNER
    right: StopKind = StopKind.OUTSIDE_CORNER
    base: SignedLength = Ticks(0)
    start: SignedLength | None = None
    part: Name | None = None
    siding: Name | None = None
    zones: list[ZoneForm] = []
    openings: list[OpeningForm] = []


class StartRangeForm(Form):
    """Where a start is looked for, from each part's lowest bottom."""

    lowest: SignedLength | None = None
    highest: SignedLength = Ticks(0)
    step: PositiveLength | None = None


Start = Annotated[
    Literal["best"] | Ticks,
    BeforeValidator(_start),
    WithJsonSchema(_TEXT_OR_NUMBER | {"description": f"best, or {_LENGTH_WORDS}"}),
]


class SoffitForm(Form):
    """A section of soffit along an eave or a rake."""

    name: Name
    mark: Name | None = None
    wall: Name | None = None
    along: SoffitPlace = SoffitPlace.EAVE
    length: PositiveLength | None = None
    depth: PositiveLength
    panels: PanelWay = PanelWay.ACROSS
    rip: Rip = Rip.LAST
    left: SoffitEnd = SoffitEnd.J_CHANNEL
    right: SoffitEnd = SoffitEnd.J_CHANNEL
    left_depth: PositiveLength | None = None
    right_depth: PositiveLength | None = None
    wall_channel: Receiver = Receiver.F_CHANNEL
    fascia_channel: Receiver = Receiver.NONE


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
    head_flashing: list[OpeningKind] = []
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
