"""The sample week's book, whole or not at all."""

from __future__ import annotations

from pathlib import Path

from gradecut.book import Book
from gradecut.errors import GradecutError
from gradecut.outfile import make_folder
from gradecut.progress import CancelToken, Progress

__all__ = ["build_sample_book"]


def build_sample_book(path: Path, progress: Progress, cancel: CancelToken) -> Book:
    """Build the sample week at a path; what was begun and refused or stopped is removed.

    Raises
    ------
    GradecutError
        When it can't be built there, or was stopped.
    """
    from gradecut.workflows.demo import sample_week

    make_folder(path.parent)
    there = path.exists()
    try:
        return sample_week(path, progress=progress, cancel=cancel)
    except GradecutError:
        if not there:
            for left in path.parent.glob(f"{path.name}*"):
                left.unlink(missing_ok=True)
        raise
