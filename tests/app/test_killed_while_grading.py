"""A window killed while keys are pressed loses nothing but the act in hand."""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from gradecut.book import open_book
from gradecut.errors import BookError
from gradecut.records import Act
from tests.desk.conftest import film_book_file, numbered_films

__all__ = ["film_book_file", "numbered_films"]

GRADER = "Coach Alder"
DRIVER = """
import random
import sys

from PyQt6.QtCore import Qt, QTimer
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication

from gradecut.app.theme import DARK_THEME, Dress, load_type
from gradecut.app.window import MainWindow
from gradecut.desk.remembered import Remembered

PRESSED = (
    *("Return PageDown PageUp 1 2 3 R F Tab".split() * 4),
    *"E T U O N S Z X C V B D L M K I J W A Left Right Escape Ctrl+Z Ctrl+Y Ctrl+F Ctrl+E".split(),
)
HELD = {"Ctrl": Qt.KeyboardModifier.ControlModifier}

app = QApplication(["gradecut"])
load_type()
dress = Dress()
dress.put_on(DARK_THEME, app)
told = Remembered(grader="Coach Alder", cautions_shown=True)
window = MainWindow(app, dress, remembered=told)
window.show()
window.open_path(sys.argv[1])
window.activateWindow()
book = window.desk.book
hand = random.Random(int(sys.argv[2]))


def acknowledge(_rows):
    print(book.history(1)[0].id, flush=True)


def press():
    held, _, key = hand.choice(PRESSED).rpartition("+")
    target = QApplication.focusWidget() or window
    QTest.keyClick(target, getattr(Qt.Key, f"Key_{key}"), HELD.get(held, HELD_NOTHING))


HELD_NOTHING = Qt.KeyboardModifier.NoModifier
book.on_change(acknowledge)
timer = QTimer()
timer.timeout.connect(press)
timer.start(0)
print("ready", flush=True)
app.exec()
"""


def killed_after(path: Path, seed: int, acts: int, more_s: float) -> list[str]:
    """Press keys in a window of its own and kill it; return the acts it had told done.

    It goes on for so many acts, and then for a moment that ends anywhere in one.
    """
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    child = subprocess.Popen(
        [sys.executable, "-c", DRIVER, str(path), str(seed)],
        stdout=subprocess.PIPE,
        env=environment,
        text=True,
    )
    assert child.stdout is not None
    assert child.stdout.readline() == "ready\n"
    first = [child.stdout.readline() for _ in range(acts)]
    time.sleep(more_s)
    child.send_signal(getattr(signal, "SIGKILL", signal.SIGTERM))
    told = [*first, *child.stdout]
    child.stdout.close()
    assert child.wait() == -signal.SIGKILL
    # The last line may be cut; an act was told done when the end of its line came through.
    return [line.strip() for line in told if line.endswith("\n")]


def rows_of(path: Path) -> dict[tuple[str, str], dict[str, object]]:
    """Return every row of a book but its journal's, and what is only made anew from film."""
    looked_at = sqlite3.connect(path)
    looked_at.row_factory = sqlite3.Row
    beside = ("acts", "changes", "frame_indexes", "frame_times", "alembic_version")
    names = [
        name
        for (name,) in looked_at.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        if name not in beside
    ]
    rows = {
        (name, row["id"]): dict(row)
        for name in names
        for row in looked_at.execute(f'SELECT * FROM "{name}"')
    }
    looked_at.close()
    return rows


def check_whole(path: Path) -> None:
    """Check that the file is sound and each row is as the journal's last word on it says."""
    looked_at = sqlite3.connect(path)
    assert looked_at.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert looked_at.execute("PRAGMA foreign_key_check").fetchall() == []
    empty = "SELECT count(*) FROM acts WHERE id NOT IN (SELECT act_id FROM changes)"
    assert looked_at.execute(empty).fetchone() == (0,)
    told = looked_at.execute(
        'SELECT "table", row_id, after FROM changes JOIN acts ON acts.id = act_id '
        'ORDER BY acts.number, changes."order"'
    ).fetchall()
    looked_at.close()
    now = rows_of(path)
    last = {(name, row_id): after for name, row_id, after in told}
    for key, after in last.items():
        if key[0] in ("frame_indexes", "frame_times"):
            continue
        kept = json.loads(after) if after else None
        assert now.get(key) == kept


@pytest.fixture
def path(tmp_path: Path, film_book_file: Path) -> Path:
    """Return a copy of the book of numbered films, alone in its folder."""
    folder = tmp_path / "season"
    folder.mkdir()
    path = folder / "film.gradecut"
    shutil.copy(film_book_file, path)
    return path


@pytest.mark.parametrize("seed", [1, 2])
def test_a_killed_window_loses_nothing_that_was_told_done(path: Path, seed: int) -> None:
    """Killed again and again at random moments: every act told done is there, whole.

    At most the act in hand is there without having been told. Everything of the evening is
    then taken back and done again, as if nobody had killed anything.
    """
    moment = random.Random(seed)
    before = rows_of(path)
    with open_book(path, author=GRADER) as book:
        known = {act.id for act in book.history(100_000)}
    done = 0
    for turn in range(3):
        told = killed_after(path, 10 * seed + turn, moment.randint(1, 15), moment.uniform(0, 0.06))
        with open_book(path, author=GRADER) as book:
            acts = book.history(100_000)
        check_whole(path)
        fresh = [act.id for act in acts if act.id not in known]
        assert set(told) <= set(fresh)
        assert len(set(fresh) - set(told)) <= 1
        known |= set(fresh)
        done += len(fresh)
    assert done >= 3
    assert os.listdir(path.parent) == [path.name]
    evening = rows_of(path)
    assert take_all_back(path, len(known) - done) >= 1
    assert rows_of(path) == before
    do_all_again(path)
    assert rows_of(path) == evening


def take_all_back(path: Path, there_before: int) -> int:
    """Take back what stands of this evening, act by act; return how many acts that were."""
    with open_book(path, author=GRADER) as book:
        first = {act.id for act in book.history(100_000)[-there_before:]}
        count = 0
        while (act := book.can_undo()) is not None and root(
            book.history(100_000), act
        ) not in first:
            book.undo()
            count += 1
        return count


def root(acts: list[Act], act: Act) -> str:
    """Return the id of what was done first, of an act that did it again."""
    by_id = {one.id: one for one in acts}
    while act.undoes is not None:
        act = by_id[act.undoes]
    return act.id


def do_all_again(path: Path) -> None:
    """Do again all that was taken back."""
    with open_book(path, author=GRADER) as book:
        while book.can_redo() is not None:
            book.redo()
        with pytest.raises(BookError, match="nothing to do again"):
            book.redo()
