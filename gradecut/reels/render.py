"""From a plan to a film players can watch."""

from __future__ import annotations

from collections.abc import Iterator
from os import PathLike
from pathlib import Path

import av

from gradecut.errors import RenderError
from gradecut.film import write_film
from gradecut.progress import CancelToken, Progress, silent
from gradecut.reels.planned import Plan
from gradecut.reels.projector import Projector
from gradecut.reels.reel_sound import sound_of

__all__ = ["render"]


def render(
    plan: Plan,
    out: str | PathLike[str],
    *,
    sound: bool = False,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
    quality: int = 21,
    preset: str = "veryfast",
    threads: int = 0,
) -> Path:
    """Write a planned reel as a film.

    Frames are made one after another and never held together, while another thread encodes.
    Film of the reel's shape stays as it is stored, never turned into RGB; marks and captions
    are painted once a step and laid on. Film of another shape stands in the middle, its
    surround dark. A frame that is damaged in its film is replaced by the last good one, with a
    sentence on the picture.

    Parameters
    ----------
    plan : Plan
        From ``plan``.
    out : path
        Where the reel goes; it appears whole or not at all.
    sound : bool
        Whether it has sound: film at its own speed brings its own, all else is silent.
    quality : int
        The encoder's constant-quality setting, 1 (best) to 51.
    preset : str
        The encoder's preset: slower makes smaller films.
    threads : int
        Encoder threads; 0 lets the encoder choose. The same number makes the same bytes.

    Returns
    -------
    Path
        Where it lies.

    Raises
    ------
    RenderError
        When nothing of the reel can be shown, or a film has gone since it was planned.
    OutputError
        When the file can't be written.
    Cancelled
        When asked to stop; nothing is left behind.
    """
    if not any(step.film_frames for step in plan.steps):
        why = plan.missing[0] if plan.missing else "It has no pieces; put at least one in."
        raise RenderError(f"Nothing of the reel “{plan.name}” can be shown. {why}")
    write_film(
        out, _frames(plan), rate=plan.rate, sound=sound_of(plan) if sound else None,
        quality=quality, preset=preset, threads=threads, progress=progress,
        total=plan.frame_count, cancel=cancel,
    )  # fmt: skip
    return Path(out)


def _frames(plan: Plan) -> Iterator[av.VideoFrame]:
    """Yield every frame of the reel."""
    with Projector(plan) as projector:
        for step in plan.steps:
            yield from projector.show(step)
