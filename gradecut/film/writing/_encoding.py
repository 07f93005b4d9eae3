"""Pictures and sound encoded into an MP4 that plays everywhere."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

import av
import numpy as np
from av.audio.frame import AudioFrame
from av.audio.stream import AudioStream
from av.container import OutputContainer
from av.video.reformatter import ColorPrimaries, ColorRange, Colorspace, ColorTrc
from av.video.stream import VideoStream
from numpy.typing import NDArray

from gradecut.film.writing.bt709 import Bt709Maker, Picture, size_of

__all__ = ["SOUND_HZ", "Encoding", "Shown", "encode"]

SOUND_HZ = 48_000
_SOUND_BITS = 160_000
_BLOCK = 1024
"""Samples in a packet of AAC (ISO/IEC 14496-3)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Encoding:
    """How a film is encoded.

    Attributes
    ----------
    tick_s : Fraction
        Length of a tick of the pictures' clock, in seconds.
    rate : Fraction
        Frames a second, as told to the encoder.
    options : dict
        The encoder's own.
    threads : int
        Of the encoder; 0 is one for each core and some more.
    sound : bool
        Whether the film has sound.
    """

    tick_s: Fraction
    rate: Fraction
    options: dict[str, str]
    threads: int
    sound: bool


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shown:
    """One picture of the film and what is heard meanwhile.

    Attributes
    ----------
    picture : Picture
        What is shown.
    start, length : int
        In ticks.
    heard : (N, 2) float32 or None
        Samples at 48,000 Hz.
    """

    picture: Picture
    start: int
    length: int
    heard: NDArray[np.float32] | None


def encode(name: str, pictures: Iterator[Shown], how: Encoding) -> int:
    """Encode a film into a file and return how many pictures it has.

    Raises
    ------
    ValueError
        For a picture of another size or type than the first.
    av.FFmpegError
        When it can't be encoded or written.
    """
    first = next(pictures, None)
    if first is None:
        return 0
    # A timescale of our own choosing keeps the times exact: the muxer would pick another.
    muxing = {"movflags": "+faststart", "video_track_timescale": str(how.tick_s.denominator)}
    with av.open(name, "w", format="mp4", options=muxing) as container:
        stage = _Stage(container, how, size_of(first.picture))
        speaker = _Speaker(container) if how.sound else None
        count = 0
        for shown in _with_first(first, pictures):
            stage.show(shown, count)
            if speaker is not None and shown.heard is not None:
                speaker.play(shown.heard)
            count += 1
        stage.finish()
        if speaker is not None:
            speaker.finish()
    return count


def _with_first(first: Shown, rest: Iterator[Shown]) -> Iterator[Shown]:
    yield first
    yield from rest


class _Stage:
    """Encodes pictures."""

    def __init__(self, container: OutputContainer, how: Encoding, size_px: tuple[int, int]) -> None:
        self._container = container
        self._size_px = size_px
        self._tick_s = how.tick_s
        self._maker = Bt709Maker()
        self._stream = container.add_stream("libx264", rate=how.rate, options=how.options)
        _set_up(self._stream, size_px, how)

    def show(self, shown: Shown, number: int) -> None:
        """Encode a picture."""
        width, height = size_of(shown.picture)
        if (width, height) != self._size_px:
            wide, high = self._size_px
            raise ValueError(
                f"Frame {number} is {width} x {height} px in a film of {wide} x {high} px."
            )
        picture = self._maker.made(shown.picture)
        picture.pts, picture.duration = shown.start, shown.length
        picture.time_base = self._tick_s
        self._container.mux(self._stream.encode(picture))

    def finish(self) -> None:
        """Write what the encoder still holds back."""
        self._container.mux(self._stream.encode(None))


def _set_up(stream: VideoStream, size_px: tuple[int, int], how: Encoding) -> None:
    """Set what the encoder makes and how it is tagged."""
    stream.pix_fmt = "yuv420p"
    stream.width, stream.height = (side + side % 2 for side in size_px)
    context = stream.codec_context
    context.time_base = how.tick_s
    context.profile = "High"
    context.thread_count = how.threads
    context.colorspace = Colorspace.ITU709
    context.color_range = ColorRange.MPEG
    context.color_primaries = ColorPrimaries.BT709
    context.color_trc = ColorTrc.BT709


class _Speaker:
    """Encodes sound: AAC-LC, a pair of channels.

    The encoder begins a block early; its first packet has a time before 0, and the muxer
    writes an edit list (ISO/IEC 14496-12, 8.6.6) that makes players begin after it.
    """

    def __init__(self, container: OutputContainer) -> None:
        self._container = container
        self._stream: AudioStream = container.add_stream(
            "aac", rate=SOUND_HZ, layout="stereo", bit_rate=_SOUND_BITS
        )
        self._waiting: list[NDArray[np.float32]] = []
        self._held = 0
        self._made = 0

    def play(self, heard: NDArray[np.float32]) -> None:
        """Encode what fills whole blocks; the rest waits."""
        self._waiting.append(heard)
        self._held += len(heard)
        if self._held >= _BLOCK:
            samples = np.concatenate(self._waiting)
            whole = len(samples) - len(samples) % _BLOCK
            self._encode(samples[:whole])
            self._waiting = [samples[whole:]]
            self._held = len(samples) - whole

    def finish(self) -> None:
        """Encode what still waits, and write what the encoder holds back."""
        if self._held:
            self._encode(np.concatenate(self._waiting))
        self._container.mux(self._stream.encode(None))

    def _encode(self, samples: NDArray[np.float32]) -> None:
        for start in range(0, len(samples), _BLOCK):
            block = np.clip(samples[start : start + _BLOCK].T, -1, 1)
            frame = AudioFrame.from_ndarray(
                np.ascontiguousarray(block), format="fltp", layout="stereo"
            )
            frame.sample_rate = SOUND_HZ
            frame.time_base = Fraction(1, SOUND_HZ)
            frame.pts = self._made
            self._made += block.shape[1]
            self._container.mux(self._stream.encode(frame))
