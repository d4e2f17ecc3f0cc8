"""The command that compares, as an estimator meets it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from typer.testing import CliRunner

from lapwright_cli.app import app

if TYPE_CHECKING:
    from pathlib import Path

JOB = """\
job: Shed
siding:
  material: vinyl double 4
  stock: [{length: 12' 6", price: 11}, {length: 16', price: 14}]
walls:
  - {name: Front, width: 24', height: 5'}
"""
SHORT = ("--quiet", "--time-limit", "1", "--front", "1")
"""What is asked here of a comparison does not hang on how long is searched."""
run = CliRunner()


@pytest.fixture
def shed(tmp_path: Path) -> Path:
    """Give a job file of two stock lengths."""
    job = tmp_path / "shed.yaml"
    job.write_text(JOB, "utf-8")
    return job


def test_by_default_the_lengths_of_the_job_and_their_mix_are_compared(shed: Path) -> None:
    """Two lengths make three variants; nothing is written without a folder."""
    result = run.invoke(app, ["compare", str(shed), *SHORT])
    assert result.exit_code == 0, result.output
    for name in ("  12' 6\"  ", "  16'  ", "  12' 6\" + 16'  "):
        assert name in result.stdout
    assert "3 variants" in result.stdout
    # Each run needs one seam, and the job lets none have more.
    assert "What fewer seams cost, in the job as it stands" in result.stdout
    assert "`extra_seams: 1` under `rules` would let each have one more" in result.stdout
    assert [path.name for path in shed.parent.iterdir()] == ["shed.yaml"]


def test_what_fewer_seams_cost_is_left_out_where_it_is_not_wanted(shed: Path) -> None:
    """With no seconds for it there is no word of it."""
    result = run.invoke(app, ["compare", str(shed), *SHORT, "--front", "0"])
    assert result.exit_code == 0, result.output
    assert "fewer seams" not in result.stdout


def test_lengths_materials_and_starts_are_asked_for(shed: Path) -> None:
    """A length with its price, a material and two starts: (3 + 1) × 2 variants, four files."""
    out = shed.parent / "out"
    result = run.invoke(
        app,
        [
            *("compare", str(shed), "--stock", "12' 6\"", "--stock", "20'@18.5"),
            *("--start", "0", "--start", "2", "--material", "vinyl double 5"),
            *("--out", str(out), *SHORT),
        ],
    )
    assert result.exit_code == 0, result.output
    assert "8 variants" in result.stdout
    assert "12' 6\" + 20', start 2\"" in result.stdout
    assert "vinyl double 5: 12', start 0\"" in result.stdout
    names = {path.name for path in out.iterdir()}
    assert names == {"compare.txt", "compare.html", "compare.pdf", "compare.xlsx"}
    assert (out / "compare.txt").read_text("utf-8") == result.stdout


def test_a_start_above_a_wall_has_no_plan_and_says_why(shed: Path) -> None:
    """The other start is compared all the same; where no variant has a plan it is code 3."""
    asked = ["compare", str(shed), "--stock", "16'", *SHORT, "--start", "6'"]
    result = run.invoke(app, [*asked, "--start", "0"])
    assert result.exit_code == 0, result.output
    assert 'wall Front: start 72" is not below its top' in result.stdout
    result = run.invoke(app, asked)
    assert result.exit_code == 3
    assert "is not below its top" in result.stderr


def test_a_start_below_the_bottom_and_the_best_are_starts(shed: Path) -> None:
    """A start may rip the first course, but not a whole one; the best is sought."""
    asked = ["compare", str(shed), "--stock", "16'", *SHORT]
    asked += ["--start", "-2", "--start", "best", "--start", "-8"]
    result = run.invoke(app, asked)
    assert result.exit_code == 0, result.output
    assert "16', start -2\"  " in result.stdout
    assert "16', best start  " in result.stdout
    assert '16\', start -8": start -8" is a whole course below the bottom' in result.stdout


def test_walls_with_a_start_of_their_own_are_not_begun_elsewhere(shed: Path) -> None:
    """Where all have one there is nothing to compare."""
    shed.write_text(JOB.replace("height: 5'}", "height: 5', start: 1}"), "utf-8")
    result = run.invoke(app, ["compare", str(shed), "--start", "2"])
    assert result.exit_code == 2
    assert "a start of its own" in " ".join(result.stderr.replace("│", " ").split())


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--stock", "long"], "wanted a length"),
        (["--stock", "0"], "a stock length of nothing"),
        (["--stock", "16'", "--stock", "16'"], "a second time"),
        (["--stock", "16'@x"], "wanted a price"),
        (["--stock", "16'", "--stock", "20'"], "its price"),
        (["--start", "low"], "wanted a length"),
        (["--material", "gold"], "wanted all, or one of"),
    ],
)
def test_wrong_options_are_wrong_use(shed: Path, options: list[str], words: str) -> None:
    """Each slip is told in words, with code 2."""
    result = run.invoke(app, ["compare", str(shed), *options])
    assert result.exit_code == 2
    assert words in " ".join(result.stderr.replace("│", " ").split())


def test_a_material_that_the_job_does_not_go_with_says_why(shed: Path) -> None:
    """Heat and cold without a coefficient: none is known for butted planks."""
    shed.write_text(JOB + "thermal: {coldest: -20 F, hottest: 120 F}\n", "utf-8")
    result = run.invoke(
        app, ["compare", str(shed), "--stock", "16'", "--material", "all", *SHORT]
    )
    assert result.exit_code == 0, result.output
    assert "gives no coefficient for it" in result.stdout
