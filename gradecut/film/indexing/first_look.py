"""A look at the first pictures: what the film is, and whether its packets keep their word."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from os import PathLike

import av
import numpy as np
from av.video.stream import VideoStream

from gradecut.errors import FilmError
from gradecut.film.decoding.packets import VideoPacket
from gradecut.film.decoding.picture import displayed_size, is_full_range, turning_of
from gradecut.film.indexing.frame_index import FrameIndex, StreamFacts
from gradecut.film.opening import NO_FILM, check_size

__all__ = ["FirstLook"]

_ENOUGH = 4
"""Pictures that came as promised; fields stored as packets break the promise at the second."""
_MOST_PACKETS = 64
"""Packets decoded to see them, unless not one picture has come."""
_TOP_FIRST = {2: True, 3: False, 4: False, 5: True}
"""Whether the top field is shown first, by FFmpeg's AVFieldOrder (TT, BB, TB, BT)."""


class FirstLook:
    """Decodes the first pictures while the packets go by.

    Attributes
    ----------
    times : list of (int or None)
        The timestamp of each picture, in the order they came.
    """

    def __init__(self, stream: VideoStream) -> None:
        self.times: list[int | None] = []
        self._context = stream.codec_context
        self._context.thread_count = 1
        self._first: av.VideoFrame | None = None
        self._interlaced = False
        self._clean = True
        self._over = False

    def see(self, place: int, packet: VideoPacket) -> None:
        """Decode a packet, as long as more is to be seen."""
        if self._over:
            return
        if packet.is_corrupt:
            self._clean = False
        self._take(packet)
        seen = len(self.times)
        self._over = seen >= _ENOUGH or (seen > 0 and place >= _MOST_PACKETS)

    def end(self) -> None:
        """Take what the decoder still holds, when the film ended before enough was seen."""
        if not self._over:
            self._take(None)

    def _take(self, packet: VideoPacket | None) -> None:
        try:
            pictures = self._context.decode(packet)
        except (av.FFmpegError, OSError, ValueError):
            self._clean = False
            return
        for picture in pictures:
            if picture.is_corrupt:
                self._clean = False
            self._interlaced |= picture.interlaced_frame
            self.times.append(picture.pts)
            if self._first is None:
                self._first = picture

    def keeps_word(self, index: FrameIndex) -> bool:
        """Whether the pictures that came are frames of an index, in a row, at its times.

        Damage excuses everything: then nothing can be learned.
        """
        if not self._clean:
            return True
        before: int | None = None
        for pts in self.times:
            if pts is None:
                return False
            if pts < int(index.pts[0]):
                continue  # Shown before the film begins: an edit list or a first key hides it.
            number = int(np.searchsorted(index.pts, pts))
            if number == len(index) or int(index.pts[number]) != pts:
                return False
            if before is not None and number != before + 1:
                return False
            before = number
        return True

    def completed(
        self, path: str | PathLike[str], facts: StreamFacts, aspect: Fraction | None
    ) -> StreamFacts:
        """Complete the facts from the first picture.

        Raises
        ------
        FilmError
            When none came, or its size is absurd.
        """
        picture = self._first
        if picture is None:
            raise FilmError(path, f"no frame of it can be decoded, so {NO_FILM}.")
        turns, mirrored = turning_of(picture)
        width, height = displayed_size(picture.width, picture.height, aspect, turns)
        check_size(path, width, height)
        return replace(
            facts,
            pixel_format=picture.format.name,
            coded_width_px=picture.width,
            coded_height_px=picture.height,
            width_px=width,
            height_px=height,
            quarter_turns=turns,
            mirrored=mirrored,
            matrix=int(picture.colorspace),
            primaries=int(picture.color_primaries),
            transfer=int(picture.color_trc),
            full_range=is_full_range(picture),
            interlaced=self._interlaced,
            top_field_first=_TOP_FIRST.get(self._context.field_order) if self._interlaced else None,
            pixel_aspect=aspect or Fraction(1),
        )
