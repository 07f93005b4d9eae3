"""The window; Qt lives here and nowhere else."""

from __future__ import annotations

__all__ = ["open_window"]


def open_window(path: str | None = None) -> int:
    """Open the window, on a book where one is named, and return its exit code.

    Raises
    ------
    GradecutError
        When there is no display to open a window on.
    """
    from gradecut.app.opening import open_on_display

    return open_on_display(path)
