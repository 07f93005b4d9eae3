"""Angles beside each other in time, by what both cameras heard."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from os import PathLike
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from gradecut.book import Book
from gradecut.errors import BookError, FilmError
from gradecut.film import open_film, read_sound
from gradecut.film.hearing.sound_line import SoundLine
from gradecut.film.hearing.sound_offset import lay_recordings
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Angle, Clip, Session
from gradecut.records.estimate import Miss
from gradecut.workflows.films import path_of_film
from gradecut.workflows.moments import Timeline, timelines_of

__all__ = [
    "HEARD_HZ",
    "Sync",
    "Synced",
    "SyncedPlay",
    "hear",
    "hear_play",
    "lay_by_sound",
    "sync_angles",
    "sync_recordings",
]

HEARD_HZ = 8_000
"""Samples a second that are enough to lay two sounds on each other."""

_PART_S = Fraction(600)
_LONGEST_PLAY_S = 90.0
_SAME_CLOCK_S = 0.001
_STEP = Fraction(1, 1_000_000)
_STEP_OF_SCALE = Fraction(1, 10**10)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sync:
    """How the clock of a second film runs against a first one's.

    Attributes
    ----------
    scale, offset_s : Fraction
        Film time of the first = scale x film time of the second + offset_s.
    sigma_s : float
        Spread of the places about that line, in seconds.
    places : int
        How many places agree on it.
    reasons : tuple of str
        What it rests on, and what to know of it.
    """

    scale: Fraction
    offset_s: Fraction
    sigma_s: float
    places: int
    reasons: tuple[str, ...]

    def on_first(self, time_s: Fraction) -> Fraction:
        """Return the first film's time of a moment of the second."""
        return self.scale * time_s + self.offset_s

    def on_second(self, time_s: Fraction) -> Fraction:
        """Return the second film's time of a moment of the first."""
        return (time_s - self.offset_s) / self.scale


@dataclass(frozen=True, slots=True, kw_only=True)
class SyncedPlay:
    """One play whose angles were put beside each other.

    Attributes
    ----------
    sigma_s : float
        How surely, in seconds; 0 where snaps marked by hand decided.
    by : str
        "sound" or "snap".
    """

    play: int
    sigma_s: float
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Synced:
    """What syncing an angle came to.

    Attributes
    ----------
    plays : tuple of SyncedPlay
        What was matched, by play.
    missed : tuple of (int, str)
        Plays left as they were, each with the reason.
    notes : tuple of str
        What the coach should know.
    """

    plays: tuple[SyncedPlay, ...]
    missed: tuple[tuple[int, str], ...]
    notes: tuple[str, ...]


