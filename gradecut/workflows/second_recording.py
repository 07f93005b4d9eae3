"""A further camera's recording of plays that were cut from the first camera's recording.

The plays are known already: the sounds of both recordings tell where each of them lies in the
second. Only where the sounds do not match are plays looked for in its own pictures.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from os import PathLike
from pathlib import Path

from gradecut.book import Book
from gradecut.errors import FilmError
from gradecut.film import Film, open_film
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Angle, Clip, Fingerprint, Session, StoredFilm, Stretch
from gradecut.records.estimate import Miss
from gradecut.workflows.adding import session_called
from gradecut.workflows.cutting import OnPicture, carry_stretches, propose_plays
from gradecut.workflows.films import path_of_film
from gradecut.workflows.syncing import Sync, sync_recordings

__all__ = ["Beside", "SecondPlays", "angles_of", "lacks_words", "lay_beside", "propose_second"]

_LEAST_SHOWN_S = 1
_CUT_S = Fraction(1, 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """How a recording lies beside the one a session's plays were cut from.

    Attributes
    ----------
    first : StoredFilm
        The recording the plays were cut from.
    angles : tuple of Angle
        The plays in it, in order of time.
    fingerprint : Fingerprint
        Of the further recording.
    sync : Sync or Miss
        From the further recording's time to the first's; a Miss where sound does not tell.
    """

    first: StoredFilm
    angles: tuple[Angle, ...]
    fingerprint: Fingerprint
    sync: Sync | Miss

    def told(self, path: str | PathLike[str]) -> tuple[str, ...]:
        """Say in words how the recording lies, how far the clocks part, and how sure it is."""
        if isinstance(self.sync, Miss):
            return (self.sync.reason,)
        offset_s, ppm = float(self.sync.offset_s), float(self.sync.scale - 1) * 1e6
        when = "after" if offset_s >= 0 else "before"
        clocks = "their clocks run alike"
        if ppm:
            clocks = (
                f"its clock runs {abs(ppm):.0f} ppm {'slow' if ppm > 0 else 'fast'} against that "
                f"one’s ({abs(ppm) * 0.0036:.2f} s in an hour), which is taken out"
            )
        return (
            f"{Path(path).name} begins {abs(offset_s):.3f} s {when} {self.first.name}; {clocks}.",
            self.sync.reasons[0],
            self.sync.reasons[-1],
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondPlays:
    """The plays proposed for a further recording.

    Attributes
    ----------
    plays : tuple of Stretch or None
        In order; None for a play of the first recording that this one does not show.
    notes : tuple of str
        How they were found, and what is missing.
    """

    plays: tuple[Stretch | None, ...]
    notes: tuple[str, ...]


def lay_beside(
    book: Book,
    path: str | PathLike[str],
    *,
    session: str,
    angle: str,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> Beside | None:
    """Lay a recording beside the one from which the plays of a session were cut, by sound.

    Parameters
    ----------
    path : path
        The further recording.
    session, angle : str
        Where its plays are to go.

    Returns
    -------
    Beside or None
        None where there is nothing to lay it beside: a new session, plays that are films of
        their own, or the first recording itself.

    Raises
    ------
    FilmError
        When the recording can't be opened.
    Cancelled
        When asked to stop.
    """
    home, is_new = session_called(book, session)
    of_film: defaultdict[str, list[Angle]] = defaultdict(list)
    for one in [] if is_new else angles_of(book, home):
        if one.name != angle:
            of_film[one.film_id].append(one)
    # Of several, the recording most plays were cut from; of equals, the one there first.
    most = max(of_film.values(), key=len, default=[])
    with open_film(path) as film:
        fingerprint = film.fingerprint
    if len(most) < 2:
        return None
    first = book.get(StoredFilm, most[0].film_id)
    if first.fingerprint == fingerprint:
        return None
    try:
        sync = sync_recordings(path_of_film(book, first), path, progress, cancel)
    except FilmError as error:
        sync = Miss(str(error))
    angles = tuple(sorted(most, key=lambda one: one.start_pts))
    return Beside(first=first, angles=angles, fingerprint=fingerprint, sync=sync)


def propose_second(
    book: Book,
    path: str | PathLike[str],
    beside: Beside,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
    *,
    on_picture: OnPicture | None = None,
) -> SecondPlays:
    """Propose the plays of a further recording: carried from the first by sound.

    Where sound does not tell, they are looked for in its own pictures, as ``propose_plays``
    does.

    Raises
    ------
    FilmError
        When a film can't be opened.
    Cancelled
        When asked to stop.
    """
    sync = beside.sync
    if isinstance(sync, Miss):
        plays = propose_plays(path, progress, cancel, on_picture=on_picture)
        said = "Its plays were looked for in its own pictures and go by number; look at them."
        return SecondPlays(plays=plays, notes=(*beside.told(path), said))
    orders = _orders_of(book, beside)
    known = [
        Stretch(
            start_pts=one.start_pts,
            stop_pts=one.stop_pts,
            why=(
                f"Play {orders[one.clip_id]} of {beside.first.name}, laid here by what both heard.",
                sync.reasons[0],
            ),
        )
        for one in beside.angles
    ]
    with (
        open_film(path_of_film(book, beside.first)) as film_a,
        open_film(path) as film_b,
    ):
        carried = carry_stretches(
            known, film_a, film_b, 1 / sync.scale, -sync.offset_s / sync.scale
        )
        shown = tuple(
            _as_shown(one, _length_s(film_a, first), film_b)
            for first, one in zip(known, carried, strict=True)
        )
    numbers = [orders[one.clip_id] for one in beside.angles]
    lacking = [number for number, one in zip(numbers, shown, strict=True) if one is None]
    in_part = [
        number
        for number, one in zip(numbers, shown, strict=True)
        if one is not None and len(one.why) > len(known[0].why)
    ]
    notes = [*beside.told(path)[:2], *lacks_words(Path(path).name, lacking)]
    if in_part:
        notes.append(f"{Path(path).name} shows {_plays(in_part)} only in part.")
    progress(1.0, "Plays carried over")
    return SecondPlays(plays=shown, notes=tuple(notes))


def angles_of(book: Book, home: Session) -> list[Angle]:
    """Return all angles of a session, the one there first ahead."""
    clips = [clip.id for clip in book.find(Clip, session_id=home.id)]
    return sorted(book.find(Angle, clip_id=clips), key=lambda one: one.id)


def _orders_of(book: Book, beside: Beside) -> dict[str, int]:
    clips = book.find(Clip, id=[one.clip_id for one in beside.angles])
    return {clip.id: clip.order for clip in clips}


def _length_s(film: Film, stretch: Stretch) -> Fraction:
    return (stretch.stop_pts - stretch.start_pts) * film.time_base


def _as_shown(one: Stretch | None, length_s: Fraction, film: Film) -> Stretch | None:
    """Say of a play that the film shows in part; a moment of one is none of it."""
    if one is None:
        return None
    shown_s = _length_s(film, one)
    if length_s - shown_s < _CUT_S:
        return one
    if shown_s < _LEAST_SHOWN_S:
        return None
    said = f"The film shows {float(shown_s):.1f} of its {float(length_s):.1f} s."
    return replace(one, why=(*one.why, said))


def lacks_words(name: str, plays: Sequence[int]) -> list[str]:
    """Say which plays a recording does not show."""
    return [f"{name} does not show {_plays(plays)}."] if plays else []


def _plays(plays: Iterable[int]) -> str:
    """Name plays: ``play 3``, ``plays 3, 5 and 6``."""
    words = [str(play) for play in plays]
    if len(words) == 1:
        return f"play {words[0]}"
    return f"plays {', '.join(words[:-1])} and {words[-1]}"
