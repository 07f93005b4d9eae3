"""Text as large as the coach needs it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from gradecut.app import window as window_module
from gradecut.app.text_size import change_text_size, wear_text_size
from gradecut.app.window import MainWindow
from gradecut.desk.remembered import recall


def test_the_remembered_size_is_worn_at_the_start() -> None:
    """150 % is one and a half; back at 100 % nothing of ours is left."""
    environment: dict[str, str] = {}
    wear_text_size(150, environment)
    assert environment["QT_SCALE_FACTOR"] == "1.5"
    wear_text_size(115, environment)
    assert environment["QT_SCALE_FACTOR"] == "1.15"
    wear_text_size(100, environment)
    assert environment == {}


def test_a_size_set_from_outside_stands() -> None:
    """Who starts the window with a scale of his own keeps it."""
    environment = {"QT_SCALE_FACTOR": "2"}
    wear_text_size(150, environment)
    assert environment == {"QT_SCALE_FACTOR": "2"}


def test_larger_text_is_remembered_and_opens_the_window_anew(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One key: the next size is kept, and the same book opens in a window of that size."""
    monkeypatch.delenv("QT_SCALE_FACTOR", raising=False)
    started: list[str] = []
    monkeypatch.setattr(window_module, "start_anew", lambda path: not started.append(path))
    assert window.desk is not None
    path = str(window.desk.book.path)
    change_text_size(window, 1)
    assert started == [path]
    assert recall(tmp_path / "window.json").text_percent == 115
    assert window.desk is None


def test_a_size_there_is_not_is_forgotten(tmp_path: Path) -> None:
    """What somebody wrote into the file by hand does not keep the window from opening."""
    told = tmp_path / "window.json"
    for odd in (7, "large", None, [150]):
        told.write_text(json.dumps({"text_percent": odd}), encoding="utf-8")
        assert recall(told).text_percent == 100


def test_there_is_an_end_to_it(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    """At the smallest size a smaller one is refused in words, and the window stays."""
    monkeypatch.delenv("QT_SCALE_FACTOR", raising=False)
    change_text_size(window, -1)
    assert window.desk is not None
    assert "as small as it gets" in window.line.sentence
