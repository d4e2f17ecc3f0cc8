"""How names, lengths, money and shares are written in every report."""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from typing import TYPE_CHECKING

from lapwright import __version__
from lapwright.job.material import MONEY, Family
from lapwright.measure import (
    INCH,
    Rounding,
    Unit,
    round_ticks,
    square_feet,
    square_metres,
    to_tape,
    write_feet,
    write_inches,
    write_millimetres,
)
from lapwright.variant import seams_of
from lapwright_cli.reports.alike import told_once

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.job.job import Cladding
    from lapwright.measure import Ticks
    from lapwright.plan import MaterialPlan, Plan

MADE_BY = f"lapwright {__version__}"

# Characters that turn the direction of all that follows; in a name they could make
# the rest of a line read as something else.
_TURNING = {chr(code) for code in (*range(0x202A, 0x202F), *range(0x2066, 0x206A))}

# A spreadsheet takes a cell that begins so for a formula; some take the wide forms, too.
_FORMULA_SIGNS = ("=", "+", "-", "@", "＝", "＋", "－", "＠")

_IN_LENGTH = re.compile(r"(?<=') (?=\d)|(?<=\d) (?=mm\b)")
_IN_MIXED = re.compile(r"(?<=\d)-(?=\d)")

_ROLE_WORDS = {
    "siding": "Siding",
    "starter": "Starter strip",
    "outside_corner": "Outside corner post",
    "inside_corner": "Inside corner post",
    "j_channel": "J-channel",
    "sill_channel": "Sill-support channel",
    "belly_band": "Belly band",
    "head_flashing": "Head flashing",
    "fascia": "Fascia",
    "frieze": "Frieze",
    "f_channel": "F-channel",
    "soffit": "Soffit panel",
}


def plain(text: str) -> str:
    """Bring a name onto one line, without control characters."""
    kept = (
        " " if unicodedata.category(sign) in ("Cc", "Zl", "Zp", "Cs") else sign
        for sign in text
        if sign not in _TURNING
    )
    return " ".join("".join(kept).split())


def shortened(text: str, most: int) -> str:
    """Cut a text off after so many letters."""
    return text if len(text) <= most else f"{text[: most - 1]}…"


def unbroken(text: str, joiner: str = "") -> str:
    """Keep the end of a line from falling into a length.

    Parameters
    ----------
    text
        Running text.
    joiner
        Set behind the hyphen of a mixed number, for readers that break there.
    """
    return _IN_MIXED.sub(f"-{joiner}", _IN_LENGTH.sub("\u00a0", text))


def on_tape(length: int, unit: Unit) -> str:
    """Write a piece or a mark as the tape shows it: inches, or millimetres.

    Parameters
    ----------
    length
        Written exactly where it is a whole number of 1/64 in or 0.1 mm, else to the
        nearest of these. [ticks]
    unit
        The unit of the job.
    """
    step = 32 if unit.is_metric else INCH // 64
    near = round_ticks(length, step)
    return write_millimetres(near) if unit.is_metric else write_inches(near)


def on_wall(length: int, unit: Unit) -> str:
    """Write a distance on a wall: feet and inches, or millimetres, to the nearest mark."""
    near = to_tape(length, unit, Rounding.NEAREST)
    return write_millimetres(near) if unit.is_metric else write_feet(near)


def area(ticks: int, unit: Unit) -> str:
    """Write an area in square feet or square metres, to one decimal."""
    if unit.is_metric:
        return f"{_fixed(square_metres(ticks), 1)} m²"
    return f"{_fixed(square_feet(ticks), 1)} sq ft"


def price(amount: int, currency: str) -> str:
    """Write an amount of money with its currency, such as ``$12.50``. [1/10000]"""
    mark = plain(currency)
    gap = " " if mark[-1:].isalpha() else ""
    return f"{mark}{gap}{price_number(amount)}"


def price_number(amount: int) -> str:
    """Write an amount of money as a bare number: cents, and more where it has more."""
    whole, rest = divmod(amount, MONEY)
    digits = f"{rest:04d}"
    return f"{whole}.{digits[:2]}{digits[2:].rstrip('0')}"


def share(part: int | Fraction, whole: int | Fraction) -> str:
    """Write a part of a whole in per cent, to one decimal."""
    return f"{_fixed(Fraction(part) * 100 / Fraction(whole), 1) if whole else '0.0'} %"


