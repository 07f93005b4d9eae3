"""Two ways to decode: carefully in one thread, quickly in several.

Threads that decode pictures side by side lose signs of damage: FFmpeg copies the sign of an
H.264 picture when it hands the picture out, and by then the thread that decodes it may not
have got to the damage. So the quick way has H.264 pictures held back until as many others
have been begun as there are threads: by then the thread has ended and the sign is complete.
Threads that share one picture (slices) lose signs for good and are never used.

HEVC tells next to nothing of damage unless asked to be strict, and then as an error of the
packet; so the careful way is strict with it, unless a film is made in a way that strictness
takes for damage everywhere. The same goes for Motion JPEG, which otherwise fills a damaged
picture up with what its memory held before: another picture. HEVC has no quick way: its
threads can wait for each other without end when a picture is damaged.
"""

from __future__ import annotations

import os
from dataclasses import dataclass, field

import numpy as np
from av.video.codeccontext import VideoCodecContext

from gradecut.film.indexing.frame_index import FrameIndex

__all__ = ["LENIENT", "Way", "careful_way", "quick_way"]

_MOST_THREADS = 4
_MOST_HELD_BACK = 15
"""FFmpeg's H.264 decoder holds at most 16 pictures."""
_STRICT = {"err_detect": "explode"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """How a decoder is set up.

    Attributes
    ----------
    threads : int
        That decode pictures side by side; one decodes with every sign of damage.
    options : dict
        Of the decoder.
    least_delay : int
        Packets that must have been given to the decoder after a picture's own before its
        sign of damage counts.
    tells_by_error : bool
        An error means that a picture is damaged, also when one comes out.
    """

    threads: int = 1
    options: dict[str, str] = field(default_factory=dict)
    least_delay: int = 0
    tells_by_error: bool = False

    @property
    def in_work(self) -> int:
        """How many of the latest packets an error may be about."""
        return 1 if self.threads == 1 else self.threads + 1

    def set_up(self, context: VideoCodecContext) -> None:
        """Set a decoder up that hasn't decoded yet."""
        context.thread_type = "FRAME"
        context.thread_count = self.threads
        context.copy_opaque = True
        context.options = dict(self.options)


LENIENT = Way()
"""One thread, and only what the decoder itself thinks spoilt."""


def careful_way(index: FrameIndex) -> Way:
    """Return how to decode a film with every sign of damage."""
    codec = index.facts.codec
    if codec == "mjpeg" or (codec == "hevc" and not index.counted):
        return Way(options=_STRICT, tells_by_error=True)
    return LENIENT


def quick_way(index: FrameIndex) -> Way | None:
    """Return how to decode a film quickly; None where that gains or promises nothing."""
    cores = os.cpu_count() or 1
    if cores == 1 or index.counted:
        return None
    threads = min(cores + 1, _MOST_THREADS)
    held_back = _reordering(index) + threads
    if index.facts.codec != "h264" or held_back > _MOST_HELD_BACK:
        return None
    return Way(
        threads=threads,
        options={"has_b_frames": str(held_back)},
        least_delay=2 * threads - 1,
        tells_by_error=True,
    )


def _reordering(index: FrameIndex) -> int:
    """Return how many pictures a decoder must hold to hand them out in order."""
    numbers = index.number_at[index.number_at >= 0]
    return max(int((np.arange(len(numbers)) - numbers).max(initial=0)), 0)
