"""What was understood of a job, for its writer to agree with."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from lapwright.job.material import MONEY
from lapwright.measure import Unit, square_feet, square_metres, write_feet, write_length
from lapwright.record import COUNT_RULES
from lapwright.siding import lay_out
from lapwright.takeoff.area import gross_area, opening_area
from lapwright.takeoff.estimate import pieces_by_area

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.job import Job
    from lapwright.job.material import StockLength
    from lapwright.job.wall import Wall


def reading_text(job: Job) -> str:
    """Write what a job says, with every rule in force, and what its layout comes to."""
    return "\n".join(_lines(job)) + "\n"


def _lines(job: Job) -> Iterator[str]:
    unit = job.unit
    yield f"{job.name}: {len(job.walls)} walls, {job.siding.name}"
    yield f"hung at {float(job.temperature):g} F; spare {float(job.spare):.1%}"
    yield ""
    yield from (_wall(wall, unit) for wall in job.walls)
    yield ""
    yield (
        f"siding: {job.siding.name}, {job.siding.family.value}, exposure"
        f" {write_length(job.siding.exposure, unit)}; {_stock(job, job.siding.stock)}"
    )
    for trim in job.trim:
        yield f"{trim.role.value}: {trim.name}; {_stock(job, trim.stock)}"
    yield ""
    for name in job.rules.__slots__:
        value = getattr(job.rules, name)
        words = str(value) if name in COUNT_RULES else write_length(value, unit)
        yield f"{name:<16} {words}"
    layout = lay_out(job)
    courses = sum(len(laid) for laid in layout.courses)
    yield ""
    yield (
        f"layout: {courses} courses, {len(layout.splits)} runs,"
        f" {len(layout.pieces)} pieces, {len(layout.seams)} seams;"
        f" {len(layout.broken)} seam rules that cannot be kept"
    )
    net = sum(gross_area(wall.outline) - opening_area(wall) for wall in job.walls)
    longest = job.siding.longest
    count = pieces_by_area(net, job.siding.exposure, longest, Fraction(1, 10))
    yield (
        f"for comparison, net area and 10 %: {count} of {write_length(longest, unit)}"
        " (an estimating rule, not a plan)"
    )
    yield from job.remarks


def _wall(wall: Wall, unit: Unit) -> str:
    gross = gross_area(wall.outline)
    net = gross - opening_area(wall)
    if unit.is_metric:
        size = f"{write_length(wall.width, unit)} by {write_length(wall.height, unit)}"
        area = f"{float(square_metres(gross)):.2f} m2, {float(square_metres(net)):.2f} net"
    else:
        size = f"{write_feet(wall.width)} by {write_feet(wall.height)}"
        area = f"{float(square_feet(gross)):.1f} sq ft, {float(square_feet(net)):.1f} net"
    stops = f"{wall.left.value} to {wall.right.value}"
    count = len(wall.openings)
    openings = f"{count} opening" + ("" if count == 1 else "s")
    return f"{wall.mark}  {wall.name}: {size}, {area}, {openings}, {stops}"


def _stock(job: Job, stock: Sequence[StockLength]) -> str:
    words = []
    for entry in stock:
        text = write_length(entry.length, job.unit)
        if entry.price is not None:
            text += f" at {job.currency}{entry.price / MONEY:.2f}"
        if entry.carton is not None:
            text += f", {entry.carton} a carton"
        if entry.supply is not None:
            text += f", {entry.supply} to be had"
        words.append(text)
    return "; ".join(words)
