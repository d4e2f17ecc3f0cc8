"""Stock lengths: how they are cut, and the order that buys them."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.check.fault import fault, one_of
from lapwright.check.stretches import board_of, hung
from lapwright.job.material import TrimRole
from lapwright.measure import write_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from lapwright.check.claims import Bar, Claims, Line, Material
    from lapwright.job.job import Job
    from lapwright.job.material import StockLength, Trim


@dataclass(frozen=True, slots=True)
class Part:
    """What a bar must yield under a label."""

    length: int
    """[ticks]"""
    keeps_left: bool
    keeps_right: bool


def judge_materials(claims: Claims, job: Job) -> Iterator[str]:
    """Check every material: each piece cut once, bars, order, cost and bound."""
    # Sidings are told apart by their names, trim by its role.
    parts: dict[str, dict[str, Part]] = {}
    for piece in claims.pieces:
        cuts = (piece.left.cut == "factory", piece.right.cut == "factory")
        parts.setdefault(_key("siding", piece.siding, job), {})[piece.label] = Part(
            piece.length, *cuts
        )
    for trim in claims.trim:
        part = Part(trim.length, keeps_left=False, keeps_right=False)
        parts.setdefault(_key(trim.role, trim.material, job), {})[trim.label] = part
    keys = Counter(_key(m.role, m.name, job) for m in claims.materials)
    for key, count in keys.items():
        if count > 1:
            yield fault(f"material {key}", f"it {count} times", "it once")
    for key, wanted_parts in parts.items():
        if key not in keys:
            wanted = f"bars for its {len(wanted_parts)} pieces"
            yield fault(f"material {key}", "nothing", wanted)
    ranks = [_key("siding", s.name, job) for s in job.sidings]
    for role in TrimRole:
        names = [entry.name for entry in _trim_of(role.value, job)] or [role.value]
        ranks += dict.fromkeys(_key(role.value, name, job) for name in names)
    for before, after in pairwise(_key(m.role, m.name, job) for m in claims.materials):
        if {before, after} <= {*ranks} and ranks.index(before) > ranks.index(after):
            wanted = "siding first, then trim by role"
            yield fault(f"material {after}", f"it after {before}", wanted)
    labels = {piece.label: piece.siding for piece in claims.pieces}
    seams = Counter(labels.get(seam.left, "") for seam in claims.seams)
    number = 0
    for material in claims.materials:
        least = material.least_seams
        if least is not None and least > seams[material.name]:
            wanted = f"at most its {seams[material.name]} seams"
            yield fault(f"material {material.role}, least_seams", least, wanted)
        yield from _judge_material(
            material, parts.get(_key(material.role, material.name, job), {}), job
        )
        for bar in material.bars:
            number += 1
            if bar.number != number:
                yield fault(f"bar {bar.number} ({material.role})", "this number", number)


def _key(role: str, name: str, job: Job) -> str:
    """Tell materials apart: by role, and by name where there are several of a role."""
    several = job.sidings if role == "siding" else _trim_of(role, job)
    return f"{role} {name}" if len(several) > 1 else role


def _trim_of(role: str, job: Job) -> list[Trim]:
    """List the materials of a role of trim, each once; belly bands from the lowest up."""
    if role not in {*TrimRole}:
        return []
    if role == TrimRole.BELLY_BAND:
        heights = {b.low - a.high for wall in job.walls for a, b in pairwise(wall.zones)}
        boards = [board_of(job, height) for height in sorted(heights - {0})]
        return [board for board in boards if board is not None]
    names = [siding.name for siding in job.sidings]
    found = [trim for trim in job.trim if trim.role.value == role]
    found += [t for name in names for t in [hung(job, name, TrimRole(role))] if t is not None]
    return [trim for number, trim in enumerate(found) if trim not in found[:number]]


def _supplied(material: Material, job: Job) -> tuple[str, Sequence[StockLength], int] | None:
    """Give the name, the stock and the kerf of a material, None where there is none."""
    if material.role == "siding":
        for siding in job.sidings:
            if siding.name == material.name or len(job.sidings) == 1:
                return siding.name, siding.stock, job.cladding(siding.name)[1].siding_kerf
        return None
    several = _trim_of(material.role, job)
    for trim in several:
        if trim.name == material.name or len(several) == 1:
            panels = trim.role is TrimRole.SOFFIT
            kerf = job.rules.soffit_kerf if panels else job.rules.trim_kerf
            return trim.name, trim.stock, kerf
    return None


def _judge_material(material: Material, parts: Mapping[str, Part], job: Job) -> Iterator[str]:
    where = f"material {material.role}"
    supplied = _supplied(material, job)
    if supplied is None:
        yield fault(where, "it in the plan", "a material of the job")
        return
    name, stock, kerf = supplied
    if material.name != name:
        yield fault(f"{where}, name", material.name, name)
    known: dict[int, StockLength] = {entry.length: entry for entry in stock}
    cut = Counter(cut.label for bar in material.bars for cut in bar.cuts)
    for label in parts:
        if cut[label] != 1:
            found = "it cut nowhere" if not cut[label] else f"it cut {cut[label]} times"
            yield fault(f"piece {label} ({material.role})", found, "it cut once")
    for bar in material.bars:
        yield from _judge_bar(bar, parts, known, kerf, job)
    yield from _judge_order(material, known, job)
    yield from _judge_cost(material, known)


def _judge_bar(
    bar: Bar,
    parts: Mapping[str, Part],
    known: Mapping[int, StockLength],
    kerf: int,
    job: Job,
) -> Iterator[str]:
    where, unit = f"bar {bar.number}", job.unit
    if bar.stock not in known:
        lengths = one_of(write_length(length, unit) for length in known)
        yield fault(f"{where}, stock length", write_length(bar.stock, unit), lengths)
    if bar.text != write_length(bar.stock, unit):
        yield fault(f"{where}, stock_text", bar.text, write_length(bar.stock, unit))
    if not bar.cuts:
        yield fault(where, "no piece cut from it", "at least one")
    for cut in bar.cuts:
        part = parts.get(cut.label)
        if part is None:
            yield fault(f"{where}, piece {cut.label}", "it cut", "a piece of this material")
        elif cut.end - cut.start != part.length:
            found, wanted = (write_length(n, unit) for n in (cut.end - cut.start, part.length))
            yield fault(f"{where}, piece {cut.label}, length", found, wanted)
    yield from _judge_places(bar, parts, kerf, job)
    pieces = sum(cut.end - cut.start for cut in bar.cuts)
    offcut = max(0, bar.stock - pieces - len(bar.cuts) * kerf)
    if bar.offcut != offcut:
        found, wanted = write_length(bar.offcut, unit), write_length(offcut, unit)
        yield fault(f"{where}, offcut", found, wanted)


def _judge_places(bar: Bar, parts: Mapping[str, Part], kerf: int, job: Job) -> Iterator[str]:
    """Check where on its bar each piece is cut."""
    unit, place = job.unit, 0
    for number, cut in enumerate(bar.cuts, start=1):
        where = f"bar {bar.number}, piece {cut.label}"
        part = parts.get(cut.label, Part(0, keeps_left=False, keeps_right=False))
        if part.keeps_left and cut.start != 0:
            found = f"it at {write_length(cut.start, unit)}"
            yield fault(where, found, "it at the left end, for it keeps the left factory end")
        if part.keeps_right:
            if cut.end != bar.stock:
                found = f"it ending at {write_length(cut.end, unit)}"
                wanted = "it at the right end, for it keeps the right factory end"
                yield fault(where, found, wanted)
            if number < len(bar.cuts):
                yield fault(where, "pieces to the right of it", "it last")
            if cut.start < place:
                found = f"it at {write_length(cut.start, unit)}"
                yield fault(where, found, f"it at {write_length(place, unit)} or after")
        elif cut.start != place and not (part.keeps_left and cut.start):
            found = f"it at {write_length(cut.start, unit)}"
            yield fault(where, found, f"it at {write_length(place, unit)}")
        if cut.end > bar.stock:
            found = f"it ending at {write_length(cut.end, unit)}"
            yield fault(where, found, f"an end within {write_length(bar.stock, unit)}")
        place = cut.end + kerf


def _judge_order(
    material: Material, known: Mapping[int, StockLength], job: Job
) -> Iterator[str]:
    cut = Counter(bar.stock for bar in material.bars)
    listed = Counter(line.stock for line in material.order)
    for stock in cut:
        if not listed[stock]:
            where = f"material {material.role}, order"
            wanted = f"{cut[stock]} of {write_length(stock, job.unit)}"
            yield fault(where, "no line", wanted)
    for line in material.order:
        text = write_length(line.stock, job.unit)
        where = f"material {material.role}, order of {text}"
        if line.text != text:
            yield fault(f"{where}, stock_text", line.text, text)
        if listed[line.stock] > 1:
            yield fault(where, f"{listed[line.stock]} lines", "one line")
        if line.count != cut[line.stock]:
            yield fault(f"{where}, count", line.count, f"{cut[line.stock]}, as the bars")
        yield from _judge_line(where, line, known.get(line.stock), job)


def _judge_line(where: str, line: Line, stock: StockLength | None, job: Job) -> Iterator[str]:
    free = stock is not None and stock.price == 0 and stock.supply is not None
    spare = 0 if free else (line.count * job.spare).__ceil__()
    if line.spare != spare:
        yield fault(f"{where}, spare", line.spare, spare)
    if stock is None:
        yield fault(where, "it", "a stock length of the job")
        return
    if line.carton != stock.carton:
        yield fault(f"{where}, carton", line.carton, stock.carton)
    if line.price != stock.price:
        yield fault(f"{where}, price", line.price, stock.price)
    if stock.supply is not None and line.count > stock.supply:
        yield fault(f"{where}, count", line.count, f"at most the supply of {stock.supply}")


def _judge_cost(material: Material, known: Mapping[int, StockLength]) -> Iterator[str]:
    where = f"material {material.role}"
    priced = all(stock.price is not None for stock in known.values())
    if material.priced != priced:
        words = ("no prices", "prices")
        yield fault(where, words[material.priced], words[priced])
    cost = 0
    for bar in material.bars:
        stock = known.get(bar.stock)
        price = stock.price if stock else None
        cost += bar.stock if not priced or price is None else price
    if material.cost != cost:
        yield fault(f"{where}, cost", material.cost, cost)
    if not 0 <= material.bound <= material.cost:
        yield fault(f"{where}, bound", material.bound, f"at most the cost of {material.cost}")
    if material.status == "proven" and material.bound != material.cost:
        found = f"proven with bound {material.bound} and cost {material.cost}"
        yield fault(f"{where}, status", found, "the bound equal to the cost")
    if material.seams_too and material.role != "siding":
        yield fault(f"{where}, seams_too", "yes", "no, for trim has no seams to decide")
    if material.least_seams is not None and not material.seams_too:
        wanted = "null, for bound and status speak of these pieces alone"
        yield fault(f"{where}, least_seams", material.least_seams, wanted)
