"""International Residential Code, R704.2.1, as the Polymeric Exteriors Association tells it."""

from __future__ import annotations

import pytest

from lapwright.job.reading import parse_job
from lapwright.planning import make_plan


@pytest.mark.parametrize(
    ("clear", "strips"),
    [
        ("16", ""),
        ("16-1/16", "one nailing strip"),
        ("32", "one"),
        ("32-1/8", "2 nailing strips"),
    ],
)
def test_no_span_over_sixteen_inches_without_a_nailing_strip(clear: str, strips: str) -> None:
    """Panels held at fascia and wall alone span 16 in at most; beyond, strips are asked for."""
    job = parse_job(
        "{job: x, siding: {material: vinyl double 4}, rules: {soffit_gap: 0}, walls:"
        " [{name: a, width: 99, height: 16}],"
        f" soffits: [{{name: s, length: 10', depth: {clear}}}]}}",
        "x.yaml",
    )
    told = [finding for finding in make_plan(job).findings if "span more than" in finding]
    assert len(told) == bool(strips)
    assert all(strips in finding for finding in told)
