"""The large picture on the sheet where a recording is cut."""

from __future__ import annotations

from PyQt6.QtCore import QRectF, Qt
from PyQt6.QtGui import QImage, QPainter, QPaintEvent
from PyQt6.QtWidgets import QSizePolicy

from gradecut.app.cutting_scale import clock
from gradecut.app.film_image import screen_image
from gradecut.app.theme import Dress, as_qcolor
from gradecut.app.touch_area import TouchArea, set_words, words_width
from gradecut.desk.cutting_desk import CuttingDesk

__all__ = ["CuttingPicture"]


class CuttingPicture(TouchArea):
    """The frame looked at, as large as there is room."""

    def __init__(self, desk: CuttingDesk, dress: Dress) -> None:
        super().__init__(dress)
        self._desk = desk
        self._image: QImage | None = None
        self.setMinimumSize(180, 101)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("The frame looked at")
        desk.pictured.connect(self._take)
        desk.moved.connect(self.renew)

    def _take(self) -> None:
        pixels = self._desk.picture
        self._image = None if pixels is None else screen_image(pixels)
        self.update()

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint the frame, and when it is."""
        self.spots = []
        painter = self.painter()
        area = QRectF(self.rect())
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(as_qcolor(self.theme.sunk))
        painter.drawRoundedRect(area, 5, 5)
        if self._image is None:
            opening = "Opening the recording …" if self._desk.facts is None else ""
            said = self._desk.fault or opening
            set_words(painter, area, said, self.theme.quiet, anchor="centre")
        else:
            painter.setRenderHint(painter.RenderHint.SmoothPixmapTransform)
            size = self._image.size().scaled(self.rect().size(), Qt.AspectRatioMode.KeepAspectRatio)
            goal = QRectF(0, 0, size.width(), size.height())
            goal.moveCenter(area.center())
            painter.drawImage(goal, self._image)
            self._paint_place(painter, goal)
        painter.end()

    def _paint_place(self, painter: QPainter, goal: QRectF) -> None:
        """Tell in a corner of the picture when it is, and which frame."""
        told = f"{clock(self._desk.time_s())} · frame {self._desk.frame}"
        wide = words_width(painter, told, size="small") + 20
        place = QRectF(goal.left() + 10, goal.bottom() - 32, wide, 22)
        ground = as_qcolor(self.theme.ground)
        ground.setAlphaF(0.82)
        painter.setBrush(ground)
        painter.drawRoundedRect(place, 4, 4)
        set_words(painter, place, told, self.theme.ink, size="small", anchor="centre")
