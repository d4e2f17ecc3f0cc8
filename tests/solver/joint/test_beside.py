"""Two searches of one problem: what one finds, the other takes, and no more than that."""

from __future__ import annotations

import os
import subprocess
import sys
import textwrap
import time
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given, settings

from lapwright.cutting import Ends, NoWatcher, Status, Stock
from lapwright.cutting.covers import Cover
from lapwright.errors import AuditError
from lapwright.joint import beside, solve
from lapwright.joint.beside import Beside, begin
from lapwright.joint.core import core_of
from lapwright.joint.problem import JointProblem, Run
from lapwright.joint.solve import Bounded, Found, solve_joint
from lapwright.joint.ties import least_ties
from tests.solver.joint.test_solve import AtOnce, always_two, three_runs
from tests.solver.joint.tiny import optimum, problems

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

SECONDS = 0.3
PATIENCE = 60.0
"""How long another process may take on a machine that is busy. [seconds]"""

needs_two_cores = pytest.mark.skipif(beside.cores() < 2, reason="there is one core")
asks_for_a_process = pytest.mark.skipif(os.name != "posix", reason="asks by its number")


@pytest.fixture
def echo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """Give the name of a module for another process: it prints, and says all twice."""
    source = """
        import os
        from lapwright.joint.beside import join

        def twice():
            other = join()
            print("what a library prints", flush=True)
            os.system("echo and what others print")
            other.tell(os.getpid())
            while True:
                other.tell(other.wait() * 2)
    """
    (tmp_path / "echo_beside.py").write_text(textwrap.dedent(source), "utf-8")
    monkeypatch.syspath_prepend(str(tmp_path))
    return "echo_beside"


def is_there(process: int) -> bool:
    """Tell whether a process still runs."""
    with suppress(OSError):
        os.kill(process, 0)
        return True
    return False


@needs_two_cores
@asks_for_a_process
def test_what_is_told_is_heard_and_the_process_ends(echo: str) -> None:
    """Nothing that is printed comes between; once stopped, no process is left."""
    other = begin(echo, "twice")
    assert other is not None
    process = other.wait()
    assert is_there(process)
    other.tell("bar")
    other.tell((1, 2))
    assert other.wait() == "barbar"
    assert other.wait() == (1, 2, 1, 2)
    assert list(other.heard()) == []
    other.stop()
    assert not is_there(process)
    other.stay()  # what listens to it has ended too
    other.stop()


@needs_two_cores
@asks_for_a_process
def test_a_process_does_not_outlive_the_one_that_began_it(echo: str) -> None:
    """Killed without a word, the first search leaves no second one behind."""
    first = f"""
import os
from lapwright.joint.beside import begin
print(begin({echo!r}, "twice").wait(), flush=True)
os._exit(1)
"""
    path = os.pathsep.join(place for place in sys.path if place)
    done = subprocess.run(
        [sys.executable, "-c", first],
        env={**os.environ, "PYTHONPATH": path},
        stdout=subprocess.PIPE,
        text=True,
        check=False,
    )
    process, until = int(done.stdout), time.monotonic() + PATIENCE
    while is_there(process) and time.monotonic() < until:
        time.sleep(0.01)
    assert not is_there(process)


