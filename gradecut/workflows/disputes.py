"""The look is recorded once, and disputed openly: where two graders tell a fact otherwise.

Both words stay in the book until one of them settles it; who said what is never hidden.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.records import Clip, FactValue, Player
from gradecut.scheme import Value
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.looks import same_value, spell_value, tell_facts
from gradecut.workflows.roster import by_staff

__all__ = ["Dispute", "disputes_of", "settle_fact"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Dispute:
    """One fact of one play that graders tell otherwise.

    Attributes
    ----------
    said : tuple of (grader, value)
        Each grader's word, in the order of their names.
    """

    clip_id: str
    reference: str
    said: tuple[tuple[str, Value], ...]

    @property
    def words(self) -> str:
        """Who says what: "J. Alder says left, R. Boone says right"."""
        return ", ".join(f"{who} says {spell_value(value)}" for who, value in self.said)


def disputes_of(
    book: Book,
    *,
    session_ids: Collection[str] | None = None,
    clip_ids: Collection[str] | None = None,
) -> tuple[Dispute, ...]:
    """Return the facts that graders of the staff marked otherwise, in the order of the plays.

    Parameters
    ----------
    session_ids, clip_ids : collection of str or None
        Only these; None: all.
    """
    wanted: dict[str, Any] = {}
    if session_ids is not None:
        wanted["session_id"] = list(session_ids)
    if clip_ids is not None:
        wanted["id"] = list(clip_ids)
    clips = book.find(Clip, **wanted)
    narrowed: dict[str, Any] = {"clip_id": [clip.id for clip in clips]} if wanted else {}
    marked = by_staff(book.find(FactValue, source="marked", **narrowed), book.find(Player))
    told: defaultdict[tuple[str, str], list[FactValue]] = defaultdict(list)
    for fact in marked:
        told[fact.clip_id, fact.reference].append(fact)
    place = {clip.id: number for number, clip in enumerate(clips)}
    found = [
        Dispute(
            clip_id=clip_id,
            reference=reference,
            said=tuple(sorted((fact.author, fact.value) for fact in facts)),
        )
        for (clip_id, reference), facts in told.items()
        if not all(same_value(fact.value, facts[0].value) for fact in facts)
    ]
    return tuple(sorted(found, key=lambda one: (place[one.clip_id], one.reference)))


def settle_fact(book: Book, clip: Clip, reference: str, value: Value) -> None:
    """Settle a disputed fact: this grader says it, and words that say otherwise go.

    One act, of this grader's, that names who said what; undo brings every word back. The rep's
    history keeps it, and a hand-off that still says otherwise is told as such, not taken in.

    Raises
    ------
    BookError
        When nobody disputes it, or there is no scheme.
    LookError
        When the scheme does not know the value, or such a look can't be.
    """
    scheme = scheme_in_force(book)
    found = [one for one in disputes_of(book, clip_ids=[clip.id]) if one.reference == reference]
    if scheme is None or not found:
        raise BookError(f"Nobody tells “{reference}” of play {clip.order} otherwise any more.")
    staff = by_staff(
        book.find(FactValue, clip_id=clip.id, reference=reference, source="marked"),
        book.find(Player),
    )
    others = [
        fact for fact in staff if fact.author != book.author and not same_value(fact.value, value)
    ]
    verb = f"settle “{reference}” of play {clip.order}: {spell_value(value)}"
    with book.act(verb) as act:
        act.drop_all(others)
        tell_facts(book, scheme, clip, {reference: value}, source="marked")
