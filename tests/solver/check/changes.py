"""Changes that spoil a record in one place."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from lapwright.measure import Unit, write_length
from tests.solver.check.handmade import Record

Change = Callable[[Record], object]
Case = tuple[str, Callable[[], Record], Change, tuple[str, ...]]
"""A name, a right record, what spoils it, and the faults that this makes."""


def put(path: tuple[str | int, ...], value: Any) -> Change:
    """Give a change that puts a value at a path."""

    def change(record: Record) -> None:
        *way, last = path
        place: Any = record
        for step in way:
            place = place[step]
        place[last] = value

    return change


def drop(path: tuple[str | int, ...]) -> Change:
    """Give a change that drops what is at a path."""

    def change(record: Record) -> None:
        *way, last = path
        place: Any = record
        for step in way:
            place = place[step]
        del place[last]

    return change


def both(first: Change, second: Change) -> Change:
    """Give a change that makes two."""

    def change(record: Record) -> None:
        first(record)
        second(record)

    return change


def relength(part: Record, length: int, unit: Unit, **more: Any) -> None:
    """Give a piece another length, and the text that goes with it."""
    part.update(length=length, length_text=write_length(length, unit), **more)
