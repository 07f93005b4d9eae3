"""Draws the sample film, each clip with its truth beside it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from os import PathLike
from pathlib import Path

from gradecut.film.writing.writer import write_film
from gradecut.outfile import make_folder, whole_file
from gradecut.progress import CancelToken, Progress, silent
from gradecut.samples._plays import SIDE_ORDERS, load_plays
from gradecut.samples._shoot import Shoot
from gradecut.samples._truth import truth_of

__all__ = ["clip_names", "draw_samples"]

_PRESET = "slow"


def clip_names() -> tuple[tuple[str, int], ...]:
    """Return every clip as its angle and the order of its play, the end view first."""
    orders = [play.order for play in load_plays()]
    return (*(("end", order) for order in orders), *(("side", order) for order in SIDE_ORDERS))


def draw_samples(
    out: str | PathLike[str],
    progress: Progress = silent,
    cancel: CancelToken | None = None,
    *,
    clips: Sequence[tuple[str, int]] | None = None,
) -> tuple[Path, ...]:
    """Draw the sample clips into a folder, with ``end`` and ``side`` in it.

    The same clips come out every time, picture by picture.

    Parameters
    ----------
    out : path
        The folder; it is made if need be.
    progress : Progress
        Told the share done, and which clip is being drawn.
    cancel : CancelToken, optional
        Checked before each picture.
    clips : sequence of (str, int), optional
        Only these, as ``clip_names`` gives them.

    Returns
    -------
    tuple of Path
        The films written.

    Raises
    ------
    OutputError
        When a file can't be written.
    Cancelled
        When asked to stop; clips already finished stay.
    """
    folder = make_folder(out)
    chosen = tuple(clips) if clips is not None else clip_names()
    plays = {play.order: play for play in load_plays()}
    written = []
    for place, (angle, order) in enumerate(chosen):
        progress(place / len(chosen), f"Drawing {angle} view, play {order}")
        path = folder / angle / f"{order:02d}.mp4"
        _draw_clip(path, Shoot(plays[order], angle), cancel)
        written.append(path)
    progress(1.0, "Sample clips drawn")
    return tuple(written)


def _draw_clip(path: Path, shoot: Shoot, cancel: CancelToken | None) -> None:
    """Draw one clip and its truth."""
    filming = shoot.filming
    write_film(
        path,
        shoot.frames(),
        rate=filming.rate,
        times_s=shoot.times_s if filming.variable else None,
        quality=filming.quality,
        preset=_PRESET,
        threads=1,
        total=len(shoot.times_s),
        cancel=cancel,
    )
    text = json.dumps(truth_of(shoot), separators=(",", ":"))
    with whole_file(path.with_suffix(".truth.json")) as draft:
        draft.write_text(text + "\n", encoding="utf-8")
