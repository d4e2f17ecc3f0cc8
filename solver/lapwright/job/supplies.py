"""What is counted by a rule and not cut: nails, weather barrier, flashing, furring."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lapwright.measure import Ticks


@dataclass(frozen=True, slots=True)
class Supplies:
    """The rules by which supplies are counted; the catalogue holds their sources."""

    nail_spacing: Ticks
    """Nails of the siding, on centre. [ticks]"""
    trim_nail_spacing: Ticks
    """Nails of trim but for posts, on centre. [ticks]"""
    post_nail_spacing: Ticks
    """Nails of a corner post, on centre in each of its two flanges. [ticks]"""
    barrier_width: Ticks
    """Width of a roll of weather barrier. [ticks]"""
    barrier_length: Ticks
    """Length of a roll of weather barrier. [ticks]"""
    barrier_lap: Ticks
    """By how much two sheets of it lap, less than its width and its length. [ticks]"""
    tape_length: Ticks
    """Length of a roll of flashing tape. [ticks]"""
    corner_flashing_side: Ticks
    """Reach of the corner flashing to each side of the corner. [ticks]"""
    corner_flashing_length: Ticks
    """Length of a roll of corner flashing. [ticks]"""
    furring_length: Ticks
    """Length of a furring strip as it is bought. [ticks]"""
    furring_spacing: Ticks | None = None
    """Of upright furring strips behind the siding, on centre; None: there are none. [ticks]"""
    nails_a_pound: int | None = None
    """Nails in a pound; None: nails are counted, not weighed."""
