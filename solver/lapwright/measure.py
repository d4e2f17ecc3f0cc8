"""Exact lengths: reading and writing feet, inches, fractions and metric.

One tick is 1/8128 in = 3.125 µm, so that 1/64 in (127 ticks) and 0.1 mm (32 ticks)
are both whole numbers of ticks.  The inch is exactly 25.4 mm (NIST SP 811, 2008,
appendix B.8, from memory).  Lengths are ticks everywhere; no float holds a length.
"""

from __future__ import annotations

import re
from enum import Enum, StrEnum
from fractions import Fraction
from typing import NewType

Ticks = NewType("Ticks", int)
"""A length in ticks of 1/8128 in."""

INCH = Ticks(8128)
FOOT = Ticks(12 * INCH)
MILLIMETRE = Ticks(320)


class Unit(StrEnum):
    """A unit of length that a bare number can take."""

    INCH = "in"
    FOOT = "ft"
    MILLIMETRE = "mm"
    CENTIMETRE = "cm"
    METRE = "m"

    @property
    def ticks(self) -> int:
        """How many ticks one of this unit has. [ticks]"""
        return _UNIT_TICKS[self]

    @property
    def is_metric(self) -> bool:
        """Whether lengths in this unit are written in millimetres."""
        return self not in (Unit.INCH, Unit.FOOT)


_UNIT_TICKS: dict[Unit, int] = {
    Unit.INCH: INCH,
    Unit.FOOT: FOOT,
    Unit.MILLIMETRE: MILLIMETRE,
    Unit.CENTIMETRE: 10 * MILLIMETRE,
    Unit.METRE: 1000 * MILLIMETRE,
}


class Rounding(Enum):
    """The direction in which a length is written to the marks of the tape."""

    DOWN = "down"
    UP = "up"
    NEAREST = "nearest"
    """Ties go up."""


