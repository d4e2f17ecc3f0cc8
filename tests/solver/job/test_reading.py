"""Reading job files: what is understood, and the one list of what is wrong."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings

from lapwright.errors import InputError
from lapwright.job.form import schema
from lapwright.job.job import Job
from lapwright.job.reading import parse_job, read_job
from lapwright.job.wall import Point, Wall, mark_at
from lapwright.measure import FOOT, INCH, Unit
from lapwright.record import job_record
from tests.strategies import walls

DEMOS = sorted(Path("demo_jobs").glob("*.yaml"))

HEAD = """\
job: Test
siding:
  material: vinyl double 4
"""
WALLS = """\
walls:
  - name: South
    width: 24'
    height: 8'
"""


def feet(x: int, y: int) -> Point:
    """Make a point from feet."""
    return Point(x * FOOT, y * FOOT)  # type: ignore[arg-type]


def test_a_short_job_takes_the_rest_from_the_catalogue() -> None:
    """Three keys suffice: rules, trim and stock come from the catalogue."""
    job = parse_job(HEAD + WALLS, "x.yaml")
    assert job.siding.exposure == 8 * INCH
    assert [s.length for s in job.siding.stock] == [150 * INCH]
    assert job.rules.end_gap == INCH // 4
    assert job.walls[0].mark == "A"
    assert {trim.role.value for trim in job.trim} >= {"starter", "j_channel"}


def test_below_forty_fahrenheit_the_gap_grows() -> None:
    """Vinyl Siding Institute, Installation Manual: 3/8 in below 40 F, 1/4 in else."""
    gaps = {
        degrees: parse_job(f"hanging_temperature: {degrees}\n{HEAD}{WALLS}", "x").rules.end_gap
        for degrees in ("39 F", "40 F", "4 C", "5 C")
    }
    cold, warm = 3 * INCH // 8, INCH // 4
    assert gaps == {"39 F": cold, "40 F": warm, "4 C": cold, "5 C": warm}


def test_a_gable_by_pitch_has_its_peak_over_the_middle() -> None:
    """24 ft wide at 6 in 12 rises 6 ft over the middle, however the pitch is written."""
    for gable in ("{pitch: 6/12}", "6/12", "6 in 12", "6:12", "3/6", "{rise: 6'}"):
        job = parse_job(HEAD + WALLS + f"    gable: {gable}\n", "x.yaml")
        assert feet(12, 14) in job.walls[0].outline


def test_an_outline_may_be_given_in_any_order_and_place() -> None:
    """A clockwise outline away from the origin is turned and moved, and that is said."""
    text = HEAD + "walls: [{name: a, outline: [[5, 5], [5, 15], [25, 15], [25, 5]]}]\n"
    job = parse_job("unit: ft\n" + text, "x.yaml")
    assert job.walls[0].outline == (feet(0, 0), feet(20, 0), feet(20, 10), feet(0, 10))
    assert "moved to the lower left" in job.remarks[0]


def test_a_wall_is_seen_from_a_place_along_it() -> None:
    """It may lie beyond the wall's ends, moves with an outline, and need not be given."""
    text = HEAD + WALLS
    seen = [
        parse_job(text + rest, "x.yaml").walls[0].seen_from
        for rest in ("", "    seen_from: 12' 6\"\n", "    seen_from: -3'\n")
    ]
    assert seen == [None, 150 * INCH, -36 * INCH]
    outline = "outline: [[5, 5], [5, 15], [25, 15], [25, 5]], seen_from: 30"
    moved = parse_job(f"unit: ft\n{HEAD}walls: [{{name: a, {outline}}}]\n", "x.yaml")
    assert moved.walls[0].seen_from == 25 * FOOT


def test_marks_go_on_after_z() -> None:
    """The twenty-seventh wall is AA."""
    assert [mark_at(i) for i in (0, 25, 26, 27, 701, 702)] == [
        "A", "Z", "AA", "AB", "ZZ", "AAA",
    ]  # fmt: skip


def test_none_leaves_a_role_out() -> None:
    """A role set to none is not supplied; others keep what they do not change."""
    text = HEAD + "trim: {starter: none, j_channel: {face: 1}}\n" + WALLS
    roles = {trim.role.value: trim for trim in parse_job(text, "x.yaml").trim}
    assert "starter" not in roles
    assert roles["j_channel"].face == INCH
    assert roles["j_channel"].stock[0].length == 150 * INCH


