"""A real browser without a window: Debian's Chromium, driven by Playwright."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, sync_playwright

QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@contextmanager
def chromium() -> Iterator[Browser]:
    """Start Chromium for a block."""
    program = shutil.which("chromium") or shutil.which("google-chrome")
    assert program, "These tests need Chromium; python3 dev.py test installs or names it."
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=list(QUIET))
        try:
            yield browser
        finally:
            browser.close()
