"""How many pieces of each kind all runs together may ask for."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.joint.core import Core, Flags, RunClass
    from lapwright.joint.problem import Whole


class Asked:
    """What fixed pieces, runs with a way, and runs without one may ask for, by kind.

    Parameters
    ----------
    core
        The problem in units.
    groups
        Classes by group; all of a group have the same ways.
    """

    def __init__(self, core: Core, groups: Sequence[Sequence[int]]) -> None:
        self._wanted = core.wanted
        self._classes = [core.classes[group[0]] for group in groups]
        known = {id(c.plain): c for c in self._classes}
        listed = {key: _listed(c) for key, c in known.items()}
        self._lists = [listed[id(c.plain)] for c in self._classes]
        self._all = [sum(len(core.classes[n].members) for n in group) for group in groups]
        self._may = [each.most(None) for each in self._lists]
        """What one run of a group asks for at most, by the kinds of its list."""
        self.release()

    @property
    def most(self) -> Whole:
        """How many of each kind there may be in any plan with what is given. (kinds,)"""
        return self._most

    def allow(self, group: int, ways: Flags | None) -> None:
        """Let the runs of a group that have no way choose among some ways, or among all."""
        one, may = self._lists[group], self._lists[group].most(ways)
        self._most[one.kinds] += self._waiting[group] * (may - self._may[group])
        self._may[group] = may

    def give(self, group: int, way: int, many: int) -> None:
        """Give so many runs of a group a way, or take it back."""
        self._most[self._lists[group].kinds] -= many * self._may[group]
        self._waiting[group] -= many
        kinds = self._classes[group].plain[way]
        np.add.at(self._most, kinds[kinds >= 0], many)

    def release(self) -> None:
        """Take back all ways that were given."""
        self._waiting = list(self._all)
        self._most = self._wanted.copy()
        for many, one, may in zip(self._waiting, self._lists, self._may, strict=True):
            self._most[one.kinds] += many * may


class _Listed(NamedTuple):
    """What the ways of a class ask for."""

    kinds: Whole
    """Those that there are. (kinds of the class,)"""
    begins: Whole
    """Where each kind begins. (kinds of the class,)"""
    ways: Whole
    """Ways that ask for it. (asked,)"""
    often: Whole
    """And how often. (asked,)"""

    def most(self, allowed: Flags | None) -> Whole:
        """Give how many of each kind the way asks for that asks for most of it."""
        if not len(self.kinds):
            return self.kinds
        often = self.often if allowed is None else self.often * allowed[self.ways]
        most: Whole = np.maximum.reduceat(often, self.begins)
        return most


def _listed(c: RunClass) -> _Listed:
    """List by kind what ways ask for."""
    ways, at = np.nonzero(c.plain >= 0)
    kinds = c.plain[ways, at]
    often = (c.plain[ways] == kinds[:, None]).sum(axis=1)
    order = np.argsort(kinds, kind="stable")
    found, begins = np.unique(kinds[order], return_index=True)
    return _Listed(found, begins, ways[order], often[order])
