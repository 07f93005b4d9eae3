"""A rep with all that it is judged by."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from gradecut.book import Book
from gradecut.errors import GradecutError
from gradecut.records import Clip, Expectation, FactValue, LineUp, Owed, Player, Rep, Rubric, Side
from gradecut.scheme import Scheme, Value
from gradecut.workflows.booking import book_info, scheme_in_force
from gradecut.workflows.expecting import expect_rep, owed_by_word
from gradecut.workflows.looks import merge_facts, read_by, sides_on
from gradecut.workflows.roster import by_staff

__all__ = ["RepAsked", "ask_rep", "ask_reps", "own_side"]

_NOTHING: Mapping[str, Value] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class RepAsked:
    """A rep with all that it is judged by.

    Attributes
    ----------
    scheme : Scheme or None
        In force; None while the book has none.
    look : mapping of reference to value
        All that is told, also what the scheme does not know.
    own_side : "left", "right" or None
        The man's own side on this look.
    expectation : Expectation
        By the scheme.
    owed : Owed or None
        The coach's word, which stands above it.
    """

    rep: Rep
    clip: Clip
    scheme: Scheme | None
    scheme_id: str | None
    look: Mapping[str, Value]
    own_side: Side | None
    expectation: Expectation
    owed: Owed | None

    @property
    def rubric(self) -> Rubric:
        """How the staff grades; the usual rubric while there is no scheme."""
        return self.scheme.rubric if self.scheme else Rubric()

    @property
    def settled(self) -> bool:
        """Whether somebody or something says what he owed."""
        return self.owed is not None or self.expectation.settled

    @property
    def owes(self) -> str | None:
        """The fit he owed; None while it is open."""
        return self.owed.fit if self.owed else self.expectation.fit

    @property
    def misses(self) -> tuple[tuple[str, Any], ...]:
        """How that fit goes wrong, with the credit of each."""
        if self.owed is None:
            return self.expectation.misses
        known = self.scheme.fits.get(self.owed.fit) if self.scheme else None
        return known.misses if known else ()


def ask_rep(book: Book, rep: Rep) -> RepAsked:
    """Gather all that a rep is judged by."""
    return ask_reps(book, book.get(Clip, rep.clip_id), [rep])[0]


def ask_reps(
    book: Book, clip: Clip, reps: Sequence[Rep], *, carried: Mapping[str, Value] = _NOTHING
) -> list[RepAsked]:
    """Gather what the reps of one clip are judged by.

    Parameters
    ----------
    carried : mapping of reference to value
        What the look takes over from the last play, beside what the book tells of it.
    """
    return book.reading(lambda: _ask_reps(book, clip, reps, carried))


def _ask_reps(
    book: Book, clip: Clip, reps: Sequence[Rep], carried: Mapping[str, Value]
) -> list[RepAsked]:
    scheme = scheme_in_force(book)
    told = merge_facts(book.find(FactValue, clip_id=clip.id), book.author)
    look = {**carried, **told}
    sides = (
        sides_on(scheme, book.find(Rep, clip_id=clip.id), book.find(LineUp, clip_id=clip.id))
        if scheme
        else {}
    )
    scheme_id = book_info(book).scheme_id
    owed = by_staff(book.find(Owed, rep_id=[rep.id for rep in reps]), book.find(Player))
    return [
        RepAsked(
            rep=rep,
            clip=clip,
            scheme=scheme,
            scheme_id=scheme_id,
            look=look,
            own_side=own_side(scheme, rep.position, look, sides),
            expectation=expect_rep(scheme, rep, look, sides, kind=clip.kind),
            owed=owed_by_word([one for one in owed if one.rep_id == rep.id], book.author),
        )
        for rep in reps
    ]


def own_side(
    scheme: Scheme | None, position: str, look: Mapping[str, Value], sides: Mapping[str, str]
) -> Side | None:
    """Return a man's own side on a look; None where it is open or he has none."""
    if scheme is None or position not in scheme.positions:
        return None
    try:
        return scheme.side_of(position, read_by(scheme, look), sides.get(position))
    except GradecutError:
        return None
