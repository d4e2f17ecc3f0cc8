"""Records of small plans, made by hand: every number is worked out in a comment."""

from __future__ import annotations

import json
from fractions import Fraction
from typing import Any, cast

from lapwright.measure import INCH, MILLIMETRE, Unit, write_length

Record = dict[str, Any]

NO_TRIM = dict.fromkeys(
    (
        "starter",
        "outside_corner",
        "inside_corner",
        "j_channel",
        "sill_channel",
        "belly_band",
    ),
    "none",
)


def inches(number: float | str) -> int:
    """Give a length in ticks from inches that are whole 64ths."""
    ticks = Fraction(number) * INCH
    assert ticks.denominator == 1
    return int(ticks)


def millimetres(number: float) -> int:
    """Give a length in ticks from whole millimetres."""
    return int(number * MILLIMETRE)


def plan(unit: Unit, job: Record, **parts: Any) -> Record:
    """Give a record whose format is filled in, no part of it standing in two places."""
    record: Record = {
        "format": 1,
        "made_by": "hand",
        "ticks_per_inch": 8128,
        "ticks_per_millimetre": 320,
        "job": {"job": "By hand", "unit": unit.value, "hanging_temperature": "60 F"} | job,
        "trim": [],
        "seams": [],
        "findings": [],
    } | parts
    return cast("Record", json.loads(json.dumps(record)))


def end(cut: str, meets: str, *profile: tuple[int, int]) -> Record:
    """Give one end of a piece."""
    return {"cut": cut, "meets": meets, "profile": [list(point) for point in profile]}


def piece(unit: Unit, label: str, place: tuple[int, int, int, int], **more: Any) -> Record:
    """Give a piece of wall A by (course, x, y, length); the run is the first."""
    course, x, y, length = place
    return {
        "label": label,
        "wall": "A",
        "course": course,
        "run": 1,
        "siding": "panel",
        "x": x,
        "y": y,
        "length": length,
        "length_text": write_length(length, unit),
        "ripped": False,
        "notches": [],
    } | more


def trim(unit: Unit, label: str, role: str, length: int) -> Record:
    """Give a piece of trim of wall A."""
    return {
        "label": label,
        "role": role,
        "material": {"starter": "strip", "outside_corner": "post", "j_channel": "J"}.get(
            role, "utility"
        ),
        "wall": "A",
        "place": "by hand",
        "length": length,
        "length_text": write_length(length, unit),
    }


def seam(course: int, x: int, left: str, right: str) -> Record:
    """Give a seam of wall A; the run is the first."""
    return {"wall": "A", "course": course, "run": 1, "x": x, "left": left, "right": right}


def bar(
    unit: Unit, number: int, stock: int, offcut: int, *cuts: tuple[str, int, int]
) -> Record:
    """Give a bar by its cuts (label, start, end)."""
    return {
        "number": number,
        "stock": stock,
        "stock_text": write_length(stock, unit),
        "cuts": [{"label": label, "start": a, "end": b} for label, a, b in cuts],
        "offcut": offcut,
    }


def material(unit: Unit, role: str, name: str, *bars: Record, **more: Any) -> Record:
    """Give a material whose bars are all of one stock length, without prices."""
    stock = bars[0]["stock"]
    line = {
        "stock": stock,
        "stock_text": write_length(stock, unit),
        "count": len(bars),
        "spare": 0,
        "carton": None,
        "price": None,
    }
    cost = stock * len(bars)
    return {
        "role": role,
        "name": name,
        "status": "proven",
        "priced": False,
        "bound": cost,
        "cost": cost,
        "seams_too": False,
        "least_seams": None,
        "order": [line | more],
        "bars": list(bars),
    }


_RULES = {
    "end_gap": "1/4 in",
    "lap": "1 in",
    "joint_gap": "0 in",
    "stagger": "24 in",
    "in_line_courses": 3,
    "in_line_width": "6 in",
    "extra_seams": 0,
    "shortest_piece": "24 in",
    "keep_out": "0 in",
    "side_clearance": "1/4 in",
    "sill_clearance": "1/8 in",
    "head_clearance": "1/8 in",
    "roof_clearance": "1/2 in",
    "stud_spacing": "16 in",
    "first_stud": "3/4 in",
    "band_clearance": "1/4 in",
    "band_gap": "3/8 in",
    "starter_gap": "1/4 in",
    "post_top_gap": "1/4 in",
    "post_below": "3/4 in",
    "channel_short": "1/8 in",
    "sliver": "1 in",
    "narrowest": "1 in",
    "siding_kerf": "1/8 in",
    "trim_kerf": "1/8 in",
}