BROKEN: list[tuple[str, str, str]] = [
    ("unit: inn\n" + HEAD + WALLS, "1:7: unit", "found 'inn', wanted 'in', 'ft'"),
    (HEAD + WALLS.replace("width", "widht"), "6:5: walls[1].widht", "wanted 'width'"),
    (HEAD + WALLS.replace("24'", "7' 13\""), "walls[1].width", "less than 12 inches"),
    (HEAD + WALLS.replace("24'", "-3"), "walls[1].width", "a length that is not negative"),
    (HEAD + WALLS.replace("24'", "0"), "walls[1].width", "a length above zero"),
    (HEAD + WALLS.replace("24'", "[1]"), "walls[1].width", "found a list"),
    (HEAD + WALLS.replace("24'", "24000'"), "walls[1].width", "at most 1000 ft, in the right"),
    (HEAD + WALLS + "    lower_edges: earth\n", "walls[1].lower_edges", "'roof' or 'ground'"),
    (
        HEAD + "  exposures: [0, 5]\n" + WALLS,
        "siding.exposures[1]: found '0'",
        "a length above zero",
    ),
    (HEAD + WALLS.replace("24'", "1/3"), "walls[1].width", "whole number of 1/64 in"),
    (HEAD + "walls: []\n", "4:8: walls", "at least one entry"),
    (HEAD + "walls:\n  -\n", "walls[1]", "found nothing, wanted a group of keys"),
    (HEAD, "walls", "found nothing, wanted the key 'walls'"),
    (
        HEAD + WALLS + "    openings: [{name: w, x: 30', sill: 1, width: 9, height: 9}]\n",
        "walls[1].openings[1].x",
        "wanted an opening inside the wall's outline",
    ),
    (
        HEAD
        + WALLS
        + "    openings: [{name: w, x: 1, sill: 1, width: 9, height: 9},"
        + " {name: w, x: 50, sill: 1, width: 9, height: 9}]\n",
        "walls[1].openings[2].name",
        "found the name 'w' a second time (first in entry 1), wanted each once",
    ),
    (HEAD + WALLS + WALLS.split("\n", 1)[1], "walls[2].name", "'South' a second time"),
    (
        HEAD.replace("double 4", "dubble 4") + WALLS,
        "3:13: siding.material",
        "wanted one of vinyl double 4",
    ),
    (
        HEAD + "  stock: [{length: 150, price: -2}]\n" + WALLS,
        "siding.stock[1].price",
        "a price of zero or more",
    ),
    (
        HEAD + "  stock: [{length: 150, price: 2}, {length: 200}]\n" + WALLS,
        "siding.stock[2]",
        "a price for each stock length",
    ),
    (
        HEAD + "  stock: [{length: 150}, {length: 12' 6\"}]\n" + WALLS,
        "siding.stock[2].length",
        "each stock length once",
    ),
    (
        HEAD + WALLS + "    gable: 6'\n",
        'walls[1].gable: found "6\'"',
        "{pitch: 6/12} or {rise:",
    ),
    (HEAD + WALLS + "    gable: 6\n", "walls[1].gable: found '6'", "a pitch such as 6/12"),
    (HEAD + WALLS + "    gable: 6/0\n", "walls[1].gable: found '6/0'", "rise over run"),
    (HEAD + WALLS + "    gable: 0/12\n", "walls[1].gable", "a pitch above zero"),
    (HEAD + WALLS + "    gable: {}\n", "walls[1].gable", "neither of pitch and rise"),
    (HEAD + WALLS + "    gable: {pitch: 6/0}\n", "walls[1].gable.pitch", "rise over run"),
    (HEAD + WALLS + "    left: corner\n", "walls[1].left", "'outside corner'"),
    (HEAD + WALLS + "    seen_from: door\n", "walls[1].seen_from", "wanted a length such as"),
    (HEAD + WALLS + "    start: 9'\n", "walls[1].start", "a start below the wall's top"),
    (HEAD + "hanging_temperature: 60\n" + WALLS, "hanging_temperature", "such as 60 F"),
    (HEAD + "spare: 120 %\n" + WALLS, "spare", "between 0 and 100"),
    (HEAD + "trim: {j_chanel: none}\n" + WALLS, "trim.j_chanel", "wanted 'j_channel'"),
    (HEAD + "trim: {j_channel: no}\n" + WALLS, "trim.j_channel", "none, or a group of keys"),
    (
        HEAD + "walls: [{name: a, outline: [[0,0],[9,9],[9,0],[0,10]]}]\n",
        "walls[1].outline",
        "no side crossing",
    ),
    (
        HEAD + "walls: [{name: a, outline: [[0,0],[9,9],[18,18]]}]\n",
        "walls[1].outline",
        "a wall with some area",
    ),
    (HEAD + WALLS + "\tbad: 1\n", "x.yaml:8", "indented by spaces"),
    (HEAD + "job: again\n" + WALLS, "x.yaml:4", "the key 'job' a second time"),
    ("", "x.yaml", "an empty file"),
    ("- 1\n- 2\n", "x.yaml", "no group of keys"),
]


