"""Measures whole houses: random ones, real ones and growing rows, four ways side by side.

``python -m benchmarks houses --count 200 --limit 10 --data FOLDER --out rows.csv``
"""

from __future__ import annotations

import argparse
import csv
import datetime
import json
import os
import platform
import statistics
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from benchmarks.cutting import table
from benchmarks.facades import job_of
from benchmarks.house_ways import LAPWRIGHT, PRACTICE, WAYS, House, Row, measure
from benchmarks.random_house import KINDS, house_data, row_data
from lapwright import __version__

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

SIZES = ((100, "under 100"), (200, "100 to 199"), (10**9, "200 and more"))
"""Classes by the panels of lapwright's plan: below the first number, and its name."""

OWN_HEAD = [
    "family", "panels", "houses", "failed", "proven", "mean s", "max s", "mean panels",
    "most above", "mean gap", "max gap", "offcut", "free", "offcut, free",
]  # fmt: skip
SIDE_HEAD = [
    "family", "panels", "offcut a", "b", "c", "broken a", "b", "c", "too many seams a",
    "cost a/c", "b/c", "d/c", "c under b", "over b", "c under a", "over a", "d under c",
]  # fmt: skip
KEY = """
proven: cost and bound of c are equal, in whole numbers, wherever the seams are; a house
whose bound speaks of the pieces of its plan alone is not proven, and has no gap; seconds:
wall time of c for a house, recount included; most above: the gap of cost and bound in
longest stock lengths, rounded up; gap: (cost - bound) / bound; offcut: share of the stock
that becomes no piece; free: houses of which 90 in 100 runs with seams have room for a
stagger.
a: trade practice; b: seams first, then an optimal cutting; c: lapwright's plan; d: panels
of the longest kind for the net area and 10 percent.  broken: rules for seams not kept,
over all houses, counted alike for a, b and c; too many seams: more than the job allows;
cost a/c and so on: mean of the houses' ratios; under, over: houses at which c costs less,
or more; d under c: the order by area costs less than the plan, and mostly does not reach.
Bounds and proof of c are those that lapwright itself gives.  Every plan was recounted.
"""


def houses(first: int, count: int, data: Path | None) -> Iterator[House]:
    """Give the random houses of the seeds from the first, then the real ones of a folder."""
    for seed in range(first, first + count):
        yield House(f"seed {seed}", KINDS[seed % len(KINDS)].name, house_data(seed))
    for path in sorted(data.glob("*.json")) if data else ():
        facades = json.loads(path.read_text("utf-8"))["facades"]
        for kind in KINDS:
            material, name = kind.materials[0][0], path.name.split(".")[0]
            made = job_of(facades, f"{name}, {kind.name}", material)
            yield House(made["job"], f"real, {kind.name}", made)


def size_of(row: Row) -> str:
    """Name the class of a house by its panels."""
    panels = row.ways[LAPWRIGHT].panels
    return next(name for most, name in SIZES if panels < most)


def own_cells(rows: Sequence[Row]) -> list[str]:
    """Tell of lapwright's plans of some houses."""
    made = [row for row in rows if LAPWRIGHT in row.ways]
    cells = [str(len(rows)), str(sum(bool(row.failures) for row in rows))]
    if not made:
        return cells + ["-"] * (len(OWN_HEAD) - 4)
    plans = [row.ways[LAPWRIGHT] for row in made]
    gaps = [row.gap for row in made if row.gap is not None]
    above = [row.above for row in made if row.above is not None]
    free = [row.ways[LAPWRIGHT].offcut for row in made if row.is_free]
    return [
        *cells,
        f"{sum(row.is_proven for row in made)}/{len(rows)}",
        f"{statistics.mean(plan.seconds for plan in plans):.2f}",
        f"{max(plan.seconds for plan in plans):.2f}",
        f"{statistics.mean(plan.panels for plan in plans):.0f}",
        str(max(above)) if above else "-",
        f"{statistics.mean(gaps):.2%}" if gaps else "-",
        f"{max(gaps):.2%}" if gaps else "-",
        f"{statistics.mean(plan.offcut for plan in plans):.2%}",
        str(len(free)),
        f"{statistics.mean(free):.2%}" if free else "-",
    ]


def side_cells(rows: Sequence[Row]) -> list[str]:
    """Lay the ways beside each other, over the houses at which all of them came through."""
    made = [row.ways for row in rows if len(row.ways) == len(WAYS)]
    if not made:
        return ["-"] * (len(SIDE_HEAD) - 2)
    costs = [[ways[way].cost for way in WAYS] for ways in made]
    area = [row.area_cost for row in rows if len(row.ways) == len(WAYS)]
    return [
        *(f"{statistics.mean(ways[way].offcut for ways in made):.2%}" for way in WAYS),
        *(str(sum(ways[way].broken for ways in made)) for way in WAYS),
        str(sum(ways[PRACTICE].extra for ways in made)),
        f"{statistics.mean(a / c for a, _, c in costs):.4f}",
        f"{statistics.mean(b / c for _, b, c in costs):.4f}",
        f"{statistics.mean(d / c[2] for d, c in zip(area, costs, strict=True)):.4f}",
        str(sum(c < b for _, b, c in costs)),
        str(sum(c > b for _, b, c in costs)),
        str(sum(c < a for a, _, c in costs)),
        str(sum(c > a for a, _, c in costs)),
        str(sum(d < c[2] for d, c in zip(area, costs, strict=True))),
    ]


def groups(rows: Sequence[Row]) -> Iterator[tuple[str, str, list[Row]]]:
    """Give houses by family and size, each family as a whole, and all."""
    for family in dict.fromkeys(row.family for row in rows):
        own = [row for row in rows if row.family == family]
        for _, size in SIZES:
            some = [row for row in own if LAPWRIGHT in row.ways and size_of(row) == size]
            if some:
                yield family, size, some
        yield family, "all", own
    if rows:
        yield "all", "all", list(rows)


