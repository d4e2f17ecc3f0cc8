"""The optional groups of a job: heat and cold, supplies, estimating, work, stickers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lapwright.errors import Finding
from lapwright.job import catalogue
from lapwright.job.estimating import Estimating
from lapwright.job.labour import MINUTES, Labour
from lapwright.job.material import Family
from lapwright.job.stickers import PAPERS, StickerSheet
from lapwright.job.supplies import Supplies
from lapwright.job.thermal import Thermal, write_degrees
from lapwright.job.value import read_area, read_coefficient, read_percent
from lapwright.measure import Ticks, Unit, read_length, write_length

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.job.document import Document
    from lapwright.job.form import JobForm
    from lapwright.job.material import Siding


def read_thermal(form: JobForm, family: Family) -> Thermal | None:
    """Make the movement by heat and cold, None where the job does not ask for it."""
    given = form.thermal
    if given is None:
        return None
    texts = catalogue.group_texts("thermal", family)
    return Thermal(
        coefficient=given.coefficient or read_coefficient(texts["coefficient"]),
        coldest=given.coldest,
        hottest=given.hottest,
        pocket=given.pocket or read_length(texts["pocket"], Unit.INCH),
    )


def read_supplies(form: JobForm, family: Family) -> Supplies | None:
    """Make the rules of counting, None where the job wants nothing counted."""
    if form.supplies is None:
        return None
    texts = catalogue.group_texts("supplies", family)
    lengths = {name: read_length(text, Unit.INCH) for name, text in texts.items()}
    given = {name: value for name, value in form.supplies if value is not None}
    return Supplies(**(lengths | given))


def read_estimating(form: JobForm, family: Family) -> Estimating | None:
    """Make the estimating inputs, None where the job wants no conventions."""
    given = form.estimating
    if given is None:
        return None
    texts = catalogue.group_texts("estimating", family)
    waste, large = given.waste, given.large_opening
    return Estimating(
        waste=read_percent(texts["waste"]) if waste is None else waste,
        large_opening=read_area(texts["large_opening"]) if large is None else large,
    )


def read_labour(form: JobForm) -> Labour | None:
    """Make what work takes, None where the job does not say."""
    given = form.labour
    return None if given is None else Labour(**dict(given))


def read_stickers(form: JobForm) -> StickerSheet | None:
    """Make the job's own sheet of stickers, None where it has none."""
    given = form.stickers
    if given is None:
        return None
    paper = given.paper or ("a4" if form.unit.is_metric else "letter")
    wide, high = PAPERS[paper]
    across, down = given.across or given.width, given.down or given.height
    room_across = wide - (given.columns - 1) * across - given.width
    room_down = high - (given.rows - 1) * down - given.height
    return StickerSheet(
        paper=paper,
        columns=given.columns,
        rows=given.rows,
        width=given.width,
        height=given.height,
        left=Ticks(room_across // 2) if given.left is None else given.left,
        top=Ticks(room_down // 2) if given.top is None else given.top,
        across=across,
        down=down,
    )


def long_panels(siding: Siding, unit: Unit) -> Iterator[str]:
    """Warn of stock lengths for which the institute's end gap no longer holds.

    References
    ----------
    Vinyl Siding Institute, Installation Manual, Horizontal Siding: from 20 ft on the
    maker's figure takes the place of 1/4 in.
    """
    if siding.family is not Family.LAPPED:
        return
    limit = read_length(catalogue.group_texts("thermal", siding.family)["long_panel"], unit)
    if siding.longest >= limit:
        yield (
            f"stock length {write_length(siding.longest, unit)}: from"
            f" {write_length(limit, unit)} on the rule of 1/4 in (3/8 in in the cold) no longer"
            " holds; give the maker's figure as end_gap, or the group thermal"
        )


def judge_groups(document: Document, form: JobForm) -> Iterator[Finding]:
    """Find what is wrong between the values of the optional groups."""
    yield from _judge_thermal(document, form)
    yield from _judge_work(document, form)
    if form.supplies is None:
        return
    counted = read_supplies(form, Family.LAPPED)
    for key in ("barrier_width", "barrier_length"):
        if counted is not None and counted.barrier_lap >= getattr(counted, key):
            lap = write_length(counted.barrier_lap, form.unit)
            wanted = (
                f"a lap below the {key} of {write_length(getattr(counted, key), form.unit)}"
            )
            yield Finding(
                document.place(("supplies", "barrier_lap")), f"a lap of {lap}", wanted
            )


def _judge_work(document: Document, form: JobForm) -> Iterator[Finding]:
    """Find what is wrong with the minutes of work and the sheet of stickers."""
    if form.labour is not None and all(getattr(form.labour, key) is None for key in MINUTES):
        spot = document.place(("labour",))
        yield Finding(spot, "no minutes", f"one or more of {', '.join(MINUTES)}")
    sheet = read_stickers(form)
    if sheet is None:
        return
    wide, high = PAPERS[sheet.paper]
    for key, pitch, size in (
        ("across", sheet.across, sheet.width),
        ("down", sheet.down, sheet.height),
    ):
        if pitch < size:
            found = f"a pitch of {write_length(pitch, form.unit)}"
            wanted = f"one sticker or more, {write_length(size, form.unit)}"
            yield Finding(document.place(("stickers", key)), found, wanted)
    for key, first, last, most in (
        ("columns", sheet.left, sheet.right, wide),
        ("rows", sheet.top, sheet.bottom, high),
    ):
        if first < 0 or last > most:
            # Stickers set amid the paper run over both edges alike.
            need = last - min(first, 0)
            found = f"{getattr(sheet, key)} {key} that need {write_length(need, form.unit)}"
            wanted = f"at most {write_length(most, form.unit)}, the {sheet.paper} paper"
            yield Finding(document.place(("stickers", key)), found, wanted)


def _judge_thermal(document: Document, form: JobForm) -> Iterator[Finding]:
    given, unit = form.thermal, form.unit
    if given is None:
        return
    hung = form.hanging_temperature
    for key, degrees, fits, words in (
        ("coldest", given.coldest, given.coldest <= hung, "at most"),
        ("hottest", given.hottest, given.hottest >= hung, "at least"),
    ):
        if not fits:
            wanted = f"{words} the hanging temperature, {write_degrees(hung, unit)}"
            spot = document.place(("thermal", key))
            yield Finding(spot, write_degrees(degrees, unit), wanted)
    family = form.siding.family
    if family is None and form.siding.material in catalogue.siding_names():
        family = catalogue.built_in_siding(form.siding.material).family
    known = catalogue.group_texts("thermal", family or Family.LAPPED)
    if given.coefficient is None and "coefficient" not in known:
        yield Finding(
            document.place(("thermal",)),
            f"nothing, and none is known for a {family} siding",
            "the key 'coefficient', such as 3.5e-5 /F, from the maker",
        )
