"""The folder of results."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from lapwright_cli.commands.ending import input_error

if TYPE_CHECKING:
    from collections.abc import Mapping


def write_all(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files beside the folder, then move them into place, all or none."""
    try:
        existed = folder.exists()
        folder.mkdir(parents=True, exist_ok=True)
        beside = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
    except OSError as error:
        raise input_error(folder, f"{error.strerror}", "a folder to write to") from None
    try:
        for name, content in files.items():
            (beside / name).write_bytes(content)
        for name in files:
            (beside / name).replace(folder / name)
    except OSError as error:
        if not existed:
            shutil.rmtree(folder, ignore_errors=True)
        raise input_error(folder, f"{error.strerror}", "a folder to write to") from None
    finally:
        shutil.rmtree(beside, ignore_errors=True)
