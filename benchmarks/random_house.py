"""Random houses that could be built, each the same for the same seed on every machine.

A house is the data of a job file, so that it passes the reader and its judging as a
crew's own file does.  Lengths are inches.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from random import Random
from typing import TYPE_CHECKING, Any

from lapwright.job.reading import parse_job

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.job import Job

FEWEST_PANELS, MOST_PANELS = 40, 350
"""Houses are drawn anew until their area comes to so many panels."""
FEWEST_OPENINGS, MOST_OPENINGS = 8, 30
_FOOT = 12
_BAY = 72
"""At most one opening stands in so much of a wall. [in]"""


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of siding as a yard would sell it."""

    name: str
    materials: tuple[tuple[str, int], ...]
    """Name in the catalogue, and its exposure. [in]"""
    main: tuple[int, ...]
    """Stock lengths of which a house has one at least. [in]"""
    others: tuple[int, ...]
    """Stock lengths that it may have besides. [in]"""
    rules: tuple[tuple[str, tuple[str | int, ...]], ...]
    """Rules that differ from house to house, and what they may be."""
    cents: tuple[int, int]
    """Price of a foot, 8 in high. [1/100]"""


KINDS = (
    Kind(
        "vinyl",
        (("vinyl double 4", 8), ("vinyl double 5", 10), ("vinyl dutch lap 4-1/2", 9)),
        (144, 145, 150),
        (192, 200, 240, 300),
        (
            ("stagger", ("24", "24", "16", "36")),
            ("shortest_piece", ("24", "24", "12")),
            ("extra_seams", (0, 1, 1)),
            ("siding_kerf", ("1/8", "0")),
            ("keep_out", ("0", "0", "3")),
        ),
        (70, 110),
    ),
    Kind(
        "fiber-cement",
        (("fiber-cement 8-1/4", 7),),
        (144,),
        (96, 120, 168, 192),
        (
            ("stagger", ("32", "32", "16")),
            ("shortest_piece", ("16", "16", "32")),
            ("extra_seams", (0, 1, 1)),
            ("siding_kerf", ("1/8", "0")),
            ("first_stud", ("0", "3-1/2", "8", "12-3/4")),
            ("joint_gap", ("0", "1/8")),
        ),
        (120, 170),
    ),
    Kind(
        "engineered wood",
        (("engineered wood 8 in by 16 ft", 7),),
        (192,),
        (96, 120, 144, 168),
        (
            ("stagger", ("32", "32", "16")),
            ("shortest_piece", ("16", "16", "32")),
            ("extra_seams", (0, 1, 1)),
            ("siding_kerf", ("1/8", "1/8", "0")),
            ("first_stud", ("0", "3-1/2", "8", "12-3/4")),
        ),
        (130, 190),
    ),
)


def house_data(seed: int) -> dict[str, Any]:
    """Make the data of a job file, the same for the same seed; kinds take turns."""
    chance = Random(seed)  # noqa: S311 - no secret
    kind = KINDS[seed % len(KINDS)]
    while True:
        siding, panel = _siding(chance, kind)
        walls = _walls(chance)
        if walls is None:
            continue
        if FEWEST_PANELS <= panels_by_area(walls, panel) <= MOST_PANELS:
            break
    return {
        "job": f"{kind.name}, seed {seed}",
        "unit": "in",
        "currency": "$",
        "siding": siding,
        "rules": {name: chance.choice(values) for name, values in kind.rules},
        "walls": walls,
    }


def row_data(houses: int) -> dict[str, Any]:
    """Make the data of a job of a row of houses, all in one siding; longer rows go on."""
    walls: list[dict[str, Any]] = []
    for number in range(1, houses + 1):
        chance = Random(10_000 + number)  # noqa: S311 - no secret
        while True:
            made = _walls(chance)
            if made is not None and 210 <= panels_by_area(made, 8 * 150) <= 270:
                break
        for wall in made:
            wall["name"] = f"house {number} {wall['name']}"
            wall["part"] = f"house {number}"
        walls += made
    stock = [{"length": 150, "price": "10.90"}, {"length": 200, "price": "14.70"}]
    return {
        "job": f"row of {houses}",
        "unit": "in",
        "currency": "$",
        "siding": {"material": "vinyl double 4", "stock": stock},
        "rules": {"extra_seams": 1},
        "walls": walls,
    }


def read_data(data: dict[str, Any]) -> Job:
    """Read a job from its data as from a file."""
    return parse_job(json.dumps(data), str(data["job"]))


