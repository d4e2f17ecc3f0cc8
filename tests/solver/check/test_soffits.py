"""The recount of soffits: a right plan stands, and every change of a panel is found."""

from __future__ import annotations

from typing import TYPE_CHECKING

import jsonschema
import pytest

from lapwright.check import plan_schema, recount
from lapwright.job.reading import parse_job
from lapwright.planning import make_plan
from lapwright.record import plan_record
from tests.solver.check.changes import drop, put

if TYPE_CHECKING:
    from tests.solver.check.changes import Change
    from tests.solver.check.handmade import Record

TEXT = """
job: x
siding: {material: vinyl double 4}
head_flashing: [window]
eave_trim: j-channel
trim: {frieze: {stock: [{length: 16'}]}}
rules: {head_flashing_reach: 1, channel_tabs: 1}
walls:
  - name: a
    width: 60
    height: 40
    openings: [{name: w, x: 12, sill: 10, width: 24, height: 20}]
soffits:
  - {name: s, wall: a, depth: 18, left: outside corner, right: inside corner, right_depth: 10}
  - {name: t, length: 30, depth: 20, panels: along}
"""


def record() -> Record:
    """Plan the wall with its soffits and give the record."""
    return plan_record(make_plan(parse_job(TEXT, "x.yaml")))


def test_what_is_planned_stands_and_fits_the_schema() -> None:
    """Planner and recount agree, and the schema knows every key."""
    made = record()
    assert recount(made) == ()
    jsonschema.validate(made, plan_schema(), jsonschema.Draft202012Validator)
    assert len(made["soffits"]) > 6


def longer(made: Record) -> None:
    """Lengthen the first piece of fascia by a mark."""
    piece = next(p for p in made["trim"] if p["role"] == "fascia")
    piece["length"] += 508


CHANGES = {
    "width": (put(("soffits", 2, "width"), 8128), "soffit E1, panel 3"),
    "place": (put(("soffits", 2, "x"), 8128), "soffit E1, panel 3"),
    "length": (put(("soffits", 2, "length"), 8128), "soffit E1, panel 3"),
    "slant": (put(("soffits", 0, "outline"), []), "soffit E1, panel 1"),
    "point": (put(("soffits", 0, "outline", 0), [1]), "outline 1"),
    "soffit": (put(("soffits", 2, "soffit"), "E9"), "wanted a soffit"),
    "text": (put(("soffits", 2, "width_text"), "wide"), "width_text"),
    "no panel": (drop(("soffits", 2)), "wanted a panel that hangs somewhere"),
    "twice": (put(("soffits", 2, "label"), "E1-SO1"), "wanted one piece of trim"),
    "findings": (put(("findings",), []), "one that its panels span too far"),
    "fascia": (longer, "trim fascia of wall E1"),
}


@pytest.mark.parametrize(("change", "words"), CHANGES.values(), ids=CHANGES)
def test_a_change_is_found(change: Change, words: str) -> None:
    """Whatever of a panel is changed, the recount names it."""
    made = record()
    change(made)
    assert any(words in fault for fault in recount(made)), recount(made)


@pytest.mark.parametrize("role", ["head_flashing", "frieze", "f_channel", "j_channel"])
def test_a_missing_piece_is_found(role: str) -> None:
    """Channels, frieze and head flashing that a plan leaves out are asked for."""
    made = record()
    made["trim"].remove(next(p for p in made["trim"] if p["role"] == role))
    assert any(role in fault for fault in recount(made))


def test_a_plan_of_before_soffits_still_stands() -> None:
    """Without the keys of soffits a record is read as one that has none."""
    text = TEXT.split("soffits:")[0].replace("head_flashing: [window]\n", "")
    text = text.replace("eave_trim: j-channel\n", "")
    text = text.replace("trim: {frieze: {stock: [{length: 16'}]}}\n", "")
    made = plan_record(make_plan(parse_job(text, "x.yaml")))
    del made["soffits"], made["job"]["soffits"], made["job"]["head_flashing"]
    del made["job"]["eave_trim"]
    assert recount(made) == ()
