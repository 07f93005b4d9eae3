"""Grades that a change of scheme or look turned are judged again, as one act."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass, replace

from gradecut.book import Book
from gradecut.errors import GradecutError
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Actual, FitResult, Grade
from gradecut.workflows.booking import book_info, scheme_in_force
from gradecut.workflows.carrying import carry_over
from gradecut.workflows.reps_told import RepTold, reps_told, standing_grades, told_plays
from gradecut.workflows.staleness import is_stale

__all__ = ["Regraded", "ToJudge", "regrade"]

_TELL_EVERY = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class ToJudge:
    """A stale grade that only a person can judge again.

    Attributes
    ----------
    why : str
        One sentence.
    """

    rep_id: str
    session_id: str
    clip_id: str
    play: int
    player: str
    position: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Regraded:
    """What judging again came to.

    Attributes
    ----------
    grades : tuple of (Grade, Grade)
        The judgement before, which is superseded, and the one that stands now.
    left : tuple of ToJudge
        Stale still: a person must judge them.
    """

    grades: tuple[tuple[Grade, Grade], ...]
    left: tuple[ToJudge, ...]

    @property
    def results(self) -> dict[tuple[FitResult, FitResult], int]:
        """How many went from one result to another, the most first."""
        return dict(
            Counter((old.fit_result, new.fit_result) for old, new in self.grades).most_common()
        )

    @property
    def words(self) -> tuple[str, ...]:
        """What was done, in sentences."""
        if not self.grades and not self.left:
            return ("No grade of yours is stale, so none was judged again.",)
        count = len(self.grades)
        told = []
        if count:
            ways = [
                f"{number} still {was}" if was == now else f"{number} from {was} to {now}"
                for (was, now), number in self.results.items()
            ]
            told.append(f"{_grades(count)} judged again: {'; '.join(ways)}.")
        if self.left:
            told.append(f"{_grades(len(self.left))} left, to be judged again by you.")
        return tuple(told)


def regrade(
    book: Book,
    rep_ids: Collection[str] | None = None,
    *,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> Regraded:
    """Judge the author's stale grades again, by the scheme in force and what the man did.

    One act: undo takes it back whole. The grades before are superseded, not lost; those of
    other graders stay as they are. What rules alone can't judge stays stale and is told: see
    ``carry_over`` for what is carried over, and how.

    Parameters
    ----------
    rep_ids : collection of str or None
        Only these reps; None: all.

    Raises
    ------
    GradecutError
        When the book has no scheme to judge by.
    Cancelled
        When asked to stop; the book then stays as it was.
    """
    scheme, scheme_id = scheme_in_force(book), book_info(book).scheme_id
    if scheme is None:
        raise GradecutError("There is no scheme in this book to judge by; bring one in first.")
    grades = standing_grades(book, author=book.author)
    wanted = grades.keys() if rep_ids is None else grades.keys() & set(rep_ids)
    reps = [rep for rep in reps_told(book, told_plays(book)) if rep.rep.id in wanted]
    done: list[tuple[Grade, Grade]] = []
    left: list[ToJudge] = []
    for number, rep in enumerate(reps):
        if number % _TELL_EVERY == 0:
            if cancel is not None:
                cancel.check("Judging again")
            progress(number / len(reps), "Judging again")
        old, asked = grades[rep.rep.id], rep.under(scheme, scheme_id)
        if not is_stale(old, asked):
            continue
        made = carry_over(old, asked)
        if isinstance(made, Grade):
            done.append((old, made))
        else:
            left.append(_to_judge(rep, made))
    _store(book, [new for _, new in done])
    progress(1.0, "Judged again")
    return Regraded(grades=tuple(done), left=tuple(left))


def _store(book: Book, grades: list[Grade]) -> None:
    """Put the new judgements in, each with what it says he did."""
    ids = [grade.rep_id for grade in grades]
    there = {
        one.rep_id: one
        for one in book.find(Actual, rep_id=ids, source="marked", author=book.author)
    }
    with book.act("judge again by the scheme in force") as act:
        for grade in grades:
            said = Actual(
                rep_id=grade.rep_id,
                did=grade.did,
                name=grade.did_name,
                side=grade.did_side,
                cause=grade.cause,
                author=grade.author,
            )
            known = there.get(grade.rep_id)
            act.put(replace(said, id=known.id) if known else said, grade)


def _to_judge(rep: RepTold, why: str) -> ToJudge:
    clip = rep.play.clip
    return ToJudge(
        rep_id=rep.rep.id,
        session_id=clip.session_id,
        clip_id=clip.id,
        play=clip.order,
        player=rep.player.name,
        position=rep.rep.position,
        why=why,
    )


def _grades(count: int) -> str:
    return "1 grade was" if count == 1 else f"{count} grades were"
