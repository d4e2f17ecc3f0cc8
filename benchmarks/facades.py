"""Real facades: from measured outlines and openings to job files, areas and plans.

``python -m benchmarks.facades FILE... --out FOLDER`` writes a job file for each file of
facades and plans it, and prints two tables: our areas beside the file's own, and what
each plan comes to.  A file of facades is JSON whose ``facades`` hold ``outlines`` (outer
polygons in millimetres, seen from outside), ``openings`` (``x``, ``y``, ``w``, ``h`` and
``rect``) and the areas ``gross_m2`` and ``net_m2``.
"""

from __future__ import annotations

import argparse
import json
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lapwright.job.reading import parse_job
from lapwright.measure import square_metres
from lapwright.planning import make_plan
from lapwright.takeoff.area import gross_area, opening_area

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.job import Job
    from lapwright.plan import Plan

_ROUND = ((0, -1), (1, 0), (0, 1), (-1, 0))
"""Normals in the order in which one meets them walking round to the right."""


def job_of(facades: Sequence[dict[str, Any]], name: str, siding: str) -> dict[str, Any]:
    """Make the data of a job file from measured facades.

    Every outline is a wall.  Facades of one height are taken as one part of the building,
    in the order in which one meets them walking round it.
    """
    walls = []
    for number, facade in enumerate(facades, start=1):
        for position, outline in enumerate(facade["outlines"]):
            if outline["holes"]:
                raise ValueError(f"facade {number} has an outline with holes")
            band = "" if len(facade["outlines"]) == 1 else f" band {position + 1}"
            corners = outline["outer"]
            openings = list(_openings(facade["openings"], corners))
            normal = tuple(round(part) for part in facade["normal"])
            walls.append(
                (
                    (-facade["height_mm"], position, _ROUND.index(normal), number),
                    {
                        "name": f"facade {number}{band}",
                        "part": f"{facade['height_mm']:g} high{band}",
                        "outline": [[f"{_mm(x)} mm", f"{_mm(y)} mm"] for x, y in corners],
                        "openings": openings,
                    },
                )
            )
    walls.sort(key=lambda wall: wall[0])
    return {
        "job": name,
        "unit": "mm",
        "siding": {"material": siding},
        "rules": {"extra_seams": 1},
        "walls": [wall for _, wall in walls],
    }


def _openings(
    openings: Sequence[dict[str, Any]], corners: Sequence[Sequence[float]]
) -> Iterator[dict[str, Any]]:
    """Give the openings that stand in an outline's box."""
    low, high = min(y for _, y in corners), max(y for _, y in corners)
    for number, opening in enumerate(openings, start=1):
        bottom, top = opening["y"], opening["y"] + opening["h"]
        if top <= low or bottom >= high:
            continue
        yield {
            "name": f"O{number}",
            "kind": "door" if bottom <= low and opening["h"] > 1800 else "window",
            "shape": "rectangle" if opening["rect"] else "round",
            "x": f"{_mm(opening['x'])} mm",
            "sill": f"{_mm(opening['y'])} mm",
            "width": f"{_mm(opening['w'])} mm",
            "height": f"{_mm(opening['h'])} mm",
        }


def _mm(number: float) -> str:
    return f"{number:.1f}"


def area_rows(facades: Sequence[dict[str, Any]], job: Job, name: str) -> Iterator[list[str]]:
    """Compare the areas of our takeoff with those of the file, a row a facade."""
    for number, facade in enumerate(facades, start=1):
        own = [wall for wall in job.walls if wall.name.split(" band")[0] == f"facade {number}"]
        gross = sum(float(square_metres(gross_area(wall.outline))) for wall in own)
        net = gross - sum(float(square_metres(opening_area(wall))) for wall in own)
        yield [
            name,
            str(number),
            f"{gross:.4f}",
            f"{facade['gross_m2']:.4f}",
            f"{gross / facade['gross_m2'] - 1:+.4%}",
            f"{net:.4f}",
            f"{facade['net_m2']:.4f}",
            f"{net / facade['net_m2'] - 1:+.4%}",
        ]


def plan_row(plan: Plan, name: str, seconds: float) -> list[str]:
    """Tell in one row what a plan comes to."""
    siding = plan.materials[0]
    bound = sum(1 for _ in siding.bars) if siding.status == "proven" else 0
    stock = plan.job.siding.stock
    if len(stock) == 1:
        bound = siding.bound // (stock[0].price or stock[0].length)
    return [
        name,
        str(len(plan.walls)),
        str(sum(len(wall.courses) for wall in plan.walls)),
        str(len(plan.siding)),
        str(len(siding.bars)),
        str(bound),
        siding.status,
        f"{siding.offcut_total / siding.stock_total:.2%}",
        str(len(plan.seams)),
        str(sum("seam between" in finding for finding in plan.findings)),
        f"{seconds:.2f}",
    ]


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Set rows as plain text, the first column left and numbers right."""
    widths = [max(len(row[i]) for row in [head, *rows]) for i in range(len(head))]
    lines = []
    for row in [head, ["-" * width for width in widths], *rows]:
        cells = [row[0].ljust(widths[0])]
        cells += [cell.rjust(width) for cell, width in zip(row[1:], widths[1:], strict=True)]
        lines.append("  ".join(cells).rstrip())
    return "\n".join(lines)


AREA_HEAD = ["model", "facade", "gross m2", "file", "apart", "net m2", "file", "apart"]
PLAN_HEAD = [
    "model", "walls", "courses", "pieces", "panels", "bound",
    "status", "offcut", "seams", "broken rules", "seconds",
]  # fmt: skip


def main() -> None:
    """Convert, plan and print."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.facades", description=__doc__)
    parser.add_argument("files", nargs="+", type=Path, help="files of facades")
    parser.add_argument("--out", type=Path, required=True, help="folder for the job files")
    parser.add_argument("--siding", default="vinyl double 4", help="a siding of the catalogue")
    given = parser.parse_args()
    given.out.mkdir(parents=True, exist_ok=True)
    areas: list[list[str]] = []
    plans: list[list[str]] = []
    for file in given.files:
        facades = json.loads(file.read_text("utf-8"))["facades"]
        name = file.name.split(".")[0]
        text = json.dumps(job_of(facades, name, given.siding), indent=1)
        target = given.out / f"{name}.yaml"
        target.write_text(text + "\n", "utf-8")
        job = parse_job(text, str(target))
        areas += area_rows(facades, job, name)
        began = time.perf_counter()
        plan = make_plan(job)
        plans.append(plan_row(plan, name, time.perf_counter() - began))
    print(table(AREA_HEAD, areas), end="\n\n")
    print(table(PLAN_HEAD, plans))


if __name__ == "__main__":
    main()
