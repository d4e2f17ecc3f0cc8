"""Trade practice: one hangs course by course and saws what is at hand.

Every course of every wall is hung from the left.  A run that needs a seam begins with an
offcut, the last one that was sawn if the rules allow it, else the one before, and so on;
if none will do, with a new stock length, cut back by one stagger (butted: one stud) at a
time until the rules are kept.  It goes on with whole stock lengths of the longest kind.
The last piece of a run, and every piece of a run without a seam, comes from the first
offcut of the pile that is long enough, else from the cheapest new stock length that is.
Where no start keeps the rules, the start that breaks the fewest is taken.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from benchmarks.hung import Hung, runs_of
from benchmarks.seams_first import place_run
from lapwright.cutting import Ends
from lapwright.errors import NoPlanError
from lapwright.job.material import Family
from lapwright.measure import Rounding, Ticks, tape_step, to_tape
from lapwright.plan import Bar, BarCut
from lapwright.seams.butted import joint_places
from lapwright.seams.split import Part, Split, Zone, broken_by_place, kept_out

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from benchmarks.hung import Placed
    from lapwright.job.job import Job
    from lapwright.job.wall import Wall
    from lapwright.takeoff.run import Run

_RANK = {Ends.LEFT: 0, Ends.BOTH: 0, Ends.NONE: 1, Ends.RIGHT: 2}
"""Order on a bar, from the left."""


@dataclass(slots=True, eq=False)
class _Started:
    """A stock length on the saw's pile, and what is left of it."""

    stock: int
    room: int
    """Longest piece that it still yields. [ticks]"""
    left: bool = True
    """Whether what is left has the left factory end."""
    right: bool = True
    cut: list[Placed] = field(default_factory=list)

    def yields(self, length: int, ends: Ends) -> bool:
        """Whether a piece can be cut from what is left."""
        if ends is Ends.BOTH:
            return not self.cut and length == self.stock
        has = {Ends.NONE: True, Ends.LEFT: self.left, Ends.RIGHT: self.right}
        return length <= self.room and has[ends]


def by_practice(job: Job) -> Hung:
    """Hang and cut the siding of a job as above.

    Raises
    ------
    NoPlanError
        No row of studs lets pieces of the stock reach from end to end of a run.
    """
    bars: list[_Started] = []
    pile: list[_Started] = []
    pieces: list[Placed] = []
    earlier: dict[str, dict[int, list[Zone]]] = {}
    counted: dict[tuple[str, int], int] = {}
    for wall, run in runs_of(job):
        below = earlier.setdefault(wall.mark, {})
        split, offcut = _split(wall, run, job, below, pile)
        below.setdefault(run.course.number, []).extend(split.seams)
        made = place_run(split, job, counted)
        pieces += made
        for position, piece in enumerate(made):
            bar = offcut if position == 0 else None
            if bar is None:
                bar = next((b for b in pile if b.yields(piece.length, piece.ends)), None)
            if bar is None:
                stock = _cheapest(job, piece.length)
                bar = _Started(stock, room=stock)
                bars.append(bar)
            _cut(bar, piece, pile, job.rules.siding_kerf)
    return Hung(
        tuple(pieces),
        tuple(
            _bar(number, bar, job.rules.siding_kerf) for number, bar in enumerate(bars, start=1)
        ),
    )


def _cheapest(job: Job, length: int) -> int:
    """Give the cheapest stock length that yields a piece. [ticks]"""
    long = [s for s in job.siding.stock if s.length >= length]
    return min(long, key=lambda s: (s.length if s.price is None else s.price, s.length)).length


def _cut(bar: _Started, piece: Placed, pile: list[_Started], kerf: int) -> None:
    """Cut a piece from a bar; what is left of it goes on top of the pile."""
    bar.cut.append(piece)
    bar.room = max(bar.room - piece.length - kerf, 0)
    if piece.ends is Ends.RIGHT:
        bar.right = False
    elif piece.ends is Ends.LEFT or (bar.left and bar.right):
        # A piece that keeps no end is sawn off the left, so that the right end is kept.
        bar.left = False
    if bar in pile:
        pile.remove(bar)
    if bar.room and piece.ends is not Ends.BOTH:
        pile.append(bar)


def _bar(number: int, bar: _Started, kerf: int) -> Bar:
    """Set the pieces of a bar from its left end; one that keeps the right end, last."""
    cuts, x = [], 0
    for piece in sorted(bar.cut, key=lambda piece: _RANK[piece.ends]):
        start = bar.stock - piece.length if piece.ends is Ends.RIGHT else x
        cuts.append(BarCut(piece.label, Ticks(start), Ticks(start + piece.length)))
        x = start + piece.length + kerf
    return Bar(number, Ticks(bar.stock), tuple(cuts), Ticks(bar.room))


