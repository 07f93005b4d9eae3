"""What a container says of its streams, before anything is decoded."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from av.container import InputContainer
from av.video.stream import VideoStream

from gradecut.film.decoding.picture import MATRIX_UNTOLD
from gradecut.film.indexing.frame_index import FrameIndex, StreamFacts

__all__ = ["told_facts", "with_sound"]

_USUAL_TICK_S = Fraction(1, 90_000)


def told_facts(container: InputContainer, stream: VideoStream, count: int) -> StreamFacts:
    """Return what the container says; the first frame completes it.

    Parameters
    ----------
    count : int
        How many streams of moving pictures there are.
    """
    context = stream.codec_context
    rate = stream.guessed_rate or stream.average_rate
    return StreamFacts(
        stream=stream.index,
        container=container.format.name,
        codec=context.name,
        pixel_format=context.pix_fmt or "",
        coded_width_px=context.width,
        coded_height_px=context.height,
        width_px=context.width,
        height_px=context.height,
        quarter_turns=0,
        mirrored=False,
        matrix=MATRIX_UNTOLD,
        full_range=False,
        interlaced=False,
        sound=bool(container.streams.audio),
        video_streams=count,
        time_base=Fraction(stream.time_base or _USUAL_TICK_S),
        declared_rate=Fraction(rate) if rate else None,
    )


def with_sound(index: FrameIndex, container: InputContainer) -> FrameIndex:
    """Add what the container says of its first sound, on the clock of the pictures."""
    sound = next(iter(container.streams.audio), None)
    if sound is None:
        return index
    context = sound.codec_context
    tick_s = Fraction(sound.time_base or 0)
    start_s = None
    if sound.start_time is not None and not index.counted:
        start_s = sound.start_time * tick_s - int(index.pts[0]) * index.facts.time_base
    facts = replace(
        index.facts,
        sound_codec="" if context is None else context.name,
        sound_channels=0 if context is None else context.layout.nb_channels,
        sound_rate_hz=0 if context is None else context.sample_rate,
        sound_start_s=start_s,
        sound_length_s=sound.duration * tick_s if sound.duration else None,
    )
    return replace(index, facts=facts)
