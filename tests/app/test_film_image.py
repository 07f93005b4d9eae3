from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from PyQt6.QtCore import QPointF
from PyQt6.QtGui import QColor, QImage, QPainter

from gradecut.app.film_image import FilmPicture
from gradecut.app.film_tone import AS_FILMED, Tone
from gradecut.app.film_view import FilmView
from gradecut.app.marks_over import MarksOver
from gradecut.drawing import Box

WHITE, RED = (255, 255, 255, 255), QColor(255, 0, 0)


def shown(
    pixels: NDArray[np.uint8], view: FilmView, tone: Tone = AS_FILMED, marks: tuple[Box, ...] = ()
) -> QImage:
    """Return what a stage of the view's size shows."""
    ratio = view.ratio
    wide, high = round(view.room.width() * ratio), round(view.room.height() * ratio)
    seen = QImage(wide, high, QImage.Format.Format_RGB32)
    seen.setDevicePixelRatio(ratio)
    seen.fill(0)
    painter = QPainter(seen)
    FilmPicture().paint(painter, pixels, view, tone)
    MarksOver().paint(painter, marks, view)
    painter.end()
    return seen


def laid(film: tuple[float, float], room: tuple[float, float], ratio: float = 1.0) -> FilmView:
    """Return a view of a film on a stage."""
    view = FilmView()
    view.lay(film, room, ratio)
    return view


@pytest.mark.parametrize("share", [1.0, 0.25])
def test_marks_lie_at_the_same_place_of_a_rough_picture(share: float) -> None:
    """A mark in film pixels covers the same part of a rough picture as of the true one."""
    true = np.full((200, 400, 3), (255, 0, 0), np.uint8)
    pixels = cv2.resize(true, None, fx=share, fy=share)
    mark = (Box(rect=(80, 40, 160, 80), corner_px=0, colour=WHITE),)
    seen = shown(pixels, laid((400, 200), (400, 200)), marks=mark)  # type: ignore[arg-type]
    for x, y, colour in (
        (84, 44, QColor("white")),
        (236, 116, QColor("white")),
        (70, 44, RED),
        (246, 116, RED),
        (84, 30, RED),
        (236, 126, RED),
    ):
        assert seen.pixelColor(x, y) == colour, (x, y)


def test_film_as_large_as_the_stage_is_shown_pixel_for_pixel() -> None:
    """Nothing is smoothed where a pixel of the film is a pixel of the screen."""
    pixels = np.random.default_rng(5).integers(0, 255, (90, 160, 3), np.uint8)
    for ratio in (1.0, 2.0):
        seen = shown(pixels, laid((160, 90), (160 / ratio, 90 / ratio), ratio))
        for x, y in ((0, 0), (159, 89), (31, 57)):
            assert seen.pixelColor(x, y) == QColor(*pixels[y, x].tolist())


@pytest.mark.parametrize("ratio", [1.0, 2.0])
@pytest.mark.parametrize(("wide", "high"), [(160, 90), (90, 160), (32, 24), (801, 451)])
def test_every_shape_of_film_keeps_its_corners(wide: int, high: int, ratio: float) -> None:
    """Portrait, tiny, large or odd: whole film stands on the stage, its corners where they are."""
    pixels = np.zeros((high, wide, 3), np.uint8)
    pixels[: high // 2, wide // 2 :] = (0, 255, 0)
    pixels[high // 2 :, : wide // 2] = (0, 0, 255)
    view = laid((wide, high), (200, 150), ratio)
    seen = shown(pixels, view)
    way = view.on_screen()
    for x, y, colour in ((0.9, 0.1, "lime"), (0.1, 0.9, "blue"), (0.1, 0.1, "black")):
        at = way.map(QPointF(x * wide, y * high)) * ratio
        assert seen.pixelColor(at.toPoint()) == QColor(colour)


def test_a_zoomed_film_shows_what_lies_there() -> None:
    """Only what is seen is turned to the screen, and it is the right part."""
    pixels = np.random.default_rng(6).integers(0, 255, (180, 320, 3), np.uint8)
    view = laid((320, 180), (320, 180))
    about = QPointF(200, 60)
    view.zoom_by(8, about)
    seen = shown(pixels, view)
    x, y = 200, 60
    for dx, dy in ((0, 0), (3, 2), (-5, 4)):
        at = view.on_screen().map(QPointF(x + dx + 0.5, y + dy + 0.5)).toPoint()
        there = pixels[y + dy, x + dx].tolist()
        assert seen.pixelColor(at).getRgb()[:3] == pytest.approx(there, abs=24)


def test_the_picture_itself_is_not_painted_on() -> None:
    """The array stays as it was, whatever tone and marks: others show and write it too."""
    pixels = np.full((20, 40, 3), 90, np.uint8)
    mark = (Box(rect=(0, 0, 40, 20), corner_px=0, colour=WHITE),)
    shown(pixels, laid((40, 20), (40, 20)), Tone(brightness=3, contrast=2), mark)
    assert (pixels == 90).all()


def test_a_tone_is_of_the_film_and_not_of_the_marks() -> None:
    """A brighter film leaves a mark's colour as it is, so that its meaning stays."""
    pixels = np.full((40, 40, 3), 60, np.uint8)
    blue = (86, 180, 233, 255)
    mark = (Box(rect=(0, 0, 20, 40), corner_px=0, colour=blue),)
    seen = shown(pixels, laid((40, 40), (40, 40)), Tone(brightness=4), mark)
    assert seen.pixelColor(5, 20) == QColor(*blue)
    assert seen.pixelColor(30, 20).red() > 100


def test_marks_are_as_fine_as_the_screen_on_coarse_film() -> None:
    """On film of a quarter of the screen's pixels a mark's edge is one pixel of the screen."""
    pixels = np.zeros((30, 40, 3), np.uint8)
    mark = (Box(rect=(10, 5, 20, 20), corner_px=0, colour=WHITE),)
    seen = shown(pixels, laid((40, 30), (160, 120), 2.0), marks=mark)
    edge = [seen.pixelColor(x, 120).red() for x in range(70, 90)]
    assert sum(20 < level < 235 for level in edge) <= 2
    assert edge[0] == 0
    assert edge[-1] == 255