def _split(
    wall: Wall,
    run: Run,
    job: Job,
    earlier: Mapping[int, Sequence[Zone]],
    pile: Sequence[_Started],
) -> tuple[Split, _Started | None]:
    """Split a run, and give the offcut that its first piece comes from."""
    if run.length <= job.siding.longest:
        return Split(run, (Part(run.x, run.length),)), None
    outs, rules = kept_out(wall, run, job.rules), job.rules
    lapped = job.siding.family is Family.LAPPED
    least = [int(rules.shortest_piece)] * 2
    if lapped:  # a seam stays clear of a rake
        least = [max(least[0], e.inset + rules.lap) for e in (run.left, run.right)]
    best: tuple[int, Split, _Started | None] | None = None
    for reach, offcut in _starts(job, pile, least[0]):
        split = (_lap if lapped else _butt)(run, job, reach, least)
        if split is None or (offcut and split.parts[0].length > offcut.room):
            continue
        broken = sum(
            len(broken_by_place(zone, run.course.number, outs, earlier, rules))
            for zone in split.seams
        )
        broken += sum(part.length < rules.shortest_piece for part in split.parts)
        if best is None or broken < best[0]:
            best = broken, split, offcut
        if broken == 0:
            break
    if best is None:
        raise NoPlanError(f"wall {run.wall}, course {run.course.number}: no start reaches")
    return best[1], best[2]


def _starts(
    job: Job, pile: Sequence[_Started], least: int
) -> Iterator[tuple[int, _Started | None]]:
    """Give how long a first piece may be and where it comes from, the last offcut first."""
    longest, rules = int(job.siding.longest), job.rules
    lapped = job.siding.family is Family.LAPPED
    for offcut in reversed(pile):
        if offcut.room >= least and (offcut.right or not lapped):
            yield offcut.room, offcut
    back = max(int(rules.stagger), int(tape_step(job.unit))) if lapped else rules.stud_spacing
    yield longest, None
    for reach in range(longest - back, least - 1, -back):
        yield reach, None


def _lap(run: Run, job: Job, reach: int, least: Sequence[int]) -> Split | None:
    """Lap a run: a first piece, whole stock lengths, and a last piece that is long enough."""
    panel, lap = int(job.siding.longest), int(job.rules.lap)
    first = reach if reach == panel else to_tape(reach, job.unit, Rounding.DOWN)
    parts = _lapped(run, first, panel, lap)
    short = least[1] - parts[-1].length
    if short > 0:  # the first piece is cut back so that the last one is long enough
        first = to_tape(first - short, job.unit, Rounding.DOWN)
        if first < least[0]:
            return None
        parts = _lapped(run, first, panel, lap)
    last = parts[-1]
    if last.length != panel:
        parts[-1] = Part(last.x, to_tape(last.length, job.unit, Rounding.DOWN))
    return Split(run, tuple(parts)) if parts[-1].length > 0 else None


def _lapped(run: Run, first: int, panel: int, lap: int) -> list[Part]:
    parts = [Part(run.x, Ticks(first))]
    while run.end - (parts[-1].end - lap) > panel:
        parts.append(Part(Ticks(parts[-1].end - lap), Ticks(panel)))
    x = parts[-1].end - lap
    return [*parts, Part(Ticks(x), Ticks(run.end - x))]


def _butt(run: Run, job: Job, reach: int, least: Sequence[int]) -> Split | None:
    """Butt a run: each piece goes to the last stud that it reaches."""
    longest = int(job.siding.longest)
    gap = to_tape(job.rules.joint_gap, job.unit, Rounding.UP)
    places = joint_places(run, job)
    parts: list[Part] = []
    x = int(run.x)
    while run.end - x > longest or not parts:
        ends = [x + to_tape(place - x, job.unit, Rounding.DOWN) for place in places]
        near = [end for end in ends if x < end <= x + (longest if parts else reach)]
        # The last piece must be long enough, where a shorter one before it allows that.
        kept = [end for end in near if run.end - end - gap >= least[1]]
        if not near:
            return None
        end = (kept or near)[-1]
        parts.append(Part(Ticks(x), Ticks(end - x)))
        x = end + gap
    last = to_tape(run.end - x, job.unit, Rounding.DOWN)
    return Split(run, (*parts, Part(Ticks(x), last))) if last > 0 else None
