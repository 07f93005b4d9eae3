"""Pictures made ready to be written: 8-bit 4:2:0, BT.709, limited range."""

from __future__ import annotations

from typing import TypeAlias

import av
import numpy as np
from av.filter import Graph
from av.video.frame import PictureType
from av.video.reformatter import (
    ColorPrimaries,
    ColorRange,
    Colorspace,
    ColorTrc,
    Interpolation,
    VideoReformatter,
)
from numpy.typing import NDArray

from gradecut.film.decoding.picture import is_full_range, matrix_of

__all__ = ["Bt709Maker", "Picture", "bytes_of", "size_of"]

Picture: TypeAlias = "NDArray[np.uint8] | av.VideoFrame"
"""An (H, W, 3) uint8 RGB array, row 0 at the top, or a picture as a decoder gave it."""

_FORMAT = "yuv420p"


class Bt709Maker:
    """Turns RGB arrays and decoded pictures into pictures of ITU-R BT.709, limited range.

    A decoded picture never goes through RGB: its own matrix and range are converted
    straight, read as players read them (untagged HD as BT.709, smaller film as BT.601). One
    that is BT.709 already is passed on without copying it.
    """

    def __init__(self) -> None:
        self._reformatter = VideoReformatter()
        self._passages: dict[tuple[int, ...], Graph] = {}

    def made(self, source: Picture, size_px: tuple[int, int] | None = None) -> av.VideoFrame:
        """Return a picture to write, the caller's own in all but its pixels.

        Parameters
        ----------
        source : (H, W, 3) uint8 array or av.VideoFrame
            It stays as it is.
        size_px : (width, height), optional
            Both even: scaled to that. Left out: the source's own size, an odd side made even
            by repeating the last row or column.

        Returns
        -------
        av.VideoFrame
            yuv420p, tagged BT.709 and limited range, without time or type. Its pixels may be
            the source's; call ``make_writable`` before painting on it.

        Raises
        ------
        ValueError
            For an array of another shape or type.
        av.FFmpegError
            When the pixel format can't be converted.
        """
        width, height = size_of(source)
        if not isinstance(source, av.VideoFrame):
            made = self._of_array(source, size_px)
        elif size_px is None and (width % 2 or height % 2):
            made = self._of_array(self._as_array(source), None)
        else:
            made = self._of_picture(source, size_px or (width, height))
        made.colorspace = Colorspace.ITU709
        made.color_range = ColorRange.MPEG
        made.color_primaries = ColorPrimaries.BT709
        made.color_trc = ColorTrc.BT709
        # An encoder takes the type a picture had in its film as an order.
        made.pict_type = PictureType.NONE
        made.pts = None
        return made

    def _of_picture(self, source: av.VideoFrame, size_px: tuple[int, int]) -> av.VideoFrame:
        made = self._reformatter.reformat(
            source,
            width=size_px[0],
            height=size_px[1],
            format=_FORMAT,
            src_colorspace=matrix_of(source),
            src_color_range=ColorRange.JPEG if is_full_range(source) else ColorRange.MPEG,
            dst_colorspace=Colorspace.ITU709,
            dst_color_range=ColorRange.MPEG,
            interpolation=Interpolation.BICUBIC | Interpolation.ACCURATE_RND,
            threads=1,
        )
        return self._passed_on(made) if made is source else made

    def _of_array(self, array: NDArray[np.uint8], size_px: tuple[int, int] | None) -> av.VideoFrame:
        width, height = size_px or (None, None)
        return self._reformatter.reformat(
            av.VideoFrame.from_ndarray(_made_even(array), format="rgb24"),
            width=width,
            height=height,
            format=_FORMAT,
            dst_colorspace=Colorspace.ITU709,
            src_color_range=ColorRange.JPEG,
            dst_color_range=ColorRange.MPEG,
            threads=1,
        )

    def _as_array(self, source: av.VideoFrame) -> NDArray[np.uint8]:
        flat = self._reformatter.reformat(
            source,
            format="rgb24",
            src_colorspace=matrix_of(source),
            src_color_range=ColorRange.JPEG if is_full_range(source) else ColorRange.MPEG,
            dst_color_range=ColorRange.JPEG,
            threads=1,
        )
        return flat.to_ndarray().astype(np.uint8, copy=False)

    def _passed_on(self, source: av.VideoFrame) -> av.VideoFrame:
        """Return another handle on the same pixels, so that its tags can be set."""
        kind = (source.width, source.height, source.colorspace, source.color_range)
        passage = self._passages.get(kind)
        if passage is None:
            passage = self._passages[kind] = _passage(*kind)
        passage.push(source)
        made = passage.pull()
        assert isinstance(made, av.VideoFrame)
        return made


def size_of(source: Picture) -> tuple[int, int]:
    """Return (width, height) in pixels, or refuse an array of another shape or type."""
    if isinstance(source, av.VideoFrame):
        return source.width, source.height
    if source.ndim != 3 or source.shape[2] != 3 or source.dtype != np.uint8 or not source.size:
        raise ValueError(
            f"A frame is an (H, W, 3) uint8 array, not {source.shape} of {source.dtype}."
        )
    return source.shape[1], source.shape[0]


def bytes_of(source: Picture) -> int:
    """Return how much memory a picture takes."""
    if isinstance(source, av.VideoFrame):
        return sum(plane.buffer_size for plane in source.planes)
    return source.nbytes


def _passage(width: int, height: int, matrix: int, colour_range: int) -> Graph:
    """Make a chain of filters that changes nothing."""
    graph = Graph()
    entry = graph.add(
        "buffer",
        video_size=f"{width}x{height}",
        pix_fmt=_FORMAT,
        time_base="1/1",
        pixel_aspect="1/1",
        colorspace=str(matrix),
        range=str(colour_range),
    )
    way_out = graph.add("buffersink")
    entry.link_to(way_out)
    graph.configure()
    return graph


def _made_even(array: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Repeat the last row or column of an odd size."""
    height, width = array.shape[:2]
    if height % 2 or width % 2:
        array = np.pad(array, ((0, height % 2), (0, width % 2), (0, 0)), mode="edge")
    return np.ascontiguousarray(array)
