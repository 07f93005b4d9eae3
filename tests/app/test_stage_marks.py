"""Marks on the stage of the real window: by keys alone, by mouse, and while the film steps."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PyQt6.QtCore import QPoint, Qt
from PyQt6.QtGui import QImage
from PyQt6.QtWidgets import QApplication

from gradecut.app.film_page import FilmPage
from gradecut.app.touch_area import TouchArea
from gradecut.app.window import MainWindow
from gradecut.drawing import MARK_COLOURS
from gradecut.records import Grade, Mark
from tests.desk.conftest import film_book_file, numbered_films

__all__ = ["film_book_file", "numbered_films"]

Until = Callable[[Callable[[], bool]], None]
_LEFT = Qt.MouseButton.LeftButton
_HELD = {
    "Shift": Qt.KeyboardModifier.ShiftModifier,
    "Ctrl": Qt.KeyboardModifier.ControlModifier,
    "Alt": Qt.KeyboardModifier.AltModifier,
}


@pytest.fixture
def page(closed_window: MainWindow, tmp_path: Path, film_book_file: Path, until: Until) -> FilmPage:
    """Show the Film page on a book of numbered films, 30 frames in, a man in hand."""
    path = tmp_path / "film.gradecut"
    shutil.copy(film_book_file, path)
    closed_window.open_path(str(path))
    assert closed_window.pages is not None
    shown = closed_window.pages.page("Film")
    assert isinstance(shown, FilmPage)
    shown.setFocus()
    go_to(shown, until, 30)
    return shown


def go_to(page: FilmPage, until: Until, frame: int) -> None:
    """Show a frame, its true picture on the stage."""
    head = page.film.playhead
    head.seek(frame)
    until(lambda: head.shown == frame and not head.rough)


def key(qtbot: Any, *names: str) -> None:
    """Press and let go keys where the focus is."""
    for name in names:
        *held, last = name.split("+")
        modifiers = Qt.KeyboardModifier.NoModifier
        for one in held:
            modifiers |= _HELD[one]
        focus = QApplication.focusWidget()
        assert focus is not None
        qtbot.keyClick(focus, getattr(Qt.Key, f"Key_{last}"), modifiers)


def at(page: FilmPage, x: float, y: float) -> QPoint:
    """Return where on the stage a film pixel is."""
    return page.stage.on_screen((x, y)).toPoint()


def drag(qtbot: Any, page: FilmPage, start: tuple[float, float], stop: tuple[float, float]) -> None:
    """Drag with the mouse over the film."""
    qtbot.mousePress(page.stage, _LEFT, pos=at(page, *start))
    qtbot.mouseMove(page.stage, at(page, *stop))
    qtbot.mouseRelease(page.stage, _LEFT, pos=at(page, *stop))


def only_mark(page: FilmPage) -> Mark:
    """Return the one mark of the book."""
    (mark,) = page.film.book.find(Mark)
    return mark


def stage_pixels(page: FilmPage) -> NDArray[np.uint8]:
    """Return what the stage shows, (H, W, 3) uint8."""
    image = page.stage.grab().toImage().convertToFormat(QImage.Format.Format_RGB888)
    bits = image.constBits()
    assert bits is not None
    rows = np.frombuffer(bytes(bits.asarray(image.sizeInBytes())), np.uint8)
    wide = rows.reshape(image.height(), image.bytesPerLine())[:, : 3 * image.width()]
    return np.array(wide.reshape(image.height(), image.width(), 3))


def yellow_on(page: FilmPage) -> tuple[float, float]:
    """Return the middle of all that is yellow on the stage, in film pixels."""
    page.film.marks.let_go()
    apart = np.abs(stage_pixels(page).astype(int) - MARK_COLOURS["yellow"][:3]).max(axis=2)
    ys, xs = np.nonzero(apart < 30)
    assert len(xs) > 8
    left, top = page.stage.on_screen((0, 0)).x(), page.stage.on_screen((0, 0)).y()
    scale = page.stage.on_screen((1, 0)).x() - left
    return (float(xs.mean()) - left) / scale, (float(ys.mean()) - top) / scale


def touch(qtbot: Any, area: TouchArea, tip: str) -> None:
    """Touch what a tip names."""
    area.grab()
    spot = next(one for one in area.spots if tip in one.tip)
    qtbot.mouseClick(area, _LEFT, pos=spot.rect.center().toPoint())


def test_an_arrow_is_drawn_coloured_and_moved_by_keys_alone(qtbot: Any, page: FilmPage) -> None:
    """M, the tool, Alt and arrows, Enter twice; Alt+K; Alt and an arrow; and no play is passed."""
    key(qtbot, "2", "M", "3", "Alt+Shift+Right", "Return")
    key(qtbot, *["Alt+Shift+Right"] * 5, *["Alt+Shift+Down"] * 2, "Return")
    drawn = only_mark(page)
    assert drawn.kind == "arrow"
    assert drawn.points[1] == (drawn.points[0][0] + 30, drawn.points[0][1] + 12)
    key(qtbot, "Alt+K", "Alt+Shift+Left")
    moved = only_mark(page)
    assert moved.colour == "yellow"
    assert moved.points[0] == (drawn.points[0][0] - 6, drawn.points[0][1])
    assert not page.film.book.count(Grade)
    key(qtbot, "Ctrl+Z", "Ctrl+Z", "Ctrl+Z")
    assert not page.film.book.count(Mark)


def test_a_mark_goes_along_by_keys_and_is_painted_where_it_is(
    qtbot: Any, page: FilmPage, until: Until
) -> None:
    """Set at two frames it is on the stage's pixels at both, and halfway in between."""
    key(qtbot, "M", "2", "Return", "Alt+K", "Alt+M")
    start = only_mark(page).points[0]
    go_to(page, until, 40)
    key(qtbot, *["Alt+Shift+Right"] * 8)
    assert [one.by for one in only_mark(page).keys] == [(0, 0), (48, 0)]
    places = []
    for frame in (30, 35, 40):
        go_to(page, until, frame)
        places.append(yellow_on(page))
    assert places[0] == pytest.approx(start, abs=1.5)
    assert places[1] == pytest.approx((start[0] + 24, start[1]), abs=1.5)
    assert places[2] == pytest.approx((start[0] + 48, start[1]), abs=1.5)


