from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from PyQt6.QtCore import QPoint, QPointF, Qt
from PyQt6.QtGui import QImage
from PyQt6.QtWidgets import QApplication, QWidget

from gradecut.app.film_page import FilmPage
from gradecut.app.window import MainWindow
from tests.desk.playing_books import make_book, make_torture_film
from tests.film.torture import HEIGHT, WIDTH

Until = Callable[[Callable[[], bool]], None]
_BITS = 12
_LEFT = Qt.MouseButton.LeftButton
END_SNAP, SIDE_SNAP = 20, 33


@pytest.fixture(scope="session")
def angles(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Write one play from two cameras, 30 and 59.94 frames a second."""
    folder = tmp_path_factory.mktemp("angles")
    make_torture_film(folder / "end", "b_frames", count=40)
    make_torture_film(folder / "side", "ntsc", count=80)
    return {"end": folder / "end", "side": folder / "side"}


@pytest.fixture
def page(
    closed_window: MainWindow, tmp_path: Path, angles: dict[str, Path], until: Until
) -> FilmPage:
    """Show the play, the snap marked on both films."""
    path = tmp_path / "two.gradecut"
    make_book(path, angles)
    closed_window.open_path(str(path))
    shown = closed_window.pages.page("Film")  # type: ignore[union-attr]
    assert isinstance(shown, FilmPage)
    shown.setFocus()
    film = shown.film
    film.playhead.seek(END_SNAP)
    film.telling.mark_snap()
    film.other_angle()
    film.playhead.seek(SIDE_SNAP)
    film.telling.mark_snap()
    film.other_angle()
    until(lambda: film.playhead.shown == END_SNAP)
    return shown


def number_in(seen: QImage, at: Callable[[float, float], QPoint]) -> int:
    """Read the number burnt into a film from what a stage shows."""
    block = WIDTH // _BITS
    number = 0
    for bit in range(_BITS):
        point = at((bit + 0.5) * block, HEIGHT / 4)
        number |= int(seen.pixelColor(point).lightness() > 128) << bit
    return number


def both_seen(page: FilmPage) -> tuple[int, int]:
    """Return the numbers that stage and second stage show."""
    stage, second = page.stage, page.pair.second
    way = second.on_screen()
    return (
        number_in(stage.grab().toImage(), lambda x, y: stage.on_screen((x, y)).toPoint()),
        number_in(second.grab().toImage(), lambda x, y: way.map(QPointF(x, y)).toPoint()),
    )


def settled(page: FilmPage) -> bool:
    """Tell whether both pictures are those wished for."""
    head, second = page.film.playhead, page.film.second
    told = second.readout()
    return (
        head.shown == head.frame
        and not head.rough
        and told is not None
        and not second.rough
        and abs((told.from_snap_s or 0) - (head.readout().from_snap_s or 0)) <= 1 / 60  # type: ignore[union-attr]
    )


def left_of(first: QWidget, second: QWidget) -> bool:
    """Tell which of two parts is shown farther left."""
    return first.mapToGlobal(QPoint(0, 0)).x() < second.mapToGlobal(QPoint(0, 0)).x()


def test_both_angles_are_seen_at_one_moment(qtbot: Any, page: FilmPage, until: Until) -> None:
    """Alt+A puts the side film beside the end film; steps move both."""
    assert not page.pair.second.isVisible()
    qtbot.keyClick(page, Qt.Key.Key_A, Qt.KeyboardModifier.AltModifier)
    assert page.pair.second.isVisible()
    until(lambda: settled(page))
    assert both_seen(page) == (END_SNAP, SIDE_SNAP)
    for _ in range(6):
        qtbot.keyClick(page, Qt.Key.Key_Right)
    until(lambda: settled(page))
    assert both_seen(page) == (END_SNAP + 6, SIDE_SNAP + 12)
    assert "snap +12" in page.pair.second.accessibleDescription()
    assert "snap +12" in page.pair.captions[1].accessibleDescription()
    assert "snap +6" in page.pair.captions[0].accessibleDescription()
    qtbot.keyClick(page, Qt.Key.Key_A, Qt.KeyboardModifier.AltModifier)
    assert not page.pair.second.isVisible()


def test_a_touch_takes_the_other_in_hand_and_none_changes_sides(
    qtbot: Any, page: FilmPage, until: Until
) -> None:
    """The end camera stays at the left, whichever of the two is in hand."""
    page.film.second.turn()
    until(lambda: settled(page))
    QApplication.processEvents()
    assert left_of(page.stage, page.pair.second)
    assert "end zone view, keys and marks go here" in page.pair.captions[0].accessibleName()
    qtbot.mouseClick(page.pair.second, _LEFT)
    until(lambda: settled(page))
    QApplication.processEvents()
    assert "sideline view, keys and marks go here" in page.pair.captions[0].accessibleName()
    assert left_of(page.pair.second, page.stage)
    assert both_seen(page) == (SIDE_SNAP, END_SNAP)


def test_a_small_window_and_a_large_one_show_the_same_frames(
    page: FilmPage, closed_window: MainWindow, until: Until
) -> None:
    """Both stages stay true when the window changes its size."""
    page.film.second.turn()
    until(lambda: settled(page))
    for size in ((1200, 640), (1500, 900)):
        closed_window.resize(*size)
        QApplication.processEvents()
        assert both_seen(page) == (END_SNAP, SIDE_SNAP)


def test_films_not_beside_each_other_say_what_to_do(
    closed_window: MainWindow, tmp_path: Path, angles: dict[str, Path], until: Until
) -> None:
    """No picture is shown beside, but the sentence, for eyes and for a reader."""
    make_book(tmp_path / "apart.gradecut", angles)
    closed_window.open_path(str(tmp_path / "apart.gradecut"))
    page = closed_window.pages.page("Film")  # type: ignore[union-attr]
    assert isinstance(page, FilmPage)
    page.film.second.turn()
    assert "mark the snap on both" in page.pair.second.accessibleDescription()
    assert page.film.second.picture is None
    until(lambda: page.film.playhead.shown is not None)
    assert page.film.second.picture is None


def test_marks_are_seen_on_the_second_angle_too(page: FilmPage, until: Until) -> None:
    """What was drawn on the side film is on it while the end film is in hand, and goes with it."""
    film, beside = page.film, page.pair.second
    film.second.turn()
    until(lambda: settled(page))
    bare = beside.grab().toImage()
    film.other_angle()
    until(lambda: settled(page))
    film.marks.take("ring")
    film.marks.press((WIDTH / 2, HEIGHT * 0.7))
    film.marks.lift((WIDTH / 2, HEIGHT * 0.7))
    film.other_angle()
    until(lambda: settled(page))
    assert beside.grab().toImage() != bare
    assert both_seen(page) == (END_SNAP, SIDE_SNAP)
    page.desk.undo()
    until(lambda: beside.grab().toImage() == bare)


def test_a_rough_picture_with_fewer_pixels_lies_where_the_true_one_does(
    page: FilmPage, until: Until
) -> None:
    """Of a quarter of the pixels, the second angle's picture has the same place and size."""
    film, beside = page.film, page.pair.second
    film.second.turn()
    until(lambda: settled(page))
    way, now = beside.on_screen(), film.second._now
    assert now is not None
    small = cv2.resize(now.picture, (WIDTH // 2, HEIGHT // 2), interpolation=cv2.INTER_AREA)
    film.second._now = replace(now, picture=np.asarray(small, np.uint8), rough=True)
    beside.show_picture()
    assert beside.on_screen() == way
    assert both_seen(page) == (END_SNAP, SIDE_SNAP)
    corner = way.map(QPointF(WIDTH, HEIGHT)).toPoint()
    seen = beside.grab().toImage()
    assert seen.pixelColor(corner - QPoint(3, 3)).lightness() > 40, "film to its last corner"


def test_in_a_high_window_the_films_stand_above_each_other(
    page: FilmPage, closed_window: MainWindow, until: Until
) -> None:
    """Where they are clearly larger so; in a wide window they stand side by side again."""
    page.film.second.turn()
    until(lambda: settled(page))
    heights = {}
    for size in ((1300, 1300), (1456, 819)):
        closed_window.resize(*size)
        QApplication.processEvents()
        stage, second = page.stage, page.pair.second
        heights[size] = second.mapToGlobal(QPoint(0, 0)).y() - stage.mapToGlobal(QPoint(0, 0)).y()
        assert abs(stage.width() - second.width()) <= 1
        assert abs(stage.height() - second.height()) <= 1
    assert heights[1300, 1300] > page.pair.second.height() / 2
    assert heights[1456, 819] == 0
