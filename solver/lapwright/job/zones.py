"""What is wrong with the zones of a wall."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lapwright.errors import Finding
from lapwright.job.field import clip_outline
from lapwright.job.outline import crossing_edges, wall_outline, wall_zones
from lapwright.measure import write_length

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.job.document import Document
    from lapwright.job.wall_form import WallForm
    from lapwright.measure import Unit


def judge_zones(
    document: Document, path: tuple[str | int, ...], wall: WallForm, unit: Unit
) -> Iterator[Finding]:
    """Find what is wrong with the zones of a wall whose shape is sound."""
    faults = list(_judge_keys(document, path, wall))
    yield from faults
    if faults:
        return
    outline, _ = wall_outline(wall)
    zones = wall_zones(wall, {})
    for number, zone in enumerate(zones):
        spot = (*path, "zones", number)
        low, high = (write_length(y, unit) for y in (zone.low, zone.high))
        where = document.place((*spot, "top") if wall.zones[number].top is not None else spot)
        if zone.high <= zone.low:
            yield Finding(
                where, f"a zone from {low} up to {high}", "a top above the zone's foot"
            )
            continue
        shape = clip_outline(outline, zone.low, zone.high)
        if not shape:
            wanted = "a zone that holds a part of the wall"
            yield Finding(where, f"nothing of the wall from {low} up to {high}", wanted)
        elif crossing_edges(shape) is not None:
            found = f"a wall that falls into parts from {low} up to {high}"
            yield Finding(where, found, "zones of one part each, or a wall for each part")
        band = zones[number + 1].low if number + 1 < len(zones) else zone.high
        strip = clip_outline(outline, zone.high, band)
        if strip and crossing_edges(strip) is not None:
            found = "a band over it on a wall that falls into parts there"
            yield Finding(where, found, "a band of one part, or a wall for each part")
        if number and zone.start is not None and zone.start >= zone.high:
            found = f"its first course at {write_length(zone.start, unit)}"
            yield Finding(document.place((*spot, "start")), found, f"one below {high}")


def _judge_keys(
    document: Document, path: tuple[str | int, ...], wall: WallForm
) -> Iterator[Finding]:
    last = len(wall.zones) - 1
    for number, zone in enumerate(wall.zones):
        spot = (*path, "zones", number)
        if number == last and zone.top is not None:
            wanted = "no top: the last zone reaches up to the wall's"
            yield Finding(document.place((*spot, "top")), "a top of the last zone", wanted)
        if number < last and zone.top is None:
            yield Finding(document.place(spot), "nothing", "the key 'top'")
        if number == last and zone.band:
            wanted = "no band, for no zone is above it"
            yield Finding(document.place((*spot, "band")), "a band over the last zone", wanted)
        if number == 0 and zone.start:
            wanted = "the key 'start' of the wall"
            yield Finding(document.place((*spot, "start")), "a start of the first zone", wanted)
