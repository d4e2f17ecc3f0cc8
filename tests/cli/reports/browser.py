"""A real browser for the tests of pages, where the machine has one."""

from __future__ import annotations

import shutil
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
_FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]


@contextmanager
def chromium() -> Iterator[Any]:
    """Start a Chromium with a profile of its own, or skip the test and say why."""
    reason = "playwright is not installed, so no page can be opened"
    sync_api = pytest.importorskip("playwright.sync_api", reason=reason)
    with sync_api.sync_playwright() as play:
        own = play.chromium.executable_path
        path = next(filter(None, map(shutil.which, _NAMES)), own)
        if not path or not Path(path).exists():
            pytest.skip(f"no browser: none of {', '.join(_NAMES)} and none of Playwright's own")
        browser = play.chromium.launch(executable_path=path, args=_FLAGS)
        try:
            yield browser
        finally:
            browser.close()
