"""How seams look on the walls of a job: from where they are seen, and what still shows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lapwright.joint.looks import View, stair_steps
from lapwright.joint.problem import Apart
from lapwright.measure import INCH

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lapwright.job.job import Job
    from lapwright.job.rules import Rules
    from lapwright.job.wall import Wall
    from lapwright.siding import Layout
    from lapwright.takeoff.run import Run

IN_SIGHT = 48 * INCH
"""A seam nearer than this along the wall catches the eye. [ticks]

Common practice, no source."""
EYE_LEVEL = (36 * INCH, 84 * INCH)
"""Between these heights above a wall's bottom. [ticks]

Common practice, no source."""


def apart_of(rules: Rules) -> Apart:
    """Give how far rules ask seams to be apart."""
    return Apart(rules.stagger, rules.in_line_courses, rules.in_line_width)


def views_of(runs: Iterable[tuple[Wall, Run]]) -> dict[str, View]:
    """Tell from where walls are seen, by the mark of the wall."""
    courses: dict[str, set[int]] = {}
    places: dict[str, int] = {}
    low, high = EYE_LEVEL
    for wall, run in runs:
        if wall.seen_from is None:
            continue
        places[wall.mark] = wall.seen_from
        eyes = courses.setdefault(wall.mark, set())
        if run.course.line > low and run.course.butt < high:
            eyes.add(run.course.number)
    return {
        mark: View(place, IN_SIGHT, frozenset(courses[mark])) for mark, place in places.items()
    }


def find_stair_steps(job: Job, layout: Layout) -> tuple[str, ...]:
    """Tell of each wall whose seams still make stair steps, each as one sentence."""
    return tuple(
        f"{siding.name}, {line}" if len(job.sidings) > 1 else line
        for siding in job.sidings
        for line in _stairs(layout.of(siding), apart_of(job.cladding(siding.name)[1]))
    )


def _stairs(layout: Layout, apart: Apart) -> Iterator[str]:
    walls: dict[str, dict[int, list[int]]] = {}
    for seam in layout.seams:
        walls.setdefault(seam.wall, {}).setdefault(seam.course, []).append(2 * seam.x)
    for mark, seams in walls.items():
        found = stair_steps(seams, apart)
        if found:
            more = f", with {len(found) - 1} more on this wall" if len(found) > 1 else ""
            yield (
                f"wall {mark}, courses {found[0]} to {found[0] + 2}: seams make a stair"
                f" step{more}; no better places were found for the same pieces, another stock"
                " length may cure it"
            )
