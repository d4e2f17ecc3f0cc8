"""Every example in a docstring gives what it shows."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

import lapwright

MODULES = sorted(
    module.name for module in pkgutil.walk_packages(lapwright.__path__, "lapwright.")
)


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_of_a_module_run(name: str) -> None:
    """No docstring shows what the code does not do."""
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def test_there_are_examples() -> None:
    """The walk finds modules, and some of them have examples."""
    tried = sum(doctest.testmod(importlib.import_module(name)).attempted for name in MODULES)
    assert tried > 10
