"""Small pictures of looks: the offence in X's and O's, painted when they are first seen."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtGui import QImage

from gradecut.app.painted import image_over
from gradecut.app.theme import Dress
from gradecut.drawing import look_shapes, paint
from gradecut.scheme import Value
from gradecut.workflows.look_pictures import look_picture

__all__ = ["PICTURE_EDGE_PX", "PICTURE_PX", "GridPictures"]

PICTURE_PX = (144, 52)
PICTURE_EDGE_PX = 3
"""Free at its left, before the line of scrimmage begins."""
_UNIT_PX = 14.8
"""From one lineman to the next."""
_WHOLE = (11.3, 7.7)
"""Of the whole picture, in linemen: as wide as it is drawn, and as high."""
_ABOVE_LINE = 0.5
_BELOW_LINE = 3.05
"""What is shown of it above and below the line of scrimmage; men stand above, and are not drawn."""
_MOST = 600

_Key = tuple[tuple[tuple[str, Value], ...], str, float]


class GridPictures:
    """Paints the lower half of the picture of a look, where the offence is; keeps the newest."""

    def __init__(self, dress: Dress) -> None:
        self._dress = dress
        self._kept: OrderedDict[_Key, tuple[QImage, NDArray[np.uint8]]] = OrderedDict()

    def picture(self, look: Mapping[str, Value], ratio: float) -> QImage:
        """Return a look of PICTURE_PX in size, for a device pixel ratio."""
        key = (tuple(look.items()), self._dress.theme.name, ratio)
        found = self._kept.get(key)
        if found is None:
            found = self._paint(look, ratio)
            self._kept[key] = found
            if len(self._kept) > _MOST:
                self._kept.popitem(last=False)
        else:
            self._kept.move_to_end(key)
        return found[0]

    def _paint(self, look: Mapping[str, Value], ratio: float) -> tuple[QImage, NDArray[np.uint8]]:
        wide, high = (measure * _UNIT_PX for measure in _WHOLE)
        drawn = look_shapes(
            look_picture(look), size_px=(wide, high), palette=self._dress.theme.drawn
        )
        whole = np.zeros((round(high * ratio), round(wide * ratio), 4), np.uint8)
        paint(whole, drawn.shapes, scale=ratio)
        left = max((whole.shape[1] - round(PICTURE_PX[0] * ratio)) // 2, 0)
        top = round((high - (_BELOW_LINE + _ABOVE_LINE) * _UNIT_PX) * ratio)
        shown = np.ascontiguousarray(
            whole[
                top : top + round(PICTURE_PX[1] * ratio), left : left + round(PICTURE_PX[0] * ratio)
            ]
        )
        image = image_over(shown)
        image.setDevicePixelRatio(ratio)
        return image, shown
