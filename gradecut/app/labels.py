"""Words, lines and key caps: the small parts every page is set with."""

from __future__ import annotations

from typing import Literal

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QKeyEvent
from PyQt6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget

from gradecut.app.theme import Size, font

__all__ = ["KeyHint", "button", "fit_words", "lead_with", "line_across", "line_down", "words"]

ButtonLook = Literal["", "accent", "plain", "choice", "words", "key", "row"]


def words(
    text: str = "",
    size: Size = "body",
    weight: int = 400,
    *,
    look: Literal["", "quiet", "warn"] = "",
    wrap: bool = False,
) -> QLabel:
    """Return a label; its text is plain, whatever stands in it, and can be selected when long."""
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setFont(font(size, weight))
    if look:
        label.setProperty("look", look)
    if wrap:
        label.setWordWrap(True)
        label.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
    return label


def fit_words(label: QLabel, text: str, high_px: int) -> bool:
    """Set as many words as fit on the lines of a label; the rest is told on hover, and by name.

    Returns
    -------
    bool
        All of them fit.
    """
    parts, whole = text.split(" "), True
    for count in range(len(parts), 0, -1):
        whole = count == len(parts)
        label.setText(" ".join(parts[:count]) + ("" if whole else " …"))
        if label.heightForWidth(label.width()) <= high_px:
            break
    label.setToolTip("" if whole else text)
    label.setAccessibleName(text)
    return whole


def line_across() -> QFrame:
    """Return a hairline from left to right."""
    line = QFrame()
    line.setProperty("look", "line")
    line.setFixedHeight(1)
    return line


def line_down() -> QFrame:
    """Return a hairline from top to bottom."""
    line = QFrame()
    line.setProperty("look", "line")
    line.setFixedWidth(1)
    return line


def button(
    text: str,
    look: Literal["", "accent", "plain", "choice", "words", "key", "row"] = "",
    *,
    tip: str = "",
) -> QPushButton:
    """Return a button that a click does not take the focus with; Enter presses it as Space does."""
    made = _Button(text)
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    if look:
        made.setProperty("look", look)
    if tip:
        made.setToolTip(tip)
    return made


def lead_with(first: QPushButton, *others: QPushButton) -> None:
    """Let one of some buttons stand out: the one that most likely comes next."""
    for made in (first, *others):
        made.setProperty("look", "accent" if made is first else "")
        if (style := made.style()) is not None:
            style.unpolish(made)
            style.polish(made)


class _Button(QPushButton):
    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Be pressed by Enter, whatever Enter does elsewhere in the sheet."""
        if event is not None and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
                event.ignore()
            else:
                self.click()
        else:
            super().keyPressEvent(event)


class KeyHint(QWidget):
    """A key cap with what the key does beside it: "[Enter] all right, next"."""

    def __init__(self, key: str, does: str) -> None:
        super().__init__()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6)
        cap = words(key, "small", 600)
        cap.setProperty("look", "key")
        row.addWidget(cap)
        if does:
            row.addWidget(words(does, "body", look="quiet"))
        row.setAlignment(Qt.AlignmentFlag.AlignVCenter)
