"""What the rules, or those who looked, left unclear on some plays."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from gradecut.book import Book
from gradecut.records import Clip, Grade, Player, RepLine
from gradecut.reports.wording import with_side
from gradecut.scheme import Scheme, fact_words
from gradecut.workflows.blind import seen
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.disputes import disputes_of
from gradecut.workflows.film_audit import MetLook, audit_film
from gradecut.workflows.reps_told import reps_told, told_plays
from gradecut.workflows.roster import by_staff

__all__ = ["UnclearPoint", "unclear_on"]

_MET = {
    "hole": "no rule",
    "overlap": "rules disagree",
    "open": "a fact is open",
    "unread": "can't be read",
}
_STAYS_OPEN = " stays open, as "


@dataclass(frozen=True, slots=True, kw_only=True)
class UnclearPoint:
    """One thing that was unclear.

    Attributes
    ----------
    kind : str
        In a few words.
    says : str
        One sentence.
    plays : tuple of int
        As the coach numbers them.
    """

    kind: str
    says: str
    plays: tuple[int, ...]


def unclear_on(
    book: Book, parts: Sequence[Sequence[RepLine]]
) -> tuple[tuple[UnclearPoint, ...], ...]:
    """Find what was unclear on the plays of some reps, part by part, such as by period.

    Looks the scheme has no rule or two for, or can't be read; facts still open; the coach's
    word against the rules; facts and grades that two of the staff told differently; grades
    that today's look or rules would not give. Plays that were none are left out. The book is
    read once for all parts.

    Parameters
    ----------
    parts : sequence of (sequence of RepLine)
        With the grades that count; no play in two of them.
    """
    runs = [[line for line in part if line.clip.kind != "no play"] for part in parts]
    every = [line for part in runs for line in part]
    if not every:
        return tuple(() for _ in parts)
    clips = {line.clip.id: line.clip for line in every}
    scheme, players = scheme_in_force(book), book.find(Player)
    met = () if scheme is None else audit_film(book, scheme, clip_ids=list(clips)).met
    overruled = [] if scheme is None else list(_overruled(book, scheme, clips))
    disputed = list(_looks_disputed(book, clips))
    grades = by_staff(seen(book, book.find(Grade, rep_id=[line.rep.id for line in every])), players)
    found = []
    for own in runs:
        here = {line.clip.id: line.clip for line in own}
        found.append(
            (
                *_met(_met_here(met, here), here),
                *(point for clip_id, point in (*overruled, *disputed) if clip_id in here),
                *_grades_disputed(grades, own),
                *_stale(own),
            )
        )
    return tuple(found)


def _met_here(met: Sequence[MetLook], clips: Mapping[str, Clip]) -> list[MetLook]:
    """Keep of the looks met badly what is of some plays."""
    cut = (replace(one, clips=tuple(key for key in one.clips if key in clips)) for one in met)
    return [one for one in cut if one.clips]


def _orders(clips: Iterable[Clip]) -> tuple[int, ...]:
    return tuple(sorted(clip.order for clip in clips))


def _met(met: Sequence[MetLook], clips: Mapping[str, Clip]) -> Iterator[UnclearPoint]:
    """Give the looks the scheme answers badly, men who wait for the same fact in one line."""
    open_to: defaultdict[tuple[str, tuple[int, ...]], list[str]] = defaultdict(list)
    for one in met:
        plays = _orders(clips[key] for key in one.clips)
        tail = one.message.removeprefix(f"{one.position}{_STAYS_OPEN}")
        if one.kind == "open" and tail != one.message:
            open_to[tail, plays].append(one.position)
        else:
            yield UnclearPoint(kind=_MET[one.kind], says=one.message, plays=plays)
    for (tail, plays), men in open_to.items():
        yield UnclearPoint(kind=_MET["open"], says=f"{', '.join(men)}: {tail.strip()}", plays=plays)


def _overruled(
    book: Book, scheme: Scheme, clips: Mapping[str, Clip]
) -> Iterator[tuple[str, UnclearPoint]]:
    """Give the reps on which the coach's word is another than the rules', or theirs is missing."""
    for told in reps_told(book, told_plays(book, list(clips))):
        owed = told.owed
        if owed is None:
            continue
        said = told.under(scheme, None).expectation
        if said.fit == owed.fit and owed.side in (None, said.side):
            continue
        rules = f"the rules say {with_side(said.fit, said.side)}" if said.fit else "no rule says"
        reason = f": {owed.reason}" if owed.reason else ""
        yield (
            told.play.clip.id,
            UnclearPoint(
                kind="a coach's word",
                says=f"{told.rep.position} owed {with_side(owed.fit, owed.side)}, {rules}{reason}.",
                plays=_orders([told.play.clip]),
            ),
        )


def _looks_disputed(book: Book, clips: Mapping[str, Clip]) -> Iterator[tuple[str, UnclearPoint]]:
    """Give the facts that two of the staff marked differently."""
    for dispute in disputes_of(book, clip_ids=list(clips)):
        yield (
            dispute.clip_id,
            UnclearPoint(
                kind="a look in dispute",
                says=f"{fact_words(dispute.reference).capitalize()}: {dispute.words}.",
                plays=(clips[dispute.clip_id].order,),
            ),
        )


def _grades_disputed(grades: Sequence[Grade], lines: Sequence[RepLine]) -> Iterator[UnclearPoint]:
    """Give the reps two of the staff graded differently."""
    by_rep: defaultdict[str, dict[str, str]] = defaultdict(dict)
    for grade in grades:
        if grade.fitted:
            by_rep[grade.rep_id][grade.author] = grade.fit_result
    for line in lines:
        said = by_rep.get(line.rep.id, {})
        if len(set(said.values())) > 1:
            told = ", ".join(f"{author} says {result}" for author, result in said.items())
            yield UnclearPoint(
                kind="graded two ways",
                says=f"{line.rep.position}: {told}.",
                plays=(line.clip.order,),
            )


def _stale(lines: Sequence[RepLine]) -> Iterator[UnclearPoint]:
    """Give the men whose grades today's look, word or rules would not give."""
    by_man: defaultdict[str, list[int]] = defaultdict(list)
    for line in lines:
        if line.stale:
            by_man[line.rep.position].append(line.clip.order)
    men_of: defaultdict[tuple[int, ...], list[str]] = defaultdict(list)
    for position, plays in by_man.items():
        men_of[tuple(plays)].append(position)
    for orders, men in men_of.items():
        yield UnclearPoint(
            kind="changed since",
            says=f"{', '.join(men)}: graded before the look, a coach's word or the rules changed.",
            plays=orders,
        )
