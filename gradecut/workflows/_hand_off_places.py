"""Which play, angle, man and scheme of this book a colleague's rows mean.

Books copied from each other share ids. Where books were made apart, a film is known by its
fingerprint, a play by the stretch of film it lies on, a man by his name, and a scheme by its
text.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from dataclasses import replace
from typing import Any

from gradecut.book import Book
from gradecut.records import (
    Angle,
    Clip,
    Grade,
    Player,
    SchemeVersion,
    Session,
    StoredFilm,
    new_id,
)
from gradecut.workflows._hand_off_form import HandOff

__all__ = ["Places"]

_LEAST_SHARED = 0.5
"""Two stretches are one play's where they share so much of the shorter one."""


class Places:
    """A colleague's ids, turned into those of this book.

    Attributes
    ----------
    clips : mapping of his clip id to Clip
        The play here; what is not in it was not found.
    angles : mapping of his angle id to Angle
    players : mapping of his player id to Player
        The man here; a new one where nobody here is he.
    new_players : set of ids
        Those that are not in this book yet.
    schemes : mapping of his scheme id to SchemeVersion
        The version here, or his own where the text is not here yet.
    new_schemes : set of ids
    doubts : mapping of his player id to str
        Why it can't be told who a man is, in one sentence.
    notes : list of str
        What a coach should know of how rows were matched.
    """

    def __init__(self, book: Book, told: HandOff) -> None:
        self._told = told
        self.notes: list[str] = []
        self.films = {film.id: film for film in book.find(StoredFilm)}
        self._same_film = self._films()
        self.sessions = {one.id: one for one in book.find(Session)}
        self._angles_of: defaultdict[str, list[Angle]] = defaultdict(list)
        for angle in told.of(Angle):
            self._angles_of[angle.clip_id].append(angle)
        films = [film for same in self._same_film.values() for film in same]
        self._here = book.find(Angle, film_id=films)
        self.clips = self._match_clips(book)
        self.angles = self._match_angles()
        self.players: dict[str, Player] = {}
        self.new_players: set[str] = set()
        self.doubts: dict[str, str] = {}
        self._match_players(book)
        self.schemes: dict[str, SchemeVersion] = {}
        self.new_schemes: set[str] = set()
        self._match_schemes(book)

    def play_words(self, clip: Clip) -> str:
        """Name a play of this book: "Tuesday, play 7"."""
        return f"{self.sessions[clip.session_id].name}, play {clip.order}"

    def coming_schemes(self) -> list[SchemeVersion]:
        """Return the scheme versions that are not in this book yet."""
        return [self.schemes[one] for one in self.new_schemes]

    def on_film(self, angle: Angle, row: Any) -> bool:
        """Tell whether what is marked on an angle of this book lies within its film."""
        film = self.films[angle.film_id]
        marked = (row.pts,) if hasattr(row, "pts") else (row.from_pts, row.to_pts)
        last = film.pts_of(film.duration_s)
        return all(film.first_pts <= pts <= last for pts in marked)

    def _films(self) -> dict[str, list[str]]:
        """Return the films here that are each of his films, by fingerprint."""
        by_print: defaultdict[str, list[str]] = defaultdict(list)
        for film in self.films.values():
            by_print[str(film.fingerprint)].append(film.id)
        return {film.id: by_print[str(film.fingerprint)] for film in self._told.of(StoredFilm)}

    def _match_clips(self, book: Book) -> dict[str, Clip]:
        his: tuple[Clip, ...] = self._told.of(Clip)
        shared = self._shared()
        by_id = {clip.id: clip for clip in book.find(Clip, id=[clip.id for clip in his])}
        found = {
            clip.id: by_id[clip.id]
            for clip in his
            if clip.id in by_id and (not self._angles_of[clip.id] or (clip.id, clip.id) in shared)
        }
        taken = {clip.id for clip in found.values()}
        best = sorted(shared, key=lambda pair: (-shared[pair], pair))
        here = {clip.id: clip for clip in book.find(Clip, id=list({one for _, one in best}))}
        for clip_id, own_id in best:
            if clip_id not in found and own_id not in taken:
                found[clip_id] = here[own_id]
                taken.add(own_id)
        return found

    def _shared(self) -> dict[tuple[str, str], float]:
        """Return how much film his plays share with those here, by (his, here)."""
        on_film: defaultdict[str, list[Angle]] = defaultdict(list)
        for angle in self._here:
            on_film[angle.film_id].append(angle)
        stretches = {film_id: _Stretches(own) for film_id, own in on_film.items()}
        found: defaultdict[tuple[str, str], float] = defaultdict(float)
        for angle in self._told.of(Angle):
            for film_id in self._same_film[angle.film_id]:
                for own in stretches[film_id].near(angle) if film_id in stretches else ():
                    share = _shared(angle, own)
                    if share >= _LEAST_SHARED:
                        found[angle.clip_id, own.clip_id] += share
        return found

    def _match_angles(self) -> dict[str, Angle]:
        of_clip: defaultdict[str, list[Angle]] = defaultdict(list)
        for own in self._here:
            of_clip[own.clip_id].append(own)
        found: dict[str, Angle] = {}
        for clip_id, clip in self.clips.items():
            for angle in self._angles_of[clip_id]:
                same = [
                    own
                    for own in of_clip[clip.id]
                    if own.film_id in self._same_film[angle.film_id]
                    and (own.id == angle.id or _shared(angle, own) >= _LEAST_SHARED)
                ]
                if same:
                    found[angle.id] = max(
                        same, key=lambda own: (own.id == angle.id, _shared(angle, own), own.id)
                    )
        return found

    def _graders(self, book: Book) -> set[str]:
        """Return who grades in this book: as a player's, his name would make his grades nothing."""
        names = (*book.authors(Grade), book.author, self._told.grader)
        return {_plain(name) for name in names}

    def _match_players(self, book: Book) -> None:
        here = book.find(Player)
        by_id = {man.id: man for man in here}
        by_name: defaultdict[str, list[Player]] = defaultdict(list)
        for man in here:
            if not man.unknown:
                by_name[_plain(man.name)].append(man)
        his_names = [_plain(man.name) for man in self._told.players if not man.unknown]
        graders = self._graders(book)
        for man in self._told.players:
            named = [] if man.unknown else by_name[_plain(man.name)]
            own = by_id.get(man.id)
            if own is not None and (not named or own in named):
                self.players[man.id] = own
                if not man.unknown and not own.unknown and _plain(own.name) != _plain(man.name):
                    self.notes.append(f"His {man.name} is {own.name} here.")
            elif len(named) > 1 or (named and his_names.count(_plain(man.name)) > 1):
                self.doubts[man.id] = (
                    f"Two men are called {man.name}; give each a name of his own on the roster, "
                    "then take the file again."
                )
            elif named:
                self.players[man.id] = named[0]
            elif _plain(man.name) in graders:
                self.doubts[man.id] = (
                    f"{man.name} is a player in his book and grades in this one; one of the two "
                    "needs another name, then take the file again."
                )
            else:
                self.players[man.id] = man
                self.new_players.add(man.id)
            self._note_age(man)

    def _note_age(self, man: Player) -> None:
        own = self.players.get(man.id)
        if own is not None and man.under_18 and not own.under_18:
            age = "is under 18" if man.age_told else "is of an age nobody told"
            self.notes.append(
                f"{man.name} {age} on his roster and not on yours; ask before film of him is "
                "shared."
            )

    def _match_schemes(self, book: Book) -> None:
        here = book.find(SchemeVersion)
        known, taken = {one.sha256: one for one in reversed(here)}, {one.id for one in here}
        for version in self._told.of(SchemeVersion):
            if version.sha256 not in known:
                self.new_schemes.add(version.id)
                other = version.id in taken
                known[version.sha256] = replace(version, id=new_id()) if other else version
            self.schemes[version.id] = known[version.sha256]


class _Stretches:
    """The stretches of one film, in order: a recording may hold a whole season's plays."""

    def __init__(self, angles: list[Angle]) -> None:
        self._angles = sorted(angles, key=lambda one: one.start_pts)
        self._starts = [one.start_pts for one in self._angles]
        self._longest = max(one.stop_pts - one.start_pts for one in angles)

    def near(self, angle: Angle) -> list[Angle]:
        """Return those that may share film with another stretch."""
        first = bisect_left(self._starts, angle.start_pts - self._longest)
        return self._angles[first : bisect_right(self._starts, angle.stop_pts)]


def _shared(one: Angle, other: Angle) -> float:
    """Return how much of the shorter stretch two stretches of one film share, 0 to 1."""
    both = min(one.stop_pts, other.stop_pts) - max(one.start_pts, other.start_pts) + 1
    shorter = min(one.stop_pts - one.start_pts, other.stop_pts - other.start_pts) + 1
    return max(both, 0) / shorter if shorter > 0 else 0.0


def _plain(name: str) -> str:
    return " ".join(name.split()).casefold()
