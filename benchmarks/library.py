"""Families of the literature with one stock length, read from text files.

The format: how many lengths, the stock length, then one line `length demand` each.
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

BPPLIB = (
    "BPPLIB: M. Delorme, M. Iori, S. Martello, Optimization Letters 12 (2018), "
    "235-250, doi 10.1007/s11590-017-1192-z; "
)


def read_single(text: str) -> Problem:
    """Read a problem with one stock length; every bar costs 1."""
    numbers = [int(word) for word in text.split()]
    many, stock, rest = numbers[0], numbers[1], numbers[2:]
    pieces = tuple(Piece(rest[2 * i], rest[2 * i + 1]) for i in range(many))
    return Problem(pieces, (Stock(stock, cost=1),))


def known_optima(data: Path) -> dict[str, int]:
    """Read the proven optima, by name of the instance."""
    with (data / "best_known.tsv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file, delimiter="\t"))
    return {r["instance"]: int(r["optimum"]) for r in rows if r["optimum"].isdigit()}


def _load(folder: str, data: Path) -> Iterator[Instance]:
    """Read the instances of one folder."""
    optima = known_optima(data)
    for path in sorted((data / folder).rglob("*.txt")):
        text = path.read_text(encoding="ascii")
        yield Instance(path.stem, read_single(text), optima.get(path.stem))


def _example(capacity: int, least: int, greatest: int) -> Instance:
    """Make twelve pieces whose lengths lie in the range of the family."""
    chance = Random(capacity + least)  # noqa: S311 - no secret
    lengths = [chance.randint(least, greatest) for _ in range(12)]
    pieces = tuple(Piece(length, 1) for length in lengths)
    return Instance("example", Problem(pieces, (Stock(capacity, cost=1),)), None)


for _name, _origin, _capacity, _least, _greatest in (
    ("falkenauer_u", "E. Falkenauer 1996, uniform", 150, 20, 100),
    ("falkenauer_t", "E. Falkenauer 1996, triplets", 1000, 250, 499),
    ("schwerin_1", "P. Schwerin, G. Wascher 1997", 1000, 150, 200),
    ("scholl_1", "A. Scholl, R. Klein, C. Jurgens 1997, set 1", 100, 1, 100),
    ("scholl_2", "A. Scholl, R. Klein, C. Jurgens 1997, set 2", 1000, 100, 400),
    ("scholl_3", "A. Scholl, R. Klein, C. Jurgens 1997, set 3", 100_000, 20_000, 35_000),
    ("waescher", "G. Wascher, T. Gau 1996", 10_000, 1, 5_000),
    ("hard28", "J. Schoenfield 2002", 1000, 1, 800),
    ("ai_201", "M. Delorme, M. Iori, S. Martello 2016, augmented IRUP", 2500, 20, 900),
    ("ani_201", "the same, augmented non-IRUP", 2500, 20, 900),
):
    register(
        Family(
            _name,
            BPPLIB + _origin,
            partial(_load, _name),
            partial(_example, _capacity, _least, _greatest),
        )
    )
