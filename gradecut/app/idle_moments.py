"""What can wait until the page is painted: done bit by bit while nobody presses a key."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import partial
from importlib import import_module

from PyQt6.QtCore import QObject, QTimer

__all__ = ["KEYS_NEED", "SOUNDS_NEED", "IdleMoments", "imports"]

_FIRST_MS = 100
"""So long after a book is opened its page is painted."""

KEYS_NEED = (
    "uuid6",
    "gradecut.workflows.let_through",
    "gradecut.workflows.carrying",
    "gradecut.workflows.passing",
    "gradecut.workflows.act_places",
    "gradecut.workflows.flagged",
    "gradecut.workflows.rounds",
    "gradecut.workflows.line_ups",
    "gradecut.workflows.coming_in",
    "gradecut.workflows.naming_men",
    "gradecut.workflows.cutting_edges",
    "gradecut.workflows.script_matching",
    "gradecut.workflows.script",
    "gradecut.workflows.script_drift",
    "gradecut.desk.script_rows",
    "gradecut.workflows.dropping",
    "gradecut.workflows.pairing_doubts",
    "gradecut.reports.player_sheet",
    "gradecut.reports.report",
    "gradecut.reports.sheet",
    "gradecut.workflows.reporting",
    "gradecut.workflows.agreeing",
    "gradecut.workflows.handing_off",
    "gradecut.workflows.differences",
    "gradecut.desk.colleagues",
)
"""What the keys of the Film page import when they are first pressed: each builds on those before
it, so that none takes long."""
SOUNDS_NEED = (
    "gradecut.film.hearing.sound",
    "gradecut.film.hearing.sound_offset",
    "gradecut.workflows.syncing",
)
"""What a snap marked on two angles imports beside that, where there is film to be heard."""


class IdleMoments(QObject):
    """Does small works one after another, each when no event waits.

    Parameters
    ----------
    parent : QObject
        The works end with it.
    """

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._works: Iterator[Callable[[], object]] = iter(())
        self._timer = QTimer(self)
        self._timer.timeout.connect(self._next)

    def begin(self, works: Iterable[Callable[[], object]]) -> None:
        """Do works once the page is painted; what is left of those before is left undone."""
        self._works = iter(works)
        self._timer.start(_FIRST_MS)

    def end(self) -> None:
        """Leave undone what is left."""
        self._timer.stop()

    def _next(self) -> None:
        work = next(self._works, None)
        if work is None:
            self._timer.stop()
            return
        self._timer.setInterval(0)
        work()


def imports(names: Iterable[str]) -> Iterator[Callable[[], object]]:
    """Return works that import a module each."""
    return (partial(import_module, name) for name in names)
