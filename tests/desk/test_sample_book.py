from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.desk.sample_book import build_sample_book
from gradecut.errors import BookError, Cancelled
from gradecut.progress import CancelToken, silent


def test_a_sample_week_that_was_stopped_leaves_nothing(tmp_path: Path) -> None:
    """Stopped half way, no half a book stands where the next start would open it."""
    path = tmp_path / "kept" / "sample week.gradecut"
    token = CancelToken()
    token.cancel()
    with pytest.raises(Cancelled):
        build_sample_book(path, silent, token)
    assert list(path.parent.iterdir()) == []


def test_a_file_that_stands_there_is_kept(tmp_path: Path) -> None:
    """What was there before is neither overwritten nor removed."""
    path = tmp_path / "sample week.gradecut"
    path.write_text("mine")
    with pytest.raises(BookError):
        build_sample_book(path, silent, CancelToken())
    assert path.read_text() == "mine"
