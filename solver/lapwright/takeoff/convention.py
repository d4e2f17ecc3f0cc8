"""Estimating conventions: what rules of area would order, to lay beside the exact plan."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING

from lapwright.measure import FOOT, INCH, Ticks
from lapwright.takeoff.area import gross_area, opening_area
from lapwright.takeoff.estimate import SQUARE, pieces_by_area

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.job.job import Job
    from lapwright.job.wall import Point, Wall


class OpeningRule(StrEnum):
    """Which openings are taken off an area; with none off, they stand for the waste."""

    ALL = "all openings off"
    HALF = "half of the openings off"
    LARGE = "only large openings off"
    NONE = "no opening off, instead of waste"


class GableRule(StrEnum):
    """How the area of a gable is reckoned."""

    EXACT = "gables as they are"
    FOOT_HIGHER = "gables 1 ft higher"
    FIFTH_MORE = "gables and 20 %"
    THIRD_MORE = "gables and one third"
    THREE_QUARTERS = "gables 3/4 of width x height"
    HALF_MORE = "gables x 1.5"


@dataclass(frozen=True, slots=True)
class Convention:
    """A way to reckon the area that siding is ordered for."""

    openings: OpeningRule
    gables: GableRule
    source: str

    @property
    def name(self) -> str:
        """What is taken off, and how gables are reckoned where not exactly."""
        if self.gables is GableRule.EXACT:
            return self.openings.value
        return f"{self.openings}, {self.gables}"


CONVENTIONS = (
    Convention(
        OpeningRule.ALL,
        GableRule.EXACT,
        "Jackson Lumber & Millwork, catalog p. 70; Western Wood Products Association,"
        " Coverage Estimator",
    ),
    Convention(
        OpeningRule.HALF, GableRule.EXACT, "Cost of Siding, encyclopedia.jrank.org (half)"
    ),
    Convention(
        OpeningRule.LARGE,
        GableRule.EXACT,
        "Progressive Foam Technologies, How to Measure For New Siding; Mitten (garage and"
        " sliding doors)",
    ),
    Convention(
        OpeningRule.NONE,
        GableRule.EXACT,
        "M. Merisko, How to Do a Siding Takeoff; International Correspondence Schools,"
        " Building Trades Pocketbook; Vinyl Siding Institute, How to Measure",
    ),
    Convention(
        OpeningRule.ALL,
        GableRule.FOOT_HIGHER,
        "CertainTeed, Estimating & Installing Vinyl Siding",
    ),
    Convention(
        OpeningRule.ALL, GableRule.FIFTH_MORE, "Cost of Siding, encyclopedia.jrank.org (20 %)"
    ),
    Convention(
        OpeningRule.ALL,
        GableRule.THIRD_MORE,
        "dealer's measuring guide siding4less (one third)",
    ),
    Convention(
        OpeningRule.ALL,
        GableRule.THREE_QUARTERS,
        "Progressive Foam Technologies, How to Measure For New Siding",
    ),
    Convention(OpeningRule.ALL, GableRule.HALF_MORE, "the same, of what the gable is"),
)
"""Those of the openings first; then, with all openings off, those of the gables."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """What a convention would order."""

    convention: Convention
    area: Fraction
    """To be covered, waste added. [ticks²]"""
    pieces: int
    """Of the longest stock length."""
    cartons: int | None
    """None where that length is sold by the piece."""

    @property
    def squares(self) -> Fraction:
        """Squares of 100 sq ft, waste added."""
        return self.area / SQUARE


def estimates(job: Job) -> tuple[Estimate, ...]:
    """Reckon a job by every convention.

    Returns
    -------
    tuple of Estimate
        Empty where the job wants none; those of the gables only where there are gables.
    """
    if job.estimating is None:
        return ()
    waste, large = job.estimating.waste, job.estimating.large_opening
    stock = job.siding.stock[-1]
    has_gable = any(gable_of(wall.outline).area for wall in job.walls)
    made = []
    for convention in CONVENTIONS:
        if convention.gables is not GableRule.EXACT and not has_gable:
            continue
        area = sum(
            (area_by(wall, convention, large, waste) for wall in job.walls), start=Fraction(0)
        )
        pieces = pieces_by_area(area, job.siding.exposure, stock.length, Fraction(0))
        cartons = None if stock.carton is None else -(-pieces // stock.carton)
        made.append(Estimate(convention, area, pieces, cartons))
    return tuple(made)


def area_by(
    wall: Wall, convention: Convention, large: Fraction, waste: Fraction = Fraction(0)
) -> Fraction:
    """Reckon the area that a wall is ordered as by a convention.

    Parameters
    ----------
    wall
        The wall.
    convention
        How openings and gables are reckoned.
    large
        The area from which on an opening is large. [ticks²]
    waste
        Share added for waste, where the convention has no other word for it: not where
        no opening is taken off, and not to gables that are reckoned with their own.

    Returns
    -------
    Fraction
        Zero or more. [ticks²]
    """
    gable = gable_of(wall.outline)
    added = 1 if convention.openings is OpeningRule.NONE else 1 + waste
    added_to_gable = 1 if convention.gables in _WITH_WASTE else added
    body = gross_area(wall.outline) - gable.area
    body -= _taken_off(wall, convention.openings, large)
    clad = body * added + gable.area_by(convention.gables) * added_to_gable
    return max(clad, Fraction(0))


def _taken_off(wall: Wall, rule: OpeningRule, large: Fraction) -> Fraction:
    if rule is OpeningRule.NONE:
        return Fraction(0)
    if rule is OpeningRule.LARGE:
        kept = tuple(o for o in wall.openings if o.width * o.height >= large)
        return Fraction(opening_area(replace(wall, openings=kept)))
    share = Fraction(1, 2) if rule is OpeningRule.HALF else Fraction(1)
    return share * opening_area(wall)


@dataclass(frozen=True, slots=True)
class Gable:
    """The part of a wall above the level where its first slope begins."""

    width: Fraction
    """At its foot. [ticks]"""
    height: Fraction
    """Up to its top. [ticks]"""
    area: Fraction
    """As it is. [ticks²]"""

    def area_by(self, rule: GableRule) -> Fraction:
        """Reckon its area by a rule of the trade. [ticks²]"""
        if not self.area:
            return self.area
        if rule is GableRule.FOOT_HIGHER:
            return self.area * (self.height + FOOT) / self.height
        if rule is GableRule.THREE_QUARTERS:
            return self.width * self.height * Fraction(3, 4)
        return self.area * _GABLE_FACTORS[rule]


_WITH_WASTE = (
    GableRule.FIFTH_MORE,
    GableRule.THIRD_MORE,
    GableRule.THREE_QUARTERS,
    GableRule.HALF_MORE,
)
"""Rules whose addition is the gable's waste; the foot of height is none, but a measure."""

