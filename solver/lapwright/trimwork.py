"""What the crew must know about trim: splices, soffits, and what the job does not supply."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright.job.material import Family, TrimRole
from lapwright.job.soffit import PanelWay, Rip, SoffitEnd
from lapwright.measure import Rounding, to_tape, write_length
from lapwright.takeoff.surround import head_length

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.job import Job
    from lapwright.job.soffit import Soffit
    from lapwright.plan import SoffitPanel, TrimPiece

_POSTS = (TrimRole.OUTSIDE_CORNER, TrimRole.INSIDE_CORNER)


def find_trim(
    job: Job, trim: Sequence[TrimPiece], panels: Sequence[SoffitPanel]
) -> tuple[str, ...]:
    """List what the crew must know of posts, heads, bands and soffits, each a sentence."""
    return (
        *_posts(job, trim),
        *_heads(job),
        *_bands(job),
        *(line for soffit in job.soffits for line in _soffit(soffit, job, panels)),
        *_mitres(panels),
    )


def _posts(job: Job, trim: Sequence[TrimPiece]) -> Iterator[str]:
    """Report posts in more than one piece: a seam that shows, and may let rain in.

    References
    ----------
    Journal of Light Construction, Durable Details for Vinyl Siding (one piece preferred);
    Vinyl Siding Institute, Installation Manual, Accessories (how a splice is made).
    """
    for role in _POSTS:
        material = job.trim_for(role)
        if material is None or not material.splice_lap:
            continue
        pieces = Counter((p.wall, p.place) for p in trim if p.role == role.value)
        for (wall, place), count in pieces.items():
            if count > 1:
                metric = job.unit.is_metric
                lap = write_length(
                    to_tape(material.splice_lap, job.unit, Rounding.NEAREST), job.unit
                )
                off, free = ("25 mm", "6 mm") if metric else ("1 in", "1/4 in")
                how = (
                    f", the upper over the lower; trim {off} off its nail flanges, so that"
                    f" {free} is left to move"
                    if job.siding.family is Family.LAPPED
                    else ""
                )
                yield (
                    f"wall {wall}, {place}: {count} pieces that lap {lap}{how}; a longer stock"
                    " length would make it one piece"
                )


def _heads(job: Job) -> Iterator[str]:
    for wall in job.walls:
        for opening in wall.openings:
            if opening.kind in job.head_flashing and head_length(opening) is None:
                yield (
                    f"wall {wall.mark}, opening {opening.name}: its head is not one straight"
                    " side, so no head flashing is planned; flash it by the maker's"
                    " instructions"
                )


def _bands(job: Job) -> Iterator[str]:
    """Report belly bands, whose upper edges want flashing that is not planned.

    References
    ----------
    Pacific Northwest Inspections Group, Siding Transitions and Flashing, 2016: any level run
    of trim gets a drip cap and Z-flashing, above all one between gable siding and wall.
    """
    banded = [
        wall.mark
        for wall in job.walls
        if any(above.low > below.high for below, above in pairwise(wall.zones))
    ]
    planned = job.band_flashing and job.trim_for(TrimRole.HEAD_FLASHING) is not None
    if banded and not planned:
        yield (
            f"wall {', '.join(banded)}: the upper edge of a belly band wants Z-flashing, which"
            " is not planned; belly band under head_flashing would plan it"
        )


def _soffit(soffit: Soffit, job: Job, panels: Sequence[SoffitPanel]) -> Iterator[str]:
    unit, name = job.unit, f"soffit {soffit.mark}, {soffit.name}"
    if soffit.panels is PanelWay.NONE:
        return
    if job.trim_for(TrimRole.SOFFIT) is None:
        yield f"{name}: the job supplies no soffit panels, so none are planned"
    wanted = [soffit.wall_channel.role, soffit.fascia_channel.role]
    if soffit.left is not SoffitEnd.NONE or soffit.right is not SoffitEnd.NONE:
        wanted.append(TrimRole.J_CHANNEL)
    for role in dict.fromkeys(role for role in wanted if role is not None):
        if job.trim_for(role) is None:
            word = {TrimRole.F_CHANNEL: "F-channel", TrimRole.J_CHANNEL: "J-channel"}[role]
            yield f"{name}: the job supplies no {word}, so none is planned for it"
    own = [panel for panel in panels if panel.soffit == soffit.mark]
    if not own:
        return
    longest, span = max(panel.length for panel in own), job.rules.soffit_span
    held = write_length(span, unit)
    if soffit.panels is PanelWay.ALONG:
        yield f"{name}: panels lie along it; hold them at least every {held} of their length"
    elif longest > span:
        strips = -(-longest // span) - 1
        word = "one nailing strip" if strips == 1 else f"{strips} nailing strips"
        yield (
            f"{name}: panels of {write_length(longest, unit)} span more than {held}; fix"
            f" {word} between wall and fascia first"
        )
    thin = min(panel.width for panel in own)
    if thin < job.rules.narrowest:
        cure = "; rip: both ends would cure it" if soffit.rip is Rip.LAST else ""
        yield f"{name}: a panel is ripped to only {write_length(thin, unit)}{cure}"


def _mitres(panels: Sequence[SoffitPanel]) -> Iterator[str]:
    marks = dict.fromkeys(panel.soffit for panel in panels if panel.outline)
    if marks:
        yield (
            f"soffit {', '.join(marks)}: panels at a mitre are cut to the box that covers them;"
            " cut their slant by the sketch, or in place along the channel of the mitre"
        )
