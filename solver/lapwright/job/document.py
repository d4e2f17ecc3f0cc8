"""A YAML text as plain data, with the place of every key and value kept."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lapwright.errors import Finding, InputError, Place

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

_LARGEST = 5_000_000
"""Bytes; a job of a thousand walls has some 300 kB."""


@dataclass(frozen=True, slots=True)
class Document:
    """A YAML document and where it came from."""

    file: str
    data: Any
    """Nested mappings and sequences that know their lines, if it is of a text."""

    def place(self, path: Sequence[str | int]) -> Place:
        """Find the line and column of a key path, as near as it can be found.

        Parameters
        ----------
        path
            Keys and positions (from 0) from the top of the document.
        """
        node, line, column = self.data, 0, 0
        for step in path:
            marks = getattr(node, "lc", None)
            try:
                if isinstance(node, dict) and marks is not None:
                    line, column = (mark + 1 for mark in marks.value(step))
                elif isinstance(node, list) and marks is not None:
                    line, column = (mark + 1 for mark in marks.item(step))
                node = node[step]
            except (KeyError, IndexError, TypeError):
                break
        return Place(self.file, line, column, write_path(path))

    def key_place(self, path: Sequence[str | int]) -> Place:
        """Find the line and column of the key itself that a path ends in."""
        *parents, last = path
        node = self.data
        for step in parents:
            node = node[step]
        marks = getattr(node, "lc", None)
        line, column = (0, 0) if marks is None else (mark + 1 for mark in marks.key(last))
        return Place(self.file, line, column, write_path(path))


def write_path(path: Sequence[str | int]) -> str:
    """Write a key path as the crew counts, such as ``walls[2].openings[1].x``."""
    text = ""
    for step in path:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{step}"
    return text.removeprefix(".")


def read_text(path: Path, *, largest: int = _LARGEST) -> str:
    """Read a text file.

    Parameters
    ----------
    path
        The file.
    largest
        What is larger is refused. [bytes]

    Raises
    ------
    InputError
        The file cannot be opened, is empty, or is no text in UTF-8.
    """
    spot = Place(str(path))
    if path.is_dir():
        raise InputError(Finding(spot, "a folder", "a file"))
    try:
        raw = path.read_bytes()
    except FileNotFoundError:
        raise InputError(Finding(spot, "no such file", "a file")) from None
    except OSError as error:
        reason = f"a file that cannot be opened ({error.strerror})"
        raise InputError(Finding(spot, reason, "a file that can be read")) from None
    if len(raw) > largest:
        raise InputError(
            Finding(spot, f"{len(raw)} bytes", f"a file of at most {largest} bytes")
        )
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise InputError(
            Finding(Place(str(path), line), "bytes that are no text", "text in UTF-8")
        ) from None
    control = re.search(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", text)
    if control:
        line = text[: control.start()].count("\n") + 1
        raise InputError(
            Finding(Place(str(path), line), f"the control character {control[0]!r}", "text")
        )
    return text


def parse_yaml(text: str, file: str) -> Document:
    """Parse a YAML text whose top is a group of keys.

    Parameters
    ----------
    text
        The document.
    file
        Its name, for the places in messages.

    Raises
    ------
    InputError
        The text is not YAML, holds a key twice, or is no group of keys.
    """
    from ruamel.yaml import YAML
    from ruamel.yaml.constructor import DuplicateKeyError
    from ruamel.yaml.error import MarkedYAMLError, YAMLError

    yaml = YAML(typ="rt")
    try:
        data = yaml.load(text)
    except DuplicateKeyError as error:
        mark = error.problem_mark
        line, column = (mark.line + 1, mark.column + 1) if mark else (0, 0)
        name = re.search(r'duplicate key "(.*?)"', error.problem or "")
        found = f"the key {name[1]!r} a second time" if name else "a key a second time"
        raise InputError(Finding(Place(file, line, column), found, "each key once")) from None
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line, column = (mark.line + 1, mark.column + 1) if mark else (0, 0)
        found = " ".join((error.problem or "something unreadable").split())
        found = f"a break in the YAML ({found.removeprefix('found ')})"
        wanted = "YAML: keys with a colon and a space, indented by spaces"
        raise InputError(Finding(Place(file, line, column), found, wanted)) from None
    except (YAMLError, ValueError, RecursionError) as error:
        found = " ".join(str(error).split())[:120] or type(error).__name__
        raise InputError(Finding(Place(file), found, "YAML")) from None
    if not isinstance(data, dict):
        found = "an empty file" if data is None else "no group of keys"
        wanted = "keys such as job, siding and walls"
        raise InputError(Finding(Place(file), found, wanted))
    return Document(file, data)