def _trim_material(name: str, stock: str, face: str, gap: str) -> Record:
    return {
        "name": name,
        "stock": [{"length": stock}],
        "face": face,
        "splice_lap": "0 in",
        "splice_gap": gap,
    }


def window_wall() -> Record:
    """Give a plan of a wall of 200 by 30 in with one window, in lapped siding."""
    unit, i = Unit.INCH, inches
    window = {
        "name": "W1",
        "kind": "window",
        "shape": "rectangle",
        "x": "80 in",
        "sill": "14 in",
        "width": "40 in",
        "height": "11 in",
    }
    job: Record = {
        "spare": "10 %",
        "siding": {
            "material": "panel",
            "family": "lapped",
            "exposure": "10 in",
            "stock": [{"length": "144 in", "price": "10.0000", "carton": 20, "supply": 50}],
        },
        "trim": NO_TRIM
        | {
            "starter": _trim_material("strip", "120 in", "2 in", "1/4 in"),
            "outside_corner": _trim_material("post", "120 in", "3 in", "0 in"),
            "j_channel": _trim_material("J", "150 in", "3/4 in", "0 in"),
            "sill_channel": _trim_material("utility", "150 in", "1 in", "1/4 in"),
        },
        "rules": _RULES,
        "walls": [
            {
                "name": "South",
                "mark": "A",
                "outline": [["0", "0"], ["200", "0"], ["200", "30"], ["0", "30"]],
                "left": "outside corner",
                "right": "outside corner",
                "start": "0 in",
                "openings": [window],
            }
        ],
    }
    left, right = end("square", "outside corner"), end("square", "outside corner")
    lap = end("factory", "seam")
    # A run is 200 less 1/4 at each side = 199-1/2, so two pieces are together 200-1/2.
    # The window (sill 14, head 25) is a sill in course 2 (10 to 20): cut at 4 less 1/8,
    # and a head in course 3: cut at 5 and 1/8.  The eave at 30 leaves 9-7/8 of course 3.
    sill = {
        "opening": "W1",
        "edge": "sill",
        "start": i(79.5),
        "end": i(120),
        "cut_left": i(3.875),
        "cut_right": i(3.875),
        "upper": 0,
    }
    # In the piece at 59-1/4 the notch goes from 79-3/4 to 120-1/4 on the wall.
    head = {
        "opening": "W1",
        "edge": "head",
        "start": i(20.5),
        "end": i(61),
        "cut_left": i(5.125),
        "cut_right": i(5.125),
        "upper": 0,
    }
    ten = {"height": i(10)}
    top = {"height": i(9.875), "ripped": True}
    pieces = [
        piece(unit, "A1.1", (1, i(0.25), 0, i(100)), left=left, right=lap, **ten),
        piece(unit, "A1.2", (1, i(99.25), 0, i(100.5)), left=lap, right=right, **ten),
        piece(
            unit,
            "A2.1",
            (2, i(0.25), i(10), i(140)),
            left=left,
            right=lap,
            notches=[sill],
            **ten,
        ),
        piece(unit, "A2.2", (2, i(139.25), i(10), i(60.5)), left=lap, right=right, **ten),
        piece(unit, "A3.1", (3, i(0.25), i(20), i(60)), left=left, right=lap, **top),
        piece(
            unit,
            "A3.2",
            (3, i(59.25), i(20), i(140.5)),
            left=lap,
            right=right,
            notches=[head],
            **top,
        ),
    ]
    stock = i(144)
    siding = material(
        unit,
        "siding",
        "panel",
        # Kerf 1/8; what a single piece leaves is less by one kerf.
        bar(unit, 1, stock, i(43.875), ("A1.1", i(44), stock)),
        bar(unit, 2, stock, i(43.375), ("A1.2", 0, i(100.5))),
        bar(unit, 3, stock, i(3.875), ("A2.1", i(4), stock)),
        # 144 less 60-1/2, 60 and two kerfs.
        bar(unit, 4, stock, i(23.25), ("A2.2", 0, i(60.5)), ("A3.1", i(84), stock)),
        bar(unit, 5, stock, i(3.375), ("A3.2", 0, i(140.5))),
        # A tenth of five is half a piece, so one spare.
        spare=1,
        carton=20,
        price=100_000,
    ) | {"priced": True, "bound": 500_000, "cost": 500_000}
    trims = [
        # 200 less 1/4 at each end = 199-1/2: 120, a gap of 1/4, and 79-1/4.
        trim(unit, "A-S1", "starter", i(120)),
        trim(unit, "A-S2", "starter", i(79.25)),
        # 30 and 3/4 less 1/4.
        trim(unit, "A-C1", "outside_corner", i(30.5)),
        trim(unit, "A-C2", "outside_corner", i(30.5)),
        # Head and sill 40 and two faces of 3/4, sides 11 and two faces.
        trim(unit, "A-J1", "j_channel", i(41.5)),
        trim(unit, "A-J2", "j_channel", i(41.5)),
        trim(unit, "A-J3", "j_channel", i(12.5)),
        trim(unit, "A-J4", "j_channel", i(12.5)),
        # 40 less 1/8 at each end; the eave 199-3/4: 150, a gap of 1/4, and 49-1/2.
        trim(unit, "A-U1", "sill_channel", i(39.75)),
        trim(unit, "A-U2", "sill_channel", i(150)),
        trim(unit, "A-U3", "sill_channel", i(49.5)),
    ]
    long, short = i(150), i(120)
    return plan(
        unit,
        job,
        walls=[
            {
                "wall": "A",
                "gross_area": i(200) * i(30),
                "opening_area": i(40) * i(11),
                "net_area": i(200) * i(30) - i(40) * i(11),
                "courses": [0, i(10), i(20)],
                "top_lines": [i(10), i(20), i(30)],
            }
        ],
        pieces=pieces,
        trim=trims,
        seams=[
            seam(1, i(100.25), "A1.1", "A1.2"),
            seam(2, i(140.25), "A2.1", "A2.2"),
            seam(3, i(60.25), "A3.1", "A3.2"),
        ],
        materials=[
            siding,
            material(
                unit,
                "starter",
                "strip",
                bar(unit, 6, short, 0, ("A-S1", 0, short)),
                bar(unit, 7, short, i(40.625), ("A-S2", 0, i(79.25))),
                spare=1,
            ),
            material(
                unit,
                "outside_corner",
                "post",
                bar(
                    unit,
                    8,
                    short,
                    i(58.75),
                    ("A-C1", 0, i(30.5)),
                    ("A-C2", i(30.625), i(61.125)),
                ),
                spare=1,
            ),
            material(
                unit,
                "j_channel",
                "J",
                bar(
                    unit,
                    9,
                    long,
                    i(41.5),
                    ("A-J1", 0, i(41.5)),
                    ("A-J2", i(41.625), i(83.125)),
                    ("A-J3", i(83.25), i(95.75)),
                    ("A-J4", i(95.875), i(108.375)),
                ),
                spare=1,
            ),
            material(
                unit,
                "sill_channel",
                "utility",
                bar(unit, 10, long, 0, ("A-U2", 0, long)),
                bar(
                    unit,
                    11,
                    long,
                    i(60.5),
                    ("A-U3", 0, i(49.5)),
                    ("A-U1", i(49.625), i(89.375)),
                ),
                spare=1,
            ),
        ],
    )


