"""What can be wrong with the options of a command beyond their form."""

from __future__ import annotations


class AskingError(ValueError):
    """An option asks for something that there is not."""


class MissingExtraError(RuntimeError):
    """An option needs a library of an extra that is not installed."""
