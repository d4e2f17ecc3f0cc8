"""Progress on a terminal: the stage, the seconds, the best cost and the bound."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import TextIO

    from lapwright.job.cutlist import CutList

_EVERY = 0.2
"""Seconds between two lines, so that a fast search does not flood a log."""


class Progress:
    """Hears a planning and writes it to a stream."""

    def __init__(self, stream: TextIO, *, quiet: bool = False) -> None:
        self.seconds: dict[str, float] = {}
        """Of each stage that has ended."""
        self._stream = stream
        self._quiet = quiet
        self._stage = ""
        self._began = time.monotonic()
        self._written = 0.0
        self._width = 0

    def begin(self, stage: str) -> None:
        """Hear that a stage begins, and the one before it ends."""
        now = time.monotonic()
        if self._stage:
            self.seconds[self._stage] = self.seconds.get(self._stage, 0.0) + now - self._began
        self._stage, self._began = stage, now

    def end(self) -> None:
        """Hear that the last stage ends."""
        self.begin("")
        if self._width:
            self._stream.write("\r" + " " * self._width + "\r")
            self._stream.flush()
            self._width = 0

    def hear(self, stage: str, seconds: float, best: str | None, bound: str) -> None:
        """Hear in words the search's stage, seconds, best cost yet, and bound."""
        now = time.monotonic()
        if self._quiet or now - self._written < _EVERY:
            return
        self._written = now
        found = "none yet" if best is None else best
        line = f"{self._stage}: {stage}: {seconds:.1f} s, best {found}, bound {bound}"
        if self._stream.isatty():
            self._stream.write("\r" + line.ljust(self._width))
            self._width = len(line)
        else:
            self._stream.write(line + "\n")
        self._stream.flush()


class CostProgress:
    """Hears the search for a bare cutting list, and tells its costs in the list's unit."""

    def __init__(self, progress: Progress, cutlist: CutList) -> None:
        self._progress = progress
        self._cutlist = cutlist

    def hear(self, stage: str, seconds: float, best: int | None, bound: int) -> None:
        """Pass on what the search says."""
        found = None if best is None else self._words(best)
        self._progress.hear(stage, seconds, found, self._words(bound))

    def _words(self, cost: int) -> str:
        return f"{float(self._cutlist.cost(cost)):g}"
