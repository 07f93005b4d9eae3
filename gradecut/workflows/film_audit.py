"""His own film against a scheme: which looks he has really met it answers badly."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from gradecut.book import Book
from gradecut.counting_words import all_listed
from gradecut.errors import LookError
from gradecut.grading import wilson_interval
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Expectation
from gradecut.scheme import Scheme, Value
from gradecut.workflows.expecting import expect_rep
from gradecut.workflows.looks import read_by, sides_on, spell_value
from gradecut.workflows.reps_told import RepTold, reps_told, told_plays

__all__ = ["FilmAudit", "MetLook", "audit_film", "badly_answered"]

Kind = Literal["hole", "overlap", "open", "unread"]
_TELL_EVERY = 50
_NO_ANSWER = ((None, None),)


@dataclass(frozen=True, slots=True, kw_only=True)
class MetLook:
    """A look met on film to which a scheme has no good answer for one man.

    Attributes
    ----------
    position : str
        The man.
    look : mapping of reference to value
        As much of the look as makes it so: what all these plays have in common.
    kind : "hole", "overlap", "open" or "unread"
        No rule; rules that disagree; a fact that matters is not told, or told in words the
        scheme does not know; or a look or man the scheme can't read.
    rules : tuple of str
        The rules that disagree, in file order.
    clips : tuple of str
        The plays, by id.
    message : str
        One sentence.
    """

    position: str
    look: Mapping[str, Value]
    kind: Kind
    rules: tuple[str, ...]
    clips: tuple[str, ...]
    message: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmAudit:
    """How a scheme answers what was met on film.

    Attributes
    ----------
    met : tuple of MetLook
        What is answered badly, the most frequent first.
    well, reps : int
        Reps with one answer, and reps whose look is told far enough to have one.
    low, high : float or None
        The Wilson interval of well of reps; None where there is no rep.
    open : int
        Reps that wait for a fact; not counted in ``reps``.
    untold : int
        Reps on plays of whose look nothing is told; counted nowhere else.
    """

    met: tuple[MetLook, ...]
    well: int
    reps: int
    low: float | None
    high: float | None
    open: int
    untold: int

    @property
    def words(self) -> str:
        """All of it in one sentence."""
        if not self.reps:
            said = "No rep's look is told far enough to be answered"
        else:
            share = f"{self.well / self.reps:.0%}, {self.low:.0%} to {self.high:.0%}"
            said = f"{self.well} of {self.reps} reps are well answered ({share})"
        said += f"; {self.open} wait for a fact" if self.open else ""
        said += f"; of {self.untold} nothing is told" if self.untold else ""
        return f"{said}."


def badly_answered(
    book: Book,
    scheme: Scheme,
    *,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> tuple[MetLook, ...]:
    """Find looks really met on film that a scheme answers badly; see ``audit_film``."""
    return audit_film(book, scheme, progress=progress, cancel=cancel).met


def audit_film(
    book: Book,
    scheme: Scheme,
    *,
    clip_ids: Collection[str] | None = None,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> FilmAudit:
    """Hold every rep of a book against a scheme: how many it answers well, and which badly.

    The coach's own word does not count: it is the scheme that is asked. Men the scheme does
    not grade are asked too, since the front is drawn and audited with them.

    Parameters
    ----------
    clip_ids : collection of str or None
        Only these plays; None: all.

    Raises
    ------
    Cancelled
        When asked to stop.
    """
    reps = reps_told(book, told_plays(book, clip_ids))
    told = [rep for rep in reps if rep.play.look]
    bad: defaultdict[tuple[str, Kind, tuple[str, ...], str], list[RepTold]] = defaultdict(list)
    looks: dict[tuple[str, Kind, tuple[str, ...], str], Mapping[str, Value]] = {}
    well = waiting = 0
    for number, rep in enumerate(told):
        if number % _TELL_EVERY == 0:
            if cancel is not None:
                cancel.check("Looking through the film")
            progress(number / len(told), "Holding the film against the scheme")
        found = _judge(scheme, rep)
        if found is None:
            well += 1
            continue
        kind, rules, look, message = found
        waiting += kind == "open"
        bad[rep.rep.position, kind, rules, message].append(rep)
        looks[rep.rep.position, kind, rules, message] = look
    progress(1.0, "Looked through the film")
    met = [
        MetLook(
            position=key[0], look=looks[key], kind=key[1], rules=key[2], message=key[3],
            clips=tuple(dict.fromkeys(rep.rep.clip_id for rep in reps_of)),
        )
        for key, reps_of in bad.items()
    ]  # fmt: skip
    answered = len(told) - waiting
    low, high = wilson_interval(well, answered) if answered else (None, None)
    return FilmAudit(
        met=tuple(sorted(met, key=lambda one: (-len(one.clips), one.position, one.message))),
        well=well,
        reps=answered,
        low=low,
        high=high,
        open=waiting,
        untold=len(reps) - len(told),
    )


_Found = tuple[Kind, tuple[str, ...], Mapping[str, Value], str]


def _judge(scheme: Scheme, rep: RepTold) -> _Found | None:
    """Say how a rep is answered badly; None where it is answered well."""
    sides = sides_on(scheme, rep.play.reps, rep.play.line_ups)
    position = rep.rep.position
    said = expect_rep(scheme, rep.rep, rep.play.look, sides)
    if said.settled:
        return None
    if not said.options:
        return "unread", (), {}, f"{position}: {said.reason}"
    look = rep.play.look
    known = read_by(scheme, look)
    kind, rules, least, message = _told(
        scheme, position, tuple(sorted(known.items())), sides.get(position)
    )
    if kind == "open":
        message += _passed_over(scheme, look, known)
    return kind, rules, least, message


def _passed_over(scheme: Scheme, look: Mapping[str, Value], known: Mapping[str, Value]) -> str:
    """Name what is told and was passed over: it may be what leaves the look open."""
    told = [
        f"“{key} {spell_value(look[key])}”" if key in scheme.references else f"“{key}”"
        for key in sorted(look.keys() - known.keys())
    ]
    if not told:
        return ""
    return f" Passed over, as this scheme does not know it: {all_listed(told)}."


@lru_cache(maxsize=4096)
def _told(
    scheme: Scheme, position: str, told: tuple[tuple[str, Value], ...], side: str | None
) -> _Found:
    """Say what is wrong with a scheme's answer to as much of a look as it knows."""
    from gradecut.scheme.auditing.wording import hole, overlap

    look = _least(scheme, position, dict(told), side)
    said = scheme.expect(position, look, side)
    man = scheme.positions[position]
    if said.options != _NO_ANSWER:
        asks = [scheme.fact_of(reference).asks or reference for reference in said.needs[:1]]
        first = f" First answer: {asks[0]}" if asks else ""
        return (
            "open",
            (),
            look,
            f"{position} stays open, as a fact that matters is not set.{first}",
        )
    if said.clash:
        return "overlap", said.clash, look, overlap(scheme, man, said.clash, look)
    # Told by the whole look: the least of it may do without what gives him his side.
    sideless = man.side != "none" and scheme.side_of(position, dict(told), side) is None
    return "hole", (), look, hole(scheme, man, look, sideless=sideless)


def _least(
    scheme: Scheme, position: str, look: dict[str, Value], side: str | None
) -> dict[str, Value]:
    """Leave out of a look, in file order from the last, whatever its answer does not hang on."""
    whole = _answer(scheme.expect(position, look, side))
    for reference in reversed(scheme.references):
        less = {key: value for key, value in look.items() if key != reference}
        if len(less) == len(look):
            continue
        try:
            said = scheme.expect(position, less, side)
        except LookError:
            continue
        if _answer(said) == whole:
            look = less
    return {key: look[key] for key in scheme.references if key in look}


def _answer(said: Expectation) -> object:
    return said.options, said.needs, said.clash
