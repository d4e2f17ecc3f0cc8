"""All patterns seen so far, each once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Whole = NDArray[np.int64]
    Bar = tuple[int, Whole, int]
    """A bin, how many of each item a bar of it yields (items,), and how many bars."""


class Pool:
    """Patterns in the order in which they came.

    Parameters
    ----------
    items
        How many items a pattern can hold.
    """

    def __init__(self, items: int) -> None:
        self._counts = np.zeros((256, items), dtype=np.int64)
        self._bins = np.zeros(256, dtype=np.int64)
        self._seen: dict[tuple[int, bytes], int] = {}

    def __len__(self) -> int:
        """Tell how many patterns there are."""
        return len(self._seen)

    @property
    def counts(self) -> Whole:
        """How many of each item each pattern yields (patterns, items)."""
        return self._counts[: len(self)]

    @property
    def bins(self) -> Whole:
        """The bin of each pattern (patterns,)."""
        return self._bins[: len(self)]

    def index(self, bin_: int, counts: Whole) -> int | None:
        """Find a pattern, if it is there."""
        return self._seen.get((bin_, counts.astype(np.int16).tobytes()))

    def add(self, bin_: int, counts: Whole) -> int:
        """Add a pattern unless it is there, and give its index."""
        key = (bin_, counts.astype(np.int16).tobytes())
        at = self._seen.get(key)
        if at is not None:
            return at
        at = len(self._seen)
        if at == len(self._bins):
            self._counts = np.concatenate((self._counts, np.zeros_like(self._counts)))
            self._bins = np.concatenate((self._bins, np.zeros_like(self._bins)))
        self._counts[at], self._bins[at] = counts, bin_
        self._seen[key] = at
        return at
