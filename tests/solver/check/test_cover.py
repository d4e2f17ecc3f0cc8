"""What a piece covers by its own marks: shapes that the marks cannot say are found."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from lapwright.check.claims import End, Notch, Piece
from lapwright.check.cover import judge_cover
from lapwright.check.layout import lay_wall
from lapwright.job.reading import parse_job
from tests.solver.check.handmade import inches as i
from tests.solver.check.handmade import window_wall

if TYPE_CHECKING:
    from collections.abc import Sequence

SEAM = End("factory", "seam", ())
STOP = End("square", "outside corner", ())


def faults(outline: Sequence[Sequence[float]], course: int, piece: Piece) -> list[str]:
    """Judge a piece on the first run of a course of a wall."""
    record = window_wall()["job"]
    record["walls"][0] |= {"outline": [[f"{x} in", f"{y} in"] for x, y in outline]}
    record["walls"][0]["openings"] = []
    job = parse_job(json.dumps(record), "")
    laid = lay_wall(job.walls[0], job)[course - 1]
    return list(judge_cover(laid, laid.runs[0], piece, job, "piece P"))


def piece(
    x: float, y: int, length: float, left: End, right: End, notches: tuple[Notch, ...] = ()
) -> Piece:
    """Give a piece 10 in high. [in]"""
    place = (i(x), i(y), i(length))
    return Piece("P", "A", 1, 1, "panel", *place, "", i(10), False, left, right, notches)


def test_a_rake_over_a_seam_is_found() -> None:
    """A slope of 4 in 1 takes 40 in of a course; a piece of 30 in cannot show it all."""
    gable = [[0, 0], [200, 0], [200, 10], [100, 35], [0, 10]]
    rake = End("raked", "rake", ((0, 0), (i(10), i(40))))
    # One piece from rake to rake shows all of it.
    whole = piece(0.25, 10, 199.5, rake, rake)
    assert faults(gable, 2, whole) == []
    # At 30-1/4 the slope stands at 7-1/2 and goes on over 10 in of the next piece.
    rest = piece(30.25, 10, 100, SEAM, SEAM)
    assert faults(gable, 2, rest) == [
        'piece P: found it standing where no siding may, 0" to 10" from its left end and'
        ' 7-1/2" to 10" above its butt edge, wanted it cut away there'
    ]


def test_a_valley_is_found() -> None:
    """Between two peaks a piece stands in the air."""
    peaks = [[0, 0], [100, 0], [100, 20], [75, 20], [50, 15], [25, 20], [0, 20]]
    # The level tops at 20 are an eave's clearance lower, which is still rounding.
    (found,) = faults(peaks, 2, piece(0.25, 10, 99.5, STOP, STOP))
    assert '5" to 10" above' in found


def test_a_notch_cuts_away() -> None:
    """A notch under a level eave makes a piece fit that would not without."""
    stepped = [[0, 0], [100, 0], [100, 30], [60, 30], [60, 15], [0, 15]]
    notch = Notch("eave", "sill", 0, i(60), i(4.875), i(4.875), 0)
    assert faults(stepped, 2, piece(0.25, 10, 99.5, STOP, STOP, (notch,))) == []
    (found,) = faults(stepped, 2, piece(0.25, 10, 99.5, STOP, STOP))
    assert '4-7/8" to 10" above' in found


def test_what_rounding_puts_astray_is_no_fault() -> None:
    """A profile that is a mark of the tape out is left to the rule of profiles."""
    gable = [[0, 0], [200, 0], [200, 10], [100, 35], [0, 10]]
    rake = End("raked", "rake", ((0, 0), (i(10), i(39.9375))))
    far = End("raked", "rake", ((0, 0), (i(10), i(39))))
    assert faults(gable, 2, piece(0.25, 10, 199.5, rake, rake)) == []
    assert len(faults(gable, 2, piece(0.25, 10, 199.5, rake, far))) == 1