@pytest.mark.parametrize(("text", "place", "words"), BROKEN)
def test_a_broken_job_says_where_and_what(text: str, place: str, words: str) -> None:
    """Each fault is named with its place, what was found and what was wanted."""
    with pytest.raises(InputError) as caught:
        parse_job(text, "x.yaml")
    lines = [str(finding) for finding in caught.value.findings]
    assert any(place in line and words in line for line in lines), lines


def test_all_faults_of_a_file_are_listed_at_once() -> None:
    """Faults of form and of meaning, in several walls, come in one list in file order."""
    text = (
        "unit: inn\n"
        + HEAD
        + "walls:\n"
        + "  - {name: a, widht: 3, height: 4}\n"
        + "  - {name: b, width: 9', height: 8', openings:\n"
        + "     [{name: w, x: 40', sill: 1, width: 9, height: 9}]}\n"
    )
    with pytest.raises(InputError) as caught:
        parse_job(text, "x.yaml")
    keys = [finding.place.key for finding in caught.value.findings]
    assert keys == ["unit", "walls[1].widht", "walls[2].openings[1].x"]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"\x89PNG\r\n\x1a\n\x00\x00", "bytes that are no text"),
        (b"job: a\x00b\n", "control character"),
        (b"job: \xff\xfe\n", "bytes that are no text"),
    ],
)
def test_a_binary_file_is_refused(tmp_path: Path, content: bytes, words: str) -> None:
    """What is no text in UTF-8 is refused by its first bad line."""
    file = tmp_path / "job.yaml"
    file.write_bytes(content)
    with pytest.raises(InputError, match=words):
        read_job(file)


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    """A name that is no file is one finding, not a crash."""
    with pytest.raises(InputError, match="no such file"):
        read_job(tmp_path / "none.yaml")
    with pytest.raises(InputError, match="a folder"):
        read_job(tmp_path)


def again(job: Job) -> Job:
    """Write a job's record as JSON and read it back."""
    return parse_job(json.dumps(job_record(job)), "plan.json")


@pytest.mark.parametrize("demo", DEMOS, ids=lambda demo: demo.stem)
def test_a_recorded_demo_reads_back_the_same(demo: Path) -> None:
    """What plan.json keeps of a job gives the same job."""
    job = read_job(demo)
    assert again(job) == job


@settings(max_examples=50, deadline=None)
@given(walls())
def test_a_recorded_wall_reads_back_the_same(wall: Wall) -> None:
    """Any wall with any openings survives being recorded, to the tick."""
    base = parse_job(HEAD + WALLS, "x.yaml")
    touching = tuple(o for o in wall.openings if o.sill < wall.height and o.x < wall.width)
    job = Job(
        **{name: getattr(base, name) for name in base.__slots__}
        | {"walls": (Wall(**_fields(wall) | {"openings": touching}),)}
    )
    try:
        assert again(job) == job
    except InputError as error:  # an opening wholly beside a rake is refused
        assert "wholly outside" in str(error)  # noqa: PT017


def _fields(wall: Wall) -> dict[str, Any]:
    return {name: getattr(wall, name) for name in wall.__slots__}


@pytest.mark.parametrize("demo", DEMOS, ids=lambda demo: demo.stem)
def test_the_schema_takes_the_demos(demo: Path) -> None:
    """The JSON Schema that the tool prints takes every demo job."""
    from ruamel.yaml import YAML

    data = YAML(typ="safe", pure=True).load(demo.read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema())
    jsonschema.validate(json.loads(json.dumps(data)), schema())


def test_the_schema_refuses_an_unknown_key() -> None:
    """The schema is as strict as the reading."""
    data = {"job": "x", "siding": {"material": "a"}, "walls": [{"name": "a"}], "wals": []}
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(data, schema())


def test_units_of_bare_numbers() -> None:
    """A bare number takes the job's unit; a written one its own."""
    text = "unit: mm\n" + HEAD + "walls: [{name: a, width: 3810, height: 8'}]\n"
    job = parse_job(text, "x.yaml")
    assert job.unit is Unit.MILLIMETRE
    assert (job.walls[0].width, job.walls[0].height) == (150 * INCH, 96 * INCH)


def test_spare_is_exact() -> None:
    """A share of 7.5 % is kept as 3/40."""
    assert parse_job(HEAD + "spare: 7.5 %\n" + WALLS, "x").spare == Fraction(3, 40)
