"""The measuring of houses: four ways side by side, tables and CSV."""

from __future__ import annotations

import csv
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from benchmarks import houses
from benchmarks.house_ways import LAPWRIGHT, PRACTICE, SEAMS_FIRST, House, Outcome, Row, measure
from lapwright.job.material import MONEY

if TYPE_CHECKING:
    from pathlib import Path


def shed(**siding: Any) -> House:
    """Make a bare wall of 20 ft and 3 courses of planks; studs let 144 + 96 be hung."""
    data = {
        "job": "shed",
        "siding": {"material": "fiber-cement 8-1/4"} | siding,
        "rules": {"end_gap": 0, "siding_kerf": 0},
        "walls": [{"name": "Front", "width": 240, "height": 21}],
    }
    return House("shed", "fiber-cement", data)


def row(name: str, costs: tuple[int, int, int], bound: int, **more: Any) -> Row:
    """Make a measured house of one stock length of cost 10."""
    ways = {
        way: Outcome(1.0, cost // 10, cost, 0.1, 5, broken, 0, status, at, way == LAPWRIGHT)
        for way, cost, broken, status, at in zip(
            (PRACTICE, SEAMS_FIRST, LAPWRIGHT),
            costs,
            (2, 1, 0),
            ("", "proven", "proven" if bound == costs[2] else "time limit"),
            (0, costs[1], bound),
            strict=True,
        )
    }
    given: dict[str, Any] = {"is_free": True, "failures": ()}
    return Row(
        name=name, family="vinyl", openings=8, stock=1, dearest=10, ways=ways, by_area=110,
        **(given | more),
    )  # fmt: skip


def test_ways_side_by_side_on_a_shed() -> None:
    """Every way hangs three courses of 240 in: 720 in of planks are five of 144 at least."""
    measured = measure(shed(stock=[{"length": 144, "price": "10"}]), 5.0)
    assert measured.failures == ()
    assert set(measured.ways) == {PRACTICE, SEAMS_FIRST, LAPWRIGHT}
    for outcome in measured.ways.values():
        assert outcome.panels >= 5
        assert outcome.cost == outcome.panels * 10 * MONEY
        assert outcome.offcut == pytest.approx(1 - 5 / outcome.panels)
        assert outcome.broken == 0
    # 240 x 21 sq in and 10 percent, in planks of 144 x 7 sq in: 5.5, so 6.
    assert measured.by_area == 6
    assert measured.area_cost == 60 * MONEY
    assert set(measured.stages) >= {"layout", "recount"}


def test_a_way_that_fails_is_told() -> None:
    """Without a stud for the joint no way makes a plan, and each says so."""
    house = shed(stock=[{"length": 40, "price": "10"}])
    house.data["rules"] |= {"stud_spacing": 100}
    measured = measure(house, 5.0)
    assert [failure.split(":")[1] for failure in measured.failures] == [" NoPlanError"] * 3
    assert measured.ways == {}


def test_tables_count_right() -> None:
    """Proof, gap, ratios, wins and losses of three houses, reckoned by hand."""
    rows = [
        row("one", (1100, 1000, 1000), 1000),
        row("two", (900, 1050, 1000), 995, is_free=False),
        row("three", (1200, 1000, 1200), 1175, failures=("seen",)),
    ]
    own = dict(zip(houses.OWN_HEAD[2:], houses.own_cells(rows), strict=True))
    assert own["houses"] == "3"
    assert own["failed"] == "1"
    assert own["proven"] == "1/3"
    assert own["most above"] == "3"  # 25 over 10, rounded up
    assert own["max gap"] == "2.13%"  # 25 / 1175
    assert own["free"] == "2"
    side = houses.side_cells(rows)
    cells = list(zip(houses.SIDE_HEAD[2:], side, strict=True))
    assert cells[3:6] == [("broken a", "6"), ("b", "3"), ("c", "0")]
    # (1.1 + 0.9 + 1) / 3; (1 + 1.05 + 0.8333) / 3; (1.1 + 1.1 + 0.9167) / 3
    assert [cell for _, cell in cells[7:10]] == ["1.0000", "0.9611", "1.0389"]
    assert [cell for _, cell in cells[10:]] == ["1", "1", "1", "1", "1"]
    assert [size for _, size, _ in houses.groups(rows)] == ["100 to 199", "all", "all"]


def test_what_is_proven_of_the_pieces_alone_does_not_count() -> None:
    """Other seams may cost less: there is neither proof nor gap."""
    one, other = (row(name, (1100, 1000, 1000), 1000) for name in ("one", "other"))
    other.ways[LAPWRIGHT] = replace(other.ways[LAPWRIGHT], seams_too=False)
    assert (one.is_proven, one.gap, one.above) == (True, 0.0, 0)
    assert (other.is_proven, other.gap, other.above) == (False, None, None)
    own = dict(zip(houses.OWN_HEAD[2:], houses.own_cells([one, other]), strict=True))
    assert own["proven"] == "1/2"
    own = dict(zip(houses.OWN_HEAD[2:], houses.own_cells([other]), strict=True))
    assert (own["proven"], own["most above"], own["max gap"]) == ("0/1", "-", "-")


def test_command_writes_rows(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Tables go to the terminal, all rows to a file; without houses there is no table."""
    assert houses.main(["--count", "0", "--rows"]) == 0
    assert "machine" not in capsys.readouterr().out.split("proven: ")[0]
    target = tmp_path / "rows.csv"
    houses.write_rows([row("one", (1100, 1000, 1000), 1000)], target)
    with target.open(encoding="utf-8", newline="") as file:
        (read,) = csv.DictReader(file)
    assert read["house"] == "one"
    assert (read["practice cost"], read["lapwright cost"]) == ("1100", "1000")
    assert (read["lapwright bound"], read["area panels"]) == ("1000", "110")


@pytest.mark.slow
def test_command_measures_a_house(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One random house is measured and written, in a process of its own."""
    target = tmp_path / "rows.csv"
    options = ["--first=4", "--count=1", "--limit=1", "--rows", "--jobs=2", "--each"]
    folder = tmp_path / "failures"
    code = houses.main([*options, "--out", str(target), "--failures", str(folder)])
    assert code == 0
    assert not folder.exists()
    shown = capsys.readouterr().out
    assert shown.startswith("seed 4 ")
    assert "fiber-cement" in shown
    assert len(target.read_text("utf-8").splitlines()) == 2
