"""Judging reps: by exception at speed, or looked at closely."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from gradecut.book import Book
from gradecut.errors import BookError, GradecutError
from gradecut.grading import grade_rep
from gradecut.records import (
    Actual,
    Clip,
    Did,
    Event,
    Expectation,
    FactValue,
    Flag,
    Grade,
    How,
    LineUp,
    Mark,
    Moment,
    Owed,
    Player,
    Rep,
    Rubric,
    Side,
)
from gradecut.scheme import Scheme, Value
from gradecut.workflows.booking import book_info, scheme_in_force
from gradecut.workflows.expecting import expect_rep, fit_side, owed_by_word
from gradecut.workflows.looks import look_digest, merge_facts, sides_on
from gradecut.workflows.roster import by_staff

__all__ = [
    "Passed",
    "RepAsked",
    "add_event",
    "ask_rep",
    "change_grade",
    "current_grade",
    "drop_event",
    "judge",
    "own_side",
    "pass_clip",
    "put_in",
    "toggle_flag",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class RepAsked:
    """A rep with all that it is judged by.

    Attributes
    ----------
    scheme : Scheme or None
        In force; None while the book has none.
    look : mapping of reference to value
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Passed:
    """What letting a clip through came to.

    Attributes
    ----------
    graded : tuple of Grade
        The reps that were let through as right.
    left : tuple of str
        One sentence for each rep that stays open.
    """

    graded: tuple[Grade, ...]
    left: tuple[str, ...]


def ask_rep(book: Book, rep: Rep) -> RepAsked:
    """Gather all that a rep is judged by."""
    return _ask_all(book, book.get(Clip, rep.clip_id), [rep])[0]


def current_grade(book: Book, rep_id: str, author: str | None = None) -> Grade | None:
    """Return a grader's standing judgement of a rep; None while there is none.

    Parameters
    ----------
    author : str or None
        None: the book's author.
    """
    grades = book.find(Grade, rep_id=rep_id, author=book.author if author is None else author)
    return grades[-1] if grades else None


def judge(
    book: Book,
    rep: Rep,
    *,
    did: Did = "as owed",
    name: str = "",
    side: Side | None = None,
    cause: str = "",
    technique: Mapping[str, float] | None = None,
    effort: float | None = None,
    cannot: Mapping[str, str] | None = None,
    note: str = "",
    how: How = "examined",
    author: str | None = None,
) -> Grade:
    """Record what a man did and grade it; the judgement before is superseded, not lost.

    Parameters
    ----------
    did, name : str
        "as owed"; "fit" with the other fit's name; "miss" with the miss; "cannot grade"
        with the reason.
    side : "left", "right" or None
        Of another fit, where it was not on the side the scheme gives it.
    technique, effort, cannot, note, how
        As in a Grade.
    author : str or None
        Whose judgement it is; None: the book's author.

    Raises
    ------
    GradeError
        When the scheme or its rubric does not know what is said.
    """
    asked = ask_rep(book, rep)
    by = book.author if author is None else author
    actual = Actual(rep_id=rep.id, did=did, name=name, side=side, cause=cause, author=by)
    return _keep(
        book, asked, actual, technique=technique, effort=effort, cannot=cannot, note=note, how=how
    )


def change_grade(book: Book, rep: Rep, **changes: Any) -> Grade:
    """Judge again with what the standing judgement says, changed as given.

    Parameters
    ----------
    **changes
        Any arguments of ``judge``. A rep nobody has judged starts as "as owed".
    """
    old = current_grade(book, rep.id)
    said: dict[str, Any] = {"how": "examined"}
    if old is not None:
        said |= {
            "did": old.did,
            "name": old.did_name,
            "side": old.did_side,
            "cause": old.cause,
            "technique": dict(old.technique),
            "effort": old.effort,
            "cannot": {part: why for part, why in old.cannot.items() if part != "fit"},
            "note": old.note,
        }
    if changes.get("did") in ("as owed", "cannot grade"):
        said |= {"cause": ""}
    if changes.get("did") == "as owed":
        said |= {"name": "", "side": None}
    return judge(book, rep, **(said | changes))


