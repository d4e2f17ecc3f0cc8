"""Trade practice, worked by hand, and the recount that all ways are counted by."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from benchmarks.hung import cost_of, recount
from benchmarks.practice import by_practice
from benchmarks.random_house import house_data, read_data
from benchmarks.seams_first import seams_then_cuts
from benchmarks.slack import has_slack
from lapwright.cutting import Ends
from lapwright.job.material import MONEY
from lapwright.measure import INCH, Ticks

if TYPE_CHECKING:
    from benchmarks.hung import Hung
    from lapwright.job.job import Job


def wall_job(courses: int, width: int = 240, **rules: str | int) -> Job:
    """Make a job of a bare wall, lapped panels of 12 ft, without gaps and kerf."""
    given: dict[str, Any] = {"end_gap": 0, "siding_kerf": 0, "stagger": 24}
    wall = {"name": "Front", "width": width, "height": courses * 8}
    stock = [{"length": 144, "price": "10"}]
    siding = {"material": "vinyl double 4", "stock": stock}
    return read_data(
        {"job": "by hand", "siding": siding, "rules": given | rules, "walls": [wall]}
    )


def butted_job(courses: int) -> Job:
    """Make the same of planks of 12 ft, with studs every 16 in."""
    wall = {"name": "Front", "width": 240, "height": courses * 7}
    return read_data(
        {
            "job": "by hand",
            "siding": {"material": "fiber-cement 8-1/4"},
            "rules": {"end_gap": 0, "siding_kerf": 0},
            "walls": [wall],
        }
    )


def courses_of(hung: Hung) -> list[list[float]]:
    """Give the lengths of the pieces by course. [in]"""
    found: dict[int, list[float]] = {}
    for piece in hung.pieces:
        found.setdefault(piece.course, []).append(piece.length / INCH)
    return list(found.values())


def bars_of(hung: Hung) -> list[list[float]]:
    """Give the lengths of the pieces by bar. [in]"""
    return [[(cut.end - cut.start) / INCH for cut in bar.cuts] for bar in hung.bars]


def test_lapped_courses_begin_with_the_last_offcut() -> None:
    """240 in of 144 in panels: 144 + 97, then the offcut of 47, then one cut back to 74.

    The third course would begin with 144 - 51 = 93 in; its last piece would then be 5 in
    long, so that the first is cut back by 19 in to make it 24.
    """
    job = wall_job(3)
    hung = by_practice(job)
    assert courses_of(hung) == [[144, 97], [47, 144, 51], [74, 144, 24]]
    assert bars_of(hung) == [[144], [97, 47], [144], [51, 74], [144], [24]]
    counted = recount(job, hung)
    assert counted.faults == ()
    assert counted.broken == 0
    assert counted.extra == 2
    assert cost_of(job, hung.bars) == 60 * MONEY


def test_butted_courses_begin_with_the_last_offcut() -> None:
    """240 in of 144 in planks: 144 + 96, then the offcut of 48, both on studs."""
    job = butted_job(2)
    hung = by_practice(job)
    assert courses_of(hung) == [[144, 96], [48, 144, 48]]
    assert bars_of(hung) == [[144], [96, 48], [144], [48]]
    assert recount(job, hung).faults == ()
    assert recount(job, hung).broken == 0


def test_a_new_stock_length_is_cut_back_to_keep_the_stagger() -> None:
    """287 in are two whole panels; the next course has no other place for one seam.

    With a panel cut back by 24 in, 120 in, two more panels are wanted: 120, 144 and 25.
    """
    job = wall_job(2, width=287, extra_seams=1)
    assert courses_of(by_practice(job)) == [[144, 144], [120, 144, 25]]


@pytest.mark.slow
@pytest.mark.parametrize("seed", [3, 4, 5])
def test_random_houses_are_made_whole(seed: int) -> None:
    """Both ways make every piece of a random house; the cutting is no dearer than proven."""
    job = read_data(house_data(seed))
    hung = by_practice(job)
    assert recount(job, hung).faults == ()
    laid, plan = seams_then_cuts(job, 1.0)
    assert recount(job, laid).faults == ()
    assert plan.bound <= plan.cost == cost_of(job, laid.bars)


def test_seams_first_on_a_bare_wall() -> None:
    """Two runs of 240 in take four panels: two ends of 241 in together have no room in one."""
    job = wall_job(2)
    hung, plan = seams_then_cuts(job, 5.0)
    assert plan.status == "proven"
    # 2 x (240 + 1) = 482 in are more than three panels of 144.
    assert len(hung.bars) == 4
    assert {piece.ends for piece in hung.pieces} == {Ends.LEFT, Ends.RIGHT}


def test_recount_finds_what_does_not_fit() -> None:
    """A piece cut short, one hung nowhere, one not cut, and a bar that overruns are told."""
    job = wall_job(2)
    hung = by_practice(job)
    first = hung.pieces[0]
    short = replace(first, length=first.length - INCH)
    assert recount(job, replace(hung, pieces=(short, *hung.pieces[1:]))).faults
    assert recount(job, replace(hung, pieces=hung.pieces[2:])).faults
    assert recount(job, replace(hung, bars=hung.bars[1:])).faults
    (cut,) = hung.bars[0].cuts
    moved = replace(cut, start=Ticks(cut.start + INCH), end=Ticks(cut.end + INCH))
    over = replace(hung.bars[0], cuts=(moved,))
    assert recount(job, replace(hung, bars=(over, *hung.bars[1:]))).faults


def test_recount_counts_broken_rules() -> None:
    """Seams right over each other break the stagger, and stand in line."""
    job = wall_job(2)
    hung, _ = seams_then_cuts(wall_job(1), 5.0)
    again = tuple(replace(piece, label=f"{piece.label}x", course=2) for piece in hung.pieces)
    assert recount(job, replace(hung, pieces=(*hung.pieces, *again))).broken == 2


def test_slack_is_room_for_a_stagger() -> None:
    """Two whole panels leave a seam one place; 240 in leave it nearly 4 ft."""
    assert not has_slack(wall_job(1, width=287))
    assert has_slack(wall_job(1, width=240))
    assert not has_slack(wall_job(1, width=120))
    assert has_slack(butted_job(1))
