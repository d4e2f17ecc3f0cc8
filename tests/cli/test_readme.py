"""The README keeps its word: its job gives its order, and its commands are real."""

from __future__ import annotations

import doctest
import re
import shlex
from pathlib import Path

from typer.testing import CliRunner

from lapwright_cli.app import app

README = Path("README.md").read_text("utf-8")
run = CliRunner()


def test_the_job_of_ten_lines_gives_the_order_shown(tmp_path: Path) -> None:
    """The README's job, planned, prints the README's order to the letter."""
    job = re.search(r"```yaml\n(.*?)```", README, re.DOTALL)
    order = re.search(r"```text\n(.*?)\n```", README, re.DOTALL)
    assert job
    assert order
    assert len(job[1].splitlines()) == 10
    file = tmp_path / "shed.yaml"
    file.write_text(job[1], "utf-8")
    result = run.invoke(app, ["plan", str(file), "--out", str(tmp_path / "shed")])
    assert result.exit_code == 0, result.output
    assert result.stdout.rstrip("\n") == order[1]
    named = re.findall(r"^\| `([^|]*)` \|", README, re.MULTILINE)
    files = {name for cell in named for name in re.split(r"`, `", cell)}
    assert {path.name for path in (tmp_path / "shed").iterdir()} <= files


def test_the_gable_on_a_step_is_what_its_remarks_say(tmp_path: Path) -> None:
    """24 ft by 8 ft 10 in, a gable of 6 ft, less 8 ft by 18 in: 212 + 72 - 12 = 272 sq ft."""
    (job,) = re.findall(r"## A gable wall on .*?```yaml\n(.*?)```", README, re.DOTALL)
    told = {}
    for start in ("0", "-6"):
        file = tmp_path / f"{start}.yaml"
        file.write_text(f"{job}start: {start}\n", "utf-8")
        result = run.invoke(app, ["check", str(file)])
        assert result.exit_code == 0, result.output
        assert "24' 0\" by 14' 10\", 272.0 sq ft" in result.stdout
        told[start] = result.stdout
    assert 'over the step 18" up course 3 is ripped' in told["0"]
    assert "over the step" not in told["-6"]
    assert "wall A: the first course is ripped at its bottom edge" in told["-6"]
    assert "lower roof" not in told["0"]


def test_the_heights_shown_are_those_of_that_job(tmp_path: Path) -> None:
    """Each row of the README's table of starts is in what the command prints."""
    job = re.search(r"```yaml\n(.*?)```", README, re.DOTALL)
    table = re.search(r"```text\n( +start  slivers.*?)\n```", README, re.DOTALL)
    assert job
    assert table
    file = tmp_path / "shed.yaml"
    file.write_text(job[1], "utf-8")
    printed = run.invoke(app, ["heights", str(file)]).stdout.splitlines()
    assert len(table[1].splitlines()) > 3
    assert set(table[1].splitlines()) <= set(printed)


def test_the_first_command_plans_the_demo(tmp_path: Path) -> None:
    """What the first command runs after its set-up gives the folder."""
    line = re.search(r"\.venv/bin/lapwright (plan .*)", README)
    assert line
    words = shlex.split(line[1])
    words[-1] = str(tmp_path / words[-1])
    result = run.invoke(app, words)
    assert result.exit_code == 0, result.output
    assert (tmp_path / "cottage" / "cut-sheets.pdf").stat().st_size > 10_000


def test_every_command_is_in_the_readme() -> None:
    """No command goes without a word in the README."""
    commands = [c.callback.__name__ for c in app.registered_commands if c.callback]
    assert len(commands) > 5
    for command in commands:
        assert f"lapwright {command}" in README, command


def test_the_exit_codes_are_listed() -> None:
    """Each exit code has its row."""
    assert re.findall(r"^\| (\d+) \|", README, re.MULTILINE) == ["0", "1", "2", "3", "4", "130"]


def test_the_examples_of_the_library_run() -> None:
    """What the README shows of the library is what it gives."""
    blocks = re.findall(r"```pycon\n(.*?)```", README, re.DOTALL)
    assert blocks
    for block in blocks:
        test = doctest.DocTestParser().get_doctest(block, {}, "README", None, None)
        assert test.examples
        assert doctest.DocTestRunner().run(test).failed == 0
