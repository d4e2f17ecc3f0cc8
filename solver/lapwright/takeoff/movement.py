"""Movement by cold: what an end or a lap loses, and how an upright panel shares its gap."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from lapwright.measure import Ticks

if TYPE_CHECKING:
    from lapwright.job.job import Job


def end_drawn_out(job: Job, length: int) -> tuple[Fraction, Ticks] | None:
    """Tell whether cold draws an end of a piece out of what covers it.

    Parameters
    ----------
    job
        The job; without movement by heat and cold nothing is drawn out.
    length
        Of a piece that ends at a stop. [ticks]

    Returns
    -------
    tuple of Fraction and Ticks, or None
        By how much each end draws back at the coldest, and how much of it is covered at
        hanging: the pocket less the end gap. None where the end stays covered. [ticks]
    """
    thermal = job.thermal
    if thermal is None:
        return None
    # A piece in slots draws back to its middle, half of it from each end.
    drawn = thermal.shrinkage(length, job.temperature) / 2
    covered = Ticks(max(thermal.pocket - job.rules.end_gap, 0))
    return (drawn, covered) if drawn >= covered else None


def lap_opened(job: Job, left: int, right: int) -> Fraction | None:
    """Tell whether cold opens the lap of two pieces.

    Parameters
    ----------
    job
        The job; without movement by heat and cold no lap opens.
    left, right
        Lengths of the two pieces. [ticks]

    Returns
    -------
    Fraction or None
        By how much the two draw apart at the coldest, None where they still lap. [ticks]
    """
    if job.thermal is None:
        return None
    drawn = job.thermal.shrinkage(left + right, job.temperature) / 2
    return drawn if drawn >= job.rules.lap else None


def share_upright(gap: Ticks) -> tuple[Fraction, Fraction]:
    """Share the gap of a panel that hangs upright between its top and its bottom.

    Parameters
    ----------
    gap
        At both ends together. [ticks]

    Returns
    -------
    tuple of Fraction
        One third at the top, two thirds at the bottom, since it hangs from its top
        nails. [ticks]

    References
    ----------
    Wolverine Fit and Finish Installation Guide (CertainTeed), vertical siding: of 3/4 in
    in all, 1/4 in at the top and 1/2 in at the bottom.
    """
    return Fraction(gap, 3), Fraction(2 * gap, 3)