def pass_clip(book: Book, clip: Clip) -> Passed:
    """Let a clip through: every rep that waits for a grade did what he owed.

    Reps of graded men only; a rep with an open question stays open, and is told. Where
    the scheme has no run job for him he is kept as "not graded", so that he is done too.
    """
    info = book_info(book)
    reps = book.find(Rep, clip_id=clip.id)
    graded_by_me = {
        grade.rep_id
        for grade in book.find(Grade, rep_id=[rep.id for rep in reps], author=book.author)
    }
    waiting = [rep for rep in reps if rep.id not in graded_by_me]
    graded: list[Grade] = []
    left: list[str] = []
    with book.act(f"pass play {clip.order}"):
        for asked in _ask_all(book, clip, waiting):
            if not _is_graded_here(asked, info.graded_group):
                continue
            if not asked.settled and asked.expectation.graded:
                left.append(_still_open(asked))
                continue
            actual = Actual(rep_id=asked.rep.id, did="as owed", author=book.author)
            graded.append(_keep(book, asked, actual, how="passed"))
    return Passed(graded=tuple(graded), left=tuple(left))


def add_event(book: Book, rep: Rep, name: str) -> Event:
    """Count something beside the grade.

    Raises
    ------
    GradecutError
        When the rubric does not list it.
    """
    scheme = scheme_in_force(book)
    events = scheme.rubric.events if scheme else Rubric().events
    if name not in events:
        raise GradecutError(f"“{name}” is no event of this rubric; there is {', '.join(events)}.")
    event = Event(rep_id=rep.id, name=name, author=book.author)
    with book.act(f"count a {name}") as act:
        act.put(event)
    return event


def drop_event(book: Book, rep: Rep, name: str) -> None:
    """Take the newest count of an event back."""
    mine = book.find(Event, rep_id=rep.id, name=name, author=book.author)
    if mine:
        with book.act(f"take a {name} back") as act:
            act.drop(Event, mine[-1].id)


def toggle_flag(book: Book, clip: Clip, rep: Rep | None = None) -> bool:
    """Flag a clip, or one rep of it, for tomorrow's meeting, or take the flag off.

    Returns
    -------
    bool
        Whether it is flagged now.
    """
    rep_id = rep.id if rep else None
    old = book.find(Flag, clip_id=clip.id, rep_id=rep_id, author=book.author)
    with book.act("take the flag off" if old else "flag for tomorrow") as act:
        act.drop_all(old)
        if not old:
            act.put(Flag(clip_id=clip.id, rep_id=rep_id, author=book.author))
    return not old


def put_in(book: Book, clip: Clip, position: str, player: Player, *, onwards: bool = False) -> Rep:
    """Put a player in at a position, on this clip or from it on to the session's end.

    His rep is made; the rep of the man before goes unless somebody has judged it.

    Raises
    ------
    BookError
        When the man before is already graded there.
    """
    clips = [clip]
    if onwards:
        later = book.find(Clip, session_id=clip.session_id)
        clips = [one for one in later if one.order >= clip.order]
    with book.act(f"put {player.short_name} in at {position}") as act:
        for one in clips:
            lined = book.find(LineUp, clip_id=one.id, position=position)
            if [row.player_id for row in lined] == [player.id]:
                continue
            graded = _drop_rep(book, one, position)
            if graded and one.id == clip.id:
                raise BookError(f"{graded} is already graded there; take his grade back first.")
            if graded:
                continue
            act.drop_all(lined)
            act.put(
                LineUp(clip_id=one.id, position=position, player_id=player.id),
                Rep(clip_id=one.id, player_id=player.id, position=position),
            )
    return book.find(Rep, clip_id=clip.id, position=position, player_id=player.id)[0]


