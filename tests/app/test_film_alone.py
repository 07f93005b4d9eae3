from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from PyQt6.QtCore import QRectF
from PyQt6.QtGui import QPainter, QPixmap

from gradecut.app.film_page import FilmPage
from gradecut.app.film_plates import PLATE_OPACITY
from gradecut.drawing import ON_FILM, contrast
from tests.app.test_film_page import key

Until = Callable[[Callable[[], bool]], None]


@pytest.fixture
def page(numbered_film_page: FilmPage) -> FilmPage:
    """Show the Film page at the first frame of a book of numbered films."""
    return numbered_film_page


def covered(page: FilmPage) -> list[QRectF]:
    """Return what is told on the film."""
    ground = QPixmap(page.stage.size())
    painter = QPainter(ground)
    rects = page.alone.paint(painter)
    painter.end()
    return rects


def test_the_film_takes_the_whole_window_and_gives_it_back(
    qtbot: Any, page: FilmPage, until: Until
) -> None:
    """Shift+F11 hides all but the film; Escape shows all that was shown before, no more."""
    window = page.window()
    parts = (page.bar, page.ticks, page.plays, page.look, window.header, window.line)  # type: ignore[union-attr]
    before = [part.isVisible() for part in parts]
    key(qtbot, "Shift+F11")
    until(lambda: page.stage.size() == window.size())  # type: ignore[union-attr]
    assert not any(part.isVisible() for part in parts)
    key(qtbot, "Escape")
    assert [part.isVisible() for part in parts] == before
    key(qtbot, "Shift+F11", "Shift+F11")
    assert [part.isVisible() for part in parts] == before


def test_frame_time_and_speed_are_told_on_the_film(qtbot: Any, page: FilmPage) -> None:
    """Where the film stands, which play it is and how it plays can be read there, and heard."""
    key(qtbot, "Shift+F11", "Right", "Comma", "Y")
    told = page.stage.accessibleDescription()
    assert "no snap marked" in told or "snap" in told
    assert "Play 1" in told
    assert "½ speed" in told
    assert "over and over" in told
    assert len(covered(page)) >= 2


def test_words_on_the_film_are_apart_and_on_the_stage(qtbot: Any, page: FilmPage) -> None:
    """Readout, sentence and question lie beside each other, none cut by the stage's edge."""
    key(qtbot, "Shift+F11", "2")
    page.desk.say("A sentence that is so long that it would run over the edge. " * 6)
    rects = covered(page)
    assert len(rects) == 4
    room = QRectF(page.stage.rect())
    for place, rect in enumerate(rects):
        assert room.contains(rect)
        assert not any(rect.intersects(other) for other in rects[place + 1 :])


def test_a_man_is_graded_on_the_film_alone(qtbot: Any, page: FilmPage) -> None:
    """With a man in hand his question stands on the film, and its keys answer it."""
    key(qtbot, "Shift+F11")
    assert not page.alone.ask.isVisible()
    key(qtbot, "2")
    assert page.alone.ask.isVisible()
    who = page.film.hand.man.who  # type: ignore[union-attr]
    assert who.split()[0] in page.alone.ask.accessibleDescription()
    key(qtbot, "R")
    assert page.film.state.men[1].grade is not None  # type: ignore[union-attr]
    key(qtbot, "Escape")
    assert not page.alone.ask.isVisible()
    assert page.alone.on


def test_the_question_keeps_to_the_stage(qtbot: Any, page: FilmPage, until: Until) -> None:
    """In a smaller window it is narrower, and stands on the film as before."""
    key(qtbot, "Shift+F11", "2")
    wide = page.alone.ask.width()
    page.window().resize(1280, 640)  # type: ignore[union-attr]
    page.stage.resize(700, 500)
    until(lambda: page.alone.ask.width() < wide)
    assert page.stage.rect().contains(page.alone.ask.geometry())


def test_the_page_comes_back_without_the_hint(qtbot: Any, page: FilmPage) -> None:
    """What was said of the film alone is not said any more beside the page."""
    key(qtbot, "Shift+F11")
    line = page.window().line  # type: ignore[union-attr]
    assert "Esc" in line.sentence
    key(qtbot, "Escape")
    assert line.sentence == ""


def test_another_play_is_shown_alone_too(qtbot: Any, page: FilmPage) -> None:
    """Going on to the next play leaves the film alone."""
    key(qtbot, "Shift+F11", "PageDown")
    assert page.film.clip.order == 2  # type: ignore[union-attr]
    assert not page.bar.isVisible()
    assert not page.plays.isVisible()
    assert "Play 2" in page.stage.accessibleDescription()


def test_another_page_has_its_header(qtbot: Any, page: FilmPage) -> None:
    """Whoever goes to another page finds the window as it was."""
    key(qtbot, "Shift+F11")
    window = page.window()
    window.show_page("Board")  # type: ignore[union-attr]
    assert window.header.isVisible()  # type: ignore[union-attr]
    window.show_page("Film")  # type: ignore[union-attr]
    assert page.bar.isVisible()


def test_what_is_said_is_told_on_the_film_until_the_next_act(qtbot: Any, page: FilmPage) -> None:
    """A refusal is never lost because the line at the bottom is hidden."""
    key(qtbot, "Shift+F11", "S")
    told = page.stage.accessibleDescription()
    assert "mark" in told or "snap" in told
    assert len(covered(page)) == 3
    key(qtbot, "Z")
    assert len(covered(page)) == 2


def test_words_on_film_read_on_any_film() -> None:
    """WCAG 2.2, 1.4.3: 4.5:1 for text, on the plate over the blackest and the whitest film."""
    for film in (0, 255):
        ground = tuple(
            round(PLATE_OPACITY * plate + (1 - PLATE_OPACITY) * film)
            for plate in ON_FILM.ground[:3]
        )
        for ink in (ON_FILM.ink, ON_FILM.quiet, ON_FILM.accent):
            assert contrast(ink, (*ground, 255)) >= 4.5  # type: ignore[arg-type]


def test_the_window_fills_the_screen_on_a_key(qtbot: Any, page: FilmPage) -> None:
    """F11 fills the screen on any page, and gives the window its frame back."""
    window = page.window()
    assert window is not None
    before = window.geometry()
    key(qtbot, "F11")
    assert window.isFullScreen()
    screen = window.screen()
    assert screen is not None
    assert window.geometry().contains(screen.geometry())
    key(qtbot, "F11")
    assert not window.isFullScreen()
    assert window.geometry() == before


def test_an_empty_book_has_no_film_to_show_alone(page: FilmPage) -> None:
    """Without film the key says what is missing."""
    page.film.state = None
    said: list[str] = []
    page.desk.said.connect(said.append)
    page.alone.turn()
    assert not page.alone.on
    assert "add film" in said[-1]
