"""The engine that sets pages from a template and plain data."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping


def set_pages(template: str, data: Mapping[str, Any]) -> bytes:
    """Set data on pages, the same bytes for the same data.

    Parameters
    ----------
    template
        Name of a template beside this module; it goes on where ``drawing.typ`` ends.
    data
        Plain data.  It reaches the template as one text, so that nothing in a name is
        read as markup.

    Returns
    -------
    bytes
        A PDF without a date.
    """
    # The setting engine is large; who only reads the order should not wait for it.
    import typst

    own = files("lapwright_cli.reports")
    return typst.compile(  # type: ignore[no-any-return, unused-ignore]
        b"".join(own.joinpath(name).read_bytes() for name in ("drawing.typ", template)),
        format="pdf",
        # Only the fonts inside the engine: a bare machine gives the same bytes.
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(data)},
    )