def _drop_rep(book: Book, clip: Clip, position: str) -> str:
    """Drop the reps of a position that nobody has judged; name the man who stays."""
    for rep in book.find(Rep, clip_id=clip.id, position=position):
        if book.count(Grade, rep_id=rep.id):
            return book.get(Player, rep.player_id).name
        with book.act("take a man out") as act:
            for kind in (Owed, Actual, Event, Flag, Moment):
                act.drop_all(book.find(kind, rep_id=rep.id))
            act.put(*[replace(mark, rep_id=None) for mark in book.find(Mark, rep_id=rep.id)])
            act.drop(Rep, rep.id)
    return ""


def _ask_all(book: Book, clip: Clip, reps: list[Rep]) -> list[RepAsked]:
    """Gather what the reps of one clip are judged by."""
    scheme = scheme_in_force(book)
    look = merge_facts(book.find(FactValue, clip_id=clip.id), book.author)
    sides = (
        sides_on(scheme, book.find(Rep, clip_id=clip.id), book.find(LineUp, clip_id=clip.id))
        if scheme
        else {}
    )
    owed = by_staff(book.find(Owed, rep_id=[rep.id for rep in reps]), book.find(Player))
    return [
        RepAsked(
            rep=rep,
            clip=clip,
            scheme=scheme,
            scheme_id=book_info(book).scheme_id,
            look=look,
            own_side=own_side(scheme, rep.position, look, sides),
            expectation=expect_rep(scheme, rep, look, sides),
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
        return scheme.side_of(position, look, sides.get(position))
    except GradecutError:
        return None


def _keep(
    book: Book,
    asked: RepAsked,
    actual: Actual,
    *,
    technique: Mapping[str, float] | None = None,
    effort: float | None = None,
    cannot: Mapping[str, str] | None = None,
    note: str = "",
    how: How,
) -> Grade:
    """Grade a rep and store what was done and the grade in one act."""
    rep = asked.rep
    if actual.did == "fit" and actual.side is None and asked.scheme is not None:
        if actual.name not in asked.scheme.fits:
            near = ", ".join(asked.scheme.fits)
            raise GradecutError(f"“{actual.name}” is no fit of this scheme; there is {near}.")
        side = fit_side(asked.scheme, actual.name, asked.look, asked.own_side)
        actual = replace(actual, side=side)
    previous = current_grade(book, rep.id, actual.author)
    grade = grade_rep(
        rep_id=rep.id,
        author=actual.author,
        expectation=asked.expectation,
        actual=actual,
        rubric=asked.rubric,
        owed=asked.owed,
        owed_misses=asked.misses if asked.owed else (),
        technique=technique,
        effort=effort,
        cannot=cannot,
        note=note,
        how=how,
        scheme_id=asked.scheme_id,
        look_digest=look_digest(asked.look),
        previous=previous,
    )
    if previous is not None and _says_the_same(previous, grade):
        return previous
    old = book.find(Actual, rep_id=rep.id, source="marked", author=actual.author)
    with book.act(f"grade {rep.position} on play {asked.clip.order}") as act:
        act.put(replace(actual, id=old[0].id) if old else actual, grade)
    return grade


def _says_the_same(old: Grade, new: Grade) -> bool:
    return replace(new, id=old.id, at=old.at, supersedes=old.supersedes) == old


def _is_graded_here(asked: RepAsked, group: str) -> bool:
    if asked.scheme is None:
        return True
    man = asked.scheme.positions.get(asked.rep.position)
    return man is not None and man.graded and (not group or man.group == group)


def _still_open(asked: RepAsked) -> str:
    needs = asked.expectation.needs
    if needs and asked.scheme is not None:
        question = asked.scheme.fact_of(needs[0]).asks or needs[0]
        return f"{asked.rep.position} stays open: {question}"
    return f"{asked.rep.position} stays open: {asked.expectation.reason}"
