"""What is wrong with a job beyond the form of its single values."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from lapwright.errors import Finding
from lapwright.job import catalogue
from lapwright.job.groups import judge_groups
from lapwright.job.heights import judge_courses
from lapwright.job.material import Family
from lapwright.job.openings import judge_opening, opening_of
from lapwright.job.outline import crossing_edges, twice_area, wall_outline
from lapwright.job.wall import Point
from lapwright.job.zones import judge_zones
from lapwright.measure import FOOT, Ticks, Unit, write_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.document import Document
    from lapwright.job.form import JobForm
    from lapwright.job.job import Job
    from lapwright.job.material import Trim
    from lapwright.job.material_form import SidingForm, StockForm, TrimForm
    from lapwright.job.wall import Opening
    from lapwright.job.wall_form import WallForm

    Path = tuple[str | int, ...]


_LONGEST = 1000 * FOOT
"""A wall longer than this is taken for a slip of the pen. [ticks]"""


def judge_wall(document: Document, position: int, wall: WallForm) -> Iterator[Finding]:
    """Find what is wrong with one wall: its shape, and openings outside of it."""
    path: Path = ("walls", position)
    shape = list(_judge_shape(document, path, wall))
    yield from shape
    if shape:
        return
    outline, moved = wall_outline(wall)
    unit = _unit(document)
    wide, top = max(p.x for p in outline), max(p.y for p in outline)
    for key, length in (("width", wide), ("height", top)):
        if length > _LONGEST:
            found = f"a wall whose {key} is {write_length(length, unit)}"
            place = document.place((*path, key if getattr(wall, key) else "outline"))
            yield Finding(place, found, "at most 1000 ft, in the right unit")
    if wall.start is not None and wall.start >= top:
        found = f"the first course at {write_length(wall.start, unit)}"
        wanted = f"a start below the wall's top at {write_length(top, unit)}"
        yield Finding(document.place((*path, "start")), found, wanted)
    for number, opening in enumerate(wall.openings):
        spot = (*path, "openings", number)
        if opening.name in ("eave", "roof", "step", "bottom", "outline"):
            place = document.place((*spot, "name"))
            yield Finding(place, repr(opening.name), "a name that no edge of a wall has")
        wrong = list(judge_opening(document, spot, opening, unit))
        yield from wrong
        if wrong:
            continue
        here = opening_of(opening, moved)
        if not _meets(outline, here):
            yield Finding(
                document.place((*spot, "x" if opening.x is not None else "corners")),
                f"{opening.name!r} wholly outside of its wall"
                f" (x {write_length(here.x + moved.x, unit)} to"
                f" {write_length(here.right + moved.x, unit)}, y"
                f" {write_length(here.sill + moved.y, unit)} to"
                f" {write_length(here.head + moved.y, unit)})",
                "an opening inside the wall's outline",
            )
    yield from judge_zones(document, path, wall, unit)
    yield from _judge_names(
        document,
        (*path, "openings"),
        [opening.name for opening in wall.openings],
        "name",
    )


def judge_job(document: Document, form: JobForm | None) -> Iterator[Finding]:
    """Find what is wrong between the parts of a job: names, materials, prices."""
    if form is None:
        return
    yield from _judge_names(document, ("walls",), [w.name for w in form.walls], "name")
    marks = [wall.mark or "" for wall in form.walls]
    yield from _judge_names(document, ("walls",), marks, "mark")
    yield from _judge_sidings(document, form)
    yield from judge_courses(document, form)
    yield from judge_groups(document, form)
    for role in type(form.trim).model_fields:
        trim = getattr(form.trim, role)
        if trim is not None and trim.stock:
            yield from _judge_stock(document, ("trim", role, "stock"), trim.stock)
        if trim is not None:
            yield from _judge_leftovers(document, ("trim", role), trim)
    for position, entry in enumerate(form.sidings):
        for role in type(entry.trim).model_fields:
            trim = getattr(entry.trim, role)
            if trim is not None and trim.stock:
                path: Path = ("sidings", position, "trim", role, "stock")
                yield from _judge_stock(document, path, trim.stock)
            if trim is not None:
                at: Path = ("sidings", position, "trim", role)
                yield from _judge_leftovers(document, at, trim)


def judge_trim_materials(document: Document, job: Job) -> Iterator[Finding]:
    """Find trim that cannot be bought, or told from other trim."""
    groups: list[tuple[Path, Sequence[Trim]]] = [(("trim",), job.trim)]
    groups += [
        (("sidings", position, "trim"), cladding.trim)
        for position, cladding in enumerate(job.further)
    ]
    known: dict[tuple[str, str], Trim] = {}
    for path, group in groups:
        for trim in group:
            place = document.place((*path, trim.role.value))
            if not trim.stock:
                yield Finding(place, "trim without a stock length", "the key 'stock'")
            if known.setdefault((trim.role, trim.name), trim) != trim:
                wanted = "a name of its own, since it is not the same material"
                yield Finding(place, f"{trim.name!r} a second time", wanted)


def _judge_shape(document: Document, path: Path, wall: WallForm) -> Iterator[Finding]:
    whole = document.place(path)
    if wall.outline is not None:
        for key in ("width", "height", "gable"):
            if getattr(wall, key) is not None:
                wanted = "either an outline, or width and height"
                yield Finding(
                    document.place((*path, key)), f"{key!r} beside an outline", wanted
                )
        corners = [Point(x, y) for x, y in wall.outline]
        spot = document.place((*path, "outline"))
        if twice_area(corners) == 0:
            yield Finding(spot, "an outline without area", "a wall with some area")
        elif (edges := crossing_edges(_plain(wall))) is not None:
            first, second = edges
            found = f"an outline whose sides {first + 1} and {second + 1} cross or touch"
            yield Finding(spot, found, "corners in order round the wall, no side crossing")
        return
    for key in ("width", "height"):
        if getattr(wall, key) is None:
            yield Finding(whole, "nothing", f"the key {key!r}, or an outline")
    if wall.gable is not None and (wall.gable.pitch is None) == (wall.gable.rise is None):
        spot = document.place((*path, "gable"))
        found = "neither" if wall.gable.pitch is None else "both"
        yield Finding(spot, f"{found} of pitch and rise", "one of the two")


def _plain(wall: WallForm) -> tuple[Point, ...]:
    return wall_outline(wall)[0]


def _judge_names(
    document: Document, path: Path, names: Sequence[str], key: str
) -> Iterator[Finding]:
    seen: dict[str, int] = {}
    for position, name in enumerate(names):
        if not name:
            continue
        if name in seen:
            yield Finding(
                document.place((*path, position, key)),
                f"the {key} {name!r} a second time (first in entry {seen[name] + 1})",
                "each once",
            )
        seen.setdefault(name, position)


def _judge_sidings(document: Document, form: JobForm) -> Iterator[Finding]:
    yield from _judge_siding(document, ("siding",), form.siding)
    names = [form.siding.material]
    for position, entry in enumerate(form.sidings):
        path: Path = ("sidings", position)
        yield from _judge_siding(document, path, entry)
        if entry.material in names:
            place = document.place((*path, "material"))
            yield Finding(place, f"{entry.material!r} a second time", "each siding once")
        names.append(entry.material)
    for number, wall in enumerate(form.walls):
        spots: list[tuple[Path, str | None]] = [(("walls", number, "siding"), wall.siding)]
        spots += [
            (("walls", number, "zones", place, "siding"), zone.siding)
            for place, zone in enumerate(wall.zones)
        ]
        for spot, name in spots:
            if name is not None and name not in names:
                yield Finding(document.place(spot), repr(name), "one of " + ", ".join(names))


def _judge_siding(document: Document, path: Path, siding: SidingForm) -> Iterator[Finding]:
    if siding.material not in catalogue.siding_names():
        missing = [
            key for key in ("family", "exposure", "stock") if getattr(siding, key) is None
        ]
        if missing:
            known = ", ".join(catalogue.siding_names())
            yield Finding(
                document.place((*path, "material")),
                f"{siding.material!r} without {', '.join(missing)}",
                f"one of {known}; or a siding of your own with family, exposure, stock",
            )
    if siding.stock:
        yield from _judge_stock(document, (*path, "stock"), siding.stock)
    yield from _judge_leftovers(document, path, siding)
    family = siding.family
    if family is None and siding.material in catalogue.siding_names():
        family = catalogue.built_in_siding(siding.material).family
    if family is not Family.BUTTED:
        for position, row in enumerate(siding.leftovers):
            if row.ends != "both":
                place = document.place((*path, "leftovers", position))
                found = "a leftover of lapped siding without both factory ends"
                yield Finding(place, found, "ends: both; others are not planned yet")


def _judge_leftovers(
    document: Document, path: Path, material: SidingForm | TrimForm
) -> Iterator[Finding]:
    stock = material.stock or []
    if material.leftovers and (not stock or stock[0].price is None):
        found = "leftovers of a material whose stock has no prices"
        wanted = "the key 'stock' with a price for each length, for leftovers cost nothing"
        yield Finding(document.place((*path, "leftovers")), found, wanted)
        return
    seen = {row.length for row in stock}
    longest = max(seen, default=Ticks(0))
    for position, row in enumerate(material.leftovers):
        place = document.place((*path, "leftovers", position, "length"))
        if row.length in seen:
            yield Finding(place, "a length that there is already", "each length once")
        elif row.length > longest:
            found = "a leftover longer than every stock length"
            yield Finding(place, found, "a length below the longest stock length")
        seen.add(row.length)


def _judge_stock(
    document: Document, path: Path, stock: Sequence[StockForm]
) -> Iterator[Finding]:
    priced = [row.price is not None for row in stock]
    if any(priced) and not all(priced):
        first = priced.index(False)
        yield Finding(
            document.place((*path, first)),
            "a stock length without a price",
            "a price for each stock length of a material, or for none",
        )
    seen: dict[Ticks, int] = {}
    for position, row in enumerate(stock):
        if row.length in seen:
            yield Finding(
                document.place((*path, position, "length")),
                f"the stock length of entry {seen[row.length] + 1} again",
                "each stock length once",
            )
        seen.setdefault(row.length, position)


def _meets(outline: Sequence[Point], opening: Opening) -> bool:
    """Whether an opening's box and the wall share some area."""
    left, low, right, high = opening.x, opening.sill, opening.right, opening.head
    clipped = [(Fraction(p.x), Fraction(p.y)) for p in outline]
    for axis, limit, keep_above in ((0, left, True), (0, right, False), (1, low, True)):
        clipped = _clip(clipped, axis, limit, keep_above=keep_above)
    clipped = _clip(clipped, 1, high, keep_above=False)
    following = clipped[1:] + clipped[:1]
    pairs = zip(clipped, following, strict=True)
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs) != 0


def _clip(
    points: Sequence[tuple[Fraction, Fraction]],
    axis: int,
    limit: int,
    *,
    keep_above: bool,
) -> list[tuple[Fraction, Fraction]]:
    """Keep the part of a polygon on one side of a line along an axis."""
    kept: list[tuple[Fraction, Fraction]] = []
    for a, b in zip(points, [*points[1:], *points[:1]], strict=True):
        a_in = a[axis] >= limit if keep_above else a[axis] <= limit
        b_in = b[axis] >= limit if keep_above else b[axis] <= limit
        if a_in:
            kept.append(a)
        if a_in != b_in:
            share = (limit - a[axis]) / (b[axis] - a[axis])
            kept.append((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))
    return kept


def _unit(document: Document) -> Unit:
    try:
        return Unit(document.data.get("unit", Unit.INCH))
    except ValueError:
        return Unit.INCH
