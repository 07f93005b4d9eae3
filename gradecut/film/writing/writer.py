"""Film out: H.264 that browsers and phones play, whole or not at all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from os import PathLike

import av
import numpy as np
from numpy.typing import NDArray

from gradecut.errors import OutputError
from gradecut.film.writing._belt import hand_over
from gradecut.film.writing._clock import Clock
from gradecut.film.writing._encoding import SOUND_HZ, Encoding, Shown, encode
from gradecut.film.writing.bt709 import Picture, bytes_of
from gradecut.film.writing.unfinished import unfinished_film
from gradecut.progress import CancelToken, Progress, silent

__all__ = ["write_film"]


def write_film(
    path: str | PathLike[str],
    frames: Iterable[Picture],
    *,
    rate: Fraction,
    times_s: Iterable[Fraction] | None = None,
    sound: Iterable[NDArray[np.float32]] | None = None,
    quality: int = 21,
    preset: str = "medium",
    keyframe_every: int = 60,
    threads: int = 0,
    progress: Progress = silent,
    total: int | None = None,
    cancel: CancelToken | None = None,
) -> None:
    """Write frames as an H.264 film that browsers, phones and slide programs play.

    The film is MP4 with its index first, H.264 High, 8-bit 4:2:0, converted to BT.709
    limited range (ITU-R BT.709) and tagged so. It appears whole or not at all. For the same
    frames, sound and settings it comes out the same, byte for byte, as long as the number of
    encoder threads and the libraries are the same: name ``threads`` where that matters, for 0
    follows the machine.

    Frames are asked for in the calling thread while another encodes, so that two cores work.

    Parameters
    ----------
    path : path
        Where the film goes; its folder is made if need be.
    frames : iterable of (H, W, 3) uint8 arrays or av.VideoFrame
        RGB, row 0 at the top, or pictures as a decoder gave them (whose colour is then
        converted straight, or left alone when it is BT.709 already); all of one size. H.264
        4:2:0 needs even sizes: an odd one is padded by repeating its last row or column.
    rate : Fraction
        Frames a second. With ``times_s`` it only says how long the last frame stands.
    times_s : iterable of Fraction, optional
        When each frame begins, in seconds from 0, rising, one for each frame: the film
        then has a variable rate. Times are exact when their common denominator is at most
        1,000,000, otherwise rounded to 1/90,000 s.
    sound : iterable of (N, 2) float32 arrays, optional
        What is heard, at 48,000 Hz, full scale -1 to 1, in pieces of any length, from the
        first frame on: AAC-LC, in step to the sample. It is asked for as the frames need it;
        what is missing at the end is silent, what is left over is dropped.
    quality : int
        The encoder's constant-quality setting (crf), 1 to 51: 18 very good, 51 worst.
        (0 would be lossless, which phones don't play.)
    preset : str
        The encoder's preset: slower makes smaller films.
    keyframe_every : int
        At most this many frames from one frame that stands alone to the next.
    threads : int
        Encoder threads; 0 lets the encoder choose by the number of cores.
    progress : Progress
        Told the share done when ``total`` is known, otherwise only the words.
    total : int, optional
        How many frames will come.
    cancel : CancelToken, optional
        Checked before each frame.

    Raises
    ------
    OutputError
        When there are no frames or the film can't be written; nothing is left behind.
    Cancelled
        When asked to stop; nothing is left behind.
    ValueError
        For a frame of another shape, size or type, a rate or quality out of range, or times
        that don't begin at 0, don't rise or don't match the frames in number.
    """
    if not 1 <= quality <= 51:
        raise ValueError(f"Quality goes from 1 to 51, not {quality}.")
    if rate <= 0:
        raise ValueError(f"A rate is a positive number of frames a second, not {rate}.")
    clock = Clock.steady(rate) if times_s is None else Clock.of_times(list(times_s), rate)
    how = Encoding(
        tick_s=clock.tick_s, rate=rate, threads=threads, sound=sound is not None,
        options={
            "crf": str(quality), "preset": preset, "g": str(keyframe_every),
            # Captions hidden in the film's own pictures belong to its own times.
            "a53cc": "0",
        },
    )  # fmt: skip
    told = _told(frames, progress, total, cancel)
    with unfinished_film(path) as draft:
        try:
            count = hand_over(
                _shown(told, clock, None if sound is None else _Heard(sound)),
                lambda pictures: encode(str(draft), pictures, how),
                bytes_of=lambda shown: bytes_of(shown.picture),
            )
        except av.FFmpegError as error:
            raise OutputError(
                path, f"the film could not be written ({(error.strerror or '').lower()}); free "
                "some space or choose another folder."
            ) from error  # fmt: skip
        if not count:
            raise OutputError(path, "there are no frames to write; choose at least one.")
    progress(1.0, "Film written")


def _told(
    frames: Iterable[Picture],
    progress: Progress,
    total: int | None,
    cancel: CancelToken | None,
) -> Iterator[Picture]:
    """Pass frames on, telling how far they are and stopping when asked."""
    for number, frame in enumerate(frames):
        if cancel is not None:
            cancel.check("Writing the film")
        if total:
            progress(min(number / total, 1.0), f"Writing frame {number + 1} of {total}")
        else:
            progress(0.0, f"Writing frame {number + 1}")
        yield frame


def _shown(frames: Iterator[Picture], clock: Clock, heard: _Heard | None) -> Iterator[Shown]:
    """Give every frame its time and the sound that goes with it."""
    count = 0
    for number, picture in enumerate(frames):
        start, length = clock.span(number)
        until = round((start + length) * clock.tick_s * SOUND_HZ)
        yield Shown(
            picture=picture, start=start, length=length,
            heard=None if heard is None else heard.up_to(until),
        )  # fmt: skip
        count += 1
    clock.check_count(count)


class _Heard:
    """Sound that comes in pieces, given out by the sample; silent once it has ended."""

    def __init__(self, pieces: Iterable[NDArray[np.float32]]) -> None:
        self._pieces = iter(pieces)
        self._piece: NDArray[np.float32] = np.zeros((0, 2), np.float32)
        self._given = 0

    def up_to(self, until: int) -> NDArray[np.float32]:
        """Return the (N, 2) samples from where it stands up to a sample, counted from 0."""
        parts = []
        missing = until - self._given
        while missing > 0:
            if not len(self._piece):
                following = next(self._pieces, None)
                if following is None:
                    parts.append(np.zeros((missing, 2), np.float32))
                    break
                self._piece = _checked(following)
            part = self._piece[:missing]
            parts.append(part)
            self._piece = self._piece[len(part) :]
            missing -= len(part)
        self._given = until
        return np.concatenate(parts) if parts else np.zeros((0, 2), np.float32)


def _checked(piece: NDArray[np.float32]) -> NDArray[np.float32]:
    """Refuse sound of another shape."""
    if piece.ndim != 2 or piece.shape[1] != 2 or piece.dtype != np.float32:
        raise ValueError(f"Sound is an (N, 2) float32 array, not {piece.shape} of {piece.dtype}.")
    return piece
