"""What a changed scheme does to reps already graded, told before it is kept."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from gradecut.book import Book
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Expectation, FitResult, Grade, SchemeVersion, Side
from gradecut.scheme import Scheme
from gradecut.workflows.booking import book_info, scheme_in_force
from gradecut.workflows.carrying import carry_over
from gradecut.workflows.effects_words import effects_words
from gradecut.workflows.rep_asked import RepAsked
from gradecut.workflows.reps_told import RepTold, reps_told, standing_grades, told_plays
from gradecut.workflows.staleness import is_stale
from gradecut.workflows.unread_looks import Unread, unread_by

__all__ = ["Effects", "Turned", "change_effects"]

Answer = Literal["fit", "open", "hole"]
_TELL_EVERY = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class Turned:
    """One grade that a changed scheme turns.

    Attributes
    ----------
    session_id, clip_id, play
        Its play, by id and by the number the coach says.
    player, player_id, position, author : str
        Whose rep it is, by name and by id, where he stood, and who graded it.
    was, now : str
        What he owed when he was graded, and what he would owe: fit and side, in words.
    result_was : str
        As in the grade.
    result_now : str or None
        From what he did; None where a person must judge again.
    answer : "fit", "open" or "hole"
        What the changed scheme has for him on this look.
    again : str
        Why a person must judge again, as a sentence; empty where rules alone can.
    """

    rep_id: str
    session_id: str
    clip_id: str
    play: int
    player: str
    player_id: str
    position: str
    author: str
    was: str
    now: str
    result_was: FitResult
    result_now: FitResult | None
    answer: Answer = "fit"
    again: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Effects:
    """What putting a scheme in force does to reps already graded.

    Attributes
    ----------
    turned : tuple of Turned
        In the order of sessions and plays.
    unchanged : int
        Grades that come out as they stand.
    stale_already : int
        Grades that are stale now and would be so in the same way.
    freshened : int
        Grades that are stale now and would not be any more.
    clips, players : int
        How many plays and players the turned grades are of.
    unread : tuple of Unread
        What is told of plays and can't be read any more.
    """

    turned: tuple[Turned, ...]
    unchanged: int
    stale_already: int
    freshened: int
    clips: int
    players: int
    unread: tuple[Unread, ...]

    @property
    def graded(self) -> int:
        """How many grades were looked at."""
        return len(self.turned) + self.unchanged + self.stale_already + self.freshened

    @property
    def results(self) -> Mapping[tuple[FitResult, FitResult | None], int]:
        """How many turned grades go from one result to another, the most first."""
        found = Counter((one.result_was, one.result_now) for one in self.turned)
        return dict(found.most_common())

    @property
    def opened(self) -> int:
        """How many turned reps would stay open."""
        return sum(one.answer == "open" for one in self.turned)

    @property
    def holes(self) -> int:
        """How many turned reps the scheme would have no answer for."""
        return sum(one.answer == "hole" for one in self.turned)

    @property
    def words(self) -> tuple[str, ...]:
        """All of it in sentences, the weightiest first."""
        return tuple(effects_words(self))


def change_effects(
    book: Book,
    scheme: Scheme,
    *,
    author: str | None = None,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> Effects:
    """Say what putting a scheme in force would do to reps already graded; nothing is stored.

    A grade turns when it would be stale under the scheme, and is not already stale in the
    same way under the one in force.

    Parameters
    ----------
    author : str or None
        Whose grades; None: on each rep the newest grade anybody of the staff gave.

    Raises
    ------
    Cancelled
        When asked to stop.
    """
    plays = told_plays(book)
    grades = standing_grades(book, author=author)
    now = _Rules(scheme=scheme_in_force(book), scheme_id=book_info(book).scheme_id)
    then = _Rules(scheme=scheme, scheme_id=_known_id(book, scheme))
    turned: list[Turned] = []
    counts: Counter[str] = Counter()
    graded = [rep for rep in reps_told(book, plays) if rep.rep.id in grades]
    for number, rep in enumerate(graded):
        if number % _TELL_EVERY == 0:
            if cancel is not None:
                cancel.check("Comparing the schemes")
            progress(number / len(graded), "Looking at what turns")
        grade = grades[rep.rep.id]
        state, asked = _hold(rep, grade, now, then)
        counts[state] += 1
        if state == "turned":
            turned.append(_turned(rep, grade, asked))
    progress(1.0, "Compared")
    turned.sort(key=lambda one: (one.session_id, one.play, one.position))
    return Effects(
        turned=tuple(turned),
        unchanged=counts["unchanged"],
        stale_already=counts["stale already"],
        freshened=counts["freshened"],
        clips=len({one.clip_id for one in turned}),
        players=len({one.player_id for one in turned}),
        unread=unread_by(scheme, plays.values(), before=now.scheme),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rules:
    """A scheme with the id its grades name."""

    scheme: Scheme | None
    scheme_id: str | None


def _known_id(book: Book, scheme: Scheme) -> str:
    """Return the id a scheme has in the book; one that no grade names where it has none."""
    known = book.find(SchemeVersion, sha256=scheme.sha256)
    return known[0].id if known else scheme.sha256


def _hold(rep: RepTold, grade: Grade, now: _Rules, then: _Rules) -> tuple[str, RepAsked]:
    """Say what a change does to one grade, and what it would then be held against."""
    asked = rep.under(then.scheme, then.scheme_id)
    today = rep.under(now.scheme, now.scheme_id)
    stale_now, stale_then = is_stale(grade, today), is_stale(grade, asked)
    if not stale_then:
        return ("freshened" if stale_now else "unchanged"), asked
    alike = stale_now and _comes_to(grade, today) == _comes_to(grade, asked)
    return ("stale already" if alike else "turned"), asked


def _comes_to(grade: Grade, asked: RepAsked) -> object:
    """Give all that makes two schemes ask the same of a man and judge him alike."""
    said, carried = asked.expectation, carry_over(grade, asked)
    result = carried.fit_result if isinstance(carried, Grade) else None
    return said.fit, said.side, set(said.also), said.graded, result


def _turned(rep: RepTold, grade: Grade, asked: RepAsked) -> Turned:
    carried = carry_over(grade, asked)
    said, clip = asked.expectation, rep.play.clip
    was = _fit_words(grade.expected_fit, grade.expected_side)
    now = _fit_words(asked.owes, asked.owed.side if asked.owed else said.side)
    if was == now and set(grade.expected_also) != set(said.also):
        was, now = was + _too(grade.expected_also), now + _too(said.also)
    return Turned(
        rep_id=rep.rep.id,
        session_id=clip.session_id,
        clip_id=clip.id,
        play=clip.order,
        player=rep.player.name,
        player_id=rep.player.id,
        position=rep.rep.position,
        author=grade.author,
        was=was,
        now=_no_fit(said) if asked.owes is None else now,
        result_was=grade.fit_result,
        result_now=carried.fit_result if isinstance(carried, Grade) else None,
        answer="fit" if asked.settled else "hole" if _is_hole(said) else "open",
        again=carried if isinstance(carried, str) else "",
    )


def _fit_words(fit: str | None, side: Side | None) -> str:
    """Write what a man owes, with its side."""
    if fit is None:
        return "nothing told"
    return f"{fit}, {side} side" if side else fit


def _too(also: Sequence[str]) -> str:
    return f" (right too: {', '.join(also)})" if also else ""


def _is_hole(said: Expectation) -> bool:
    return said.options == ((None, None),)


def _no_fit(said: Expectation) -> str:
    if _is_hole(said):
        return "no answer"
    return "still open" if said.options else "can't be read"
