"""From a decoded picture to what is displayed: colour, shape and turning."""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction
from typing import cast

import av
import numpy as np
from av.sidedata.sidedata import SideData
from av.video.reformatter import ColorRange, Colorspace, Interpolation, VideoReformatter
from numpy.typing import NDArray

from gradecut.film.indexing.frame_index import StreamFacts

__all__ = [
    "MATRIX_UNTOLD",
    "PictureMaker",
    "displayed_size",
    "is_full_range",
    "matrix_of",
    "turning_of",
]

MATRIX_UNTOLD = 2
"""MatrixCoefficients 2 of ITU-T H.273: unspecified."""

_HD_WIDTH_PX = 1280
_HD_HEIGHT_PX = 720


class PictureMaker:
    """Turns decoded pictures into RGB arrays as displayed.

    HD without a colour tag is read as BT.709 and smaller film as BT.601, as players do
    (common practice; decoders left alone read everything as BT.601).
    """

    def __init__(self, facts: StreamFacts) -> None:
        self._facts = facts
        self._reformatter = VideoReformatter()

    def rgb(self, picture: av.VideoFrame) -> NDArray[np.uint8]:
        """Return (H, W, 3) uint8 RGB, row 0 at the top, as displayed.

        Raises
        ------
        av.FFmpegError
            When the pixel format can't be converted.
        """
        facts = self._facts
        return self._made(picture, facts.width_px, facts.height_px, Interpolation.BILINEAR)

    def small_rgb(self, picture: av.VideoFrame, width_px: int) -> NDArray[np.uint8]:
        """Return (h, w, 3) uint8 RGB as displayed, ``width_px`` wide but never enlarged.

        Raises
        ------
        av.FFmpegError
            When the pixel format can't be converted.
        """
        facts = self._facts
        width = max(min(width_px, facts.width_px), 1)
        height = max(round(facts.height_px * width / facts.width_px), 1)
        # Means of areas: a third of the time of a finer filter, and nothing flickers.
        return self._made(picture, width, height, Interpolation.AREA)

    def _made(
        self, picture: av.VideoFrame, width: int, height: int, interpolation: Interpolation
    ) -> NDArray[np.uint8]:
        """Convert and scale in one pass, then turn."""
        facts = self._facts
        if facts.quarter_turns % 2:
            width, height = height, width
        flat = self._reformatter.reformat(
            picture,
            width=width,
            height=height,
            format="rgb24",
            interpolation=interpolation,
            src_colorspace=matrix_of(picture),
            src_color_range=ColorRange.JPEG if facts.full_range else ColorRange.MPEG,
            dst_color_range=ColorRange.JPEG,
            threads=1,
        )
        array: NDArray[np.uint8] = flat.to_ndarray().astype(np.uint8, copy=False)
        if facts.mirrored:
            array = array[:, ::-1]
        if facts.quarter_turns:
            array = np.rot90(array, -facts.quarter_turns)
        return np.ascontiguousarray(array)


def matrix_of(picture: av.VideoFrame) -> int | None:
    """Return the matrix to convert with; None to follow the picture's own tag."""
    if picture.colorspace != MATRIX_UNTOLD:
        return None
    hd = picture.width >= _HD_WIDTH_PX or picture.height >= _HD_HEIGHT_PX
    return Colorspace.ITU709 if hd else Colorspace.ITU601


def is_full_range(picture: av.VideoFrame) -> bool:
    """Whether luma uses all of 0 to 255."""
    return picture.color_range == ColorRange.JPEG or picture.format.name.startswith("yuvj")


def turning_of(picture: av.VideoFrame) -> tuple[int, bool]:
    """Return clockwise quarter turns to upright and whether to mirror first.

    The display matrix maps picture (p, q) to display (a p + c q, b p + d q)
    (ISO/IEC 14496-12, 6.2.2 and 8.3.2); angles between quarter turns go to the nearest.
    """
    for side in cast("Iterable[SideData]", picture.side_data):
        if side.type.name == "DISPLAYMATRIX":
            a, b, _, c, d = np.frombuffer(bytes(side), dtype=np.int32)[:5].astype(float)
            mirrored = a * d - b * c < 0
            if mirrored:
                a, b = -a, -b
            if a == 0 and b == 0:
                return 0, False
            return round(math.atan2(b, a) / (math.pi / 2)) % 4, bool(mirrored)
    return 0, False


def displayed_size(
    width_px: int, height_px: int, aspect: Fraction | None, quarter_turns: int
) -> tuple[int, int]:
    """Return (width, height) as displayed: widened by the sample aspect, then turned.

    >>> displayed_size(1440, 1080, Fraction(4, 3), 0)
    (1920, 1080)
    """
    if aspect:
        width_px = max(round(width_px * aspect), 1)
    return (height_px, width_px) if quarter_turns % 2 else (width_px, height_px)
