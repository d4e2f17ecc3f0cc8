"""Families with several stock lengths, read from text files.

The format: how many stock lengths, one line `length supply cost` each, how many
lengths, then one line `length demand` each.
"""

from __future__ import annotations

import csv
from functools import partial
from random import Random
from typing import TYPE_CHECKING

from benchmarks.registry import Family, Instance, register
from lapwright.cutting import Piece, Problem, Stock

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

MARTINOVIC = "M. Delorme, J. Martinovic, instances of the extended reflect flow formulation; "


def read_multiple(text: str) -> Problem:
    """Read a problem with several stock lengths of counted supply."""
    numbers = [int(word) for word in text.split()]
    kinds = numbers[0]
    stock = tuple(
        Stock(numbers[at], cost=numbers[at + 2], supply=numbers[at + 1])
        for at in range(1, 1 + 3 * kinds, 3)
    )
    start = 2 + 3 * kinds
    many = numbers[start - 1]
    pieces = tuple(
        Piece(numbers[at], numbers[at + 1]) for at in range(start, start + 2 * many, 2)
    )
    return Problem(pieces, stock)


def known_optima(data: Path) -> dict[str, int]:
    """Read the optima that an arc-flow program has proven, by file name."""
    path = data / "reference_values_multiple_lengths.tsv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file, delimiter="\t"))
    proven = [row for row in rows if row["status"] == "Optimal"]
    return {row["instance"]: round(float(row["best"])) for row in proven}


def _load(folder: str, data: Path) -> Iterator[Instance]:
    """Read the instances of one folder."""
    optima = known_optima(data)
    for path in sorted((data / folder).rglob("*.txt")):
        problem = read_multiple(path.read_text(encoding="ascii"))
        yield Instance(path.stem, problem, optima.get(path.name))


def _example(lengths: tuple[int, ...], least: int, greatest: int) -> Instance:
    """Make ten pieces for a few stock lengths whose cost is their length."""
    chance = Random(least)  # noqa: S311 - no secret
    pieces = tuple(Piece(chance.randint(least, greatest), 1) for _ in range(10))
    stock = tuple(Stock(length, cost=length, supply=10) for length in lengths)
    return Instance("example", Problem(pieces, stock), None)


for _name, _origin, _lengths, _least, _greatest in (
    ("crainic1", "T. G. Crainic and others 2011", (100, 120, 150), 10, 100),
    ("belov", "G. Belov, G. Scheithauer 2002", (10_000, 6_000), 1, 7_500),
):
    register(
        Family(
            _name,
            MARTINOVIC + _origin,
            partial(_load, _name),
            partial(_example, _lengths, _least, _greatest),
        )
    )
