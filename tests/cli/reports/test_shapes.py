"""The outline of a piece, and its work in words."""

from __future__ import annotations

from dataclasses import replace

from lapwright.job.material import Family
from lapwright.plan import EndCut, NotchEdge, PieceEnd, PieceNotch
from lapwright_cli.reports import shapes
from tests.cli.reports.small_plan import (
    CORNER,
    FACTORY,
    HEAD,
    PEAK,
    PLAN,
    RAKE,
    SILL,
    inches,
    piece,
)


def in_inches(spots: tuple[shapes.Spot, ...]) -> list[tuple[float, float]]:
    """Give spots in inches."""
    return [(spot.u / 8128, spot.v / 8128) for spot in spots]


def test_a_square_piece_is_a_rectangle() -> None:
    """Without work the outline has the four corners."""
    plain = piece("P", 1, 0, 100, (CORNER, FACTORY))
    assert in_inches(shapes.outline(plain)) == [(0, 0), (100, 0), (100, 8), (0, 8)]


def test_notches_step_into_the_top_and_the_butt_edge() -> None:
    """A sill's notch comes from above, a head's from below, both at their marks."""
    notched = piece("P", 1, 0, 150, (CORNER, FACTORY), (SILL, HEAD))
    assert in_inches(shapes.outline(notched)) == [
        (0, 0),
        (59.5, 0),
        (59.5, 4.125),
        (96, 4.125),
        (96, 0),
        (150, 0),
        (150, 8),
        (96, 8),
        (96, 3.875),
        (59.5, 3.875),
        (59.5, 8),
        (0, 8),
    ]


def test_a_notch_at_an_end_takes_the_corner() -> None:
    """A notch that begins at the left end leaves no upper left corner."""
    corner = replace(SILL, start=inches(0))
    notched = piece("P", 1, 0, 150, (CORNER, FACTORY), (corner,))
    assert in_inches(shapes.outline(notched)) == [
        (0, 0),
        (150, 0),
        (150, 8),
        (96, 8),
        (96, 3.875),
        (0, 3.875),
    ]


def test_raked_ends_follow_their_profiles() -> None:
    """The insets of both ends are taken from the outermost points."""
    raked = piece("P", 3, 0, 120, (RAKE, RAKE))
    assert in_inches(shapes.outline(raked)) == [(0, 0), (120, 0), (70, 8), (50, 8)]
    assert shapes.edges(raked) == (inches(120), inches(20))


def test_a_peak_has_three_corners() -> None:
    """Where both rakes meet there is one corner at the top."""
    peak = piece("P", 4, 0, 99.5, (PEAK, PEAK), height=7.9375)
    assert in_inches(shapes.outline(peak)) == [(0, 0), (99.5, 0), (49.75, 7.9375)]


def test_the_words_hold_every_mark() -> None:
    """Start, end and cut heights of a notch are told, left and right apart if they differ."""
    even = piece("P", 1, 0, 150, (CORNER, FACTORY), (SILL,))
    assert shapes.work_words(even, PLAN) == (
        'Notch from the top, 36-1/2" wide, 59-1/2" to 96" from the left end:'
        ' cut height 3-7/8" up from the butt edge.',
        # 36-1/2 in wide: at 3, 9, 15, 21, 27 and 33 in.
        'Crimp cut top edges every 6": 6 crimps, tabs facing out.',
    )
    tilted = replace(even, notches=(replace(SILL, cut_right=inches(4)),))
    assert (
        'cut height 3-7/8" at its left and 4" at its right'
        in shapes.work_words(tilted, PLAN)[0]
    )


def test_a_hole_has_two_cut_heights() -> None:
    """A hole is drawn apart from the outline and told with both heights."""
    vent = PieceNotch(
        "V1", NotchEdge.HOLE, inches(10), inches(14), inches(2), inches(2), inches(6)
    )
    holed = piece("P", 1, 0, 100, (CORNER, FACTORY), (vent,))
    assert in_inches(shapes.holes(holed)[0]) == [(10, 2), (14, 2), (14, 6), (10, 6)]
    assert len(shapes.outline(holed)) == 4
    assert shapes.work_words(holed, PLAN)[0] == (
        'Hole, 4" wide, 10" to 14" from the left end: from 2" up to 6" above the butt edge.'
    )


def test_a_rake_is_told_with_rise_run_and_angle() -> None:
    """8 in over 50 in is atan(8 / 50) = 9.09 degrees, to the nearest half 9."""
    assert shapes.rake_words(RAKE, PLAN.job.unit) == (
        'rise 8", run 50" inward (81° from square, 9° from the butt edge)'
    )


def test_one_slope_of_the_wall_has_one_angle() -> None:
    """Whole marks make 30.1 to 30.4 of 30.3; all are told as the wall's slope."""
    for run in (13.625, 13.6875, 13.75):
        end = replace(RAKE, profile=((inches(0), inches(0)), (inches(8), inches(run))))
        assert "(60° from square, 30° from the butt edge)" in shapes.rake_words(
            end, PLAN.job.unit, (30.2, 45.0)
        )


