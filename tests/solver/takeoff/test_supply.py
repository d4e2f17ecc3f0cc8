"""Supplies counted by rule, each number worked out by hand."""

from __future__ import annotations

import math

import pytest

from lapwright.job.material import TrimRole
from lapwright.job.reading import parse_job
from lapwright.measure import INCH
from lapwright.takeoff.estimate import SQUARE
from lapwright.takeoff.supply import Supply, count_supplies, nails_by_area, nails_for_course


@pytest.mark.parametrize(("exposure", "nails"), [(8, 112), (9, 100), (10, 90)])
def test_nails_a_square(exposure: int, nails: int) -> None:
    """14400 / exposure / 16: 112-1/2, 100 and 90 nails a square, before piece ends."""
    exact = nails_by_area(SQUARE, exposure * INCH, 16 * INCH)
    assert math.floor(exact) == nails
    # One course of a whole square in one piece: rounded up, and one for its end.
    length = 14400 * INCH // exposure
    assert nails_for_course([length], 16 * INCH) == math.ceil(exact) + 1


def test_each_piece_of_a_course_takes_one_more() -> None:
    """160 in at 16 in on centre are 10 nails, and one for each piece."""
    assert nails_for_course([160 * INCH], 16 * INCH) == 11
    assert nails_for_course([100 * INCH, 60 * INCH], 16 * INCH) == 12
    assert nails_for_course([100 * INCH, 61 * INCH], 16 * INCH) == 13


def counted(text: str, joints: int = 0) -> dict[str, Supply]:
    """Count the supplies of a job with one course of 160 in and some trim."""
    job = parse_job(text, "x.yaml")
    trim = [(TrimRole.STARTER, 80 * INCH), (TrimRole.OUTSIDE_CORNER, 96 * INCH)]
    supplies = count_supplies(job, {("A", 1): [160 * INCH]}, trim, joints)
    return {supply.name: supply for supply in supplies}


HOUSE = """
job: x
siding: {material: MATERIAL}
supplies: GROUP
walls:
  - name: a
    width: 40'
    height: 10'
    openings:
      - {name: w, x: 5', sill: 3', width: 3', height: 4'}
      - {name: d, kind: door, x: 20', sill: 0, width: 3', height: 7'}
  - {name: b, width: 30', height: 12'}
  - {name: c, width: 40', height: 10', right: inside corner}
  - {name: d, width: 30', height: 10'}
"""


def house(group: str, material: str = "vinyl double 4") -> str:
    """Write the house with a group of supplies."""
    return HOUSE.replace("GROUP", group).replace("MATERIAL", material)


def test_a_house_by_the_catalogue() -> None:
    """Every line by hand.

    Trim: 80 / 8 + 1 = 11, and 2 × (96 / 8 + 1) = 26 for the post.  Gross area 400 + 360 +
    400 + 300 = 1460 sq ft over 8-1/2 × 99-1/2 = 845.75, so 2 rolls.  Tape 14 + 17 = 31 ft.
    Corners: a-b and b-c 12 ft, c's inside 10, d's left 10, and d-a 10: 54 ft over 50.
    """
    found = counted(house("{}"))
    assert {name: (s.quantity, s.unit) for name, s in found.items()} == {
        "siding nails": (11, "nails"),
        "trim nails": (37, "nails"),
        "weather barrier": (2, "rolls"),
        "flashing tape": (1, "rolls"),
        "corner flashing": (2, "rolls"),
    }
    assert "31' 0\" along" in found["flashing tape"].how
    assert '54\' 0" up the corners (5), 10" to each side' in found["corner flashing"].how
    assert found["weather barrier"].how.startswith("1460 sq ft in all")


