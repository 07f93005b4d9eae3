"""The history of one rep: who judged it how, when, and what stood there before."""

from __future__ import annotations

from PyQt6.QtCore import QModelIndex, QPointF, QRectF, QSize, Qt
from PyQt6.QtGui import QFontMetricsF, QKeySequence, QPainter, QShortcut, QTextLayout
from PyQt6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from gradecut.app.labels import button, line_across, words
from gradecut.app.sheet_frame import closing, footed, whole_of
from gradecut.app.sheet_room import lay_over
from gradecut.app.theme import Dress, as_qcolor, font
from gradecut.desk.rep_history import HistoryRow, RepHistory

__all__ = ["RepHistorySheet"]

_SIZE_PX = (760, 560)
_ROW = Qt.ItemDataRole.UserRole
_PAD, _WHEN_PX, _WHAT_PX, _GAP = 12.0, 150.0, 118.0, 12.0
_TITLE_PX, _LINE_PX, _BASE_PX = 21.0, 19.0, 13.0
_WRAP = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap


class RepHistorySheet(QDialog):
    """Lists the acts, the newest first; arrows go through them, Esc or Ctrl+H closes."""

    def __init__(self, parent: QWidget, dress: Dress, history: RepHistory) -> None:
        super().__init__(parent)
        self._history = history
        self.setWindowTitle(f"History of {history.title}")
        lay_over(self, _SIZE_PX)
        whole = whole_of(self)
        head = QVBoxLayout()
        head.setContentsMargins(24, 18, 24, 12)
        head.setSpacing(2)
        head.addWidget(words(f"History of {history.title}", "title", 600, wrap=True))
        head.addWidget(words(history.told, look="quiet", wrap=True))
        whole.addLayout(head)
        whole.addWidget(line_across())
        self.list = QListWidget()
        self.list.setProperty("look", "columns")
        self.list.setItemDelegate(_ActPainter(dress, self.list))
        self.list.setAccessibleName(f"History of {history.title}, the newest first")
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        around = QVBoxLayout()
        around.setContentsMargins(12, 8, 12, 8)
        around.addWidget(self.list)
        whole.addLayout(around, 1)
        whole.addWidget(line_across())
        whole.addLayout(self._foot())
        again = QShortcut(QKeySequence("Ctrl+H"), self)
        again.activated.connect(self.reject)
        self.finished.connect(self.deleteLater)
        self._show_rows()
        self.list.setFocus()

    def _foot(self) -> QHBoxLayout:
        self.play_too = button("the play’s look and snap too", "choice")
        self.play_too.setCheckable(True)
        self.play_too.setChecked(True)
        self.play_too.setAutoDefault(False)
        self.play_too.setVisible(any(row.of_play for row in self._history.rows))
        self.play_too.toggled.connect(self._show_rows)
        close = closing(self)
        close.setDefault(True)
        return footed(self.play_too, right=(close,))

    def _show_rows(self) -> None:
        self.list.clear()
        for row in self._history.shown(with_play=self.play_too.isChecked()):
            item = QListWidgetItem()
            item.setData(_ROW, row)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, row.words)
            self.list.addItem(item)
        self.list.setCurrentRow(0)


