"""The independent recount of a plan, from its record and the job in it alone.

Nothing here is shared with the code that makes plans: the shapes of courses are found
by columns, not by heights, and every rule of layout is followed a second time.
"""

from lapwright.check.recount import plan_schema, recount, require

__all__ = ["plan_schema", "recount", "require"]
