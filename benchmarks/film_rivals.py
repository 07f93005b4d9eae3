"""What a user would read film with instead, each behind the same two calls."""

from __future__ import annotations

from bisect import bisect_right
from pathlib import Path
from typing import Any, Protocol

import av
import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.film import open_film

__all__ = ["READERS", "Limit", "Reader"]


class Reader(Protocol):
    """A film, opened by somebody."""

    def __init__(self, path: Path) -> None: ...

    def frame(self, number: int) -> NDArray[np.uint8]:
        """Return a frame as RGB."""

    def close(self) -> None:
        """Let go of the film."""


class Gradecut:
    """Our own reader."""

    def __init__(self, path: Path) -> None:
        self._film = open_film(path)

    def frame(self, number: int) -> NDArray[np.uint8]:
        return self._film.frame(number)

    def close(self) -> None:
        self._film.close()


class OpenCV:
    """OpenCV's reader, sought by frame number."""

    def __init__(self, path: Path) -> None:
        self._film = cv2.VideoCapture(str(path))
        self._next = 0

    def frame(self, number: int) -> NDArray[np.uint8]:
        if number != self._next:
            self._film.set(cv2.CAP_PROP_POS_FRAMES, number)
        came, picture = self._film.read()
        self._next = number + 1
        if not came:
            raise ValueError("no picture came")
        return cv2.cvtColor(picture, cv2.COLOR_BGR2RGB).astype(np.uint8, copy=False)

    def close(self) -> None:
        self._film.release()


class Torchcodec:
    """torchcodec's decoder with an exact index."""

    def __init__(self, path: Path) -> None:
        from torchcodec.decoders import VideoDecoder

        self._film = VideoDecoder(str(path), seek_mode="exact", dimension_order="NHWC")

    def frame(self, number: int) -> NDArray[np.uint8]:
        picture: NDArray[np.uint8] = self._film[number].numpy()
        return picture

    def close(self) -> None:
        del self._film


class PlainPyAV:
    """PyAV as its own documents show it: seek back to a key, decode until the time is there."""

    def __init__(self, path: Path) -> None:
        self._film = av.open(str(path))
        self._stream = self._film.streams.video[0]
        self._stream.thread_type = "AUTO"
        assert self._stream.average_rate is not None
        assert self._stream.time_base is not None
        self._a_frame = 1 / (self._stream.average_rate * self._stream.time_base)
        self._pictures: Any = self._film.decode(self._stream)
        self._next = 0

    def frame(self, number: int) -> NDArray[np.uint8]:
        goal = round(number * self._a_frame) + (self._stream.start_time or 0)
        if number != self._next:
            self._film.seek(goal, stream=self._stream)
            self._pictures = self._film.decode(self._stream)
        self._next = number + 1
        for picture in self._pictures:
            if picture.pts is not None and picture.pts >= goal:
                return picture.to_ndarray(format="rgb24").astype(np.uint8, copy=False)
        raise ValueError("no picture came")

    def close(self) -> None:
        self._film.close()


class Limit:
    """The least a seek can cost: decode from the key to the frame, nothing else.

    It is told where the keys are, converts nothing and keeps nothing.
    """

    def __init__(self, path: Path) -> None:
        with av.open(str(path)) as film:
            packets = [p for p in film.demux(video=0) if p.size and p.pts is not None]
        self._pts = sorted(p.pts for p in packets if p.pts is not None)
        keys = [(p.pts or 0, p.dts or 0) for p in packets if p.is_keyframe]
        self._keys = sorted(keys)
        self._film = av.open(str(path))
        self._stream = self._film.streams.video[0]
        self._stream.thread_type = "AUTO"

    def group_of(self, number: int) -> tuple[int, int]:
        """Return first frame and length of a frame's group."""
        starts = [pts for pts, _ in self._keys]
        key = bisect_right(starts, self._pts[number]) - 1
        first = self._pts.index(starts[key])
        last = self._pts.index(starts[key + 1]) if key + 1 < len(starts) else len(self._pts)
        return first, last - first

    def frame(self, number: int) -> None:
        """Decode to a frame."""
        goal = self._pts[number]
        key = bisect_right(self._keys, (goal, 1 << 62)) - 1
        self._film.seek(self._keys[key][0], stream=self._stream)
        for picture in self._film.decode(self._stream):
            if picture.pts is not None and picture.pts >= goal:
                return
        raise ValueError("no picture came")

    def close(self) -> None:
        """Let go of the film."""
        self._film.close()


READERS: dict[str, type[Reader]] = {
    "gradecut": Gradecut,
    "OpenCV": OpenCV,
    "torchcodec": Torchcodec,
    "plain PyAV": PlainPyAV,
}
