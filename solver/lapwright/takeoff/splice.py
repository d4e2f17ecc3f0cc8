"""A length that is longer than its stock, divided into pieces."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lapwright.measure import FOOT, Rounding, Ticks, Unit, to_tape

if TYPE_CHECKING:
    from lapwright.job.material import Trim

_SHORTEST_REST = FOOT
"""A rest of trim is no shorter than this (common practice, no source). [ticks]"""


def splice(length: Ticks, trim: Trim, unit: Unit) -> tuple[Ticks, ...]:
    """Divide a length into pieces no longer than the longest stock length. [ticks]

    Whole lengths come first; the rest is at least a foot long.
    """
    longest = trim.longest
    if length <= longest:
        return (length,)
    join = trim.splice_gap - trim.splice_lap
    whole, rest = 0, int(length)
    while rest > longest:
        whole += 1
        rest -= longest + join
    lengths = [int(longest)] * whole
    if rest <= 0:
        # What is left is no longer than the gap before it: nothing to fill.
        return tuple(Ticks(length) for length in lengths)
    rounding = Rounding.UP if trim.splice_lap else Rounding.DOWN
    if rest < _SHORTEST_REST:
        lengths[-1] = to_tape(lengths[-1] - (_SHORTEST_REST - rest), unit, rounding)
        rest = _SHORTEST_REST
    return tuple(Ticks(length) for length in [*lengths, to_tape(rest, unit, rounding)])
