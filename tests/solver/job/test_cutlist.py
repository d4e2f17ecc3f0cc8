"""Reading a bare cutting list: exact numbers, and every fault with its place."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from lapwright.cutting import solve
from lapwright.errors import InputError
from lapwright.job.cutlist import read_cutlist
from lapwright.measure import Unit

if TYPE_CHECKING:
    from pathlib import Path

    from lapwright.job.cutlist import CutList

PIECES = "length,count,label\n2,1,a\n2.5,1,\n6,1,b\n"
STOCK = "length,cost,supply\n7.7,2.75,\n14,5.5,3\n"


def read(
    folder: Path,
    pieces: str | bytes = PIECES,
    stock: str | bytes = STOCK,
    *,
    unit: Unit = Unit.FOOT,
    kerf: str = "1/8 in",
) -> CutList:
    """Write two tables and read them."""
    for name, text in (("pieces.csv", pieces), ("stock.csv", stock)):
        content = text.encode() if isinstance(text, str) else text
        (folder / name).write_bytes(content)
    return read_cutlist(folder / "pieces.csv", folder / "stock.csv", unit, kerf)


def faults(folder: Path, *args: str | bytes, kerf: str = "0") -> list[str]:
    """Give what is wrong with two tables, the folder left out of the places."""
    with pytest.raises(InputError) as raised:
        read(folder, *args, kerf=kerf)
    return [str(f).replace(f"{folder}/", "") for f in raised.value.findings]


def test_every_number_is_exact(tmp_path: Path) -> None:
    """7.7 ft, a kerf of 1/8 in and 2.75 keep their exact values."""
    cutlist = read(tmp_path)
    problem = cutlist.problem
    assert cutlist.length(problem.stock[0].length) == Fraction(77, 10)
    assert cutlist.length(problem.kerf) == Fraction(1, 96)
    assert cutlist.cost(problem.stock[0].cost) == Fraction(11, 4)
    assert [piece.label for piece in problem.pieces] == ["a", "", "b"]
    assert [stock.supply for stock in problem.stock] == [None, 3]


def test_the_list_can_be_solved(tmp_path: Path) -> None:
    """The published lumber example read from tables costs 5.50, one board."""
    cutlist = read(tmp_path)
    plan = solve(cutlist.problem)
    assert cutlist.cost(plan.cost) == Fraction(11, 2)
    assert plan.bars == 1


def test_blank_cost_is_the_length(tmp_path: Path) -> None:
    """Without a cost a bar costs its length, with or without the column."""
    with_column = read(tmp_path, PIECES, "length,cost\n7.7,\n14,\n")
    without = read(tmp_path, PIECES, "length\n7.7\n14\n")
    for cutlist in (with_column, without):
        costs = [cutlist.cost(stock.cost) for stock in cutlist.problem.stock]
        assert costs == [Fraction(77, 10), 14]


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("150.5", Fraction(301, 2)),
        ("3 5/8", Fraction(29, 8)),
        ("12' 6-1/2\"", Fraction(301, 2)),
        ('"12\' 6-1/2"""', Fraction(301, 2)),
        ('6"', Fraction(6)),
        ("127 mm", Fraction(5)),
        (" 8 ", Fraction(8)),
    ],
)
def test_lengths_as_people_write_them(tmp_path: Path, text: str, inches: Fraction) -> None:
    """A length may carry its own unit; a quote in quotes is doubled."""
    cutlist = read(tmp_path, f"length,count\n{text},2\n", "length\n200\n", unit=Unit.INCH)
    assert cutlist.length(cutlist.problem.pieces[0].length) == inches


@pytest.mark.parametrize(
    "pieces",
    [
        b"\xef\xbb\xbflength,count\n6,1\n",
        b"length,count\r\n\r\n6,1\r\n\r\n",
        b"\n Length , COUNT \n6,1",
        b'count,length\n1,"6"\n,,\n',
    ],
)
def test_harmless_habits_of_spreadsheets(tmp_path: Path, pieces: bytes) -> None:
    """A byte order mark, blank lines, capitals, quotes and order do no harm."""
    problem = read(tmp_path, pieces).problem
    assert [(p.count, p.label) for p in problem.pieces] == [(1, "")]


@pytest.mark.parametrize(
    ("pieces", "fault"),
    [
        ("", "pieces.csv: found an empty file, wanted a table with named columns"),
        (b"\x00\xff\x01", "pieces.csv: found bytes that are no text"),
        (b"length,count\n\xe9,1\n", "pieces.csv: found bytes that are no text"),
        ("length,count\n", "pieces.csv:2: found no row below the names"),
        ("length;count\n6;1\n", "found semicolons between the columns, wanted commas"),
        ("length\tcount\n6\t1\n", "found tabs between the columns, wanted commas"),
        (
            "lenght,count\n6,1\n",
            "pieces.csv:1:1: found the column 'lenght', wanted 'length'",
        ),
        ("length,label\n6,a\n", "pieces.csv:1: count: found no such column"),
        ("length,count,count\n6,1,1\n", "1:14: found the column 'count' again"),
        ("length,count\nsix,1\n", "pieces.csv:2:1: length: found 'six', wanted a len"),
        ("length,count\n-6,1\n", "2:1: length: found '-6', wanted a length that is no"),
        ("length,count\n0,1\n", "2:1: length: found '0', wanted a length above zero"),
        ("length,count\n1/0,1\n", "2:1: length: found '1/0', wanted"),
        ("length,count\n6,0\n", "pieces.csv:2:3: count: found '0', wanted a whole"),
        ("length,count\n6,1.5\n", "2:3: count: found '1.5', wanted a whole number"),
        ("length,count\n6\n", "2:2: count: found nothing, wanted a whole number"),
        ("length,count\n6,1,2\n", "pieces.csv:2:5: found 3 cells, wanted 2"),
        (
            'length,count\n"6"",1\n7,2\n8",3\n',
            "pieces.csv:2:1: found a quote that is not closed on its line",
        ),
        ('length,count\n"6" ft,1\n', "2:1: found 'ft' after a quote, wanted a comma"),
    ],
)
def test_faults_name_their_place(tmp_path: Path, pieces: str | bytes, fault: str) -> None:
    """Every kind of fault gives file, line, column, what was found and wanted."""
    found = faults(tmp_path, pieces)
    assert len(found) == 1
    assert fault in found[0]


def test_faults_of_both_tables_come_at_once(tmp_path: Path) -> None:
    """One run names every fault of both tables and of the kerf."""
    found = faults(
        tmp_path,
        "length,count\nx,1\n6,y\n",
        "length,cost,supply\n12,-1,\n0,3,z\n",
        kerf="thick",
    )
    assert [line.split(": found")[0] for line in found] == [
        "kerf",
        "pieces.csv:2:1: length",
        "pieces.csv:3:3: count",
        "stock.csv:2:4: cost",
        "stock.csv:3:1: length",
        "stock.csv:3:5: supply",
    ]


def test_missing_file_is_named(tmp_path: Path) -> None:
    """A file that is not there is a fault of the input."""
    (tmp_path / "stock.csv").write_text(STOCK)
    with pytest.raises(InputError, match=r"pieces\.csv: found No such file"):
        read_cutlist(tmp_path / "pieces.csv", tmp_path / "stock.csv", Unit.INCH, "1/8")