def test_no_other_process_where_there_is_no_core_for_it(
    echo: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With one core, or no interpreter to begin, the search goes on alone."""
    monkeypatch.setattr(beside, "cores", lambda: 1)
    assert begin(echo, "twice") is None
    monkeypatch.setattr(beside, "cores", lambda: 2)
    monkeypatch.setattr(sys, "executable", "/no/such/interpreter")
    assert begin(echo, "twice") is None


def lapped(stock: Sequence[Stock] = (Stock(15, 10), Stock(9, 7))) -> JointProblem:
    """Three runs of 12 in a first and a last piece, from bars of 15 and of 9."""
    ways = replace(always_two(5, 6), ends=(Ends.LEFT, Ends.RIGHT))
    ways = replace(ways, whole=np.zeros((2, len(stock)), dtype=np.int64))
    runs = tuple(Run(0, number, ways) for number in range(1, 4))
    return JointProblem(runs, (), tuple(stock))


class Other(Beside):
    """Another search that has said all that it will say, and keeps what it is told."""

    def __init__(self, *said: Any) -> None:
        self.said, self.told = list(said), list[Any]()

    def tell(self, what: Any) -> None:
        """Keep it."""
        self.told.append(what)

    def heard(self) -> Iterator[Any]:
        """Give all once."""
        while self.said:
            yield self.said.pop(0)

    def stop(self) -> None:
        """End nothing."""


def found_by_second(problem: JointProblem) -> list[Any]:
    """Let the second search of a problem do its part, and give what it tells."""
    search = solve._search_of(problem, SECONDS, NoWatcher())
    other = Other()
    search.beside, search.is_second = other, True
    search.run(None)
    return other.told


@settings(max_examples=40, derandomize=True)
@given(problems())
def test_two_searches_prove_the_optimum(problem: JointProblem) -> None:
    """With the plans and the covers of the second the first proves nothing wrong."""
    best, _ = optimum(problem)
    if best is None:
        return
    told = found_by_second(problem)
    assert all(isinstance(each, Found | Cover) for each in told)
    search = solve._search_of(problem, SECONDS, NoWatcher())
    search.beside = Other(*told)
    search.started -= solve.HEARD * SECONDS
    search.run(None)
    plan = search.plan(None)
    assert (plan.broken, plan.cost) >= best
    if plan.status is Status.PROVEN:
        assert (plan.broken, plan.cost) == best


def test_a_bound_is_told_with_what_it_is_the_cost_of() -> None:
    """The second search aims at the bars that the first has got to."""
    problem = three_runs()
    first = solve._search_of(problem, SECONDS, NoWatcher())
    first.beside = other = Other()
    first.run(None)
    bounds = [each for each in other.told if isinstance(each, Bounded)]
    assert bounds[-1].bound == first.bound == 30
    second = solve._search_of(problem, SECONDS, NoWatcher())
    second.beside, second.is_second = Other(*bounds, Bounded(0, (9,))), True
    second.hear()
    assert (second.bound, second.target) == bounds[-1]


def test_the_first_search_listens_after_a_while() -> None:
    """What it proves early, and by itself, does not hang on which of the two is faster."""
    whole = solve_joint(three_runs(), time_limit=None)
    search = solve._search_of(whole.problem, PATIENCE, NoWatcher())
    search.beside = Other(Found(whole.rows, whole.cut))
    search.hear()
    assert search.best is None
    search.started -= solve.HEARD * PATIENCE
    search.hear()
    assert search.plan(None).cost == whole.cost
    proven, cheaper = search.best, replace(whole.cut, patterns=())
    search.bound = whole.cost
    search.beside = Other(Found(whole.rows, cheaper))
    search.hear()
    assert search.best is proven


def test_stopped_by_hand_takes_what_the_other_has_found(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Stopped before the first has any plan, the second's is given."""
    whole = solve_joint(lapped(), time_limit=None)
    monkeypatch.setattr(solve, "begin", lambda *_: Other(Found(whole.rows, whole.cut)))
    monkeypatch.setattr(solve, "FEW", 0)
    monkeypatch.setattr(solve._Search, "run", _stop)
    plan = solve_joint(whole.problem, time_limit=PATIENCE)
    assert (plan.cost, plan.status) == (whole.cost, Status.INTERRUPTED)


def test_the_last_that_the_other_found_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    """Though the first has come to its end without it."""
    whole = solve_joint(lapped(), time_limit=None)
    monkeypatch.setattr(solve, "begin", lambda *_: Other(Found(whole.rows, whole.cut)))
    monkeypatch.setattr(solve, "FEW", 0)
    monkeypatch.setattr(solve, "HEARD", 0.0)
    monkeypatch.setattr(solve._Search, "run", lambda *_: None)
    assert solve_joint(whole.problem, time_limit=PATIENCE).cost == whole.cost


def _stop(*_: object) -> None:
    raise KeyboardInterrupt


def test_a_plan_of_the_other_search_is_recounted() -> None:
    """One that lacks pieces is not shown, however cheap it looks."""
    whole = solve_joint(three_runs(), time_limit=None)
    short = replace(whole.cut, patterns=whole.cut.patterns[1:])
    search = solve._search_of(whole.problem, SECONDS, NoWatcher())
    search.beside, search.is_second = Other(Found(whole.rows, short)), True
    search.hear()
    with pytest.raises(AuditError):
        search.plan(None)


@needs_two_cores
@pytest.mark.parametrize("lengths", [1, 2])
def test_a_plan_comes_from_another_process(
    monkeypatch: pytest.MonkeyPatch, lengths: int
) -> None:
    """The process that a search begins finds a plan of the problem it is told."""
    problem = lapped((Stock(15, 10), Stock(9, 7))[:lengths])
    begun = begin(solve.__name__, solve.search_beside.__name__)
    assert begun is not None
    begun.tell((problem, least_ties(core_of(problem)), PATIENCE, 0.0))
    found = begun.wait()
    begun.stop()
    assert isinstance(found, Found)
    search = solve._search_of(problem, SECONDS, NoWatcher())
    search.offer(found.rows, found.cut, "beside")
    assert search.plan(None).cost == solve_joint(problem, time_limit=None).cost
    monkeypatch.setattr(solve, "FEW", 0)
    assert solve_joint(problem, time_limit=SECONDS).status is Status.PROVEN


@needs_two_cores
@pytest.mark.parametrize("is_stopped", [True, False])
def test_no_process_is_left_behind(
    monkeypatch: pytest.MonkeyPatch, *, is_stopped: bool
) -> None:
    """The other process ends with the search, and where that is stopped by hand."""
    begun: list[Beside | None] = []

    def keep(module: str, function: str) -> Beside | None:
        begun.append(begin(module, function))
        return begun[-1]

    monkeypatch.setattr(solve, "begin", keep)
    monkeypatch.setattr(solve, "FEW", 0)
    if is_stopped:
        with pytest.raises(KeyboardInterrupt):
            solve_joint(lapped(), time_limit=SECONDS, watcher=AtOnce())
    else:
        assert solve_joint(lapped(), time_limit=SECONDS).status is Status.PROVEN
    [other] = begun
    assert other is not None
    assert other._process is not None
    assert other._process.poll() is not None
