"""How long the takeoff and its recount take: `python -m benchmarks takeoff`.

A house of 12 walls and 60 openings is drawn from a seed, once with rectangles only and
once with every shape, and laid out and recounted several times; the least time of the
processor counts.
"""

from __future__ import annotations

import argparse
import json
import random
import time
from typing import TYPE_CHECKING, Any

from lapwright.check.recount import recount
from lapwright.job.reading import parse_job
from lapwright.planning import make_plan
from lapwright.record import plan_record
from lapwright.siding import lay_out
from lapwright.takeoff.slab import ground_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from lapwright.job.job import Job

WALLS, EACH = 12, 5
SHAPES = ("rectangle", "round", "arched", "octagon", "polygon", "out of level")


def house(seed: int, *, shaped: bool) -> Job:
    """Draw a house of 12 walls with five openings each."""
    draw = random.Random(seed)  # noqa: S311 (no secret)
    walls = []
    for number in range(WALLS):
        width, height = 12 * draw.randint(30, 44), 12 * draw.randint(8, 10)
        wall: dict[str, Any] = {"name": f"wall {number + 1}", "width": width, "height": height}
        if number % 3 == 0:
            wall["gable"] = {"pitch": f"{draw.randint(4, 9)}/12"}
        room = width // EACH
        wall["openings"] = [
            _opening(draw, f"W{i + 1}", i * room + draw.randint(4, 16), shaped=shaped)
            for i in range(EACH)
        ]
        walls.append(wall)
    job = {"job": "drawn", "siding": {"material": "vinyl double 4"}, "walls": walls}
    return parse_job(json.dumps(job), "drawn")


def _opening(draw: random.Random, name: str, x: int, *, shaped: bool) -> dict[str, Any]:
    width, height = 2 * draw.randint(10, 22), 2 * draw.randint(12, 30)
    sill = draw.randint(16 * 20, 16 * 40) / 16
    shape = SHAPES[draw.randrange(len(SHAPES))] if shaped else "rectangle"
    opening: dict[str, Any] = {"name": name, "x": x, "width": width, "height": height}
    if shape == "polygon":
        corners = [[x, sill], [x + width, sill], [x + width, sill + height // 2]]
        corners += [[x + width / 2, sill + height], [x, sill + height // 2]]
        return {"name": name, "shape": shape, "corners": corners}
    if shape == "out of level":
        return opening | {"sill": {"left": sill, "right": sill + 0.25}}
    return opening | {"sill": sill, "shape": shape}


def measure(job: Job, repeats: int) -> tuple[float, float, int]:
    """Give the seconds of the takeoff, of the recount, and the number of pieces."""
    record = plan_record(make_plan(job, time_limit=20))

    def laid() -> None:
        ground_of.cache_clear()
        lay_out(job)

    def recounted() -> None:
        if recount(record):
            raise RuntimeError("the recount does not agree")

    return _least(laid, repeats), _least(recounted, repeats), len(record["pieces"])


def _least(work: Callable[[], None], repeats: int) -> float:
    times = []
    for _ in range(repeats):
        begin = time.process_time()
        work()
        times.append(time.process_time() - begin)
    return min(times)


def main(arguments: Sequence[str] | None = None) -> int:
    """Print a line for each house."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks takeoff")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--repeats", type=int, default=3)
    given = parser.parse_args(arguments)
    print("house         walls  openings  pieces  takeoff s  recount s")
    print("------------  -----  --------  ------  ---------  ---------")
    for name, shaped in (("rectangles", False), ("every shape", True)):
        takeoff, check, pieces = measure(house(given.seed, shaped=shaped), given.repeats)
        counts = f"{WALLS:>5}  {WALLS * EACH:>8}  {pieces:>6}"
        print(f"{name:<12}  {counts}  {takeoff:>9.3f}  {check:>9.3f}")
    return 0
