from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

import numpy as np
import pytest
from PyQt6.QtCore import QEvent, QPointF, QRectF, Qt
from PyQt6.QtGui import QMouseEvent

from gradecut.app.film_page import FilmPage
from gradecut.app.loupe import Aim, Look
from gradecut.records import Mark, MarkKey
from gradecut.timebase import Frame
from gradecut.workflows.marking import add_mark
from tests.app.test_film_page import key

Until = Callable[[Callable[[], bool]], None]


@pytest.fixture
def page(numbered_film_page: FilmPage) -> FilmPage:
    """Show the Film page at the first frame of a book of numbered films."""
    return numbered_film_page


def point_at(page: FilmPage, x: float, y: float) -> QPointF:
    """Move the pointer to a film pixel; return where that is on the stage."""
    at = QPointF(page.stage.on_screen((x, y)).toPoint())
    none = Qt.MouseButton.NoButton
    page.stage.mouseMoveEvent(
        QMouseEvent(QEvent.Type.MouseMove, at, none, none, Qt.KeyboardModifier.NoModifier)
    )
    return at


def look_of(page: FilmPage) -> Look:
    """Return what the loupe shows and where it lies now."""
    stage = page.stage
    return stage.loupe.place(stage.view, aim_of(page))


def aim_of(page: FilmPage) -> Aim:
    """Return what the loupe is on now."""
    return page.stage.loupe.aim(page.stage.pointer, page.stage.view)


def shows(page: FilmPage, frame: int) -> bool:
    """Tell whether a frame is on stage."""
    return page.film.playhead.shown == frame


def bracket(page: FilmPage, x: float, y: float) -> Mark:
    """Put a bracket on the man in hand."""
    marks = page.film.marks
    marks.take("bracket")
    marks.press((x, y))
    marks.lift((x, y))
    marks.let_go()
    return next(mark for mark in marks.seen() if mark.kind == "bracket")


def test_the_loupe_follows_the_man_in_hand(qtbot: Any, page: FilmPage) -> None:
    """Where he has a bracket on this frame the loupe is on him, else on the pointer."""
    stage = page.stage
    key(qtbot, "2", "Ctrl+L")
    point_at(page, 40, 60)
    aim = aim_of(page)
    assert not aim.his
    assert aim.what == "pointer"
    assert (aim.at.x(), aim.at.y()) == pytest.approx((40, 60), abs=1)
    bracket(page, 200, 120)
    aim = aim_of(page)
    assert aim.his
    assert (aim.at.x(), aim.at.y()) == (200, 120)
    who = page.film.hand.man.who  # type: ignore[union-attr]
    assert f"Loupe on {who}." in stage.accessibleDescription()
    page.film.hand.free()
    page.film.hand_moved()
    assert not aim_of(page).his


def test_the_loupe_goes_with_a_mark_that_goes_with_him(
    qtbot: Any, page: FilmPage, until: Until
) -> None:
    """A bracket set by hand at two frames leads the loupe from one place to the other."""
    head = page.film.playhead
    key(qtbot, "2", "Ctrl+L")
    mark = bracket(page, 100, 120)
    first, last = head.pts(Frame(0)), head.pts(Frame(10))
    keys = (MarkKey(pts=first, by=(0, 0)), MarkKey(pts=last, by=(90, -20)))
    add_mark(page.film.book, replace(mark, keys=keys, from_pts=first, to_pts=last))
    xs = []
    for frame in (0, 5, 10):
        head.seek(frame)
        until(partial(shows, page, frame))
        assert aim_of(page).his
        xs.append(aim_of(page).at.x())
    assert xs[0] == pytest.approx(100)
    assert 100 < xs[1] < 190
    assert xs[2] == pytest.approx(190)


def test_while_something_is_drawn_the_loupe_is_on_the_point_that_is_set(
    qtbot: Any, page: FilmPage
) -> None:
    """A ring can be put on the blade of grass that is meant: by mouse, and by keys."""
    key(qtbot, "2", "Ctrl+L")
    bracket(page, 100, 120)
    point_at(page, 220, 60)
    page.film.marks.take("ring")
    assert aim_of(page).what == "pointer"
    assert aim_of(page).at.x() == pytest.approx(220, abs=1)
    key(qtbot, "Alt+Right")
    assert aim_of(page).what == "next point"
    at = page.film.marks.pointing.at
    assert at is not None
    assert (aim_of(page).at.x(), aim_of(page).at.y()) == pytest.approx(at)


def test_without_a_mark_on_him_it_says_how_it_follows(qtbot: Any, page: FilmPage) -> None:
    """A coach who asks for the loupe on a man learns what it needs."""
    said: list[str] = []
    page.desk.said.connect(said.append)
    key(qtbot, "2", "Ctrl+L")
    assert "put a bracket on" in said[-1]
    key(qtbot, "Ctrl+L")
    assert not page.stage.loupe.on
    assert "Loupe" not in page.stage.accessibleDescription()


