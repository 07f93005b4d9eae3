"""A real start with text at 150 % on a screen of 1280 x 720: nothing is cut anywhere."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest

from gradecut.desk.remembered import Remembered
from tests.app.all_sheets import SHEETS
from tests.app.long_words import GRADER, write_long, write_long_recording

ROOT = Path(__file__).resolve().parents[2]
SCREEN = {
    "screens": [
        {"name": "least", "x": 0, "y": 0, "width": 1280, "height": 720, "logicalDpi": 96,
         "logicalBaseDpi": 96, "dpr": 1}
    ]
}  # fmt: skip
"""As Qt's displayless platform reads it."""


@pytest.fixture(scope="module")
def told(
    tmp_path_factory: pytest.TempPathFactory, whole_book: Path, films: Path
) -> dict[str, Any]:  # fmt: skip
    """Start the window in a process of its own, as it is remembered: at 150 %."""
    home = tmp_path_factory.mktemp("large")
    book = home / "small.gradecut"
    shutil.copy(whole_book, book)
    write_long(book)
    (home / "gradecut").mkdir()
    (home / "screen.json").write_text(json.dumps(SCREEN), encoding="utf-8")
    kept = Remembered(
        grader=GRADER, cautions_shown=True, tour_seen=True, plays_run=False, text_percent=150
    )
    (home / "gradecut" / "window.json").write_text(json.dumps(asdict(kept)), encoding="utf-8")
    world = {name: one for name, one in os.environ.items() if name != "QT_SCALE_FACTOR"}
    world |= {
        "XDG_CONFIG_HOME": str(home),
        "QT_QPA_PLATFORM": f"offscreen:configfile={home / 'screen.json'}",
    }
    recording = write_long_recording(home)
    ran = subprocess.run(
        [sys.executable, "-m", "tests.app.at_150_percent", str(book), str(films), str(recording)],
        cwd=ROOT, env=world, capture_output=True, text=True, timeout=240, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    found: dict[str, Any] = json.loads(ran.stdout)
    return found


def test_the_window_is_as_large_as_remembered(told: dict[str, Any]) -> None:
    """One and a half pixels for one, and no larger than what is left of the screen."""
    assert told["ratio"] == 1.5
    assert told["screen"] == [853, 480]
    wide, high = told["window"]
    assert 840 <= wide <= 853
    assert 470 <= high <= 480


def test_no_word_is_cut_at_150_percent(told: dict[str, Any]) -> None:
    """Not on a page in any state, and in no form or sheet."""
    assert not told["faults"], "\n".join(told["faults"])
    assert told["sheets"] == len(SHEETS)
