"""Measures other ways to the same plans side by side, on the same instances.

First-fit decreasing; an assignment model by CP-SAT; a model over all patterns by PuLP
with CBC; an arc-flow model by HiGHS (J. M. Valerio de Carvalho, Annals of Operations
Research 86 (1999), 629-659, doi 10.1023/A:1018952112615).  A way that would need too
large a model does not try and counts as not proven at the limit.
"""

from __future__ import annotations

import argparse
import math
import statistics
import time
from dataclasses import dataclass
from itertools import islice, pairwise
from pathlib import Path
from typing import TYPE_CHECKING

import highspy
import numpy as np
import pulp
from ortools.sat.python import cp_model

from benchmarks.cutting import table
from benchmarks.registry import families
from lapwright.cutting import solve

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from lapwright.cutting import Problem

MOST_SLOTS = 6_000
MOST_PATTERNS = 20_000
MOST_ARCS = 300_000


@dataclass(frozen=True, slots=True)
class Outcome:
    """What one way came to; no cost where it found no plan."""

    cost: int | None
    is_proven: bool


def lapwright(problem: Problem, limit: float) -> Outcome:
    """Solve by this library."""
    plan = solve(problem, time_limit=limit)
    return Outcome(plan.cost, plan.is_proven)


def first_fit(problem: Problem, limit: float) -> Outcome:
    """Put each piece, longest first, into the first bar that has room for it."""
    del limit
    longest = max(problem.stock, key=lambda stock: (stock.length, -stock.cost))
    rooms: list[int] = []
    for piece in sorted(problem.pieces, key=lambda piece: -piece.length):
        for _ in range(piece.count):
            need = piece.length + problem.kerf
            at = next((i for i, room in enumerate(rooms) if room >= need), len(rooms))
            if at == len(rooms):
                rooms.append(longest.length + problem.kerf)
            rooms[at] -= need
    # Each bar is then swapped for the cheapest that is long enough.
    used = [longest.length + problem.kerf - room for room in rooms]
    costs = [
        min(s.cost for s in problem.stock if s.length + problem.kerf >= length)
        for length in used
    ]
    return Outcome(sum(costs), is_proven=False)