@pytest.mark.parametrize(
    ("shape", "low", "high"),
    [
        # A right triangle of 36, 48 and 60 in, exactly.
        ("shape: polygon, corners: [[0, 0], [48, 0], [0, 36]]", 144, 144),
        # Its floor is not taped under a door.
        ("kind: door, shape: polygon, corners: [[0, 0], [48, 0], [0, 36]]", 96, 96),
        # A circle of 24 in: 24 pi = 75.398; its polygon stands 1/64 in off it at most.
        ("shape: round, x: 0, sill: 30, width: 24, height: 24", 75.398, 75.5),
        # Half a circle over two sides of 42 in and a sill of 36: 120 + 18 pi = 176.549.
        ("shape: arched, x: 0, sill: 30, width: 36, height: 60", 176.549, 176.65),
        # Eight sides of 24 (sqrt 2 - 1) in: 79.529, and a tick for each.
        ("shape: octagon, x: 0, sill: 30, width: 24, height: 24", 79.529, 79.531),
        # Sides of 24 and 24-3 in, a head and a sill of sqrt(36^2 + 3^2) = 36.125.
        ("x: 0, sill: {left: 30, right: 33}, width: 36, height: 24", 120.249, 120.251),
    ],
)
def test_tape_goes_round_the_true_shape(shape: str, low: float, high: float) -> None:
    """Rolls of 1/64 in tell the perimeter, which is that of plain geometry."""
    text = house("{tape_length: 1/64}").replace("      - {name: d", "      # {name: d")
    text = text.replace("x: 5', sill: 3', width: 3', height: 4'", shape)
    tape = counted(text)["flashing tape"]
    assert low * 64 - 1e-6 <= tape.quantity <= high * 64 + 1
    # Its words are marks of the tape.
    words = tape.how.split('"')[0]
    assert "/" not in words or words.endswith(("/2", "/4", "/8", "/16"))


@pytest.mark.parametrize(
    ("group", "name", "quantity"),
    [
        ("{nail_spacing: 12}", "siding nails", 15),  # 13-1/3 up, and one
        ("{nail_spacing: 24}", "siding nails", 8),  # 6-2/3 up, and one
        ("{nails_a_pound: 10}", "siding nails", 2),  # 11 nails
        ("{trim_nail_spacing: 10, post_nail_spacing: 12}", "trim nails", 27),  # 9 + 2 × 9
        ("{barrier_width: 3', barrier_lap: 0}", "weather barrier", 5),  # 1460 / 300
        ("{tape_length: 10'}", "flashing tape", 4),
        ("{corner_flashing_length: 54'}", "corner flashing", 1),
        # 1460 sq ft over 16 in are 1095 ft, and 10 + 12 + 10 + 10: 1137 ft over 8.
        ("{furring_spacing: 16}", "furring strips", 143),
        ("{furring_spacing: 24, furring_length: 16'}", "furring strips", 49),  # 772 / 16
    ],
)
def test_every_input_counts(group: str, name: str, quantity: int) -> None:
    """Each input of the group changes the count that it is for."""
    assert counted(house(group))[name].quantity == quantity


def test_nails_by_the_pound_say_so() -> None:
    """Nails are pounds only where the job says how many a pound has."""
    assert counted(house("{nails_a_pound: 10}"))["trim nails"].unit == "lb"
    assert counted(house("{}"))["trim nails"].unit == "nails"


def test_joint_flashing_is_for_butt_joints() -> None:
    """One piece behind each joint of planks; laps of vinyl have none."""
    planks = counted(house("{}", "fiber-cement 8-1/4"), joints=7)
    assert (planks["joint flashing"].quantity, planks["joint flashing"].unit) == (7, "pieces")
    assert "joint flashing" not in counted(house("{}"), joints=7)


def test_an_end_without_a_plumb_side_has_no_corner() -> None:
    """By hand: a cheek of a dormer that rises to 4 ft at its right has 4 ft of corner."""
    text = "{job: x, siding: {material: vinyl double 4}, walls: [{name: a, outline: OUT}]}"
    text = text.replace("OUT", "[[0, 0], [72, 0], [72, 48]]")
    assert counted(text)["corner flashing"].how.startswith("4' 0\" up the corners (1)")


def test_none_counts_nothing() -> None:
    """A job that wants nothing counted gets nothing."""
    assert counted(house("none")) == {}
