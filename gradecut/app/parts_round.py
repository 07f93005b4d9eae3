"""F6: the keys go from part to part of the window, and round to the page again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PyQt6.QtWidgets import QApplication, QWidget

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow

__all__ = ["Part", "go_round"]


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the window that the keys can be given to.

    Attributes
    ----------
    holds : QWidget
        Whatever has the focus in it belongs to the part.
    take : callable
        Gives it the keys.
    """

    holds: QWidget
    take: Callable[[], object]


def go_round(window: MainWindow, by: int = 1) -> None:
    """Give the keys to the next part of the page that is shown, then to the header."""
    parts = list(_parts(window))
    here = _here(parts)
    parts[(here + by) % len(parts)].take()


def _parts(window: MainWindow) -> Sequence[Part]:
    header = Part(window.header, window.header.take_keys)
    if window.pages is None or not window.pages.name:
        return (Part(window.start, window.start.setFocus), header)
    return (*window.pages.pages[window.pages.name].parts(), header)


def _here(parts: Sequence[Part]) -> int:
    """Return the part that has the keys; the innermost where one holds another."""
    focus = QApplication.focusWidget()
    found = 0
    for place, part in enumerate(parts):
        inside = focus is not None and (part.holds is focus or part.holds.isAncestorOf(focus))
        if inside and (place == 0 or not part.holds.isAncestorOf(parts[found].holds)):
            found = place
    return found
