"""What work takes, where the job says it: minutes and a rate, never assumed."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

MINUTES = ("minutes_a_cut", "minutes_a_setup", "minutes_a_piece", "minutes_a_seam")
"""The keys of the group that are minutes."""


@dataclass(frozen=True, slots=True)
class Labour:
    """Minutes that work takes; None where the job does not say, which then counts nothing."""

    minutes_a_cut: Fraction | None
    """For one cut at the saw."""
    minutes_a_setup: Fraction | None
    """For setting out one way to cut a stock length."""
    minutes_a_piece: Fraction | None
    """For hanging one piece of siding or trim."""
    minutes_a_seam: Fraction | None
    """For one seam, beyond its pieces."""
    rate_an_hour: int | None
    """Money an hour. [1/10000 of the currency]"""

    def minutes(self, cuts: int, setups: int, pieces: int, seams: int) -> Fraction:
        """Give how long so much work takes, as far as the job says. [minutes]"""
        counts = (cuts, setups, pieces, seams)
        rates = (getattr(self, key) for key in MINUTES)
        total = Fraction(0)
        for count, rate in zip(counts, rates, strict=True):
            total += count * (rate or 0)
        return total
