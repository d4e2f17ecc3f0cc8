"""The dimensions round the drawing of a wall, in whole millimetres, y down."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lapwright.measure import MILLIMETRE
from lapwright_cli.reports.drawing import spread
from lapwright_cli.reports.places import places_along
from lapwright_cli.reports.writing import on_wall

if TYPE_CHECKING:
    from collections.abc import Callable

    from lapwright.job.wall import Wall
    from lapwright.measure import Unit

LETTER = 0.62
"""Width to reckon with for a letter of an unknown face. [of its size]"""


@dataclass(frozen=True, slots=True)
class Words:
    """A text on the drawing, centred at x unless its anchor says otherwise."""

    x: int
    y: int
    """Its base line. [mm]"""
    size: int
    text: str
    anchor: str = "middle"


def mm(ticks: int) -> int:
    """Give a length in whole millimetres, near enough to draw it. [mm]"""
    return round(ticks / MILLIMETRE)


def dimension_courses(
    courses: tuple[int, ...],
    exposure: int,
    letter: int,
    down: Callable[[int], int],
    unit: Unit,
    lines: list[tuple[int, int, int, int]],
    words: list[Words],
) -> int:
    """Write the courses and the heights of their butt edges at the left side.

    Returns
    -------
    int
        The width that this takes. [mm]
    """
    every = -(-round(1.1 * letter) // exposure)
    texts = [f"{number}:  {on_wall(y, unit)}" for number, y in enumerate(courses, 1)]
    for position, (y, text) in enumerate(zip(courses, texts, strict=True)):
        is_told = position % every == 0
        lines.append((-round(letter * (1.0 if is_told else 0.5)), down(y), 0, down(y)))
        if is_told:
            x = -round(1.2 * letter)
            words.append(Words(x, down(y), letter, text, "end"))
    longest = max((len(text) for text in texts), default=0)
    return round(letter * (1.6 + longest * LETTER))


def dimension_height(
    wall: Wall,
    width: int,
    height: int,
    letter: int,
    unit: Unit,
    lines: list[tuple[int, int, int, int]],
    words: list[Words],
) -> int:
    """Write the heights of the wall's corners at the right side, and give the width taken."""
    marks = sorted({int(p.y) for p in wall.outline})
    x = width + letter
    lines.append((x, 0, x, height))
    longest, above = 0, height + 2 * letter
    for y in marks:
        at = height - mm(y)
        lines.append((x - letter // 2, at, x + letter // 2, at))
        text = on_wall(y, unit)
        # Corners that lie close together would be told on top of each other.
        base = min(at + round(0.36 * letter), above - round(1.1 * letter))
        above = base
        words.append(Words(x + letter, base, letter, text, "start"))
        longest = max(longest, len(text))
    return round(letter * (2.4 + longest * LETTER))


def dimension_widths(
    wall: Wall,
    width: int,
    height: int,
    letter: int,
    unit: Unit,
    lines: list[tuple[int, int, int, int]],
    words: list[Words],
) -> int:
    """Write what stands along the wall and its width below it, and give the room taken."""
    texts = [(float(mm(x)), text) for x, text in places_along(wall, unit)]
    first = height + letter
    # What has no room in one row stands in several by turns; what had to give way is tied.
    needed = sum((len(text) + 1.6) * LETTER * letter for _, text in texts)
    many = max(1, -(-int(needed) // max(1, width)))
    line = round(1.3 * letter)
    for row in range(many):
        own = texts[row::many]
        base = first + round(1.5 * letter) + row * line
        # An m is wider than the letters that are reckoned with.
        roomy = [(x, f"{text}  " if unit.is_metric else text) for x, text in own]
        for (x, text), middle in zip(own, spread(roomy, 0, width, letter), strict=True):
            lines.append((round(x), height, round(x), height + letter // 2))
            lines.append(
                (round(x), height + letter // 2, round(middle), base - round(0.9 * letter))
            )
            words.append(Words(round(middle), base, letter, text))
    low = first + (round(2.6 * letter) + (many - 1) * line if texts else letter)
    lines += [
        (0, low, width, low),
        (0, low - letter // 2, 0, low + letter // 2),
        (width, low - letter // 2, width, low + letter // 2),
    ]
    words.append(
        Words(
            width // 2, low + round(1.2 * letter), letter, f"wide {on_wall(wall.width, unit)}"
        )
    )
    return low + round(1.7 * letter) - height
