"""Every benchmark family runs once at its smallest size, untimed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from benchmarks.cutting import HEAD, main, measure, summary, table
from benchmarks.library import read_single
from benchmarks.multiple import read_multiple
from benchmarks.registry import Family, families

if TYPE_CHECKING:
    from pathlib import Path


@pytest.mark.parametrize("family", families(), ids=lambda family: family.name)
def test_smallest_problem_of_a_family(family: Family) -> None:
    """The smallest problem of the family is solved and proven."""
    run = measure(family.example(), limit=20)
    assert run.is_proven
    assert summary(family.name, [run])[:2] == [family.name, "1/1"]


def test_file_formats() -> None:
    """Both text formats are read: field by field as their headers say."""
    single = read_single("2\n100\n45 97\n36 610\n")
    assert [(p.length, p.count) for p in single.pieces] == [(45, 97), (36, 610)]
    assert [(s.length, s.cost) for s in single.stock] == [(100, 1)]
    multiple = read_multiple("2\n100 13 90\n120 11 110\n1\n45 97\n")
    stock = [(s.length, s.supply, s.cost) for s in multiple.stock]
    assert stock == [(100, 13, 90), (120, 11, 110)]
    assert [(p.length, p.count) for p in multiple.pieces] == [(45, 97)]


def test_table_lines_up() -> None:
    """The first column stands left, numbers right, with a rule below the head."""
    assert table([["job", "bars"], ["one", "12"]]) == "job  bars\n---  ----\none    12"


def test_command_prints_a_table(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A folder with one instance gives one row, and the known optimum is compared."""
    (tmp_path / "schwerin_1").mkdir()
    (tmp_path / "schwerin_1" / "tiny.txt").write_text("1\n100\n45 4\n")
    (tmp_path / "best_known.tsv").write_text("instance\toptimum\ntiny\t2\n")
    code = main(["--data", str(tmp_path), "--family", "schwerin_1"])
    lines = capsys.readouterr().out.splitlines()
    assert code == 0
    assert lines[0].split("  ")[0] == HEAD[0]
    assert lines[2].split()[:3] == ["schwerin_1", "1/1", "1/1"]


def test_wrong_value_is_an_error(tmp_path: Path) -> None:
    """A value that contradicts the known optimum makes the command fail."""
    (tmp_path / "schwerin_1").mkdir()
    (tmp_path / "schwerin_1" / "tiny.txt").write_text("1\n100\n45 4\n")
    (tmp_path / "best_known.tsv").write_text("instance\toptimum\ntiny\t3\n")
    assert main(["--data", str(tmp_path), "--family", "schwerin_1"]) == 1


@pytest.mark.slow
@pytest.mark.filterwarnings("ignore:.*PuLP 4.0:DeprecationWarning")
@pytest.mark.parametrize("family", families(), ids=lambda family: family.name)
def test_other_ways_agree(family: Family) -> None:
    """Every other way that proves a plan proves the same cost."""
    from benchmarks.rivals import WAYS

    problem = family.example().problem
    costs = {
        way: run(problem, 10.0)
        for way, run in WAYS.items()
        if way != "HiGHS arc-flow" or max(s.length for s in problem.stock) <= 1000
    }
    proven = {outcome.cost for outcome in costs.values() if outcome.is_proven}
    assert proven == {costs["lapwright"].cost}