def gable_wall() -> Record:
    """Give a plan of a wall of 100 by 10 in under a gable of 20 in, with a J-channel."""
    unit, i = Unit.INCH, inches
    job: Record = {
        "spare": "0 %",
        "siding": {
            "material": "panel",
            "family": "lapped",
            "exposure": "10 in",
            "stock": [{"length": "144 in"}],
        },
        "trim": NO_TRIM | {"j_channel": _trim_material("J", "150 in", "3/4 in", "0 in")},
        "rules": _RULES,
        "walls": [
            {
                "name": "Gable",
                "mark": "A",
                "outline": [
                    ["0", "0"],
                    ["100", "0"],
                    ["100", "10"],
                    ["50", "30"],
                    ["0", "10"],
                ],
                "left": "trim board",
                "right": "trim board",
                "start": "0 in",
                "openings": [],
            }
        ],
    }
    stop = end("square", "trim board")
    # The slope goes 2-1/2 in for each inch of height: 25 in a course.
    rake = end("raked", "rake", (0, 0), (i(10), i(25)))
    # The last course begins at 25-1/4; less the gaps the peak is at
    # (50 - 1/4) / 2-1/2 = 19.9 in above the walls, 9.9 in above the butt edge:
    # 9-7/8 on the tape, nearest as well as down.
    peak = end("raked", "rake", (0, 0), (i(9.875), i(24.75)))
    stock = i(144)
    return plan(
        unit,
        job,
        walls=[
            {
                "wall": "A",
                "gross_area": i(100) * i(20),
                "opening_area": 0,
                "net_area": i(100) * i(20),
                "courses": [0, i(10), i(20)],
                "top_lines": [i(10), i(20), i(30)],
            }
        ],
        pieces=[
            piece(
                unit,
                "A1",
                (1, i(0.25), 0, i(99.5)),
                left=stop,
                right=stop,
                height=i(10),
            ),
            piece(
                unit,
                "A2",
                (2, i(0.25), i(10), i(99.5)),
                left=rake,
                right=rake,
                height=i(10),
            ),
            piece(
                unit,
                "A3",
                (3, i(25.25), i(20), i(49.5)),
                left=peak,
                right=peak,
                height=i(9.875),
            ),
        ],
        # The root of 50² + 20² is 53.8516, on the tape 53-7/8.
        trim=[
            trim(unit, "A-J1", "j_channel", i(53.875)),
            trim(unit, "A-J2", "j_channel", i(53.875)),
        ],
        materials=[
            material(
                unit,
                "siding",
                "panel",
                bar(unit, 1, stock, i(44.375), ("A1", 0, i(99.5))),
                bar(unit, 2, stock, i(44.375), ("A2", 0, i(99.5))),
                bar(unit, 3, stock, i(94.375), ("A3", 0, i(49.5))),
            )
            | {"status": "time limit", "bound": i(288)},
            material(
                unit,
                "j_channel",
                "J",
                bar(
                    unit,
                    4,
                    i(150),
                    i(42),
                    ("A-J1", 0, i(53.875)),
                    ("A-J2", i(54), i(107.875)),
                ),
            ),
        ],
    )


