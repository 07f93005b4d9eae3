"""Stills of film for a page: one frame with its marks, cut to where he is, as JPEG."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.drawing import mark_at, marks_shapes, paint, scaled_mark
from gradecut.errors import FilmError
from gradecut.film import Film
from gradecut.records import Mark
from gradecut.timebase import Pts

__all__ = ["DrawnStill", "draw_still"]

_WIDTH_PX = 1100
"""On paper a still is about 90 mm wide: so it has 300 dots to the inch."""
_QUALITY = 82
_MARKED_PX = 1000.0
"""Marks are drawn as on film this high, so that they read on paper."""
_PART, _ROOM = 0.62, 1.5
"""Least share of the film's width kept around his marks, and the room kept around them."""
_EDGE = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnStill:
    """A still, ready to be put on a page.

    Attributes
    ----------
    jpeg : bytes
    size_px : (width, height)
    """

    jpeg: bytes
    size_px: tuple[int, int]


def draw_still(
    film: Film,
    pts: Pts,
    marks: Sequence[Mark] = (),
    *,
    around: Sequence[tuple[float, float]] = (),
    who: str = "",
    right: bool | None = None,
) -> DrawnStill:
    """Draw the frame at a timestamp, with marks on it.

    Parameters
    ----------
    marks : sequence of Mark
        Painted as they stand at that timestamp.
    around : sequence of (x, y)
        Where he is in the film, in pixels as displayed; the still is cut to the part around
        these. Empty: the whole frame.
    who : str
        Put under a bracket that has no words of its own, where no arrow or path leaves it.
    right : bool or None
        Whether he was graded right: his marks then stand in the hue of right.

    Raises
    ------
    FilmError
        When the frame can't be decoded.
    """
    shown = film.frame(film.frame_at_pts(pts))
    left, top, width, height = _part(around, (film.width, film.height))
    scale = _WIDTH_PX / width
    size_px = (_WIDTH_PX, max(round(height * scale), 1))
    picture = cv2.resize(
        shown[top : top + height, left : left + width], size_px,
        interpolation=cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC,
    )  # fmt: skip
    origin_px = (-left * scale, -top * scale)
    moved = [scaled_mark(mark_at(mark, pts), (scale, scale), origin_px) for mark in marks]
    painted = np.ascontiguousarray(picture, np.uint8)
    leaves = any(mark.kind in ("arrow", "path") for mark in moved)
    paint(
        painted,
        marks_shapes(
            moved, size_px=(size_px[0], round(_MARKED_PX)),
            label=lambda mark: _name(mark, "" if leaves else who),
            right=lambda mark: right if mark.rep_id else None,
        ),
    )  # fmt: skip
    return DrawnStill(jpeg=_encoded(painted, film), size_px=size_px)


def _name(mark: Mark, who: str) -> str | None:
    """Return what a mark is labelled with in the place of its own words; None to keep them."""
    return who if mark.kind == "bracket" and mark.rep_id and not mark.text else None


def _part(
    around: Sequence[tuple[float, float]], size_px: tuple[int, int]
) -> tuple[int, int, int, int]:
    """Return the part of a frame around some points: left, top, width, height, in its shape."""
    wide, high = size_px
    if not around:
        return 0, 0, wide, high
    xs, ys = [x for x, _ in around], [y for _, y in around]
    needed = max(
        _PART,
        _ROOM * (max(xs) - min(xs) + _EDGE) / wide,
        _ROOM * (max(ys) - min(ys) + _EDGE) / high,
    )
    share = min(needed, 1.0)
    width, height = round(wide * share), round(high * share)
    left = round((max(xs) + min(xs)) / 2 - width / 2)
    top = round((max(ys) + min(ys)) / 2 - height / 2)
    return min(max(left, 0), wide - width), min(max(top, 0), high - height), width, height


def _encoded(picture: NDArray[np.uint8], film: Film) -> bytes:
    done, written = cv2.imencode(
        ".jpg", cv2.cvtColor(picture, cv2.COLOR_RGB2BGR), [cv2.IMWRITE_JPEG_QUALITY, _QUALITY]
    )
    if not done:
        raise FilmError(film.path, "a still of it can't be made; try another frame.")
    return bytes(written)
