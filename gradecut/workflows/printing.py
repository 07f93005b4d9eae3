"""A page printed to PDF by a browser of this computer, where there is one."""

from __future__ import annotations

import locale
import os
import shutil
import subprocess
import sys
import tempfile
import time
from contextlib import suppress
from pathlib import Path

from gradecut.outfile import whole_file
from gradecut.progress import CancelToken

__all__ = ["browser_here", "print_page", "usual_paper"]

_NAMES = (
    "chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome",
    "microsoft-edge", "microsoft-edge-stable", "msedge", "brave-browser",
)  # fmt: skip
"""Browsers that print a page to PDF without a window (common knowledge, no source)."""
_PLACES = (
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
)
_QUIET = (
    "--headless=new", "--disable-gpu", "--no-first-run", "--disable-sync", "--disable-extensions",
    "--disable-background-networking", "--disable-component-update", "--no-pdf-header-footer",
    "--host-resolver-rules=MAP * ~NOTFOUND",
)  # fmt: skip
"""The page needs no network, and none is touched for it."""
_PATIENCE_S, _ASK_S, _GRACE_S = 60.0, 0.1, 3.0
_LETTER = frozenset({"US", "CA", "MX", "PH", "CL", "CO", "CR", "GT", "PA", "VE"})
"""Where letter paper is usual: Unicode CLDR, supplemental data, paperSize (from memory)."""


def browser_here() -> str | None:
    """Return the path of a browser that can print; None where none was found."""
    found = (shutil.which(name) for name in _NAMES)
    placed = (place for place in _PLACES if Path(place).is_file())
    return next((path for path in (*found, *placed) if path), None)


def usual_paper() -> str:
    """Return the paper that is usual where this computer is set up: "Letter" or "A4"."""
    told = locale.getlocale()[0] or ""
    return "Letter" if told.partition("_")[2][:2] in _LETTER else "A4"


def print_page(
    page: Path, pdf: Path, *, paper: str = "", cancel: CancelToken | None = None
) -> bool:
    """Print an HTML page to PDF; tell whether there is one now.

    A browser that is missing, fails or takes longer than a minute leaves what was there.

    Parameters
    ----------
    page : Path
        Needs no network.
    paper : str
        "A4" or "Letter"; empty for the usual one.

    Raises
    ------
    OutputError
        When the PDF can't be put in place.
    Cancelled
        When asked to stop; nothing is left behind.
    """
    program = browser_here()
    if program is None:
        return False
    size = f"<style>@page {{ size: {paper or usual_paper()}; }}</style></head>"
    with tempfile.TemporaryDirectory(prefix="gradecut-", ignore_cleanup_errors=True) as home:
        sized, made = Path(home) / "page.html", Path(home) / "page.pdf"
        told = page.read_text(encoding="utf-8").replace("</head>", size, 1)
        sized.write_text(told, encoding="utf-8")
        command = [program, *_QUIET, f"--user-data-dir={home}", f"--print-to-pdf={made}"]
        if sys.platform == "linux" and os.geteuid() == 0:
            command.append("--no-sandbox")
        if not _ran([*command, sized.as_uri()], cancel) or not _is_pdf(made):
            return False
        with whole_file(pdf) as draft:
            shutil.copyfile(made, draft)
    return True


def _ran(command: list[str], cancel: CancelToken | None) -> bool:
    """Run a program to its end; tell whether it ended well in time."""
    try:
        running = subprocess.Popen(
            command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )  # fmt: skip
    except OSError:
        return False
    last_s = time.monotonic() + _PATIENCE_S
    try:
        while running.poll() is None:
            if cancel is not None:
                cancel.check("Printing the page")
            if time.monotonic() > last_s:
                return False
            with suppress(subprocess.TimeoutExpired):
                running.wait(_ASK_S)
    finally:
        if running.poll() is None:
            running.terminate()
            with suppress(subprocess.TimeoutExpired):
                running.wait(_GRACE_S)
        if running.poll() is None:
            running.kill()
            running.wait()
    return running.returncode == 0


def _is_pdf(path: Path) -> bool:
    return path.is_file() and path.read_bytes()[:5] == b"%PDF-"
