"""Which film of a further angle shows which play: proposed with reasons, never guessed silently."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import zip_longest
from os import PathLike
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.film import open_film, recorded_at
from gradecut.film.hearing.sound_offset import offset_between
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Angle, Clip, Session, StoredFilm
from gradecut.workflows.aligning import Aligned, Shot, align_named
from gradecut.workflows.films import paths_of_films
from gradecut.workflows.pairing_names import plays_named
from gradecut.workflows.pairing_reasons import Rows, reasons_of
from gradecut.workflows.syncing import HEARD_HZ, hear_play

__all__ = ["Pairing", "PairingAsked", "free_plays", "propose_pairing", "recorded_s"]

_APART_S = 20.0
_NEIGHBOURS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Pairing:
    """Which film of an angle goes to which play.

    Attributes
    ----------
    angle : str
    pairs : tuple of (int or None, Path or None)
        Play and film, in order; no film where the play's is missing, no play where the film
        shows none of the session's (it is then left out). Change a pair to correct it.
    certain : bool
        Whether everything else fits far worse.
    reasons : tuple of str
        What speaks for it, one sentence each.
    unchecked : str
        Why order alone was believed, as a sentence, where neither times nor sound could tell
        that no film is missing and none too many; empty where they could.
    """

    angle: str
    pairs: tuple[tuple[int | None, Path | None], ...]
    certain: bool
    reasons: tuple[str, ...]
    unchecked: str = ""

    @property
    def missing(self) -> tuple[int, ...]:
        """Plays without a film."""
        return tuple(play for play, path in self.pairs if path is None and play is not None)

    @property
    def extra(self) -> tuple[Path, ...]:
        """Films without a play."""
        return tuple(path for play, path in self.pairs if play is None and path is not None)

    @property
    def plain(self) -> bool:
        """Whether each film has its play in order and nothing speaks against it."""
        in_order = not self.missing and not self.extra
        return in_order and (self.certain or bool(self.unchecked))


class PairingAsked(BookError):
    """Films of a further angle whose order alone does not tell their plays.

    Attributes
    ----------
    pairing : Pairing
        What is proposed; hand it back, as it is or corrected, to accept it.
    """

    def __init__(self, pairing: Pairing) -> None:
        self.pairing = pairing
        said = pairing.reasons[0].rstrip(".")
        super().__init__(
            f"The {pairing.angle} film is not paired yet: {said}; look at the pairing proposed "
            "and accept it, correct it, or have it paired by order."
        )


def free_plays(book: Book, session: Session, angle: str) -> list[Clip]:
    """Return the plays a further angle's films go to: those after its last that lack it."""
    clips = book.find(Clip, session_id=session.id)
    there = book.find(Angle, clip_id=[clip.id for clip in clips], name=angle)
    have = {one.clip_id for one in there}
    last = max((clip.order for clip in clips if clip.id in have), default=0)
    return [clip for clip in clips if clip.order > last]


