"""A drawn recording written as a film, with its pauses in the film's own times."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import av
import numpy as np

from tests.motion.drawn_recording import Recording, Truth, draw_recording

_TICK_S = Fraction(1, 600)


def write_recording(path: Path, made: Recording, *, key_every: int = 30) -> Truth:
    """Draw a recording into an H.264 film; its times are whole 1/600 s."""
    pictures, truth = draw_recording(made)
    with av.open(str(path), "w") as out:
        rate = Fraction(made.rate).limit_denominator(1000)
        stream = out.add_stream("libx264", rate=rate, options={"preset": "ultrafast"})
        stream.width, stream.height = made.size_px
        stream.pix_fmt = "yuv420p"
        stream.codec_context.gop_size = key_every
        stream.codec_context.thread_count = 1
        stream.codec_context.time_base = _TICK_S
        for time_s, grey in pictures:
            frame = av.VideoFrame.from_ndarray(np.repeat(grey[..., None], 3, axis=2), "rgb24")
            frame.pts, frame.time_base = round(time_s / _TICK_S), _TICK_S
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    return truth
