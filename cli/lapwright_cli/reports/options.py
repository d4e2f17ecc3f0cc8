"""What the reports of a plan are told beside the plan."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lapwright.variant import Without
    from lapwright_cli.paper import Paper


@dataclass(frozen=True, slots=True)
class Options:
    """How reports are printed, and what was tried beside the plan."""

    paper: Paper | None = None
    """None: the one that goes with the job's unit."""
    without: tuple[Without, ...] = ()
    """The materials cut again without each of their stock lengths."""
    link: str = "elevations.html"
    """Address of the elevations, for the codes on stickers."""
