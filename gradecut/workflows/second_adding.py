"""The plays of a further camera's recording put into the book, each beside the play it shows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from os import PathLike
from pathlib import Path

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.film import Film, open_film
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Angle, Clip, Session, SessionKind, StoredFilm, Stretch
from gradecut.records.estimate import Miss
from gradecut.workflows.adding import Added, session_called
from gradecut.workflows.cutting import add_recording, share_frames
from gradecut.workflows.pairing import free_plays
from gradecut.workflows.second_recording import Beside, angles_of, lacks_words
from gradecut.workflows.syncing import Sync, lay_by_sound

__all__ = ["NumbersAsked", "add_second"]


class NumbersAsked(BookError):
    """Plays found in a recording's own pictures, to be paired by number: to be confirmed."""


def add_second(
    book: Book,
    path: str | PathLike[str],
    stretches: Sequence[Stretch | None],
    beside: Beside,
    *,
    session: str,
    kind: SessionKind | None = None,
    day: str = "",
    angle: str = "side",
    script: str | PathLike[str] | None = None,
    confirmed: bool = False,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> Added:
    """Add the plays of a further recording, each beside the play it shows, in one act.

    Which play each one is, is read off its place in the first recording: they may have been
    corrected, dropped or set by hand. Where sound does not tell, they go by number.

    Parameters
    ----------
    stretches : sequence of Stretch or None
        The plays of the recording in order.
    beside : Beside
        From ``lay_beside``.
    session, kind, day, angle, script
        As for ``add_recording``.
    confirmed : bool
        Whether somebody said that plays may go by number where sound does not tell.

    Raises
    ------
    NumbersAsked
        When they would go by number and nobody said so.
    BookError
        When two of them lie in one play, a play has film of this angle already, or they go by
        number and are more or fewer than the plays without it.
    FilmError, InputError, Cancelled
        The book then stays as it was.
    """
    home, _ = session_called(book, session, kind, day)
    sync, goals = beside.sync, None
    if isinstance(sync, Miss):
        _check_numbers(book, home, stretches, beside, angle, confirmed=confirmed)
    else:
        with open_film(path) as film:
            goals = _goals(book, film, stretches, beside, angle)
    before = {one.id for one in angles_of(book, home)}
    others = {one.clip_id: one for one in beside.angles}
    with book.act(f"add the {angle} recording of {home.name}") as act:
        added = add_recording(
            book, path, stretches, session=session, kind=kind, day=day, angle=angle,
            script=script, goals=goals, progress=progress, cancel=cancel,
        )  # fmt: skip
        new = [one for one in angles_of(book, home) if one.id not in before]
        if isinstance(sync, Sync):
            laid = [one for one in new if one.clip_id in others]
            act.put(*(lay_by_sound(one, others[one.clip_id], sync) for one in laid))
    have = {one.clip_id for one in angles_of(book, home) if one.name == angle}
    lacking = [clip.order for clip in book.find(Clip, session_id=home.id) if clip.id not in have]
    notes = [*(beside.told(path) if new else ()), *lacks_words(Path(path).name, lacking)]
    if added.clips:
        which = "one play" if added.clips == 1 else f"{added.clips} plays"
        notes.append(
            f"{Path(path).name} shows {which} that {beside.first.name} does not, put after the "
            "last."
        )
    return replace(added, notes=(*notes, *added.notes))


def _goals(
    book: Book,
    film: Film,
    stretches: Sequence[Stretch | None],
    beside: Beside,
    angle: str,
) -> list[Clip | None]:
    """Find which play each stretch shows: the one it shares most time with."""
    clips = {clip.id: clip for clip in book.find(Clip, id=[one.clip_id for one in beside.angles])}
    there = {one.clip_id: one for one in book.find(Angle, clip_id=list(clips)) if one.name == angle}
    mine = {film.id for film in book.find(StoredFilm, fingerprint=beside.fingerprint)}
    goals: list[Clip | None] = []
    for one in stretches:
        goal = None if one is None else _shown_by(one, film, beside)
        goals.append(None if goal is None else clips[goal.clip_id])
        if one is None or goal is None:
            continue
        order = clips[goal.clip_id].order
        if clips[goal.clip_id] in goals[:-1]:
            raise BookError(
                f"Two plays of this recording lie in play {order}; join them, or drop one."
            )
        has = there.get(goal.clip_id)
        again = has is not None and has.film_id in mine and share_frames(one, has)
        if has is not None and not again:
            raise BookError(f"Play {order} has {angle} film already; drop it from these.")
    return goals


def _shown_by(one: Stretch, film: Film, beside: Beside) -> Angle | None:
    """Return the play of the first recording with which a stretch shares most time."""
    sync = beside.sync
    assert isinstance(sync, Sync)
    from_s, to_s = (
        sync.on_first((pts - film.pts_of(0)) * film.time_base)
        for pts in (one.start_pts, one.stop_pts)
    )

    def shared_s(play: Angle) -> Fraction:
        times = [beside.first.time_of(pts) for pts in (play.start_pts, play.stop_pts)]
        return min(to_s, times[1]) - max(from_s, times[0])

    best = max(beside.angles, key=shared_s)
    return best if shared_s(best) > 0 else None


def _check_numbers(
    book: Book,
    home: Session,
    stretches: Sequence[Stretch | None],
    beside: Beside,
    angle: str,
    *,
    confirmed: bool,
) -> None:
    """Let plays go by number only where there are as many, and somebody said so."""
    assert isinstance(beside.sync, Miss)
    free, count = free_plays(book, home, angle), len(stretches)
    films = [film.id for film in book.find(StoredFilm, fingerprint=beside.fingerprint)]
    if not free or book.count(Angle, film_id=films):
        return
    if count != len(free):
        raise BookError(
            f"{beside.sync.reason} This recording has {count} plays, and {len(free)} plays of "
            f"the session have no {angle} film: join, split or drop until they agree."
        )
    if not confirmed:
        raise NumbersAsked(
            f"{beside.sync.reason} Its {count} plays would go to the {count} plays without "
            f"{angle} film: look at the first and the last, then have them given out by order."
        )
