"""Larry Haun, Habitat for Humanity: How to Build a House, siding chapter: cut edges.

Snap locks every 6 in along a cut edge, and furring under the support trim where the cut
takes off more than 1 in.
"""

from __future__ import annotations

from lapwright.job.catalogue import default_rules
from lapwright.job.material import Family
from lapwright.job.reading import parse_job
from lapwright.measure import INCH
from lapwright.planning import make_plan
from lapwright_cli.reports.shapes import crimps, support_words, work_words


def test_the_rules_are_the_books() -> None:
    """6 in apart, and furring from 1 in on."""
    rules = default_rules("vinyl double 4", Family.LAPPED, cold=False)
    assert (rules["crimp_spacing"], rules["furring"]) == (6 * INCH, INCH)


def test_a_ripped_top_course() -> None:
    """The last course under an eave, 95-1/2 in long: 16 snap locks, and its support told.

    The first stands half a spacing in: 3, 9 and so on to 93 in.  The top course keeps
    4-7/8 of 8 in at a height of 93 in, less 1/8 in: more than 1 in is taken off.
    """
    text = (
        "{job: x, siding: {material: vinyl double 4},"
        " walls: [{name: a, width: 96, height: 93}, {name: b, width: 96, height: 95-5/8}]}"
    )
    plan = make_plan(parse_job(text, "x.yaml"))
    deep = [piece for piece in plan.siding if piece.wall == "A"][-1]
    slight = [piece for piece in plan.siding if piece.wall == "B"][-1]
    assert crimps(deep, plan) == 16
    assert 'Crimp cut top edges every 6": 16 crimps, tabs facing out.' in work_words(deep, plan)
    assert (
        'Rip the top edge along the whole piece: keep 4-7/8" from the butt edge.'
        in work_words(deep, plan)
    )
    assert support_words(deep, plan) == (
        "The ripped edge goes into the sill-support channel under the eave.",
        'Fur out behind the support trim: the cut takes off 3-1/8".',
    )
    # 95-1/2 in is kept here, so that the cut takes off 1/2 in only.
    assert not any("Fur out" in words for words in support_words(slight, plan))