_GABLE_FACTORS = {
    GableRule.EXACT: Fraction(1),
    GableRule.FIFTH_MORE: Fraction(6, 5),
    GableRule.THIRD_MORE: Fraction(4, 3),
    GableRule.HALF_MORE: Fraction(3, 2),
}


def gable_of(outline: Sequence[Point]) -> Gable:
    """Find the gable of an outline; one without width, height and area where it has none."""
    sides = list(zip(outline, [*outline[1:], outline[0]], strict=True))
    # Upper sides run to the left, for the outline is counter-clockwise.
    slopes = [(a, b) for a, b in sides if a.x > b.x and a.y != b.y]
    if not slopes:
        return Gable(Fraction(0), Fraction(0), Fraction(0))
    foot = min(min(a.y, b.y) for a, b in slopes)
    top = max(p.y for p in outline)
    cut: list[tuple[Fraction, Fraction]] = []
    for a, b in sides:
        if a.y >= foot:
            cut.append((Fraction(a.x), Fraction(a.y)))
        if (a.y >= foot) != (b.y >= foot):
            x = a.x + Fraction((foot - a.y) * (b.x - a.x), b.y - a.y)
            cut.append((x, Fraction(foot)))
    around = list(zip(cut, [*cut[1:], *cut[:1]], strict=True))
    area = sum((a[0] * b[1] - b[0] * a[1] for a, b in around), start=Fraction(0)) / 2
    # Between two parts of a gable the cut runs back along its foot and counts off.
    width = sum((b[0] - a[0] for a, b in around if a[1] == b[1] == foot), start=Fraction(0))
    return Gable(width, Fraction(top - foot), area)


def dormer_sides(width: Ticks, height: Ticks, rule: GableRule) -> Fraction:
    """Reckon both triangular sides of a dormer. [ticks²]

    References
    ----------
    Jackson Lumber & Millwork, catalog p. 70: twice half of width x height.  Progressive
    Foam Technologies, How to Measure For New Siding: width x height x 1.5.
    """
    side = Gable(Fraction(width), Fraction(height), Fraction(width * height, 2))
    return 2 * side.area_by(rule)


def area_in_courses(length: Ticks, height: Ticks, exposure: Ticks) -> int:
    """Reckon walls by whole courses: their length times the courses' height. [ticks²]

    References
    ----------
    Dealer's measuring guide siding4less: a part of a course is counted as a whole one.
    """
    return length * math.ceil(Fraction(height, exposure)) * exposure


def lineal_foot_factor(face: Ticks) -> Fraction:
    """Give the feet of board that a square foot takes. [ft / sq ft]

    References
    ----------
    Western Wood Products Association, installation guide, table 4, Coverage Estimator:
    12 over the exposed face in inches.
    """
    return Fraction(12 * INCH, face)


def board_foot_factor(nominal: Ticks, face: Ticks) -> Fraction:
    """Give the share of board that is bought for what is seen: nominal over exposed width.

    References
    ----------
    Western Wood Products Association, as for `lineal_foot_factor`.
    """
    return Fraction(nominal, face)
