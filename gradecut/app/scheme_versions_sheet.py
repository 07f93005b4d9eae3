"""The versions of the scheme the book keeps, and putting one back in force."""

from __future__ import annotations

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QKeyEvent
from PyQt6.QtWidgets import QDialog, QHBoxLayout

from gradecut.app.columns_list import Cell, Column, ColumnsList, Row
from gradecut.app.labels import button, line_across
from gradecut.app.page import Page
from gradecut.app.sheet_frame import closing, footed, listed, titled, whole_of
from gradecut.app.sheet_room import lay_over
from gradecut.desk.scheme_versions import SchemeVersions, VersionRow

__all__ = ["VersionsSheet"]

_SIZE_PX = (760, 420)


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
        self.list = ColumnsList(
            page.dress,
            (
                Column(head="version"),
                Column(head="came", least_px=150),
                Column(head="grades that name it"),
                Column(head="now", wide_px=76),
            ),
            "Versions, the newest first",
        )
        whole = whole_of(self)
        head = titled(
            "Versions of the scheme",
            "Every version is kept. Before one goes back in force you see which grades change.",
        )
        head.setContentsMargins(24, 18, 24, 14)
        whole.addLayout(head)
        whole.addWidget(line_across())
        whole.addLayout(listed(self.list), 1)
        whole.addWidget(line_across())
        whole.addLayout(self._foot())
        self.list.show_rows([_row(row) for row in self._rows])
        self.list.currentRowChanged.connect(lambda _: self._show_buttons())
        self.list.setCurrentRow(next((at for at, row in enumerate(self._rows) if row.in_force), 0))
        self.list.itemDoubleClicked.connect(lambda _: self._put_back())
        self._show_buttons()
        self.list.setFocus()

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Put the version that is chosen back."""
        if event is not None and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._put_back()
        else:
            super().keyPressEvent(event)

    def _foot(self) -> QHBoxLayout:
        self.work = button("Work on it", tip="Take it as the draft; nothing is in force")
        self.work.clicked.connect(self._work_on)
        self.put = button("Put back in force …", "accent", tip="Enter; told first what it turns")
        self.put.clicked.connect(self._put_back)
        for one in (self.work, self.put):
            one.setAutoDefault(False)
        return footed(right=(closing(self), self.work, self.put))

    def _chosen(self) -> VersionRow | None:
        at = self.list.currentRow()
        return self._rows[at] if 0 <= at < len(self._rows) else None

    def _show_buttons(self) -> None:
        row = self._chosen()
        self.put.setVisible(row is not None and not row.in_force)
        self.work.setEnabled(row is not None)

    def _put_back(self) -> None:
        row = self._chosen()
        if row is not None and not row.in_force:
            self.accept()
            self._versions.put_back(row)

    def _work_on(self) -> None:
        row = self._chosen()
        if row is not None:
            self.accept()
            self._versions.work_on(row)


def _row(row: VersionRow) -> Row:
    standing = "in force" if row.in_force else ""
    told = (row.name, row.came, row.grades, standing)
    return Row(
        cells=(
            Cell(row.name, "ink", 600),
            Cell(row.came, "quiet"),
            Cell(row.grades, "quiet"),
            Cell(standing, "accent"),
        ),
        words=", ".join(part for part in told if part),
    )