TAPE_INCH = Ticks(INCH // 16)
"""The finest mark of a common inch tape, 1/16 in (common practice, no source)."""
TAPE_MILLIMETRE = MILLIMETRE
"""The finest mark of a common metric tape, 1 mm (common practice, no source)."""

# A number as people write it: 12, 12.5, .5, 5/8, 3 5/8, 3-5/8.
_NUMBER = r"(?:\d+\s*[-\s]\s*\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+(?:\.\d*)?|\.\d+)"
_FEET = r"(?:'|′|’|ft\.?|feet|foot)"
_INCHES = r"(?:\"|″|”|''|in\.?|inch(?:es)?)"
_FORM = re.compile(
    rf"(?P<feet>{_NUMBER})\s*{_FEET}(?:\s*-?\s*(?P<inches>{_NUMBER})\s*{_INCHES}?)?"
    rf"|(?P<only_inches>{_NUMBER})\s*{_INCHES}"
    rf"|(?P<metric>{_NUMBER})\s*(?P<metric_unit>mm|cm|m)"
    rf"|(?P<bare>{_NUMBER})",
    re.IGNORECASE,
)


class LengthError(ValueError):
    """A text is not a length; `wanted` says in words what would be."""

    def __init__(self, found: str, wanted: str) -> None:
        super().__init__(f"found {found}, wanted {wanted}")
        self.found = found
        self.wanted = wanted


def read_number(text: str) -> Fraction:
    """Read a plain, mixed or decimal number exactly.

    Parameters
    ----------
    text
        Such as ``12``, ``12.5``, ``5/8``, ``3 5/8`` or ``3-5/8``.

    Raises
    ------
    LengthError
        The text is no such number, is negative, or divides by nothing.

    Examples
    --------
    >>> read_number("3-5/8")
    Fraction(29, 8)
    """
    stripped = text.strip()
    if not re.fullmatch(_NUMBER, stripped):
        raise LengthError(repr(text), "a number such as 12, 12.5, 5/8 or 3-5/8")
    whole, _, part = re.sub(r"\s*/\s*", "/", stripped).replace("-", " ").rpartition(" ")
    numerator, slash, denominator = part.partition("/")
    if slash and int(denominator) == 0:
        raise LengthError(repr(text), "a fraction whose lower number is not zero")
    if whole and int(numerator) >= int(denominator):
        raise LengthError(repr(text), "a mixed number with a fraction below one")
    return Fraction(part) + (Fraction(whole) if whole else 0)


def read_measure(text: str, unit: Unit) -> Fraction:
    """Read a length exactly, before it is asked to be a whole number of ticks.

    Parameters
    ----------
    text
        Such as ``12' 6-1/2"``, ``12ft 6in``, ``3 5/8``, ``150.5 in``, ``3810 mm``.
    unit
        What a bare number means.

    Returns
    -------
    Fraction
        The length, zero or more. [ticks]

    Raises
    ------
    LengthError
        The text is no length; tells what was found and what was wanted.
    """
    wanted = "a length such as 12' 6-1/2\", 150.5 in or 3810 mm"
    stripped = " ".join(text.split())
    if not stripped:
        raise LengthError("nothing", wanted)
    if stripped.startswith(("-", "−")):
        raise LengthError(repr(text), "a length that is not negative")
    form = _FORM.fullmatch(stripped)
    if form is None:
        raise LengthError(repr(text), wanted)
    try:
        return _read_form(form, text, unit)
    except LengthError as fault:
        raise LengthError(repr(text), fault.wanted) from None


def _read_form(form: re.Match[str], text: str, unit: Unit) -> Fraction:
    if form["feet"] is not None:
        inches = read_number(form["inches"]) if form["inches"] else Fraction(0)
        if inches >= 12:
            raise LengthError(repr(text), "less than 12 inches after the feet")
        return read_number(form["feet"]) * FOOT + inches * INCH
    if form["only_inches"] is not None:
        return read_number(form["only_inches"]) * INCH
    if form["metric"] is not None:
        metric = Unit(form["metric_unit"].lower())
        return read_number(form["metric"]) * metric.ticks
    return read_number(form["bare"]) * unit.ticks


def read_length(text: str | float, unit: Unit) -> Ticks:
    r"""Read a length into whole ticks.

    Parameters
    ----------
    text
        A length as people write it; a number takes `unit`.  A float is read by its
        shortest decimal form, as it stood in the file.
    unit
        What a bare number means.

    Raises
    ------
    LengthError
        The text is no length, or is no whole number of 1/64 in or 0.1 mm.

    Examples
    --------
    >>> read_length("12' 6-1/2\"", Unit.INCH) == 150 * INCH + INCH // 2
    True
    """
    if isinstance(text, bool):
        raise LengthError(str(text).lower(), "a length")
    exact = read_measure(str(text), unit)
    if exact.denominator != 1:
        raise LengthError(
            repr(text),
            "a whole number of 1/64 in or of 0.1 mm"
            f" (nearest: {write_inches(round_ticks(exact, 127))}"
            f" or {write_millimetres(round_ticks(exact, 32))})",
        )
    return Ticks(int(exact))


def round_ticks(
    length: Fraction | int, step: int, rounding: Rounding = Rounding.NEAREST
) -> Ticks:
    """Round a length to a whole number of steps. [ticks]"""
    above, below = length.numerator, length.denominator * step
    if rounding is Rounding.DOWN:
        whole = above // below
    elif rounding is Rounding.UP:
        whole = -(-above // below)
    else:
        whole = (2 * above + below) // (2 * below)
    return Ticks(whole * step)


def tape_step(unit: Unit) -> Ticks:
    """Give the finest mark of the tape that goes with a unit. [ticks]"""
    return TAPE_MILLIMETRE if unit.is_metric else TAPE_INCH


def to_tape(length: Fraction | int, unit: Unit, rounding: Rounding) -> Ticks:
    """Round a length to the marks of the tape, in the direction that is safe. [ticks]"""
    return round_ticks(length, tape_step(unit), rounding)


def write_inches(length: int) -> str:
    """Write inches with a fraction, such as ``150-1/2"``, exactly.

    Examples
    --------
    >>> write_inches(150 * INCH + INCH // 2)
    '150-1/2"'
    """
    sign, whole, fraction = _split(length, INCH)
    return f'{sign}{_mixed(whole, fraction)}"'


def write_feet(length: int) -> str:
    r"""Write feet, inches and a fraction, such as ``12' 6-1/2"``, exactly.

    Examples
    --------
    >>> write_feet(150 * INCH + INCH // 2)
    '12\' 6-1/2"'
    """
    sign, whole, fraction = _split(length, INCH)
    feet, inches = divmod(whole, 12)
    return f"{sign}{feet}' {_mixed(inches, fraction)}\""


def write_millimetres(length: int) -> str:
    """Write millimetres exactly, such as ``3810 mm``.

    Examples
    --------
    >>> write_millimetres(3810 * MILLIMETRE)
    '3810 mm'
    """
    return f"{write_decimal(Fraction(length, MILLIMETRE))} mm"


def write_length(length: int, unit: Unit) -> str:
    """Write a length as the tape of a unit shows it: millimetres, feet or inches.

    Reading what this writes gives the same ticks.
    """
    if unit.is_metric:
        return write_millimetres(length)
    return write_feet(length) if unit is Unit.FOOT else write_inches(length)


def write_decimal(number: Fraction) -> str:
    """Write a fraction as a decimal, exactly where it ends, else as ``a/b``."""
    rest, places = number.denominator, 0
    for prime in (2, 5):
        power = 0
        while rest % prime == 0:
            rest, power = rest // prime, power + 1
        places = max(places, power)
    if rest != 1:
        return str(number)
    whole = number.numerator * 10**places // number.denominator
    digits = f"{abs(whole):0{places + 1}d}"
    sign = "-" if whole < 0 else ""
    if not places:
        return f"{sign}{digits}"
    return f"{sign}{digits[:-places]}.{digits[-places:]}"


def square_feet(area: Fraction | int) -> Fraction:
    """Turn an area in square ticks into square feet. [sq ft]"""
    return Fraction(area) / (FOOT * FOOT)


def square_metres(area: Fraction | int) -> Fraction:
    """Turn an area in square ticks into square metres. [m2]"""
    return Fraction(area) / (1000 * MILLIMETRE) ** 2


def _split(length: int, unit: int) -> tuple[str, int, Fraction]:
    """Split a length into its sign, whole units and the fraction that is left."""
    whole, rest = divmod(abs(length), unit)
    return ("-" if length < 0 else ""), whole, Fraction(rest, unit)


def _mixed(whole: int, fraction: Fraction) -> str:
    """Write a mixed number as a tape shows it."""
    if not fraction:
        return str(whole)
    return f"{whole}-{fraction}" if whole else str(fraction)
