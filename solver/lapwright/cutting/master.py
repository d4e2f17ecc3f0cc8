"""The only door to HiGHS: the linear program over patterns, and integer programs.

Nothing that comes out of here is trusted: bounds are proven again in whole numbers,
and plans are recounted.
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import highspy
import numpy as np

from lapwright.errors import SolverError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from lapwright.cutting.core import Core
    from lapwright.cutting.pool import Whole

    Real = NDArray[np.float64]

INFINITE = highspy.kHighsInf


class Basis(NamedTuple):
    """Where a solution was found."""

    place: highspy.HighsBasis
    columns: int
    rows: int


NODES = (1, 1, 500)
"""So many parts of an integer program are looked at to find any solution, and then once
more from the beginning with other chances: these differ much."""


class _Silent(highspy.Highs):
    """A solver without a voice: the plain one prints a banner when it is made."""

    def enableCallbacks(self) -> None:  # noqa: N802 - the name is the library's
        """Turn the output off where the library would first print."""
        self.setOptionValue("output_flag", False)


def _silent() -> highspy.Highs:
    """Give a solver that prints nothing and always does the same."""
    highs: highspy.Highs = _Silent()  # type: ignore[no-untyped-call]
    highs.setOptionValue("threads", 1)
    highs.setOptionValue("parallel", "off")
    highs.setOptionValue("random_seed", 7)
    return highs


def _run(highs: highspy.Highs) -> None:
    """Run, even if somebody else in this process has run with more threads.

    The library keeps the number of threads of its first run for the whole process,
    and refuses to run with another one.
    """
    if highs.run() == highspy.HighsStatus.kError:
        highspy.Highs.resetGlobalScheduler(True)
        highs.run()


def _is_solved(highs: highspy.Highs) -> bool:
    """Run to the optimum, and once more from cold if a warm start was spoilt."""
    _run(highs)
    if highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        highs.clearSolver()
        _run(highs)
    return bool(highs.getModelStatus() == highspy.HighsModelStatus.kOptimal)


def _basis(highs: highspy.Highs) -> Basis:
    """Give the place where the last solution was found."""
    return Basis(highs.getBasis(), highs.getNumCol(), highs.getNumRow())


def _start_from(highs: highspy.Highs, basis: Basis) -> None:
    """Come back to where a solution was found, though columns and rows were added since."""
    place = basis.place
    more = highs.getNumCol() - basis.columns, highs.getNumRow() - basis.rows
    if any(more):
        columns, rows = place.col_status, place.row_status
        place = highspy.HighsBasis()
        place.col_status = columns + [highspy.HighsBasisStatus.kLower] * more[0]
        place.row_status = rows + [highspy.HighsBasisStatus.kBasic] * more[1]
        place.valid = True
    highs.setBasis(place)


@dataclass(frozen=True, slots=True)
class Answer:
    """The optimum of the linear program."""

    value: float
    use: Real
    """How often each pattern is used (patterns,)."""
    worth: Real
    """Dual values of the items (items,)."""
    scarcity: Real
    """What one more bar of each bin would save; 0 where supply is no limit (bins,)."""


class Master:
    """Least cost of patterns that cover the demand; patterns are added over time.

    Parameters
    ----------
    core
        The items and bins.
    """

    def __init__(self, core: Core) -> None:
        self._costs = np.array([b.cost for b in core.bins], dtype=float)
        self._items = len(core.lengths)
        self._counted = [k for k, b in enumerate(core.bins) if b.supply is not None]
        self._row = {k: self._items + n for n, k in enumerate(self._counted)}
        self._highs = _silent()
        self._highs.setOptionValue("presolve", "off")
        self._highs.setOptionValue("solver", "simplex")
        # Added patterns leave the last basis feasible: the primal method goes on
        # from there; measured a third faster than the dual one.
        self._highs.setOptionValue("simplex_strategy", 4)
        rows = self._items + len(self._counted)
        low = np.full(rows, -INFINITE)
        high = np.full(rows, INFINITE)
        low[: self._items] = core.demand
        high[self._items :] = [core.bins[k].supply or 0 for k in self._counted]
        none = np.zeros(0)
        starts = np.zeros(rows, dtype=np.int32)
        self._highs.addRows(rows, low, high, 0, starts, none.astype(np.int32), none)
        self._columns = 0

    def add(self, counts: Whole, bins: Whole) -> None:
        """Add patterns (patterns, items), (patterns,)."""
        number = len(bins)
        if not number:
            return
        rows_, items_ = np.nonzero(counts)
        values_ = counts[rows_, items_].astype(float)
        if self._counted:
            counted = np.isin(bins, self._counted)
            of = np.flatnonzero(counted)
            rows_ = np.concatenate((rows_, of))
            supply_rows = np.array([self._row[int(k)] for k in bins[of]], dtype=int)
            items_ = np.concatenate((items_, supply_rows))
            values_ = np.concatenate((values_, np.ones(len(of))))
            order = np.lexsort((items_, rows_))
            rows_, items_, values_ = rows_[order], items_[order], values_[order]
        starts = np.searchsorted(rows_, np.arange(number)).astype(np.int32)
        self._highs.addCols(
            number,
            self._costs[bins],
            np.zeros(number),
            np.full(number, INFINITE),
            len(values_),
            starts,
            items_.astype(np.int32),
            values_,
        )
        self._columns += number

    def solve(self) -> Answer | None:
        """Solve to optimality; None if the patterns cannot meet the demand."""
        _run(self._highs)
        status = self._highs.getModelStatus()
        if status == highspy.HighsModelStatus.kInfeasible:
            return None
        if status != highspy.HighsModelStatus.kOptimal:
            # A cold start mends what a warm one may have spoilt.
            self._highs.clearSolver()
            _run(self._highs)
            status = self._highs.getModelStatus()
            if status == highspy.HighsModelStatus.kInfeasible:
                return None
            if status != highspy.HighsModelStatus.kOptimal:
                raise SolverError(f"the linear program ended as {status}")
        solution = self._highs.getSolution()
        dual = np.array(solution.row_dual)
        scarcity = np.zeros(len(self._costs))
        for k, row in self._row.items():
            scarcity[k] = max(0.0, -dual[row])
        return Answer(
            self._highs.getInfo().objective_function_value,
            np.array(solution.col_value),
            np.maximum(dual[: self._items], 0.0),
            scarcity,
        )

    def set_demand(self, demand: Whole, supply: Sequence[int | None]) -> None:
        """Ask for another demand, with another supply (items,), (bins,)."""
        for item, wanted in enumerate(demand.tolist()):
            self._highs.changeRowBounds(item, float(wanted), INFINITE)
        for k, row in self._row.items():
            self._highs.changeRowBounds(row, -INFINITE, float(supply[k] or 0))

    def allow(self, allowed: NDArray[np.bool_]) -> None:
        """Allow the marked patterns only (patterns,)."""
        number = self._columns
        self._highs.changeColsBounds(
            number,
            np.arange(number, dtype=np.int32),
            np.zeros(number),
            np.where(allowed, INFINITE, 0.0),
        )


def choose(
    costs: Real,
    most: Real,
    rows: Sequence[tuple[Whole, Whole | Real, float | None, float | None]],
    start: Whole,
    seconds: float,
) -> Whole:
    """Choose whole numbers that keep some rows, at little cost.

    Parameters
    ----------
    costs, most
        What one of each costs, and how many there can be. (choices,), (choices,)
    rows
        Which choices a row weighs and how much, and the least and the greatest sum.
    start
        A choice to start from. (choices,)
    seconds
        When to stop with the best so far.

    Returns
    -------
    array
        How many of each. (choices,)
    """
    number = len(costs)
    highs = _silent()
    highs.setOptionValue("time_limit", seconds)
    highs.setOptionValue("mip_rel_gap", 0.0)
    whole = np.arange(number, dtype=np.int32)
    highs.addVars(number, np.zeros(number), most)
    highs.changeColsCost(number, whole, costs)
    kinds = np.full(number, highspy.HighsVarType.kInteger)
    highs.changeColsIntegrality(number, whole, kinds)
    for at, weights, low, high in rows:
        highs.addRow(
            -INFINITE if low is None else float(low),
            INFINITE if high is None else float(high),
            len(at),
            at.astype(np.int32),
            weights.astype(float),
        )
    highs.setSolution(number, whole, start.astype(float))
    _run(highs)
    feasible = highspy.SolutionStatus.kSolutionStatusFeasible
    if highs.getInfo().primal_solution_status != feasible:
        return start
    use: Whole = np.rint(np.array(highs.getSolution().col_value)).astype(np.int64)
    return use


def centre(costs: Real, rows: list[tuple[Whole, int | None, int | None]]) -> Real | None:
    """Give dual values from the middle of the best ones (rows,).

    An interior point method without a crossover ends in the middle of the optimal
    face, where every pattern that no optimum uses has a price above its worth.
    """
    number = len(costs)
    highs = _silent()
    highs.setOptionValue("presolve", "off")
    highs.setOptionValue("solver", "ipm")
    highs.setOptionValue("run_crossover", "off")
    highs.addVars(number, np.zeros(number), np.full(number, INFINITE))
    highs.changeColsCost(number, np.arange(number, dtype=np.int32), costs)
    for weights, low, high in rows:
        at = np.flatnonzero(weights)
        highs.addRow(
            -INFINITE if low is None else float(low),
            INFINITE if high is None else float(high),
            len(at),
            at.astype(np.int32),
            weights[at].astype(float),
        )
    _run(highs)
    dual = np.array(highs.getSolution().row_dual)
    return dual if len(dual) == len(rows) and np.isfinite(dual).all() else None


class Rows:
    """A linear program over some patterns, to which rows and patterns are added.

    A first column meets every demand alone, at a price: the program always has a
    solution, and what has none in truth shows in its value.

    Parameters
    ----------
    price
        What the first column costs.
    """

    def __init__(self, price: float) -> None:
        self._highs = _silent()
        self._highs.setOptionValue("presolve", "off")
        self._highs.setOptionValue("solver", "simplex")
        self._highs.addVar(0.0, INFINITE)
        self._highs.changeColCost(0, price)
        self._rows = 0

    def add(self, costs: Real, weights: Whole) -> None:
        """Add patterns, with their weights in all rows (patterns, rows)."""
        number = len(costs)
        rows, at = np.nonzero(weights)
        self._highs.addCols(
            number,
            costs,
            np.zeros(number),
            np.full(number, INFINITE),
            len(at),
            np.searchsorted(rows, np.arange(number)).astype(np.int32),
            at.astype(np.int32),
            weights[rows, at].astype(float),
        )

    def push(self, weights: Whole, low: int | None, high: int | None) -> None:
        """Add a row at the end, with its weights for the patterns (patterns,)."""
        at = np.flatnonzero(weights)
        values = weights[at].astype(float)
        at = at + 1
        if low is not None and low > 0:
            at = np.append(at, 0)
            values = np.append(values, float(low))
        self._highs.addRow(
            -INFINITE if low is None else float(low),
            INFINITE if high is None else float(high),
            len(at),
            at.astype(np.int32),
            values,
        )
        self._rows += 1

    def forbid(self, pattern: int) -> None:
        """Forbid a pattern, by its place among those added."""
        self._highs.changeColBounds(pattern + 1, 0.0, 0.0)

    def pop(self, number: int) -> None:
        """Take the last rows away."""
        if number:
            extra = np.arange(self._rows - number, self._rows, dtype=np.int32)
            self._highs.deleteRows(number, extra)
            self._rows -= number

    def basis(self) -> Basis:
        """Give the place where the last solution was found, to come back to."""
        return _basis(self._highs)

    def start_from(self, basis: Basis) -> None:
        """Come back to a place; the rows must be those it was found with."""
        _start_from(self._highs, basis)

    def solve(self) -> tuple[Real, Real] | None:
        """Solve, from where the last solution was found.

        Returns
        -------
        tuple of arrays, or None
            How often the first column and each pattern is used (1 + patterns,); and
            the dual values (rows,).
        """
        if not _is_solved(self._highs):
            return None
        solution = self._highs.getSolution()
        return np.array(solution.col_value), np.array(solution.row_dual)


class Program:
    """A linear program over columns that are added over time, with rows that are given.

    Parameters
    ----------
    low, high
        Of the rows; infinite where there is none. (rows,), (rows,)
    """

    def __init__(self, low: Real, high: Real) -> None:
        self._highs = _silent()
        self._highs.setOptionValue("presolve", "off")
        self._highs.setOptionValue("solver", "simplex")
        self._highs.setOptionValue("simplex_strategy", 4)
        rows = len(low)
        none = np.zeros(0)
        starts = np.zeros(rows, dtype=np.int32)
        self._highs.addRows(rows, low, high, 0, starts, none.astype(np.int32), none)
        self._whole: highspy.Highs | None = None
        self._is_stopped = False

    def add(self, costs: Real, weights: list[tuple[Whole, Real]]) -> None:
        """Add columns, each with the rows it has weights in. (columns,)(columns)"""
        number = len(costs)
        if not number:
            return
        sizes = np.array([len(at) for at, _ in weights])
        self._highs.addCols(
            number,
            costs,
            np.zeros(number),
            np.full(number, INFINITE),
            int(sizes.sum()),
            (np.cumsum(sizes) - sizes).astype(np.int32),
            np.concatenate([at for at, _ in weights]).astype(np.int32),
            np.concatenate([values for _, values in weights]).astype(float),
        )

    def push(self, columns: Sequence[Whole], low: Real, high: Real) -> None:
        """Add rows at the end in which some columns weigh 1 each, with their bounds."""
        sizes = np.array([len(at) for at in columns], dtype=np.int64)
        held = int(sizes.sum())
        self._highs.addRows(
            len(columns),
            low,
            high,
            held,
            (np.cumsum(sizes) - sizes).astype(np.int32),
            np.concatenate([np.zeros(0), *columns]).astype(np.int32),
            np.ones(held),
        )

    def price(self, column: int, cost: float) -> None:
        """Change what a column costs."""
        self._highs.changeColCost(column, cost)

    def limit(self, column: int, most: float) -> None:
        """Change how often a column may be used."""
        self._highs.changeColBounds(column, 0.0, most)

    def limit_all(self, columns: Whole, most: Real) -> None:
        """Change how often some columns may be used. (columns,), (columns,)"""
        none = np.zeros(len(columns))
        self._highs.changeColsBounds(len(columns), columns.astype(np.int32), none, most)

    def probe(self, steps: int) -> float:
        """Give the value after some steps of the dual method, which no optimum is below."""
        self._highs.setOptionValue("simplex_strategy", 1)
        self._highs.setOptionValue("simplex_iteration_limit", steps)
        _run(self._highs)
        self._highs.setOptionValue("simplex_iteration_limit", highspy.kHighsIInf)
        value: float = self._highs.getInfo().objective_function_value
        return value

    def in_whole(
        self,
        whole: Whole,
        none: Whole,
        fixed: tuple[Whole, Real] | None,
        seconds: float | None,
        seed: int,
    ) -> Real | None:
        """Look for a solution in whole numbers, whatever it costs.

        Parameters
        ----------
        whole
            Columns that must be whole. (columns,)
        none
            Columns that are not used. (columns,)
        fixed
            Columns, and how often each is used.
        seconds
            When to stop; None stops by itself.
        seed
            Of the chance by which the solver goes on.

        Returns
        -------
        array or None
            Use of the columns (columns,); None where none was found.
        """
        feasible = highspy.SolutionStatus.kSolutionStatusFeasible
        until = INFINITE if seconds is None else time.monotonic() + seconds
        for more, nodes in enumerate(NODES):
            highs = self._whole = self._asking_for(whole, none, fixed)
            highs.setOptionValue("random_seed", seed * len(NODES) + more)
            highs.setOptionValue("mip_max_nodes", nodes)
            highs.setOptionValue("time_limit", max(until - time.monotonic(), 0.0))
            if self._is_stopped:
                break
            _run(highs)
            if highs.getInfo().primal_solution_status == feasible:
                return np.array(highs.getSolution().col_value)
            if highs.getModelStatus() != highspy.HighsModelStatus.kSolutionLimit:
                break
        return None

    def _asking_for(
        self, whole: Whole, none: Whole, fixed: tuple[Whole, Real] | None
    ) -> highspy.Highs:
        """Give a solver that looks for any solution, in whole numbers."""
        highs = _silent()
        # Only so can it be stopped; the silent one leaves them out.
        highspy.Highs.enableCallbacks(highs)  # type: ignore[no-untyped-call]
        highs.HandleUserInterrupt = True
        highs.passModel(self._highs.getLp())
        number = highs.getNumCol()
        highs.setOptionValue("mip_max_improving_sols", 1)
        highs.changeColsCost(number, np.arange(number, dtype=np.int32), np.zeros(number))
        kinds = np.full(len(whole), highspy.HighsVarType.kInteger)
        highs.changeColsIntegrality(len(whole), whole.astype(np.int32), kinds)
        zero = np.zeros(len(none))
        highs.changeColsBounds(len(none), none.astype(np.int32), zero, zero)
        if fixed is not None:
            at, many = fixed
            highs.changeColsBounds(len(at), at.astype(np.int32), many, many)
        return highs

    def stop(self) -> None:
        """Look for no more solutions in whole numbers, where another thread does so."""
        self._is_stopped = True
        if self._whole is not None:
            self._whole.cancelSolve()  # type: ignore[no-untyped-call]

    def ask(self, row: int, low: float, high: float) -> None:
        """Change the bounds of a row."""
        self._highs.changeRowBounds(row, low, high)

    def basis(self) -> Basis:
        """Give the place where the last solution was found, to come back to."""
        return _basis(self._highs)

    def start_from(self, basis: Basis) -> None:
        """Come back to a place, though columns and rows were added since."""
        _start_from(self._highs, basis)

    def solve(
        self, *, asked: bool = False, afresh: bool = False
    ) -> tuple[float, Real, Real] | None:
        """Solve to optimality.

        Parameters
        ----------
        asked
            Whether rows changed since the last time, not columns: then the dual method
            goes on from there.
        afresh
            Whether to forget where that was, as after new costs of most columns.

        Returns
        -------
        tuple or None
            Value, use of the columns (columns,), dual values of the rows (rows,); None
            where there is no solution.
        """
        found = self.duals(asked=asked, afresh=afresh)
        if found is None:
            return None
        value, dual = found
        return value, np.array(self._highs.getSolution().col_value), dual

    def duals(self, *, asked: bool = False, afresh: bool = False) -> tuple[float, Real] | None:
        """Do the same, without the use of the columns, which takes a while to read."""
        if afresh:
            self._highs.clearSolver()
        self._highs.setOptionValue("simplex_strategy", 1 if asked or afresh else 4)
        if not _is_solved(self._highs):
            return None
        value: float = self._highs.getInfo().objective_function_value
        return value, np.array(self._highs.getSolution().row_dual)
