"""What the first page does not need waits until it is painted, and no key waits for it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import QObject

from gradecut.app import idle_moments
from gradecut.app.idle_moments import IdleMoments, imports
from gradecut.app.posting import Poster
from gradecut.app.window import MainWindow
from gradecut.book import Book, open_book
from gradecut.records import FilmFile, FilmIndex
from tests.desk.conftest import film_book

__all__ = ["film_book"]

HEAVY = (
    "alembic", "av", "jinja2", "matplotlib", "openpyxl", "pandas", "scipy", "tomlkit", "xlsxwriter",
    "gradecut.app.board_page", "gradecut.app.scheme_page", "gradecut.app.teach_page",
    "gradecut.desk.board_desk", "gradecut.desk.colleagues", "gradecut.desk.scheme_desk",
    "gradecut.desk.script_rows", "gradecut.desk.teach_desk", "gradecut.film.film",
    "gradecut.film.writing", "gradecut.reels", "gradecut.reports.packet", "gradecut.reports.report",
    "gradecut.reports.sheet", "gradecut.samples", "gradecut.scheme.auditing",
    "gradecut.scheme.editing", "gradecut.scheme.grid", "gradecut.scheme.learning",
    "gradecut.workflows.adding", "gradecut.workflows.differences", "gradecut.workflows.handing_off",
    "gradecut.workflows.line_ups", "gradecut.workflows.pairing", "gradecut.workflows.passing",
    "gradecut.workflows.reporting", "gradecut.workflows.rounds", "gradecut.workflows.script_drift",
    "gradecut.workflows.syncing",
)  # fmt: skip
"""What the first page is painted without."""

CHILD = """
import gc
import json
import sys
import time

from PyQt6.QtCore import QEvent, QObject, Qt
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication

from gradecut.app import open_window
from gradecut.app.leaving import leave_with
from gradecut.app.idle_moments import KEYS_NEED
from gradecut.desk.remembered import Remembered, memory_file, remember

HELD = {"Ctrl": Qt.KeyboardModifier.ControlModifier, "": Qt.KeyboardModifier.NoModifier}


class Painted(QObject):
    modules = None

    def eventFilter(self, part, event):
        if self.modules is None and event.type() == QEvent.Type.Paint:
            if type(part).__name__ == "LookWidget":
                Painted.modules = sorted(sys.modules)
        return False


def press_keys():
    app = QApplication.instance()
    seen = Painted(app)
    app.installEventFilter(seen)
    until = time.monotonic() + 60
    while not all(one in sys.modules for one in KEYS_NEED) and time.monotonic() < until:
        app.processEvents()
    window = next(one for one in app.topLevelWidgets() if hasattr(one, "pages"))
    before, acts = set(sys.modules), len(window.desk.book.history(1000))
    for word in sys.argv[2].split():
        held, _, key = word.rpartition("+")
        QTest.keyClick(window, getattr(Qt.Key, f"Key_{key}"), HELD[held])
        app.processEvents()
    came = sorted(set(sys.modules) - before)
    acts = len(window.desk.book.history(1000)) - acts
    window.close()
    told = {"painted": Painted.modules, "by_keys": came, "acts": acts}
    print(json.dumps(told | {"collects": gc.isenabled(), "set_aside": gc.get_freeze_count()}))
    return 0


QApplication.exec = staticmethod(press_keys)
remember(memory_file(), Remembered(grader="Coach Alder", cautions_shown=True, plays_run=False))
sys.exit(leave_with(open_window(sys.argv[1])))
"""
KEYS = (
    "1 1 1 2 R F U 1 T 1 O 1 E 1 W 1 2 X C Z V B L 1 Escape Tab F I 1 Ctrl+U Ctrl+Z Ctrl+Y "
    "Ctrl+F Return Return Ctrl+F 1 Ctrl+E Return J PageDown PageUp S Space D Return Return Q P "
    "Escape BracketLeft"
)


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory, whole_book: Path) -> dict[str, Any]:
    """Open the small book, its films away, in a process of its own, and press keys."""
    folder = tmp_path_factory.mktemp("opened")
    path = folder / "small.gradecut"
    path.write_bytes(whole_book.read_bytes())
    with open_book(path, author="Coach Alder") as book, book.act("lose the films") as act:
        act.put(*[replace(one, path="/nowhere/film.mp4") for one in book.find(FilmFile)])
    here = {"XDG_CONFIG_HOME": str(folder), "XDG_STATE_HOME": str(folder)}
    env = os.environ | here | {"QT_QPA_PLATFORM": "offscreen"}
    done = subprocess.run(
        [sys.executable, "-c", CHILD, str(path), KEYS],
        env=env, capture_output=True, text=True, check=True,
    )  # fmt: skip
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def test_the_first_page_is_painted_without_what_it_does_not_need(told: dict[str, Any]) -> None:
    """Whoever opens a book waits for his play, not for sheets, other pages and film tools."""
    assert "gradecut.desk.film_desk" in told["painted"]
    assert [one for one in HEAVY if one in told["painted"]] == []


def test_no_key_of_an_evening_waits_for_an_import(told: dict[str, Any]) -> None:
    """What keys need was imported while nobody pressed one."""
    assert told["acts"] > 10
    assert [one for one in told["by_keys"] if one.startswith(("gradecut", "av"))] == []


def test_what_is_imported_is_not_looked_through_for_garbage(told: dict[str, Any]) -> None:
    """Else a key would wait for it now and then; what comes later is collected as ever."""
    assert told["collects"]
    assert told["set_aside"] > 50_000


def test_works_are_done_in_order_one_each_idle_moment(qtbot: Any) -> None:
    """What comes meanwhile, a key for one, is done before the next of them."""
    parent, done, post = QObject(), list[str](), Poster()
    idle = IdleMoments(parent)

    def work(name: str) -> None:
        done.append(name)
        post(lambda: done.append(f"a key beside the {name}"))

    idle.begin([partial(work, "first"), partial(work, "second")])
    assert done == []
    qtbot.waitUntil(lambda: len(done) == 4)
    assert done == ["first", "a key beside the first", "second", "a key beside the second"]


def test_what_is_left_when_a_book_is_closed_stays_undone(qtbot: Any) -> None:
    """Nothing is done for a book that is not open any more."""
    parent, done = QObject(), list[str]()
    idle = IdleMoments(parent)

    def first() -> None:
        done.append("first")
        idle.end()

    idle.begin([first, lambda: done.append("second")])
    qtbot.waitUntil(lambda: bool(done))
    qtbot.wait(50)
    assert done == ["first"]
    idle.begin([lambda: done.append("of the next book")])
    qtbot.waitUntil(lambda: len(done) == 2)
    assert done == ["first", "of the next book"]


def test_a_module_is_imported_when_its_turn_comes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Not when the works are listed."""
    asked: list[str] = []
    monkeypatch.setattr(idle_moments, "import_module", asked.append)
    works = list(imports(("one", "two")))
    assert asked == []
    works[0]()
    assert asked == ["one"]


def test_an_opened_book_takes_up_what_is_known_of_its_films(
    qtbot: Any, closed_window: MainWindow, film_book: Book
) -> None:
    """A book from before indexes were kept with it gets them while it is open."""
    kept = film_book.find(FilmIndex)
    with film_book.act("be an older book") as act:
        act.drop_all(kept)
    film_book.close()
    closed_window.open_path(str(film_book.path))
    book = closed_window.desk.book  # type: ignore[union-attr]
    qtbot.waitUntil(lambda: book.count(FilmIndex) == len(kept) > 0, timeout=20_000)
