"""The sound of a film, on the clock of its pictures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain
from os import PathLike
from typing import TypeAlias

import av
import numpy as np
from av.audio.frame import AudioFrame
from av.audio.stream import AudioStream
from av.container import InputContainer
from av.stream import Discard
from numpy.typing import NDArray

from gradecut.errors import FilmError
from gradecut.film.hearing._sound_track import SoundTrack
from gradecut.film.indexing.frame_index import FrameIndex
from gradecut.film.indexing.index_store import index_of
from gradecut.film.opening import open_container
from gradecut.timebase import Pts, time_at

__all__ = ["Sound", "read_sound"]

_MOST_BYTES = 4 * 1024**3
_LAYOUTS = {1: "mono", 2: "stereo"}
_LEAD_S = 0.1
"""Decoding begins at least this long before the first sample asked for: the first pieces
after a jump are built on ones that were not decoded (80 ms in Opus, RFC 7845, 4.6)."""
_JUMPS_BACK_S = (0.5, 4.0, 20.0)
_MOST_ERRORS = 20

_Packet: TypeAlias = "av.Packet[AudioStream]"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sound:
    """A stretch of a film's sound.

    Attributes
    ----------
    samples : (N, C) float32
        One column a channel, full scale -1 to 1; silence (0) where the film has none.
    rate_hz : int
        Samples a second.
    start_s : Fraction
        When the first sample is heard, in seconds from the first displayed frame.
    """

    samples: NDArray[np.float32]
    rate_hz: int
    start_s: Fraction

    @property
    def stop_s(self) -> Fraction:
        """When it ends, in seconds from the first displayed frame."""
        return self.start_s + Fraction(len(self.samples), self.rate_hz)


def read_sound(
    path: str | PathLike[str],
    *,
    start_s: Fraction = Fraction(0),
    stop_s: Fraction | None = None,
    rate_hz: int = 48_000,
    channels: int | None = None,
) -> Sound:
    """Read a stretch of a film's sound, in step with its pictures.

    The times written in the container decide where every sample lies: sound that starts
    before or after the picture, an edit list, the delay of an encoder and gaps are all kept,
    the last as silence. What can't be decoded is silent too. Only the samples asked for are
    held, so that an hour at a low rate is a matter of megabytes.

    Parameters
    ----------
    path : path
        The film; of several sounds the first is read.
    start_s : Fraction
        From when, in seconds from the first displayed frame; may lie before it.
    stop_s : Fraction, optional
        Up to when; the end of the last frame when left out.
    rate_hz : int
        Samples a second to convert to.
    channels : int, optional
        1 mixes down to one channel, 2 to a pair; the film's own number when left out.

    Returns
    -------
    Sound
        ``round((stop_s - start_s) * rate_hz)`` samples.

    Raises
    ------
    FilmError
        When the film can't be opened, has no sound, or its sound can't be read.
    ValueError
        For a rate or number of channels out of range, or an end before the beginning.
    """
    if rate_hz <= 0 or channels not in (None, *_LAYOUTS):
        raise ValueError(f"Sound of {rate_hz} Hz in {channels} channels can't be made.")
    _, index = index_of(path)
    end_s = _end_s(index) if stop_s is None else stop_s
    if stop_s is not None and stop_s < start_s:
        raise ValueError(f"A stretch can't end at {stop_s} s and begin at {start_s} s.")
    with open_container(path) as container:
        stream = _sound_of(path, container)
        layout = _LAYOUTS[channels] if channels else stream.codec_context.layout.name
        columns = av.AudioLayout(layout).nb_channels
        count = max(round((end_s - start_s) * rate_hz), 0)
        if 4 * count * columns > _MOST_BYTES:
            raise FilmError(path, "so much sound can't be held at once; read less of it.")
        track = SoundTrack(count, start_s=float(start_s), rate_hz=rate_hz, layout=layout)
        _read_into(track, path, container, _origin_s(container, index))
    return Sound(samples=track.samples, rate_hz=rate_hz, start_s=start_s)


def _sound_of(path: str | PathLike[str], container: InputContainer) -> AudioStream:
    """Return the sound to read, every other stream set aside."""
    if not container.streams.audio:
        raise FilmError(path, "it has no sound; go on without.")
    stream = container.streams.audio[0]
    if getattr(stream, "codec_context", None) is None or not stream.codec_context.layout.name:
        raise FilmError(
            path, "its sound is stored in a way we don't know; go on without, or export it again."
        )
    for other in container.streams:
        other.discard = Discard.default if other.index == stream.index else Discard.all
    return stream


def _end_s(index: FrameIndex) -> Fraction:
    """Return when the last frame ends, from the first."""
    ticks = int(index.pts[-1] - index.pts[0]) + index.last_ticks
    return time_at(Pts(ticks), index.facts.time_base)


def _origin_s(container: InputContainer, index: FrameIndex) -> Fraction:
    """Return when the first displayed frame begins, on the container's clock."""
    if index.counted:
        # The times of a counted film may be its own, and begin at 0 whatever the container says.
        shown = next(s for s in container.streams.video if s.index == index.facts.stream)
        if shown.start_time is not None and shown.time_base is not None:
            return shown.start_time * shown.time_base
    return time_at(Pts(int(index.pts[0])), index.facts.time_base)


def _read_into(
    track: SoundTrack, path: str | PathLike[str], container: InputContainer, origin_s: Fraction
) -> None:
    """Decode onto a track whose times count from ``origin_s`` of the container's clock."""
    packets = _landed(container, container.streams.audio[0], float(origin_s) + track.start_s)
    if packets is not None:
        _lay(track, container, packets, float(origin_s))
        return
    with open_container(path) as fresh:
        stream = _sound_of(path, fresh)
        _lay(track, fresh, _packets(fresh, stream), float(origin_s))


def _landed(
    container: InputContainer, stream: AudioStream, wanted_s: float
) -> Iterator[_Packet] | None:
    """Return the sound's packets from safely before a time on; None when no jump got there."""
    start = stream.start_time or 0
    tick_s = float(stream.time_base or 1)
    for back_s in _JUMPS_BACK_S:
        target = int((wanted_s - back_s) / tick_s)
        if target <= start:
            return _packets(container, stream) if back_s == _JUMPS_BACK_S[0] else None
        try:
            container.seek(target, stream=stream)
        except (av.FFmpegError, OSError, OverflowError):
            continue
        packets = _packets(container, stream)
        first = next(packets, None)
        if first is not None and first.pts is not None and first.pts * tick_s <= wanted_s - _LEAD_S:
            return chain((first,), packets)
    return None


def _packets(container: InputContainer, stream: AudioStream) -> Iterator[_Packet]:
    """Yield packets of sound, an empty one last; a read error passed over ends it at last."""
    for _ in range(_MOST_ERRORS):
        try:
            yield from container.demux(stream)
            return
        except (av.FFmpegError, OSError, ValueError):
            continue


def _lay(
    track: SoundTrack, container: InputContainer, packets: Iterator[_Packet], zero_s: float
) -> None:
    """Decode packets onto a track up to its end; what can't be decoded stays silent."""
    for frame in _decoded(container.streams.audio[0], packets):
        told_s = frame.time
        at_s = None if told_s is None else told_s - zero_s
        if at_s is not None and at_s >= track.stop_s:
            break
        track.take(frame, at_s)
    track.finish()


def _decoded(stream: AudioStream, packets: Iterator[_Packet]) -> Iterator[AudioFrame]:
    for packet in packets:
        try:
            yield from stream.codec_context.decode(packet if packet.size else None)
        except (av.FFmpegError, ValueError):
            continue
