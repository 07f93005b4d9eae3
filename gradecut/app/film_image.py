"""A film's picture as Qt paints it soonest."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor
from typing import Any, cast

import cv2
import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QPointF, QRectF, QSizeF
from PyQt6.QtGui import QImage, QPainter

from gradecut.app.film_tone import Tone, toned
from gradecut.app.film_view import FilmView
from gradecut.app.painted import image_over

__all__ = ["FilmPicture", "PartPicture", "screen_image"]

_EDGE_PX = 2
"""So much more than is seen is turned, so that smooth scaling has its neighbours."""
_MUCH_SMALLER = 0.5


def screen_image(pixels: NDArray[np.uint8]) -> QImage:
    """Return a picture in the screen's own layout, with memory of its own.

    Turned to four bytes a pixel once, it is scaled in a third of the time at every painting.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        RGB.
    """
    if not (pixels.flags.writeable and pixels.flags.c_contiguous):
        pixels = np.array(pixels)
    return image_over(pixels).convertToFormat(QImage.Format.Format_RGB32)


@dataclass(frozen=True, slots=True)
class _Way:
    """How a picture is turned to the screen: which part, how often halved, to what size.

    Attributes
    ----------
    size : (width, height) or None
        In the screen's pixels; None where Qt scales it at every painting.
    """

    part: tuple[int, int, int, int]
    halvings: int
    size: tuple[int, int] | None
    tone: Tone


@dataclass(frozen=True, slots=True)
class _Turned:
    """A part of a picture as Qt paints it; ``memory`` is what the image lies over."""

    pixels: NDArray[np.uint8]
    way: _Way
    memory: NDArray[Any]
    image: QImage


class FilmPicture:
    """Paints a film's picture; only what is seen of it is turned, and only once.

    Film that is shown whole is kept in the screen's own pixels: it is painted again, as when
    a mark is drawn over it, in a fraction of a millisecond.
    """

    def __init__(self) -> None:
        self._now: _Turned | None = None

    def paint(
        self, painter: QPainter, pixels: NDArray[np.uint8], view: FilmView, tone: Tone
    ) -> None:
        """Paint what a view shows of a picture.

        Parameters
        ----------
        pixels : (H, W, 3) uint8 array
            RGB; a rough picture may have fewer pixels than the film. It stays as it is.
        tone : Tone
            How bright, and with how much contrast.
        """
        share = pixels.shape[1] / view.film.width()
        way = _way_of(pixels, view, tone, share)
        now = self._now
        if now is None or now.pixels is not pixels or now.way != way:
            now = self._now = _turn(pixels, way)
        on_screen = view.on_screen()
        painter.save()
        if way.size is not None:
            now.image.setDevicePixelRatio(view.ratio)
            painter.drawImage(QPointF(on_screen.dx(), on_screen.dy()), now.image)
        else:
            left, top, right, bottom = (edge / share for edge in way.part)
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.setTransform(on_screen)
            painter.drawImage(QRectF(left, top, right - left, bottom - top), now.image)
        painter.restore()


class PartPicture:
    """Paints a part of a film's picture enlarged; kept until part, size or tone change."""

    def __init__(self) -> None:
        self._key: tuple[object, ...] = ()
        self._pixels: NDArray[np.uint8] | None = None
        self._memory: NDArray[Any] | None = None
        self._image = QImage()

    def image(
        self, pixels: NDArray[np.uint8], view: FilmView, part: QRectF, size: QSizeF, tone: Tone
    ) -> QImage:
        """Return a part of a film's picture in the screen's own pixels.

        Parameters
        ----------
        pixels : (H, W, 3) uint8 array
            RGB; stays as it is.
        part : QRectF
            In film pixels; what lies outside the film is dark.
        size : QSizeF
            How large it is to be, in the window's pixels.
        """
        key = (part.getRect(), size.width(), size.height(), view.ratio, tone)
        if pixels is not self._pixels or key != self._key:
            self._pixels, self._key = pixels, key
            share = pixels.shape[1] / view.film.width()
            wide, high = (
                max(round(side * view.ratio), 1) for side in (size.width(), size.height())
            )
            step_x, step_y = part.width() * share / wide, part.height() * share / high
            # Both arrays name pixels by their centres.
            way = np.array(
                [
                    [step_x, 0, part.left() * share + step_x / 2 - 0.5],
                    [0, step_y, part.top() * share + step_y / 2 - 0.5],
                ]
            )
            flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
            cut = cv2.warpAffine(pixels, way, (wide, high), flags=flags)
            self._memory, self._image = _laid_out(toned(cut, tone))
        self._image.setDevicePixelRatio(view.ratio)
        return self._image


def _pixels_of(part: QRectF, share: float, pixels: NDArray[np.uint8]) -> tuple[int, int, int, int]:
    """Return left, top, right and bottom of a part of the film, in whole pixels of a picture."""
    high, wide = pixels.shape[:2]
    left = min(max(floor(part.left() * share) - _EDGE_PX, 0), wide - 1)
    top = min(max(floor(part.top() * share) - _EDGE_PX, 0), high - 1)
    right = max(min(ceil(part.right() * share) + _EDGE_PX, wide), left + 1)
    bottom = max(min(ceil(part.bottom() * share) + _EDGE_PX, high), top + 1)
    return left, top, right, bottom


def _way_of(pixels: NDArray[np.uint8], view: FilmView, tone: Tone, share: float) -> _Way:
    part = _pixels_of(view.seen(), share, pixels)
    halvings, scale = 0, view.scale * view.ratio / share
    while scale <= _MUCH_SMALLER:
        halvings, scale = halvings + 1, scale * 2
    if view.zoom > 1:
        return _Way(part, halvings, None, tone)
    wide, high = (
        side * view.scale * view.ratio for side in (view.film.width(), view.film.height())
    )
    return _Way(part, halvings, (max(round(wide), 1), max(round(high), 1)), tone)


def _turn(pixels: NDArray[np.uint8], way: _Way) -> _Turned:
    """Cut, scale, tone and lay out a part of a picture, the cheapest first."""
    left, top, right, bottom = way.part
    cut: NDArray[Any] = pixels[top:bottom, left:right]
    for _ in range(way.halvings):
        half = (max(cut.shape[1] // 2, 1), max(cut.shape[0] // 2, 1))
        cut = cv2.resize(cut, half, interpolation=cv2.INTER_AREA)
    if way.size is not None and way.size[0] < cut.shape[1]:
        cut = cv2.resize(cut, way.size, interpolation=cv2.INTER_LINEAR)
    shown: NDArray[Any] = toned(cut, way.tone)
    if way.size is not None and way.size != shown.shape[1::-1]:
        shown = cv2.resize(shown, way.size, interpolation=cv2.INTER_LINEAR)
    return _Turned(pixels, way, *_laid_out(shown))


def _laid_out(pixels: NDArray[Any]) -> tuple[NDArray[Any], QImage]:
    """Return a picture as Qt paints it soonest, and the memory the image lies over."""
    memory = cv2.cvtColor(pixels, cv2.COLOR_RGB2BGRA)
    high, wide = memory.shape[:2]
    form = QImage.Format.Format_RGB32
    return memory, QImage(cast("bytes", memory.data), wide, high, 4 * wide, form)
