"""The way from any thread into the window's."""

from __future__ import annotations

from collections.abc import Callable

from PyQt6.QtCore import QObject, Qt, pyqtSignal

__all__ = ["Poster"]


class Poster(QObject):
    """Runs what it is given in the thread it was made in, in the order given."""

    _posted = pyqtSignal(object)

    def __init__(self) -> None:
        super().__init__()
        self._posted.connect(self._run, type=Qt.ConnectionType.QueuedConnection)  # type: ignore[call-arg]  # the stubs lack connect's type

    def __call__(self, work: Callable[[], None]) -> None:
        """Run ``work`` soon; may be called from any thread."""
        self._posted.emit(work)

    @staticmethod
    def _run(work: Callable[[], None]) -> None:
        work()
