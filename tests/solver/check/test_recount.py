"""The recount as a whole: what stands, what is refused, and how fast."""

from __future__ import annotations

from copy import deepcopy
from typing import TYPE_CHECKING, Any, cast

import jsonschema
import pytest

from lapwright.check import plan_schema, recount, require
from lapwright.errors import AuditError
from lapwright.measure import MILLIMETRE
from tests.solver.check.handmade import Record, gable_wall, plank_wall, window_wall

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

MAKERS = pytest.mark.parametrize("make", [window_wall, gable_wall, plank_wall])


@MAKERS
def test_a_right_plan_stands(make: Callable[[], Record]) -> None:
    """A plan that keeps every rule has no fault, and passes."""
    assert recount(make()) == ()
    require(make())


@MAKERS
def test_a_right_plan_fits_the_schema(make: Callable[[], Record]) -> None:
    """The schema is a schema, and a right plan is valid by it."""
    jsonschema.Draft202012Validator.check_schema(plan_schema())
    jsonschema.validate(make(), plan_schema(), jsonschema.Draft202012Validator)


def test_all_faults_are_raised() -> None:
    """A plan that does not stand is refused with everything that the recount found."""
    record = gable_wall()
    record["pieces"][0]["y"] = 1
    record["materials"][0]["cost"] = 1
    with pytest.raises(AuditError) as raised:
        require(record)
    assert raised.value.faults == recount(record)
    assert len(raised.value.faults) == 3


JUNK: tuple[Any, ...] = (None, True, -1, 1.5, "x", [], [None], {}, {"a": 1})


@pytest.mark.parametrize(
    ("shift", "every"),
    [(0, 7), *(pytest.param(shift, 1, marks=pytest.mark.slow) for shift in (0, 3, 6))],
)
def test_no_junk_gives_a_traceback(shift: int, every: int) -> None:
    """Whatever stands at a place of the record, the answer is a tuple of sentences."""
    for number, path in list(enumerate(_places(gable_wall())))[::every]:
        record = gable_wall()
        junk = JUNK[(number + shift) % len(JUNK)]
        *way, last = path
        place: Any = record
        for step in way:
            place = place[step]
        if place[last] == junk and type(place[last]) is type(junk):
            continue
        place[last] = junk
        faults = recount(record)
        # Words that are for people alone may be any text.
        free = last in ("made_by", "place") and isinstance(junk, str)
        assert faults or free, path
        assert all(": found " in fault for fault in faults), path


def test_an_empty_job_is_a_fault() -> None:
    """A record whose job says nothing does not stand."""
    record = gable_wall()
    record["job"] = {}
    assert recount(record)[0] == "job, job: found nothing, wanted the key 'job'"


def test_what_is_no_record_is_a_fault() -> None:
    """A plan that is not even a group of keys is a fault, as is a job of no JSON."""
    assert recount(cast("Record", [])) == ("the plan: found a list, wanted a group of keys",)
    record = gable_wall()
    record["job"]["spare"] = {1}
    assert recount(record)[0].startswith("job: found data that is no JSON")


def test_every_key_of_the_schema_is_described() -> None:
    """Every key has a description, and every whole number and length also its unit."""

    def walk(schema: dict[str, Any], path: str) -> Iterator[str]:
        for key, value in schema.get("properties", {}).items():
            told = "$ref" in value or value.get("description")
            kind = value.get("type")
            if not told or (kind == "integer" and not value["description"].endswith("]")):
                yield f"{path}.{key}"
            yield from walk(value, f"{path}.{key}")
        for key, value in schema.get("$defs", {}).items():
            yield from walk(value, key)
        if isinstance(schema.get("items"), dict):
            yield from walk(schema["items"], f"{path}[]")

    assert list(walk(plan_schema(), "plan")) == []


def test_a_house_of_planks_stands() -> None:
    """A house of 350 pieces is recounted whole, and one spoilt piece of it is found."""
    record = _high(175)
    assert len(record["pieces"]) == 350
    assert recount(record) == ()
    record["pieces"][200]["length"] += MILLIMETRE
    assert any(record["pieces"][200]["label"] in told for told in recount(record))


def _places(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Give the path of every value of a record but the job's own."""
    if path:
        yield path
    if path == ("job",):
        return
    if isinstance(value, (dict, list)):
        for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
            yield from _places(inner, (*path, key))


def _high(courses: int) -> Record:
    """Give the plank wall with more courses, its seams on the same two studs in turn."""
    record = plank_wall()
    height = courses * 150 * MILLIMETRE
    record["job"]["walls"][0]["outline"] = [
        ["0", "0"],
        ["5000", "0"],
        ["5000", f"{courses * 150}"],
        ["0", f"{courses * 150}"],
    ]
    pieces, seams, bars = record["pieces"], record["seams"], record["materials"][0]["bars"]
    record["pieces"], record["seams"] = [], []
    record["materials"][0]["bars"] = []
    for course in range(1, courses + 1):
        first, last = (course - 1) % 2 * 2, course == courses
        labels = [f"A{course}.1", f"A{course}.2"]
        for number, label in enumerate(labels):
            record["pieces"].append(
                pieces[first + number]
                | {
                    "label": label,
                    "course": course,
                    "y": (course - 1) * 150 * MILLIMETRE,
                    "height": (147 if last else 150) * MILLIMETRE,
                    "ripped": last,
                }
            )
            bar = deepcopy(bars[first + number])
            bar["number"] = len(record["pieces"])
            bar["cuts"][0]["label"] = label
            record["materials"][0]["bars"].append(bar)
        seam = seams[first // 2] | {"course": course, "left": labels[0], "right": labels[1]}
        record["seams"].append(seam)
    area = 5000 * MILLIMETRE * height
    record["walls"][0] |= {
        "gross_area": area,
        "net_area": area,
        "courses": [number * 150 * MILLIMETRE for number in range(courses)],
        "top_lines": [number * 150 * MILLIMETRE for number in range(1, courses + 1)],
    }
    material = record["materials"][0]
    material["order"][0]["count"] = 2 * courses
    material["cost"] = material["bound"] = 2 * courses * 3000 * MILLIMETRE
    return record