def test_a_path_follows_the_pointer_while_the_key_is_held(
    qtbot: Any, page: FilmPage, until: Until
) -> None:
    """; held steps the film; let go, the path of the man in hand is there and the film stands."""
    key(qtbot, "2")
    qtbot.mouseMove(page.stage, at(page, 80, 120))
    qtbot.keyPress(page, Qt.Key.Key_Semicolon)
    for step in range(1, 4):
        until(lambda step=step: (page.film.playhead.shown or 0) >= 30 + 2 * step)  # type: ignore[misc]
        qtbot.mouseMove(page.stage, at(page, 80 + 30 * step, 120 - 10 * step))
    reached = page.film.playhead.frame
    qtbot.keyRelease(page, Qt.Key.Key_Semicolon)
    path = only_mark(page)
    assert path.kind == "path"
    assert path.rep_id is not None
    assert path.points[0] == pytest.approx((80, 120), abs=1)
    assert path.points[-1] == pytest.approx((170, 90), abs=1)
    assert page.film.playhead.frame == reached
    qtbot.wait(300)
    assert page.film.playhead.frame == reached, "let go, no more frames are stepped"


def test_a_point_is_dragged_by_mouse(qtbot: Any, page: FilmPage) -> None:
    """The chosen arrow's end goes where it is dragged, its beginning stays; one act."""
    page.film.marks.take("arrow")
    drag(qtbot, page, (60, 100), (200, 140))
    drag(qtbot, page, (200, 140), (240, 90))
    mark = only_mark(page)
    assert mark.points[0] == pytest.approx((60, 100), abs=1)
    assert mark.points[1] == pytest.approx((240, 90), abs=1)
    page.film.book.undo()
    assert only_mark(page).points[1] == pytest.approx((200, 140), abs=1)


def test_a_zoomed_films_points_are_held_as_near_as_they_look(qtbot: Any, page: FilmPage) -> None:
    """At six times the size a touch beside the end takes the line, not the end."""
    page.film.marks.take("arrow")
    drag(qtbot, page, (130, 100), (180, 100))
    for _ in range(10):
        page.stage.nearer()
    drag(qtbot, page, (165, 100), (165, 110))
    mark = only_mark(page)
    assert mark.points[1][0] == pytest.approx(180, abs=1)
    assert mark.points[1][1] == pytest.approx(110, abs=1)


def test_the_pointer_tells_what_a_touch_would_take(qtbot: Any, page: FilmPage) -> None:
    """A cross with a tool, a hand over a point, arrows over a mark, the usual one elsewhere."""
    page.film.marks.take("arrow")
    qtbot.mouseMove(page.stage, at(page, 60, 100))
    assert page.stage.cursor().shape() == Qt.CursorShape.CrossCursor
    drag(qtbot, page, (60, 100), (200, 140))
    for place, shape in (
        ((200, 140), Qt.CursorShape.PointingHandCursor),
        ((130, 120), Qt.CursorShape.SizeAllCursor),
        ((280, 60), Qt.CursorShape.ArrowCursor),
    ):
        qtbot.mouseMove(page.stage, at(page, *place))
        assert page.stage.cursor().shape() == shape


