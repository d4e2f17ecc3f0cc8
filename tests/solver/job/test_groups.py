"""The optional groups of a job: read, refused, and recorded."""

from __future__ import annotations

import json
from fractions import Fraction

import pytest

from lapwright.errors import InputError
from lapwright.job.catalogue import sticker_sheets
from lapwright.job.reading import parse_job
from lapwright.job.stickers import PAPERS
from lapwright.job.thermal import Thermal
from lapwright.job.value import read_area, read_coefficient
from lapwright.measure import FOOT, INCH, MILLIMETRE, Ticks
from lapwright.record import job_record

HEAD = (
    "job: x\nsiding: {material: vinyl double 4}\nwalls: [{name: a, width: 30', height: 8'}]\n"
)
HOT = "thermal: {coefficient: 4.5e-5 /F, coldest: -20 F, hottest: 130 F, pocket: 5/8}\n"


@pytest.mark.parametrize(
    "more",
    [
        "",
        HOT,
        "unit: mm\nhanging_temperature: 12.3 C\nthermal: {coldest: -21 C, hottest: 55 C}\n",
        "supplies: none\nestimating: none\n",
        "supplies: {nail_spacing: 12, nails_a_pound: 210, barrier_lap: 0}\n",
        "supplies: {furring_spacing: 16, furring_length: 2500 mm}\n",
        "estimating: {waste: 7.5 %, large_opening: 2.8 m2}\n",
        "estimating: {waste: 0, large_opening: 7/3 sq ft}\n",
        "labour: {minutes_a_cut: 1/3, minutes_a_seam: 0, rate_an_hour: 41.5}\n",
        "unit: mm\nstickers: {columns: 3, rows: 8, width: 70, height: 37}\n",
        "stickers: {paper: a4, columns: 1, rows: 1, width: 4, height: 2, left: 1, top: 1}\n",
    ],
)
def test_a_recorded_group_reads_back_the_same(more: str) -> None:
    """Whatever the groups say, the job's record gives the same job."""
    job = parse_job(HEAD + more, "x.yaml")
    assert parse_job(json.dumps(job_record(job)), "plan.json") == job


def test_groups_that_are_not_given_come_from_the_catalogue() -> None:
    """Nails and conventions are counted by the catalogue; heat and cold only on demand."""
    job = parse_job(HEAD, "x.yaml")
    assert job.thermal is None
    assert job.supplies is not None
    assert job.supplies.nail_spacing == 16 * INCH
    assert job.supplies.nails_a_pound is None
    assert job.estimating is not None
    assert job.estimating.waste == Fraction(1, 10)
    assert job.estimating.large_opening == 30 * FOOT * FOOT


def test_a_group_of_none_is_left_out() -> None:
    """With the word none nothing is counted and no convention reckoned."""
    job = parse_job(HEAD + "supplies: none\nestimating: none\n", "x.yaml")
    assert (job.supplies, job.estimating) == (None, None)


def test_heat_and_cold_are_read_exactly() -> None:
    """A coefficient is an exact fraction, and its pocket a length."""
    job = parse_job(HEAD + HOT, "x.yaml")
    pocket = Ticks(5 * INCH // 8)
    wanted = Thermal(Fraction(9, 200_000), Fraction(-20), Fraction(130), pocket)
    assert job.thermal == wanted


@pytest.mark.parametrize(
    ("text", "share"),
    [
        ("3.5e-5 /F", Fraction(7, 200_000)),
        ("8.1e-5 per °C", Fraction(9, 200_000)),
        ("0.000035/f", Fraction(7, 200_000)),
        ("8/165000 /C", Fraction(8, 297_000)),
    ],
)
def test_coefficients_as_they_are_written(text: str, share: Fraction) -> None:
    """By the degree Fahrenheit or Celsius, as a decimal or as a fraction."""
    assert read_coefficient(text) == share


def test_areas_as_they_are_written() -> None:
    """In square feet or square metres, exactly."""
    assert read_area("30 sq ft") == read_area("30 ft²") == 30 * FOOT**2
    assert read_area("2.8 m2") == Fraction(28, 10) * (1000 * MILLIMETRE) ** 2


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ("thermal: {coldest: 0 F}", "thermal.hottest: found nothing"),
        ("thermal: {coldest: 70 F, hottest: 90 F}", "wanted at most the hanging temperature"),
        ("thermal: {coldest: 0 F, hottest: 50 F}", "wanted at least the hanging temperature"),
        ("thermal: {coefficient: 3.5e-5, coldest: 0 F, hottest: 90 F}", "a share for each"),
        ("thermal: {coefficient: 1/0 /F, coldest: 0 F, hottest: 90 F}", "a share for each"),
        ("thermal: {coefficient: 3.5 /F, coldest: 0 F, hottest: 90 F}", "below 1e-3 /F"),
        ("thermal:", "thermal: found nothing, wanted none, or a group of keys"),
        ("supplies: 5", "supplies: found '5', wanted none, or a group of keys"),
        ("supplies: {nail_spacing: 0}", "wanted a length above zero"),
        ("supplies: {nails: 3}", "found the unknown key 'nails', wanted"),
        ("supplies: {barrier_lap: 9'}", "supplies.barrier_lap: found a lap of 108"),
        ("supplies: {barrier_length: 3}", 'wanted a lap below the barrier_length of 3"'),
        ("estimating: {large_opening: 30}", "wanted an area such as 30 sq ft or 2.8 m2"),
        ("estimating: {large_opening: many sq ft}", "wanted an area such as 30 sq ft"),
        ("estimating: {waste: 101 %}", "a share such as 5 %"),
    ],
)
def test_what_cannot_be_used_is_a_finding(more: str, words: str) -> None:
    """Each fault of a group is told with its key, what was found and what was wanted."""
    with pytest.raises(InputError) as raised:
        parse_job(HEAD + more + "\n", "x.yaml")
    assert words in "\n".join(str(finding) for finding in raised.value.findings)


