"""Rounds of reps to look at closely: those flagged for tomorrow, or one man's."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from gradecut.book import Book
from gradecut.errors import GradeError
from gradecut.records import (
    MISSED,
    Actual,
    Clip,
    FitResult,
    Flag,
    Grade,
    How,
    Player,
    Rep,
    Session,
    new_id,
)
from gradecut.records.ids import now_utc
from gradecut.workflows.blind import seen
from gradecut.workflows.booking import graded_group, graded_here, scheme_in_force
from gradecut.workflows.carried_men import keep_drawn
from gradecut.workflows.carrying import carry_over
from gradecut.workflows.flagged import flagged_reps
from gradecut.workflows.judging import judge
from gradecut.workflows.kept_grades import current_grade, said_again
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.passing import still_open
from gradecut.workflows.rep_asked import RepAsked, ask_rep
from gradecut.workflows.staleness import is_stale

__all__ = ["RoundRep", "Standing", "look_at", "reps_of_man", "round_of_flags", "standings"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundRep:
    """One rep of a round.

    Attributes
    ----------
    order : int
        The play's number in its session.
    session, period : str
        What it stands under.
    man : str
        Last name of the player.
    """

    rep_id: str
    clip_id: str
    session_id: str
    session: str
    order: int
    period: str
    position: str
    player_id: str
    man: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How a rep of a round stands with one grader.

    Attributes
    ----------
    result, how
        Of his standing grade; None while he gave none.
    flagged : bool
        The rep itself, or its whole play.
    looked_at : bool
        Examined; where it is flagged, stood by since then, or given technique or effort: a miss
        told at speed, before he flagged it or after, still waits.
    """

    result: FitResult | None
    how: How | None
    flagged: bool
    looked_at: bool

    @property
    def wrong(self) -> bool:
        """Whether it was judged, and not as right."""
        return self.result in MISSED


def round_of_flags(book: Book, *, session_id: str | None = None) -> tuple[RoundRep, ...]:
    """Return the reps that are flagged, in film order: those the staff and the men are shown.

    What a flag on a play means is told in ``flagged_reps``; what was no play is left out.

    Parameters
    ----------
    session_id : str or None
        Of one session only; None: of all.
    """
    clip_ids = {flag.clip_id for flag in seen(book, book.find(Flag))}
    lines = rep_lines(book, clip_ids=clip_ids) if clip_ids else []
    return _in_film_order(book, [line.rep for line in flagged_reps(book, lines)], session_id)


def reps_of_man(
    book: Book, player_id: str, *, session_id: str | None = None
) -> tuple[RoundRep, ...]:
    """Return one man's reps at graded positions, in film order."""
    wanted: dict[str, object] = {"player_id": player_id}
    if session_id is not None:
        wanted["clip_id"] = [clip.id for clip in book.find(Clip, session_id=session_id)]
    return _in_film_order(book, book.find(Rep, **wanted), session_id)


def standings(book: Book, reps: Sequence[RoundRep]) -> dict[str, Standing]:
    """Return how each rep stands with the book's author, by the rep's id."""
    ids = [rep.rep_id for rep in reps]
    given: defaultdict[str, list[Grade]] = defaultdict(list)
    for one in book.find(Grade, rep_id=ids, author=book.author):
        given[one.rep_id].append(one)
    flags = seen(book, book.find(Flag, clip_id=list({rep.clip_id for rep in reps})))
    found: dict[str, Standing] = {}
    for rep in reps:
        since = max(
            (
                flag.id
                for flag in flags
                if flag.clip_id == rep.clip_id and flag.rep_id in (None, rep.rep_id)
            ),
            default="",
        )
        grades = given[rep.rep_id]
        grade = grades[-1] if grades else None
        found[rep.rep_id] = Standing(
            result=grade.fit_result if grade else None,
            how=grade.how if grade else None,
            flagged=bool(since),
            looked_at=grade is not None
            and grade.how == "examined"
            and (not since or _looked_since(grades, since)),
        )
    return found