def propose_pairing(
    book: Book,
    session: Session,
    paths: Sequence[str | PathLike[str]],
    angle: str,
    *,
    plays: Sequence[Clip] | None = None,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> Pairing:
    """Propose which play each film of a further angle shows.

    Weighed together: the order, how long the clips are, when they were filmed (by two clocks
    that need not agree), what was heard where both angles have sound, and the plays that the
    films' names tell of. Names shift what is proposed, but never make it certain.

    Parameters
    ----------
    paths : sequence of path
        Films of the angle in order, read before.
    plays : sequence of Clip, optional
        Which plays they may go to; the free ones when left out.

    Raises
    ------
    FilmError
        When a film can't be opened.
    Cancelled
        When asked to stop.
    """
    films = [Path(path) for path in paths]
    clips = free_plays(book, session, angle) if plays is None else list(plays)
    if not clips or not films:
        alone: list[tuple[int | None, Path | None]] = [(clip.order, None) for clip in clips]
        alone += [(None, path) for path in films]
        return Pairing(
            angle=angle, pairs=tuple(alone), certain=True, reasons=("There is nothing to pair.",)
        )
    others = _others(book, clips, angle)
    stored = {
        film.id: film for film in book.find(StoredFilm, id=[one.film_id for one in others.values()])
    }
    known = [clip for clip in clips if clip.id in others]
    first = [_shot_of(others[clip.id], stored) for clip in known]
    second = [_shot_at(path) for path in films]
    if not known:
        return _by_order_alone(clips, films, angle)
    heard = _listen(
        book, [others[clip.id] for clip in known], stored, films, progress=progress, cancel=cancel
    )
    rows = [clip.order for clip in known]
    names = {clip.order: stored[others[clip.id].film_id].name for clip in known}
    plays_told = plays_named([path.stem for path in films], names, angle=angle)
    named = {film: rows.index(play) for film, play in plays_told.items()}
    aligned, unnamed = align_named(first, second, heard, named)
    pairs = _pairs_of(aligned, clips, known, films)
    compared = Rows(
        angle=angle, plays=rows, films=films, first=first, second=second, heard=heard, named=named
    )
    reasons = reasons_of(aligned, unnamed, compared)
    in_order = all(play is not None and path is not None for play, path in pairs)
    unchecked = ""
    if in_order and aligned.certain and aligned.by_lengths:
        unchecked = _not_checked(angle)
    # One film missing and another too many can leave lengths looking right.
    certain = aligned.certain and not unchecked
    progress(1.0, "Pairing proposed")
    return Pairing(
        angle=angle, pairs=pairs, certain=certain, reasons=tuple(reasons), unchecked=unchecked
    )


def _not_checked(angle: str) -> str:
    return (
        f"The {angle} films went to the plays by order alone: neither times nor sound could check "
        "it, so look at a pair early, one in the middle and the last."
    )


def recorded_s(told: str) -> float | None:
    """Turn a time of filming into seconds; None when it is not told."""
    try:
        return datetime.fromisoformat(told).timestamp() if told else None
    except ValueError:
        return None


def _others(book: Book, clips: Sequence[Clip], angle: str) -> dict[str, Angle]:
    """Return for each play the angle it was there with first, where it has one."""
    found: dict[str, Angle] = {}
    for one in sorted(
        book.find(Angle, clip_id=[clip.id for clip in clips]), key=lambda one: one.id
    ):
        if one.name != angle:
            found.setdefault(one.clip_id, one)
    return found


def _by_order_alone(clips: Sequence[Clip], films: Sequence[Path], angle: str) -> Pairing:
    """Pair with plays that have no film of any other angle: only names and order can tell."""
    named = plays_named([path.stem for path in films], {clip.order: "" for clip in clips})
    if named:
        film_of = {play: films[place] for place, play in named.items()}
        pairs: list[tuple[int | None, Path | None]] = [
            (clip.order, film_of.get(clip.order)) for clip in clips
        ]
        said = "The names of the films say which plays they show, and nothing else can check it."
    else:
        pairs = [
            (clip.order if clip is not None else None, film)
            for clip, film in zip_longest(clips, films)
        ]
        said = "These plays have no film of another angle to compare with, so order alone decides."
    even = len(clips) == len(films)
    unchecked = _not_checked(angle) if even else ""
    return Pairing(
        angle=angle, pairs=tuple(pairs), certain=False, reasons=(said,), unchecked=unchecked
    )


def _shot_of(angle: Angle, stored: Mapping[str, StoredFilm]) -> Shot:
    film = stored[angle.film_id]
    begun_s = float(film.time_of(angle.start_pts))
    at_s = recorded_s(film.recorded_at)
    return Shot(
        length_s=max(float(film.time_of(angle.stop_pts)) - begun_s, 0.05),
        at_s=None if at_s is None else at_s + begun_s,
    )


def _shot_at(path: Path) -> Shot:
    with open_film(path) as film:
        length_s = float(film.time_of(film.frame_count - 1))
    return Shot(length_s=max(length_s, 0.05), at_s=recorded_s(recorded_at(path)))


def _pairs_of(
    aligned: Aligned, clips: Sequence[Clip], known: Sequence[Clip], films: Sequence[Path]
) -> tuple[tuple[int | None, Path | None], ...]:
    """Name plays and films; a play that no other angle shows has no film proposed."""
    pairs: list[tuple[int | None, Path | None]] = []
    blind = [clip.order for clip in clips if clip not in known]
    for one, other in aligned.pairs:
        play = None if one is None else known[one].order
        while play is not None and blind and blind[0] < play:
            pairs.append((blind.pop(0), None))
        pairs.append((play, None if other is None else films[other]))
    return (*pairs, *((order, None) for order in blind))


def _listen(
    book: Book,
    angles: Sequence[Angle],
    stored: Mapping[str, StoredFilm],
    films: Sequence[Path],
    *,
    progress: Progress,
    cancel: CancelToken | None,
) -> dict[tuple[int, int], bool]:
    """Compare the sounds of pairs that may belong together; none where either has no sound."""
    paths = paths_of_films(book, list(stored))
    heard: dict[tuple[int, int], bool] = {}
    reach = abs(len(angles) - len(films)) + _NEIGHBOURS
    sounds: dict[int, NDArray[np.float32] | None] = {}
    for column, path in enumerate(films):
        if cancel is not None:
            cancel.check("Pairing the films")
        progress(0.9 * column / len(films), f"Listening to {path.name}")
        there = hear_play(path)
        rows = range(max(column - reach, 0), min(column + reach + 1, len(angles)))
        for row in rows if there is not None else ():
            if row not in sounds:
                sounds[row] = _sound_of_angle(angles[row], stored, paths)
            here = sounds[row]
            if here is not None and there is not None:
                laid = offset_between(here, there, HEARD_HZ, reach_s=_APART_S)
                heard[row, column] = laid is not None
        sounds = {row: sound for row, sound in sounds.items() if row >= column - reach}
    return heard


def _sound_of_angle(
    angle: Angle, stored: Mapping[str, StoredFilm], paths: Mapping[str, str]
) -> NDArray[np.float32] | None:
    """Return what was heard in an angle's stretch of its film."""
    if angle.film_id not in paths:
        return None
    film = stored[angle.film_id]
    return hear_play(
        paths[angle.film_id], film.time_of(angle.start_pts), film.time_of(angle.stop_pts)
    )
