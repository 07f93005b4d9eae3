"""The versions of the scheme the book keeps, and putting one back in force."""

from __future__ import annotations

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QHBoxLayout,
    QHeaderView,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
)

from gradecut.app.labels import button, words
from gradecut.app.page import Page
from gradecut.app.sheet_room import lay_over
from gradecut.desk.scheme_versions import SchemeVersions, VersionRow

__all__ = ["VersionsSheet"]

_SIZE_PX = (680, 420)
_HEADS = ("version", "came", "grades that name it", "")


class VersionsSheet(QDialog):
    """Lists the versions, the newest first; Enter puts one back, told first what that turns.

    Parameters
    ----------
    page : Page
    versions : SchemeVersions
    """

    def __init__(self, page: Page, versions: SchemeVersions) -> None:
        super().__init__(page)
        self._versions = versions
        self._rows = versions.rows()
        self.setWindowTitle("Versions of the scheme")
        lay_over(self, _SIZE_PX)
        column = QVBoxLayout(self)
        column.setContentsMargins(26, 22, 20, 18)
        column.setSpacing(8)
        column.addWidget(words("Versions of the scheme", "title", 600))
        told = (
            "Every version stays in the book, and a grade names the one it was judged by. Put "
            "one back in force, and you are told first what that turns."
        )
        column.addWidget(words(told, "small", look="quiet", wrap=True))
        column.addWidget(self._table(), 1)
        column.addLayout(self._foot())
        self.table.currentCellChanged.connect(lambda *_: self._show_buttons())
        self.table.selectRow(next((at for at, row in enumerate(self._rows) if row.in_force), 0))
        self._show_buttons()

    def _table(self) -> QTableWidget:
        self.table = QTableWidget(len(self._rows), len(_HEADS))
        self.table.setAccessibleName("Versions, the newest first")
        self.table.setHorizontalHeaderLabels(list(_HEADS))
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setTabKeyNavigation(False)
        self.table.setShowGrid(False)
        if (down := self.table.verticalHeader()) is not None:
            down.setVisible(False)
            down.setDefaultSectionSize(34)
        if (across := self.table.horizontalHeader()) is not None:
            across.setStretchLastSection(True)
            across.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
            across.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        for at, row in enumerate(self._rows):
            told = (row.name, row.came, row.grades, "in force" if row.in_force else "")
            for place, text in enumerate(told):
                self.table.setItem(at, place, QTableWidgetItem(text))
        return self.table

    def _foot(self) -> QHBoxLayout:
        foot = QHBoxLayout()
        foot.setSpacing(8)
        close = button("Close", "plain")
        close.clicked.connect(self.reject)
        self.work = button("Work on it", tip="Take it as the draft; nothing is in force")
        self.work.clicked.connect(self._work_on)
        self.put = button("Put back in force …", "accent", tip="Enter; told first what it turns")
        self.put.clicked.connect(self._put_back)
        self.put.setDefault(True)
        for one in (close, self.work):
            one.setAutoDefault(False)
        foot.addWidget(close)
        foot.addStretch(1)
        foot.addWidget(self.work)
        foot.addWidget(self.put)
        return foot

    def _row(self) -> VersionRow | None:
        at = self.table.currentRow()
        return self._rows[at] if 0 <= at < len(self._rows) else None

    def _show_buttons(self) -> None:
        row = self._row()
        self.put.setEnabled(row is not None and not row.in_force)
        self.work.setEnabled(row is not None)

    def _put_back(self) -> None:
        row = self._row()
        if row is not None and not row.in_force:
            self.accept()
            self._versions.put_back(row)

    def _work_on(self) -> None:
        row = self._row()
        if row is not None:
            self.accept()
            self._versions.work_on(row)