def test_what_is_under_the_pointer_is_shown_three_times_as_large(
    qtbot: Any, page: FilmPage
) -> None:
    """The middle of the loupe is the film's pixel under the pointer; its scale is 3."""
    stage = page.stage
    key(qtbot, "Ctrl+L")
    point_at(page, 160, 100)
    look = look_of(page)
    assert look.times == pytest.approx(3)
    assert look.part.center().x() == pytest.approx(160, abs=1)
    assert look.place.width() / look.part.width() == pytest.approx(3 * stage.view.scale, rel=0.02)
    seen = stage.grab().toImage()
    pixels = page.film.playhead.picture
    assert pixels is not None
    middle = look.part.center()
    there = look.place.center().toPoint()
    colour = np.array(seen.pixelColor(there).getRgb()[:3])
    x, y = int(middle.x()), int(middle.y())
    near = pixels[y - 1 : y + 2, x - 1 : x + 2].reshape(-1, 3).astype(int)
    assert (near.min(axis=0) - 6 <= colour).all()
    assert (colour <= near.max(axis=0) + 6).all()


def test_the_loupe_never_lies_over_what_it_shows(qtbot: Any, page: FilmPage) -> None:
    """Wherever the pointer goes, the film around it stays uncovered, and all of it is inside."""
    stage = page.stage
    key(qtbot, "Ctrl+L")
    room = QRectF(stage.rect())
    for x in range(10, 320, 25):
        for y in range(10, 180, 25):
            point_at(page, x, y)
            look = look_of(page)
            assert not look.place.intersects(look.shown)
            assert room.contains(look.place)
            assert QRectF(0, 0, 320, 180).contains(look.part)


def test_keys_zoom_about_the_pointer_and_move_zoomed_film(qtbot: Any, page: FilmPage) -> None:
    """+ keeps what the pointer is on; Alt and arrows look further, and never beyond the film."""
    stage = page.stage
    at = point_at(page, 200, 120)
    before = stage.film_point(at)
    key(qtbot, "Plus", "Plus", "Plus", "Plus", "Plus")
    assert stage.zoom > 2
    assert stage.film_point(at) == pytest.approx(before, abs=1)
    middle = QPointF(stage.rect().center())
    was = stage.film_point(middle)
    key(qtbot, "Alt+Left", "Alt+Down")
    now = stage.film_point(middle)
    assert now[0] < was[0]
    assert now[1] > was[1]
    for _ in range(30):
        key(qtbot, "Alt+Shift+Left")
    assert stage.view.seen().left() == pytest.approx(0, abs=0.5)
    said: list[str] = []
    page.desk.said.connect(said.append)
    key(qtbot, "Ctrl+0", "Alt+Left")
    assert stage.zoom == 1
    assert said


def test_a_night_film_is_brightened_by_keys_and_stays_as_filmed_in_the_book(
    qtbot: Any, page: FilmPage
) -> None:
    """The stage says what is not as filmed, and the picture that is written stays untouched."""
    stage, head = page.stage, page.film.playhead
    true = head.picture.copy()  # type: ignore[union-attr]
    plain = stage.grab().toImage()
    key(qtbot, "Ctrl+Up", "Ctrl+Up", "Ctrl+Shift+Up")
    assert stage.tone_words() == "brightness +2, contrast +1 · Alt+0 as filmed"
    assert "Shown with brightness +2, contrast +1." in stage.accessibleDescription()
    assert stage.grab().toImage() != plain
    assert np.array_equal(head.picture, true)  # type: ignore[arg-type]
    key(qtbot, "Ctrl+Down", "Ctrl+Shift+Down")
    assert stage.tone_words() == "brightness +1 · Alt+0 as filmed"
    key(qtbot, "Alt+0")
    assert stage.tone_words() == ""
    assert stage.grab().toImage() == plain


def test_a_tone_is_of_its_camera_and_is_kept_from_play_to_play(qtbot: Any, page: FilmPage) -> None:
    """The end camera's night film is bright on the next play too, the side's is as it was."""
    key(qtbot, "Ctrl+Up", "PageDown")
    assert page.stage.tone.now.brightness == 1
    key(qtbot, "A")
    assert page.stage.tone.now.brightness == 0
    key(qtbot, "A")
    assert page.stage.tone.now.brightness == 1


def test_more_than_the_most_is_said(qtbot: Any, page: FilmPage) -> None:
    """A key that can do no more says so, instead of doing nothing."""
    said: list[str] = []
    page.desk.said.connect(said.append)
    for _ in range(7):
        key(qtbot, "Ctrl+Up")
    assert said == ["It goes no brighter."]


def test_the_loupe_lies_far_from_him_and_from_what_is_drawn(qtbot: Any, page: FilmPage) -> None:
    """It takes the corner farthest from the man, rather than the one beside him."""
    page.film.hand.choose("Keel")
    rect = page.stage.view.film
    bracket(page, rect.width() * 0.85, rect.height() * 0.3)
    key(qtbot, "Ctrl+L")
    look = look_of(page)
    assert look.corner == (False, True)
