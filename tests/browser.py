"""A page in a real browser, for tests: what it writes on the console, which requests it makes, and the page itself.

Chromium is looked for on PATH; where there is none, or no playwright to drive it, the test is skipped and says so.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Page

_NAMES = ("chromium", "chromium-browser", "google-chrome")
_LONGEST_MS = 180_000.0
"""A browser beside other work is slow to begin; this is when it is given up, no limit on how fast anything is."""
_ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@dataclass
class Opened:
    """A page that is open. told: everything on its console and every error; asked: every address it asked for."""

    page: Page
    told: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)


@contextmanager
def opened(
    path: Path, width: int = 1000, height: int = 900, scheme: Literal["light", "dark"] = "light", touch: bool = False
) -> Iterator[Opened]:
    """Open a local page and give it; skips the test where no browser is to be had."""
    library = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    browser_path = next((found for name in _NAMES if (found := shutil.which(name))), None)
    if browser_path is None:
        pytest.skip("no Chromium on this machine")
    with library.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=browser_path, args=list(_ARGUMENTS), timeout=_LONGEST_MS)
        try:
            context = browser.new_context(
                viewport={"width": width, "height": height}, color_scheme=scheme, has_touch=touch
            )
            context.set_default_timeout(_LONGEST_MS)
            seen = Opened(context.new_page())
            seen.page.on("console", lambda message: seen.told.append(message.text))
            seen.page.on("pageerror", lambda error: seen.told.append(str(error)))
            seen.page.on("request", lambda request: seen.asked.append(request.url))
            seen.page.goto(path.resolve().as_uri())
            yield seen
        finally:
            browser.close()