def test_a_slope_of_a_plank_goes_on_above_its_face_line() -> None:
    """A plank is higher than its face; without a word the slope is marked at its top edge."""
    siding = replace(PLAN.job.siding, family=Family.BUTTED)
    butted = replace(PLAN, job=replace(PLAN.job, siding=siding))
    raked = piece("P", 3, 0, 120, (RAKE, CORNER))
    assert shapes.work_words(raked, butted)[-2:] == (
        'Butt edge 120"; along the face line 70".',
        "Slope: 8\" up is the face line, not the plank's top edge. Mark it there, then go"
        " straight on through the top edge.",
    )
    assert shapes.goes_on(raked, butted) == (True, False)
    # The upper mark is the nearest to a face that ends between two marks.
    between = replace(RAKE, profile=(RAKE.profile[0], (inches(7.96875), inches(50))))
    assert shapes.goes_on(replace(raked, left=between), butted) == (True, False)
    peak = piece("P", 4, 0, 99.5, (PEAK, PEAK), height=7.9375)
    ripped = replace(piece("P", 4, 0, 99.5, (RAKE, CORNER), height=5), ripped=True)
    for own, plan in ((raked, PLAN), (peak, butted), (ripped, butted)):
        assert shapes.goes_on(own, plan) == (False, False)
        assert not any("face line, not" in text for text in shapes.work_words(own, plan))


def test_no_edge_is_told_as_less_than_nothing() -> None:
    """Insets are rounded up and may cross by a mark: the piece comes to a point."""
    peak = piece("P", 4, 0, 99.4375, (PEAK, PEAK), height=7.9375)
    assert shapes.edges(peak)[1] < 0
    words = " ".join(shapes.work_words(peak, PLAN))
    assert "-1/16" not in words
    assert 'Butt edge 99-7/16"; comes to a point at the top.' in words
    assert "Weak: comes to a point." in words
    raked = piece("P", 3, 0, 120, (RAKE, RAKE))
    assert 'Butt edge 120"; along the top line 20".' in shapes.work_words(raked, PLAN)


def test_narrow_strips_beside_notches_are_warned_of() -> None:
    """One inch at an end, or between two notches, breaks; two inches hold."""
    at_one = replace(HEAD, start=inches(1))
    assert shapes.weak_words(
        piece("P", 1, 0, 150, (CORNER, FACTORY), (at_one,)), PLAN.job.unit
    ) == ('Weak: narrow strip 1" wide at the left end.',)
    pair = (replace(SILL, end=inches(80)), replace(SILL, start=inches(81.5)))
    assert shapes.weak_words(piece("P", 1, 0, 150, (CORNER, FACTORY), pair), PLAN.job.unit) == (
        'Weak: narrow strip 1-1/2" wide between two notches.',
    )
    low = replace(SILL, cut_left=inches(1.875), cut_right=inches(1.875))
    assert shapes.weak_words(
        piece("P", 1, 0, 150, (CORNER, FACTORY), (low,)), PLAN.job.unit
    ) == ('Weak: only 1-7/8" left below the notch.',)
    sound = piece("P", 1, 0, 150, (CORNER, FACTORY), (replace(SILL, start=inches(2)),))
    assert shapes.weak_words(sound, PLAN.job.unit) == ()


def test_a_rake_that_begins_above_the_butt_edge_is_told_in_two_steps() -> None:
    """Below the eave the end is square, above it the slope begins."""
    end = PieceEnd(
        EndCut.RAKED,
        "rake",
        (
            (inches(0), inches(0)),
            (inches(3), inches(0)),
            (inches(8), inches(5)),
        ),
    )
    assert shapes.rake_words(end, PLAN.job.unit) == (
        'square up to 3", then rise 5", run 5" inward (45° from square, 45° from the butt edge)'
    )


def test_butted_siding_is_not_crimped() -> None:
    """Crimps are for lapped siding alone."""
    siding = replace(PLAN.job.siding, family=Family.BUTTED)
    butted = replace(PLAN, job=replace(PLAN.job, siding=siding))
    ripped = replace(piece("P", 1, 0, 150, (CORNER, CORNER), height=5), ripped=True)
    assert shapes.work_words(ripped, butted) == (
        'Rip the top edge along the whole piece: keep 5" from the butt edge.',
    )
    assert len(shapes.work_words(ripped, PLAN)) == 2


def test_a_notch_along_a_whole_piece_is_a_rip() -> None:
    """Under a wide sill, or over a wide head, there is no notch with sides to cut."""
    whole = replace(SILL, start=inches(0), end=inches(150))
    wide = piece("P", 1, 0, 150, (CORNER, CORNER), (whole,))
    assert shapes.work_words(wide, PLAN)[0] == (
        'Rip the top edge along the whole piece: keep 3-7/8" from the butt edge.'
    )
    tilted = replace(wide, notches=(replace(whole, cut_right=inches(4)),))
    assert shapes.work_words(tilted, PLAN)[0] == (
        'Rip the top edge along the whole piece: keep 3-7/8" at its left and 4" at its right'
        " end from the butt edge."
    )
    over = replace(wide, notches=(replace(HEAD, start=inches(0), end=inches(150)),))
    assert shapes.work_words(over, PLAN)[0] == (
        'Rip the bottom edge along the whole piece: cut off 4-1/8" up from the butt edge.'
    )


def test_a_bottom_edge_is_ripped_and_crimped() -> None:
    """A first course below the wall's bottom is told as a rip, with locks along both cuts."""
    foot = PieceNotch(
        "bottom", NotchEdge.HEAD, inches(0), inches(150), inches(3), inches(3), inches(0)
    )
    both = piece("P", 1, 0, 150, (CORNER, FACTORY), (foot, SILL))
    words = shapes.work_words(both, PLAN)
    assert (
        words[0]
        == 'Rip the bottom edge along the whole piece: cut off 3" up from the butt edge.'
    )
    # 150 in: at 3, 9 to 147 in are 25; six more along the sill.
    assert 'Crimp cut edges every 6": 31 crimps, tabs facing out.' in words
