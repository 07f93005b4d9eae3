"""Text as large as the coach needs it."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from gradecut.app import window as window_module
from gradecut.app.as_it_was import AsItWas
from gradecut.app.opening_anew import stand_instead
from gradecut.app.text_size import change_text_size, wear_text_size
from gradecut.app.window import MainWindow
from gradecut.desk.remembered import recall
from gradecut.desk.walking_out import WalkingOut


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
    window: MainWindow,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    until: Callable[[Callable[[], bool]], None],
) -> None:
    """One key: the next size is kept, and a window of that size stands in this one's stead.

    This one stays, in use, until the other is up.
    """
    monkeypatch.delenv("QT_SCALE_FACTOR", raising=False)
    started: list[list[str]] = []
    monkeypatch.setattr(window_module, "start_anew", lambda words: not started.append(words))
    change_text_size(window, 1)
    ((option, folder),) = started
    assert option == "--instead"
    assert recall(tmp_path / "window.json").text_percent == 115
    assert window.desk is not None
    assert window.isEnabled()
    told: list[AsItWas] = []
    stand_instead(window, Path(folder), told.append)
    until(lambda: window.desk is None)
    assert told[0].path.endswith("small.gradecut")


def test_a_reel_being_written_is_not_lost(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another size waits for it, and leaving asks once more."""
    monkeypatch.delenv("QT_SCALE_FACTOR", raising=False)
    assert window.desk is not None
    monkeypatch.setattr(WalkingOut, "going_on", "The players' reel")
    change_text_size(window, 1)
    assert window.line.sentence.startswith("The players' reel is being written; wait for it")
    assert not window.close()
    assert "leave again to go without it" in window.line.sentence
    assert window.desk is not None
    assert window.close()


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
