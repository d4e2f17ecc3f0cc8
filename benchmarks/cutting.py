"""Measures the cutting engine on the registered families, and prints a table."""

from __future__ import annotations

import argparse
import datetime
import platform
import statistics
import time
from dataclasses import dataclass
from importlib.metadata import version
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

import benchmarks.library
import benchmarks.multiple
import benchmarks.orders  # noqa: F401 - these three register their families
from benchmarks.registry import Family, Instance, families
from lapwright import __version__
from lapwright.cutting import recount, solve

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


@dataclass(frozen=True, slots=True)
class Measured:
    """What one run of one instance came to."""

    name: str
    seconds: float
    cost: int
    bound: int
    is_proven: bool
    optimum: int | None

    @property
    def is_wrong(self) -> bool:
        """Whether the bound is above, or the cost below, the known optimum."""
        if self.optimum is None:
            return False
        return self.bound > self.optimum or self.cost < self.optimum


def measure(instance: Instance, limit: float) -> Measured:
    """Solve one instance, and recount its plan."""
    start = time.perf_counter()
    plan = solve(instance.problem, time_limit=limit)
    seconds = time.perf_counter() - start
    recount(plan)
    return Measured(
        instance.name, seconds, plan.cost, plan.bound, plan.is_proven, instance.optimum
    )


def table(rows: Iterable[Sequence[str]]) -> str:
    """Set rows in columns, the first to the left, the others to the right."""
    cells = [list(row) for row in rows]
    widths = [max(len(row[i]) for row in cells) for i in range(len(cells[0]))]
    cells.insert(1, ["-" * width for width in widths])
    return "\n".join(
        "  ".join(
            cell.rjust(width) if i else cell.ljust(width)
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in cells
    )


def summary(family: str, runs: list[Measured]) -> list[str]:
    """Give the row of one family."""
    seconds = [run.seconds for run in runs]
    proven = sum(run.is_proven for run in runs)
    known = [run for run in runs if run.optimum is not None]
    gaps = [(run.cost - run.bound) / run.bound for run in runs if run.bound]
    return [
        family,
        f"{proven}/{len(runs)}",
        f"{sum(run.cost == run.optimum for run in known)}/{len(known)}",
        f"{100 * statistics.mean(gaps):.3f} %",
        f"{statistics.mean(seconds):.2f}",
        f"{statistics.median(seconds):.2f}",
        f"{max(seconds):.2f}",
        str(sum(run.is_wrong for run in runs)),
    ]


HEAD = ["family", "proven", "optimum", "gap", "mean s", "median s", "max s", "wrong"]


def main(arguments: Sequence[str]) -> int:
    """Measure what the arguments ask for; 1 if a value contradicts a proven one."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks cutting")
    parser.add_argument("--data", type=Path, required=True, help="folder of instances")
    parser.add_argument("--limit", type=float, default=60.0, help="seconds an instance")
    parser.add_argument("--family", nargs="*", help="only these families")
    parser.add_argument("--sample", type=int, default=1, help="every n-th instance")
    parser.add_argument("--each", action="store_true", help="print every instance")
    asked = parser.parse_args(arguments)
    unknown = set(asked.family or []) - {family.name for family in families()}
    if unknown:
        parser.error(f"no such family: {', '.join(sorted(unknown))}")
    rows, wrong = [HEAD], 0
    for family in families():
        if asked.family and family.name not in asked.family:
            continue
        runs = list(_runs(family, asked.data, asked.limit, asked.sample, asked.each))
        if runs:
            rows.append(summary(family.name, runs))
            wrong += sum(run.is_wrong for run in runs)
    print(table(rows))
    print(
        "\nproven: cost and bound are equal, in whole numbers; "
        "optimum: the known optimum was found; gap: mean of (cost - bound) / bound; "
        "wrong: a value contradicts the known optimum.\n"
        "Every plan was recounted."
        f" limit {asked.limit:g} s, every {asked.sample}. instance;"
        f" {datetime.datetime.now(tz=datetime.UTC):%Y-%m-%d},"
        f" {platform.machine()}, Python {platform.python_version()},"
        f" lapwright {__version__}, numpy {np.__version__},"
        f" highspy {version('highspy')}"
    )
    return int(wrong > 0)


def _runs(
    family: Family, data: Path, limit: float, sample: int, each: bool
) -> Iterable[Measured]:
    """Run a sample of a family."""
    for instance in islice(family.load(data), 0, None, sample):
        run = measure(instance, limit)
        if each:
            print(
                f"{run.name:32} cost {run.cost} bound {run.bound}"
                f" optimum {run.optimum} proven {run.is_proven} {run.seconds:.2f} s",
                flush=True,
            )
        yield run
