"""Bars of the linear program against the pieces that they must yield."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.cutting import Ends, Piece
from lapwright.joint.core import core_of
from lapwright.joint.likely import bars_for
from lapwright.joint.plan import cutting_of
from lapwright.joint.worth import Pattern
from tests.solver.joint.tiny import problems

if TYPE_CHECKING:
    from lapwright.joint.problem import JointProblem


@settings(max_examples=200, derandomize=True, deadline=None)
@given(problem=problems(), data=st.data())
def test_bars_yield_nothing_but_the_pieces(problem: JointProblem, data: st.DataObject) -> None:
    """Of a bar that yields other pieces nothing is given; of each other one its pieces.

    A piece takes its length and a kerf, as in `test_core`: arithmetic, no source.
    """
    core = core_of(problem)
    rows = [data.draw(st.integers(0, len(run.ways) - 1)) for run in problem.runs]
    pieces = cutting_of(problem, rows).pieces
    kinds = st.lists(st.integers(0, max(0, len(core.lengths) - 1)), max_size=3)
    takes = st.integers(0, core.capacity)
    pattern = Pattern(
        data.draw(st.integers(0, len(problem.stock) - 1)),
        tuple(data.draw(kinds)) if core.lengths else (),
        data.draw(takes),
        data.draw(takes),
    )

    def kind(piece: Piece) -> tuple[Ends, int]:
        taken = int(core.takes(np.array(piece.length)))
        return piece.ends, piece.length if piece.ends is Ends.NONE else taken

    wanted = Counter((Ends.NONE, core.lengths[each]) for each in pattern.plain)
    wanted += Counter({(Ends.LEFT, pattern.left): 1} if pattern.left else {})
    wanted += Counter({(Ends.RIGHT, pattern.right): 1} if pattern.right else {})
    there = {kind(piece) for piece in pieces}
    found = list(bars_for(core, pieces, [pattern]))
    assert bool(found) == (wanted.keys() <= there)
    for stock, places in found:
        assert stock == pattern.stock
        assert wanted == Counter(kind(pieces[place]) for place in places)
