"""What a play's picture takes over from the last play, until it is confirmed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from gradecut.book import Book
from gradecut.records import Clip, FactValue, Grade, Rep
from gradecut.scheme import Scheme, Value
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.looks import look_of, merge_facts, read_by
from gradecut.workflows.periods import OFF_FILM, plays_before

__all__ = [
    "carried_look",
    "is_judged",
    "keep_carried",
    "look_to_confirm",
]


def carried_look(
    book: Book, clip: Clip, told: Mapping[str, Value] | None = None
) -> dict[str, Value]:
    """Return the facts a play's look takes over from the plays before it.

    Only facts known before the snap, which neither film nor script nor a measurement told of
    this play; each from the nearest earlier play of its session and period where somebody
    marked it or the script told it. What would make the look impossible is left out. Nothing
    is taken over once the book's author has judged somebody here: from then on the look is
    what it was judged by.

    Parameters
    ----------
    told : mapping of reference to value or None
        What is known of this play's look; None: it is read.

    Returns
    -------
    dict
        Reference to value, in the order a play shows them; nothing of it is stored.
    """
    scheme = scheme_in_force(book)
    if scheme is None or clip.kind in OFF_FILM:
        return {}
    known = look_of(book, clip.id) if told is None else told
    wanted = [one for one in _before_the_snap(scheme) if one not in known]
    if not wanted or is_judged(book, clip):
        return {}
    found, look = _last_told(book, scheme, clip, wanted), read_by(scheme, known)
    carried: dict[str, Value] = {}
    for reference in wanted:
        if reference not in found:
            continue
        more = {reference: found[reference]}
        if not scheme.look_faults({**look, **carried, **more}):
            carried |= more
    return carried


def keep_carried(book: Book, clip: Clip) -> dict[str, Value]:
    """Store as marked what a play's look takes over: somebody is judged by it now.

    Returns
    -------
    dict
        What was stored.
    """
    carried = book.reading(lambda: carried_look(book, clip))
    _put(book, clip, _marked(book, clip, carried))
    return carried


def look_to_confirm(book: Book, clip: Clip, carried: Mapping[str, Value]) -> list[FactValue]:
    """Return as marked all that is known of a look and that no person has marked yet.

    What the script says, what was measured and what is taken over from the last play was
    drawn, and the book's author says it is so. What another grader marked stands as it is.

    Parameters
    ----------
    carried : mapping of reference to value
        As ``carried_look`` gives it.

    Returns
    -------
    list of FactValue
        Not stored yet; facts the scheme in force does not know are left alone.
    """
    scheme = scheme_in_force(book)
    if scheme is None:
        return []
    facts = book.find(FactValue, clip_id=clip.id)
    marked = {fact.reference for fact in facts if fact.source == "marked"}
    shown = {**carried, **read_by(scheme, merge_facts(facts, book.author))}
    return _marked(book, clip, {key: shown[key] for key in shown if key not in marked})


def _marked(book: Book, clip: Clip, told: Mapping[str, Value]) -> list[FactValue]:
    return [
        FactValue(clip_id=clip.id, reference=reference, value=value, author=book.author)
        for reference, value in told.items()
    ]


def _put(book: Book, clip: Clip, facts: Sequence[FactValue]) -> None:
    if facts:
        with book.act(f"confirm the look of play {clip.order}") as act:
            act.put(*facts)


def _before_the_snap(scheme: Scheme) -> list[str]:
    return [one for one in scheme.play_order if scheme.fact_of(one).known == "before"]


def is_judged(book: Book, clip: Clip) -> bool:
    """Tell whether the book's author has judged anybody on a clip."""
    # Asked as the lines of a clip are, so that reading both at one go asks once.
    reps = [rep.id for rep in book.find(Rep, clip_id=[clip.id])]
    return any(grade.author == book.author for grade in book.find(Grade, rep_id=reps))


def _last_told(book: Book, scheme: Scheme, clip: Clip, wanted: Sequence[str]) -> dict[str, Value]:
    """Find what was told last of some facts, on the plays before this one in its period."""
    found: dict[str, Value] = {}
    for earlier in plays_before(book, clip):
        facts = book.find(FactValue, clip_id=[one.id for one in earlier], reference=list(wanted))
        for one in earlier:
            told = merge_facts(
                (fact for fact in facts if fact.clip_id == one.id and fact.source != "estimated"),
                book.author,
            )
            found = read_by(scheme, told) | found
        if all(reference in found for reference in wanted):
            break
    return found
