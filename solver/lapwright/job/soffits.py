"""From the list of soffits in a job file to soffits, or to what is wrong with them."""

from __future__ import annotations

from collections import Counter
from math import isqrt
from typing import TYPE_CHECKING

from lapwright.errors import Finding
from lapwright.job import catalogue
from lapwright.job.material import Family, TrimRole
from lapwright.job.outline import wall_outline
from lapwright.job.soffit import Soffit, SoffitPlace
from lapwright.job.wall import mark_at
from lapwright.measure import Rounding, Ticks, to_tape, write_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.document import Document
    from lapwright.job.form import JobForm
    from lapwright.job.wall import Wall
    from lapwright.job.wall_form import SoffitForm

OF_SOFFITS = (TrimRole.FASCIA, TrimRole.F_CHANNEL, TrimRole.SOFFIT)
"""Trim that comes from the catalogue only where a job has soffits."""


def make_soffits(form: JobForm, walls: Sequence[Wall]) -> tuple[Soffit, ...]:
    """Make the soffits of a form that has been judged."""
    return tuple(
        _soffit(entry, position, form, walls) for position, entry in enumerate(form.soffits)
    )


def judge_soffits(document: Document, form: JobForm) -> Iterator[Finding]:
    """Find what is wrong with the soffits of a job."""
    named = {wall.name for wall in form.walls} | {w.mark for w in form.walls if w.mark}
    names = Counter(soffit.name for soffit in form.soffits)
    marks = Counter([*_marks(form), *_wall_marks(form)])
    for position, entry in enumerate(form.soffits):
        path = ("soffits", position)
        if names[entry.name] > 1:
            yield Finding(document.place((*path, "name")), repr(entry.name), "each name once")
        mark = _marks(form)[position]
        if marks[mark] > 1:
            found = f"the mark {mark!r} a second time"
            yield Finding(
                document.place((*path, "mark")), found, "each once, walls and soffits"
            )
        if entry.wall is not None and entry.wall not in named | set(_wall_marks(form)):
            wanted = "the name or the mark of a wall"
            yield Finding(document.place((*path, "wall")), repr(entry.wall), wanted)
        elif entry.length is None and _length_at(entry, form) == 0:
            wanted = "the key 'length', or a wall that has this edge"
            yield Finding(document.place((*path, "length")), "nothing", wanted)
        else:
            yield from _judge_room(document, position, form)
    yield from _judge_trim(document, form)


def _judge_room(document: Document, position: int, form: JobForm) -> Iterator[Finding]:
    """Find a soffit whose corners or gaps leave nothing for a panel."""
    entry, unit = form.soffits[position], form.unit
    soffit = _soffit(entry, position, form, ())
    gap = form.rules.soffit_gap
    if gap is None:
        gap = catalogue.default_rules(None, _family(form), cold=False)["soffit_gap"]
    path = ("soffits", position)
    if soffit.depth <= 2 * gap:
        found = f"a depth of {write_length(soffit.depth, unit)}"
        wanted = f"more than two gaps of {write_length(gap, unit)}"
        yield Finding(document.place((*path, "depth")), found, wanted)
        return
    low_left, low_right, high_right, high_left = (u for u, _ in soffit.clear(gap))
    if low_right <= low_left or high_right <= high_left:
        found = f"a length of {write_length(soffit.length, unit)}"
        wanted = "a length that its corners leave something of"
        yield Finding(document.place((*path, "length")), found, wanted)


def _judge_trim(document: Document, form: JobForm) -> Iterator[Finding]:
    given = form.trim.soffit
    if given is not None and given.face == 0:
        wanted = "the width that a panel covers, above zero"
        yield Finding(document.place(("trim", "soffit", "face")), "0", wanted)
    for role in TrimRole:
        trim = getattr(form.trim, role.value)
        built_in = {
            t.role for t in catalogue.built_in_trim(form.siding.material, _family(form))
        }
        if trim is None or role in built_in:
            continue
        spot = document.place(("trim", role.value))
        if trim.stock is None:
            yield Finding(spot, "nothing, and the catalogue has none", "the key 'stock'")
    if form.head_flashing and len(set(form.head_flashing)) < len(form.head_flashing):
        yield Finding(document.place(("head_flashing",)), "a kind twice", "each kind once")


def _family(form: JobForm) -> Family:
    siding = form.siding
    if siding.family is None and siding.material in catalogue.siding_names():
        return catalogue.built_in_siding(siding.material).family
    return siding.family or Family.LAPPED


def _marks(form: JobForm) -> list[str]:
    return [s.mark or f"E{position}" for position, s in enumerate(form.soffits, start=1)]


def _wall_marks(form: JobForm) -> list[str]:
    return [wall.mark or mark_at(i) for i, wall in enumerate(form.walls)]


def _soffit(form: SoffitForm, position: int, job: JobForm, walls: Sequence[Wall]) -> Soffit:
    mark = next((wall.mark for wall in walls if form.wall in (wall.name, wall.mark)), "")
    return Soffit(
        name=form.name,
        mark=_marks(job)[position],
        wall=mark,
        along=form.along,
        length=form.length or _length_at(form, job),
        depth=form.depth,
        panels=form.panels,
        rip=form.rip,
        left=form.left,
        right=form.right,
        left_depth=form.left_depth or form.depth,
        right_depth=form.right_depth or form.depth,
        wall_channel=form.wall_channel,
        fascia_channel=form.fascia_channel,
    )


def _length_at(form: SoffitForm, job: JobForm) -> Ticks:
    """Measure the edge of a wall that a soffit runs along, 0 where there is none. [ticks]

    Along an eave that is the wall's width; a rake's length is rounded up to the tape.
    """
    marks = _wall_marks(job)
    wall = next(
        (w for w, mark in zip(job.walls, marks, strict=True) if form.wall in (w.name, mark)),
        None,
    )
    if wall is None:
        return Ticks(0)
    outline, _ = wall_outline(wall)
    if form.along is SoffitPlace.EAVE:
        return Ticks(max(p.x for p in outline))
    length = 0
    for a, b in zip(outline, (*outline[1:], outline[0]), strict=True):
        # Upper sides run to the left: one that falls is on the left of the peak.
        falls = b.y < a.y
        if a.x > b.x and a.y != b.y and falls == (form.along is SoffitPlace.LEFT_RAKE):
            square = (a.x - b.x) ** 2 + (a.y - b.y) ** 2
            root = isqrt(square)
            length += root if root * root == square else root + 1
    return to_tape(length, job.unit, Rounding.UP)
