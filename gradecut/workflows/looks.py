"""The look of a clip: what was said of it, by whom, and what that adds up to."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import lru_cache

from gradecut.book import Book
from gradecut.errors import LookError
from gradecut.hints import nearest
from gradecut.records import Clip, FactValue, LineUp, Rep, Source
from gradecut.scheme import Fact, Scheme, Value

__all__ = [
    "forget_fact",
    "look_digest",
    "look_of",
    "merge_facts",
    "read_by",
    "read_value",
    "same_value",
    "sides_on",
    "spell_value",
    "tell_fact",
    "tell_facts",
]

_READ_IN_ORDER: Mapping[Source, int] = {"marked": 0, "script": 1, "estimated": 2}


def merge_facts(facts: Iterable[FactValue], author: str = "") -> dict[str, Value]:
    """Add up the answers about one look: marked before script before estimated.

    Among marked answers the reader's own come first, then the newest.
    """
    ranked = sorted(
        facts,
        key=lambda fact: (_READ_IN_ORDER[fact.source], fact.author != author),
    )
    best: dict[str, FactValue] = {}
    for fact in ranked:
        held = best.get(fact.reference)
        if held is None or (
            held.source == fact.source
            and (held.author != author) == (fact.author != author)
            and fact.id > held.id
        ):
            best[fact.reference] = fact
    return {reference: fact.value for reference, fact in best.items()}


def look_of(book: Book, clip_id: str) -> dict[str, Value]:
    """Return what is known of a clip's look."""
    return merge_facts(book.find(FactValue, clip_id=clip_id), book.author)


def read_by(scheme: Scheme, look: Mapping[str, Value]) -> dict[str, Value]:
    """Return as much of a stored look as a scheme knows; the rest is passed over.

    What was told in the words of another version, a fact or a value this one does not have,
    stays stored and counts again as soon as a scheme that knows it is in force.

    Parameters
    ----------
    look : mapping of reference to value
        As ``look_of`` gives it.
    """
    known = _known(scheme)
    return {
        reference: value
        for reference, value in look.items()
        if (type(value), value) in known.get(reference, ())
    }


@lru_cache(maxsize=16)
def _known(scheme: Scheme) -> Mapping[str, frozenset[tuple[type, Value]]]:
    # With the type: 1 and true are equal to Python, and different answers to a coach.
    return {
        reference: frozenset((type(value), value) for value in scheme.values_of(reference))
        for reference in scheme.references
    }


def look_digest(look: Mapping[str, Value]) -> str:
    """Return a short digest that changes when, and only when, the look does."""
    told = json.dumps(sorted(look.items()), ensure_ascii=False, separators=(",", ":"))
    return hashlib.blake2b(told.encode(), digest_size=12).hexdigest()


def tell_fact(
    book: Book, scheme: Scheme, clip: Clip, reference: str, value: Value, *, source: Source
) -> dict[str, Value]:
    """Record one fact of a look and return the look it makes.

    Facts that no longer apply because of it (a pass has no run side) are dropped, whoever
    said them; undo brings them back.

    Raises
    ------
    LookError
        When the scheme does not know it, or such a look can't be.
    """
    return tell_facts(book, scheme, clip, {reference: value}, source=source)


def tell_facts(
    book: Book, scheme: Scheme, clip: Clip, told: Mapping[str, Value], *, source: Source
) -> dict[str, Value]:
    """Record several facts of one look at once; see ``tell_fact``."""
    known = book.find(FactValue, clip_id=clip.id)
    author = book.author if source == "marked" else ""
    for reference, value in told.items():
        fact = scheme.fact_of(reference)
        if value not in fact.values:
            ways = ", ".join(str(one) for one in fact.values)
            raise LookError(f"“{reference}” has no value “{value}”; it has {ways}.")
    mine = {
        fact.reference: fact for fact in known if (fact.source, fact.author) == (source, author)
    }
    others = [fact for fact in known if (fact.source, fact.author) != (source, author)]
    new = {
        reference: replace(mine[reference], value=value)
        if reference in mine
        else FactValue(
            clip_id=clip.id, reference=reference, value=value, source=source, author=author
        )
        for reference, value in told.items()
    }
    kept = {**mine, **new}
    look = merge_facts([*others, *kept.values()], book.author)
    dropped = _idle_references(scheme, look, protected=frozenset(told))
    look = {key: value for key, value in look.items() if key not in dropped}
    faults = scheme.look_faults(read_by(scheme, look))
    if faults:
        raise LookError(f"Play {clip.order}: {faults[0]}.")
    gone = [fact for fact in known if fact.reference in dropped]
    with book.act(f"tell the look of play {clip.order}") as act:
        act.drop_all(gone)
        act.put(*new.values())
    return look


def _idle_references(
    scheme: Scheme, look: Mapping[str, Value], protected: frozenset[str]
) -> frozenset[str]:
    """Find recorded facts that have no value any more on this look (a pass has no run side)."""
    look = read_by(scheme, look)
    if not scheme.look_faults(look):
        return frozenset()
    candidates = [
        key for key in look if key not in protected and scheme.fact_of(key).applies is not None
    ]
    return frozenset(
        key
        for key in candidates
        if not scheme.look_faults({k: v for k, v in look.items() if k != key})
    )


def forget_fact(book: Book, clip: Clip, reference: str) -> None:
    """Take back what the book's author marked for one fact; what the script says stays."""
    mine = book.find(
        FactValue, clip_id=clip.id, reference=reference, source="marked", author=book.author
    )
    with book.act(f"take back “{reference}” of play {clip.order}") as act:
        act.drop_all(mine)


def read_value(fact: Fact, text: str) -> Value:
    """Read a fact's value as a person writes it.

    Raises
    ------
    LookError
        When it is none of the fact's values; names the nearest.
    """
    told = text.strip()
    spelt = {spell_value(value): value for value in fact.values}
    found = {text.lower(): value for text, value in spelt.items()}.get(told.lower())
    if found is None:
        raise LookError(
            f"“{told}” is no answer to “{fact.asks or fact.name}”; {nearest(told, spelt)}"
        )
    return found


def same_value(one: Value, other: Value) -> bool:
    """Tell whether two answers are the same one: 1 is not yes, and 0 is not no."""
    return (type(one), one) == (type(other), other)


def spell_value(value: Value) -> str:
    """Write an answer as a coach writes it, and as ``read_value`` reads it: yes, not True."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def sides_on(
    scheme: Scheme, reps: Iterable[Rep] = (), line_ups: Iterable[LineUp] = ()
) -> dict[str, str]:
    """Return the sides that were told for men who line up on either side."""
    told = {row.position: row.side for row in line_ups if row.side} | {
        rep.position: rep.side for rep in reps if rep.side
    }
    return {
        position: side
        for position, side in told.items()
        if position in scheme.positions and scheme.positions[position].side == "as aligned"
    }