def _looked_since(grades: Sequence[Grade], flag_id: str) -> bool:
    """Tell whether one of a rep's judgements was a closer look, later than its flag."""
    known = {grade.id: grade for grade in grades}
    # Ids sort by when they were made, as far as the clocks of two computers agree.
    return any(
        grade.id > flag_id and _is_closer(grade, known.get(grade.supersedes or ""))
        for grade in grades
    )


def _is_closer(grade: Grade, old: Grade | None) -> bool:
    """Tell whether a judgement stands by the one before it, or adds to technique or effort."""
    if grade.how != "examined":
        return False
    if old is None:
        return grade.did == "as owed"
    if (grade.technique, grade.effort) != (old.technique, old.effort):
        return True
    return replace(grade, id=old.id, at=old.at, how=old.how, supersedes=old.supersedes) == old


def look_at(book: Book, rep: Rep) -> Grade:
    """Record that a rep was looked at closely and stands as it was judged.

    What was passed is examined from then on, and a rep nobody judged did what he owed, by the
    look as it is drawn: what that takes over is stored in the same act. What was examined
    before is kept as looked at once more. The judgement before is superseded.

    Raises
    ------
    GradeError
        When what he owed is open, or look or rule have changed so that a person must judge
        him anew.
    """
    clip = book.get(Clip, rep.clip_id)
    with book.act(f"look at {rep.position} on play {clip.order}") as act:
        keep_drawn(book, clip)
        asked = ask_rep(book, rep)
        old = current_grade(book, rep.id)
        if old is None:
            if not asked.settled and asked.expectation.graded:
                raise GradeError(still_open(asked), rep_id=rep.id)
            return judge(book, rep, how="examined")
        made = _stood_by(old, asked)
        said = book.find(Actual, rep_id=rep.id, source="marked", author=book.author)
        actual = said_again(made)
        act.put(replace(actual, id=said[0].id) if said else actual, made)
    return made


def _stood_by(old: Grade, asked: RepAsked) -> Grade:
    """Return a judgement as it stands, examined now; held against what he owes today."""
    made: Grade | str = old
    if is_stale(old, asked):
        made = carry_over(old, asked)
    if isinstance(made, str):
        raise GradeError(
            f"{asked.rep.position} must be judged anew: {made[:1].lower()}{made[1:]}",
            rep_id=old.rep_id,
        )
    return replace(made, id=new_id(), at=now_utc(), how="examined", supersedes=old.id)


def _in_film_order(
    book: Book, reps: Collection[Rep], session_id: str | None
) -> tuple[RoundRep, ...]:
    """Leave out what is not graded, and sort the rest by day and play."""
    scheme, group = scheme_in_force(book), graded_group(book)
    clips = {clip.id: clip for clip in book.find(Clip, id=[rep.clip_id for rep in reps])}
    sessions = {one.id: one for one in book.find(Session)}
    names = {one.id: one.short_name for one in book.find(Player)}
    found: list[tuple[tuple[str, str, int, int], RoundRep]] = []
    order = list(scheme.positions) if scheme else []
    for rep in reps:
        clip = clips[rep.clip_id]
        graded = graded_here(scheme, group, rep.position)
        if not graded or clip.kind == "no play" or session_id not in (None, clip.session_id):
            continue
        session = sessions[clip.session_id]
        place = order.index(rep.position) if rep.position in order else len(order)
        one = RoundRep(
            rep_id=rep.id,
            clip_id=clip.id,
            session_id=session.id,
            session=session.name,
            order=clip.order,
            period=clip.period,
            position=rep.position,
            player_id=rep.player_id,
            man=names.get(rep.player_id, ""),
        )
        found.append(((session.day, session.id, clip.order, place), one))
    return tuple(one for _, one in sorted(found, key=lambda pair: pair[0]))
