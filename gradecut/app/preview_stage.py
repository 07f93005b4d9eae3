"""The reel on a stage before it is rendered: film, marks, captions and title cards."""

from __future__ import annotations

import time
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QPointF, QRectF, QSize, Qt, QTimer, pyqtSignal
from PyQt6.QtGui import QImage, QMouseEvent, QPainter, QPaintEvent
from PyQt6.QtWidgets import QSizePolicy, QWidget

from gradecut.app.painted import image_over
from gradecut.app.theme import Dress, as_qcolor
from gradecut.desk.preview import Preview
from gradecut.drawing import caption_shapes, marks_shapes, paint, title_card
from gradecut.records import Mark
from gradecut.reels import PlannedStep, film_area

__all__ = ["PreviewStage"]

_BAR_PX, _INSET_PX = 20, 6
_Key = tuple[PlannedStep, tuple[int, int], tuple[int, ...] | None, tuple[Mark, ...]]
_Overlay = tuple[_Key, NDArray[np.uint8], QImage]


class PreviewStage(QWidget):
    """Shows the frame of a Preview; below it the whole reel in one line, to touch.

    Signals
    -------
    played : bool
        It began or stopped to play.
    """

    played = pyqtSignal(bool)

    def __init__(self, preview: Preview, dress: Dress) -> None:
        super().__init__()
        self._preview, self._dress = preview, dress
        self._overlay: _Overlay | None = None
        self._film: tuple[NDArray[np.uint8], QImage] | None = None
        self._begun = (0.0, 0)
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self._tick)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setAccessibleName("The reel")
        preview.changed.connect(self.renew)

    def sizeHint(self) -> QSize:
        """Ask for a wide picture."""
        return QSize(640, 360 + _BAR_PX)

    def minimumSizeHint(self) -> QSize:
        """Stay readable."""
        return QSize(320, 180 + _BAR_PX)

    def heightForWidth(self, width: int) -> int:
        """Take the height the picture needs."""
        return round(width * 9 / 16) + _BAR_PX

    def renew(self) -> None:
        """Show another frame."""
        step = self._preview.step
        self.setAccessibleDescription(
            f"Frame {self._preview.at + 1} of {self._preview.frame_count}. "
            f"{step.title} {step.caption}".strip()
            if step
            else "No reel."
        )
        self.update()

    @property
    def playing(self) -> bool:
        """Whether it plays."""
        return self._timer.isActive()

    def play_or_stop(self) -> None:
        """Begin to play, from the start when the reel is at its end; or stop."""
        plan = self._preview.plan
        if self.playing or plan is None or not self._preview.frame_count:
            self.stop()
            return
        if self._preview.at >= self._preview.frame_count - 1:
            self._preview.go(0)
        self._begun = (time.monotonic(), self._preview.at)
        self._timer.start(max(round(1000 / float(plan.rate)), 10))
        self.played.emit(True)

    def stop(self) -> None:
        """Stand still."""
        if self._timer.isActive():
            self._timer.stop()
            self.played.emit(False)

    def step(self, frames: int) -> None:
        """Go some frames on or back."""
        self.stop()
        self._preview.go(self._preview.at + frames)

    def _tick(self) -> None:
        """Show the frame of this moment, leaving out those there was no time for."""
        plan = self._preview.plan
        if plan is None:
            self.stop()
            return
        since, first = self._begun
        goal = first + int((time.monotonic() - since) * float(plan.rate))
        self._preview.go(goal)
        if goal >= self._preview.frame_count - 1:
            self.stop()

    # ------------------------------------------------------------------ painting

    def picture_rect(self) -> QRectF:
        """Return where the reel's picture lies: as large as fits, in its own shape."""
        plan = self._preview.plan
        wide, high = plan.size_px if plan else (16, 9)
        room_w, room_h = self.width(), max(self.height() - _BAR_PX, 1)
        scale = min(room_w / wide, room_h / high)
        size = (wide * scale, high * scale)
        return QRectF((room_w - size[0]) / 2, 0, *size)

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint the frame, what is drawn on it, and the line of the reel."""
        painter = QPainter(self)
        painter.setRenderHints(
            QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform
        )
        area, step = self.picture_rect(), self._preview.step
        painter.fillRect(area, as_qcolor(self._dress.theme.sunk))
        if step is not None:
            frame = self._film_image()
            if frame is not None and step.path is not None:
                painter.drawImage(_film_rect(area, frame.size()), frame)
            painter.drawImage(area, self._overlay_of(step, area))
        self._paint_line(painter, area)
        painter.end()

    def _film_image(self) -> QImage | None:
        """Return the newest film frame as an image, its array kept."""
        frame = self._preview.frame
        if frame is None:
            return None
        if self._film is None or self._film[0] is not frame:
            whole = frame if frame.flags.writeable else frame.copy()
            self._film = (frame, image_over(np.ascontiguousarray(whole)).copy())
        return self._film[1]

    def _overlay_of(self, step: PlannedStep, area: QRectF) -> QImage:
        """Return marks and caption, or the title card, painted once for a step and size."""
        ratio = self.devicePixelRatioF()
        size = (max(round(area.width() * ratio), 2), max(round(area.height() * ratio), 2))
        frame = self._preview.frame
        marks = self._preview.marks()
        key = (step, size, None if frame is None else frame.shape, marks)
        kept = self._overlay
        if kept is not None and kept[0] == key:
            return kept[2]
        plan = self._preview.plan
        if step.kind == "card":
            pixels = title_card(step.title, (plan.name if plan else "",), size)
        else:
            pixels = self._drawn(step, size, marks)
        image = image_over(pixels)
        self._overlay = (key, pixels, image)
        return image

    def _drawn(
        self, step: PlannedStep, size: tuple[int, int], marks: Sequence[Mark]
    ) -> NDArray[np.uint8]:
        pixels = np.zeros((size[1], size[0], 4), np.uint8)
        plan, frame = self._preview.plan, self._preview.frame
        if plan is not None and frame is not None and marks:
            film = (frame.shape[1], frame.shape[0])
            left, top, width, height = film_area(film, size)
            part = pixels[top : top + height, left : left + width]
            scale = width / film[0]
            shapes = marks_shapes(marks, size_px=film, label=plan.name_on, right=plan.right)
            paint(part, shapes, scale=scale)
        paint(pixels, caption_shapes(step.caption, size))
        return pixels

    def _paint_line(self, painter: QPainter, area: QRectF) -> None:
        """Paint the reel as one line: its pieces, and where it is."""
        plan, count = self._preview.plan, self._preview.frame_count
        if plan is None or not count:
            return
        theme, y = self._dress.theme, area.bottom() + 10
        left, length = area.x() + _INSET_PX, area.width() - 2 * _INSET_PX
        painter.setPen(Qt.PenStyle.NoPen)
        for step in plan.steps:
            x = left + length * step.first_frame / count
            wide = length * step.frame_count / count
            colour = theme.hairline if step.kind == "card" else theme.pressed
            painter.setBrush(as_qcolor(colour))
            painter.drawRect(QRectF(x + 0.5, y - 2, max(wide - 1, 0.5), 4))
        painter.setBrush(as_qcolor(theme.accent))
        x = left + length * self._preview.at / max(count - 1, 1)
        painter.drawEllipse(QPointF(x, y), 5, 5)

    # ------------------------------------------------------------------ touch

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Go where the line is touched; a touch on the picture plays or stops."""
        if event is None or event.button() != Qt.MouseButton.LeftButton:
            return
        if event.position().y() > self.picture_rect().bottom():
            self.stop()
            self._go_to(event.position().x())
        else:
            self.play_or_stop()

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:
        """Go along the line."""
        if event is not None and event.position().y() > self.picture_rect().bottom() - 30:
            self.stop()
            self._go_to(event.position().x())

    def _go_to(self, x: float) -> None:
        area = self.picture_rect()
        share = (x - area.x() - _INSET_PX) / max(area.width() - 2 * _INSET_PX, 1)
        self._preview.go(round(share * (self._preview.frame_count - 1)))


def _film_rect(area: QRectF, film: QSize) -> QRectF:
    """Return where film of another shape stands in the picture."""
    scale = min(area.width() / film.width(), area.height() / film.height())
    wide, high = film.width() * scale, film.height() * scale
    return QRectF(
        area.x() + (area.width() - wide) / 2, area.y() + (area.height() - high) / 2, wide, high
    )
