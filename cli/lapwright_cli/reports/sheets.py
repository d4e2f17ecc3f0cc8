"""Cut sheets: stock lengths that are cut alike, put together in the order of cutting."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from lapwright_cli.reports.panels import panel_form

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lapwright.plan import Bar, MaterialPlan, Plan, SidingPiece

MOST_LABELS = 60
"""So many labels are on one sheet at most, so that it fits on a page."""


@dataclass(frozen=True, slots=True)
class CutSheet:
    """Stock lengths of one material that are cut alike in every respect."""

    number: int
    """Counted through the whole plan."""
    material: MaterialPlan
    bars: tuple[Bar, ...]
    """In the order of cutting; all have the same cuts but for their labels."""
    bars_before: int
    """Stock lengths of this material on the sheets before this one."""
    pieces_before: int
    """Pieces of this material on the sheets before this one."""

    @property
    def pattern(self) -> Bar:
        """One of the stock lengths, for all."""
        return self.bars[0]

    def labels(self, position: int) -> tuple[str, ...]:
        """Give the labels of the pieces at a position from the left, one a bar."""
        return tuple(bar.cuts[position].label for bar in self.bars)

    @property
    def is_leftover(self) -> bool:
        """Whether the stock lengths are leftovers on hand."""
        return is_leftover(self.pattern.stock, self.material)

    @property
    def is_uncut(self) -> bool:
        """Whether the stock length is one piece from end to end."""
        cuts = self.pattern.cuts
        return len(cuts) == 1 and cuts[0].end - cuts[0].start == self.pattern.stock


@dataclass(frozen=True, slots=True)
class Crosscut:
    """One square cut across a stock length."""

    at: int
    """From the left end of the stock length. [ticks]"""
    keeps_left: bool
    """Whether the mark is the end of the piece at its left, so that the blade runs at
    its right; else it is the start of the piece at its right."""


def is_leftover(stock: int, material: MaterialPlan) -> bool:
    """Whether a stock length of a material is a leftover on hand."""
    return any(line.on_hand for line in material.order if line.stock == stock)


def crosscuts(bar: Bar, kerf: int) -> tuple[Crosscut, ...]:
    """Find the square cuts of a stock length, from left to right.

    A piece is cut at its start only where the cut of the piece before it, or the end of
    the stock length, does not leave it just as it must be.
    """
    cuts: list[Crosscut] = []
    free = 0
    for cut in bar.cuts:
        if cut.start > free:
            cuts.append(Crosscut(int(cut.start), keeps_left=False))
        if cut.end < bar.stock:
            cuts.append(Crosscut(int(cut.end), keeps_left=True))
        free = cut.end + kerf
    return tuple(cuts)


def gaps(bar: Bar, kerf: int) -> tuple[tuple[int, int], ...]:
    """Find what falls off between the cuts of a stock length: (start, end). [ticks]"""
    edges = [(0, 0), *((int(c.start), int(c.end)) for c in bar.cuts), (bar.stock, bar.stock)]
    found = []
    for (_, end), (start, _) in pairwise(edges):
        low = end + kerf if end else 0
        high = start - kerf if start < bar.stock else start
        if high > low:
            found.append((int(low), int(high)))
    return tuple(found)


def in_order_of_cutting(plan: Plan) -> tuple[MaterialPlan, ...]:
    """Put the materials of a plan in the order in which they are cut.

    Trim of walls comes first, for it hangs before the siding that runs into it; trim of
    soffits alone comes last.
    """
    walls = {wall.mark for wall in plan.job.walls}
    on_walls = {piece.label for piece in plan.trim if piece.wall in walls}

    def turn(material: MaterialPlan) -> int:
        if material.role == "siding":
            return 1
        hung = (cut.label in on_walls for bar in material.bars for cut in bar.cuts)
        return 0 if any(hung) else 2

    return tuple(sorted(plan.materials, key=turn))


def cut_sheets(plan: Plan) -> tuple[CutSheet, ...]:
    """Put the stock lengths of a plan on sheets.

    Returns
    -------
    tuple of CutSheet
        Material by material, trim of walls before the siding; within one, in the order of
        each sheet's first bar, sheets with the same crosscuts one after the other.
    """
    forms = {piece.label: form(piece) for piece in plan.siding}
    forms |= {panel.label: panel_form(panel, plan) for panel in plan.soffits}
    sheets: list[CutSheet] = []
    for material in in_order_of_cutting(plan):
        alike: dict[object, list[Bar]] = {}
        for bar in material.bars:
            alike.setdefault(_way(bar, material, forms), []).append(bar)
        first_of: dict[object, int] = {}
        for bars in alike.values():
            first_of.setdefault(_marks(bars[0]), bars[0].number)
        bars_before = pieces_before = 0
        for bars in sorted(
            alike.values(), key=lambda own: (first_of[_marks(own[0])], own[0].number)
        ):
            most = max(1, MOST_LABELS // max(1, len(bars[0].cuts)))
            for first in range(0, len(bars), most):
                part = tuple(bars[first : first + most])
                sheets.append(
                    CutSheet(len(sheets) + 1, material, part, bars_before, pieces_before)
                )
                bars_before += len(part)
                pieces_before += sum(len(bar.cuts) for bar in part)
    return tuple(sheets)


def setups(material: MaterialPlan, kerf: int) -> int:
    """Count the ways in which stock lengths are crosscut, each set out once at the saw."""
    return len({_marks(bar) for bar in material.bars if crosscuts(bar, kerf)})


def places_of_labels(sheets: tuple[CutSheet, ...]) -> dict[str, tuple[CutSheet, Bar]]:
    """Find for every label the sheet and the stock length that its piece comes from."""
    return {
        cut.label: (sheet, bar) for sheet in sheets for bar in sheet.bars for cut in bar.cuts
    }


def straight_to_the_wall(plan: Plan, sheets: tuple[CutSheet, ...]) -> frozenset[str]:
    """Find the pieces of siding that need not wait beside the saw.

    A piece goes straight to the wall if, when its sheet is cut, all that hang before it on
    its wall are cut as well.
    """
    waiting: dict[str, list[str]] = {}
    for piece in reversed(plan.siding):
        waiting.setdefault(piece.wall, []).append(piece.label)
    cut = set[str]()
    found = set[str]()
    for sheet in sheets:
        own = {each.label for bar in sheet.bars for each in bar.cuts}
        cut |= own
        for labels in waiting.values():
            while labels and labels[-1] in cut:
                label = labels.pop()
                if label in own:
                    found.add(label)
    return frozenset(found)


def _way(bar: Bar, material: MaterialPlan, forms: Mapping[str, object]) -> object:
    """Give all that makes the cutting of a stock length what it is, save its labels."""
    if material.role not in ("siding", "soffit"):
        return bar.offcut, _marks(bar)
    return (
        bar.stock,
        bar.offcut,
        tuple((cut.start, cut.end, forms[cut.label]) for cut in bar.cuts),
    )


def _marks(bar: Bar) -> object:
    """Give the crosscuts of a stock length, whatever is done to its pieces."""
    return bar.stock, tuple((cut.start, cut.end) for cut in bar.cuts)


def form(piece: SidingPiece) -> object:
    """Give all that makes the form of a piece, its length apart."""
    ends = tuple((end.cut, end.profile) for end in (piece.left, piece.right))
    notches = tuple(
        (n.edge, n.start, n.end, n.cut_left, n.cut_right, n.upper, n.points)
        for n in piece.notches
    )
    # Where nothing is cut but the ends, the exposure that the course leaves is no matter.
    has_work = piece.ripped or notches or any(profile for _, profile in ends)
    return piece.height if has_work else None, piece.ripped, ends, notches
