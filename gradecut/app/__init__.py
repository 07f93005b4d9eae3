"""The window; Qt lives here and nowhere else."""

from __future__ import annotations

import gc
from pathlib import Path

__all__ = ["INSTEAD", "open_window"]

INSTEAD = "--instead"
"""On the command line before a folder: the window stands in another's stead; told nowhere."""


def open_window(path: str | None = None, instead: Path | None = None) -> int:
    """Open the window, on a book where one is named, and return its exit code.

    Parameters
    ----------
    instead : Path or None
        The folder by which a window that goes tells where it stood.

    Raises
    ------
    GradecutError
        When there is no display to open a window on.
    """
    # What is imported stays for good: looking through it for garbage takes time now, and again
    # whenever a key is pressed that a full collection falls on.
    gc.disable()
    try:
        from gradecut.app.opening import open_on_display
    finally:
        gc.freeze()
        gc.enable()
    return open_on_display(path, instead)
