"""From a job to a checked plan."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, Protocol

from lapwright.bars import Material, Saw, Terms, Translator, Want, cut_material
from lapwright.cutting import Ends
from lapwright.finding import find_all
from lapwright.hard import keep_hard_rules
from lapwright.job.material import Family, TrimRole
from lapwright.joined import Decider
from lapwright.measure import write_length
from lapwright.plan import EndCut, Plan, SoffitPanel, SupplyLine, TrimPiece, WallFigures
from lapwright.siding import lay_out
from lapwright.sight import find_stair_steps
from lapwright.takeoff.area import gross_area, opening_area
from lapwright.takeoff.soffit import lay_soffit
from lapwright.takeoff.stretch import find_stretches, piece_lengths
from lapwright.takeoff.supply import count_supplies
from lapwright.takeoff.surround import is_supported
from lapwright.trimwork import find_trim

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lapwright.job.job import Job
    from lapwright.job.wall import Wall
    from lapwright.joint.plan import JointPlan
    from lapwright.plan import MaterialPlan, SidingPiece
    from lapwright.siding import Layout
    from lapwright.takeoff.run import Run

_TRIM_CODES = {
    "starter": "ST",
    "outside_corner": "OC",
    "inside_corner": "IC",
    "j_channel": "J",
    "sill_channel": "SC",
    "belly_band": "BB",
    "head_flashing": "HF",
    "fascia": "FA",
    "frieze": "FR",
    "f_channel": "F",
    "soffit": "SO",
}
"""The short marks in the labels of trim."""


class Watcher(Protocol):
    """Hears how the planning comes on; it must not change anything."""

    def begin(self, stage: str) -> None:
        """Hear that a stage begins."""

    def hear(self, stage: str, seconds: float, best: str | None, bound: str) -> None:
        """Hear in words the search's stage, seconds, best cost yet, and bound."""


class NoWatcher:
    """Hears nothing."""

    def begin(self, stage: str) -> None:
        """Do nothing."""

    def hear(self, stage: str, seconds: float, best: str | None, bound: str) -> None:
        """Do nothing."""


def make_plan(
    job: Job,
    *,
    time_limit: float | None = 10.0,
    watcher: Watcher | None = None,
    saw: Saw | None = None,
    seam_price: int = 0,
    fewest_seams: bool = False,
) -> Plan:
    """Plan a job: lay out, decide seams and cuts together, and have the result recounted.

    Parameters
    ----------
    job
        The job.
    time_limit
        For the search over all materials together; None for no limit. [seconds]
    watcher
        Hears how the planning comes on.
    saw
        How the saw operator wants the bars; as they are hung, if not given.
    seam_price
        What one seam less may cost in stock; 0 puts the stock first. [1/10000 of the
        currency where the siding has prices, else ticks]
    fewest_seams
        Whether fewer seams come before less stock, whatever the price of a seam.

    Raises
    ------
    NoPlanError
        The rules and the stock leave no way to make a piece.
    HardRuleError
        No plan was found that breaks none of the job's hard rules.
    AuditError
        The recount does not agree with the plan: a fault of ours.

    Notes
    -----
    The same job gives the same plan where there is no time limit.  With one, plans may
    differ where the time ends a search, and for a job of many runs also among plans of the
    same cost: two processes look for it then.
    """
    from lapwright.check import require
    from lapwright.record import plan_record

    watcher = watcher or NoWatcher()
    until = None if time_limit is None else time.monotonic() + time_limit
    watcher.begin("layout")
    decider = _decider(job, time_limit, watcher, seam_price, fewest_seams=fewest_seams)
    layout = lay_out(job, decider)
    watcher.begin("layout")
    keep_hard_rules(job, layout, time_limit)
    trim, panels = lay_trim(job, layout)
    walls = tuple(
        WallFigures(
            wall.mark,
            gross_area(wall.outline),
            opening_area(wall),
            tuple(course.butt for course in courses),
            tuple(course.line for course in courses),
        )
        for wall, courses in zip(job.walls, layout.courses, strict=True)
    )
    watcher.begin("cutting")
    terms = Terms(job.spare, job.unit, until, watcher, saw or Saw())
    materials, notes = _cut_all(job, layout, trim, terms, decider.made)
    plan = Plan(
        job=job,
        walls=walls,
        siding=layout.pieces,
        trim=trim,
        seams=layout.seams,
        materials=materials,
        findings=(
            *find_all(job, layout),
            *find_stair_steps(job, layout),
            *find_trim(job, trim, panels),
            *notes,
        ),
        supplies=_supplies(job, layout, trim),
        soffits=panels,
    )
    watcher.begin("recount")
    require(plan_record(plan))
    return plan


SHARE = 0.95
"""Of the time, for seams and cuts of the sidings; the rest is for trim and cartons."""


def _decider(
    job: Job,
    time_limit: float | None,
    watcher: Watcher,
    seam_price: int,
    *,
    fewest_seams: bool,
) -> Decider:
    def translator(part: Job) -> Translator:
        watcher.begin("seams and cuts")
        priced = all(stock.price is not None for stock in part.siding.stock)
        return Translator(watcher, part.siding.name, priced, part.unit)

    until = None if time_limit is None else time.monotonic() + SHARE * time_limit
    return Decider(until, len(job.sidings), seam_price, translator, fewest_seams)


