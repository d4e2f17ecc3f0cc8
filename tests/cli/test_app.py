"""The commands as a user meets them: results, words, exit codes and what is left behind."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from lapwright_cli.app import app
from tests.cli.reports.reading_back import size

DEMOS = sorted(Path("demo_jobs").glob("*.yaml"))
FILES = {
    "order.csv",
    "order.txt",
    "order.xlsx",
    "order.pdf",
    "cut-sheets.pdf",
    "elevations.html",
    "elevations.pdf",
    "story-pole.pdf",
    "plan.json",
}
SMALL = """\
job: Shed
siding: {material: vinyl double 4}
walls:
  - name: Front
    width: 14'
    height: 7' 6"
    openings: [{name: D, kind: door, x: 5', sill: 0, width: 36, height: 80}]
  - {name: Side, width: 9', height: 7' 6"}
"""
run = CliRunner()


@pytest.fixture
def shed(tmp_path: Path) -> Path:
    """Give a small job file."""
    job = tmp_path / "shed.yaml"
    job.write_text(SMALL, "utf-8")
    return job


@pytest.mark.parametrize("demo", DEMOS, ids=lambda demo: demo.stem)
def test_each_demo_is_planned_and_stands_up_to_the_audit(demo: Path, tmp_path: Path) -> None:
    """A demo job gives all files; its trim is proven, and its plan stands up to the audit."""
    out = tmp_path / "out"
    short = ["--time-limit", "3", "--shortage", "3"]
    result = run.invoke(app, ["plan", str(demo), "--out", str(out), "--timings", *short])
    assert result.exit_code == 0, result.output
    assert {file.name for file in out.iterdir()} == FILES
    assert "proven" in result.stdout
    assert re.search(r"cutting +\d+\.\d\d s", result.stderr)
    audited = run.invoke(app, ["audit", str(out / "plan.json")])
    assert audited.exit_code == 0, audited.output
    assert "the plan stands" in audited.stdout
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out"]


def test_the_starter_job_can_be_planned(tmp_path: Path) -> None:
    """What `start` writes is a job that plans as it stands, and is not overwritten."""
    job = tmp_path / "new.yaml"
    assert run.invoke(app, ["start", str(job)]).exit_code == 0
    out = tmp_path / "out"
    result = run.invoke(app, ["plan", str(job), "--out", str(out)])
    assert result.exit_code == 0, result.output
    before = job.read_bytes()
    refused = run.invoke(app, ["start", str(job)])
    assert refused.exit_code == 1
    assert "a file that is there already" in refused.stderr
    assert job.read_bytes() == before


def test_check_explains_and_writes_nothing(shed: Path) -> None:
    """The check tells walls, rules and layout, and leaves the folder as it was."""
    result = run.invoke(app, ["check", str(shed)])
    assert result.exit_code == 0, result.output
    for words in ("Front", "14' 0\" by 7' 6\"", "end_gap", "pieces", "all openings off"):
        assert words in result.stdout
    assert [p.name for p in shed.parent.iterdir()] == ["shed.yaml"]


def test_check_lays_the_conventions_beside_the_layout(shed: Path) -> None:
    """The table is aligned, ends with the layout, and goes where the job wants none."""
    heat = "thermal: {coldest: -20 F, hottest: 120 F}\n"
    shed.write_text(SMALL + heat, "utf-8")
    lines = run.invoke(app, ["check", str(shed)]).stdout.splitlines()
    start = next(n for n, line in enumerate(lines) if line.startswith("  convention"))
    table = lines[start : start + 6]
    assert table[1].startswith("  all openings off ")
    assert table[-1].startswith("  the pieces laid out, end to end ")
    right = table[0].index("pieces") + len("pieces")
    assert all(
        row[right - 1].isdigit() and row[right : right + 1] in (" ", "") for row in table[1:]
    )
    assert any(line.startswith("thermal: 2.69e-05 /F, from -20 °F to 120 °F") for line in lines)
    shed.write_text(SMALL + "estimating: none\nsupplies: none\n", "utf-8")
    bare = run.invoke(app, ["check", str(shed)]).stdout
    assert "convention" not in bare
    assert "nail_spacing" not in bare


def test_the_catalogue_names_the_source_of_every_convention() -> None:
    """Conventions, supplies and the coefficient stand in the catalogue with their source."""
    listed = run.invoke(app, ["catalogue"]).stdout
    for words in ("convention: all openings off\n    Jackson", "supplies: nail_spacing: 16 in"):
        assert words in listed
    assert "thermal: coefficient: lapped 8/165000 /C" in listed


BROKEN = [
    (SMALL.replace("14'", "14 furlongs"), 1, "walls[1].width: found '14 furlongs'"),
    (SMALL.replace("x: 5'", "x: 50'"), 1, "wanted an opening inside the wall's outline"),
    (SMALL.replace("walls:", "wals:"), 1, "found the unknown key 'wals', wanted 'walls'"),
    (SMALL.replace("Side", "Front"), 1, "the name 'Front' a second time"),
    (SMALL + "trim: {starter: {stock: [{length: 9, price: -1}]}}\n", 1, "price of zero"),
    (SMALL.replace("job:", "job"), 1, "shed.yaml:"),
    (
        SMALL + "trim: {sill_channel: none, starter: {stock: [{length: 1, supply: 1}]}}\n",
        3,
        "starter strip",
    ),
    (
        SMALL.replace("vinyl double 4", "vinyl double 4, stock: [{length: 150, supply: 2}]"),
        3,
        "vinyl double 4",
    ),
]


@pytest.mark.parametrize(("text", "code", "words"), BROKEN)
def test_bad_input_ends_in_one_list_and_leaves_the_folder(
    tmp_path: Path, text: str, code: int, words: str
) -> None:
    """Exit code 1 or 3, the fault in words, no traceback, no file written or changed."""
    job = tmp_path / "shed.yaml"
    job.write_text(text, "utf-8")
    out = tmp_path / "out"
    out.mkdir()
    (out / "order.csv").write_text("kept", "utf-8")
    result = run.invoke(app, ["plan", str(job), "--out", str(out)])
    assert result.exit_code == code, result.output
    assert words in result.stderr
    assert "Traceback" not in result.output
    assert {p.name: p.read_text("utf-8") for p in out.iterdir()} == {"order.csv": "kept"}
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out", "shed.yaml"]


def test_a_binary_job_is_refused(tmp_path: Path) -> None:
    """A picture given for a job ends in one line."""
    job = tmp_path / "shed.yaml"
    job.write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(range(256)))
    result = run.invoke(app, ["plan", str(job), "--out", str(tmp_path / "out")])
    assert result.exit_code == 1
    assert "bytes that are no text" in result.stderr
    assert not (tmp_path / "out").exists()


def test_a_piece_longer_than_any_trim_is_spliced_not_refused(shed: Path) -> None:
    """Trim that does not reach is spliced; a post of 7 ft from 4-ft lengths is two pieces."""
    text = SMALL + "trim: {outside_corner: {stock: [{length: 4'}]}}\n"
    shed.write_text(text, "utf-8")
    out = shed.parent / "out"
    result = run.invoke(app, ["plan", str(shed), "--out", str(out)])
    assert result.exit_code == 0, result.output
    record = json.loads((out / "plan.json").read_text("utf-8"))
    posts = [p for p in record["trim"] if p["role"] == "outside_corner"]
    assert len(posts) == 6  # three posts of two pieces


def test_an_altered_plan_does_not_stand(shed: Path) -> None:
    """A plan whose piece was made longer by hand is refused by the audit, by label."""
    out = shed.parent / "out"
    assert run.invoke(app, ["plan", str(shed), "--out", str(out)]).exit_code == 0
    plan = out / "plan.json"
    record = json.loads(plan.read_text("utf-8"))
    record["pieces"][0]["length"] += 508
    plan.write_text(json.dumps(record), "utf-8")
    result = run.invoke(app, ["audit", str(plan)])
    assert result.exit_code == 1
    assert record["pieces"][0]["label"] in result.stderr


def test_an_audit_of_what_is_no_plan(shed: Path) -> None:
    """A job file given for a plan is refused with its place."""
    result = run.invoke(app, ["audit", str(shed)])
    assert result.exit_code == 1
    assert "a plan.json as lapwright wrote it" in result.stderr


@pytest.mark.parametrize("of", ["job", "plan"])
def test_the_schemas_are_printed(of: str) -> None:
    """Both schemas are JSON that names its dialect."""
    result = run.invoke(app, ["schema", of])
    assert result.exit_code == 0, result.output
    assert "2020-12" in json.loads(result.stdout)["$schema"]


def test_the_catalogue_names_its_sources() -> None:
    """Every built-in value is listed with where it comes from."""
    result = run.invoke(app, ["catalogue"])
    assert result.exit_code == 0, result.output
    assert "Vinyl Siding Institute" in result.stdout
    assert "from memory" in result.stdout


def test_wrong_use_is_exit_code_two(shed: Path) -> None:
    """A missing option and an unknown command are wrong use."""
    assert run.invoke(app, ["plan", str(shed)]).exit_code == 2
    assert run.invoke(app, ["plam"]).exit_code == 2
    assert run.invoke(app, ["schema", "wall"]).exit_code == 2


def test_the_version_is_shown() -> None:
    """The version is one line on stdout."""
    result = run.invoke(app, ["--version"])
    assert result.exit_code == 0, result.output
    assert re.fullmatch(r"lapwright \d+\.\d+\.\d+\n", result.stdout)


def test_help_imports_nothing_heavy() -> None:
    """Help answers at once because solver, page and form libraries stay unloaded."""
    script = (
        "import sys; sys.argv = ['lapwright', '--help']\n"
        "import contextlib, io\n"
        "from lapwright_cli.app import main\n"
        "with contextlib.suppress(SystemExit), contextlib.redirect_stdout(io.StringIO()):\n"
        "    main()\n"
        "heavy = {'numpy', 'highspy', 'pydantic', 'typst', 'jinja2', 'ruamel'}\n"
        "print(sorted(heavy & set(sys.modules)))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], check=True, capture_output=True, text=True, timeout=60
    )
    assert done.stdout.strip() == "[]"


def test_an_interrupt_before_any_plan_writes_nothing(
    shed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Stopped while reading: one line, exit code 130, no folder."""

    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("lapwright.job.reading.read_text", stop)
    out = shed.parent / "out"
    result = run.invoke(app, ["plan", str(shed), "--out", str(out)])
    assert result.exit_code == 130
    assert "nothing was written" in result.stderr
    assert not out.exists()


def test_a_file_in_place_of_the_folder_is_refused(shed: Path) -> None:
    """A folder that cannot be made is a fault of the input; the file there is kept."""
    out = shed.parent / "out"
    out.write_text("mine", "utf-8")
    result = run.invoke(app, ["plan", str(shed), "--out", str(out)])
    assert result.exit_code == 1
    assert "a folder to write to" in result.stderr
    assert out.read_text("utf-8") == "mine"


def test_stickers_drawings_and_paper_are_asked_for(shed: Path) -> None:
    """Three more files, all pages on the paper that is asked for, codes with the address."""
    out = shed.parent / "out"
    asked = ["plan", str(shed), "--out", str(out), "--quiet", "--shortage", "0"]
    asked += ["--stickers", "70 x 37", "--dxf", "--paper", "a4"]
    result = run.invoke(app, [*asked, "--link", "https://site.example/e.html"])
    assert result.exit_code == 0, result.output
    more = {"stickers.pdf", "elevations.dxf", "cut-sheets.dxf"}
    assert {file.name for file in out.iterdir()} == FILES | more
    for name in ("order.pdf", "cut-sheets.pdf", "elevations.pdf", "story-pole.pdf"):
        assert size((out / name).read_bytes()) == (595, 842)
    assert size((out / "stickers.pdf").read_bytes()) == (595, 842)
    assert "If a stock length" not in result.stdout


@pytest.mark.parametrize(
    ("layout", "words"),
    [
        ("4 x", "more than one sheet begins so"),
        ("9 x 9", "no such sheet"),
        ("", "no such sheet"),
        ("job", "no group 'stickers'"),
    ],
)
def test_a_sheet_of_stickers_that_is_not_there_is_wrong_use(
    shed: Path, layout: str, words: str
) -> None:
    """The slip is told before anything is planned, with the sheets that there are."""
    out = shed.parent / "out"
    result = run.invoke(app, ["plan", str(shed), "--out", str(out), "--stickers", layout])
    assert result.exit_code == 2
    assert words in " ".join(result.stderr.replace("│", " ").split())
    assert not out.exists()


def test_the_job_s_own_sheet_of_stickers(shed: Path) -> None:
    """`--stickers job` takes the group of the job, which stands in plan.json as well."""
    group = "stickers: {columns: 2, rows: 5, width: 4, height: 2}\n"
    shed.write_text(SMALL + group, "utf-8")
    out = shed.parent / "out"
    asked = ["plan", str(shed), "--out", str(out), "--stickers", "job", "--quiet"]
    result = run.invoke(app, asked)
    assert result.exit_code == 0, result.output
    assert size((out / "stickers.pdf").read_bytes()) == (612, 792)
    assert json.loads((out / "plan.json").read_text("utf-8"))["job"]["stickers"]["rows"] == 5
    assert run.invoke(app, ["audit", str(out / "plan.json")]).exit_code == 0


def test_without_the_extra_the_option_says_what_to_install(
    shed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The library of the extra is missing: one line, code 2, no folder."""
    monkeypatch.setattr("lapwright_cli.reports.extra.find_spec", lambda _: None)
    out = shed.parent / "out"
    result = run.invoke(app, ["plan", str(shed), "--out", str(out), "--dxf"])
    assert result.exit_code == 2
    assert "lapwright[dxf]" in result.stderr
    assert not out.exists()


def test_seams_may_come_before_stock(shed: Path) -> None:
    """The order then says that there can be no fewer seams."""
    out = str(shed.parent / "out")
    shed.write_text(SMALL.replace("14'", "20'"), "utf-8")
    words = ["plan", str(shed), "--out", out, "--shortage", "0", "--prefer", "seams"]
    result = run.invoke(app, words)
    assert result.exit_code == 0, result.output
    assert "there can be no fewer seams" in result.stdout
    refused = run.invoke(app, [*words[:-1], "wood"])
    assert refused.exit_code == 2


def test_the_front_is_told_and_drawn(shed: Path) -> None:
    """The text is shown and written beside the drawing; without a folder it is only shown."""
    words = ["front", str(shed), "--quiet", "--time-limit", "2"]
    shown = run.invoke(app, words)
    assert shown.exit_code == 0, shown.output
    assert "What fewer seams cost: Shed" in shown.stdout
    out = shed.parent / "out"
    assert run.invoke(app, [*words, "--out", str(out)]).exit_code == 0
    assert {file.name for file in out.iterdir()} == {"front.txt", "front.svg"}
    assert "Shed" in (out / "front.txt").read_text("utf-8")


def test_a_hard_rule_writes_no_plan(shed: Path) -> None:
    """Exit code, rule, wall, course and seam, and what helps; nothing is written."""
    text = SMALL.replace("vinyl double 4", "vinyl double 4, stock: [{length: 12' 6\"}]")
    shed.write_text(text.replace("14'", "23'"), "utf-8")
    out = shed.parent / "out"
    words = ["plan", str(shed), "--out", str(out), "--time-limit", "6", "--quiet", "--strict"]
    result = run.invoke(app, words)
    assert result.exit_code == 3, result.output
    first, *_, last = result.stderr.splitlines()
    start = "no plan was found that keeps the hard rules: "
    assert re.match(start + r"wall A, course \d+, seam between A\d+\.\d and A\d+\.\d", first)
    assert last.startswith(start + "one was found with ")
    assert not out.exists()
    shed.write_text(text.replace("14'", "20'"), "utf-8")
    assert run.invoke(app, [*words, "--shortage", "0"]).exit_code == 0
