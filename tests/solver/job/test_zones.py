"""Zones of a wall that cannot be are told with their place."""

from __future__ import annotations

import pytest

from lapwright.errors import InputError
from lapwright.job.reading import parse_job

JOB = """job: Zones
siding: {{material: vinyl double 4}}
sidings:
  - {{material: shingle panel, family: lapped, exposure: 7, stock: [{{length: 10'}}]}}
walls:
  - name: Front
    outline: [[0, 0], [20', 0], [20', 9'], [16', 9'], [16', 8'], [4', 8'], [4', 9'], [0, 9']]
    zones: {zones}
"""


@pytest.mark.parametrize(
    ("zones", "words"),
    [
        ("[{top: 6'}, {siding: tin}]", "one of vinyl double 4, shingle panel"),
        ("[{band: 8}, {}]", "the key 'top'"),
        ("[{top: 6'}, {top: 9'}]", "no top: the last zone reaches up to the wall's"),
        ("[{top: 6'}, {band: 8}]", "no band, for no zone is above it"),
        ("[{top: 6', start: 4}, {}]", "the key 'start' of the wall"),
        ("[{top: 6', band: 3'}, {}]", "a top above the zone's foot"),
        ("[{top: 6'}, {top: 5'}, {}]", "a top above the zone's foot"),
        ("[{top: 8' 6}, {}]", "zones of one part each, or a wall for each part"),
        ("[{top: 6', band: 2' 6}, {}]", "zones of one part each"),
        ("[{top: 6', hue: red}, {}]", "one of siding, top, band, start"),
    ],
)
def test_what_is_wrong_is_told(zones: str, words: str) -> None:
    """One finding names what was wanted, at the place of the zone."""
    with pytest.raises(InputError) as caught:
        parse_job(JOB.format(zones=zones), "job.yaml")
    found = [finding for finding in caught.value.findings if words in finding.wanted]
    assert found
    assert all(finding.place.line == 8 for finding in found)


def test_a_siding_stands_once() -> None:
    """Two sidings of one name could not be told apart."""
    text = JOB.format(zones="[]").replace("shingle panel", "vinyl double 4")
    with pytest.raises(InputError) as caught:
        parse_job(text, "job.yaml")
    assert [finding.wanted for finding in caught.value.findings] == ["each siding once"]


def test_rules_of_a_siding_come_before_those_of_the_job() -> None:
    """Own rules first, then the job's, then the catalogue's for its family."""
    text = JOB.format(zones="[]").replace(
        "[{length: 10'}]}", "[{length: 10'}], rules: {lap: 2}}"
    )
    job = parse_job(text + "rules: {lap: 1-1/2, stagger: 30}\n", "job.yaml")
    rules = job.cladding("shingle panel")[1]
    assert (rules.lap, rules.stagger) == (2 * 8128, 30 * 8128)
    assert (job.rules.lap, job.rules.stagger) == (1.5 * 8128, 30 * 8128)
    assert rules.end_gap == job.rules.end_gap


@pytest.mark.parametrize(
    ("trim", "words"),
    [
        ("{starter: {stock: [{length: 8'}]}}", "a name of its own"),
        ("{fascia: none}", "one of starter, j_channel, sill_channel"),
    ],
)
def test_what_is_wrong_with_trim_of_a_siding_is_told(trim: str, words: str) -> None:
    """Trim that could not be told from the job's own, or is the house's."""
    text = JOB.format(zones="[]").replace(
        "[{length: 10'}]}", f"[{{length: 10'}}], trim: {trim}}}"
    )
    with pytest.raises(InputError) as caught:
        parse_job(text, "job.yaml")
    assert any(words in finding.wanted for finding in caught.value.findings)


def test_trim_without_a_stock_length_is_told() -> None:
    """Planks have no channel in the catalogue, so its length must be given."""
    text = "{job: x, siding: {material: fiber-cement 8-1/4}, trim: {j_channel: {face: 1}},"
    with pytest.raises(InputError) as caught:
        parse_job(text + " walls: [{name: a, width: 10', height: 8'}]}", "x")
    assert [finding.wanted for finding in caught.value.findings] == ["the key 'stock'"]
