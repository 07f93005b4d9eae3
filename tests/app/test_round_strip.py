"""Rounds on the Film page: by keys only, with how far it is always in sight."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import QPointF, Qt
from PyQt6.QtGui import QWheelEvent

from gradecut.app.film_page import FilmPage
from gradecut.app.window import MainWindow
from tests.app.test_film_page import key, touch
from tests.desk.conftest import film_book_file, numbered_films

__all__ = ["film_book_file", "numbered_films"]


@pytest.fixture
def page(qtbot: Any, closed_window: MainWindow, tmp_path: Path, film_book_file: Path) -> FilmPage:
    """Show three plays judged: Keel of 1 and Port of 2 are wrong and flagged."""
    path = tmp_path / "film.gradecut"
    shutil.copy(film_book_file, path)
    closed_window.open_path(str(path))
    assert closed_window.pages is not None
    shown = closed_window.pages.page("Film")
    assert isinstance(shown, FilmPage)
    closed_window.activateWindow()
    shown.setFocus()
    qtbot.waitUntil(shown.hasFocus)
    key(qtbot, "2", "1", "2", "F", "Return", "3", "1", "4", "F", "Return", "Return")
    return shown


def test_the_round_stands_in_the_place_of_the_plays(qtbot: Any, page: FilmPage) -> None:
    """Ctrl+F shows how far it is instead of the session's plays; Esc brings those back."""
    assert page.plays.isVisible()
    assert not page.round.isVisible()
    key(qtbot, "Ctrl+F")
    assert not page.plays.isVisible()
    assert page.round.isVisible()
    assert page.round.height() == page.plays.height()
    told = page.round.accessibleDescription()
    assert told.startswith("1 of 2 flagged: play 1 Keel ")
    assert "judged, not looked at again, not right" in told
    key(qtbot, "Escape")
    assert page.plays.isVisible()
    assert not page.round.isVisible()


def test_a_round_by_keys_only(qtbot: Any, page: FilmPage) -> None:
    """Technique of the first by T and a key an item, Enter on both: examined, and it is over."""
    key(qtbot, "Ctrl+F", "T", "1", "2", "Escape", "Return")
    assert page.film.rounds.progress == "2 of 2 flagged"
    assert page.film.hand.position == "Port"
    key(qtbot, "Return")
    assert not page.film.rounds.on
    window = page.window()
    assert isinstance(window, MainWindow)
    assert window.line.sentence == "All done: 2 flagged reps looked at closely."
    page.film.open_clip(page.film.plays.line.boxes[0].clip_id)
    assert page.film.state is not None
    keel = page.film.state.man("Keel")
    assert keel is not None
    assert keel.grade is not None
    assert (keel.grade.how, keel.grade.did_name) == ("examined", "ran past it")
    assert sorted(keel.grade.technique.values()) == [1, 2]


def test_one_man_through_all_his_plays(qtbot: Any, page: FilmPage) -> None:
    """Ctrl+E with Bow in hand: his three plays, what was passed still to be looked at."""
    key(qtbot, "Home", "1", "Ctrl+E")
    assert page.film.rounds.progress.startswith("rep 1 of ")
    key(qtbot, "PageDown")
    assert page.film.clip is not None
    assert page.film.clip.order == 2
    assert page.film.hand.position == "Bow"


def test_it_is_touched_too(qtbot: Any, page: FilmPage) -> None:
    """A box goes to its rep, the keys at the right do what they say."""
    key(qtbot, "Ctrl+F")
    touch(qtbot, page.round, "play 2 Port")
    assert page.film.rounds.progress == "2 of 2 flagged"
    touch(qtbot, page.round, "looked at, next")
    assert page.film.rounds.told == "1 looked at, 1 left"
    assert page.film.rounds.progress == "1 of 2 flagged"
    touch(qtbot, page.round, "leave")
    assert not page.film.rounds.on


def test_many_reps_scroll(qtbot: Any, page: FilmPage) -> None:
    """More reps than there is room for: his turn is kept in sight, the wheel moves the rest."""
    key(qtbot, "Ctrl+F")
    rounds = page.film.rounds
    rounds.reps = rounds.reps * 40
    rounds.place = 77
    rounds.changed.emit()
    page.round.grab()
    here = [spot for spot in page.round.spots if spot.rect.left() < page.round.width() - 280]
    assert 0 < len(here) < 60
    before = here[0].rect.left()
    at = QPointF(400, 40)
    event = QWheelEvent(
        at, at, QPointF(0, 0).toPoint(), QPointF(0, 120).toPoint(), Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    page.round.wheelEvent(event)
    page.round.grab()
    assert page.round.spots[0].rect.left() != before


def test_undo_by_key_goes_back_to_the_rep(qtbot: Any, page: FilmPage) -> None:
    """Ctrl+Z after Enter: that rep again, and it is not looked at any more."""
    key(qtbot, "Ctrl+F", "Return")
    assert page.film.hand.position == "Port"
    key(qtbot, "Ctrl+Z")
    assert page.film.rounds.progress == "1 of 2 flagged"
    assert page.film.hand.position == "Keel"
    assert page.film.rounds.told == "0 looked at, 2 left"


def test_another_play_is_told(qtbot: Any, page: FilmPage) -> None:
    """Led to another play, the strip says so, and Enter leads back."""
    key(qtbot, "Ctrl+F")
    page.film.open_clip(page.film.plays.line.boxes[2].clip_id)
    page.round.grab()
    assert "Another play is shown" in page.round.accessibleDescription()
    touch(qtbot, page.round, "back to him")
    assert page.film.clip is not None
    assert page.film.clip.order == 1