def assignment(problem: Problem, limit: float) -> Outcome:
    """Assign pieces to bars by CP-SAT; for one stock length."""
    bars = first_fit(problem, limit).cost
    if len(problem.stock) > 1 or bars is None:
        return Outcome(None, is_proven=False)
    bars //= problem.stock[0].cost
    if bars * len(problem.pieces) > MOST_SLOTS:
        return Outcome(None, is_proven=False)
    model = cp_model.CpModel()
    used = [model.new_bool_var("") for _ in range(bars)]
    held = [
        [model.new_int_var(0, piece.count, "") for _ in range(bars)] for piece in problem.pieces
    ]
    for piece, row in zip(problem.pieces, held, strict=True):
        model.add(sum(row) == piece.count)
    room = problem.stock[0].length + problem.kerf
    for bar in range(bars):
        sizes = [piece.length + problem.kerf for piece in problem.pieces]
        filled = sum(w * row[bar] for w, row in zip(sizes, held, strict=True))
        model.add(filled <= room * used[bar])
        if bar:
            model.add_implication(used[bar], used[bar - 1])
    total = sum((p.length + problem.kerf) * p.count for p in problem.pieces)
    model.add(sum(used) >= -(-total // room))
    model.minimize(sum(used))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = limit
    solver.parameters.num_workers = 2
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Outcome(None, is_proven=False)
    cost = round(solver.objective_value) * problem.stock[0].cost
    return Outcome(cost, status == cp_model.OPTIMAL)


def every_pattern(problem: Problem, limit: float) -> Outcome:
    """Choose among all full patterns by PuLP with CBC."""
    columns: list[tuple[int, tuple[int, ...]]] = []
    for k in range(len(problem.stock)):
        full = islice(_full_patterns(problem, k), MOST_PATTERNS + 1)
        columns.extend((k, pattern) for pattern in full)
        if len(columns) > MOST_PATTERNS:
            return Outcome(None, is_proven=False)
    model = pulp.LpProblem("patterns", pulp.LpMinimize)
    use = [pulp.LpVariable(f"x{i}", 0, None, "Integer") for i in range(len(columns))]
    model += pulp.lpSum(
        problem.stock[k].cost * x for (k, _), x in zip(columns, use, strict=True)
    )
    for i, piece in enumerate(problem.pieces):
        held = [p[i] * x for (_, p), x in zip(columns, use, strict=True) if p[i]]
        model += pulp.lpSum(held) >= piece.count
    for k, stock in enumerate(problem.stock):
        if stock.supply is not None:
            mine = [x for (of, _), x in zip(columns, use, strict=True) if of == k]
            model += pulp.lpSum(mine) <= stock.supply
    model.solve(pulp.PULP_CBC_CMD(msg=False, timeLimit=limit, threads=2))
    if model.sol_status not in (1, 2):
        return Outcome(None, is_proven=False)
    return Outcome(round(pulp.value(model.objective)), model.sol_status == 1)


def _full_patterns(problem: Problem, k: int) -> Iterator[tuple[int, ...]]:
    """Give every pattern of a stock length that takes no further piece."""
    sizes = [piece.length + problem.kerf for piece in problem.pieces]
    order = sorted(range(len(sizes)), key=lambda i: -sizes[i])
    counts = [0] * len(sizes)

    def rest(at: int, room: int) -> Iterator[tuple[int, ...]]:
        if at == len(order):
            if all(sizes[i] > room or counts[i] == problem.pieces[i].count for i in order):
                yield tuple(counts)
            return
        item = order[at]
        for many in range(min(problem.pieces[item].count, room // sizes[item]), -1, -1):
            counts[item] = many
            yield from rest(at + 1, room - many * sizes[item])
        counts[item] = 0

    yield from rest(0, problem.stock[k].length + problem.kerf)


def arc_flow(problem: Problem, limit: float) -> Outcome:
    """Find a flow along the bar by HiGHS, longest pieces first."""
    unit = math.gcd(*(piece.length + problem.kerf for piece in problem.pieces))
    sizes = [(piece.length + problem.kerf) // unit for piece in problem.pieces]
    rooms = [(stock.length + problem.kerf) // unit for stock in problem.stock]
    end = max(rooms)
    arcs: list[tuple[int, int, int]] = []
    starts = {0}
    for item in sorted(range(len(sizes)), key=lambda i: -sizes[i]):
        reached = set(starts)
        for start in sorted(starts):
            at = start
            for _ in range(problem.pieces[item].count):
                if at + sizes[item] > end:
                    break
                arcs.append((at, at + sizes[item], item))
                at += sizes[item]
                reached.add(at)
        starts = reached
        if len(arcs) > MOST_ARCS:
            return Outcome(None, is_proven=False)
    arcs = sorted(set(arcs))
    nodes = {node: at for at, node in enumerate(sorted(starts | set(rooms)))}
    known = sorted(nodes)
    arcs += [(a, b, -1) for a, b in pairwise(known)]
    kinds = len(rooms)
    number = len(arcs) + kinds
    highs = highspy.Highs()  # type: ignore[no-untyped-call]
    highs.setOptionValue("output_flag", False)
    highs.setOptionValue("time_limit", limit)
    highs.setOptionValue("mip_rel_gap", 0.0)
    costs = np.zeros(number)
    costs[len(arcs) :] = [stock.cost for stock in problem.stock]
    top = np.full(number, highspy.kHighsInf)
    top[len(arcs) :] = [
        highspy.kHighsInf if stock.supply is None else stock.supply for stock in problem.stock
    ]
    whole = np.arange(number, dtype=np.int32)
    highs.addVars(number, np.zeros(number), top)
    highs.changeColsCost(number, whole, costs)
    kind = np.full(number, highspy.HighsVarType.kInteger)
    highs.changeColsIntegrality(number, whole, kind)
    flow: list[dict[int, float]] = [{} for _ in nodes]
    made: list[list[int]] = [[] for _ in sizes]
    for at, (a, b, item) in enumerate(arcs):
        flow[nodes[a]][at] = flow[nodes[a]].get(at, 0.0) - 1
        flow[nodes[b]][at] = flow[nodes[b]].get(at, 0.0) + 1
        if item >= 0:
            made[item].append(at)
    for k, room in enumerate(rooms):
        flow[nodes[0]][len(arcs) + k] = 1.0
        flow[nodes[room]][len(arcs) + k] = -1.0
    for row in flow:
        at_ = np.array(list(row), dtype=np.int32)
        highs.addRow(0.0, 0.0, len(at_), at_, np.array(list(row.values())))
    for piece, at_made in zip(problem.pieces, made, strict=True):
        at_ = np.array(at_made, dtype=np.int32)
        inf = highspy.kHighsInf
        highs.addRow(float(piece.count), inf, len(at_), at_, np.ones(len(at_)))
    highs.run()
    feasible = highspy.SolutionStatus.kSolutionStatusFeasible
    if highs.getInfo().primal_solution_status != feasible:
        return Outcome(None, is_proven=False)
    done = highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return Outcome(round(highs.getInfo().objective_function_value), done)


WAYS: dict[str, Callable[[Problem, float], Outcome]] = {
    "lapwright": lapwright,
    "first-fit decreasing": first_fit,
    "CP-SAT assignment": assignment,
    "CBC all patterns": every_pattern,
    "HiGHS arc-flow": arc_flow,
}


def main(arguments: Sequence[str]) -> int:
    """Measure every way on a sample of the families, and print the ratios."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks rivals")
    parser.add_argument("--data", type=Path, required=True, help="folder of instances")
    parser.add_argument("--limit", type=float, default=20.0, help="seconds an instance")
    parser.add_argument("--family", nargs="*", help="only these families")
    parser.add_argument("--sample", type=int, default=10, help="every n-th instance")
    asked = parser.parse_args(arguments)
    rows = [["family", "way", "proven", "time ratio", "cost ratio", "worse", "better"]]
    for family in families():
        if asked.family and family.name not in asked.family:
            continue
        problems = [
            instance.problem
            for instance in islice(family.load(asked.data), 0, None, asked.sample)
        ]
        if problems:
            rows.extend(_compare(family.name, problems, asked.limit))
    print(table(rows))
    print(
        "\ntime ratio: geometric mean of the seconds to a proof by that way over those"
        " of lapwright, no proof counting as the limit, none below 1 ms; cost ratio:"
        " mean of its cost over that of lapwright where it found a plan; worse, better:"
        " how often lapwright's plan costs more, or less (or the way found none)."
    )
    return 0


def _compare(name: str, problems: list[Problem], limit: float) -> Iterator[list[str]]:
    """Give a row for each way."""
    ours: list[tuple[Outcome, float]] = []
    for way, run in WAYS.items():
        results = []
        for problem in problems:
            start = time.perf_counter()
            outcome = run(problem, limit)
            seconds = time.perf_counter() - start
            results.append((outcome, seconds if outcome.is_proven else limit))
        ours = ours or results
        pairs = list(zip(results, ours, strict=True))
        ratios = [math.log(max(theirs[1], 1e-3) / max(mine[1], 1e-3)) for theirs, mine in pairs]
        both = [(theirs[0].cost, mine[0].cost) for theirs, mine in pairs if mine[0].cost]
        found = [(a, b) for a, b in both if a is not None and b is not None]
        costs = [a / b for a, b in found]
        yield [
            name,
            way,
            f"{sum(outcome.is_proven for outcome, _ in results)}/{len(results)}",
            f"{math.exp(statistics.mean(ratios)):.1f}",
            f"{statistics.mean(costs):.4f}" if costs else "-",
            str(sum(a < b for a, b in found)),
            str(sum(a > b for a, b in found) + len(both) - len(found)),
        ]
