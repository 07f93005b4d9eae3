from __future__ import annotations

from pathlib import Path

from gradecut.desk.remembered import Remembered, recall, remember


def test_what_is_remembered_comes_back(tmp_path: Path) -> None:
    """Grader, recent books and theme survive a restart, newest book first."""
    path = tmp_path / "window.json"
    told = Remembered(grader="J. Alder", theme="light").with_book("b")
    told = told.with_grader("B. Holt", "b").with_book("a", "Herons")
    assert remember(path, told) == ""
    assert recall(path) == told
    assert recall(path).recent == ("a", "b")
    assert (recall(path).graders, recall(path).names) == ({"b": "B. Holt"}, {"a": "Herons"})


def test_a_spoilt_memory_is_forgotten(tmp_path: Path) -> None:
    """A file that is no JSON, or other JSON, starts afresh instead of failing."""
    path = tmp_path / "window.json"
    for text in ("{", "[1]", '{"recent": 3}', '{"recent": 3, "names": 2}'):
        path.write_text(text)
        assert recall(path).recent == ()


def test_a_place_that_cannot_be_written_is_a_sentence(tmp_path: Path) -> None:
    """A memory that can't be kept is told, and is no error."""
    wall = tmp_path / "wall"
    wall.write_text("")
    assert "not remembered" in remember(wall / "window.json", Remembered())
