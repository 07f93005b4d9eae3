"""What is said of a frame that can't be shown, in one place for all who refuse it."""

from __future__ import annotations

from os import PathLike

from gradecut.errors import FilmError

__all__ = ["damaged_frame", "unshowable_frame"]


def damaged_frame(path: str | PathLike[str], number: int) -> FilmError:
    """Make the refusal of a frame that can't be decoded."""
    return FilmError(
        path, f"frame {number} is damaged in the file and can't be shown; step past it."
    )


def unshowable_frame(path: str | PathLike[str], number: int) -> FilmError:
    """Make the refusal of a picture that can't be converted."""
    return FilmError(path, f"frame {number} has a kind of picture we can't show.")
