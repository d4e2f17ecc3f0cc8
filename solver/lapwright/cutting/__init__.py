"""One dimensional cutting stock: a library that knows nothing of walls.

Three nouns and a verb: a `Problem` of `Piece` and `Stock` goes into `solve`, a
`CutPlan` comes out, with a lower bound that was proven in whole numbers.
"""

from lapwright.cutting.order import open_stacks, with_few_open_stacks
from lapwright.cutting.plan import CutPlan, NoWatcher, Pattern, Status, Watcher
from lapwright.cutting.problem import Ends, Piece, Problem, Stock
from lapwright.cutting.recount import recount
from lapwright.cutting.solve import solve
from lapwright.cutting.table import problem_from_columns, rows_of_plan

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
    "open_stacks",
    "problem_from_columns",
    "recount",
    "rows_of_plan",
    "solve",
    "with_few_open_stacks",
]
