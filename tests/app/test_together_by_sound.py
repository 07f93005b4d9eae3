from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from PyQt6.QtCore import Qt

from gradecut.app.film_page import FilmPage
from gradecut.app.window import MainWindow
from tests.desk.playing_books import make_book, make_torture_film
from tests.film.invented_sounds import scene
from tests.workflows.heard_films import SCENE_HZ, write_heard

Until = Callable[[Callable[[], bool]], None]
END_BEGAN_S, SIDE_BEGAN_S = 2.0, 5.0
LENGTH_S = 24.0
HALF_A_FRAME_S = 0.5 / 10
"""Of films at ten frames a second; sounds are placed to a thousandth or so beyond it."""


def film_page(window: MainWindow, path: Path) -> FilmPage:
    """Show the Film page of a book, with the keys."""
    window.open_path(str(path))
    assert window.pages is not None
    page = window.pages.page("Film")
    assert isinstance(page, FilmPage)
    page.setFocus()
    return page


def test_sound_puts_two_angles_beside_each_other(
    qtbot: Any, closed_window: MainWindow, tmp_path: Path, until: Until
) -> None:
    """On a key: what was not beside each other is, to half a frame, and it is said."""
    heard = scene(LENGTH_S + 10, SCENE_HZ, seed=3)
    for name, began_s, shade in (("end", END_BEGAN_S, 40), ("side", SIDE_BEGAN_S, 80)):
        (tmp_path / name).mkdir()
        film = tmp_path / name / "1.mp4"
        write_heard(film, heard, seconds=LENGTH_S, start_s=began_s, shade=shade)
    make_book(tmp_path / "b.gradecut", {name: tmp_path / name for name in ("end", "side")})
    page = film_page(closed_window, tmp_path / "b.gradecut")
    second = page.film.second
    second.turn()
    assert "let their sound tell (Alt+P)" in second.fault
    qtbot.keyClick(page, Qt.Key.Key_P, Qt.KeyboardModifier.AltModifier)
    until(lambda: "by sound on play 1" in closed_window.line.sentence)
    head = page.film.playhead
    head.seek(head.last // 2)
    until(lambda: second.readout() is not None and head.shown == head.frame)
    place = second.place
    assert place is not None
    assert second.shown is not None
    apart_s = head.time_of(head.frame) - place.time_of(second.shown)
    assert abs(float(apart_s) - (SIDE_BEGAN_S - END_BEGAN_S)) <= HALF_A_FRAME_S + 0.002


def test_films_that_do_not_sound_alike_are_said(
    qtbot: Any, closed_window: MainWindow, tmp_path: Path, until: Until
) -> None:
    """Silent films stay as they were; the sentence says why."""
    for name, kind in (("end", "closed"), ("side", "b_frames")):
        make_torture_film(tmp_path / name, kind, count=30)
    make_book(tmp_path / "b.gradecut", {name: tmp_path / name for name in ("end", "side")})
    page = film_page(closed_window, tmp_path / "b.gradecut")
    qtbot.keyClick(page, Qt.Key.Key_P, Qt.KeyboardModifier.AltModifier)
    until(lambda: closed_window.line.sentence.startswith("Not on play 1: "))
    assert "no sound" in closed_window.line.sentence
