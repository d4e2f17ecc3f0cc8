"""What was understood of a job, for its writer to agree with."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lapwright.finding import find_all
from lapwright.job.field import job_of
from lapwright.job.material import MONEY
from lapwright.job.thermal import write_degrees
from lapwright.measure import Ticks, Unit, square_feet, square_metres, write_feet, write_length
from lapwright.planning import lay_trim
from lapwright.record import COUNT_RULES
from lapwright.siding import lay_out
from lapwright.takeoff.area import gross_area, opening_area
from lapwright.takeoff.convention import estimates
from lapwright.takeoff.grid import best_start, walls_that_share
from lapwright.trimwork import find_trim
from lapwright_cli.reports.alike import told_once

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from fractions import Fraction

    from lapwright.job.job import Job
    from lapwright.job.material import Siding, StockLength
    from lapwright.job.rules import Rules
    from lapwright.job.wall import Wall
    from lapwright.plan import SoffitPanel
    from lapwright.siding import Layout


def reading_text(job: Job) -> str:
    """Write what a job says, with every rule in force, and what its layout comes to."""
    return "\n".join(_lines(job)) + "\n"


def _lines(job: Job) -> Iterator[str]:
    unit = job.unit
    names = ", ".join(siding.name for siding in job.sidings)
    yield f"{job.name}: {_count(len(job.walls))}, {names}"
    yield f"hung at {float(job.temperature):g} F; spare {float(job.spare):.1%}"
    yield ""
    yield from (_wall(wall, unit) for wall in job.walls)
    yield from _zones(job)
    yield ""
    for siding in job.sidings:
        yield (
            f"siding: {siding.name}, {siding.family.value},"
            f" {_exposures(siding, unit)}; {_stock(job, siding.stock)}"
        )
    for trim in job.trim_materials:
        yield f"{trim.role.value}: {trim.name}; {_stock(job, trim.stock)}"
    yield ""
    yield from (f"{name:<16} {words}" for name, words in _rules(job.rules, unit))
    for cladding in job.further:
        first = dict(_rules(job.rules, unit))
        own = [(name, words) for name, words in _rules(cladding.rules, unit)]
        if differing := [(name, words) for name, words in own if words != first[name]]:
            yield f"where {cladding.siding.name} differs:"
            yield from (f"  {name:<16} {words}" for name, words in differing)
    yield from _groups(job)
    yield from _starts(job)
    layout = lay_out(job)
    courses = sum(len(laid) for laid in layout.courses)
    yield ""
    yield (
        f"layout: {courses} courses, {len(layout.splits)} runs,"
        f" {len(layout.pieces)} pieces, {len(layout.seams)} seams;"
        f" {len(layout.broken)} seam rules that cannot be kept"
    )
    for siding in job.sidings:
        yield from _conventions(job_of(job, siding), layout.of(siding))
    pieces, panels = lay_trim(job, layout)
    yield from _soffits(job, panels)
    findings = (*find_all(job, layout), *find_trim(job, pieces, panels))
    if findings:
        yield ""
        yield "to know before work begins:"
        yield from (f"  - {finding}" for finding in told_once(findings))


def _soffits(job: Job, panels: Sequence[SoffitPanel]) -> Iterator[str]:
    if job.head_flashing:
        kinds = ", ".join(kind.value for kind in job.head_flashing)
        yield f"head flashing over: {kinds}"
    if job.band_flashing:
        yield "head flashing along the upper edges of belly bands"
    for soffit in job.soffits:
        length, depth = (write_length(v, job.unit) for v in (soffit.length, soffit.depth))
        count = sum(panel.soffit == soffit.mark for panel in panels)
        over = f" over wall {soffit.wall}" if soffit.wall else ""
        yield (
            f"{soffit.mark}  {soffit.name}: {soffit.along.value}{over}, {length} by {depth},"
            f" {count} panels {soffit.panels.value}, {soffit.left.value} to"
            f" {soffit.right.value}"
        )


def _zones(job: Job) -> Iterator[str]:
    for wall in job.walls:
        for number, zone in enumerate(wall.zones, start=1):
            name = job.cladding(zone.siding)[0].name
            low, high = (write_length(y, job.unit) for y in (zone.low, zone.high))
            yield f"{wall.mark}  zone {number}: {low} to {high} above the bottom, {name}"


def _rules(rules: Rules, unit: Unit) -> Iterator[tuple[str, str]]:
    for name in rules.__slots__:
        value = getattr(rules, name)
        if name == "hard":
            yield name, ", ".join(value) or "none"
            continue
        yield name, str(value) if name in COUNT_RULES else write_length(value, unit)


def _exposures(siding: Siding, unit: Unit) -> str:
    words = f"exposure {write_length(siding.exposure, unit)}"
    if siding.exposures:
        each = ", ".join(write_length(exposure, unit) for exposure in siding.exposures)
        return f"exposures {each} from the bottom up, the last going on"
    if siding.evened and siding.least_exposure and siding.greatest_exposure:
        least, greatest = siding.least_exposure, siding.greatest_exposure
        words += (
            f", evened out from {write_length(least, unit)} to {write_length(greatest, unit)}"
        )
    return words


def _starts(job: Job) -> Iterator[str]:
    """Tell where the courses of each part of the house begin, and of walls of their own."""
    yield ""
    for siding in job.sidings:
        own = job_of(job, siding)
        of = f"{siding.name}, " if len(job.sidings) > 1 else ""
        for part, walls in walls_that_share(own).items():
            start = best_start(own, walls).start if job.start is None else job.start
            chosen = ", the best of start_range" if job.start is None else ""
            marks = ", ".join(wall.mark for wall in walls)
            yield (
                f"courses of {of}{f'part {part}, ' if part else ''}walls {marks}: start"
                f" {write_length(start, job.unit)}{chosen}"
            )
    for wall in job.walls:
        if wall.start is not None:
            yield f"courses of wall {wall.mark}: start {write_length(wall.start, job.unit)}"


def _groups(job: Job) -> Iterator[str]:
    """Tell what the optional groups of the job say, the catalogue's values among them."""
    unit = job.unit
    if job.thermal is not None:
        thermal, longest = job.thermal, job.siding.longest
        need = thermal.room_at_each_end(longest, job.temperature, unit)
        cold, hot = (write_degrees(t, unit) for t in (thermal.coldest, thermal.hottest))
        yield (
            f"thermal: {float(thermal.coefficient):.3g} /F, from {cold} to {hot};"
            f" {write_length(longest, unit)} needs {write_length(need, unit)} at each end;"
            f" ends are covered by {write_length(thermal.pocket, unit)}"
        )
    if job.supplies is None:
        return
    for name in job.supplies.__slots__:
        value = getattr(job.supplies, name)
        if name == "nails_a_pound":
            words = "nails are not weighed" if value is None else str(value)
        elif value is None:
            words = "no furring"
        else:
            words = write_length(value, unit)
        yield f"{name:<22} {words}"


