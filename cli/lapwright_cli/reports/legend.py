"""What the cover of the cut sheets says: how to read a sheet, and what its words mean."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lapwright.job.material import Family
from lapwright_cli.reports.shapes import crimp_spacing
from lapwright_cli.reports.sheets import in_order_of_cutting
from lapwright_cli.reports.writing import notices, on_tape, plain, unbroken

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lapwright.plan import Plan

_TRIM_PARTS = {
    "starter": "ST starter strip",
    "outside_corner": "OC outside corner post",
    "inside_corner": "IC inside corner post",
    "j_channel": "J J-channel",
    "sill_channel": "SC sill-support channel",
    "belly_band": "BB belly band",
    "head_flashing": "HF head flashing",
    "fascia": "FA fascia",
    "frieze": "FR frieze",
    "f_channel": "F F-channel",
    "soffit": "SO soffit panel",
}
_LONG_WORD = 24
"""A word longer than this may be broken at any letter."""


def how_to_read(plan: Plan, least_kept: int) -> list[str]:
    """Explain the sheets of a plan, one text for each thing to know.

    Parameters
    ----------
    plan
        The plan.
    least_kept
        From this length on an offcut is kept. [ticks]
    """
    unit = plan.job.unit
    lapped = any(s.family is Family.LAPPED for s in plan.job.sidings)
    butted = any(s.family is Family.BUTTED for s in plan.job.sidings)
    words = [
        "Before the first cut measure a few stock lengths of each kind. If they are shorter"
        " than printed here, stop: every mark would be wrong.",
        f"The number in black is the sheet. Cut the sheets in their order{_turns(plan)}. A"
        " stock length is what is bought; a piece is what is cut from it. A bar is one stock"
        " length; bars are counted siding first.",
        "Face up, butt edge (lower edge) towards you. Two places to measure from: the upper"
        " drawing and its table count from the left end of the STOCK LENGTH; the large"
        " sketches below count from the left end of the PIECE.",
        "Thick lines are cuts, thin lines are not. Cross-hatched is cut away inside a piece;"
        " white with the word OFFCUT, or without a number, is left over."
        + (" Numbers in drawings are millimetres." if unit.is_metric else ""),
        "Crosscut on the scrap's side of the mark: blade right of the mark, unless the sheet"
        " says left. One cut: the next piece begins one kerf (width of the blade) later. Two"
        " cuts: something falls out between.",
        *_kerf_words(plan),
    ]
    words.append(
        "Order: first all crosscuts, square; then on each piece its slopes, then its rip and"
        " notches. “As it comes” is the uncut end of the stock length: no cut there."
    )
    if lapped:
        words.append(
            "A black block is a FACTORY end: never cut it, and never turn the panel end for"
            " end. It goes into a lap."
        )
    words.append(
        "Notches and rips: every height is an arrow up from the butt edge, never a depth from"
        " the top. To rip is to cut the top edge off, or the bottom edge where the sheet says"
        " so."
    )
    exposures = " or ".join(
        dict.fromkeys(on_tape(siding.exposure, unit) for siding in plan.job.sidings)
    )
    if any(siding.varies for siding in plan.job.sidings):
        exposures = "as its course has it"
    line = " or ".join(["top line"] * lapped + ["face line of a plank"] * butted)
    through = " or ".join(["nail hem"] * lapped + ["top edge of the plank"] * butted)
    slope = (
        "Raked is cut along the slope of a roof: rise is up, run is along the piece; inward"
        f" makes the top shorter than the butt edge. The {line} is one exposure ({exposures})"
        f" above the butt edge; the slope goes straight on through the {through}."
    )
    words.append(slope)
    if lapped:
        spacing = crimp_spacing(plan)
        first, step = on_tape(spacing // 2, unit), on_tape(spacing, unit)
        words.append(
            "To crimp: with a snap-lock punch, below the cut edge, first about"
            f" {first} in from the notch's side (or the end of a rip), then every {step}, tabs"
            " facing out."
        )
    if plan.soffits:
        words.append(
            "Soffit panels: face up. A panel from wall to fascia has its wall end at the left;"
            " one along the eave has the wall's side towards you. Rip the outer edge, which no"
            " other panel locks into."
        )
    words.append(
        f"Offcuts of {on_tape(least_kept, unit)} and longer are kept, with the length written"
        " on them; what is shorter is scrap."
    )
    words.append(_label_words(plan))
    words.append(
        "Write the label on the back of each piece and tick its box. An arrow → after a label:"
        " it goes straight to the wall, for all that hang before it are cut by then. Set aside"
        " all others, stacked by wall and course. Trim of a wall goes there first: no arrow."
    )
    return [unbroken(text) for text in words]


def _turns(plan: Plan) -> str:
    """Say what is cut first, where it is not the siding."""
    first = in_order_of_cutting(plan)[0].role
    return ": trim first, for it hangs before the siding" if first != "siding" else ""


def _kerf_words(plan: Plan) -> Iterable[str]:
    """Say what the blade takes, and what to do where the marks leave it no room."""
    job, unit = plan.job, plan.job.unit
    kerfs = {siding.name: job.cladding(siding.name)[1].siding_kerf for siding in job.sidings}
    named = [("Siding", "siding_kerf", job.rules.siding_kerf)]
    if len({*kerfs.values()}) > 1:
        named = [(plain(name), "siding_kerf", kerf) for name, kerf in kerfs.items()]
    named.append(("Trim", "trim_kerf", job.rules.trim_kerf))
    if plan.soffits:
        named.append(("Soffit panels", "soffit_kerf", job.rules.soffit_kerf))
    for what, key, kerf in named:
        yield (
            f"{what}: the marks leave {on_tape(kerf, unit)} for the blade."
            if kerf
            else f"{what}: the marks leave nothing for a blade; cut with snips or shears; for"
            f" a saw set {key} in the job."
        )


def _label_words(plan: Plan) -> str:
    """Take a label of the plan apart."""
    words = "Labels: "
    if plan.siding:
        piece = plan.siding[0]
        words += (
            f"{breakable(plain(piece.label))} is wall {breakable(plain(piece.wall))}, course"
            f" {piece.course} from the bottom, then the piece's number from the left."
        )
    parts = dict.fromkeys(_TRIM_PARTS[m.role] for m in plan.materials if m.role in _TRIM_PARTS)
    if parts:
        where = "wall or soffit" if plan.job.soffits else "wall"
        words += f" Trim: {where}, then {', '.join(parts)}, then a number."
    return words


def missing_letters(plan: Plan) -> list[str]:
    """Say what a box in a name means, where a name has letters beyond the fonts."""
    names = [plan.job.name, *(material.name for material in plan.materials), *notices(plan)]
    names += [wall.mark for wall in plan.job.walls]
    if not any(_is_beyond_fonts(sign) for name in names for sign in name):
        return []
    return [
        "An empty box in a name is a letter that the type of these sheets does not have;"
        " the page elevations.html shows it."
    ]


def _is_beyond_fonts(sign: str) -> bool:
    """Whether a letter is of a script that the fonts inside the engine do not cover."""
    return "\u0590" <= sign < "\u0600" or "\u0700" <= sign < "\u1d00" or sign >= "\u2e80"


def breakable(text: str) -> str:
    """Let a very long word break at a line's end, so that it cannot run off the page."""
    words = (
        word if len(word) <= _LONG_WORD else "\u200b".join(word) for word in text.split(" ")
    )
    return " ".join(words)
