"""A long recording cut to plays: proposed, corrected, put into the book; never encoded again.

A play of a recording is a range of its film: the film lies in the book once, and each play's
angle says from which frame to which.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import zip_longest
from os import PathLike
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from gradecut.book import Book
from gradecut.errors import BookError, FilmError
from gradecut.film import Film, open_film, sample_pictures
from gradecut.motion import PlayFound, find_plays, watch_recording
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Angle, Clip, Session, SessionKind, Stretch
from gradecut.timebase import Frame, Pts
from gradecut.workflows.adding import Added, session_called
from gradecut.workflows.cutting_edges import move_edge
from gradecut.workflows.cutting_sheets import read_stretches, write_stretches
from gradecut.workflows.films import ReadFilm, read_film
from gradecut.workflows.kept_scripts import keep_script
from gradecut.workflows.look_pictures import turn_of
from gradecut.workflows.pairing import free_plays
from gradecut.workflows.script import match_new_plays, script_lines, uneven_script

__all__ = [
    "add_recording",
    "carry_stretches",
    "move_edge",
    "propose_plays",
    "read_stretches",
    "share_frames",
    "write_stretches",
]

SAMPLE_EVERY_S = Fraction(1, 5)
SAMPLE_WIDTH_PX = 240

OnPicture = Callable[[Pts, NDArray[np.uint8]], None]


def propose_plays(
    path: str | PathLike[str],
    progress: Progress = silent,
    cancel: CancelToken | None = None,
    *,
    on_picture: OnPicture | None = None,
) -> tuple[Stretch, ...]:
    """Propose the plays of a long recording, from small pictures of it.

    Parameters
    ----------
    path : path
        The recording.
    on_picture : callable, optional
        Given each picture's timestamp and its (h, w) uint8 luma as it is looked at, in the
        thread that calls this: a strip of pictures costs nothing then.

    Returns
    -------
    tuple of Stretch
        In order, none over another, inside the film; one of low confidence where nothing
        tells plays apart.

    Raises
    ------
    FilmError
        When the film can't be opened, or not one picture of it can be decoded.
    Cancelled
        When asked to stop.
    """
    with open_film(path) as film:
        times_s = np.asarray((film.index.pts - film.index.pts[0]) * float(film.time_base))

        def pictures() -> Iterator[tuple[Fraction, NDArray[np.uint8]]]:
            first = film.pts_of(0)
            for pts, picture in sample_pictures(
                path, every_s=SAMPLE_EVERY_S, width_px=SAMPLE_WIDTH_PX,
                progress=progress, cancel=cancel,
            ):  # fmt: skip
                if on_picture is not None:
                    on_picture(pts, picture)
                yield (pts - first) * film.time_base, picture

        watched = watch_recording(pictures())
        if not len(watched.times_s):
            raise FilmError(path, "not one picture of it can be decoded; copy it again.")
        found = find_plays(watched, frame_times_s=times_s, length_s=float(times_s[-1]))
        return _on_frames(film, found)


def _on_frames(film: Film, found: Sequence[PlayFound]) -> tuple[Stretch, ...]:
    """Put what was found in seconds on frames, so that no two plays share one."""
    stretches: list[Stretch] = []
    free = 0
    for play in found:
        start = max(film.frame_at(Fraction(play.start_s)), free)
        stop = film.frame_at(Fraction(play.stop_s))
        if start <= stop:
            stretches.append(
                Stretch(
                    start_pts=film.pts_of(start),
                    stop_pts=film.pts_of(stop),
                    why=play.why,
                    confidence=play.confidence,
                )
            )
            free = stop + 1
    return tuple(stretches)


def add_recording(
    book: Book,
    path: str | PathLike[str],
    stretches: Sequence[Stretch | None],
    *,
    session: str,
    kind: SessionKind | None = None,
    day: str = "",
    angle: str = "end",
    script: str | PathLike[str] | None = None,
    by_order: bool = False,
    goals: Sequence[Clip | None] | None = None,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> Added:
    """Add the plays of one recording to a session, in one act.

    A further angle's plays go to the plays after its last that still lack it, in order. Plays
    of the recording that are in the book already are told and not doubled.

    Parameters
    ----------
    path : path
        The recording.
    stretches : sequence of Stretch or None
        Its plays in order; None for a play of the session the recording does not show.
    session, kind, day, angle, script
        As for ``add_film``.
    by_order : bool
        Give a further angle's plays out by order even where there are more or fewer of them
        than plays without it.
    goals : sequence of Clip or None, optional
        Where it is known which play of the session each one is, None for a new play; as many
        as ``stretches``. Nothing is given out by order then.

    Raises
    ------
    BookError
        When a play lies outside the film or over another, the session says otherwise, or a
        further angle has another number of plays.
    FilmError, InputError, Cancelled
        The book then stays as it was.
    """
    if not any(stretches):
        raise BookError(f"{Path(path).name} has no play to add; set at least one.")
    with open_film(path) as film:
        plays = [None if one is None else _checked(film, one) for one in stretches]
    _check_order(plays)
    if cancel is not None:
        cancel.check("Adding the recording")
    home, is_new = session_called(book, session, kind, day)
    lines = None if script is None else script_lines(book, script, home.kind)
    read = read_film(book, Path(path))
    there = book.find(Angle, film_id=read.film.id)
    known: Sequence[Clip | None] = [None] * len(plays) if goals is None else goals
    pairs = [
        (one, goal)
        for one, goal in zip(plays, known, strict=True)
        if one is None or not any(share_frames(one, view) for view in there)
    ]
    count = sum(one is not None for one, _ in pairs)
    notes = [f"{Path(path).name}: {note}" for note in read.notes]
    notes += _already(Path(path).name, sum(one is not None for one in plays) - count)
    if goals is None:
        pairs = _given_out(pairs, free_plays(book, home, angle) if count else [], angle, by_order)
    scripted = clips = 0
    before = {clip.order for clip in book.find(Clip, session_id=home.id)}
    with book.act(f"add the {angle} recording of {home.name}") as act:
        if count or not is_new:
            act.put(home)
        if count or there:
            act.put(*read.rows)
        if count:
            clips = _put_plays(book, home, read, pairs, angle)
        if lines is not None and count:
            scripted = match_new_plays(book, home, lines, there=before)
            notes += uneven_script(book, home, lines)
        if script is not None and count:
            keep_script(book, home, script)
    progress(1.0, "Recording added")
    return Added(session=home, clips=clips, angles=count, scripted=scripted, notes=tuple(notes))


def _checked(film: Film, stretch: Stretch) -> Stretch:
    """Return a play with its edges on frames of the film; refuse one that lies outside."""
    first, last = film.pts_of(0), film.pts_of(film.frame_count - 1)
    if stretch.start_pts < first or stretch.stop_pts > last:
        raise BookError(
            f"A play from {_told(film, stretch.start_pts)} to {_told(film, stretch.stop_pts)} "
            f"reaches beyond {Path(film.path).name}, which ends at {_told(film, last)}; "
            "cut this recording anew."
        )
    start, stop = (film.frame_at_pts(pts) for pts in (stretch.start_pts, stretch.stop_pts))
    return replace(stretch, start_pts=film.pts_of(start), stop_pts=film.pts_of(stop))


def _told(film: Film, pts: Pts) -> str:
    seconds = float((pts - film.pts_of(0)) * film.time_base)
    return f"{seconds:.1f} s"


def _check_order(plays: Sequence[Stretch | None]) -> None:
    last: Pts | None = None
    for number, one in enumerate(plays, start=1):
        if one is None:
            continue
        if last is not None and one.start_pts <= last:
            raise BookError(
                f"Play {number} of the recording begins before the one ahead of it ends; "
                "move one of their edges."
            )
        last = one.stop_pts


def share_frames(stretch: Stretch, angle: Angle) -> bool:
    """Tell whether a stretch and an angle of one film have a frame in common."""
    return stretch.start_pts <= angle.stop_pts and angle.start_pts <= stretch.stop_pts


def _already(name: str, count: int) -> list[str]:
    if not count:
        return []
    plays = "one of these plays is" if count == 1 else f"{count} of these plays are"
    return [f"{name}: {plays} in the book already."]


def _given_out(
    pairs: Sequence[tuple[Stretch | None, Clip | None]],
    free: Sequence[Clip],
    angle: str,
    by_order: bool,
) -> list[tuple[Stretch | None, Clip | None]]:
    """Give the plays of a recording out to those of a session by order."""
    if free and len(free) != len(pairs) and not by_order:
        raise BookError(_uneven_angle(len(pairs), len(free), angle))
    return list(zip_longest((one for one, _ in pairs), free))


def _uneven_angle(plays: int, free: int, angle: str) -> str:
    return (
        f"This recording has {plays} plays, and {free} plays of the session have no {angle} "
        "film: join, split or drop until they agree, or have them given out by order."
    )


def _put_plays(
    book: Book,
    home: Session,
    read: ReadFilm,
    plays: Sequence[tuple[Stretch | None, Clip | None]],
    angle: str,
) -> int:
    """Put each play's angle in, and a clip where there is none for it; return how many were."""
    last = max((clip.order for clip in book.find(Clip, session_id=home.id)), default=0)
    made, turn = 0, turn_of(book, home.id, angle)
    with book.act("add plays") as act:
        for stretch, there in plays:
            last += there is None
            if stretch is None:
                continue
            clip = there or Clip(session_id=home.id, order=last)
            made += there is None
            view = Angle(
                clip_id=clip.id,
                film_id=read.film.id,
                name=angle,
                start_pts=stretch.start_pts,
                stop_pts=stretch.stop_pts,
                turn=turn,
            )
            act.put(clip, view)
    return made


