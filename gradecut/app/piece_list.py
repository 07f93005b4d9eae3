"""The pieces of a reel in order: a picture each, its title and caption; dragged to reorder."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import partial

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QModelIndex, QPointF, QRectF, QSize, Qt, pyqtSignal
from PyQt6.QtGui import QMouseEvent, QPainter, QPainterPath, QPaintEvent
from PyQt6.QtWidgets import (
    QAbstractItemView,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
)

from gradecut.app.painted import image_over
from gradecut.app.theme import Dress, as_qcolor, font
from gradecut.desk.snap_pictures import SnapPictures
from gradecut.drawing import wrap_text
from gradecut.records import Piece

__all__ = ["PieceList"]

_PIECE = Qt.ItemDataRole.UserRole
_HIGH_PX, _PICTURE_PX = 82, 116


class PieceList(QListWidget):
    """Lists pieces.

    Signals
    -------
    reordered : object
        Piece ids in the order they were dragged to.
    piece_chosen : str
        A piece's id.
    """

    reordered = pyqtSignal(object)
    piece_chosen = pyqtSignal(str)

    def __init__(self, pictures: SnapPictures, dress: Dress) -> None:
        super().__init__()
        self._pictures = pictures
        self.frames: dict[str, NDArray[np.uint8]] = {}
        self.setItemDelegate(_PiecePainter(dress, self))
        self.setAccessibleName("Pieces of the reel")
        self.setMouseTracking(True)
        self.setUniformItemSizes(True)
        self.setDragDropMode(QAbstractItemView.DragDropMode.NoDragDrop)
        self._dress = dress
        self._held: int | None = None
        self._gap: int | None = None
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.currentItemChanged.connect(self._choose)

    @property
    def piece_ids(self) -> list[str]:
        """The ids as they are listed."""
        items = (self.item(row) for row in range(self.count()))
        return [item.data(_PIECE).id for item in items if item is not None]

    def show_pieces(self, pieces: Sequence[Piece], chosen: Piece | None) -> None:
        """List pieces, one of them chosen."""
        self.blockSignals(True)
        self.clear()
        for place, piece in enumerate(pieces, start=1):
            item = QListWidgetItem()
            item.setData(_PIECE, piece)
            told = f"{place}. {piece.title}. {piece.caption}"
            item.setData(Qt.ItemDataRole.AccessibleTextRole, told)
            item.setToolTip(piece.caption)
            self.addItem(item)
            if chosen is not None and piece.id == chosen.id:
                self.setCurrentItem(item)
            if piece.id not in self.frames:
                ready = partial(self._show_frame, piece.id)
                self._pictures.ask(piece.clip_id, ready, angle_id=piece.angle_id)
        self.blockSignals(False)

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Take a piece in hand."""
        super().mousePressEvent(event)
        if event is not None and event.button() == Qt.MouseButton.LeftButton:
            row = self.indexAt(event.position().toPoint()).row()
            self._held, self._gap = (row if row >= 0 else None), None

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:
        """Show where the piece in hand would go."""
        if event is None:
            return
        if self._held is None or not event.buttons() & Qt.MouseButton.LeftButton:
            super().mouseMoveEvent(event)
            return
        gap = self._gap_at(event.position())
        if gap != self._gap:
            self._gap = gap
            self._repaint()

    def mouseReleaseEvent(self, event: QMouseEvent | None) -> None:
        """Put the piece in hand where the line is."""
        super().mouseReleaseEvent(event)
        held, gap = self._held, self._gap
        self._held = self._gap = None
        self._repaint()
        if held is not None and gap is not None and gap not in (held, held + 1):
            ids = self.piece_ids
            moved = ids.pop(held)
            ids.insert(gap - 1 if gap > held else gap, moved)
            self.reordered.emit(ids)

    def paintEvent(self, event: QPaintEvent | None) -> None:
        """Paint the pieces, and the line where the one in hand would go."""
        super().paintEvent(event)
        if self._gap is None:
            return
        painter = QPainter(self.viewport())
        last = self.visualRect(self.indexFromItem(self.item(self.count() - 1)))
        item = self.item(self._gap)
        y = self.visualRect(self.indexFromItem(item)).top() if item else last.bottom()
        painter.fillRect(4, y - 1, last.width() - 8, 2, as_qcolor(self._dress.theme.accent))
        painter.end()

    def _gap_at(self, at: QPointF) -> int | None:
        """Return before which row a piece would go; None while it has hardly moved."""
        index = self.indexAt(at.toPoint())
        if not index.isValid():
            return self.count() if at.y() > 0 else 0
        if index.row() == self._held and self._gap is None:
            return None
        middle = self.visualRect(index).center().y()
        return index.row() + (1 if at.y() > middle else 0)

    def _repaint(self) -> None:
        port = self.viewport()
        if port is not None:
            port.update()

    def _show_frame(self, piece_id: str, frame: NDArray[np.uint8]) -> None:
        self.frames[piece_id] = frame
        self._repaint()

    def _choose(self, item: QListWidgetItem | None) -> None:
        if item is not None:
            self.piece_chosen.emit(item.data(_PIECE).id)


