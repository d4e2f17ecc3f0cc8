"""A run split into pieces, and which rules for seams the split cannot keep."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lapwright.job.rules import SeamRule

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lapwright.job.rules import Rules
    from lapwright.job.wall import Opening, Wall
    from lapwright.measure import Ticks
    from lapwright.takeoff.course import Course
    from lapwright.takeoff.run import Run


@dataclass(frozen=True, slots=True)
class Part:
    """A piece of a run, by its place and length."""

    x: Ticks
    """Left end, from the wall's left. [ticks]"""
    length: Ticks

    @property
    def end(self) -> int:
        """Right end, from the wall's left. [ticks]"""
        return self.x + self.length


@dataclass(frozen=True, slots=True)
class Split:
    """How a run is split."""

    run: Run
    parts: tuple[Part, ...]
    """From left to right."""
    broken: tuple[tuple[int, str], ...] = ()
    """(Seam from 1 at the left, the rule that it breaks in words)."""

    @property
    def seams(self) -> tuple[Zone, ...]:
        """Where its pieces meet, from left to right."""
        pairs = zip(self.parts, self.parts[1:], strict=False)
        return tuple(Zone(min(a.end, b.x), max(a.end, b.x)) for a, b in pairs)


@dataclass(frozen=True, slots=True)
class Zone:
    """The lap or gap of a seam, or a stretch where none may lie. [ticks]"""

    left: int
    right: int

    @property
    def twice_middle(self) -> int:
        """Twice its middle, a whole number. [ticks]"""
        return self.left + self.right


KEEP_OUT = "lies over or under an opening"
STAGGER = "is nearer to a seam of the next course than the stagger"
IN_LINE = "is in line with a seam too few courses away"
SHORT = "leaves a piece shorter than the shortest piece"

RULE_OF = {
    KEEP_OUT: SeamRule.KEEP_OUT,
    STAGGER: SeamRule.STAGGER,
    IN_LINE: SeamRule.IN_LINE,
    SHORT: SeamRule.SHORTEST_PIECE,
}
"""Which rule the words speak of."""


def meets_course(opening: Opening, course: Course, rules: Rules) -> bool:
    """Whether an opening keeps seams out of a course: it cuts it, or stands on its edge."""
    return opening.sill - rules.sill_clearance <= course.line and opening.head >= course.butt


def kept_out(wall: Wall, run: Run, rules: Rules) -> tuple[Zone, ...]:
    """List where openings at a run's course keep seams out, from left to right."""
    margin = max(rules.side_clearance, rules.keep_out)
    course = run.course
    return tuple(
        sorted(
            (
                Zone(o.x - margin, o.right + margin)
                for o in wall.openings
                if meets_course(o, course, rules)
            ),
            key=lambda zone: (zone.left, zone.right),
        )
    )


def broken_by_place(
    zone: Zone,
    course: int,
    outs: Sequence[Zone],
    earlier: Mapping[int, Sequence[Zone]],
    rules: Rules,
) -> list[str]:
    """Name the rules that a seam breaks by its place.

    Parameters
    ----------
    zone
        The seam. [ticks]
    course
        Number of its course.
    outs
        Where openings keep it out. [ticks]
    earlier
        Seams of the courses below on the same wall, by course number.
    rules
        Stagger and courses in line.
    """
    broken = []
    if any(out.left < zone.right and zone.left < out.right for out in outs):
        broken.append(KEEP_OUT)
    middle = zone.left + zone.right
    for below in range(1, max(rules.in_line_courses, 2)):
        for other in earlier.get(course - below, ()):
            twice = abs(middle - other.left - other.right)
            if below == 1 and twice < 2 * rules.stagger:
                broken.append(STAGGER)
            elif below < rules.in_line_courses and twice < 2 * rules.in_line_width:
                broken.append(IN_LINE)
    return broken


def judge_in_turn(
    runs: Sequence[tuple[Wall, Run, tuple[Part, ...]]], rules: Rules, *, lapped: bool
) -> list[Split]:
    """Tell of splits, in the order of hanging, which rules their seams break.

    Parameters
    ----------
    runs
        Wall, run and the pieces that the run is split into.
    rules
        Of the siding.
    lapped
        Whether a piece at a rake must reach a lap beyond it.
    """
    made: list[Split] = []
    earlier: dict[str, dict[int, list[Zone]]] = {}
    for wall, run, parts in runs:
        below = earlier.setdefault(wall.mark, {})
        course, outs = run.course.number, kept_out(wall, run, rules)
        seams = Split(run, parts).seams
        broken = [
            (number, rule)
            for number, zone in enumerate(seams, start=1)
            for rule in dict.fromkeys(broken_by_place(zone, course, outs, below, rules))
        ]
        least: list[int] = [rules.shortest_piece] * len(parts)
        if lapped:
            least[0] = max(least[0], run.left.inset + rules.lap)
            least[-1] = max(least[-1], run.right.inset + rules.lap)
        broken += [
            (min(number, len(parts) - 1), SHORT)
            for number, (part, length) in enumerate(zip(parts, least, strict=True), start=1)
            if len(parts) > 1 and part.length < length
        ]
        made.append(Split(run, parts, tuple(broken)))
        below.setdefault(course, []).extend(seams)
    return made