def carry_stretches(
    stretches: Sequence[Stretch | None],
    film_a: Film,
    film_b: Film,
    scale: Fraction,
    offset_s: Fraction,
) -> tuple[Stretch | None, ...]:
    """Carry the plays of one recording to another angle's recording of the same plays.

    Parameters
    ----------
    stretches : sequence of Stretch or None
        Of ``film_a``.
    film_a, film_b : Film
        Open.
    scale, offset_s : Fraction
        Time in ``film_b`` = scale x time in ``film_a`` + offset_s, both from the first frame.

    Returns
    -------
    tuple of Stretch or None
        As many, in order, each clipped to the film; None where ``film_b`` has nothing of a
        play. What speaks for a play and its confidence are carried along.

    Raises
    ------
    ValueError
        When the scale is not above 0.
    """
    if scale <= 0:
        raise ValueError("Time in the other film must run forward too.")
    carried: list[Stretch | None] = []
    free = Frame(0)
    end_s = film_b.time_of(film_b.frame_count - 1)
    for one in stretches:
        if one is None:
            carried.append(None)
            continue
        times = [film_a.time_of(film_a.frame_at_pts(pts)) for pts in (one.start_pts, one.stop_pts)]
        start_s, stop_s = (scale * time + offset_s for time in times)
        start, stop = max(film_b.frame_at(start_s), free), film_b.frame_at(stop_s)
        if stop_s < 0 or start_s > end_s or start > stop:
            carried.append(None)
            continue
        free = Frame(stop + 1)
        edges = film_b.pts_of(start), film_b.pts_of(stop)
        carried.append(replace(one, start_pts=edges[0], stop_pts=edges[1]))
    return tuple(carried)
