"""The shape of what a job file says of walls, their openings and soffits."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import BeforeValidator, Field, ValidationInfo, WithJsonSchema

from lapwright.job.soffit import PanelWay, Receiver, Rip, SoffitEnd, SoffitPlace
from lapwright.job.value import (
    LENGTH_WORDS,
    TEXT_OR_NUMBER,
    Form,
    Length,
    Name,
    Pitch,
    PositiveLength,
    SignedLength,
    fault,
    read_pitch,
    read_signed_length,
    show,
)
from lapwright.job.wall import LowerEdge, OpeningKind, OpeningShape, StopKind
from lapwright.measure import Ticks


class GableForm(Form):
    """A gable on top of a wall's rectangle, its peak over the middle."""

    pitch: Pitch | None = None
    rise: PositiveLength | None = None


_PITCH = re.compile(r"\s*\d+(?:\.\d+)?\s*(?:/|:|in)\s*\d+(?:\.\d+)?\s*")
"""A pitch by itself: rise and run, both to be seen, so that it is taken for no length."""
_GABLE_WORDS = "a pitch such as 6/12, or {pitch: 6/12} or {rise: 5' 10\"}"


def _gable(value: object) -> object:
    """Read a pitch by itself as the gable's pitch."""
    if value is None or isinstance(value, (dict, GableForm)):
        return value
    if isinstance(value, str) and _PITCH.fullmatch(value):
        return GableForm.model_construct(pitch=read_pitch(value))
    raise fault(show(value), _GABLE_WORDS)


Gable = Annotated[
    GableForm,
    BeforeValidator(_gable),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "string", "description": "The pitch as rise over run, such as 6/12."},
                {
                    "type": "object",
                    "description": "A gable by its pitch or by its rise.",
                    "properties": {"pitch": TEXT_OR_NUMBER, "rise": TEXT_OR_NUMBER},
                    "additionalProperties": False,
                },
            ]
        }
    ),
]
Corner = Annotated[list[SignedLength], Field(min_length=2, max_length=2)]


class SillForm(Form):
    """A sill out of level, by its height at either side."""

    left: SignedLength
    right: SignedLength


def _sill(value: object, info: ValidationInfo) -> object:
    """Read one height as the same at both sides."""
    if isinstance(value, (dict, SillForm)):
        return value
    height = read_signed_length(value, info)
    return SillForm.model_construct(left=height, right=height)


_SILL_SCHEMA = WithJsonSchema(
    {
        "anyOf": [
            TEXT_OR_NUMBER | {"description": LENGTH_WORDS},
            {
                "type": "object",
                "description": "A sill out of level: its height at either side.",
                "properties": {
                    side: TEXT_OR_NUMBER | {"description": LENGTH_WORDS}
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
    gable: Gable | None = None
    outline: Annotated[list[Corner], Field(min_length=3)] | None = None
    left: StopKind = StopKind.OUTSIDE_CORNER
    right: StopKind = StopKind.OUTSIDE_CORNER
    base: SignedLength = Ticks(0)
    lower_edges: LowerEdge = LowerEdge.ROOF
    start: SignedLength | None = None
    part: Name | None = None
    seen_from: SignedLength | None = None
    siding: Name | None = None
    zones: list[ZoneForm] = []
    openings: list[OpeningForm] = []


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
