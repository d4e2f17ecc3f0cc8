"""A small plan made by hand, shared by the tests of the reports.

One wall, 200 in wide and 16 in high under a gable that rises 16 in, hung with 8 in
courses of a lapped siding; one window from 12 to 20 in.  The gap at the stops is 1/4 in,
the lap 1 in, the kerf of siding 1/8 in.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from lapwright.job.job import Job
from lapwright.job.material import Family, Siding, StockLength, Trim, TrimRole
from lapwright.job.rules import Rules
from lapwright.job.wall import Opening, OpeningKind, Point, StopKind, Wall
from lapwright.measure import INCH, Ticks, Unit
from lapwright.plan import (
    Bar,
    BarCut,
    EndCut,
    MaterialPlan,
    NotchEdge,
    OrderLine,
    PieceEnd,
    PieceNotch,
    Plan,
    Seam,
    SidingPiece,
    TrimPiece,
    WallFigures,
)


def inches(number: float) -> Ticks:
    """Give a number of inches that is a whole number of ticks. [ticks]"""
    ticks = Fraction(number) * INCH
    assert ticks.denominator == 1
    return Ticks(int(ticks))


CORNER = PieceEnd(EndCut.SQUARE, "outside corner")
FACTORY = PieceEnd(EndCut.FACTORY, "seam")
RAKE = PieceEnd(EndCut.RAKED, "rake", ((inches(0), inches(0)), (inches(8), inches(50))))
PEAK = PieceEnd(EndCut.RAKED, "rake", ((inches(0), inches(0)), (inches(7.9375), inches(49.75))))
SILL = PieceNotch(
    "W1", NotchEdge.SILL, inches(59.5), inches(96), inches(3.875), inches(3.875), inches(0)
)
HEAD = PieceNotch(
    "W1", NotchEdge.HEAD, inches(59.5), inches(96), inches(4.125), inches(4.125), inches(0)
)


def piece(
    label: str,
    course: int,
    x: float,
    length: float,
    ends: tuple[PieceEnd, PieceEnd],
    notches: tuple[PieceNotch, ...] = (),
    height: float = 8,
) -> SidingPiece:
    """Make a piece of the only wall, lengths in inches."""
    return SidingPiece(
        label=label,
        wall="A",
        course=course,
        run=1,
        siding="double 4",
        x=inches(x),
        y=inches(8 * (course - 1)),
        length=inches(length),
        height=inches(height),
        ripped=False,
        left=ends[0],
        right=ends[1],
        notches=notches,
    )


def bar(number: int, stock: float, offcut: float, *cuts: tuple[str, float, float]) -> Bar:
    """Make a stock length from (label, start, end), lengths in inches."""
    return Bar(
        number,
        inches(stock),
        tuple(BarCut(label, inches(start), inches(end)) for label, start, end in cuts),
        inches(offcut),
    )


RULES = Rules(
    end_gap=inches(0.25),
    lap=inches(1),
    joint_gap=inches(0),
    stagger=inches(24),
    in_line_courses=3,
    in_line_width=inches(6),
    extra_seams=0,
    shortest_piece=inches(24),
    keep_out=inches(0),
    side_clearance=inches(0.25),
    sill_clearance=inches(0.125),
    head_clearance=inches(0.125),
    roof_clearance=inches(0.5),
    stud_spacing=inches(16),
    first_stud=inches(0),
    band_clearance=inches(0.25),
    band_gap=inches(0.375),
    starter_gap=inches(0.25),
    post_top_gap=inches(0.25),
    post_below=inches(0.75),
    channel_short=inches(0.25),
    channel_tabs=inches(0),
    head_flashing_reach=inches(0),
    soffit_gap=inches(0.25),
    soffit_span=inches(16),
    fascia_corner=inches(1),
    sliver=inches(1),
    narrowest=inches(3),
    siding_kerf=inches(0.125),
    trim_kerf=inches(0),
    soffit_kerf=inches(0.125),
)

WINDOW = Opening("W1", OpeningKind.WINDOW, inches(60), inches(12), inches(36), inches(8))

WALL = Wall(
    name="South",
    mark="A",
    outline=(
        Point(inches(0), inches(0)),
        Point(inches(200), inches(0)),
        Point(inches(200), inches(16)),
        Point(inches(100), inches(32)),
        Point(inches(0), inches(16)),
    ),
    openings=(WINDOW,),
    left=StopKind.OUTSIDE_CORNER,
    right=StopKind.OUTSIDE_CORNER,
    start=inches(0),
)

JOB = Job(
    name="Small shed",
    unit=Unit.INCH,
    currency="$",
    temperature=Fraction(70),
    spare=Fraction(1, 10),
    walls=(WALL,),
    siding=Siding(
        "double 4",
        Family.LAPPED,
        inches(8),
        (
            StockLength(inches(120), 90_000),
            StockLength(inches(150), 114_000, 12),
        ),
    ),
    trim=(
        Trim(
            TrimRole.J_CHANNEL,
            "J-channel 3/4 in",
            (StockLength(inches(150)),),
            face=inches(0.75),
            splice_lap=inches(0.75),
            splice_gap=inches(0),
        ),
    ),
    rules=RULES,
    remarks=("wall South: the window W1 stands 12 in above the ground",),
)

SIDING = (
    piece("A-1-1", 1, 0.25, 80, (CORNER, FACTORY)),
    piece("A-1-2", 1, 79.25, 120.5, (FACTORY, CORNER)),
    piece("A-2-1", 2, 0.25, 150, (CORNER, FACTORY), (SILL,)),
    piece("A-2-2", 2, 149.25, 50.5, (FACTORY, CORNER)),
    piece("A-3-1", 3, 0.25, 110, (RAKE, FACTORY), (HEAD,)),
    piece("A-3-2", 3, 109.25, 90.5, (FACTORY, RAKE)),
    piece("A-4-1", 4, 50.25, 99.5, (PEAK, PEAK), height=7.9375),
)

TRIM = tuple(
    TrimPiece(label, "j_channel", "J-channel", "A", place, inches(length))
    for label, place, length in (
        ("A-J1", "head of W1", 37.5),
        ("A-J2", "sill of W1", 37.5),
        ("A-J3", "left of W1", 10.25),
        ("A-J4", "right of W1", 10.25),
        ("A-J5", "left rake", 101.25),
        ("A-J6", "right rake", 101.25),
    )
)

PLAN = Plan(
    job=JOB,
    # 200 × 16 + 200 × 16 / 2 = 4800 sq in; the window 36 × 8 = 288 sq in.
    walls=(
        WallFigures(
            "A",
            4800 * INCH * INCH,
            288 * INCH * INCH,
            tuple(inches(8 * course) for course in range(4)),
            tuple(inches(8 * course) for course in range(1, 5)),
        ),
    ),
    siding=SIDING,
    trim=TRIM,
    seams=(
        Seam("A", 1, 1, inches(80.25), "A-1-1", "A-1-2"),
        Seam("A", 2, 1, inches(150.25), "A-2-1", "A-2-2"),
        Seam("A", 3, 1, inches(110.25), "A-3-1", "A-3-2"),
    ),
    materials=(
        MaterialPlan(
            "siding",
            "double 4",
            "proven",
            bound=612_000,
            cost=612_000,
            priced=True,
            order=(
                OrderLine(inches(120), 3, 1, None, 90_000),
                OrderLine(inches(150), 3, 1, 12, 114_000),
            ),
            bars=(
                bar(1, 150, 0, ("A-2-1", 0, 150)),
                # 150 - 50-1/2 - 80 - 2 × 1/8 = 19-1/4.
                bar(2, 150, 19.25, ("A-2-2", 0, 50.5), ("A-1-1", 70, 150)),
                bar(3, 150, 29.375, ("A-1-2", 0, 120.5)),
                bar(4, 120, 9.875, ("A-3-1", 10, 120)),
                bar(5, 120, 29.375, ("A-3-2", 0, 90.5)),
                bar(6, 120, 20.375, ("A-4-1", 0, 99.5)),
            ),
        ),
        MaterialPlan(
            "j_channel",
            "J-channel 3/4 in",
            "time limit",
            bound=inches(400),
            cost=inches(450),
            priced=False,
            order=(OrderLine(inches(150), 3, 1, None, None),),
            bars=(
                bar(7, 150, 11.25, ("A-J5", 0, 101.25), ("A-J1", 101.25, 138.75)),
                bar(8, 150, 11.25, ("A-J6", 0, 101.25), ("A-J2", 101.25, 138.75)),
                bar(9, 150, 129.5, ("A-J3", 0, 10.25), ("A-J4", 10.25, 20.5)),
            ),
        ),
    ),
    findings=("wall A course 4: the piece at the peak ends in two points",),
)

LABELS = (*(piece.label for piece in SIDING), *(piece.label for piece in TRIM))


def renamed(plan: Plan, name: str) -> Plan:
    """Give a plan in which everything that a crew may name bears one name.

    Labels and marks get the name as well, each kept apart by what it was.
    """
    job = plan.job
    wall = replace(
        job.walls[0],
        name=name,
        mark=name,
        openings=(replace(job.walls[0].openings[0], name=name),),
    )

    def notch(old: PieceNotch) -> PieceNotch:
        return replace(old, opening=name)

    def material(old: MaterialPlan) -> MaterialPlan:
        bars = tuple(
            replace(b, cuts=tuple(replace(c, label=name + c.label) for c in b.cuts))
            for b in old.bars
        )
        return replace(old, name=name, bars=bars)

    return replace(
        plan,
        job=replace(
            job,
            name=name,
            walls=(wall,),
            siding=replace(job.siding, name=name),
            trim=tuple(replace(t, name=name) for t in job.trim),
            remarks=(name,),
        ),
        walls=tuple(replace(w, wall=name) for w in plan.walls),
        siding=tuple(
            replace(
                p,
                label=name + p.label,
                wall=name,
                siding=name,
                notches=tuple(map(notch, p.notches)),
            )
            for p in plan.siding
        ),
        trim=tuple(replace(t, label=name + t.label, wall=name, place=name) for t in plan.trim),
        seams=tuple(
            replace(s, wall=name, left=name + s.left, right=name + s.right) for s in plan.seams
        ),
        materials=tuple(map(material, plan.materials)),
        findings=(name,),
    )
