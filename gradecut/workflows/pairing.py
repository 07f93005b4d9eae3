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
from gradecut.workflows.aligning import Aligned, Shot, align, times_hold
from gradecut.workflows.films import paths_of_films
from gradecut.workflows.syncing import HEARD_HZ, hear_play

__all__ = ["Pairing", "PairingAsked", "free_plays", "propose_pairing", "recorded_s"]

Matched = Sequence[tuple[int, int]]

_APART_S = 20.0
_NEIGHBOURS = 2
_TIMES_FIT_S = 6.0
_TELLS = 1.0
"""A pairing less ahead of the next than this tells nothing (a ratio of 3 to 1)."""


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
    that need not agree), and what was heard where both angles have sound.

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
    aligned = align(first, second, heard)
    pairs = _pairs_of(aligned, clips, known, films)
    rows = _Rows(
        angle=angle, plays=[clip.order for clip in known], films=films, first=first, second=second,
        heard=heard,
    )  # fmt: skip
    reasons = _reasons(aligned, rows)
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
    """Pair with plays that have no film of any other angle: nothing but order can tell."""
    pairs = tuple(
        (clip.order if clip is not None else None, film) for clip, film in zip_longest(clips, films)
    )
    said = "These plays have no film of another angle to compare with, so order alone decides."
    even = len(clips) == len(films)
    unchecked = _not_checked(angle) if even else ""
    return Pairing(angle=angle, pairs=pairs, certain=False, reasons=(said,), unchecked=unchecked)


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


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rows:
    """What was laid along each other, to tell of it."""

    angle: str
    plays: Sequence[int]
    films: Sequence[Path]
    first: Sequence[Shot]
    second: Sequence[Shot]
    heard: Mapping[tuple[int, int], bool]

    @property
    def in_order(self) -> Matched:
        """The pairs order alone would make."""
        return [(place, place) for place in range(min(len(self.first), len(self.second)))]


def _reasons(aligned: Aligned, rows: _Rows) -> list[str]:
    """Say what is proposed and what speaks for it, the proposal first."""
    matched = [(one, two) for one, two in aligned.pairs if one is not None and two is not None]
    proofs = [
        _lengths_say(aligned, rows, matched),
        *_times_say(aligned, rows, matched),
        *_sounds_say(rows, matched),
    ]
    # What speaks loudest for the proposal, against order alone, comes first.
    proof = [said for _, said in sorted(proofs, key=lambda one: -one[0])]
    left = _what_is_left(aligned, rows)
    if left and aligned.margin < _TELLS:
        left = (
            f"there are {len(rows.second)} {rows.angle} films for {len(rows.first)} plays, and "
            "nothing tells which has none of the other"
        )
    if left:
        proof[0] = f"{left}: {_lowered(proof[0])}"
    told = [f"{one[0].upper()}{one[1:]}." for one in proof]
    if abs(aligned.longer_s) >= 0.5:
        than = "longer" if aligned.longer_s > 0 else "shorter"
        told.append(
            f"The {rows.angle} films are about {abs(aligned.longer_s):.1f} s {than} throughout; "
            "that is allowed for."
        )
    if not aligned.certain:
        told.append("Another pairing fits nearly as well, so look at some of the pairs first.")
    return told


def _what_is_left(aligned: Aligned, rows: _Rows) -> str:
    """Say which film seems to be missing, and which film shows no play."""
    missing = [
        str(rows.plays[one]) for one, two in aligned.pairs if two is None and one is not None
    ]
    extra = [rows.films[two].name for one, two in aligned.pairs if one is None and two is not None]
    told = []
    if len(missing) == 1:
        told.append(f"the {rows.angle} film of play {missing[0]} seems to be missing")
    elif missing:
        told.append(f"the {rows.angle} films of plays {_listed(missing)} seem to be missing")
    if extra:
        seems = "seems" if len(extra) == 1 else "seem"
        told.append(f"{_listed(extra)} {seems} to show none of the plays")
    return " and ".join(told)


def _lowered(said: str) -> str:
    return f"{said[0].lower()}{said[1:]}"


def _listed(words: Sequence[str]) -> str:
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def _lengths_say(aligned: Aligned, rows: _Rows, matched: Matched) -> tuple[int, str]:
    more = [
        [rows.second[two].length_s - rows.first[one].length_s for one, two in pairs]
        for pairs in (matched, rows.in_order)
    ]
    fits = [sum(abs(one - aligned.longer_s) <= aligned.near_s for one in row) for row in more]
    said = f"Lengths fit for {fits[0]} of {len(matched)} pairs within {aligned.near_s:.1f} s"
    return _against_order(said, fits, rows, matched)


def _times_say(aligned: Aligned, rows: _Rows, matched: Matched) -> list[tuple[int, str]]:
    if aligned.clock_s is None:
        timed = all(shot.at_s is not None for shot in (*rows.first, *rows.second))
        if timed and not (times_hold(rows.first) and times_hold(rows.second)):
            return [(-1, "The times of the files are those of copying and tell nothing")]
        return []
    ahead = [
        [(rows.second[two].at_s or 0.0) - (rows.first[one].at_s or 0.0) for one, two in pairs]
        for pairs in (matched, rows.in_order)
    ]
    fits = [sum(abs(one - aligned.clock_s) <= _TIMES_FIT_S for one in row) for row in ahead]
    said = f"The times they were filmed fit for {fits[0]} of {len(matched)} pairs"
    return [_against_order(said, fits, rows, matched)]


def _sounds_say(rows: _Rows, matched: Matched) -> list[tuple[int, str]]:
    if not any(rows.heard.values()):
        return []
    fits = [
        sum(rows.heard.get(pair, False) for pair in pairs) for pairs in (matched, rows.in_order)
    ]
    said = f"{fits[0]} of {len(matched)} pairs were heard to be one scene"
    return [_against_order(said, fits, rows, matched)]


def _against_order(
    said: str, fits: Sequence[int], rows: _Rows, matched: Matched
) -> tuple[int, str]:
    """Add how many pairs order alone would fit; give how many more the proposal fits."""
    if matched == rows.in_order:
        return 0, said
    return fits[0] - fits[1], f"{said}, against {fits[1]} of {len(rows.in_order)} by order"
