"""What is wrong with the heights of courses: exposures, starts and where they are sought."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lapwright.errors import Finding
from lapwright.job import catalogue
from lapwright.job.material import Family
from lapwright.job.outline import wall_outline
from lapwright.measure import write_length

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.job.document import Document
    from lapwright.job.form import JobForm
    from lapwright.job.material_form import SidingForm
    from lapwright.measure import Ticks

MOST_STARTS = 500
"""More candidates for a start than this are refused: the step is too fine."""


def judge_courses(document: Document, form: JobForm) -> Iterator[Finding]:
    """Find what is wrong with the exposures and the starts of a job."""
    entries: list[tuple[tuple[str | int, ...], SidingForm]] = [(("siding",), form.siding)]
    entries += [(("sidings", place), entry) for place, entry in enumerate(form.sidings)]
    for path, siding in entries:
        known = (
            catalogue.built_in_siding(siding.material)
            if siding.material in catalogue.siding_names()
            else None
        )
        family = siding.family or (known.family if known else None)
        exposure = siding.exposure or (known.exposure if known else None)
        if family is None or exposure is None:
            continue  # reported with the material
        least = siding.least_exposure or (known.least_exposure if known else None)
        greatest = siding.greatest_exposure or (known.greatest_exposure if known else None)
        limits = (least, greatest)
        yield from _judge_exposures(document, form, (path, siding), family, exposure, limits)
        if siding is form.siding:
            yield from _judge_starts(document, form, exposure)


def _judge_exposures(
    document: Document,
    form: JobForm,
    entry: tuple[tuple[str | int, ...], SidingForm],
    family: Family,
    exposure: Ticks,
    limits: tuple[Ticks | None, Ticks | None],
) -> Iterator[Finding]:
    (path, siding), unit = entry, form.unit
    least, greatest = limits
    if family is Family.LAPPED:
        for key in ("exposures", "least_exposure", "greatest_exposure"):
            if getattr(siding, key) is not None:
                yield Finding(
                    document.place((*path, key)),
                    f"{key!r} for {siding.material!r}, whose panels interlock",
                    f"one exposure, {write_length(exposure, unit)}; start: best looks for the"
                    " start that suits them",
                )
        return
    if least is not None and greatest is not None and not least <= exposure <= greatest:
        spot = document.place((*path, "exposure"))
        wanted = f"from {write_length(least, unit)} to {write_length(greatest, unit)}"
        yield Finding(spot, write_length(exposure, unit), wanted)
    if siding.exposures is None:
        return
    if siding.exposures == "even":
        missing = [
            key
            for key, value in (("least_exposure", least), ("greatest_exposure", greatest))
            if value is None
        ]
        if missing:
            yield Finding(
                document.place((*path, "exposures")),
                f"even, without {' and '.join(missing)}",
                "both limits: greatest is the plank's width less its least head lap",
            )
    else:
        for number, value in enumerate(siding.exposures):
            low = least is not None and value < least
            high = greatest is not None and value > greatest
            if low or high:
                limit = least if low else greatest
                words = "at least" if low else "at most"
                yield Finding(
                    document.place((*path, "exposures", number)),
                    write_length(value, unit),
                    f"{words} {write_length(limit or 0, unit)}",
                )
    if form.start == "best":
        yield Finding(
            document.place(("start",)),
            "best beside exposures that vary",
            "a height; exposures: even fits the courses to the openings",
        )


def _judge_starts(document: Document, form: JobForm, exposure: Ticks) -> Iterator[Finding]:
    unit = form.unit
    below = f"a start above {write_length(-exposure, unit)}, one course below the bottom"
    first = exposure
    if isinstance(form.siding.exposures, list):
        first = form.siding.exposures[0]
    if form.start != "best" and form.start <= -first:
        yield Finding(document.place(("start",)), write_length(form.start, unit), below)
    for position, wall in enumerate(form.walls):
        if wall.start is not None and wall.start <= -first:
            spot = document.place(("walls", position, "start"))
            yield Finding(spot, write_length(wall.start, unit), below)
    given = form.start_range
    spot = document.place(("start_range",))
    if given.lowest is not None and not -exposure < given.lowest <= given.highest:
        found = f"lowest {write_length(given.lowest, unit)}"
        wanted = (
            f"above {write_length(-exposure, unit)} and at most the highest,"
            f" {write_length(given.highest, unit)}"
        )
        yield Finding(spot, found, wanted)
    elif given.highest < 0 and given.lowest is None and given.highest <= -exposure:
        yield Finding(spot, f"highest {write_length(given.highest, unit)}", below)
    elif given.step is not None:
        lowest = -exposure if given.lowest is None else given.lowest
        if (given.highest - lowest) // given.step >= MOST_STARTS:
            wanted = f"a step that leaves at most {MOST_STARTS} starts"
            yield Finding(spot, f"a step of {write_length(given.step, unit)}", wanted)
    top = given.highest if form.start == "best" else form.start
    lows = _lowest_bottoms(form)
    for position, wall in enumerate(form.walls):
        if wall.start is not None or not _has_shape(form, position):
            continue
        height = max(p.y for p in wall_outline(wall)[0])
        first_butt = lows[wall.part or ""] + top - wall.base
        if first_butt >= height:
            yield Finding(
                document.place(("walls", position)),
                f"a wall whose top lies below the first course of its part, which begins"
                f" {write_length(first_butt, unit)} above its bottom",
                "its own start, another base, or a part of its own",
            )


def _lowest_bottoms(form: JobForm) -> dict[str, int]:
    lows: dict[str, int] = {}
    for wall in form.walls:
        if wall.start is None:
            part = wall.part or ""
            lows[part] = min(lows.get(part, wall.base), wall.base)
    return lows


def _has_shape(form: JobForm, position: int) -> bool:
    wall = form.walls[position]
    return wall.outline is not None or (wall.width is not None and wall.height is not None)
