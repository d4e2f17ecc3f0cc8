"""The recount of what is counted by rule: it stands, and every change is found."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from lapwright.check import recount
from lapwright.job.reading import parse_job
from lapwright.planning import make_plan
from lapwright.record import plan_record

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.solver.check.handmade import Record

TEXT = """
job: x
siding: {material: MATERIAL}
supplies: {nails_a_pound: 150, tape_length: 1}
walls:
  - name: a
    width: 20'
    height: 4'
    openings: [{name: w, x: 5', sill: 1', width: 3', height: 2'}]
  - {name: b, width: 14', height: 5', right: inside corner}
  - {name: c, width: 10', height: 4'}
"""


def record(material: str = "fiber-cement 8-1/4", old: str = "", new: str = "") -> Record:
    """Plan the house and give its record."""
    text = TEXT.replace("MATERIAL", material).replace(old, new) if old else TEXT
    return plan_record(make_plan(parse_job(text.replace("MATERIAL", material), "x.yaml")))


@pytest.mark.parametrize(
    ("material", "old", "new"),
    [
        ("fiber-cement 8-1/4", "", ""),
        ("vinyl double 4", "", ""),
        ("vinyl double 4", "{nails_a_pound: 150, tape_length: 1}", "none"),
        ("vinyl double 4", "name: c", "name: c, part: shed"),
        ("vinyl double 4", "tape_length: 1", "furring_spacing: 24"),
        ("vinyl double 4", "tape_length: 1", "furring_spacing: 7/16, furring_length: 10'"),
        # Tape by the shape of the opening; its box would take 10 ft, or with the sill.
        ("vinyl double 4", "{name: w,", "{name: w, shape: round,"),
        ("vinyl double 4", "{name: w,", "{name: w, shape: octagon, kind: door,"),
    ],
)
def test_what_is_planned_stands(material: str, old: str, new: str) -> None:
    """Planner and recount agree, for planks and vinyl, one building or two, or no counts."""
    made = record(material, old, new)
    assert recount(made) == ()
    assert bool(made["supplies"]) == (new != "none")


@pytest.mark.parametrize("line", range(7))
def test_a_wrong_quantity_is_found(line: int) -> None:
    """Each line of the counts is recounted."""
    made = record(old="tape_length: 1", new="tape_length: 1, furring_spacing: 16")
    made["supplies"][line]["quantity"] += 1
    name = made["supplies"][line]["name"]
    (fault,) = recount(made)
    assert fault.startswith(f"supplies, {name}: found ")


def _drop(made: Record) -> None:
    del made["supplies"][2]


def _pad(made: Record) -> None:
    made["supplies"].append({"name": "glue", "quantity": 1, "unit": "lb", "how": "guessed"})


def _unit(made: Record) -> None:
    made["supplies"][0]["unit"] = "nails"


def _gone(made: Record) -> None:
    del made["supplies"]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (_drop, "supplies: found siding nails, trim nails, flashing tape"),
        (_pad, "joint flashing, glue, wanted siding nails"),
        (_unit, "supplies, siding nails: found"),
        (_gone, "supplies: found nothing, wanted a list"),
    ],
)
def test_other_changes_are_found(change: Callable[[Record], None], words: str) -> None:
    """A line that is missing, made up, or of another unit is a fault; so is no list."""
    made = record()
    change(made)
    faults = recount(made)
    assert len(faults) == 1
    assert words in faults[0]


def test_a_plan_of_before_supplies_stands() -> None:
    """A record whose job and plan both say nothing of supplies is not asked for them."""
    made = record()
    del made["supplies"], made["job"]["supplies"]
    assert recount(made) == ()


@pytest.mark.parametrize("junk", [None, 3, [None], [{"name": 1}], {"a": 1}])
def test_junk_is_a_fault_and_no_crash(junk: Any) -> None:
    """Whatever stands in the place of the counts, the answer is sentences."""
    made = record()
    made["supplies"] = junk
    assert recount(made)