def stock_words(length: int, unit: Unit) -> str:
    """Write a stock length as a dealer calls it: feet and inches, or millimetres."""
    return on_tape(length, unit) if unit.is_metric else write_feet(length).replace(' 0"', "")


def plural(number: int, noun: str) -> str:
    """Write a number of things; pounds stay as they are."""
    return f"{number} {noun}" if number == 1 or noun == "lb" else f"{number} {noun}s"


def safe(text: str) -> str:
    """Keep a spreadsheet from taking a text for a formula."""
    return f"'{text}" if is_formula(text) else text


def is_formula(text: str) -> bool:
    """Whether a spreadsheet would take a text for a formula, blanks before it or not."""
    return text.lstrip().startswith(_FORMULA_SIGNS) or text.startswith(("\t", "\r", "\n"))


def heading(material: MaterialPlan) -> str:
    """Name a material by its use and its name, once where these are the same."""
    use, name = role_words(material.role), plain(material.name)
    return use if use.casefold() == name.casefold() else f"{use}: {name}"


def role_words(role: str) -> str:
    """Name the role of a material as the trade does."""
    return _ROLE_WORDS.get(role, plain(role.replace("_", " ")).capitalize())


def role_amid(role: str) -> str:
    """Name the role of a material amid a sentence: no capital but that of J and F."""
    words = role_words(role)
    return words if words[1:2] == "-" else words[:1].lower() + words[1:]


def kerf_of(material: MaterialPlan, plan: Plan) -> int:
    """Give what the tool takes at a cut of a material. [ticks]"""
    rules = plan.job.rules
    if material.role == "siding":
        return plan.job.cladding(material.name)[1].siding_kerf
    return rules.soffit_kerf if material.role == "soffit" else rules.trim_kerf


def offcut_share(material: MaterialPlan) -> str:
    """Write which share of the planned stock becomes offcut and kerf."""
    return share(material.offcut_total, material.stock_total)


def cost_words(material: MaterialPlan, plan: Plan) -> str:
    """Say what the planned stock comes to: money where it is priced, else length."""
    return _worth(material.cost, material, plan)


def bound_words(material: MaterialPlan, plan: Plan) -> str:
    """Say how good the cutting, and with it the seams, are known to be, in one sentence."""
    bound = _worth(material.bound, material, plan)
    if material.seams_too:
        return _with_seams(material, plan)
    if material.status == "proven":
        return (
            "proven: from these stock lengths no cutting of the pieces costs less"
            f" (bound {bound})"
        )
    gap = share(material.cost - material.bound, material.cost)
    return (
        f"{plain(material.status)}: the best found so far; no cutting comes to less than"
        f" {bound}, so at most {gap} could still be saved"
    )


def _with_seams(material: MaterialPlan, plan: Plan) -> str:
    """Say how good the seams and the cutting together are known to be."""
    bound = _worth(material.bound, material, plan)
    status, few = plain(material.status), material.least_seams
    rules = "with these stock lengths and rules"
    none = "no other seams and no other cutting cost less"
    if few is None:
        known, fewer = f"{rules} {none}", ""
        least = "no seams and no cutting come to less than"
    else:
        seams = seams_of(plan, material.name)
        least = "with no more seams than these nothing comes to less than"
        if seams <= few:
            fewer = "there can be no fewer seams"
            known = f"{rules} {fewer}, and with as many {none}"
        else:
            fewer = f"fewer than {seams} seams may do, but not fewer than {few}"
            known = f"{rules} and no more seams {none}; {fewer}"
    if status == "proven":
        return f"proven: {known} (bound {bound})"
    if material.cost == material.bound:
        rest = "whether fewer rules could be broken is not known"
        return f"{status}: {known} (bound {bound}); {rest}"
    gap = share(material.cost - material.bound, material.cost)
    words = (
        f"{status}: the best found so far; {least} {bound}, so at most {gap} could still be"
        " saved"
    )
    return f"{words}; {fewer}" if fewer else words


