"""The stage: film fit to the window, zoomed and panned, with its marks painted on."""

from __future__ import annotations

from PyQt6.QtCore import QPointF, QRectF, QSize, Qt, QTimer, pyqtSignal
from PyQt6.QtGui import (
    QImage,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QTransform,
    QWheelEvent,
)
from PyQt6.QtWidgets import QSizePolicy, QWidget

from gradecut.app.fields import NoteField
from gradecut.app.film_image import marked_image
from gradecut.app.labels import button
from gradecut.app.stage_hand import StageHand
from gradecut.app.theme import Dress, as_qcolor, font
from gradecut.desk.film_desk import FilmDesk
from gradecut.drawing import ON_FILM

__all__ = ["Stage"]

_MOST_ZOOM = 12.0
_A_NOTCH = 1.2
_PATIENCE_MS = 350
"""So long the stage stays dark before it says that film is being opened."""


class Stage(QWidget):
    """Shows the frame on stage with its marks; the hand on it draws, chooses or pans.

    Attributes
    ----------
    zoom : float
        1 shows the whole film.

    Signals
    -------
    find_asked, add_asked
        The film was not found and its folder is to be shown; film is to be added.
    left
        Words for a text mark were written or given up.
    """

    find_asked = pyqtSignal()
    add_asked = pyqtSignal()
    left = pyqtSignal()

    def __init__(self, desk: FilmDesk, dress: Dress) -> None:
        super().__init__()
        self._desk = desk
        self._dress = dress
        self._image: QImage | None = None
        self.zoom = 1.0
        self._middle = QPointF(0.5, 0.5)
        self._angle = desk.playhead.angle.name if desk.playhead.angle else ""
        self.hand = StageHand(self, desk)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Film")
        self.find_button = button(
            "find film …", "accent", tip="Show the folder the film lies in now"
        )
        self.find_button.setParent(self)
        self.find_button.clicked.connect(self.find_asked)
        self.find_button.hide()
        self.add_button = button("add film …", "accent", tip="Add the films of a practice")
        self.add_button.setParent(self)
        self.add_button.clicked.connect(self.add_asked)
        self.add_button.hide()
        self.field = NoteField("words on the film, then Enter")
        self.field.setParent(self)
        self.field.setAccessibleName("Words on the film")
        self.field.hide()
        self.field.written.connect(desk.marks.write)
        self.field.left.connect(self._end_text)
        self._patience = QTimer(self)
        self._patience.setSingleShot(True)
        self._patience.setInterval(_PATIENCE_MS)
        self._patience.timeout.connect(self.renew)
        self._patience.start()
        desk.playhead.counts_painted = True
        desk.playhead.moved.connect(self._fit_another_angle)
        desk.playhead.pictured.connect(self.show_picture)
        desk.marks.changed.connect(self.show_picture)
        desk.told.changed.connect(self.renew)
        desk.marks.text_wanted.connect(self._ask_text)
        dress.changed.connect(self.renew)

    def sizeHint(self) -> QSize:
        """Ask for the usual shape of film."""
        return QSize(960, 540)

    # ------------------------------------------------------------------ what is shown

    def show_picture(self) -> None:
        """Take over the newest picture and paint its marks on."""
        head = self._desk.playhead
        if head.picture is None:
            if self._image is not None:
                self._patience.start()
            self._image = None
        else:
            wide, _ = self._film_size()
            self._image = marked_image(head.picture, self._desk.marks.shapes(), wide)
        missing = head.angle is not None and bool(head.fault) and not head.found
        self.find_button.setVisible(missing)
        self.add_button.setVisible(self._desk.state is None)
        self._place_parts()
        self.setAccessibleDescription(self.words())
        self.update()

    def renew(self) -> None:
        """Paint anew."""
        self.update()

    def words(self) -> str:
        """Say where the film stands and what is drawn on it."""
        head = self._desk.playhead
        if head.fault:
            return self._desk.told.fault_words()
        told = head.readout()
        if told is None or head.film is None:
            return "No film."
        return f"Frame {told.words} of {head.film.name}. {self._desk.marks.words()}"

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint film and choice, or why there is no film."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), as_qcolor(self._dress.theme.sunk))
        if self._image is not None:
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.setTransform(self._on_screen())
            painter.drawImage(QRectF(0, 0, *self._film_size()), self._image)
            painter.resetTransform()
            self.hand.paint(painter)
            self._paint_zoom(painter)
        else:
            self._paint_fault(painter)
        painter.end()
        self._desk.playhead.painted()

    def _paint_zoom(self, painter: QPainter) -> None:
        """Say how near the film is, and what shows all of it again."""
        if self.zoom <= 1:
            return
        painter.setFont(font("small", 500))
        told = self.zoom_words()
        rect = QRectF(12, 12, painter.fontMetrics().horizontalAdvance(told) + 16, 22)
        painter.setPen(Qt.PenStyle.NoPen)
        ground = as_qcolor(ON_FILM.ground)
        ground.setAlphaF(0.8)
        painter.setBrush(ground)
        painter.drawRoundedRect(rect, 4, 4)
        painter.setPen(as_qcolor(ON_FILM.ink))
        painter.drawText(rect, int(Qt.AlignmentFlag.AlignCenter), told)

    def _paint_fault(self, painter: QPainter) -> None:
        theme = self._dress.theme
        told = self._desk.told.fault_words()
        if self._desk.state is None:
            told = "No film in this book yet."
        if not told and not self._patience.isActive():
            told = "Opening the film …"
        painter.setPen(as_qcolor(theme.quiet))
        painter.setFont(font("lead"))
        flags = int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap)
        painter.drawText(QRectF(self.rect()).adjusted(60, 0, -60, -30), flags, told)

    # ------------------------------------------------------------------ zoom

    def zoom_words(self) -> str:
        """Say how near the film is; empty while all of it is shown."""
        return f"zoom {self.zoom:.1f}× · Ctrl+0 fits" if self.zoom > 1 else ""

    def _fit_another_angle(self) -> None:
        """Show the whole film of another camera: what lay where in this one lies elsewhere."""
        angle = self._desk.playhead.angle
        if angle is not None and angle.name != self._angle:
            self._angle = angle.name
            self.fit()

    def fit(self) -> None:
        """Show the whole film."""
        self.zoom, self._middle = 1.0, QPointF(0.5, 0.5)
        self.update()

    def nearer(self) -> None:
        """Zoom in on the middle."""
        self._zoom_by(_A_NOTCH, QPointF(self.rect().center()))

    def farther(self) -> None:
        """Zoom out."""
        self._zoom_by(1 / _A_NOTCH, QPointF(self.rect().center()))

    def film_point(self, at: QPointF) -> tuple[float, float]:
        """Return the film's pixel under a point of the widget."""
        back, _ = self._on_screen().inverted()
        there = back.map(at)
        return there.x(), there.y()

    def on_screen(self, point: tuple[float, float]) -> QPointF:
        """Return where a film pixel lies in the widget."""
        return self._on_screen().map(QPointF(*point))

    def _film_size(self) -> tuple[float, float]:
        film = self._desk.playhead.film
        return (float(film.width), float(film.height)) if film else (16.0, 9.0)

    def _on_screen(self) -> QTransform:
        """Return the way from film pixels to the widget's."""
        wide, high = self._film_size()
        scale = min(self.width() / wide, self.height() / high) * self.zoom
        scale = max(scale, 1e-6)
        made = QTransform()
        made.translate(self.width() / 2, self.height() / 2)
        made.scale(scale, scale)
        made.translate(-self._middle.x() * wide, -self._middle.y() * high)
        return made

    def pan(self, before: QPointF, after: QPointF) -> None:
        """Move the film as a hand moves that holds it, from one point of the widget to another."""
        wide, high = self._film_size()
        start, now = self.film_point(before), self.film_point(after)
        self._middle += QPointF((start[0] - now[0]) / wide, (start[1] - now[1]) / high)
        self._keep_inside()
        self.update()

    def _zoom_by(self, factor: float, about: QPointF) -> None:
        """Zoom so that what lies under a point stays under it."""
        wide, high = self._film_size()
        before = self.film_point(about)
        self.zoom = min(max(self.zoom * factor, 1.0), _MOST_ZOOM)
        after = self.film_point(about)
        self._middle += QPointF((before[0] - after[0]) / wide, (before[1] - after[1]) / high)
        self._keep_inside()
        self.update()

    def _keep_inside(self) -> None:
        """Let no more of the stage be empty than when the whole film is shown."""
        wide, high = self._film_size()
        scale = min(self.width() / wide, self.height() / high) * self.zoom
        for axis, film, room in ((0, wide, self.width()), (1, high, self.height())):
            half = min(room / (2 * film * scale), 0.5) if scale > 0 else 0.5
            now = self._middle.x() if axis == 0 else self._middle.y()
            kept = min(max(now, half), 1 - half)
            if axis == 0:
                self._middle.setX(kept)
            else:
                self._middle.setY(kept)

    # ------------------------------------------------------------------ the hand

    def wheelEvent(self, event: QWheelEvent | None) -> None:
        """Zoom about the pointer."""
        if event is not None and self._image is not None:
            self._zoom_by(_A_NOTCH ** (event.angleDelta().y() / 120), event.position())

    def mouseDoubleClickEvent(self, event: QMouseEvent | None) -> None:
        """Show the whole film again."""
        if event is not None:
            self.hand.double_click()

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Begin to draw, take hold of a mark, or of the film."""
        if event is not None and self._image is not None:
            self.hand.press(event)

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:
        """Draw, move a mark or pan."""
        if event is not None:
            self.hand.move(event)

    def mouseReleaseEvent(self, event: QMouseEvent | None) -> None:
        """Keep what was drawn."""
        if event is not None:
            self.hand.release(event)

    # ------------------------------------------------------------------ parts on the stage

    def _ask_text(self, at: tuple[float, float]) -> None:
        there = self._on_screen().map(QPointF(*at))
        wide = 260
        left = min(max(int(there.x()) - wide // 2, 6), max(self.width() - wide - 6, 6))
        self.field.setGeometry(left, int(there.y()) - 16, wide, 32)
        self.field.setText("")
        self.field.show_text("")
        self.field.show()
        self.field.setFocus()

    def _end_text(self) -> None:
        self.field.hide()
        self._desk.marks.write("")
        self._desk.marks.take(None)
        self.left.emit()

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Keep film and parts in their places."""
        super().resizeEvent(event)
        self._keep_inside()
        self._place_parts()

    def _place_parts(self) -> None:
        for part in (self.find_button, self.add_button):
            size = part.sizeHint()
            left, top = (self.width() - size.width()) // 2, self.height() // 2 + 14
            part.setGeometry(left, top, size.width(), size.height())
