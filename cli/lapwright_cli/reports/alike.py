"""Findings that say the same of many pieces or seams, told once."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

_PIECE = re.compile(r"piece (?P<label>\S+): (?P<rest>.+)")
_SEAM = re.compile(
    r'seam between (?P<label>\S+) and \S+ at (?:\S+"|\S+ mm) (?P<rest>\D.+)', re.DOTALL
)


def told_once(findings: Iterable[str]) -> tuple[str, ...]:
    """Tell findings that differ only in their piece or seam as one, where the first stood.

    A seam is named by the piece at its left; where it is, the tables of the walls tell.
    What is not of that form stays as it is.
    """
    alike: dict[tuple[str, str], list[tuple[str, str]]] = {}
    for finding in dict.fromkeys(findings):
        kind, label, rest = "", "", finding
        for name, form in (("piece", _PIECE), ("seam", _SEAM)):
            found = form.fullmatch(finding)
            if found:
                kind, label, rest = name, found["label"], found["rest"]
        alike.setdefault((kind, rest), []).append((label, finding))
    return tuple(_words(kind, rest, own) for (kind, rest), own in alike.items())


def _words(kind: str, rest: str, own: list[tuple[str, str]]) -> str:
    if len(own) == 1:
        return own[0][1]
    labels = ", ".join(label for label, _ in own)
    if kind == "piece":
        return f"pieces {labels}: {rest}"
    return f"{len(own)} seams: each {rest}; they are at the right end of {labels}"
