"""The strip of pictures on which a recording is cut: pictures, plays beneath, the whole below."""

from __future__ import annotations

from dataclasses import replace

from PyQt6.QtCore import QPointF, QRectF, QSize, Qt, pyqtSignal
from PyQt6.QtGui import QMouseEvent, QPaintEvent, QPen, QResizeEvent, QWheelEvent
from PyQt6.QtWidgets import QSizePolicy

from gradecut.app.cutting_painting import CuttingPainting, CuttingPixmaps
from gradecut.app.cutting_scale import BRACKET_PX, HEIGHT_PX, WHOLE_PX, CuttingScale, clock
from gradecut.app.theme import Dress, as_qcolor
from gradecut.app.touch_area import TouchArea
from gradecut.desk.cutting_desk import CuttingDesk

__all__ = ["CuttingStrip"]

_GRIP_PX = 7.0


class CuttingStrip(TouchArea):
    """Shows a stretch of the recording in pictures, its plays as brackets, and the whole below.

    Signals
    -------
    span_changed
        Another stretch is shown.
    """

    span_changed = pyqtSignal()

    def __init__(self, desk: CuttingDesk, dress: Dress) -> None:
        super().__init__(dress)
        self._desk = desk
        self._scale = CuttingScale()
        self._pixmaps = CuttingPixmaps()
        self._dragged: str | None = None
        self._drag_begun = False
        self.setFixedHeight(HEIGHT_PX)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("The recording in pictures, its plays beneath")
        desk.opened.connect(self._on_opened)
        desk.changed.connect(self._on_changed)
        desk.moved.connect(self._on_moved)
        desk.strip_came.connect(self.renew)

    def sizeHint(self) -> QSize:
        """Ask for the height of the strip."""
        return QSize(1200, HEIGHT_PX)

    # ------------------------------------------------------------------ what is shown

    @property
    def scale(self) -> CuttingScale:
        """Where times lie on it now."""
        return replace(self._scale, width_px=float(self.width()))

    def zoom(self, times: float) -> None:
        """Show a longer or a shorter stretch, around the playhead."""
        self._show(self._scale.zoomed(times, self._desk.time_s()))

    def _scroll_to(self, from_s: float) -> None:
        self._show(self._scale.beginning(from_s))

    def _show(self, scale: CuttingScale) -> None:
        self._scale = scale
        self._want_pictures()
        self.span_changed.emit()
        self.update()

    def _want_pictures(self) -> None:
        if self._desk.facts is not None:
            scale = self.scale
            every_s = scale.span_s / max(scale.room_px / self._pixmaps.width_px(), 1.0)
            self._desk.pictures.want(scale.from_s, scale.to_s, every_s)

    def _on_opened(self) -> None:
        if self._desk.facts is not None:
            self._show(self._scale.of_film(self._desk.facts.length_s))

    def _on_changed(self) -> None:
        """Bring the play in hand into sight."""
        cut = self._desk.cut
        if cut is not None and self._dragged is None:
            start_s, stop_s = self._desk.time_s(cut.first), self._desk.time_s(cut.last)
            if start_s < self._scale.from_s or stop_s > self._scale.to_s:
                self._scroll_to((start_s + stop_s) / 2 - self._scale.span_s / 2)
        self._tell()
        self.update()

    def _on_moved(self) -> None:
        """Keep the playhead in sight."""
        at = self._desk.time_s()
        if not self._scale.from_s <= at <= self._scale.to_s:
            self._scroll_to(at - self._scale.span_s / 2)
        self.update()

    def _tell(self) -> None:
        """Put in words what is painted."""
        cut, place = self._desk.cut, self._desk.in_hand
        if cut is None or place is None:
            self.setAccessibleDescription("No play in hand.")
            return
        edges = f"{clock(self._desk.time_s(cut.first))} to {clock(self._desk.time_s(cut.last))}"
        dropped = ", dropped" if cut.dropped else ""
        of = len(self._desk.cuts)
        self.setAccessibleDescription(f"Play {place + 1} of {of}, {edges}{dropped}.")

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint the pictures and plays in sight, then the whole recording."""
        painter = self.painter()
        painting = CuttingPainting(painter, self.theme, self._desk, self.scale, self._pixmaps)
        painting.paint()
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(as_qcolor(self.theme.accent), 1.5))
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(8, 1, -8, -1), 6, 6)
        painter.end()
        self.spots = painting.spots

    # ------------------------------------------------------------------ the mouse

    def _grip_at(self, at: QPointF) -> str | None:
        """Return which edge of the play in hand, or which line, a point touches."""
        if at.y() >= WHOLE_PX - 6:
            return "whole"
        cut = self._desk.cut
        if cut is not None and not cut.dropped and at.y() <= BRACKET_PX + 4:
            start, stop = self.scale.ends(
                *(self._desk.time_s(edge) for edge in (cut.first, cut.last + 1))
            )
            if abs(at.x() - start) <= _GRIP_PX:
                return "first"
            if abs(at.x() - stop) <= _GRIP_PX:
                return "last"
        return "pictures" if at.y() < BRACKET_PX - 8 else None

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Take an edge, a play or the playhead."""
        if event is None or event.button() != Qt.MouseButton.LeftButton:
            return
        self._dragged, self._drag_begun = self._grip_at(event.position()), False
        if self._dragged is None:
            super().mousePressEvent(event)
        elif self._dragged in ("pictures", "whole"):
            self._drag(event.position())

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:
        """Drag what was taken; else show what can be."""
        if event is None:
            return
        if event.buttons() & Qt.MouseButton.LeftButton and self._dragged is not None:
            self._drag(event.position())
            return
        grip = self._grip_at(event.position())
        if grip in ("first", "last"):
            self.setCursor(Qt.CursorShape.SizeHorCursor)
        else:
            super().mouseMoveEvent(event)

    def mouseReleaseEvent(self, _event: QMouseEvent | None) -> None:
        """Let go."""
        self._dragged = None
        self._on_changed()

    def _drag(self, at: QPointF) -> None:
        facts = self._desk.facts
        if facts is None:
            return
        if self._dragged == "whole":
            time_s = self.scale.whole_time_at(at.x())
            self._scroll_to(time_s - self._scale.span_s / 2)
            self._desk.go(facts.frame_at(time_s))
            return
        frame = facts.frame_at(self.scale.time_at(at.x()))
        if self._dragged == "pictures":
            self._desk.go(frame)
            return
        if self._dragged == "first":
            self._desk.put_edge(first=frame, going_on=self._drag_begun)
        else:
            self._desk.put_edge(last=frame, going_on=self._drag_begun)
        self._drag_begun = True
        cut = self._desk.cut
        if cut is not None:
            self._desk.seek(cut.first if self._dragged == "first" else cut.last)

    def wheelEvent(self, event: QWheelEvent | None) -> None:
        """Move along the recording; with Ctrl show more or less of it."""
        if event is None:
            return
        delta = event.angleDelta().y() or event.angleDelta().x()
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoom(0.8 if delta > 0 else 1.25)
        else:
            self._scroll_to(self._scale.from_s - delta / 120 * self._scale.span_s / 10)

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Fetch what a wider strip shows."""
        super().resizeEvent(event)
        self._want_pictures()
