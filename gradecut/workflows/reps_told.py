"""Many reps with all that is told of them, read at once and held against any scheme."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from gradecut.book import Book
from gradecut.records import Clip, FactValue, Grade, LineUp, Owed, Player, Rep
from gradecut.scheme import Scheme, Value
from gradecut.workflows.blind import seen
from gradecut.workflows.expecting import expect_rep, owed_by_word
from gradecut.workflows.looks import merge_facts, sides_on
from gradecut.workflows.rep_asked import RepAsked, own_side
from gradecut.workflows.roster import by_staff

__all__ = ["ClipTold", "RepTold", "reps_told", "standing_grades", "told_plays"]

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipTold:
    """A play with what is told of it.

    Attributes
    ----------
    look : mapping of reference to value
        As it adds up for the book's author.
    reps, line_ups : tuple
        Who was in.
    """

    clip: Clip
    look: Mapping[str, Value]
    reps: tuple[Rep, ...]
    line_ups: tuple[LineUp, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RepTold:
    """A rep with what is told of it.

    Attributes
    ----------
    owed : Owed or None
        The coach's word, which stands above any scheme.
    """

    rep: Rep
    play: ClipTold
    player: Player
    owed: Owed | None

    def under(self, scheme: Scheme | None, scheme_id: str | None) -> RepAsked:
        """Hold the rep against a scheme."""
        look = self.play.look
        sides = sides_on(scheme, self.play.reps, self.play.line_ups) if scheme else {}
        return RepAsked(
            rep=self.rep,
            clip=self.play.clip,
            scheme=scheme,
            scheme_id=scheme_id,
            look=look,
            own_side=own_side(scheme, self.rep.position, look, sides),
            expectation=expect_rep(scheme, self.rep, look, sides, kind=self.play.clip.kind),
            owed=self.owed,
        )


def told_plays(book: Book, clip_ids: Collection[str] | None = None) -> dict[str, ClipTold]:
    """Read plays of a book, by id, with what is told of them; all of them where none is named."""
    of: dict[str, Any] = {} if clip_ids is None else {"clip_id": list(clip_ids)}
    facts = _by(book.find(FactValue, **of), "clip_id")
    line_ups = _by(book.find(LineUp, **of), "clip_id")
    reps = _by(book.find(Rep, **of), "clip_id")
    return {
        clip.id: ClipTold(
            clip=clip,
            look=merge_facts(facts.get(clip.id, ()), book.author),
            reps=tuple(reps.get(clip.id, ())),
            line_ups=tuple(line_ups.get(clip.id, ())),
        )
        for clip in book.find(Clip, **({} if clip_ids is None else {"id": list(clip_ids)}))
    }


def reps_told(book: Book, plays: Mapping[str, ClipTold]) -> list[RepTold]:
    """Read all reps of plays that were read before, play after play."""
    players = {man.id: man for man in book.find(Player)}
    owed = _by(by_staff(book.find(Owed), players.values()), "rep_id")
    return [
        RepTold(
            rep=rep,
            play=play,
            player=players[rep.player_id],
            owed=owed_by_word(owed.get(rep.id, ()), book.author),
        )
        for play in plays.values()
        for rep in play.reps
    ]


def standing_grades(book: Book, *, author: str | None = None) -> dict[str, Grade]:
    """Return the grade that counts on each rep, by the rep's id.

    Parameters
    ----------
    author : str or None
        Whose; None: the newest anybody of the staff gave.
    """
    if author is not None:
        return {grade.rep_id: grade for grade in book.find(Grade, author=author)}
    grades = by_staff(seen(book, book.find(Grade)), book.find(Player))
    return {grade.rep_id: grade for grade in grades}


def _by(rows: Iterable[T], key: str) -> Mapping[str, list[T]]:
    grouped: defaultdict[str, list[T]] = defaultdict(list)
    for row in rows:
        grouped[getattr(row, key)].append(row)
    return grouped
