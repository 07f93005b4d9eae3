"""Which part of a film a stage shows, how near, and where it lies on the screen."""

from __future__ import annotations

from PyQt6.QtCore import QPointF, QRectF, QSizeF
from PyQt6.QtGui import QTransform

__all__ = ["MOST_ZOOM", "FilmView"]

MOST_ZOOM = 12.0
_LEAST_SCALE = 1e-6
_FINER = -0.7
_FULL_PX, _LEAST_UNIT = 720.0, 0.62
"""Marks are sized for film this high; on the stage they are no smaller than this share."""


class FilmView:
    """A film fit to a stage, zoomed and panned; knows nothing of pictures.

    Attributes
    ----------
    film : QSizeF
        Of the film as displayed, in its pixels.
    room : QSizeF
        Of the stage, in the window's pixels.
    ratio : float
        Pixels of the screen for each of the window's.
    zoom : float
        1 shows the whole film.
    """

    def __init__(self) -> None:
        self.film = QSizeF(16, 9)
        self.room = QSizeF(16, 9)
        self.ratio = 1.0
        self.zoom = 1.0
        self._middle = QPointF(0.5, 0.5)

    def lay(self, film: tuple[float, float], room: tuple[float, float], ratio: float) -> None:
        """Take over the sizes of film and stage, and how fine the screen is."""
        self.film, self.room, self.ratio = QSizeF(*film), QSizeF(*room), ratio
        self._keep_inside()

    @property
    def scale(self) -> float:
        """Pixels of the window for each of the film."""
        fit = min(self.room.width() / self.film.width(), self.room.height() / self.film.height())
        return max(fit * self.zoom, _LEAST_SCALE)

    def on_screen(self) -> QTransform:
        """Return the way from film pixels to the window's; it begins on a pixel of the screen."""
        scale = self.scale
        left = self.room.width() / 2 - self._middle.x() * self.film.width() * scale
        top = self.room.height() / 2 - self._middle.y() * self.film.height() * scale
        ratio = self.ratio
        return QTransform(
            scale, 0, 0, scale, round(left * ratio) / ratio, round(top * ratio) / ratio
        )

    @property
    def mark_size(self) -> float:
        """How large marks are for the film, 1 as in a reel.

        On film shown small they stay readable; on film shown near they do not grow with it.
        """
        in_reel = self.scale * self.film.height() / _FULL_PX
        return max(float(self.zoom**_FINER), _LEAST_UNIT / in_reel)

    def film_point(self, at: QPointF) -> QPointF:
        """Return the film's pixel under a point of the stage."""
        back, _ = self.on_screen().inverted()
        return back.map(at)

    def seen(self) -> QRectF:
        """Return the part of the film that is on the stage, in film pixels."""
        back, _ = self.on_screen().inverted()
        whole = QRectF(QPointF(0, 0), self.film)
        return back.mapRect(QRectF(QPointF(0, 0), self.room)).intersected(whole)

    # ------------------------------------------------------------------ moving it

    def fit(self) -> None:
        """Show the whole film."""
        self.zoom, self._middle = 1.0, QPointF(0.5, 0.5)

    def zoom_by(self, factor: float, about: QPointF) -> None:
        """Zoom so that what lies under a point of the stage stays under it."""
        before = self.film_point(about)
        self.zoom = min(max(self.zoom * factor, 1.0), MOST_ZOOM)
        self._shift(before - self.film_point(about))

    def pan(self, before: QPointF, after: QPointF) -> None:
        """Move the film as a hand moves that holds it, from one point to another."""
        self._shift(self.film_point(before) - self.film_point(after))

    def _shift(self, by: QPointF) -> None:
        self._middle += QPointF(by.x() / self.film.width(), by.y() / self.film.height())
        self._keep_inside()

    def _keep_inside(self) -> None:
        """Let no more of the stage be empty than when the whole film is shown."""
        scale = self.scale
        half_x = min(self.room.width() / (2 * self.film.width() * scale), 0.5)
        half_y = min(self.room.height() / (2 * self.film.height() * scale), 0.5)
        self._middle = QPointF(
            min(max(self._middle.x(), half_x), 1 - half_x),
            min(max(self._middle.y(), half_y), 1 - half_y),
        )
