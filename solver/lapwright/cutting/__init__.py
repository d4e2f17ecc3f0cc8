"""One dimensional cutting stock: a library that knows nothing of walls.

Three nouns and a verb: a `Problem` of `Piece` and `Stock` goes into `solve`, a
`CutPlan` comes out, with a lower bound that was proven in whole numbers.
"""

from lapwright.cutting.plan import CutPlan, NoWatcher, Pattern, Status, Watcher
from lapwright.cutting.problem import Ends, Piece, Problem, Stock
from lapwright.cutting.recount import recount
from lapwright.cutting.solve import solve

__all__ = [
    "CutPlan",
    "Ends",
    "NoWatcher",
    "Pattern",
    "Piece",
    "Problem",
    "Status",
    "Stock",
    "Watcher",
    "recount",
    "solve",
]
