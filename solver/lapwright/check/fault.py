"""A fault of a plan, as one sentence: where, what was found, what was wanted."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable


def fault(where: str, found: object, wanted: object) -> str:
    """Write a fault as one sentence."""
    return f"{where}: found {found}, wanted {wanted}"


def one_of(options: Iterable[str]) -> str:
    """Write options that would all have been right, in a steady order."""
    return " or ".join(sorted(set(options)))


def course_place(mark: str, course: int) -> str:
    """Name a course of a wall."""
    return f"wall {mark}, course {course}"
