"""Who was in, by a colleague's book and by this one: reps found, put in, or refused."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from gradecut.book import Book
from gradecut.book.schema import table_of
from gradecut.records import Angle, Clip, LineUp, Player, Rep, Session, StoredFilm, new_id
from gradecut.workflows._hand_off_form import HandOff
from gradecut.workflows._hand_off_journal import Journal
from gradecut.workflows._hand_off_places import Places
from gradecut.workflows.line_ups import touched

__all__ = ["InPlace", "find_in_place"]


@dataclass(slots=True, kw_only=True)
class InPlace:
    """His reps, as they are in this book.

    Attributes
    ----------
    reps : dict of his rep id to Rep
        Here already, or to be put in.
    refused : dict of his rep id to str
        Why it can't be put in, in one sentence.
    put_reps, put_line_ups : list
        What is not here yet.
    named : list of Rep and LineUp
        What is here under a man nobody knew, with the man he has named since.
    leaving : list of (Rep, id of the rep put in for it)
        Reps nobody has said anything of, whose man was not the one.
    leaving_line_ups : list of (LineUp, id of the rep put in for it)
    """

    told: HandOff
    reps: dict[str, Rep] = field(default_factory=dict)
    refused: dict[str, str] = field(default_factory=dict)
    put_reps: list[Rep] = field(default_factory=list)
    put_line_ups: list[LineUp] = field(default_factory=list)
    named: list[Any] = field(default_factory=list)
    leaving: list[tuple[Rep, str]] = field(default_factory=list)
    leaving_line_ups: list[tuple[LineUp, str]] = field(default_factory=list)

    def missing_play(self, clip_id: str) -> str:
        """Say that a play of his is not in this book."""
        clip = next(one for one in self.told.of(Clip) if one.id == clip_id)
        session = next(one for one in self.told.of(Session) if one.id == clip.session_id)
        films = {one.film_id for one in self.told.of(Angle) if one.clip_id == clip_id}
        names = [film.name for film in self.told.of(StoredFilm) if film.id in films]
        film = f" ({names[0]})" if names else ""
        return (
            f"{session.name}, play {clip.order}{film} is not in this book; add its film, then "
            "take the file again."
        )

    def missing_angle(self, angle_id: str) -> str:
        """Say that an angle he marked something on is not in this book."""
        angle = next(one for one in self.told.of(Angle) if one.id == angle_id)
        clip = next(one for one in self.told.of(Clip) if one.id == angle.clip_id)
        return (
            f"The {angle.name} film of play {clip.order} is not in this book; add it, then take "
            "the file again."
        )

    def outside_film(self, angle_id: str) -> str:
        """Say that something is marked where the film of an angle has no picture."""
        angle = next(one for one in self.told.of(Angle) if one.id == angle_id)
        clip = next(one for one in self.told.of(Clip) if one.id == angle.clip_id)
        return f"Something marked on play {clip.order} lies outside its film, and is left out."


def find_in_place(book: Book, told: HandOff, places: Places) -> InPlace:
    """Find each of his reps in this book, or say what would have to be put in."""
    return _Men(book, told, places).find()


class _Men:
    def __init__(self, book: Book, told: HandOff, places: Places) -> None:
        self._told, self._places = told, places
        ids = [clip.id for clip in places.clips.values()]
        self._reps: defaultdict[str, list[Rep]] = defaultdict(list)
        for rep in book.find(Rep, clip_id=ids):
            self._reps[rep.clip_id].append(rep)
        self._line_ups: defaultdict[str, list[LineUp]] = defaultdict(list)
        for row in book.find(LineUp, clip_id=ids):
            self._line_ups[row.clip_id].append(row)
        self._here = {man.id: man for man in book.find(Player)}
        self._his_rows = {
            (row.clip_id, row.position, row.player_id): row for row in told.of(LineUp)
        }
        taken = book.find(Rep, id=[rep.id for rep in told.of(Rep)])
        self._taken: Mapping[str, Rep] = {rep.id: rep for rep in taken}
        rows = book.find(LineUp, id=[row.id for row in told.of(LineUp)])
        self._taken_rows = {row.id for row in rows}
        self._stood_by = self._by_others(book)
        self.found = InPlace(told=told)

    def find(self) -> InPlace:
        for rep in self._told.of(Rep):
            clip = self._places.clips.get(rep.clip_id)
            if clip is None:
                self.found.refused[rep.id] = self.found.missing_play(rep.clip_id)
            elif rep.player_id in self._places.doubts:
                self.found.refused[rep.id] = self._places.doubts[rep.player_id]
            else:
                self._place(rep, clip, self._places.players[rep.player_id])
        return self.found

    def _place(self, rep: Rep, clip: Clip, man: Player) -> None:
        """Find one rep here, or let it be put in."""
        here = self._reps[clip.id]
        same = [one for one in here if (one.position, one.player_id) == (rep.position, man.id)]
        own = self._taken.get(rep.id)
        if same:
            self.found.reps[rep.id] = same[0]
        elif own is not None and (own.clip_id, own.position) == (clip.id, rep.position):
            self._named_since(rep, own, man)
        else:
            self._put_in(rep, clip, man, here)

    def _named_since(self, rep: Rep, own: Rep, man: Player) -> None:
        """Take a rep that has another man here: one of the two books did not know him yet."""
        if man.unknown:
            self.found.reps[rep.id] = own
        elif self._here[own.player_id].unknown:
            named = replace(own, player_id=man.id)
            self.found.reps[rep.id] = named
            self.found.named.append(named)
            rows = [row for row in self._line_ups[own.clip_id] if row.player_id == own.player_id]
            self.found.named += [replace(row, player_id=man.id) for row in rows]
        else:
            self.found.refused[rep.id] = self._two_men(own.clip_id, rep.position, man, [own])

    def _put_in(self, rep: Rep, clip: Clip, man: Player, here: list[Rep]) -> None:
        """Let a man be put in whom this book does not have there."""
        leaving = [one for one in here if one.position == rep.position or one.player_id == man.id]
        rows = [
            row
            for row in self._line_ups[clip.id]
            if row.position == rep.position or row.player_id == man.id
        ]
        if not self._may_leave(leaving, rows, man):
            self.found.refused[rep.id] = self._two_men(clip.id, rep.position, man, leaving, rows)
            return
        made = replace(rep, clip_id=clip.id, player_id=man.id)
        if rep.id in self._taken:
            made = replace(made, id=new_id())
        self.found.reps[rep.id] = made
        self.found.put_reps.append(made)
        self.found.leaving += [(one, made.id) for one in leaving]
        self.found.leaving_line_ups += [(row, made.id) for row in rows]
        told = self._his_rows.get((rep.clip_id, rep.position, rep.player_id))
        row = told or LineUp(clip_id=clip.id, position=rep.position, player_id=man.id)
        row = replace(row, clip_id=clip.id, player_id=man.id)
        if row.id in self._taken_rows:
            row = replace(row, id=new_id())
        self.found.put_line_ups.append(row)

    def _may_leave(self, reps: list[Rep], rows: list[LineUp], man: Player) -> bool:
        """Tell whether nobody stands by who is in there now: only the script, or he himself."""
        if man.unknown and (reps or rows):
            return False
        return self._stood_by.isdisjoint([one.id for one in reps] + [row.id for row in rows])

    def _by_others(self, book: Book) -> set[str]:
        """Return the reps here of which something was said, and the men others put in by hand."""
        said = touched(book, [rep for some in self._reps.values() for rep in some])
        every = (row for some in self._line_ups.values() for row in some)
        marked = [row.id for row in every if row.source == "marked"]
        last = Journal(book, self._told.grader).last(table_of(LineUp), marked)
        return said | {key[1] for key, touch in last.items() if touch.by != self._told.grader}

    def _two_men(
        self,
        clip_id: str,
        position: str,
        man: Player,
        reps: list[Rep],
        rows: list[Any] | None = None,
    ) -> str:
        clip = next(one for one in self._places.clips.values() if one.id == clip_id)
        here = {one.player_id: one.position for one in (*reps, *(rows or ()))}
        told = " and ".join(
            f"{self._here[player_id].name} at {spot}" for player_id, spot in here.items()
        )
        return (
            f"{self._places.play_words(clip)}: he has {man.name} at {position}, and here it is "
            f"{told}; put the right man in, then take the file again."
        )
