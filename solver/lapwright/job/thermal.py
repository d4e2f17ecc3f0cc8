"""Heat and cold: how far siding moves, and the room that this asks for at its ends."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from lapwright.measure import Rounding, Ticks, to_tape

if TYPE_CHECKING:
    from lapwright.measure import Unit


@dataclass(frozen=True, slots=True)
class Thermal:
    """How far a siding moves between the coldest and the hottest that it will be."""

    coefficient: Fraction
    """Share of its length that a piece grows by for each degree. [1/°F]"""
    coldest: Fraction
    """The coldest that the siding will be. [°F]"""
    hottest: Fraction
    """The hottest that the siding will be, in the sun. [°F]"""
    pocket: Ticks
    """Depth of the channels and posts that cover its ends. [ticks]"""

    def growth(self, length: int, hanging: Fraction) -> Fraction:
        """Give how much longer a piece gets from hanging to the hottest. [ticks]"""
        return movement(length, self.coefficient, self.hottest - hanging)

    def shrinkage(self, length: int, hanging: Fraction) -> Fraction:
        """Give how much shorter a piece gets from hanging to the coldest. [ticks]"""
        return movement(length, self.coefficient, hanging - self.coldest)

    def room_at_each_end(self, length: int, hanging: Fraction, unit: Unit) -> Ticks:
        """Give the room that a piece must have at each end when it is hung.

        Parameters
        ----------
        length
            Of the piece. [ticks]
        hanging
            Temperature at hanging. [°F]
        unit
            Tells the tape, to whose marks the room is rounded up.

        Returns
        -------
        Ticks
            Half of the growth: a piece nailed loosely in slots grows to both ends. [ticks]
        """
        return to_tape(self.growth(length, hanging) / 2, unit, Rounding.UP)


def movement(length: int, coefficient: Fraction, degrees: Fraction | int) -> Fraction:
    """Give how far a length moves, exactly.

    Parameters
    ----------
    length
        At hanging. [ticks]
    coefficient
        Share of the length for each degree. [1/°F]
    degrees
        By how much it gets warmer; what gets colder by it shrinks as far. [°F]

    Returns
    -------
    Fraction
        Zero or more; nothing where the degrees are below zero. [ticks]
    """
    return max(length * coefficient * degrees, Fraction(0))


def write_degrees(fahrenheit: Fraction, unit: Unit) -> str:
    """Write a temperature to the nearest degree, Celsius where the unit is metric."""
    if unit.is_metric:
        return f"{round((fahrenheit - 32) * 5 / 9)} °C"
    return f"{round(fahrenheit)} °F"
