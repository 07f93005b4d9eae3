"""A scheme file that was looked at: its faults, and its text with the faulty lines marked."""

from __future__ import annotations

from PyQt6.QtGui import QTextCharFormat, QTextCursor, QTextFormat
from PyQt6.QtWidgets import (
    QListWidget,
    QListWidgetItem,
    QPlainTextEdit,
    QSizePolicy,
    QTextEdit,
    QVBoxLayout,
    QWidget,
)

from gradecut.app.labels import words
from gradecut.app.theme import Dress, as_qcolor, font
from gradecut.desk.scheme_files import CheckedFile

__all__ = ["FileCheck"]

_TAB_PX = 44


class FileCheck(QWidget):
    """Every fault with its line, beside the text; choosing a fault goes to its line."""

    def __init__(self, dress: Dress) -> None:
        super().__init__()
        self._dress = dress
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 0, 24, 0)
        column.setSpacing(8)
        self.verdict = words("", "lead", 600, wrap=True)
        column.addWidget(self.verdict)
        self.faults = QListWidget()
        self.faults.setAccessibleName("Faults of the file")
        self.faults.setWordWrap(True)
        self.faults.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.faults.currentRowChanged.connect(self._go)
        column.addWidget(self.faults, 2)
        self.text = QPlainTextEdit()
        self.text.setReadOnly(True)
        self.text.setAccessibleName("Text of the file")
        self.text.setFont(font("small"))
        self.text.setTabStopDistance(_TAB_PX)
        self.text.setLineWrapMode(QPlainTextEdit.LineWrapMode.NoWrap)
        column.addWidget(self.text, 5)
        self._lines: list[int] = []
        dress.changed.connect(self._mark)

    def show_check(self, checked: CheckedFile) -> None:
        """Show what was found."""
        self.verdict.setText(checked.verdict)
        lines = checked.text.split("\n")
        self.text.setPlainText("\n".join(f"{at}\t{line}" for at, line in enumerate(lines, 1)))
        self.text.setVisible(bool(checked.text))
        self.faults.blockSignals(True)
        self.faults.clear()
        self._lines = [line for line, _ in checked.faults]
        for line, message in checked.faults:
            where = f"line {line}" if line else "the file"
            self.faults.addItem(QListWidgetItem(f"✗ {where}: {message}"))
        self.faults.blockSignals(False)
        self.faults.setVisible(bool(checked.faults))
        self._mark()
        if self._lines:
            self.faults.setCurrentRow(0)

    def _mark(self) -> None:
        """Lay a ground under the faulty lines."""
        document = self.text.document()
        marks = []
        for line in self._lines if document else ():
            block = document.findBlockByNumber(line - 1) if document else None
            if block is None or not block.isValid():
                continue
            mark = QTextEdit.ExtraSelection()
            form = QTextCharFormat()
            form.setBackground(as_qcolor(self._dress.theme.pressed))
            form.setForeground(as_qcolor(self._dress.theme.warn))
            form.setProperty(QTextFormat.Property.FullWidthSelection, True)
            mark.format = form
            mark.cursor = QTextCursor(block)
            marks.append(mark)
        self.text.setExtraSelections(marks)

    def _go(self, row: int) -> None:
        document = self.text.document()
        if document is None or not 0 <= row < len(self._lines):
            return
        block = document.findBlockByNumber(max(self._lines[row] - 1, 0))
        if block.isValid():
            self.text.setTextCursor(QTextCursor(block))
            self.text.centerCursor()
