"""Reading ``plan.json`` back."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from lapwright.errors import Finding, InputError, Place
from lapwright.job.document import read_text

if TYPE_CHECKING:
    from pathlib import Path


def read_plan_record(path: Path) -> dict[str, Any]:
    """Read a plan's plain data.

    Raises
    ------
    InputError
        The file cannot be read, or is no JSON object.
    """
    try:
        record = json.loads(read_text(path, largest=200_000_000))
    except json.JSONDecodeError as error:
        place = Place(str(path), error.lineno, error.colno)
        wanted = "a plan.json as lapwright wrote it"
        raise InputError(Finding(place, error.msg, wanted)) from None
    except RecursionError:
        raise InputError(Finding(Place(str(path)), "endless nesting", "a plan.json")) from None
    if not isinstance(record, dict):
        raise InputError(Finding(Place(str(path)), "no JSON object", "a plan.json"))
    return record
