"""A window opened in another's stead: the new one is up, and as the old one was, before that goes.

The two are processes of their own and speak by small files in a folder of theirs. The old one
stays in use until the new one has all but opened its book; only then does it say where it
stands, so that nothing a coach does meanwhile is lost.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PyQt6.QtCore import QObject, QTimer

from gradecut.app import INSTEAD
from gradecut.app.as_it_was import AsItWas, read_as_it_was, words_of
from gradecut.errors import OutputError
from gradecut.outfile import whole_file

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow

__all__ = ["HandingOver", "stand_instead"]

_READY, _TOLD, _UP = "ready", "stands", "up"
_EVERY_MS = 30
_PATIENCE_MS = 30_000


class HandingOver(QObject):
    """The side of the window that goes.

    Parameters
    ----------
    start : callable
        Starts another process with the words after the program's name; whether it started.
    stands : callable
        Tells where the window stands.
    done, failed : callable
        Called once the new window is up; once it is clear that none will come.
    """

    def __init__(
        self,
        parent: QObject,
        start: Callable[[list[str]], bool],
        stands: Callable[[], AsItWas],
        done: Callable[[], object],
        failed: Callable[[], object],
    ) -> None:
        super().__init__(parent)
        self._stands, self._done, self._failed = stands, done, failed
        self.folder = Path(tempfile.mkdtemp(prefix="gradecut-"))
        self._waited_ms = 0
        self._told = False
        self._timer = QTimer(self)
        self._timer.timeout.connect(self._look)
        if start([INSTEAD, str(self.folder)]):
            self._timer.start(_EVERY_MS)
        else:
            QTimer.singleShot(0, lambda: self._end(failed))

    def _look(self) -> None:
        self._waited_ms += _EVERY_MS
        if (self.folder / _UP).exists():
            self._end(self._done)
        elif self._waited_ms > _PATIENCE_MS:
            self._end(self._failed)
        elif not self._told and (self.folder / _READY).exists():
            self._told = True
            if not _write(self.folder / _TOLD, words_of(self._stands())):
                self._end(self._failed)

    def _end(self, how: Callable[[], object]) -> None:
        self._timer.stop()
        shutil.rmtree(self.folder, ignore_errors=True)
        how()


def stand_instead(window: MainWindow, folder: Path, begin: Callable[[AsItWas], object]) -> None:
    """Say that a window is ready to stand in another's stead, and begin once told where.

    ``begin`` shows it. Where the other one is gone meanwhile, it begins as with nothing told.
    """
    timer = QTimer(window)
    waited_ms = 0

    def look() -> None:
        nonlocal waited_ms
        waited_ms += _EVERY_MS
        try:
            told = read_as_it_was((folder / _TOLD).read_text(encoding="utf-8"))
        except OSError:
            if folder.exists() and waited_ms < _PATIENCE_MS:
                return
            told = AsItWas()
        timer.stop()
        begin(told)
        _write(folder / _UP, "")

    _write(folder / _READY, "")
    timer.timeout.connect(look)
    timer.start(_EVERY_MS)


def _write(path: Path, text: str) -> bool:
    """Write one of the files, whole; tell whether that could be done."""
    if not path.parent.exists():
        return False
    try:
        with whole_file(path) as draft:
            draft.write_text(text, encoding="utf-8")
    except OutputError:
        return False
    return True
