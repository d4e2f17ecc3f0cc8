"""A second search beside the first, in a process of its own.

Both work on the same problem, each in its own way, and tell each other what they find.
A thread would not do: most of a search is Python, of which one thread runs at a time.

What is told and heard is pickled, which is safe here: both ends are this program, and
the pipes between them are open to no one else.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
from contextlib import suppress
from queue import SimpleQueue
from threading import Thread
from typing import IO, TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

CORES = 2
"""With fewer a second search only takes time from the first."""


class Beside:
    """The other search, as one of the two knows it."""

    def __init__(
        self, hears: IO[bytes], tells: IO[bytes], process: subprocess.Popen[bytes] | None = None
    ) -> None:
        self._process = process
        self._heard: SimpleQueue[Any] = SimpleQueue()
        self._told: SimpleQueue[Any] = SimpleQueue()
        self._hearing = Thread(target=self._hear, args=(hears,), daemon=True)
        self._hearing.start()
        Thread(target=self._tell, args=(tells,), daemon=True).start()

    def tell(self, what: Any) -> None:
        """Send what can be pickled, and is not None; it is not waited for."""
        self._told.put(what)

    def heard(self) -> Iterator[Any]:
        """Give what has come since the last call, the oldest first."""
        while not self._heard.empty():
            yield self._heard.get()

    def wait(self) -> Any:
        """Wait for the next that comes."""
        return self._heard.get()

    def stay(self) -> None:
        """Wait until the other one ends."""
        self._hearing.join()

    def stop(self) -> None:
        """End the process that was begun, whatever it is doing."""
        if self._process is not None:
            self._process.kill()
            self._process.wait()
        self._told.put(None)

    def _tell(self, tells: IO[bytes]) -> None:
        with suppress(OSError), tells:  # the other one may have ended
            while (what := self._told.get()) is not None:
                pickle.dump(what, tells, pickle.HIGHEST_PROTOCOL)
                tells.flush()

    def _hear(self, hears: IO[bytes]) -> None:
        with suppress(OSError, EOFError, pickle.UnpicklingError), hears:
            while True:
                self._heard.put(pickle.load(hears))  # noqa: S301 - from this program
        if self._process is None:
            os._exit(0)  # there is no one left to search for


def cores() -> int:
    """Count the cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def begin(module: str, function: str) -> Beside | None:
    """Begin another process.

    Parameters
    ----------
    module, function
        What the process does; it finds the other one by `join`.

    Returns
    -------
    Beside or None
        To be stopped; None if no process can be begun, or there is no core for it.
    """
    if cores() < CORES or not sys.executable:
        return None
    path = os.pathsep.join(place for place in sys.path if place)
    try:
        process = subprocess.Popen(  # noqa: S603 - nothing here comes from outside
            [sys.executable, "-P", "-c", f"from {module} import {function}; {function}()"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "PYTHONPATH": path},
            # A stop from the keyboard is for the first search: it ends the second.
            process_group=0,
            creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
        )
    except OSError:
        return None
    if process.stdin and process.stdout:
        return Beside(process.stdout, process.stdin, process)
    return None


def join() -> Beside:
    """Give the other search to a process that `begin` has begun."""
    hears, tells = os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb")
    # What a library prints must not come between.
    os.dup2(2, 1)
    return Beside(hears, tells)