def assumptions(plan: Plan) -> tuple[tuple[str, str], ...]:
    """List what the plan was made with, as pairs of what and how much."""
    job, rules, unit = plan.job, plan.job.rules, plan.job.unit
    lapped = job.siding.family is Family.LAPPED
    joint = ("lap at a seam", rules.lap) if lapped else ("gap at a butt joint", rules.joint_gap)
    lengths = (
        ("gap at every stop", rules.end_gap),
        joint,
        ("notch wider than its opening, each side", rules.side_clearance),
        ("notch below a sill or eave", rules.sill_clearance),
        ("notch above a head", rules.head_clearance),
        ("seams of neighbouring courses apart, at least", rules.stagger),
        ("shortest piece at a seam", rules.shortest_piece),
        ("blade takes from siding (kerf)", rules.siding_kerf),
        ("blade takes from trim (kerf)", rules.trim_kerf),
        *(line for cladding in job.further for line in _further(cladding)),
    )
    return (
        *((what, on_tape(length, unit)) for what, length in (*lengths, *_eaves(plan))),
        ("seams of a run beyond the fewest, at most", _extra_seams(rules.extra_seams)),
        ("exposure of a course", _exposures(plan)),
        ("temperature at hanging", _temperature(job.temperature, unit)),
        *_thermal(plan),
        ("spare on each count", share(job.spare, 1)),
        ("made by", MADE_BY),
    )


def _further(cladding: Cladding) -> Iterator[tuple[str, Ticks]]:
    """List what a further siding is hung by, as far as sidings most often differ in it."""
    siding, rules = cladding.siding, cladding.rules
    name = plain(siding.name)
    yield f"{name}: exposure of a course", siding.exposure
    yield f"{name}: gap at every stop", rules.end_gap
    if siding.family is Family.LAPPED:
        yield f"{name}: lap at a seam", rules.lap
    else:
        yield f"{name}: gap at a butt joint", rules.joint_gap


def _extra_seams(many: int) -> str:
    """Write the limit, with what a job that has none should know."""
    return str(many) if many else "0; extra_seams: 1 often saves stock"


def _exposures(plan: Plan) -> str:
    """Write the exposure of the courses: one, or between which they lie."""
    siding, unit = plan.job.siding, plan.job.unit
    if not siding.varies:
        return on_tape(siding.exposure, unit)
    found = {plan.exposure_of(piece) for piece in plan.siding if piece.siding == siding.name}
    least, greatest = on_tape(min(found), unit), on_tape(max(found), unit)
    kind = "evened out" if siding.evened else "as given"
    return f"{least} to {greatest}, {kind}"


def _eaves(plan: Plan) -> Iterator[tuple[str, int]]:
    """List what head flashing and soffits were made with, where the job has them."""
    rules = plan.job.rules
    if plan.job.head_flashing:
        yield "head flashing beyond its opening, each side", rules.head_flashing_reach
    if plan.job.soffits:
        yield "soffit panels short of their place, each end", rules.soffit_gap
        yield "soffit panels held at least every", rules.soffit_span
        yield "fascia bent round an outside corner by", rules.fascia_corner
        yield "blade takes from soffit (kerf)", rules.soffit_kerf


def _thermal(plan: Plan) -> tuple[tuple[str, str], ...]:
    """List what the end gap was made with, where the job tells heat and cold."""
    thermal, unit = plan.job.thermal, plan.job.unit
    if thermal is None:
        return ()
    degree = "C" if unit.is_metric else "F"
    coefficient = thermal.coefficient * (Fraction(9, 5) if unit.is_metric else 1)
    cold, hot = (_temperature(t, unit) for t in (thermal.coldest, thermal.hottest))
    return (
        ("siding grows, of its length", f"{float(coefficient):.3g} /°{degree}"),
        ("siding will be between", f"{cold} and {hot}"),
        ("siding's ends are covered by", on_tape(thermal.pocket, unit)),
    )


def notices(plan: Plan) -> tuple[str, ...]:
    """List what the crew must know: findings of the plan, then remarks of the reading.

    What is said of many pieces or seams alike is said once.
    """
    # A plan's findings begin with the remarks already; told twice they would look like two.
    return told_once(plain(text) for text in (*plan.findings, *plan.job.remarks))


def _worth(amount: int, material: MaterialPlan, plan: Plan) -> str:
    if material.priced:
        return price(amount, plan.job.currency)
    return f"{on_wall(amount, plan.job.unit)} of stock"


def _temperature(fahrenheit: Fraction, unit: Unit) -> str:
    if unit.is_metric:
        return f"{_fixed((fahrenheit - 32) * 5 / 9, 0)} °C"
    return f"{_fixed(fahrenheit, 0)} °F"


def _fixed(number: Fraction, places: int) -> str:
    """Write a number with so many decimals, halves away from zero."""
    scaled = (abs(number) * 10**places + Fraction(1, 2)).__floor__()
    sign = "-" if number < 0 and scaled else ""
    whole, rest = divmod(scaled, 10**places)
    return f"{sign}{whole}.{rest:0{places}d}" if places else f"{sign}{whole}"