def plank_wall() -> Record:
    """Give a plan of a wall of 5000 by 300 mm in butted planks, without trim."""
    unit, mm = Unit.MILLIMETRE, millimetres
    job: Record = {
        "spare": "0 %",
        "siding": {
            "material": "plank",
            "family": "butted",
            "exposure": "150 mm",
            "stock": [{"length": "3000 mm"}],
        },
        "trim": NO_TRIM,
        "rules": _RULES
        | {
            "end_gap": "3 mm",
            "joint_gap": "2 mm",
            "stagger": "800 mm",
            "in_line_courses": 2,
            "shortest_piece": "400 mm",
            "sill_clearance": "3 mm",
            "stud_spacing": "400 mm",
            "first_stud": "20 mm",
            "siding_kerf": "3 mm",
        },
        "walls": [
            {
                "name": "Back",
                "mark": "A",
                "outline": [["0", "0"], ["5000", "0"], ["5000", "300"], ["0", "300"]],
                "left": "trim board",
                "right": "trim board",
                "start": "0 mm",
                "openings": [],
            }
        ],
    }
    stop, butt = end("square", "trim board"), end("square", "seam")
    # Studs at 20 + n · 400: the seams are on 2820 and on 2020, half a gap of 2 mm each side.
    top = {"siding": "plank", "height": mm(147), "ripped": True}
    low = {"siding": "plank", "height": mm(150)}
    stock = mm(3000)
    return plan(
        unit,
        job,
        walls=[
            {
                "wall": "A",
                "gross_area": mm(5000) * mm(300),
                "opening_area": 0,
                "net_area": mm(5000) * mm(300),
                "courses": [0, mm(150)],
                "top_lines": [mm(150), mm(300)],
            }
        ],
        pieces=[
            piece(unit, "A1.1", (1, mm(3), 0, mm(2816)), left=stop, right=butt, **low),
            piece(unit, "A1.2", (1, mm(2821), 0, mm(2176)), left=butt, right=stop, **low),
            piece(unit, "A2.1", (2, mm(3), mm(150), mm(2016)), left=stop, right=butt, **top),
            piece(unit, "A2.2", (2, mm(2021), mm(150), mm(2976)), left=butt, right=stop, **top),
        ],
        seams=[seam(1, mm(2819), "A1.1", "A1.2"), seam(2, mm(2019), "A2.1", "A2.2")],
        materials=[
            material(
                unit,
                "siding",
                "plank",
                bar(unit, 1, stock, mm(181), ("A1.1", 0, mm(2816))),
                bar(unit, 2, stock, mm(821), ("A1.2", 0, mm(2176))),
                bar(unit, 3, stock, mm(981), ("A2.1", 0, mm(2016))),
                bar(unit, 4, stock, mm(21), ("A2.2", 0, mm(2976))),
            )
        ],
    )