def lay_trim(job: Job, layout: Layout) -> tuple[tuple[TrimPiece, ...], tuple[SoffitPanel, ...]]:
    """Lay out the pieces of trim, and where those of them hang that are soffit panels.

    Raises
    ------
    NoPlanError
        A soffit is deeper than its panels are long.
    """
    panels = _panels(job)
    return (*_trim(job, layout), *(_panel_piece(panel, job) for panel in panels)), panels


def _trim(job: Job, layout: Layout) -> tuple[TrimPiece, ...]:
    notched = frozenset(
        (wall.mark, opening.name)
        for siding in job.sidings
        for wall, runs in _runs(job, layout.of(siding))
        for opening in wall.openings
        if is_supported(opening, runs, job.cladding(siding.name)[1])
    )
    counted: dict[tuple[str, TrimRole], int] = {}
    pieces = []
    for stretch, trim in find_stretches(job, notched):
        for length in piece_lengths(stretch, trim, job.unit):
            key = (stretch.wall, stretch.role)
            counted[key] = counted.get(key, 0) + 1
            label = f"{stretch.wall}-{_TRIM_CODES[stretch.role.value]}{counted[key]}"
            pieces.append(
                TrimPiece(
                    label, stretch.role.value, trim.name, stretch.wall, stretch.place, length
                )
            )
    return tuple(pieces)


def _runs(job: Job, layout: Layout) -> list[tuple[Wall, list[Run]]]:
    """Gather the runs of every wall."""
    found: dict[str, list[Run]] = {}
    for split in layout.splits:
        found.setdefault(split.run.wall, []).append(split.run)
    return [(wall, found.get(wall.mark, [])) for wall in job.walls]


def _panels(job: Job) -> tuple[SoffitPanel, ...]:
    code = _TRIM_CODES[TrimRole.SOFFIT.value]
    return tuple(
        SoffitPanel(
            f"{soffit.mark}-{code}{number}",
            soffit.mark,
            panel.x,
            panel.y,
            panel.width,
            panel.length,
            panel.outline,
        )
        for soffit in job.soffits
        for number, panel in enumerate(lay_soffit(soffit, job), start=1)
    )


def _panel_piece(panel: SoffitPanel, job: Job) -> TrimPiece:
    """Make the piece of trim that a panel is cut as."""
    soffit = next(soffit for soffit in job.soffits if soffit.mark == panel.soffit)
    trim = job.trim_for(TrimRole.SOFFIT)
    place = soffit.name
    if trim is not None and panel.width < trim.face:
        place += f", ripped to {write_length(panel.width, job.unit)}"
    if panel.outline:
        place += ", mitred"
    name = trim.name if trim else ""
    return TrimPiece(panel.label, TrimRole.SOFFIT.value, name, soffit.mark, place, panel.length)


def _supplies(job: Job, layout: Layout, trim: Sequence[TrimPiece]) -> tuple[SupplyLine, ...]:
    courses: dict[tuple[str, int], list[int]] = {}
    for piece in layout.pieces:
        courses.setdefault((piece.wall, piece.course), []).append(piece.length)
    butted = {siding.name for siding in job.sidings if siding.family is Family.BUTTED}
    ends = {piece.label for piece in layout.pieces if piece.siding in butted}
    joints = sum(seam.left in ends for seam in layout.seams)
    lengths = [(TrimRole(piece.role), piece.length) for piece in trim]
    clad = {(piece.wall, piece.course): piece.siding for piece in layout.pieces}
    counted = count_supplies(job, courses, lengths, joints, clad)
    return tuple(SupplyLine(s.name, s.quantity, s.unit, s.how) for s in counted)


def _cut_all(
    job: Job,
    layout: Layout,
    trim: Sequence[TrimPiece],
    terms: Terms,
    decided: Mapping[str, JointPlan],
) -> tuple[tuple[MaterialPlan, ...], tuple[str, ...]]:
    tasks: list[tuple[Material, list[Want], JointPlan | None]] = []
    for siding in job.sidings:
        kerf = job.cladding(siding.name)[1].siding_kerf
        wants = [
            Want(p.label, p.length, _ends(p)) for p in layout.pieces if p.siding == siding.name
        ]
        material = Material("siding", siding.name, siding.stock, kerf)
        tasks.append((material, wants, decided.get(siding.name)))
    for entry in job.trim_materials:
        key = (entry.role.value, entry.name)
        wants = [Want(p.label, p.length) for p in trim if (p.role, p.material) == key]
        kerf = job.rules.soffit_kerf if entry.role is TrimRole.SOFFIT else job.rules.trim_kerf
        material = Material(entry.role.value, entry.name, entry.stock, kerf)
        tasks.append((material, wants, None))
    made: list[MaterialPlan] = []
    notes: list[str] = []
    number = 1
    for material, wants, joint in tasks:
        if wants:
            planned, said = cut_material(material, wants, number, terms, joint)
            number += len(planned.bars)
            made.append(planned)
            notes += said
    return tuple(made), tuple(notes)


def _ends(piece: SidingPiece) -> Ends:
    """Which factory ends a piece of siding keeps."""
    left = piece.left.cut is EndCut.FACTORY
    right = piece.right.cut is EndCut.FACTORY
    if left and right:
        return Ends.BOTH
    if left:
        return Ends.LEFT
    return Ends.RIGHT if right else Ends.NONE
