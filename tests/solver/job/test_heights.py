"""What is refused about starts and exposures, each with its place."""

from __future__ import annotations

import pytest

from lapwright.errors import InputError
from lapwright.job.reading import parse_job

OWN = "material: p, family: butted, exposure: 8, stock: [{length: 150}]"
WALLS = (
    "walls: [{name: a, width: 144, height: 96}, {name: b, width: 144, height: 40, base: 60}]"
)


@pytest.mark.parametrize(
    ("siding", "more", "key", "wanted"),
    [
        ("material: vinyl double 4, exposures: even", "", "siding.exposures", "one exposure"),
        ("material: vinyl double 4, exposures: [8]", "", "siding.exposures", "one exposure"),
        (
            "material: vinyl double 4, least_exposure: 7",
            "",
            "siding.least_exposure",
            "one exposure",
        ),
        (f"{OWN}, exposures: even", "", "siding.exposures", "both limits"),
        (f"{OWN}, exposures: []", "", "siding.exposures", "even, or a list"),
        (f"{OWN}, exposures: odd", "", "siding.exposures", "even, or a list"),
        (
            "material: fiber-cement 8-1/4, exposures: [6, 7-1/4]",
            "",
            "siding.exposures[2]",
            'at most 7"',
        ),
        (
            "material: fiber-cement 8-1/4, exposures: [5]",
            "",
            "siding.exposures[1]",
            'at least 5-1/2"',
        ),
        ("material: fiber-cement 8-1/4, exposure: 8", "", "siding.exposure", "from 5-1/2"),
        (
            "material: fiber-cement 8-1/4, exposures: even",
            "start: best,",
            "start",
            "a height",
        ),
        ("material: vinyl double 4", "start: -8,", "start", 'a start above -8"'),
        ("material: vinyl double 4", "start: worst,", "start", "a length"),
        (
            "material: vinyl double 4",
            "start_range: {lowest: -9},",
            "start_range",
            'above -8"',
        ),
        (
            "material: vinyl double 4",
            "start_range: {step: 1/64},",
            "start_range",
            "at most 500 starts",
        ),
    ],
)
def test_a_height_that_cannot_be_is_refused(
    siding: str, more: str, key: str, wanted: str
) -> None:
    """One finding names the key and what was wanted."""
    with pytest.raises(InputError) as caught:
        parse_job(f"{{job: x, siding: {{{siding}}}, {more} {WALLS}}}", "x.yaml")
    (finding,) = caught.value.findings
    assert finding.place.key == key
    assert wanted in finding.wanted


def test_a_wall_below_the_courses_of_its_part_is_refused() -> None:
    """A wall whose top lies below the first line has no course."""
    walls = "walls: [{name: a, width: 144, height: 96}, {name: b, width: 144, height: 10}]"
    with pytest.raises(InputError) as caught:
        parse_job(
            f"{{job: x, siding: {{material: vinyl double 4}}, start: 12, {walls}}}", "x.yaml"
        )
    (finding,) = caught.value.findings
    assert finding.place.key == "walls[2]"
