"""Small copies of pictures: quick to show while a key is held, close enough to read."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeAlias

import numpy as np
from numpy.typing import NDArray

from gradecut.film.decoding.frame_cache import Store

if TYPE_CHECKING:
    import av

    from gradecut.film.decoding.picture import PictureMaker

__all__ = ["CopyStore", "enlarge", "rough_size", "shrink", "small_width"]

_MOST_SIDE_PX = 960
_MOST_ROUGH_SIDE_PX = 1920
"""Enlarged to more, a copy shows no more, and is not there within a beat of a held key."""

_QUALITY = 75
"""Of JPEG: a number on a jersey can still be read."""

CopyStore: TypeAlias = Store[bytes]


def small_width(width_px: int, height_px: int) -> int:
    """Return how wide a small copy is: half the film, or less on its long side.

    >>> small_width(1920, 1080), small_width(3840, 2160), small_width(2160, 3840)
    (960, 960, 540)
    """
    return max(round(width_px * min(0.5, _MOST_SIDE_PX / max(width_px, height_px))), 1)


def shrink(maker: PictureMaker, picture: av.VideoFrame, width_px: int) -> bytes | None:
    """Return a picture's small copy as JPEG; None for a kind of picture we can't show."""
    import av
    import cv2

    try:
        small = maker.small_rgb(picture, width_px)
    except (av.FFmpegError, ValueError):
        return None
    turned = cv2.cvtColor(small, cv2.COLOR_RGB2BGR)
    _, packed = cv2.imencode(".jpg", turned, [cv2.IMWRITE_JPEG_QUALITY, _QUALITY])
    return packed.tobytes()


def rough_size(width_px: int, height_px: int) -> tuple[int, int]:
    """Return how wide and high a rough picture is: as the film, at most 1920 px on a side.

    >>> rough_size(1920, 1080), rough_size(3840, 2160), rough_size(2160, 3840)
    ((1920, 1080), (1920, 1080), (1080, 1920))
    """
    share = min(1.0, _MOST_ROUGH_SIDE_PX / max(width_px, height_px))
    return max(round(width_px * share), 1), max(round(height_px * share), 1)


def enlarge(packed: bytes, width_px: int, height_px: int) -> NDArray[np.uint8]:
    """Return a small copy as an (h, w, 3) uint8 RGB array of the film's displayed shape.

    Parameters
    ----------
    packed : bytes
        What ``shrink`` made.
    width_px, height_px : int
        The film as displayed; w and h are its ``rough_size``.
    """
    import cv2

    small = np.asarray(cv2.imdecode(np.frombuffer(packed, np.uint8), cv2.IMREAD_COLOR_RGB))
    size = rough_size(width_px, height_px)
    large = cv2.resize(small, size, interpolation=cv2.INTER_LINEAR)
    return np.ascontiguousarray(large, np.uint8)