def panels_by_area(walls: Sequence[dict[str, Any]], panel: int) -> int:
    """Count the panels that the area without openings comes to, rounded down.

    Parameters
    ----------
    walls
        Walls of a job's data.
    panel
        Area of one. [sq in]
    """
    area = 0
    for wall in walls:
        rise = wall.get("gable", {"rise": 0})["rise"]
        area += wall["width"] * wall["height"] + wall["width"] * rise // 2
        area -= sum(opening["width"] * opening["height"] for opening in wall["openings"])
    return int(area // panel)


def _siding(chance: Random, kind: Kind) -> tuple[dict[str, Any], int]:
    """Choose material, stock lengths and prices; also give the area of a usual panel."""
    material, exposure = chance.choice(kind.materials)
    lengths = [chance.choice(kind.main)]
    for _ in range(chance.randint(0, 3)):
        other = chance.choice(kind.others)
        if other not in lengths:
            lengths.append(other)
    foot = chance.randint(*kind.cents) * exposure
    stock = []
    for length in sorted(lengths):
        # Longer ones cost up to 8 % more a foot, or a little less.
        cents = foot * length * (chance.randint(98, 108) if length > lengths[0] else 100)
        cents //= 8 * _FOOT * 100
        stock.append({"length": length, "price": f"{cents // 100}.{cents % 100:02}"})
    return {"material": material, "stock": stock}, exposure * lengths[0]


def _walls(chance: Random) -> list[dict[str, Any]] | None:
    """Draw walls with openings; None where there is no room for enough of them."""
    storeys = chance.choice((1, 1, 2))
    height = chance.randint(8 * _FOOT, 9 * _FOOT + 6) + (storeys - 1) * 9 * _FOOT
    walls = list(_plan(chance))
    for wall in walls:
        wall["height"] = height
        if wall.pop("is_gable"):
            pitch = chance.randint(4, 10)
            wall["gable"] = {"rise": min(wall["width"] * pitch // 24, 14 * _FOOT)}
    bays = [
        (number, storey, bay)
        for number, wall in enumerate(walls)
        for storey in range(storeys)
        for bay in range(wall["width"] // _BAY)
    ]
    wanted = chance.randint(FEWEST_OPENINGS, MOST_OPENINGS)
    if len(bays) < FEWEST_OPENINGS:
        return None
    chosen: list[tuple[int, int, int]] = []
    while bays and len(chosen) < wanted:
        chosen.append(bays.pop(chance.randrange(len(bays))))
    garage = _garage(chance, walls[0])
    chosen = [(n, s, b) for n, s, b in chosen if (n, s) != (0, 0) or b < garage]
    doors = set(range(len(walls))) if chance.randrange(2) else {0}
    for number, storey, bay in sorted(chosen):
        wall = walls[number]
        is_door = storey == 0 and number in doors
        doors -= {number} if is_door else set()
        wall["openings"].append(_opening(chance, wall, storey, bay, is_door=is_door))
    for wall in walls:
        if wall.get("gable", {"rise": 0})["rise"] >= 84 and chance.randrange(2):
            x, sill = wall["width"] // 2 - 9, height + 24
            vent = {"kind": "vent", "x": x, "sill": sill, "width": 18, "height": 24}
            wall["openings"].append(vent)
        for count, opening in enumerate(wall["openings"], start=1):
            opening["name"] = f"{opening['kind'][0].upper()}{count}"
    many = sum(len(wall["openings"]) for wall in walls)
    return walls if FEWEST_OPENINGS <= many <= MOST_OPENINGS else None


def _garage(chance: Random, wall: dict[str, Any]) -> int:
    """Put a garage door at the right end of some long walls; give the bays left of it."""
    bays = int(wall["width"] // _BAY)
    if bays < 6 or chance.randrange(3):
        return bays
    taken, width = chance.choice(((2, 108), (3, 192)))
    x = wall["width"] - taken * _BAY + (taken * _BAY - width) // 2
    door = {"kind": "garage door", "x": x, "sill": 0, "width": width, "height": 84}
    wall["openings"].append(door)
    return bays - taken


def _plan(chance: Random) -> Iterator[dict[str, Any]]:
    """Draw the walls of a plan, walking round it to the right; at most one is left out.

    Three or four walls are of a rectangle, five or six of an L.  A wall that is left out
    stands against another building; the siding ends in a channel there.
    """
    many = chance.choice((3, 4, 4, 4, 5, 6))
    if many <= 4:
        front, side = _feet(chance, 20, 60), _feet(chance, 20, 36)
        # The sides carry the gables, or none does under a hipped roof.
        gables = chance.choice(((1, 3), (1, 3), ()))
        widths, inside = [front, side, front, side], None
    else:
        wing, depth = _feet(chance, 20, 30), _feet(chance, 20, 30)
        front, side = wing + _feet(chance, 20, 30), depth + _feet(chance, 20, 30)
        gables = chance.choice(((2, 5), (2, 5), ()))
        widths, inside = [front, side, wing, side - depth, front - wing, depth], 3
    names = ["front", "right", "back", "inner side", "inner back", "left"]
    if inside is None:
        names = ["front", "right", "back", "left"]
    for number in range(many):
        is_open = many < len(widths)
        left = "inside corner" if number - 1 == inside else "outside corner"
        right = "inside corner" if number == inside else "outside corner"
        yield {
            "name": names[number],
            "width": widths[number],
            "is_gable": number in gables,
            "left": "j-channel" if is_open and number == 0 else left,
            "right": "j-channel" if is_open and number == many - 1 else right,
            "openings": [],
        }


def _feet(chance: Random, least: int, most: int) -> int:
    """Draw a length to the inch, often whole or half feet. [in]"""
    inches = chance.randint(least * _FOOT, most * _FOOT)
    return inches if chance.randrange(2) else inches // 6 * 6


def _opening(
    chance: Random, wall: dict[str, Any], storey: int, bay: int, *, is_door: bool
) -> dict[str, Any]:
    """Draw an opening in a bay of a wall; heads are 80 in over the floor."""
    bays = wall["width"] // _BAY
    start, end = wall["width"] * bay // bays, wall["width"] * (bay + 1) // bays
    floor, head = storey * 9 * _FOOT, 80
    width = chance.choice((24, 28, 30, 32, 36, 40, 48))
    height = chance.choice((24, 36, 44, 48, 54, 60))
    if is_door:
        width, height = chance.choice((32, 36, 36, 60)), head
    room = end - start - width - 8
    return {
        "kind": "door" if is_door else "window",
        "x": start + 4 + chance.randint(0, max(room, 0)),
        "sill": floor + head - height,
        "width": width,
        "height": height,
    }
