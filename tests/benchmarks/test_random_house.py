"""Random houses: the same for the same seed, and such as could be built."""

from __future__ import annotations

import hashlib
import json
from itertools import combinations, pairwise
from typing import Any

import pytest

from benchmarks.random_house import KINDS, house_data, panels_by_area, read_data, row_data
from lapwright.job.material import Family
from lapwright.measure import INCH
from lapwright.takeoff.area import gross_area, opening_area

SEEDS = range(90)
TURNS = {"outside corner": 1, "inside corner": -1}
HEADINGS = ((1, 0), (0, 1), (-1, 0), (0, -1))


def boxes(wall: dict[str, Any]) -> list[tuple[int, int, int, int]]:
    """Give left, right, sill and head of the openings of a wall. [in]"""
    return [
        (o["x"], o["x"] + o["width"], o["sill"], o["sill"] + o["height"])
        for o in wall["openings"]
    ]


def test_same_seed_same_house() -> None:
    """Houses do not change from run to run, from machine to machine, nor by a slip."""
    drawn = [house_data(seed) for seed in range(20)]
    assert drawn == [house_data(seed) for seed in range(20)]
    text = json.dumps(drawn, sort_keys=True).encode()
    assert hashlib.sha256(text).hexdigest()[:16] == "4f7b038729ca522b"
    assert len({json.dumps(data["walls"]) for data in drawn}) == 20


@pytest.mark.parametrize("seed", SEEDS)
def test_sizes_lie_in_the_stated_ranges(seed: int) -> None:
    """3 to 6 walls of 20 to 60 ft, 8 to 30 openings, 1 to 4 stock lengths with prices."""
    data = house_data(seed)
    walls, stock = data["walls"], data["siding"]["stock"]
    assert 3 <= len(walls) <= 6
    assert all(20 * 12 <= wall["width"] <= 60 * 12 for wall in walls)
    assert all(8 * 12 <= wall["height"] <= 19 * 12 for wall in walls)
    assert len({wall["height"] for wall in walls}) == 1
    assert 8 <= sum(len(wall["openings"]) for wall in walls) <= 30
    assert 1 <= len({row["length"] for row in stock}) == len(stock) <= 4
    assert all(float(row["price"]) > 0 for row in stock)


@pytest.mark.parametrize("seed", SEEDS)
def test_walls_meet_at_corners(seed: int) -> None:
    """Walking round, each wall ends as the next begins, and a closed plan closes."""
    walls = house_data(seed)["walls"]
    for one, following in pairwise(walls):
        assert one["right"] == following["left"] != "j-channel"
    ends = (walls[0]["left"], walls[-1]["right"])
    if len(walls) in (3, 5):
        assert ends == ("j-channel", "j-channel")
        return
    assert ends == ("outside corner", "outside corner")
    x = y = heading = 0
    for wall in walls:
        x += HEADINGS[heading][0] * wall["width"]
        y += HEADINGS[heading][1] * wall["width"]
        heading = (heading + TURNS[wall["right"]]) % 4
    assert (x, y, heading) == (0, 0, 0)


@pytest.mark.parametrize("seed", SEEDS)
def test_openings_stand_apart_on_the_wall(seed: int) -> None:
    """No two openings touch, none reaches the wall's edge but a door its bottom."""
    for wall in house_data(seed)["walls"]:
        for left, right, sill, head in boxes(wall):
            is_vent = sill > wall["height"]
            top = wall["height"] + (wall["gable"]["rise"] if is_vent else 0)
            assert 0 < left < right < wall["width"]
            assert 0 <= sill < head < top
        for a, b in combinations(boxes(wall), 2):
            assert a[1] < b[0] or b[1] < a[0] or a[3] < b[2] or b[3] < a[2]


@pytest.mark.parametrize("seed", [0, 1, 2, 17])
def test_houses_are_jobs(seed: int) -> None:
    """The reader takes a house as it is, and its area comes to 40 to 350 panels."""
    data = house_data(seed)
    job = read_data(data)
    net = sum(gross_area(wall.outline) - opening_area(wall) for wall in job.walls)
    lengths = [stock.length for stock in job.siding.stock]
    panels = [net / (length * job.siding.exposure) for length in lengths]
    assert min(panels) <= 350
    assert max(panels) >= 40
    family = Family.LAPPED if seed % 3 == 0 else Family.BUTTED
    assert job.siding.family is family
    assert job.siding.name in [name for name, _ in KINDS[seed % 3].materials]


def test_a_row_grows_by_whole_houses() -> None:
    """A longer row begins with the shorter one, and has about 250 panels a house."""
    short, long = row_data(2), row_data(20)
    many = len(short["walls"])
    assert long["walls"][:many] == short["walls"]
    assert len({wall["part"] for wall in long["walls"]}) == 20
    assert 4000 <= panels_by_area(long["walls"], 8 * 150) <= 6000
    job = read_data(short)
    assert job.siding.exposure == 8 * INCH
    assert {wall.part for wall in job.walls} == {"house 1", "house 2"}
