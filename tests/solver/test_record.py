"""The record of a job and of a plan: nothing is lost, and the schema knows every key."""

from __future__ import annotations

import json

import jsonschema
import pytest

from lapwright.check import plan_schema, recount
from lapwright.cutting import Status
from lapwright.job.reading import parse_job
from lapwright.measure import INCH, Ticks
from lapwright.plan import (
    Bar,
    BarCut,
    EndCut,
    MaterialPlan,
    NotchEdge,
    OrderLine,
    PieceEnd,
    PieceNotch,
    Plan,
    Seam,
    SidingPiece,
    SupplyLine,
    TrimPiece,
    WallFigures,
)
from lapwright.record import FORMAT, job_record, plan_bytes, plan_record
from tests.solver.check.handmade import window_wall

JOBS = {
    "inches": """
job: Cabin
siding: {material: vinyl double 4, stock: [{length: 12' 6", price: 11.4, carton: 24}]}
spare: 7.5 %
hanging_temperature: 30 F
thermal: {coefficient: 3.5e-5 /F, coldest: -10 F, hottest: 120.5 F}
supplies: {nails_a_pound: 180}
walls:
  - name: South
    width: 24'
    height: 8' 1-3/64"
    gable: {pitch: 6/12}
    seen_from: 12' 6"
    openings:
      - {name: W1, x: 4', sill: 32, width: 36, height: 48}
      - {name: V1, kind: vent, shape: round, x: 100, sill: 120, width: 20, height: 20}
      - {name: D1, kind: door, x: -2, sill: -1, width: 36, height: 80}
""",
    "millimetres": """
job: Huis
unit: mm
currency: €
hanging_temperature: 12.5 C
siding:
  material: own plank
  family: butted
  exposure: 180.1
  stock: [{length: 3660, supply: 12}, {length: 3050}]
trim: {inside_corner: none, starter: {name: lath, stock: [{length: 2400}], splice_gap: 1}}
rules: {joint_gap: 3/16 in, in_line_courses: 4, extra_seams: 1}
supplies: none
estimating: {waste: 12.5 %, large_opening: 2.5 m2}
walls:
  - name: Voor
    part: huis
    outline: [[0, 0], [5000, 0], [5000, 2500], [2500, 3700.3], [0, 2500]]
    left: j-channel
    right: trim board
    start: 12
    seen_from: -1500
  - {name: Schuur, part: schuur, width: 3000, height: 2400, mark: S1}
""",
}


@pytest.mark.parametrize("text", JOBS.values(), ids=JOBS)
def test_a_recorded_job_reads_back_as_it_was(text: str) -> None:
    """Reading the record of a job gives the same job; remarks on its file are not in it."""
    job = parse_job(text, "job.yaml")
    assert job.remarks == ()
    assert parse_job(json.dumps(job_record(job)), "plan.json") == job


@pytest.mark.parametrize("text", JOBS.values(), ids=JOBS)
def test_a_recorded_job_leaves_nothing_to_the_catalogue(text: str) -> None:
    """With a name that the catalogue does not know, the rest of the job stays the same."""
    job = parse_job(text, "job.yaml")
    record = job_record(job)
    record["siding"]["material"] = "not in any catalogue"
    again = parse_job(json.dumps(record), "plan.json")
    assert (again.rules, again.trim, again.walls) == (job.rules, job.trim, job.walls)
    assert again.siding.stock == job.siding.stock
    assert again.siding.exposure == job.siding.exposure


def plan() -> Plan:
    """Give a plan that fills every key once; as a plan it would not stand."""
    inch = Ticks(INCH)
    raked = PieceEnd(EndCut.RAKED, "rake", ((Ticks(0), Ticks(0)), (inch, inch)))
    notch = PieceNotch("W1", NotchEdge.HOLE, inch, inch, inch, inch, inch)
    place = ("A1", "A", 1, 1, "panel", Ticks(0), Ticks(0), inch, inch)
    return Plan(
        job=parse_job(JOBS["inches"], "job.yaml"),
        walls=(WallFigures("A", 10, 4, (Ticks(0), inch), (inch, Ticks(2 * inch))),),
        siding=(SidingPiece(*place, False, raked, raked, (notch,)),),
        trim=(TrimPiece("A-J1", "j_channel", "J", "A", "the rake", inch),),
        seams=(Seam("A", 1, 1, inch, "A1", "A2"),),
        materials=(
            MaterialPlan(
                "siding",
                "panel",
                "proven",
                5,
                7,
                True,
                (OrderLine(inch, 1, 0, None, 3), OrderLine(Ticks(2 * INCH), 1, 0, 4, None)),
                (Bar(1, inch, (BarCut("A1", Ticks(0), inch),), Ticks(0)),),
            ),
        ),
        findings=("a finding",),
        supplies=(SupplyLine("siding nails", 7, "nails", "by hand"),),
    )


def test_a_record_fits_the_schema() -> None:
    """Every key of a record is in the schema, and every key of the schema in a record."""
    record = json.loads(plan_bytes(plan()))
    jsonschema.validate(record, plan_schema(), jsonschema.Draft202012Validator)
    assert list(record) == list(plan_schema()["properties"])


@pytest.mark.parametrize("unit", JOBS)
def test_a_recorded_job_fits_the_schema(unit: str) -> None:
    """The schema knows what stands in the record of a job, in any unit."""
    schema = plan_schema()
    part = {"$ref": "#/$defs/job", "$defs": schema["$defs"]}
    record = job_record(parse_job(JOBS[unit], "job.yaml"))
    jsonschema.validate(record, part, jsonschema.Draft202012Validator)


@pytest.mark.parametrize("status", [status.value for status in Status])
def test_a_plan_ends_as_its_cutting_does(status: str) -> None:
    """However a search ends, the schema and the recount know its word."""
    schema = plan_schema()["$defs"]["material"]["properties"]["status"]
    jsonschema.validate(status, schema, jsonschema.Draft202012Validator)
    record = window_wall()
    for material in record["materials"]:
        material["status"] = status
    assert recount(record) == ()


def test_what_the_record_says() -> None:
    """Derived figures are written out: net area, lengths as text, the number of the form."""
    record = plan_record(plan())
    assert record["format"] == FORMAT == 1
    assert record["walls"][0]["net_area"] == 6
    assert record["pieces"][0]["length_text"] == '1"'
    assert record["pieces"][0]["left"]["profile"] == [[0, 0], [8128, 8128]]
    assert record["materials"][0]["order"][1]["stock_text"] == '2"'


def test_the_same_plan_gives_the_same_bytes() -> None:
    """The record of a plan is written the same each time, and ends with a line end."""
    first, second = plan_bytes(plan()), plan_bytes(plan())
    assert first == second
    assert first.endswith(b"}\n")
    assert json.loads(first) == plan_record(plan())
