"""Shows the Film page on a screen of two pixels for one; run as a program, tells what it saw."""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PyQt6.QtGui import QImage
from PyQt6.QtWidgets import QApplication

from gradecut.app.film_page import FilmPage
from gradecut.app.leaving import leave_with
from gradecut.app.theme import Dress, load_type
from gradecut.app.window import MainWindow
from gradecut.desk.remembered import Remembered


def see(book: Path) -> dict[str, object]:
    """Open a book and measure its stage."""
    app = QApplication(sys.argv[:1])
    load_type()
    dress = Dress()
    dress.put_on(dress.theme, app)
    window = MainWindow(
        app, dress, remembered=Remembered(grader="Coach Alder", cautions_shown=True)
    )
    window.resize(1280, 720)
    window.show()
    window.open_path(str(book))
    page = window.pages.page("Film")  # type: ignore[union-attr]
    assert isinstance(page, FilmPage)
    head, stage = page.film.playhead, page.stage
    last = time.monotonic() + 60
    while (head.shown != head.frame or head.rough) and time.monotonic() < last:
        app.processEvents()
    page.film.marks.take("ring")
    page.film.marks.press((160, 120))
    page.film.marks.lift((160, 120))
    page.film.marks.let_go()
    page.alone.turn()
    for _ in range(20):
        app.processEvents()
    told = {
        "ratio": stage.devicePixelRatioF(),
        "stage": [stage.width(), stage.height()],
        "readout": sharpness(page.stage.grab().toImage(), stage.height()),
        "film": film_seen(page),
    }
    window.close()
    return told


def film_seen(page: FilmPage) -> tuple[float, float]:
    """Return how far the stage is from film scaled to the screen's pixels, and to the window's.

    Both are means over the upper third of the film, in levels of 255.
    """
    stage, picture = page.stage, page.film.playhead.picture
    assert picture is not None
    seen = pixels_of(stage.grab().toImage())
    way, ratio, scale = stage.view.on_screen(), stage.view.ratio, stage.view.scale
    wide, high = picture.shape[1] * scale, picture.shape[0] * scale
    fine = cv2.resize(picture, (round(wide * ratio), round(high * ratio)))
    coarse = cv2.resize(picture, (round(wide), round(high)))
    doubled = cv2.resize(coarse, fine.shape[1::-1], interpolation=cv2.INTER_NEAREST)
    left, top, third = round(way.dx() * ratio), round(way.dy() * ratio), fine.shape[0] // 3
    there = seen[top : top + third, left : left + fine.shape[1]].astype(float)
    far = [float(np.abs(there - goal[:third]).mean()) for goal in (fine, doubled)]
    return far[0], far[1]


def sharpness(seen: QImage, low: int) -> float:
    """Return the steepest step from a pixel to the next in the words at the left below."""
    ratio = seen.devicePixelRatio()
    pixels = pixels_of(seen)[..., 1].astype(int)
    words = pixels[round((low - 44) * ratio) : round((low - 20) * ratio), : round(160 * ratio)]
    return float(np.abs(np.diff(words, axis=1)).max())


def pixels_of(image: QImage) -> NDArray[np.uint8]:
    """Return an image as (H, W, 3) uint8 RGB."""
    shown = image.convertToFormat(QImage.Format.Format_RGB888)
    memory = shown.constBits()
    assert memory is not None
    memory.setsize(shown.sizeInBytes())
    rows = np.array(memory, np.uint8).reshape(shown.height(), shown.bytesPerLine())
    found: NDArray[np.uint8] = rows[:, : 3 * shown.width()].reshape(shown.height(), -1, 3)
    return found


if __name__ == "__main__":
    sys.stdout.write(json.dumps(see(Path(sys.argv[1]))))
    leave_with(0)
