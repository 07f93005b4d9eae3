"""The rules of a scheme as a readable grid."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import QRect, Qt
from PyQt6.QtGui import QFontMetrics, QResizeEvent
from PyQt6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget, QTableWidgetItem

from gradecut.app.theme import Dress, as_qcolor, font
from gradecut.desk.scheme_desk import RuleRow

__all__ = ["RuleTable"]

_COLUMNS = ("rule", "men", "on looks", "fit", "cue")
_PADDING_PX = 26
_SHARES = (0.07, 0.13, 0.34, 0.17, 0.29)


class RuleTable(QTableWidget):
    """Rows are rules, tier by tier, as the coach wrote them."""

    def __init__(self, dress: Dress) -> None:
        super().__init__(0, len(_COLUMNS))
        self._dress = dress
        self.setHorizontalHeaderLabels(list(_COLUMNS))
        self.setAccessibleName("Rules of the scheme")
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setShowGrid(False)
        self.setWordWrap(True)
        self.setTabKeyNavigation(False)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        across, down = self.horizontalHeader(), self.verticalHeader()
        if across is not None and down is not None:
            down.setVisible(False)
            down.setMinimumSectionSize(30)
            across.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
            across.setFont(font("small", 500))
            across.setHighlightSections(False)
            across.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)

    def show_rules(self, rows: Sequence[RuleRow]) -> None:
        """List some rules under their tiers."""
        tiers = list(dict.fromkeys(row.tier for row in rows))
        self.clearSpans()
        self.setRowCount(len(rows) + len(tiers))
        place = 0
        for tier in tiers:
            self._head(place, tier)
            place += 1
            for row in (row for row in rows if row.tier == tier):
                self._put(place, row)
                place += 1
        self._fit_rows()

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Share the width out."""
        super().resizeEvent(event)
        port = self.viewport()
        if port is not None:
            for column, share in enumerate(_SHARES):
                self.setColumnWidth(column, round(port.width() * share))
            self._fit_rows()

    def _fit_rows(self) -> None:
        """Give each row the lines its longest cell needs; the style's padding counts too."""
        for row in range(self.rowCount()):
            high = 0
            for column in range(len(_COLUMNS)):
                item = self.item(row, column)
                if item is None or self.columnSpan(row, column) > 1:
                    continue
                room = QRect(0, 0, self.columnWidth(column) - _PADDING_PX, 1000)
                metrics = QFontMetrics(item.font() if column == 3 else self.font())
                wrap = Qt.TextFlag.TextWordWrap.value
                high = max(high, metrics.boundingRect(room, wrap, item.text()).height())
            self.setRowHeight(row, high + 14 if high else 34)

    def _head(self, place: int, tier: str) -> None:
        item = QTableWidgetItem(f"tier {tier}" if tier else "")
        item.setFont(font("small", 600))
        item.setForeground(as_qcolor(self._dress.theme.quiet))
        item.setFlags(Qt.ItemFlag.NoItemFlags)
        self.setItem(place, 0, item)
        self.setSpan(place, 0, 1, len(_COLUMNS))

    def _put(self, place: int, row: RuleRow) -> None:
        told = (row.id, ", ".join(row.men), row.when, row.fit, row.cue)
        for column, text in enumerate(told):
            item = QTableWidgetItem(text)
            item.setToolTip(text)
            item.setTextAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
            if column == 3:
                item.setFont(font("body", 600))
            if column in (0, 4):
                item.setForeground(as_qcolor(self._dress.theme.quiet))
            self.setItem(place, column, item)
