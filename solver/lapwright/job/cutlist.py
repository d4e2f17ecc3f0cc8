"""A bare cutting list: two tables of pieces and stock, read exactly.

Every number is a fraction until the whole list is known; then all lengths are scaled
by their common denominator, and so are all costs, so that the engine sees whole
numbers and nothing was rounded.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from math import lcm
from typing import TYPE_CHECKING

from lapwright.cutting import Piece, Problem, Stock
from lapwright.errors import Finding, InputError, Place
from lapwright.measure import LengthError, Unit, read_measure, read_number

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

MOST_PIECES = 10_000_000
"""More pieces of one kind than this are taken for a slip of the pen."""


@dataclass(frozen=True, slots=True)
class CutList:
    """A cutting list in the unit of its writer, and the problem that it poses."""

    problem: Problem
    unit: Unit
    scale: int
    """How many whole numbers of the problem one unit has."""
    cost_scale: int
    """How many whole numbers of the problem one unit of cost has."""

    def length(self, whole: int) -> Fraction:
        """Turn a length of the problem back. [the unit of the list]."""
        return Fraction(whole, self.scale)

    def cost(self, whole: int) -> Fraction:
        """Turn a cost of the problem back. [the unit of the costs]."""
        return Fraction(whole, self.cost_scale)


@dataclass(frozen=True, slots=True)
class _Cell:
    """A cell of a table, and where it stands."""

    text: str
    place: Place


_Row = dict[str, _Cell]


def read_cutlist(
    pieces_path: Path, stock_path: Path, unit: Unit, kerf_text: str = "0"
) -> CutList:
    """Read a cutting list from two comma-separated tables.

    Parameters
    ----------
    pieces_path
        Columns ``length``, ``count`` and, if wanted, ``label``.
    stock_path
        Columns ``length`` and, if wanted, ``cost`` (blank is the length) and
        ``supply`` (blank is as many as wanted).
    unit
        What a bare length means.
    kerf_text
        Width of the cut, as a length.

    Returns
    -------
    CutList
        Nothing in it was rounded.

    Raises
    ------
    InputError
        A file cannot be read or a cell cannot be used; lists every fault of both
        tables with file, line, column and the name of the column.
    """
    faults: list[Finding] = []
    piece_rows = _read_table(pieces_path, ("length", "count"), ("label",), faults)
    stock_rows = _read_table(stock_path, ("length",), ("cost", "supply"), faults)
    kerf = _length(_Cell(kerf_text, Place(key="kerf")), unit, faults, least_zero=True)
    pieces = [
        (
            _length(row["length"], unit, faults),
            _whole(row["count"], faults, least=1),
            row["label"].text if "label" in row else "",
        )
        for row in piece_rows
    ]
    stock = []
    for row in stock_rows:
        length = _length(row["length"], unit, faults)
        cost, supply = row.get("cost"), row.get("supply")
        stock.append(
            (
                length,
                _number(cost, faults) if cost and cost.text else length,
                _whole(supply, faults, least=0) if supply and supply.text else None,
            )
        )
    if faults:
        raise InputError(*faults)
    scale = lcm(*(x.denominator for x in [kerf, *(r[0] for r in [*pieces, *stock])]))
    cost_scale = lcm(*(row[1].denominator for row in stock))
    problem = Problem(
        tuple(
            Piece(int(length * scale), count, label=label) for length, count, label in pieces
        ),
        tuple(
            Stock(int(length * scale), int(cost * cost_scale), supply)
            for length, cost, supply in stock
        ),
        kerf=int(kerf * scale),
    )
    return CutList(problem, unit, scale, cost_scale)


def _read_table(
    path: Path,
    needed: tuple[str, ...],
    optional: tuple[str, ...],
    faults: list[Finding],
) -> list[_Row]:
    """Read the rows of a table; note what is wrong with it as a whole."""
    lines = list(_lines(path, faults))
    if not lines:
        return []
    number, header_line = lines[0]
    known = (*needed, *optional)
    header = _split(header_line, path, number, faults)
    if header is None:
        return []
    names = [cell.text.lower() for cell in header]
    if len(names) == 1 and names[0] not in known:
        for mark, name in ((";", "semicolons"), ("\t", "tabs")):
            if mark in names[0]:
                place = Place(str(path), number, 1)
                faults.append(Finding(place, f"{name} between the columns", "commas"))
                return []
    found_before = len(faults)
    for cell, name in zip(header, names, strict=True):
        if name not in known:
            near = _near(name, known)
            hint = f"{near[0]!r}" if near else "one of " + ", ".join(known)
            faults.append(Finding(cell.place, f"the column {cell.text!r}", hint))
        elif names.count(name) > 1 and names.index(name) != header.index(cell):
            faults.append(Finding(cell.place, f"the column {name!r} again", "it once"))
    slips = {near for name in names for near in _near(name, known)}
    for name in needed:
        if name not in names and name not in slips:
            place = Place(str(path), number, key=name)
            faults.append(Finding(place, "no such column", f"the column {name!r}"))
    if len(faults) > found_before:
        return []
    rows = []
    for number, line in lines[1:]:
        cells = _split(line, path, number, faults)
        if cells is None:
            continue
        if len(cells) > len(names):
            faults.append(
                Finding(
                    cells[len(names)].place,
                    f"{len(cells)} cells",
                    f"{len(names)}, as in the first line",
                )
            )
            continue
        end = Place(str(path), number, len(line) + 1)
        cells += [_Cell("", end)] * (len(names) - len(cells))
        rows.append(
            {
                name: _Cell(
                    cell.text,
                    Place(cell.place.file, number, cell.place.column, name),
                )
                for name, cell in zip(names, cells, strict=True)
            }
        )
    if not rows and len(faults) == found_before:
        place = Place(str(path), lines[-1][0] + 1)
        faults.append(Finding(place, "no row below the names", "one row or more"))
    return rows


def _near(name: str, known: tuple[str, ...]) -> list[str]:
    """Give the known column that a name may be a slip for."""
    return [] if name in known else get_close_matches(name, known, n=1)


def _lines(path: Path, faults: list[Finding]) -> Iterator[tuple[int, str]]:
    """Give the lines of a file that hold something, with their numbers."""
    place = Place(str(path))
    try:
        content = path.read_bytes()
    except OSError as error:
        faults.append(Finding(place, error.strerror or "no file", "a readable file"))
        return
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = "\0"
    if "\0" in text:
        faults.append(Finding(place, "bytes that are no text", "a table in UTF-8"))
        return
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    filled = [(n, line) for n, line in enumerate(lines, 1) if line.strip(" \t,")]
    if not filled:
        faults.append(Finding(place, "an empty file", "a table with named columns"))
    yield from filled


def _split(line: str, path: Path, number: int, faults: list[Finding]) -> list[_Cell] | None:
    """Split a line at its commas; a cell may stand in quotes, a quote in it doubled.

    A library would let a cell run on over the next lines, which swallows rows
    silently where an inch mark was put into quotes, as in ``"6""``.
    """
    cells: list[_Cell] = []
    at = 0
    while True:
        start = at + len(line[at:]) - len(line[at:].lstrip(" \t"))
        place = Place(str(path), number, start + 1)
        if line[start : start + 1] == '"':
            text, at = "", start + 1
            while True:
                close = line.find('"', at)
                if close < 0:
                    faults.append(
                        Finding(
                            place,
                            "a quote that is not closed on its line",
                            'a cell on one line; write 6" without quotes around it',
                        )
                    )
                    return None
                text += line[at:close]
                at = close + 1
                if line[at : at + 1] != '"':
                    break
                text += '"'
                at += 1
            end = line.find(",", at)
            end = len(line) if end < 0 else end
            if line[at:end].strip():
                faults.append(
                    Finding(place, f"{line[at:end].strip()!r} after a quote", "a comma")
                )
                return None
        else:
            end = line.find(",", start)
            end = len(line) if end < 0 else end
            text = line[start:end]
        cells.append(_Cell(text.strip(), place))
        if end == len(line):
            return cells
        at = end + 1


def _length(
    cell: _Cell, unit: Unit, faults: list[Finding], *, least_zero: bool = False
) -> Fraction:
    """Read a length into the unit of the list; 1 where it cannot be read."""
    try:
        length = read_measure(cell.text, unit) / unit.ticks
    except LengthError as fault:
        faults.append(Finding(cell.place, fault.found, fault.wanted))
        return Fraction(1)
    if not length and not least_zero:
        faults.append(Finding(cell.place, repr(cell.text), "a length above zero"))
        return Fraction(1)
    return length


def _number(cell: _Cell, faults: list[Finding]) -> Fraction:
    """Read a cost; 1 where it cannot be read."""
    try:
        return read_number(cell.text)
    except LengthError:
        wanted = "a cost of zero or more, such as 12 or 8.75"
        faults.append(Finding(cell.place, repr(cell.text), wanted))
        return Fraction(1)


def _whole(cell: _Cell, faults: list[Finding], least: int) -> int:
    """Read a whole number; `least` where it cannot be read."""
    text = cell.text
    if text.isascii() and text.isdigit() and least <= int(text[:20]) <= MOST_PIECES:
        return int(text)
    found = repr(text) if text else "nothing"
    wanted = f"a whole number from {least} to {MOST_PIECES}"
    faults.append(Finding(cell.place, found, wanted))
    return least