def hear(
    path: str | PathLike[str],
    *,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> NDArray[np.float32]:
    """Return all a film's sound as one channel, (N,) float32 at HEARD_HZ, from its first frame.

    Raises
    ------
    FilmError
        When it can't be opened or has no sound.
    Cancelled
        When asked to stop.
    """
    with open_film(path) as film:
        length_s = film.duration_s
    parts = []
    start_s = Fraction(0)
    while start_s < length_s:
        if cancel is not None:
            cancel.check("Listening to the films")
        progress(float(start_s / length_s), f"Listening to {Path(path).name}")
        stop_s = min(start_s + _PART_S, length_s)
        heard = read_sound(path, start_s=start_s, stop_s=stop_s, rate_hz=HEARD_HZ, channels=1)
        parts.append(heard.samples[:, 0])
        start_s = stop_s
    return np.concatenate(parts) if parts else np.zeros(0, dtype=np.float32)


def hear_play(
    path: str | PathLike[str], start_s: Fraction = Fraction(0), stop_s: Fraction | None = None
) -> NDArray[np.float32] | None:
    """Return what was heard; None where there is no sound, or so much that it is no one play."""
    try:
        with open_film(path) as film:
            stop_s = film.duration_s if stop_s is None else stop_s
            if not film.index.facts.sound or stop_s - start_s > _LONGEST_PLAY_S:
                return None
        sound = read_sound(path, start_s=start_s, stop_s=stop_s, rate_hz=HEARD_HZ, channels=1)
    except FilmError:
        return None
    return sound.samples[:, 0] if sound.samples.any() else None


def sync_recordings(
    path_a: str | PathLike[str],
    path_b: str | PathLike[str],
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> Sync | Miss:
    """Find how two films of one scene lie in time, by their sounds.

    Returns
    -------
    Sync or Miss
        The line from ``path_b``'s time to ``path_a``'s, drift of the clocks taken out; a
        Miss with its reason where a film has no sound or the sounds do not match.

    Raises
    ------
    FilmError
        When a film can't be opened.
    Cancelled
        When asked to stop.
    """
    heard = []
    for number, path in enumerate((path_a, path_b)):
        with open_film(path) as film:
            if not film.index.facts.sound:
                return Miss(f"{Path(path).name} has no sound; mark the snap on both films instead.")
        heard.append(hear(path, progress=_share(progress, 0.3 * number, 0.3), cancel=cancel))
    line = lay_recordings(
        heard[0], heard[1], HEARD_HZ, progress=_share(progress, 0.6, 0.4), cancel=cancel
    )
    progress(1.0, "Sounds compared")
    if line is None:
        return Miss(
            f"What {Path(path_a).name} and {Path(path_b).name} heard does not match; they may "
            "show different plays, or one heard too little. Mark the snap on both instead."
        )
    return _sync_of(line, len(heard[1]) / HEARD_HZ)


def sync_angles(
    book: Book,
    plays: Session | Collection[str],
    angle: str,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> Synced:
    """Put one angle's films beside the others by sound, as one act.

    Films of long recordings are compared once for all their plays. Where the snap is marked
    on both films of a play, that stands: the snaps decide for that play.

    Parameters
    ----------
    plays : Session or collection of str
        All plays of a session, or clips by id.
    angle : str
        Whose films are moved.

    Raises
    ------
    BookError
        When none of the plays has this angle beside another one.
    Cancelled
        When asked to stop; nothing is moved then.
    """
    if isinstance(plays, Session):
        clips = book.find(Clip, session_id=plays.id)
    else:
        clips = book.find(Clip, id=list(plays))
    lines = timelines_of(book, [clip.id for clip in clips])
    pairs = [
        (clip, mine, other)
        for clip in clips
        for mine in lines[clip.id].angles
        if mine.name == angle and (other := _other(lines[clip.id].angles, mine)) is not None
    ]
    if not pairs:
        raise BookError(f"No play here has {angle} film beside another angle's; add both first.")
    syncs = _sync_films(book, pairs, lines, progress, cancel)
    moved, done, missed, notes = _moves(pairs, lines, syncs)
    if moved:
        with book.act(f"put the {angle} film beside the other by sound") as act:
            act.put(*moved)
    return Synced(plays=tuple(done), missed=tuple(missed), notes=tuple(notes))


Pairs = Sequence[tuple[Clip, Angle, Angle]]


def _other(angles: Iterable[Angle], mine: Angle) -> Angle | None:
    """Return the angle that gives a play its time: the first that was there beside this one."""
    return min((one for one in angles if one.id != mine.id), key=lambda one: one.id, default=None)


def _sync_films(
    book: Book,
    pairs: Pairs,
    lines: dict[str, Timeline],
    progress: Progress,
    cancel: CancelToken | None,
) -> dict[tuple[str, str], Sync | Miss]:
    """Compare each pair of films once."""
    wanted: defaultdict[tuple[str, str], str] = defaultdict(str)
    for clip, mine, other in pairs:
        wanted[other.film_id, mine.film_id] = clip.id
    found: dict[tuple[str, str], Sync | Miss] = {}
    for number, (key, clip_id) in enumerate(wanted.items()):
        films = [lines[clip_id].films[film_id] for film_id in key]
        part = _share(progress, number / len(wanted), 1 / len(wanted))
        try:
            paths = [path_of_film(book, film) for film in films]
            found[key] = sync_recordings(paths[0], paths[1], part, cancel)
        except FilmError as error:
            found[key] = Miss(str(error))
    return found


def _moves(
    pairs: Pairs, lines: dict[str, Timeline], syncs: dict[tuple[str, str], Sync | Miss]
) -> tuple[list[Angle], list[SyncedPlay], list[tuple[int, str]], list[str]]:
    """Work out where each angle goes, and what to say of it."""
    moved: list[Angle] = []
    done: list[SyncedPlay] = []
    missed: list[tuple[int, str]] = []
    notes: dict[str, None] = {}
    for clip, mine, other in pairs:
        sync = syncs[other.film_id, mine.film_id]
        by_snap = _by_snaps(lines[clip.id], mine, other, sync)
        if isinstance(sync, Sync):
            by_sound = lay_by_sound(mine, other, sync)
            apart_s = _gap_s(by_sound, other, lines[clip.id])
            if by_snap is None and apart_s > 0:
                missed.append((clip.order, _told_apart(mine, other, apart_s)))
                continue
            if by_snap is None:
                notes |= dict.fromkeys(sync.reasons)
                moved.append(by_sound)
                done.append(SyncedPlay(play=clip.order, sigma_s=sync.sigma_s, by="sound"))
                continue
            apart_s = abs(float(by_snap.offset_s - by_sound.offset_s))
            if apart_s > 0.05:
                notes[
                    f"Play {clip.order}: by sound the films lie {apart_s:.2f} s from where the "
                    "snaps marked by hand put them; the snaps stand."
                ] = None
        if by_snap is not None:
            moved.append(by_snap)
            done.append(SyncedPlay(play=clip.order, sigma_s=0.0, by="snap"))
        elif isinstance(sync, Miss):
            missed.append((clip.order, sync.reason))
    return moved, done, missed, list(notes)


def _gap_s(mine: Angle, other: Angle, line: Timeline) -> float:
    """Return how long after one of a play's films ends the other begins; 0 where they meet."""
    times_s = [
        [one.scale * line.films[one.film_id].time_of(pts) + one.offset_s
         for pts in (one.start_pts, one.stop_pts)]
        for one in (mine, other)
    ]  # fmt: skip
    begun_s, ended_s = (
        pick(ends) for pick, ends in zip((max, min), zip(*times_s, strict=True), strict=True)
    )
    return float(max(begun_s - ended_s, 0))


def _told_apart(mine: Angle, other: Angle, apart_s: float) -> str:
    return (
        f"by sound its {mine.name} film was taken {apart_s:.0f} s before or after its "
        f"{other.name} film, so they show different plays; move the pairing (--move), then try "
        "again."
    )


def _by_snaps(line: Timeline, mine: Angle, other: Angle, sync: Sync | Miss) -> Angle | None:
    """Lay an angle by the snaps a person marked on both films; None where he did not."""
    snaps = [line.moment("snap", angle=one) for one in (mine, other)]
    if any(snap is None or snap.source != "marked" for snap in snaps):
        return None
    times_s = [
        line.films[one.film_id].time_of(snap.pts)
        for one, snap in zip((mine, other), snaps, strict=True)
        if snap is not None
    ]
    scale = other.scale * sync.scale if isinstance(sync, Sync) else mine.scale
    return _laid(mine, scale, other.scale * times_s[1] + other.offset_s - scale * times_s[0])


def lay_by_sound(mine: Angle, other: Angle, sync: Sync) -> Angle:
    """Return an angle laid beside another one whose film is the first of a sync."""
    scale = other.scale * sync.scale
    return _laid(mine, scale, other.scale * sync.offset_s + other.offset_s)


def _laid(angle: Angle, scale: Fraction, offset_s: Fraction) -> Angle:
    """Move an angle; never to where one lies that nobody has moved."""
    if scale == 1 and offset_s == 0:
        offset_s = _STEP
    return replace(angle, scale=scale, offset_s=offset_s)


def _sync_of(line: SoundLine, length_s: float) -> Sync:
    """Turn a line into exact numbers and say what it rests on."""
    scale, offset_s = line.scale, line.offset_s
    if abs(scale - 1) * length_s < _SAME_CLOCK_S:
        offset_s, scale = offset_s + (scale - 1) * length_s / 2, 1.0
    how = "heard the same" if line.by_waves else "were loud and quiet together"
    reasons = [
        f"Both films {how} at {line.places} of {line.tried} places, to within "
        f"{max(line.sigma_s * 1000, 0.1):.1f} ms."
    ]
    drift_s = (scale - 1) * length_s
    if abs(drift_s) >= 0.005:
        reasons.append(
            f"Their clocks part by {abs(drift_s):.3f} s over {length_s / 60:.0f} minutes; that "
            "is taken out."
        )
    reasons.append(
        "Sound comes 3 ms later for each metre a camera stands farther off; where the films "
        "look apart, mark the snap on both."
    )
    return Sync(
        scale=_rounded(scale, _STEP_OF_SCALE),
        offset_s=_rounded(offset_s, _STEP),
        sigma_s=line.sigma_s,
        places=line.places,
        reasons=tuple(reasons),
    )


def _rounded(value: float, step: Fraction) -> Fraction:
    return round(Fraction(value) / step) * step


def _share(progress: Progress, start: float, share: float) -> Progress:
    """Make progress of a part of the work."""

    def tell(done: float, saying: str) -> None:
        progress(start + share * done, saying)

    return tell
