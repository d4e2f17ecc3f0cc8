"""The rules of the trade that a job is laid out by, every one an input."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from lapwright.measure import INCH, Ticks

_CRIMPS = Ticks(6 * INCH)


class SeamRule(StrEnum):
    """A rule for seams that a job may forbid to break."""

    STAGGER = "stagger"
    IN_LINE = "in_line"
    KEEP_OUT = "keep_out"
    SHORTEST_PIECE = "shortest_piece"


@dataclass(frozen=True, slots=True)
class Rules:
    """Rules in force for a job; the catalogue holds the source of every default."""

    end_gap: Ticks
    """Room left at every stop, at the temperature of hanging. [ticks]"""
    lap: Ticks
    """Overlap of two lapped pieces. [ticks]"""
    joint_gap: Ticks
    """Gap between two butted pieces. [ticks]"""
    stagger: Ticks
    """Least distance of seams in neighbouring courses. [ticks]"""
    in_line_courses: int
    """Two seams in one line must be at least so many courses apart."""
    in_line_width: Ticks
    """Two seams closer than this are in one line. [ticks]"""
    extra_seams: int
    """How many seams more than the fewest a run may have where that keeps a rule."""
    shortest_piece: Ticks
    """Shortest piece that a seam may leave. [ticks]"""
    keep_out: Ticks
    """Seams stay so far from the sides of an opening above or below. [ticks]"""
    side_clearance: Ticks
    """A notch is wider than its opening by this, each side. [ticks]"""
    sill_clearance: Ticks
    """A notch under a sill goes lower than the sill by this. [ticks]"""
    head_clearance: Ticks
    """A notch over a head goes higher than the head by this. [ticks]"""
    roof_clearance: Ticks
    """Siding stays so far above a lower roof. [ticks]"""
    stud_spacing: Ticks
    """Studs on centre, for butted joints. [ticks]"""
    first_stud: Ticks
    """Centre of the first stud from the wall's left end. [ticks]"""
    band_clearance: Ticks
    """Room between a belly band and the first butt edge over it. [ticks]"""
    band_gap: Ticks
    """Room at each end of a belly band. [ticks]"""
    starter_gap: Ticks
    """Gap between a starter strip and what it meets. [ticks]"""
    post_top_gap: Ticks
    """Gap over a corner post. [ticks]"""
    post_below: Ticks
    """How far a corner post reaches below the starter strip. [ticks]"""
    channel_short: Ticks
    """A sill-support channel is shorter than its place by this, each end. [ticks]"""
    channel_tabs: Ticks
    """A J-channel over a head is longer than its two faces ask by this. [ticks]"""
    head_flashing_reach: Ticks
    """Head flashing is longer than its opening is wide by this, each side. [ticks]"""
    soffit_gap: Ticks
    """Room left at each end and edge of soffit panels. [ticks]"""
    soffit_span: Ticks
    """Soffit panels are held at least so often along their length. [ticks]"""
    fascia_corner: Ticks
    """A fascia cover is bent round an outside corner by this. [ticks]"""
    sliver: Ticks
    """A strip of siding lower than this is reported. [ticks]"""
    narrowest: Ticks
    """A filler narrower than this is reported. [ticks]"""
    siding_kerf: Ticks
    """What the tool takes at a cut of siding. [ticks]"""
    trim_kerf: Ticks
    """What the tool takes at a cut of trim. [ticks]"""
    soffit_kerf: Ticks
    """What the tool takes at a cut of soffit panels. [ticks]"""
    furring: Ticks = INCH
    """A cut top edge that takes off more than this needs furring behind it. [ticks]"""
    crimp_spacing: Ticks = _CRIMPS
    """Snap locks along a cut edge, on centre. [ticks]"""
    level_check: int = 5
    """The level is checked each time so many courses are up. [courses]"""
    hard: tuple[SeamRule, ...] = ()
    """Rules for seams that no plan may break."""
