"""Soffits in a job file: what is wrong with them is said with its place."""

from __future__ import annotations

import json

import pytest

from lapwright.errors import InputError
from lapwright.job.material import TrimRole
from lapwright.job.reading import parse_job
from lapwright.record import job_record

HEAD = (
    "job: x\nsiding: {material: vinyl double 4}\nwalls: [{name: a, width: 120, height: 16}]\n"
)


@pytest.mark.parametrize(
    ("text", "key", "words"),
    [
        ("soffits: [{name: s, depth: 12}]", "soffits[1].length", "wanted the key 'length'"),
        (
            "soffits: [{name: s, wall: a, along: left rake, depth: 12}]",
            "soffits[1].length",
            "a wall that has this edge",
        ),
        ("soffits: [{name: s, wall: b, depth: 12}]", "soffits[1].wall", "'b'"),
        ("soffits: [{name: s, wall: a, depth: 1/2}]", "soffits[1].depth", "two gaps of 1/4"),
        (
            "soffits: [{name: s, length: 20, depth: 12, left: inside corner,"
            " right: inside corner}]",
            "soffits[1].length",
            "its corners leave",
        ),
        ("soffits: [{name: s, mark: A, wall: a, depth: 9}]", "soffits[1].mark", "each once"),
        (
            "soffits: [{name: s, wall: a, depth: 9}, {name: s, wall: a, depth: 9}]",
            "soffits[2].name",
            "each name once",
        ),
        ("trim: {soffit: {face: 0}}", "trim.soffit.face", "above zero"),
        ("trim: {frieze: {face: 4}}", "trim.frieze", "the key 'stock'"),
        ("head_flashing: [door, door]", "head_flashing", "each kind once"),
        ("soffits: [{name: s, wall: a, depth: 9, left: open}]", "soffits[1].left", "'open'"),
    ],
)
def test_what_is_wrong_is_said_with_its_place(text: str, key: str, words: str) -> None:
    """One finding names the key and what would do."""
    with pytest.raises(InputError) as caught:
        parse_job(HEAD + text, "x.yaml")
    assert any(
        finding.place.key == key and words in f"found {finding.found}, wanted {finding.wanted}"
        for finding in caught.value.findings
    ), caught.value.findings


def test_trim_of_eaves_comes_only_where_it_has_a_place() -> None:
    """A job without soffits has no fascia; one with them has what the catalogue gives."""
    bare = {trim.role for trim in parse_job(HEAD, "x.yaml").trim}
    assert not bare & {TrimRole.FASCIA, TrimRole.SOFFIT, TrimRole.HEAD_FLASHING}
    full = parse_job(
        HEAD + "head_flashing: [window]\nsoffits: [{name: s, wall: a, depth: 12}]", "x.yaml"
    )
    more = {trim.role for trim in full.trim} - bare
    assert more == {
        TrimRole.HEAD_FLASHING,
        TrimRole.FASCIA,
        TrimRole.F_CHANNEL,
        TrimRole.SOFFIT,
    }


def test_a_recorded_soffit_reads_back_as_it_was() -> None:
    """Nothing of a soffit is lost in the record of its job."""
    job = parse_job(
        HEAD + "head_flashing: [door, garage door]\nsoffits: [{name: s, mark: P, wall: a,"
        " depth: 12, left: inside corner, left_depth: 9, rip: both ends, panels: along,"
        " wall_channel: j-channel, fascia_channel: f-channel, right: none}]",
        "x.yaml",
    )
    assert parse_job(json.dumps(job_record(job)), "plan.json") == job