def test_words_are_written_on_a_mark_by_a_double_click_or_a_key(qtbot: Any, page: FilmPage) -> None:
    """The field shows what stands there; Enter stores it and the keys go back to the page."""
    page.film.marks.take("box")
    drag(qtbot, page, (60, 60), (140, 120))
    qtbot.mouseDClick(page.stage, _LEFT, pos=at(page, 60, 90))
    assert page.stage.field.isVisible()
    qtbot.keyClicks(page.stage.field, "gap")
    key(qtbot, "Return")
    assert only_mark(page).text == "gap"
    assert not page.stage.field.isVisible()
    assert page.hasFocus()
    key(qtbot, "Alt+Return")
    assert page.stage.field.text() == "gap"
    qtbot.keyClicks(page.stage.field, " opens")
    key(qtbot, "Return")
    assert only_mark(page).text == "gap opens"
    key(qtbot, "Alt+Return", "X", "Escape")
    assert only_mark(page).text == "gap opens"


def test_ticks_show_the_chosen_marks_keys_and_go_to_them(
    qtbot: Any, page: FilmPage, until: Until
) -> None:
    """A touch on a diamond shows that frame; the strip's text says the same."""
    key(qtbot, "M", "2", "Return", "Alt+M")
    go_to(page, until, 40)
    key(qtbot, "Alt+Shift+Right")
    touch(qtbot, page.ticks, "set by hand at 30")
    assert page.film.playhead.frame == 30
    assert "ring 15 to 45, set by hand at 30, 40, chosen" in page.ticks.accessibleDescription()


def test_its_last_frame_is_pulled_on_the_ticks(qtbot: Any, page: FilmPage) -> None:
    """The end of the chosen mark's line is dragged; the film shows that frame; one act."""
    key(qtbot, "M", "2", "Return")
    strip = page.ticks
    strip.grab()
    start = QPoint(round(strip.x_of(45)), strip.height() - 6)
    stop = QPoint(round(strip.x_of(70)), strip.height() - 6)
    qtbot.mousePress(strip, _LEFT, pos=start)
    qtbot.mouseMove(strip, stop)
    assert page.film.marks.seen(), "it is seen as far as it is pulled"
    qtbot.mouseRelease(strip, _LEFT, pos=stop)
    at = page.film.playhead.frame_at
    mark = only_mark(page)
    assert (at(mark.from_pts), at(mark.to_pts)) == (15, 70)
    assert page.film.playhead.frame == 70
    page.film.book.undo()
    assert at(only_mark(page).to_pts) == 45


def test_the_bar_shows_and_turns_the_colour(qtbot: Any, page: FilmPage) -> None:
    """A dot in the colour beside what is meant; a touch on it is the next colour."""
    page.film.marks.take("box")
    touch(qtbot, page.bar, "another colour (Alt+K)")
    page.bar.grab()
    assert any(one.tip.startswith("yellow;") for one in page.bar.spots)
    drag(qtbot, page, (60, 60), (140, 120))
    assert only_mark(page).colour == "yellow"


def test_enter_is_told_as_what_it_does(qtbot: Any, page: FilmPage) -> None:
    """With a tool in hand the strip of plays says that Enter sets a point."""
    key(qtbot, "M", "3")
    page.plays.grab()
    assert any(one.tip == "set a point of the arrow" for one in page.plays.spots)
    key(qtbot, "Escape")
    page.plays.grab()
    assert any(one.tip == "all right, next play" for one in page.plays.spots)


def test_every_key_of_drawing_is_told_and_clashes_with_none(page: FilmPage) -> None:
    """The cheat sheet has them under their own heading."""
    drawing = [one for one in page.actions_here() if one.group == "Draw"]
    keys = [name for one in drawing for name in one.keys]
    others = [name for one in page.actions_here() if one.group != "Draw" for name in one.keys]
    assert {";", "Alt+K", "Alt+M", "Alt+J", "Alt+V", "Ctrl+C", "Ctrl+V", "Alt+Left"} <= set(keys)
    assert not set(keys) & set(others)


def test_the_next_play_is_shown_whole_while_a_mark_is_chosen(qtbot: Any, page: FilmPage) -> None:
    """Drawn, then on: film, picture, men and plays are all of the next play, and so is a grade."""
    first = page.film.clip
    key(qtbot, "M", "2", "Return")
    assert page.film.marks.chosen
    key(qtbot, "PageDown")
    shown = page.film.clip
    assert first is not None
    assert shown is not None
    assert shown.order == first.order + 1
    assert page.film.playhead.angle is not None
    assert page.film.playhead.angle.clip_id == shown.id
    assert not page.film.marks.chosen
    assert page.title.text().startswith(f"Play {shown.order}")
    assert f"Play {shown.order}" in page.plays.accessibleDescription()


def test_a_mark_moved_by_keys_is_stored_before_the_next_play(qtbot: Any, page: FilmPage) -> None:
    """What was moved on this play stays on this play."""
    key(qtbot, "M", "2", "Return", "Alt+Right", "Alt+Right")
    key(qtbot, "PageDown", "PageUp")
    (mark,) = page.film.book.find(Mark)
    assert page.film.playhead.angle is not None
    assert mark.angle_id == page.film.playhead.angle.id
