"""Values of a job file: text or a number, read into what is exact.

Every one that does not fit says what was found and what was wanted.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, ValidationInfo, WithJsonSchema
from pydantic_core import PydanticCustomError

from lapwright.job.material import MONEY
from lapwright.measure import LengthError, Ticks, Unit, read_length, read_number

LENGTH_WORDS = (
    "a length such as 12' 6-1/2\", 150.5 in or 3810 mm; a number takes the job's unit"
)
TEXT_OR_NUMBER: dict[str, Any] = {"type": ["string", "number"]}


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
    text = _scalar(value, LENGTH_WORDS)
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


def read_signed_length(value: object, info: ValidationInfo) -> Ticks:
    """Read a length that may lie below zero. [ticks]"""
    text = _scalar(value, LENGTH_WORDS).strip()
    if text.startswith(("-", "−")):
        return Ticks(-_length(text[1:], info))
    return _length(value, info)


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


def read_pitch(value: object) -> Fraction:
    """Read a pitch as rise over run, above zero."""
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


_LENGTH_SCHEMA = WithJsonSchema(TEXT_OR_NUMBER | {"description": LENGTH_WORDS})
Length = Annotated[Ticks, BeforeValidator(_length), _LENGTH_SCHEMA]
PositiveLength = Annotated[Ticks, BeforeValidator(_positive_length), _LENGTH_SCHEMA]
SignedLength = Annotated[Ticks, BeforeValidator(read_signed_length), _LENGTH_SCHEMA]
Price = Annotated[int, BeforeValidator(read_price), WithJsonSchema(TEXT_OR_NUMBER)]
Minutes = Annotated[Fraction, BeforeValidator(_minutes), WithJsonSchema(TEXT_OR_NUMBER)]
Pitch = Annotated[Fraction, BeforeValidator(read_pitch), WithJsonSchema(TEXT_OR_NUMBER)]
Percent = Annotated[Fraction, BeforeValidator(read_percent), WithJsonSchema(TEXT_OR_NUMBER)]
Temperature = Annotated[
    Fraction, BeforeValidator(_temperature), WithJsonSchema({"type": "string"})
]
Coefficient = Annotated[
    Fraction, BeforeValidator(read_coefficient), WithJsonSchema({"type": "string"})
]
Area = Annotated[Fraction, BeforeValidator(read_area), WithJsonSchema({"type": "string"})]
Name = Annotated[str, BeforeValidator(_name), WithJsonSchema(TEXT_OR_NUMBER)]
Count = Annotated[int, BeforeValidator(_count), WithJsonSchema({"type": "integer"})]
PositiveCount = Annotated[
    int, BeforeValidator(_positive_count), WithJsonSchema({"type": "integer"})
]


class Form(BaseModel):
    """A group of keys; a key that it does not know is refused."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)