def growth(counts: Sequence[int], limit: float) -> str:
    """Measure rows of houses, each larger, and tell how time grows."""
    made = []
    for count in counts:
        house = House(f"row of {count}", "row", row_data(count))
        made.append((count, measure(house, limit, (LAPWRIGHT,))))
        for failure in made[-1][1].failures:
            print(f"row of {count}: {failure}", flush=True)
    made = [(count, row) for count, row in made if row.ways]
    stages = list(dict.fromkeys(stage for _, row in made for stage in row.stages))
    rows = [
        ["houses", "openings", "panels", "seams", *stages, "all s", "status", "gap", "above"]
    ]
    for count, row in made:
        plan = row.ways[LAPWRIGHT]
        rows.append(
            [
                str(count),
                str(row.openings),
                str(plan.panels),
                str(plan.seams),
                *(f"{row.stages.get(stage, 0):.2f}" for stage in stages),
                f"{plan.seconds:.2f}",
                plan.status if plan.seams_too else f"{plan.status}, pieces alone",
                "-" if row.gap is None else f"{row.gap:.2%}",
                "-" if row.above is None else str(row.above),
            ]
        )
    return table(rows)


def write_rows(rows: Sequence[Row], path: Path) -> None:
    """Write every row as CSV."""
    parts = (
        "seconds",
        "panels",
        "cost",
        "offcut",
        "seams",
        "broken",
        "extra",
        "status",
        "bound",
        "seams_too",
    )
    head = ["house", "family", "openings", "stock lengths", "free", "above", "area panels"]
    head += ["area cost", *(f"{way} {part}" for way in WAYS for part in parts), "failures"]
    with path.open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(head)
        for row in rows:
            above = row.above if LAPWRIGHT in row.ways else ""
            cells = [row.name, row.family, row.openings, row.stock, int(row.is_free), above]
            cells += [row.by_area, row.area_cost]
            for way in WAYS:
                found = row.ways.get(way)
                cells += ["" if found is None else getattr(found, part) for part in parts]
            out.writerow([*cells, "; ".join(row.failures)])


def main(arguments: Sequence[str]) -> int:
    """Measure what the arguments ask for; 1 if a way failed or a recount found a fault."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks houses")
    parser.add_argument("--count", type=int, default=200, help="random houses")
    parser.add_argument("--first", type=int, default=0, help="seed of the first of them")
    parser.add_argument("--limit", type=float, default=10.0, help="seconds a search")
    parser.add_argument("--data", type=Path, help="folder of measured facades (JSON)")
    parser.add_argument("--rows", type=int, nargs="*", default=[1, 2, 5, 10, 20])
    parser.add_argument("--row-limit", type=float, default=60.0, help="seconds a row")
    parser.add_argument("--jobs", type=int, default=1, help="houses at a time")
    parser.add_argument("--out", type=Path, help="file for all rows (CSV)")
    parser.add_argument("--failures", type=Path, help="folder for job files that fail")
    parser.add_argument("--each", action="store_true", help="print every house")
    asked = parser.parse_args(arguments)
    drawn = list(houses(asked.first, asked.count, asked.data))
    rows = []
    for house, row in zip(drawn, _measured(drawn, asked.limit, asked.jobs), strict=True):
        rows.append(row)
        for failure in row.failures:
            print(f"{row.name} ({row.family}): {failure}", flush=True)
        if row.failures and asked.failures:
            asked.failures.mkdir(parents=True, exist_ok=True)
            text = json.dumps(house.data, indent=1) + "\n"
            (asked.failures / f"{house.name}.yaml").write_text(text, "utf-8")
        if asked.each:
            print(_line(row), flush=True)
    if asked.out:
        write_rows(rows, asked.out)
    for head, cells in ((OWN_HEAD, own_cells), (SIDE_HEAD, side_cells)):
        lines = [[family, size, *cells(some)] for family, size, some in groups(rows)]
        if lines:
            print(table([head, *lines]), end="\n\n")
    if asked.rows:
        print(growth(asked.rows, asked.row_limit))
    print(KEY + _machine(asked.limit, asked.row_limit, asked.jobs))
    return int(any(row.failures for row in rows))


def _measured(drawn: Sequence[House], limit: float, jobs: int) -> Iterator[Row]:
    if jobs == 1:
        yield from map(partial(measure, limit=limit), drawn)
        return
    with ProcessPoolExecutor(jobs) as pool:
        yield from pool.map(partial(measure, limit=limit), drawn)


def _line(row: Row) -> str:
    cells = [f"{row.name:10} {row.family:16}"]
    for way in WAYS:
        found = row.ways.get(way)
        if found is not None:
            cells.append(
                f"{way} {found.panels} panels, cost {found.cost}, {found.seconds:.2f} s"
                f" {found.status}"
            )
    return "; ".join(cells)


def _machine(limit: float, row_limit: float, jobs: int) -> str:
    """Tell on what machine, with what versions and limits it was measured."""
    loads = "/".join(f"{load:.1f}" for load in os.getloadavg())
    return (
        f"limit {limit:g} s a search, {row_limit:g} s a row; {jobs} at a time, wall time;"
        f" {datetime.datetime.now(tz=datetime.UTC):%Y-%m-%d}, {platform.system()}"
        f" {platform.machine()}, {os.cpu_count()} cores, load {loads},"
        f" Python {platform.python_version()}, lapwright {__version__},"
        f" numpy {np.__version__}, highspy {version('highspy')}"
    )
