"""The header: book and menu, the pages, and what is being graded by whom."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import QEvent, QObject, Qt, pyqtSignal
from PyQt6.QtGui import QKeyEvent, QResizeEvent
from PyQt6.QtWidgets import QHBoxLayout, QPushButton, QSizePolicy, QWidget

from gradecut.app.labels import button, fit_words, words
from gradecut.app.theme import font

__all__ = ["Header"]

_MENU_SIGN = "▾"
_NAME_PX, _NARROW_NAME_PX, _NARROW_PX = 300, 150, 1000
"""Room for the book's name, less where the header is narrower than the last."""
_PLAIN = (
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.KeypadModifier,
    Qt.KeyboardModifier.ShiftModifier,
)
_ALONG: dict[int, int] = {
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Right: 1,
    Qt.Key.Key_Tab: 1,
    Qt.Key.Key_Backtab: -1,
}
_PRESSES = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space)


class Header(QWidget):
    """One line at the top.

    Signals
    -------
    page_asked : str
        A page's name was touched.
    menu_asked, keys_asked, grader_asked
        The book's name, the keys, or the grader's name were touched.
    left
        The page is to have the keys again.
    """

    page_asked = pyqtSignal(str)
    menu_asked = pyqtSignal()
    keys_asked = pyqtSignal()
    grader_asked = pyqtSignal()
    left = pyqtSignal()

    def __init__(self, pages: Sequence[tuple[str, str]]) -> None:
        """Make the header for pages of (name, key)."""
        super().__init__()
        self._name, self._grader, self._blind, self._told = "", "", False, ""
        self.setFixedHeight(36)
        self.setAccessibleName("Header")
        row = QHBoxLayout(self)
        row.setContentsMargins(8, 0, 14, 0)
        row.setSpacing(2)
        self.book = button("gradecut", "plain", tip="Menu (F10)")
        self.book.setFont(font("body", 600))
        self.book.setProperty("place", "book")
        self.book.clicked.connect(self.menu_asked)
        row.addWidget(self.book)
        row.addSpacing(6)
        self.pages: dict[str, QPushButton] = {}
        for name, key in pages:
            made = button(name, "plain", tip=f"{name} page ({key})")
            made.setCheckable(True)
            made.clicked.connect(lambda _, name=name: self.page_asked.emit(name))
            self.pages[name] = made
            row.addWidget(made)
        row.addStretch(1)
        self.told = words("", look="quiet", wrap=True)
        self.told.installEventFilter(self)
        self.told.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.told.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self.told, 4)
        row.addSpacing(8)
        self.grader = button("", "plain", tip="Who grades: touch to change it")
        self.grader.clicked.connect(self.grader_asked)
        row.addWidget(self.grader)
        row.addSpacing(10)
        cap = button("?", "key", tip="All keys")
        cap.setFont(font("small", 600))
        cap.setFixedSize(20, 20)
        cap.setAccessibleName("Show all keys")
        cap.clicked.connect(self.keys_asked)
        row.addWidget(cap)
        row.addSpacing(3)
        row.addWidget(words("keys", look="quiet"))
        self._buttons = (self.book, *self.pages.values(), self.grader, cap)
        for made in self._buttons:
            made.installEventFilter(self)

    def take_keys(self) -> None:
        """Take the keys: ← and → go along, Enter presses, Esc gives them back to the page."""
        checked = next((made for made in self.pages.values() if made.isChecked()), self.book)
        checked.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def eventFilter(self, watched: QObject | None, event: QEvent | None) -> bool:
        """Keep the keys of a button from the page while it has the focus."""
        if watched is self.told and event is not None and event.type() == QEvent.Type.Resize:
            self._fit_told()
        if not isinstance(event, QKeyEvent) or event.modifiers() not in _PLAIN:
            return False
        if event.key() not in (*_ALONG, *_PRESSES, Qt.Key.Key_Escape):
            return False
        if event.type() == QEvent.Type.ShortcutOverride:
            event.accept()
            return True
        return event.type() == QEvent.Type.KeyPress and self._went(watched, event.key())

    def _went(self, watched: QObject | None, key: int) -> bool:
        """Go along the buttons, or leave; tell whether a key did."""
        if key == Qt.Key.Key_Escape:
            self.left.emit()
        elif key in _ALONG and isinstance(watched, QPushButton):
            shown = [one for one in self._buttons if one.isVisible()]
            following = shown[(shown.index(watched) + _ALONG[key]) % len(shown)]
            following.setFocus(Qt.FocusReason.TabFocusReason)
        return key not in _PRESSES

    def show_book(self, name: str) -> None:
        """Show the book's name, or the program's where none is open."""
        self._name = name
        self._fit_names()
        for made in self.pages.values():
            made.setVisible(bool(name))

    def show_page(self, name: str) -> None:
        """Mark the page that is shown."""
        for other, made in self.pages.items():
            made.setChecked(other == name)

    def show_told(self, text: str) -> None:
        """Show what is being graded; words that have no room on two lines are told on hover."""
        self._told = text
        self._fit_told()

    def show_grader(self, name: str, *, blind: bool = False) -> None:
        """Show who grades, and whether he does so blind."""
        self._grader, self._blind = name, blind
        self._fit_names()
        self.grader.setVisible(bool(name))

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Say names shorter in a narrow window."""
        super().resizeEvent(event)
        self._fit_names()

    def _fit_names(self) -> None:
        """Set the names of book and grader; in a narrow window his last name has to do."""
        narrow, name = self.width() < _NARROW_PX, self._name or "gradecut"
        shown = self.book.fontMetrics().elidedText(
            name, Qt.TextElideMode.ElideRight, _NARROW_NAME_PX if narrow else _NAME_PX
        )
        self.book.setText(f"{shown}  {_MENU_SIGN}")
        self.book.setAccessibleName(f"{name}, menu")
        self.book.setToolTip("Menu (F10)" if shown == name else f"{name}: menu (F10)")
        blind = " · blind" if self._blind else ""
        parts = self._grader.split()
        self.grader.setText(f"{parts[-1] if narrow and parts else self._grader}{blind}")
        self.grader.setAccessibleName(f"Who grades: {self._grader}{blind}" if parts else "")

    def _fit_told(self) -> None:
        fit_words(self.told, self._told, self.height())
