"""One man cut out of a frame, with what is drawn at him: where he should be, where he went."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from gradecut.drawing import marks_at, marks_shapes, paint
from gradecut.records import Mark
from gradecut.timebase import Pts

__all__ = ["cut_to_man", "shown_best"]

_AROUND_PX, _ABOVE_PX = 46, 64
"""Left round the marks, and above them for the man who stands there, on film 720 pixels high."""
_LEAST_PX = 260
"""The least width of what is cut out, on such film: less would be a man without his place."""
_WIDE, _HIGH = 16, 9
_SIZE = 1.2
"""How large lines are: the picture is shown small."""


def shown_best(marks: Sequence[Mark]) -> tuple[str, Pts, tuple[Mark, ...]]:
    """Return the angle and the timestamp that show most of a man's marks, and those marks there.

    Of moments that show as many the first is taken, of angles the one drawn on first.

    Parameters
    ----------
    marks : sequence of Mark
        At least one.
    """
    moments = {(mark.angle_id, mark.from_pts): None for mark in marks}
    found = [
        (angle_id, pts, marks_at([mark for mark in marks if mark.angle_id == angle_id], pts))
        for angle_id, pts in moments
    ]
    return max(found, key=lambda one: len(one[2]))


def cut_to_man(
    frame: NDArray[np.uint8], marks: Sequence[Mark], *, right: bool | None
) -> NDArray[np.uint8]:
    """Draw a man's marks on a frame and cut out the part that holds them, 16 wide to 9 high.

    Parameters
    ----------
    frame : (H, W, 3) uint8 array
        RGB, as displayed; it is left as it is.
    marks : sequence of Mark
        Where they are on this frame; at least one.
    right : bool or None
        Whether he was graded right; None while he is not graded.

    Returns
    -------
    (h, w, 3) uint8 array
        Never more than the frame holds.
    """
    height, width = frame.shape[:2]
    drawn = frame.copy()
    size_px = (width, height)
    paint(drawn, marks_shapes(marks, size_px=size_px, right=lambda _: right, size=_SIZE))
    unit = height / 720
    points = np.array([point for mark in marks for point in mark.points])
    left, top = points.min(axis=0) - (_AROUND_PX * unit, _ABOVE_PX * unit)
    end, low = points.max(axis=0) + _AROUND_PX * unit
    wide = max(end - left, (low - top) * _WIDE / _HIGH, _LEAST_PX * unit)
    wide = round(min(wide, width, height * _WIDE / _HIGH))
    high = round(wide * _HIGH / _WIDE)
    x = round(min(max((left + end - wide) / 2, 0), width - wide))
    y = round(min(max((top + low - high) / 2, 0), height - high))
    return np.ascontiguousarray(drawn[y : y + high, x : x + wide])
