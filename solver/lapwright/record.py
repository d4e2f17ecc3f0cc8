"""A plan and its job as plain data, as they stand in ``plan.json``.

Every length is a whole number of ticks (8128 an inch, 320 a millimetre), every area
square ticks, every price whole ten-thousandths of the job's currency.  The job is
recorded as a job file with nothing left to the catalogue, so that a plan can be
recounted long after the catalogue has changed.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from lapwright import __version__
from lapwright.job.labour import MINUTES
from lapwright.job.material import HUNG_WITH_SIDING, MONEY, TrimRole
from lapwright.job.wall import FlashedKind, LowerEdge
from lapwright.measure import (
    INCH,
    MILLIMETRE,
    Unit,
    square_feet,
    write_decimal,
    write_length,
)

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction

    from lapwright.job.job import Job
    from lapwright.job.material import Siding, StockLength, Trim
    from lapwright.job.rules import Rules
    from lapwright.job.soffit import Soffit
    from lapwright.job.wall import Opening, Wall
    from lapwright.plan import (
        Bar,
        MaterialPlan,
        PieceEnd,
        PieceNotch,
        Plan,
        SidingPiece,
        SoffitPanel,
    )

COUNT_RULES = ("in_line_courses", "extra_seams", "level_check")
"""Rules that are counts; all others are lengths."""

FORMAT = 1
"""Number of the form of ``plan.json``; it grows when an old reader would misread."""


def plan_bytes(plan: Plan) -> bytes:
    """Write ``plan.json``: UTF-8, the same bytes for the same plan."""
    text = json.dumps(plan_record(plan), ensure_ascii=False, indent=1)
    return text.encode() + b"\n"


def plan_record(plan: Plan) -> dict[str, Any]:
    """Turn a plan into plain data."""
    unit = plan.job.unit
    return {
        "format": FORMAT,
        "made_by": f"lapwright {__version__}",
        "ticks_per_inch": int(INCH),
        "ticks_per_millimetre": int(MILLIMETRE),
        "job": job_record(plan.job),
        "walls": [
            {
                "wall": figures.wall,
                "gross_area": figures.gross,
                "opening_area": figures.openings,
                "net_area": figures.net,
                "courses": list(figures.courses),
                "top_lines": list(figures.tops),
            }
            for figures in plan.walls
        ],
        "pieces": [_siding(piece, unit) for piece in plan.siding],
        "trim": [
            {
                "label": piece.label,
                "role": piece.role,
                "material": piece.material,
                "wall": piece.wall,
                "place": piece.place,
                "length": piece.length,
                "length_text": write_length(piece.length, unit),
            }
            for piece in plan.trim
        ],
        "seams": [
            {
                "wall": seam.wall,
                "course": seam.course,
                "run": seam.run,
                "x": seam.x,
                "left": seam.left,
                "right": seam.right,
            }
            for seam in plan.seams
        ],
        "materials": [_material(material, unit) for material in plan.materials],
        "findings": list(plan.findings),
        "supplies": [
            {
                "name": line.name,
                "quantity": line.quantity,
                "unit": line.unit,
                "how": line.how,
            }
            for line in plan.supplies
        ],
        "soffits": [_panel(panel, unit) for panel in plan.soffits],
    }


def job_record(job: Job) -> dict[str, Any]:
    """Turn a job into the data of a job file that says everything itself."""
    return {
        "job": job.name,
        "unit": job.unit.value,
        **({"currency": job.currency} if job.currency else {}),
        "hanging_temperature": f"{_number(job.temperature)} F",
        "spare": f"{_number(job.spare * 100)} %",
        "siding": _cladding(job.siding),
        **(
            {
                "sidings": [
                    _cladding(c.siding)
                    | {
                        "rules": _rules(c.rules),
                        "trim": {
                            role.value: _trim(job.hung_trim(c.siding.name, role))
                            for role in HUNG_WITH_SIDING
                        },
                    }
                    for c in job.further
                ]
            }
            if job.further
            else {}
        ),
        "start": "best" if job.start is None else _length(job.start),
        "start_range": {
            name: _length(getattr(job.start_range, name)) for name in job.start_range.__slots__
        },
        "trim": {role.value: _trim(job.trim_for(role)) for role in TrimRole},
        "rules": _rules(job.rules),
        **_thermal(job),
        "supplies": _supplies(job),
        "estimating": _estimating(job),
        "eave_trim": job.eave_trim.value,
        "head_flashing": [
            *(kind.value for kind in job.head_flashing),
            *((FlashedKind.BELLY_BAND.value,) if job.band_flashing else ()),
        ],
        **_labour(job),
        **_stickers(job),
        "walls": [_wall(wall) for wall in job.walls],
        "soffits": [_soffit(soffit) for soffit in job.soffits],
    }


def _cladding(siding: Siding) -> dict[str, Any]:
    return {
        "material": siding.name,
        "family": siding.family.value,
        "exposure": _length(siding.exposure),
        **_exposures(siding),
        "stock": _stock(siding.stock),
    }


def _rules(rules: Rules) -> dict[str, Any]:
    return {
        name: getattr(rules, name) if name in COUNT_RULES else _length(getattr(rules, name))
        for name in rules.__slots__
        if name != "hard"
    } | ({"hard": [rule.value for rule in rules.hard]} if rules.hard else {})


def _exposures(siding: Siding) -> dict[str, Any]:
    keys = ("least_exposure", "greatest_exposure")
    limits = ((key, getattr(siding, key)) for key in keys)
    group: dict[str, Any] = {key: _length(limit) for key, limit in limits if limit is not None}
    if siding.varies:
        group["exposures"] = (
            "even" if siding.evened else [_length(each) for each in siding.exposures]
        )
    return group


def _number(number: Fraction) -> str:
    return write_decimal(number)


def _length(ticks: int) -> str:
    """Write a length so that any unit of the job reads it back exactly.

    A tick is 0.003125 mm, so millimetres always end.
    """
    return write_length(ticks, Unit.MILLIMETRE)


def _stock(stock: Sequence[StockLength]) -> list[dict[str, Any]]:
    rows = []
    for entry in stock:
        row: dict[str, Any] = {"length": _length(entry.length)}
        if entry.price is not None:
            row["price"] = _money(entry.price)
        if entry.carton is not None:
            row["carton"] = entry.carton
        if entry.supply is not None:
            row["supply"] = entry.supply
        rows.append(row)
    return rows


def _trim(trim: Trim | None) -> dict[str, Any] | str:
    if trim is None:
        return "none"
    return {
        "name": trim.name,
        "stock": _stock(trim.stock),
        "face": _length(trim.face),
        "splice_lap": _length(trim.splice_lap),
        "splice_gap": _length(trim.splice_gap),
    }


def _thermal(job: Job) -> dict[str, Any]:
    if job.thermal is None:
        return {}
    group = {
        "coefficient": f"{_number(job.thermal.coefficient)} /F",
        "coldest": f"{_number(job.thermal.coldest)} F",
        "hottest": f"{_number(job.thermal.hottest)} F",
        "pocket": _length(job.thermal.pocket),
    }
    return {"thermal": group}


def _supplies(job: Job) -> dict[str, Any] | str:
    if job.supplies is None:
        return "none"
    given = ((name, getattr(job.supplies, name)) for name in job.supplies.__slots__)
    return {
        name: value if name == "nails_a_pound" else _length(value)
        for name, value in given
        if value is not None
    }


def _estimating(job: Job) -> dict[str, Any] | str:
    if job.estimating is None:
        return "none"
    return {
        "waste": f"{_number(job.estimating.waste * 100)} %",
        "large_opening": f"{_number(square_feet(job.estimating.large_opening))} sq ft",
    }


def _labour(job: Job) -> dict[str, Any]:
    if job.labour is None:
        return {}
    group = {
        key: _number(minutes)
        for key in MINUTES
        if (minutes := getattr(job.labour, key)) is not None
    }
    if job.labour.rate_an_hour is not None:
        group["rate_an_hour"] = _money(job.labour.rate_an_hour)
    return {"labour": group}


def _stickers(job: Job) -> dict[str, Any]:
    if job.stickers is None:
        return {}
    given = ((name, getattr(job.stickers, name)) for name in job.stickers.__slots__)
    whole = ("paper", "columns", "rows")
    group = {name: value if name in whole else _length(value) for name, value in given}
    return {"stickers": group}


def _money(amount: int) -> str:
    whole, rest = divmod(amount, MONEY)
    return f"{whole}.{rest:04d}"


def _wall(wall: Wall) -> dict[str, Any]:
    return {
        "name": wall.name,
        "mark": wall.mark,
        "outline": [[_length(p.x), _length(p.y)] for p in wall.outline],
        "left": wall.left.value,
        "right": wall.right.value,
        "base": _length(wall.base),
        **(
            {"lower_edges": wall.lower_edges.value}
            if wall.lower_edges is LowerEdge.GROUND
            else {}
        ),
        **({} if wall.start is None else {"start": _length(wall.start)}),
        **({"part": wall.part} if wall.part else {}),
        **({} if wall.seen_from is None else {"seen_from": _length(wall.seen_from)}),
        **({"siding": wall.siding} if wall.siding else {}),
        **({"zones": _zones(wall)} if wall.zones else {}),
        "openings": [_opening(opening) for opening in wall.openings],
    }


def _zones(wall: Wall) -> list[dict[str, Any]]:
    """Give the zones as a job file has them: tops, bands over them, starts within them."""
    rows: list[dict[str, Any]] = []
    for zone, after in zip(wall.zones, [*wall.zones[1:], None], strict=True):
        row: dict[str, Any] = {"siding": zone.siding} if zone.siding else {}
        if after is not None:
            row |= {"top": _length(zone.high), "band": _length(after.low - zone.high)}
        if rows:
            row["start"] = _length((zone.start or zone.low) - zone.low)
        rows.append(row)
    return rows


def _opening(opening: Opening) -> dict[str, Any]:
    known = {
        "name": opening.name,
        "kind": opening.kind.value,
        "shape": opening.shape.value,
    }
    if opening.corners:
        return known | {"corners": [[_length(p.x), _length(p.y)] for p in opening.corners]}
    own = {"rise": opening.rise, "cut": opening.cut}
    return (
        known
        | {key: _length(getattr(opening, key)) for key in ("x", "sill", "width", "height")}
        | {key: _length(length) for key, length in own.items() if length}
    )


def _soffit(soffit: Soffit) -> dict[str, Any]:
    return {
        "name": soffit.name,
        "mark": soffit.mark,
        **({"wall": soffit.wall} if soffit.wall else {}),
        "along": soffit.along.value,
        "length": _length(soffit.length),
        "depth": _length(soffit.depth),
        "panels": soffit.panels.value,
        "rip": soffit.rip.value,
        "left": soffit.left.value,
        "right": soffit.right.value,
        "left_depth": _length(soffit.left_depth),
        "right_depth": _length(soffit.right_depth),
        "wall_channel": soffit.wall_channel.value,
        "fascia_channel": soffit.fascia_channel.value,
    }


def _panel(panel: SoffitPanel, unit: Unit) -> dict[str, Any]:
    return {
        "label": panel.label,
        "soffit": panel.soffit,
        "x": panel.x,
        "y": panel.y,
        "width": panel.width,
        "width_text": write_length(panel.width, unit),
        "length": panel.length,
        "outline": [list(point) for point in panel.outline],
    }


def _end(end: PieceEnd) -> dict[str, Any]:
    return {
        "cut": end.cut.value,
        "meets": end.meets,
        "profile": [list(point) for point in end.profile],
    }


def _notch(notch: PieceNotch) -> dict[str, Any]:
    return {
        "opening": notch.opening,
        "edge": notch.edge.value,
        "start": notch.start,
        "end": notch.end,
        "cut_left": notch.cut_left,
        "cut_right": notch.cut_right,
        "upper": notch.upper,
        **({"points": [list(point) for point in notch.points]} if notch.points else {}),
    }


def _siding(piece: SidingPiece, unit: Unit) -> dict[str, Any]:
    return {
        "label": piece.label,
        "wall": piece.wall,
        "course": piece.course,
        "run": piece.run,
        "siding": piece.siding,
        "x": piece.x,
        "y": piece.y,
        "length": piece.length,
        "length_text": write_length(piece.length, unit),
        "height": piece.height,
        "ripped": piece.ripped,
        "left": _end(piece.left),
        "right": _end(piece.right),
        "notches": [_notch(notch) for notch in piece.notches],
    }


def _bar(bar: Bar, unit: Unit) -> dict[str, Any]:
    return {
        "number": bar.number,
        "stock": bar.stock,
        "stock_text": write_length(bar.stock, unit),
        "cuts": [{"label": cut.label, "start": cut.start, "end": cut.end} for cut in bar.cuts],
        "offcut": bar.offcut,
    }


def _material(material: MaterialPlan, unit: Unit) -> dict[str, Any]:
    return {
        "role": material.role,
        "name": material.name,
        "status": material.status,
        "priced": material.priced,
        "bound": material.bound,
        "cost": material.cost,
        "seams_too": material.seams_too,
        "least_seams": material.least_seams,
        "order": [
            {
                "stock": line.stock,
                "stock_text": write_length(line.stock, unit),
                "count": line.count,
                "spare": line.spare,
                "carton": line.carton,
                "price": line.price,
            }
            for line in material.order
        ],
        "bars": [_bar(bar, unit) for bar in material.bars],
    }