class _PiecePainter(QStyledItemDelegate):
    """Paints one piece."""

    def __init__(self, dress: Dress, parent: PieceList) -> None:
        super().__init__(parent)
        self._dress, self._list = dress, parent

    def sizeHint(self, option: QStyleOptionViewItem, _index: QModelIndex) -> QSize:
        """Give every row the same height."""
        return QSize(option.rect.width(), _HIGH_PX)

    def paint(
        self, painter: QPainter | None, option: QStyleOptionViewItem, index: QModelIndex
    ) -> None:
        """Paint number, picture, title and caption."""
        if painter is None:
            return
        theme, piece = self._dress.theme, index.data(_PIECE)
        area = QRectF(option.rect).adjusted(0, 1, 0, -1)
        painter.save()
        painter.setRenderHints(
            QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform
        )
        if option.state & (QStyle.StateFlag.State_Selected | QStyle.StateFlag.State_MouseOver):
            chosen = bool(option.state & QStyle.StateFlag.State_Selected)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(as_qcolor(theme.pressed if chosen else theme.raised))
            painter.drawRoundedRect(area, 6, 6)
            if chosen:
                held = bool(option.state & QStyle.StateFlag.State_HasFocus)
                painter.setBrush(as_qcolor(theme.accent if held else theme.quiet))
                bar = QRectF(area.left(), area.top() + 10, 3, area.height() - 20)
                painter.drawRoundedRect(bar, 1.5, 1.5)
        painter.setPen(as_qcolor(theme.quiet))
        painter.setFont(font("small", 500))
        number = QRectF(area.x() + 4, area.y(), 24, area.height())
        painter.drawText(number, Qt.AlignmentFlag.AlignCenter, str(index.row() + 1))
        self._paint_picture(painter, piece.id, area)
        self._paint_words(painter, piece, area)
        painter.restore()

    def _paint_picture(self, painter: QPainter, piece_id: str, area: QRectF) -> None:
        high = _PICTURE_PX * 9 / 16
        where = QRectF(area.x() + 32, area.y() + (area.height() - high) / 2, _PICTURE_PX, high)
        around = QPainterPath()
        around.addRoundedRect(where, 4, 4)
        painter.save()
        painter.setClipPath(around)
        painter.fillRect(where, as_qcolor(self._dress.theme.sunk))
        frame = self._list.frames.get(piece_id)
        if frame is not None:
            painter.drawImage(where, image_over(frame))
        painter.restore()

    def _paint_words(self, painter: QPainter, piece: Piece, area: QRectF) -> None:
        theme = self._dress.theme
        left = area.x() + 32 + _PICTURE_PX + 12
        room = area.right() - 10 - left
        painter.setFont(font("body", 600))
        painter.setPen(as_qcolor(theme.ink))
        metrics = painter.fontMetrics()
        title = piece.title or "without a title"
        shown = metrics.elidedText(title, Qt.TextElideMode.ElideRight, round(room))
        painter.drawText(QPointF(left, area.y() + 22), shown)
        painter.setFont(font("small"))
        painter.setPen(as_qcolor(theme.quiet))
        lines = wrap_text(piece.caption, 12, room, weight=400, most=2)
        for place, line in enumerate(lines):
            painter.drawText(QPointF(left, area.y() + 40 + 16 * place), line)
        told = f"{_seconds(piece.from_s)} to {_seconds(piece.to_s)} s"
        if piece.speed != 1:
            told += f" · speed {piece.speed}"
        if piece.mark_ids:
            told += f" · {len(piece.mark_ids)} marks"
        painter.drawText(QPointF(left, area.y() + 72), told)


def _seconds(time_s: Fraction) -> str:
    """Write seconds from the snap with their sign."""
    value = float(time_s)
    return f"{value:+g}".replace("-", "−")