def _conventions(job: Job, layout: Layout) -> Iterator[str]:
    """Lay what each estimating convention would order beside what is laid out."""
    made = estimates(job)
    if not made or job.estimating is None:
        return
    longest = job.siding.longest
    rows = [("convention", "to cover", "squares", "pieces", "cartons")]
    for estimate in made:
        cartons = "-" if estimate.cartons is None else str(estimate.cartons)
        rows.append(
            (
                estimate.convention.name,
                _area(estimate.area, job.unit),
                f"{float(estimate.squares):.2f}",
                str(estimate.pieces),
                cartons,
            )
        )
    together = sum(piece.length for piece in layout.pieces)
    at_least = "the pieces laid out, end to end"
    rows.append((at_least, "", "", str(-(-together // longest)), ""))
    yield ""
    yield (
        f"estimating conventions, {float(job.estimating.waste):.1%} waste added, in pieces of"
        f" {job.siding.name} of {write_length(longest, job.unit)}; rules, not a plan:"
    )
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    for name, *numbers in rows:
        cells = [name.ljust(widths[0])]
        cells += [cell.rjust(w) for cell, w in zip(numbers, widths[1:], strict=True)]
        yield ("  " + "  ".join(cells)).rstrip()


def _area(area: Fraction, unit: Unit) -> str:
    if unit.is_metric:
        return f"{float(square_metres(area)):.1f} m2"
    return f"{float(square_feet(area)):.1f} sq ft"


def _count(walls: int) -> str:
    return "1 wall" if walls == 1 else f"{walls} walls"


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
    seen = ""
    if wall.seen_from is not None:
        side = "left of" if wall.seen_from < 0 else "from"
        away = Ticks(abs(wall.seen_from))
        far = write_length(away, unit) if unit.is_metric else write_feet(away)
        seen = f", seen from {far} {side} its left end"
    return f"{wall.mark}  {wall.name}: {size}, {area}, {openings}, {stops}{seen}"


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
