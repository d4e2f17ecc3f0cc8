"""How long a piece must be to pass an opening without a seam at it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lapwright.job.material import Family
from lapwright.measure import Rounding, to_tape
from lapwright.seams.split import meets_course

if TYPE_CHECKING:
    from lapwright.job.job import Job
    from lapwright.job.wall import Opening
    from lapwright.takeoff.run import Run


def spanning(run: Run, opening: Opening, job: Job) -> int:
    """Give the length of the piece that takes a run past an opening without a seam.

    Parameters
    ----------
    run
        The run.
    opening
        An opening of its wall.
    job
        The job of the run's siding.

    Returns
    -------
    int
        Nothing where the run does not come by the opening. [ticks]
    """
    rules = job.rules
    margin = max(rules.side_clearance, rules.keep_out)
    left, right = opening.x - margin, opening.right + margin
    if not meets_course(opening, run.course, rules) or right <= run.x or left >= run.end:
        return 0
    if job.siding.family is Family.LAPPED:
        start, end = left - rules.lap, right + rules.lap
    else:
        gap = to_tape(rules.joint_gap, job.unit, Rounding.UP)
        half = gap // 2
        # The last stud whose joint lies before the opening, and the first beyond it.
        before = (left - gap + half - rules.first_stud) // rules.stud_spacing
        beyond = -((rules.first_stud - right - half) // rules.stud_spacing)
        start = rules.first_stud + before * rules.stud_spacing - half + gap
        end = rules.first_stud + beyond * rules.stud_spacing - half
    return min(end, run.end) - max(start, run.x)