class _ActPainter(QStyledItemDelegate):
    """Paints one act: when and who at the left, what it changed at the right."""

    def __init__(self, dress: Dress, parent: QListWidget) -> None:
        super().__init__(parent)
        self._dress = dress
        self._list = parent

    def sizeHint(self, _option: QStyleOptionViewItem, index: QModelIndex) -> QSize:
        """Give each act the height its words take."""
        wide = self._wide()
        row: HistoryRow = index.data(_ROW)
        high = sum(self._line_px(line, wide) for line in row.lines)
        who = QFontMetricsF(font("small", 500)).boundingRect(
            QRectF(0, 0, _WHEN_PX - 8, 10_000), int(_WRAP), row.who
        )
        left = _LINE_PX + max(who.height(), _LINE_PX)
        return QSize(round(wide), round(2 * _PAD + max(_TITLE_PX + high, left)))

    def _wide(self) -> float:
        viewport = self._list.viewport()
        return float(viewport.width() if viewport is not None else _SIZE_PX[0])

    def _room(self, wide: float) -> float:
        return wide - 2 * _PAD - _WHEN_PX - _WHAT_PX - _GAP

    def _line_px(self, line: tuple[str, str, str], wide: float) -> float:
        """Return the height of what changed: as many lines as its words take, in one pitch."""
        return _LINE_PX * len(_broken(_told(line), self._room(wide)))

    def paint(
        self, painter: QPainter | None, option: QStyleOptionViewItem, index: QModelIndex
    ) -> None:
        """Paint the act."""
        if painter is None:
            return
        theme, row = self._dress.theme, index.data(_ROW)
        area = QRectF(option.rect).adjusted(0, 1, -4, -1)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(
            QRectF(area.left(), area.bottom(), area.width(), 1), as_qcolor(theme.hairline)
        )
        if option.state & QStyle.StateFlag.State_Selected:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(as_qcolor(theme.raised))
            painter.drawRoundedRect(area.adjusted(0, 1, 0, -2), 6, 6)
            painter.setBrush(as_qcolor(theme.accent if self._list.hasFocus() else theme.quiet))
            painter.drawRoundedRect(
                QRectF(area.left(), area.top() + 8, 3, area.height() - 17), 1.5, 1.5
            )
        self._paint_when(painter, area, row)
        self._paint_what(painter, area, row)
        painter.restore()

    def _paint_when(self, painter: QPainter, area: QRectF, row: HistoryRow) -> None:
        theme = self._dress.theme
        left, top = area.left() + _PAD, area.top() + _PAD + 13
        painter.setFont(font("small"))
        painter.setPen(as_qcolor(theme.quiet))
        painter.drawText(QPointF(left, top), f"{row.day}  {row.time}")
        painter.setFont(font("small", 500))
        painter.setPen(as_qcolor(theme.ink))
        room = QRectF(left, top + 6, _WHEN_PX - 8, 10_000)
        painter.drawText(room, int(_WRAP), row.who)

    def _paint_what(self, painter: QPainter, area: QRectF, row: HistoryRow) -> None:
        theme = self._dress.theme
        left, top = area.left() + _PAD + _WHEN_PX, area.top() + _PAD
        painter.setFont(font("body", 600))
        painter.setPen(as_qcolor(theme.quiet if row.remark else theme.ink))
        painter.drawText(QPointF(left, top + 13), row.title)
        if row.remark:
            used = painter.fontMetrics().horizontalAdvance(row.title)
            painter.setFont(font("small"))
            painter.setPen(as_qcolor(theme.warn))
            painter.drawText(QPointF(left + used + 10, top + 13), f"↶ {row.remark}")
        top += _TITLE_PX
        for line in row.lines:
            self._paint_line(painter, QPointF(left, top), line, gone=bool(row.remark))
            top += self._line_px(line, self._wide())

    def _paint_line(
        self,
        painter: QPainter,
        at: QPointF,
        line: tuple[str, str, str],
        *,
        gone: bool,
    ) -> None:
        """Paint what changed: its name, then before and after."""
        theme = self._dress.theme
        base = at.y() + _BASE_PX
        painter.setFont(font("small"))
        painter.setPen(as_qcolor(theme.quiet))
        what = painter.fontMetrics().elidedText(
            line[0], Qt.TextElideMode.ElideRight, round(_WHAT_PX)
        )
        painter.drawText(QPointF(at.x(), base), what)
        face = font("body")
        face.setStrikeOut(gone)
        painter.setFont(face)
        painter.setPen(as_qcolor(theme.quiet if gone else theme.ink))
        for row in _broken(_told(line), self._room(self._wide())):
            painter.drawText(QPointF(at.x() + _WHAT_PX + _GAP, base), row)
            base += _LINE_PX


def _told(line: tuple[str, str, str]) -> str:
    """Write before and after: "open → ✓ right"."""
    _, before, after = line
    return f"{before}  →  {after}" if before else after


def _broken(text: str, wide_px: float) -> list[str]:
    """Break words into the lines they take in body type."""
    layout = QTextLayout(text, font("body"))
    layout.beginLayout()
    rows: list[str] = []
    while (line := layout.createLine()).isValid():
        line.setLineWidth(wide_px)
        rows.append(text[line.textStart() : line.textStart() + line.textLength()].rstrip())
    layout.endLayout()
    return rows or [""]
