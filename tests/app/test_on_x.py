"""A real start on an X display, graded by keys, its picture seen by another program."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PyQt6.QtGui import QImage

from gradecut.book import open_book
from gradecut.desk.remembered import Remembered
from gradecut.records import Grade
from tests.app.fine_screen import pixels_of
from tests.desk.conftest import film_book_file, numbered_films

__all__ = ["film_book_file", "numbered_films"]

pytestmark = [
    pytest.mark.window,
    pytest.mark.skipif(shutil.which("xvfb-run") is None, reason="needs Xvfb"),
]

CHILD = """
import json
import sys
import time

from PyQt6.QtGui import QGuiApplication
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication

from gradecut.app import open_window
from gradecut.app.leaving import leave_with


def grade():
    app = QApplication.instance()

    def until(done):
        last = time.monotonic() + 60
        while not done() and time.monotonic() < last:
            app.processEvents()

    def windows():
        return [one for one in app.topLevelWidgets() if getattr(one, "pages", None)]

    until(windows)
    (window,) = windows()
    film = window.desk.film
    until(lambda: film.playhead.picture is not None)
    for key in sys.argv[2].split():
        QTest.keyClick(app.focusWidget() or window, key if len(key) == 1 else getattr(Key, key))
        app.processEvents()
    until(lambda: film.playhead.picture is not None and not film.playhead.rough)
    settled = time.monotonic() + 0.5
    until(lambda: time.monotonic() > settled)
    screen = QGuiApplication.primaryScreen()
    screen.grabWindow(0).save(sys.argv[3])
    frame = window.geometry()
    told = {"platform": QGuiApplication.platformName(), "active": window.isActiveWindow(),
            "window": [frame.x(), frame.y(), frame.width(), frame.height()]}
    window.close()
    print(json.dumps(told))
    return 0


class Key:
    from PyQt6.QtCore import Qt

    Return = Qt.Key.Key_Return


QApplication.exec = staticmethod(grade)
sys.exit(leave_with(open_window(sys.argv[1])))
"""


@pytest.fixture(scope="module")
def graded(
    tmp_path_factory: pytest.TempPathFactory, film_book_file: Path
) -> tuple[Path, Path, dict[str, Any]]:
    """Open a book under Xvfb, let a play through, tell a miss, and close."""
    home = tmp_path_factory.mktemp("x")
    book, seen = home / "film.gradecut", home / "seen.png"
    shutil.copy(film_book_file, book)
    (home / "gradecut").mkdir()
    kept = Remembered(
        grader="Coach Alder", cautions_shown=True, tour_seen=True, plays_run=False, theme="dark"
    )
    (home / "gradecut" / "window.json").write_text(json.dumps(asdict(kept)), encoding="utf-8")
    away = ("QT_SCALE_FACTOR", "QT_QPA_PLATFORM", "DISPLAY")
    world = {name: one for name, one in os.environ.items() if name not in away}
    world |= {"XDG_CONFIG_HOME": str(home), "XDG_STATE_HOME": str(home), "QT_QPA_PLATFORM": "xcb"}
    ran = subprocess.run(
        ["xvfb-run", "-a", "-s", "-screen 0 1400x900x24", sys.executable, "-c", CHILD,
         str(book), "Return 1 1 1", str(seen)],
        env=world, capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    return book, seen, json.loads(ran.stdout.splitlines()[-1])


def test_it_runs_on_x_and_has_the_keys(graded: tuple[Path, Path, dict[str, Any]]) -> None:
    """Also without a window manager, which would give it the keys."""
    _, _, told = graded
    assert (told["platform"], told["active"]) == ("xcb", True)


def test_what_was_pressed_is_in_the_book(graded: tuple[Path, Path, dict[str, Any]]) -> None:
    """Enter let the first play's men through; the next play's first man missed."""
    with open_book(graded[0], author="Coach Alder") as book:
        grades = book.find(Grade, author="Coach Alder")
        told = sorted((one.how, one.did) for one in grades)
    assert ("passed", "as owed") in told
    assert ("examined", "miss") in told


def test_the_screen_shows_the_window(graded: tuple[Path, Path, dict[str, Any]]) -> None:
    """What another program takes of the screen is neither black nor of one hue."""
    _, seen, told = graded
    left, top, wide, high = told["window"]
    shot = pixels_of(QImage(str(seen)))
    part = shot[max(top, 0) : top + high, max(left, 0) : left + wide]
    assert part.shape[0] > 600
    assert len(np.unique(part.reshape(-1, 3), axis=0)) > 500
