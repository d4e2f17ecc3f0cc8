"""Exposures evened out, so that courses end at sills, heads and eaves."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.measure import Rounding, Ticks, to_tape

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lapwright.job.material import Siding
    from lapwright.measure import Unit


@dataclass(frozen=True, slots=True)
class Division:
    """A height divided into courses that are all alike."""

    courses: int
    exposure: Fraction
    """Of each. [as the height]"""


def divide(height: int, nominal: int, least: int, greatest: int) -> Division | None:
    """Divide a height into courses whose exposure is nearest the nominal one.

    Parameters
    ----------
    height
        Between two lines that courses are to end at. [any unit]
    nominal, least, greatest
        Exposures. [the same unit]

    Returns
    -------
    Division or None
        Of two that are as near the one with more courses, for it laps more; None where no
        number of courses keeps the limits.

    References
    ----------
    U.S. Navy, NAVEDTRA 14044, Builder 3 & 2, vol. 2, fig. 4-3: the height over the
    nominal exposure gives the number of courses, and the height over this number the
    exposure.
    """
    fewest, most = -(-height // greatest), height // least
    made = [Division(count, Fraction(height, count)) for count in range(fewest, most + 1)]
    return min(
        (division for division in made if division.courses > 0),
        key=lambda division: (abs(division.exposure - nominal), -division.courses),
        default=None,
    )


@dataclass(frozen=True, slots=True)
class _Way:
    """Lines hit from the start up to some line."""

    hits: int
    unevenness: Fraction
    lines: tuple[int, ...]

    @property
    def rank(self) -> tuple[int, Fraction, tuple[int, ...]]:
        return -self.hits, self.unevenness, self.lines


def even_exposures(
    start: int, wanted: Mapping[int, int], siding: Siding, unit: Unit
) -> tuple[Ticks, ...]:
    """Even out the exposures from a start, so that most of the wanted lines are hit.

    Parameters
    ----------
    start
        Height of the first butt edge. [ticks]
    wanted
        How many sills, heads and eaves want a course line at each height. [ticks]
    siding
        Gives the nominal exposure and its limits.
    unit
        Of the tape that lines are marked by.

    Returns
    -------
    tuple of Ticks
        From the bottom course up; the last is the nominal exposure, which goes on.

    Notes
    -----
    Of ways that hit as many, the one is taken whose exposures differ least from the
    nominal one (sum of squares), and of these the one whose lines lie lowest.
    """
    nominal = siding.exposure
    least = siding.least_exposure or nominal
    greatest = siding.greatest_exposure or nominal
    best: dict[int, _Way] = {start: _Way(0, Fraction(0), ())}
    for line in sorted(height for height in wanted if height > start):
        ways = []
        for below, way in best.items():
            division = divide(line - below, nominal, least, greatest)
            if division is not None:
                off = division.courses * (division.exposure - nominal) ** 2
                hits = way.hits + wanted[line]
                ways.append(_Way(hits, way.unevenness + off, (*way.lines, line)))
        if ways:
            best[line] = min(ways, key=lambda way: way.rank)
    chosen = min(best.values(), key=lambda way: way.rank)
    exposures: list[Ticks] = []
    below = start
    for line in chosen.lines:
        division = divide(line - below, nominal, least, greatest)
        if division is None:
            raise ValueError("a line that no courses end at was chosen")
        # Each is marked by the tape from the start, so that no rounding adds up.
        marks = [
            Ticks(start + to_tape(below - start + by, unit, Rounding.NEAREST))
            for number in range(1, division.courses)
            if (by := division.exposure * number)
        ]
        marks = [Ticks(below), *marks, Ticks(line)]
        exposures += [Ticks(b - a) for a, b in pairwise(marks)]
        below = line
    return (*exposures, nominal)


def share_ends(width: int, panel: int) -> tuple[int, Fraction]:
    """Balance upright panels: whole ones between, and two ripped alike at the ends.

    Parameters
    ----------
    width
        What is to be covered. [any unit]
    panel
        What one panel covers. [the same unit]

    Returns
    -------
    whole : int
        Whole panels.
    end : Fraction
        Width of each of the two end pieces, 0 where the whole ones fill it. [the same unit]

    References
    ----------
    Wolverine Fit and Finish Installation Guide (CertainTeed), vertical siding.
    """
    whole, rest = divmod(width, panel)
    return whole, Fraction(rest, 2)
