"""A pairing looked at before it is taken: plays and films side by side, films moved along."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from statistics import median

from gradecut.book import Book
from gradecut.counting_words import counted
from gradecut.film import open_film
from gradecut.records import Angle, Clip, StoredFilm
from gradecut.workflows.adding import find_session
from gradecut.workflows.pairing import Pairing

__all__ = ["PairRow", "PairingDesk", "read_pairing"]

_APART_S = 1.0
"""Angles of one play differ by less in length, where both cameras follow the whistle (a guess)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PairRow:
    """One play and its film.

    Attributes
    ----------
    play : int or None
        None for a film that shows no play; it is left out.
    film : Path or None
        None for a play without film.
    play_s, film_s : float or None
        How long the play is in its first angle, and the film, in seconds.
    apart : bool
        Whether the lengths speak against it, after what this camera runs longer throughout.
    """

    play: int | None
    film: Path | None
    play_s: float | None
    film_s: float | None
    apart: bool = False

    @property
    def words(self) -> str:
        """What it shows, for whoever can't see it."""
        if self.play is None:
            return f"{self.film.name if self.film else ''}: no play, left out"
        film = self.film.name if self.film is not None else "no film"
        return f"Play {self.play}: {film}{', lengths differ' if self.apart else ''}"


class PairingDesk:
    """Plays in their order and films in theirs, and which stands beside which.

    Attributes
    ----------
    proposed : Pairing
        As it was proposed.
    pairs : list of (int or None, Path or None)
        As it stands.
    """

    def __init__(
        self,
        proposed: Pairing,
        plays_s: Mapping[int, float] | None = None,
        films_s: Mapping[Path, float] | None = None,
    ) -> None:
        self.proposed = proposed
        self.pairs = list(proposed.pairs)
        self._plays_s, self._films_s = plays_s or {}, films_s or {}

    @property
    def rows(self) -> list[PairRow]:
        """What stands beside what."""
        rows = [
            PairRow(
                play=play,
                film=film,
                play_s=None if play is None else self._plays_s.get(play),
                film_s=None if film is None else self._films_s.get(film),
            )
            for play, film in self.pairs
        ]
        longer_s = [
            row.film_s - row.play_s
            for row in rows
            if row.film_s is not None and row.play_s is not None
        ]
        usual_s = median(longer_s) if longer_s else 0.0
        return [
            replace(row, apart=abs(row.film_s - row.play_s - usual_s) > _APART_S)
            if row.film_s is not None and row.play_s is not None
            else row
            for row in rows
        ]

    @property
    def accepted(self) -> Pairing:
        """The pairing as it stands, to be handed back."""
        return replace(self.proposed, pairs=tuple(self.pairs))

    def told(self) -> str:
        """Count: "12 films paired, 1 play without film, 1 film left out"."""
        paired = sum(play is not None and film is not None for play, film in self.pairs)
        bare = sum(film is None for _, film in self.pairs)
        left = sum(play is None for play, _ in self.pairs)
        told = [counted(paired, "film") + " paired"]
        told += [f"{counted(bare, 'play')} without film"] if bare else []
        told += [f"{counted(left, 'film')} left out"] if left else []
        return ", ".join(told)

    def move_on(self, place: int) -> int:
        """Leave this play without film: its film and those below go one play on.

        They go as far as the next play without film takes one up; else the last film is
        left out. Returns the row the film stands in then.
        """
        film = self.pairs[place][1] if 0 <= place < len(self.pairs) else None
        if film is None or self.pairs[place][0] is None:
            return place
        self._move_on(place)
        return self._row_of(film)

    def _move_on(self, place: int) -> None:
        rows = [row for row in range(place, len(self.pairs)) if self.pairs[row][0] is not None]
        carried: Path | None = None
        for row in rows:
            play, film = self.pairs[row]
            self.pairs[row] = (play, carried)
            carried = film
            if film is None:
                return
        self.pairs.append((None, carried))

    def move_back(self, place: int) -> int:
        """Give this film to the play before, where that has none, and those below follow.

        Returns the row the film stands in then.
        """
        plays = [row for row, (play, _) in enumerate(self.pairs) if play is not None]
        before = [row for row in plays if row < place]
        if not before or self.pairs[before[-1]][1] is not None or self.pairs[place][1] is None:
            return place
        gap, film = before[-1], self.pairs[place][1]
        if self.pairs[place][0] is None:
            self.pairs[gap] = (self.pairs[gap][0], film)
            del self.pairs[place]
        else:
            self._close(gap)
        return self._row_of(film)

    def leave_out(self, place: int) -> int:
        """Say that a film shows no play, so that those below go one play back; or undo that.

        Returns the row the film stands in then.
        """
        if not 0 <= place < len(self.pairs) or self.pairs[place][1] is None:
            return place
        play, film = self.pairs[place]
        if play is not None:
            self.pairs[place] = (play, None)
            self._close(place)
            self.pairs.insert(place, (None, film))
            return self._row_of(film)
        following = next(
            (row for row in range(place + 1, len(self.pairs)) if self.pairs[row][0] is not None),
            None,
        )
        if following is None:
            return place
        if self.pairs[following][1] is not None:
            self._move_on(following)
        self.pairs[following] = (self.pairs[following][0], film)
        del self.pairs[place]
        return self._row_of(film)

    def begin_again(self) -> None:
        """Go back to what was proposed."""
        self.pairs = list(self.proposed.pairs)

    def _row_of(self, film: Path | None) -> int:
        """Set films left out between the ones filmed before and after; return a film's row.

        A film that went past one left out would else come out of order when that is taken in.
        """
        filmed = {one: number for number, (_, one) in enumerate(self.proposed.pairs) if one}
        for left in [one for play, one in self.pairs if play is None and one is not None]:
            row = self.pairs.index((None, left))
            by = {at: filmed[one] - filmed[left] for at, (_, one) in enumerate(self.pairs) if one}
            after = [at for at, later in by.items() if later > 0 and at < row]
            before = [at for at, later in by.items() if later < 0 and at > row]
            if after or before:
                self.pairs.insert(after[0] if after else before[-1], self.pairs.pop(row))
        return [one for _, one in self.pairs].index(film)

    def _close(self, gap: int) -> None:
        """Let the films below a play without film move up, to the next such play."""
        rows = [row for row in range(gap, len(self.pairs)) if self.pairs[row][0] is not None]
        for here, below in pairwise(rows):
            film = self.pairs[below][1]
            self.pairs[here] = (self.pairs[here][0], film)
            self.pairs[below] = (self.pairs[below][0], None)
            if film is None:
                return


def read_pairing(book: Book, session: str, proposed: Pairing) -> PairingDesk:
    """Read how long plays and films are; it opens each film, so do it beside the window.

    Raises
    ------
    FilmError, BookError
    """
    home = find_session(book, session)
    orders = {clip.id: clip.order for clip in book.find(Clip, session_id=home.id)}
    angles = [one for one in book.find(Angle, clip_id=list(orders)) if one.name != proposed.angle]
    films = {film.id: film for film in book.find(StoredFilm, id=[one.film_id for one in angles])}
    plays_s: dict[int, float] = {}
    for one in angles:
        film = films[one.film_id]
        length_s = film.time_of(one.stop_pts) - film.time_of(one.start_pts)
        plays_s.setdefault(orders[one.clip_id], float(length_s))
    films_s: dict[Path, float] = {}
    for _, path in proposed.pairs:
        if path is not None:
            with open_film(path) as shown:
                films_s[path] = float(shown.time_of(shown.frame_count - 1))
    return PairingDesk(proposed, plays_s, films_s)
