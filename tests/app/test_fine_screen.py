from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.desk.conftest import film_book_file, numbered_films

__all__ = ["film_book_file", "numbered_films"]

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory, film_book_file: Path) -> dict[str, Any]:
    """Show the Film page in a process of its own, with two pixels for one."""
    path = tmp_path_factory.mktemp("fine") / "film.gradecut"
    shutil.copy(film_book_file, path)
    world = {**os.environ, "QT_SCALE_FACTOR": "2", "QT_QPA_PLATFORM": "offscreen"}
    ran = subprocess.run(
        [sys.executable, "-m", "tests.app.fine_screen", str(path)],
        cwd=ROOT, env=world, capture_output=True, text=True, timeout=120, check=True,
    )  # fmt: skip
    found: dict[str, Any] = json.loads(ran.stdout)
    return found


def test_the_screen_is_fine(told: dict[str, Any]) -> None:
    """The window takes the scale it was started with."""
    assert told["ratio"] == 2


def test_film_is_shown_in_the_screens_own_pixels(told: dict[str, Any]) -> None:
    """What is seen is the film scaled once to the screen, not to the window and then doubled."""
    fine, doubled = told["film"]
    assert fine < 0.05 < doubled


def test_words_on_the_film_are_crisp(told: dict[str, Any]) -> None:
    """A letter's edge goes from ground to ink within a pixel of the screen."""
    assert told["readout"] > 150
