"""The search as a whole: against every plan of tiny problems, and by hand."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from lapwright.cutting import (
    Ends,
    Piece,
    Problem,
    Status,
    Stock,
    recount,
    solve,
)
from lapwright.cutting.columns import Columns
from lapwright.cutting.core import bars_from, frame
from lapwright.cutting.plan import NoWatcher
from lapwright.cutting.solve import Search, never
from lapwright.cutting.start import first_plan
from lapwright.errors import NoPlanError
from tests.solver.cutting.small import cheapest, problems

if TYPE_CHECKING:
    from lapwright.cutting import CutPlan


@settings(max_examples=150, deadline=None)
@given(problems())
def test_bound_exact_heuristic(problem: Problem) -> None:
    """The proven cost is the least of all plans, and no first plan is cheaper."""
    exact = cheapest(problem)
    plan = solve(problem)
    assert (plan.bound, plan.cost, plan.status) == (exact, exact, Status.PROVEN)
    core = frame(problem).core
    assert core is not None
    start = first_plan(core, core.demand, [b.supply for b in core.bins])
    assert start is not None
    assert sum(core.bins[k].cost * n for k, _, n in start) * core.cost_unit >= plan.cost


@settings(max_examples=300, derandomize=True, deadline=None)
@given(problems(counted=True), st.data())
def test_likely_bars_that_fit_are_taken(problem: Problem, data: st.DataObject) -> None:
    """Bars to begin with change no optimum; of them those alone are taken that can be cut."""
    places = st.lists(st.integers(0, len(problem.pieces) - 1), min_size=1, max_size=4)
    bars = data.draw(st.lists(st.tuples(st.integers(0, len(problem.stock) - 1), places)))
    exact = cheapest(problem)
    if exact is None:
        with pytest.raises(NoPlanError):
            solve(problem, likely=bars)
        return
    plan = solve(problem, likely=bars, bound=exact)
    assert (plan.bound, plan.cost, plan.status) == (exact, exact, Status.PROVEN)
    framed = frame(problem)
    core = framed.core
    there = {b.stock for b in core.bins} if core is not None else set()
    wanted: Counter[tuple[int, Ends]] = Counter()
    for piece in problem.pieces:
        wanted[piece.length, piece.ends] += piece.count
    for stock, of_bar in bars:
        kinds = Counter((problem.pieces[k].length, problem.pieces[k].ends) for k in of_bar)
        pieces = tuple(
            Piece(length, min(many, wanted[length, ends]), ends)
            for (length, ends), many in kinds.items()
        )
        bar = replace(problem.stock[stock], supply=1)
        is_cut = cheapest(replace(problem, pieces=pieces, stock=(bar,))) is not None
        is_whole = any(ends is Ends.BOTH for _, ends in kinds)
        found = bars_from(framed, [(stock, of_bar)])
        assert bool(found) == (is_cut and stock in there and not is_whole)
        for _, counts in found:
            assert counts.sum() == sum(piece.count for piece in pieces)


@settings(max_examples=100, deadline=None)
@given(problems(counted=True))
def test_counted_supply_is_exact(problem: Problem) -> None:
    """With counted bars the cost is the least, and `no plan` is said when true."""
    exact = cheapest(problem)
    if exact is None:
        with pytest.raises(NoPlanError):
            solve(problem)
        return
    plan = solve(problem)
    assert (plan.cost, plan.status) == (exact, Status.PROVEN)


@settings(max_examples=150, deadline=None)
@given(problems())
def test_numbers_of_bars_are_ruled_out_where_no_plan_has_them(problem: Problem) -> None:
    """Looked at one by one, they prove the least of all plans, and find one."""
    framed = frame(problem)
    core = framed.core
    assert core is not None
    assume(all(each.cost for each in core.bins))
    search = Search(core, framed, None, NoWatcher())
    demand, supply = np.array(core.demand), [each.supply for each in core.bins]
    search.offer(first_plan(core, core.demand, supply), "first plan")
    columns = Columns(core, never)
    columns.begin(search.best)
    relaxed = columns.generate(demand, supply)
    assert relaxed is not None
    search.by_numbers(columns, relaxed.values)
    exact = cheapest(problem)
    assert exact is not None
    assert search.bound * core.cost_unit <= exact <= search.best_cost * core.cost_unit
    if len(core.bins) > 1:
        assert search.bound == search.best_cost
        assert search.plan(None).cost == exact


@settings(max_examples=60, deadline=None)
@given(problems(), problems())
def test_another_stock_length_never_costs_more(one: Problem, two: Problem) -> None:
    """A problem with more to choose from has no dearer plan."""
    wider = replace(one, stock=one.stock + two.stock)
    assert solve(wider).cost <= solve(one).cost


@settings(max_examples=60, deadline=None)
@given(problems())
def test_needs_of_ends_never_save(problem: Problem) -> None:
    """Without the needs of factory ends no plan is dearer."""
    free = tuple(replace(piece, ends=Ends.NONE) for piece in problem.pieces)
    assert solve(replace(problem, pieces=free)).cost <= solve(problem).cost


@settings(max_examples=40, deadline=None)
@given(problems())
def test_mirrored_ends_cost_the_same(problem: Problem) -> None:
    """With left and right changed over, the cost is the same."""
    other = {Ends.LEFT: Ends.RIGHT, Ends.RIGHT: Ends.LEFT}
    mirrored = tuple(
        replace(piece, ends=other.get(piece.ends, piece.ends)) for piece in problem.pieces
    )
    assert solve(replace(problem, pieces=mirrored)).cost == solve(problem).cost


def medium() -> Problem:
    """Give a problem that needs the linear program, dives and end needs."""
    pieces = tuple(
        Piece(137 + 53 * i % 701, 2 + i % 3, list(Ends)[i % 3], label=f"p{i}")
        for i in range(24)
    )
    return Problem(pieces, (Stock(1200, 120), Stock(900, 95)), kerf=3)


def test_same_problem_same_plan() -> None:
    """Two processes with different hash seeds find the same plan."""
    code = (
        "from tests.solver.cutting.test_solve import medium;"
        "from lapwright.cutting import solve;"
        "print(solve(medium(), time_limit=None).patterns)"
    )
    runs = [
        subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True,
            text=True,
            check=True,
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": "."},
        ).stdout
        for seed in ("1", "2")
    ]
    assert runs[0] == runs[1]
    assert runs[0].startswith("(Pattern(")


def test_plan_of_a_medium_problem_stands() -> None:
    """A plan with end needs and two stock lengths passes the recount."""
    plan = solve(medium())
    recount(plan)
    assert plan.bound <= plan.cost


def test_labels_of_one_length_are_kept_apart() -> None:
    """The same length twice is merged for the search and told apart in the plan."""
    pieces = (Piece(40, 3, label="a"), Piece(40, 2, label="b"), Piece(20, 1, label="c"))
    plan = solve(Problem(pieces, (Stock(100, cost=1),)))
    assert plan.bars == 3
    cut = dict.fromkeys(range(3), 0)
    for pattern in plan.patterns:
        for index, many in pattern.pieces:
            cut[index] += many * pattern.count
    assert cut == {0: 3, 1: 2, 2: 1}


def test_only_one_left_end_a_bar() -> None:
    """Two left pieces never share a bar, however short they are."""
    pieces = (Piece(10, 2, Ends.LEFT), Piece(10, 2, Ends.RIGHT), Piece(10, 4))
    plan = solve(Problem(pieces, (Stock(100, cost=1),)))
    # Eight pieces of ten fit one bar, were it not for the ends.
    assert (plan.bars, plan.status) == (2, Status.PROVEN)


def test_whole_bars_are_set_aside() -> None:
    """A piece that keeps both ends takes a whole bar, the cheapest of its length."""
    pieces = (Piece(100, 3, Ends.BOTH), Piece(60, 1))
    stock = (Stock(100, cost=9), Stock(100, cost=0, supply=2), Stock(70, cost=5))
    plan = solve(Problem(pieces, stock))
    assert plan.bars_of_stock == (1, 2, 1)
    assert (plan.cost, plan.status) == (14, Status.PROVEN)


def test_leftovers_on_hand_are_used_first() -> None:
    """Bars that cost nothing are used up before any is bought."""
    stock = (Stock(100, cost=10), Stock(55, cost=0, supply=2))
    plan = solve(Problem((Piece(50, 4),), stock))
    assert plan.bars_of_stock == (1, 2)


def test_trim_is_taken_off_every_bar() -> None:
    """Two pieces of 50 fit a bar of 100, but not when 2 are trimmed off."""
    problem = Problem((Piece(50, 2),), (Stock(100, cost=1),))
    assert solve(problem).bars == 1
    assert solve(replace(problem, trim=2)).bars == 2


def test_shortest_of_equally_dear_bars() -> None:
    """A bar is no longer than it need be where length costs nothing."""
    plan = solve(Problem((Piece(50, 2),), (Stock(300, cost=5), Stock(110, cost=5))))
    assert plan.bars_of_stock == (0, 1)


def test_many_pieces_are_no_burden() -> None:
    """A hundred thousand pieces of each length are planned like ten."""
    pieces = (Piece(45, 100_000), Piece(36, 100_000), Piece(31, 100_000))
    plan = solve(Problem(pieces, (Stock(100, cost=1),)))
    assert plan.status is Status.PROVEN
    assert len(plan.patterns) < 12


def no_plan(problem: Problem) -> str:
    """Give what is said where there is no plan."""
    with pytest.raises(NoPlanError) as raised:
        solve(problem)
    return str(raised.value)


def test_too_long_a_piece_is_named() -> None:
    """Every piece that is too long is named, with the longest stock length."""
    pieces = (Piece(101, 1, label="sill"), Piece(10, 1), Piece(300, 2))
    said = no_plan(Problem(pieces, (Stock(100, cost=1),)))
    assert "piece 1 (sill) of length 101" in said
    assert "piece 3 of length 300" in said
    assert "piece 2" not in said


def test_too_little_supply_is_named() -> None:
    """Where the bars run out, a piece that is left over is named."""
    said = no_plan(Problem((Piece(60, 3, label="x"),), (Stock(100, 1, supply=2),)))
    assert "the supply is too small" in said
    assert "1 (x)" in said


def test_supply_that_only_suffices_in_length_is_too_small() -> None:
    """Three pieces of 60 are 180 long, yet two bars of 100 do not yield them."""
    problem = Problem((Piece(60, 3),), (Stock(100, 1, supply=2), Stock(50, 1)))
    assert "supply is too small" in no_plan(problem)


def test_whole_bar_of_no_stock_length_is_named() -> None:
    """A piece that keeps both ends must be as long as a stock length."""
    said = no_plan(Problem((Piece(90, 1, Ends.BOTH),), (Stock(100, cost=1),)))
    assert "piece 1 of length 90 keeps both factory ends" in said


def test_too_few_whole_bars_are_named() -> None:
    """Whole bars beyond the supply are counted."""
    said = no_plan(Problem((Piece(100, 3, Ends.BOTH),), (Stock(100, 1, supply=2),)))
    assert "1 more than there are" in said


class Listener:
    """Keeps what it hears, and may interrupt."""

    def __init__(self, stop_at: str = "") -> None:
        self.heard: list[tuple[str, float, int | None, int]] = []
        self.stop_at = stop_at

    def hear(self, stage: str, seconds: float, best: int | None, bound: int) -> None:
        """Keep it."""
        self.heard.append((stage, seconds, best, bound))
        if stage == self.stop_at:
            raise KeyboardInterrupt


def hard() -> Problem:
    """Give a problem whose first plan is not the best."""
    pieces = (Piece(51, 6), Piece(27, 6), Piece(26, 6), Piece(23, 12))
    return Problem(pieces, (Stock(100, cost=1),))


def test_watcher_hears_better_plans_and_bounds() -> None:
    """Costs only fall and bounds only rise on the way."""
    listener = Listener()
    plan = solve(hard(), watcher=listener)
    best = [b for _, _, b, _ in listener.heard if b is not None]
    bounds = [b for _, _, _, b in listener.heard]
    assert best == sorted(best, reverse=True)
    assert bounds == sorted(bounds)
    assert best[-1] == bounds[-1] == plan.cost == 9


def test_a_plan_that_is_enough_ends_the_search() -> None:
    """It looks for no better one, and calls none proven that is not."""
    listener = Listener()
    first = solve(hard(), time_limit=0.0).cost
    plan = solve(hard(), time_limit=None, watcher=listener, enough=first)
    assert (plan.cost, plan.status) == (first, Status.WORK_LIMIT)
    assert plan.bound < plan.cost
    assert "dive" not in {stage for stage, *_ in listener.heard}
    plan = solve(hard(), time_limit=None, enough=8)
    assert (plan.cost, plan.status) == (9, Status.PROVEN)


@settings(max_examples=100, deadline=None)
@given(problems(counted=True), st.integers(0, 40))
def test_enough_is_reached_where_it_can_be(problem: Problem, enough: int) -> None:
    """The cost is no more than is enough, or else the least of all plans."""
    exact = cheapest(problem)
    assume(exact is not None)
    plan = solve(problem, enough=enough)
    assert plan.cost <= max(exact or 0, enough)
    assert plan.status is Status.PROVEN or plan.cost <= enough


def test_interrupt_returns_the_best_plan() -> None:
    """A search that is stopped gives its best plan, and says so."""
    plan = solve(hard(), watcher=Listener(stop_at="material"))
    recount(plan)
    assert plan.status is Status.INTERRUPTED
    assert plan.bound < plan.cost


def test_time_limit_returns_the_best_plan() -> None:
    """A search without time gives its first plan, and does not call it proven."""
    plan = solve(hard(), time_limit=0.0)
    recount(plan)
    assert plan.status is Status.TIME_LIMIT
    assert plan.bound < plan.cost


def test_importing_is_cheap() -> None:
    """The nouns come without numpy and without the solver library."""
    code = "import sys, lapwright.cutting; print({'numpy', 'highspy'} & {*sys.modules})"
    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert run.stdout == "set()\n"


def test_nothing_is_printed(capfd: pytest.CaptureFixture[str]) -> None:
    """The engine and its libraries keep quiet."""
    solve(hard())
    assert capfd.readouterr() == ("", "")


def test_keyboard_interrupt_without_a_plan_goes_on() -> None:
    """Where there is no plan yet, the interrupt is not swallowed."""

    class AtOnce(Listener):
        def hear(self, stage: str, seconds: float, best: int | None, bound: int) -> None:
            super().hear(stage, seconds, best, bound)
            raise KeyboardInterrupt

    problem = Problem((Piece(60, 3),), (Stock(100, 1, supply=2),))
    with pytest.raises(KeyboardInterrupt):
        solve(problem, watcher=AtOnce())


def test_plan_is_worth_its_name() -> None:
    """Cost, bars and lengths of a plan follow from its patterns."""
    plan: CutPlan = solve(hard())
    assert plan.bars == sum(pattern.count for pattern in plan.patterns) == 9
    assert plan.stock_length == 900


def test_others_may_use_the_solver_library_too() -> None:
    """A run with another number of threads in the same process does no harm."""
    code = (
        "import highspy, numpy as np;"
        "h = highspy.Highs(); h.setOptionValue('output_flag', False);"
        "h.setOptionValue('threads', 2); h.addVar(0.0, 1.0); h.run();"
        "from tests.solver.cutting.test_solve import hard;"
        "from lapwright.cutting import solve;"
        "print(solve(hard()).cost)"
    )
    run = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        env={"PYTHONPATH": "."},
    )
    assert run.stdout.splitlines()[-1] == "9"