def test_no_coefficient_is_known_for_planks() -> None:
    """The catalogue knows how vinyl moves; for butted siding the job must say it."""
    planks = HEAD.replace("vinyl double 4", "fiber-cement 8-1/4")
    with pytest.raises(InputError, match="none is known for a butted siding"):
        parse_job(planks + "thermal: {coldest: 0 F, hottest: 90 F}\n", "x.yaml")
    job = parse_job(
        planks + "thermal: {coefficient: 1e-6 /F, coldest: 0 F, hottest: 90 F}\n", "x.yaml"
    )
    assert job.thermal is not None


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ("labour: {}\n", "one or more of minutes_a_cut"),
        ("labour: {rate_an_hour: 40}\n", "no minutes"),
        ("labour: {minutes_a_cut: -1}\n", "a number of minutes"),
        ("labour:\n", "none, or a group of keys"),
        ("stickers: {columns: 3, rows: 10, width: 3, height: 1}\n", "at most 8-1/2"),
        ("stickers: {columns: 1, rows: 12, width: 3, height: 1}\n", "at most 11"),
        ("stickers: {columns: 2, rows: 2, width: 3, height: 1, across: 2}\n", "one sticker"),
        ("stickers: {columns: 0, rows: 2, width: 3, height: 1}\n", "above zero"),
        ("stickers: {paper: a5, columns: 1, rows: 1, width: 1, height: 1}\n", "'letter' or"),
    ],
)
def test_labour_and_stickers_that_cannot_be_are_refused(more: str, words: str) -> None:
    """Each fault says what was wanted."""
    with pytest.raises(InputError) as caught:
        parse_job(HEAD + more, "x.yaml")
    assert words in str(caught.value)


def test_work_is_reckoned_from_what_the_job_says() -> None:
    """By hand: 10 × 1/3 + 4 × 5 = 23-1/3 min; set-ups and pieces count nothing."""
    job = parse_job(HEAD + "labour: {minutes_a_cut: 1/3, minutes_a_seam: 5}\n", "x.yaml")
    assert job.labour is not None
    assert job.labour.minutes(10, 7, 99, 4) == Fraction(70, 3)


def test_stickers_without_margins_stand_amid_the_paper() -> None:
    """By hand: 8-1/2 - 2 × 4 = 1/2 in and 11 - 5 × 2 = 1 in, half of it at each side."""
    more = "stickers: {columns: 2, rows: 5, width: 4, height: 2}\n"
    sheet = parse_job(HEAD + more, "x.yaml").stickers
    assert sheet is not None
    assert (sheet.paper, sheet.count) == ("letter", 10)
    assert (sheet.left, sheet.top) == (INCH // 4, INCH // 2)


def test_the_catalogue_s_sheets_of_stickers_fit_their_paper() -> None:
    """Each has as many stickers as its name says, and no two on each other."""
    sheets = sticker_sheets()
    assert len(sheets) > 5
    for name, sheet in sheets.items():
        wide, high = PAPERS[sheet.paper]
        assert name.endswith(f", {sheet.count} a sheet")
        assert sheet.right <= wide
        assert sheet.bottom <= high
        assert sheet.across >= sheet.width
        assert sheet.down >= sheet.height
