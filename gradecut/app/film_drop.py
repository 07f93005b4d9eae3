"""Film dropped onto the window: the form for adding film opens, filled in."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PyQt6.QtCore import QEvent, QMimeData, QObject
from PyQt6.QtGui import QDragEnterEvent, QDropEvent
from PyQt6.QtWidgets import QWidget

__all__ = ["FilmDrop"]


class FilmDrop(QObject):
    """Lets a window take files and folders that are dropped on it.

    Parameters
    ----------
    on_places : callable
        Gets their paths.
    """

    def __init__(self, window: QWidget, on_places: Callable[[Sequence[str]], None]) -> None:
        super().__init__(window)
        self._on_places = on_places
        window.setAcceptDrops(True)
        window.installEventFilter(self)

    def eventFilter(self, _watched: QObject | None, event: QEvent | None) -> bool:
        """Take what is dropped, where it is files or folders of this computer."""
        if isinstance(event, QDragEnterEvent) and _places(event.mimeData()):
            event.acceptProposedAction()
            return True
        if type(event) is QDropEvent and (places := _places(event.mimeData())):
            event.acceptProposedAction()
            self._on_places(places)
            return True
        return False


def _places(dropped: QMimeData | None) -> list[str]:
    urls = dropped.urls() if dropped is not None else []
    return [url.toLocalFile() for url in urls if url.isLocalFile()]
