"""The command that compares starts of the courses."""

from __future__ import annotations

from typing import TYPE_CHECKING

from typer.testing import CliRunner

from lapwright.job.reading import parse_job
from lapwright_cli.app import app
from lapwright_cli.heights import heights_text

if TYPE_CHECKING:
    from pathlib import Path

run = CliRunner()
JOB = """\
job: x
siding: {material: vinyl double 4}
start_range: {lowest: -2, highest: 1, step: 1}
walls:
  - {name: a, width: 100, height: 24-1/8}
  - {name: b, width: 100, height: 24-1/8, part: shed}
  - {name: c, width: 100, height: 24-1/8, start: 3}
"""


def test_the_table_of_a_small_job() -> None:
    """By hand: the eave stands at 24 in with its clearance, a line at start 0.

    At 1 in one course less is needed above the first, and 7 in are left under the eave;
    at -1 in 1 in is left, and 2 at -2 in, in a course more; the bottom leaves 7 and 6 in.
    A strip of 1 in is no sliver, for it is not lower than that.
    """
    lines = heights_text(parse_job(JOB, "x.yaml")).splitlines()
    top = lines.index("wall A")
    assert [line.split() for line in lines[top + 1 : top + 6]] == [
        [
            "start",
            "slivers",
            "smallest",
            "strip",
            "deepest",
            "cut",
            "ripped",
            "courses",
            "pieces",
        ],
        [
            '1"',
            "0",
            '7"',
            "under",
            "the",
            "eave",
            "(A)",
            '1"',
            "under",
            "the",
            "eave",
            "(A)",
            "0",
            "3",
            "3",
        ],
        ["*>", '0"', "0", "none", "none", "0", "4", "3"],
        [
            '-1"',
            "0",
            '1"',
            "under",
            "the",
            "eave",
            "(A)",
            '7"',
            "under",
            "the",
            "eave",
            "(A)",
            "1",
            "4",
            "4",
        ],
        [
            '-2"',
            "0",
            '2"',
            "under",
            "the",
            "eave",
            "(A)",
            '6"',
            "under",
            "the",
            "eave",
            "(A)",
            "1",
            "4",
            "4",
        ],
    ]
    assert "part shed, wall B" in lines
    assert "left as they are, with a start of their own: C" in lines


def test_the_command_reads_and_writes_nothing(tmp_path: Path) -> None:
    """It prints the tables; bad input ends with code 1."""
    job = tmp_path / "job.yaml"
    job.write_text(JOB, "utf-8")
    result = run.invoke(app, ["heights", str(job)])
    assert result.exit_code == 0
    assert "best: fewest slivers" in result.stdout
    assert list(tmp_path.iterdir()) == [job]
    job.write_text(JOB.replace("step: 1}", "step: 0}"), "utf-8")
    assert run.invoke(app, ["heights", str(job)]).exit_code == 1
