"""How far two graders of one book judge the same reps alike, always with n."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.grading import agreement_table, weighted_kappa
from gradecut.records import Clip, Grade, Player, Rep
from gradecut.workflows.reporting import book_rubric
from gradecut.workflows.roster import is_on_roster

__all__ = ["Agreement", "PartAgreement", "agreement_of", "graders_of"]

_FITS = ("wrong", "half", "right")
_FEW = 20
"""With fewer reps graded by both, kappa jumps with each of them (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartAgreement:
    """How one part was graded by both.

    Attributes
    ----------
    part : str
        "fit" or "effort".
    n : int
        Reps on which both graded it.
    alike : int
        Those on which they said the same.
    kappa : float or None
        Weighted linearly over the steps of the scale; None without reps, or where both only
        ever said one and the same.
    table : tuple of rows of counts
        Rows the first grader's, columns the second's, in the order of ``scale``.
    """

    part: str
    n: int
    alike: int
    kappa: float | None
    scale: tuple[str, ...]
    table: tuple[tuple[int, ...], ...]

    @property
    def words(self) -> str:
        """Say it with n: "Fit: 8 of 10 alike, kappa 0.71 (n = 10)"."""
        name = self.part.capitalize()
        if not self.n:
            return f"{name}: no rep graded by both yet (n = 0)."
        kappa = "kappa has no value" if self.kappa is None else f"kappa {self.kappa:.2f}"
        few = "; too few to rest on" if self.n < _FEW else ""
        return f"{name}: {self.alike} of {self.n} alike, {kappa} (n = {self.n}{few})."


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """Two graders, the first's grades as of when he still graded blind where he did.

    Attributes
    ----------
    both : int
        Reps both judged.
    apart : int
        Of these, reps that one could grade and the other could not.
    examined : int
        Of those whose fit both graded, reps that both looked at closely. What one of them only
        passed at speed is alike more easily.
    not_blind : int
        Reps both judged, left out because the first judged them after he had lifted it.
    """

    first: str
    second: str
    both: int
    apart: int
    examined: int
    not_blind: int
    fit: PartAgreement
    effort: PartAgreement

    @property
    def words(self) -> tuple[str, ...]:
        """Say it, a sentence each."""
        told = [f"{self.first} and {self.second} both judged {self.both} reps.", self.fit.words]
        if self.examined < self.fit.n:
            told.append(
                f"Both looked closely at {self.examined} of these {self.fit.n}; the rest one of "
                "them or both only passed."
            )
        if self.effort.n:
            told.append(self.effort.words)
        if self.apart:
            told.append(f"On {self.apart} one of the two could not grade it.")
        if self.not_blind:
            told.append(
                f"Left out: {self.not_blind} judged after the other's grades were in sight."
            )
        return tuple(told)


def graders_of(book: Book) -> tuple[str, ...]:
    """Return who of the staff has graded in a book, the author left out, by name."""
    players = book.find(Player)
    others = (name for name in book.authors(Grade) if name not in (book.author, ""))
    return tuple(name for name in others if not is_on_roster(name, players))


def agreement_of(
    book: Book, first: str, second: str, *, blind_until: str = "", session_id: str = ""
) -> Agreement:
    """Count how far two graders judged alike.

    Linearly weighted kappa (J. Cohen 1968), because wrong for right is worse than half for
    right. Small n says little: it is always told.

    Parameters
    ----------
    blind_until : str
        When the first grader lifted blind grading, ISO 8601 in UTC: his judgements from then on
        do not count, being no second look of their own. Empty: all count.
    session_id : str
        Only this session; empty: all.

    Raises
    ------
    BookError
        While the book's author grades blind: it would tell him what he must not know yet.
    """
    if book.blind:
        raise BookError("You grade blind; lift it first, then see how far you agree.")
    kept = _in_session(book, session_id)
    own = book.find(Grade, author=first)
    all_mine = _standing(own, kept)
    mine = _standing([one for one in own if not blind_until or one.at <= blind_until], kept)
    his = _standing(book.find(Grade, author=second), kept)
    pairs = [(mine[rep_id], his[rep_id]) for rep_id in mine if rep_id in his]
    judged = [pair for pair in pairs if all(one.fit_result in _FITS for one in pair)]
    unable = [pair for pair in pairs if sum(one.fit_result == "cannot grade" for one in pair) == 1]
    steps = [f"{points:g}" for points in book_rubric(book).effort]
    efforts = [
        (f"{one.effort:g}", f"{other.effort:g}")
        for one, other in pairs
        if one.effort is not None and other.effort is not None
    ]
    return Agreement(
        first=first,
        second=second,
        both=len(pairs),
        apart=len(unable),
        examined=sum(all(one.how == "examined" for one in pair) for pair in judged),
        not_blind=len([one for one in all_mine if one in his and one not in mine]),
        fit=_part("fit", [(one.fit_result, other.fit_result) for one, other in judged], _FITS),
        effort=_part("effort", [pair for pair in efforts if {*pair} <= {*steps}], steps),
    )


def _part(part: str, pairs: Sequence[tuple[str, str]], scale: Sequence[str]) -> PartAgreement:
    table = agreement_table([one for one, _ in pairs], [other for _, other in pairs], scale)
    return PartAgreement(
        part=part,
        n=len(pairs),
        alike=sum(one == other for one, other in pairs),
        kappa=weighted_kappa(table) if pairs else None,
        scale=tuple(scale),
        table=tuple(map(tuple, table)),
    )


def _standing(grades: Sequence[Grade], kept: set[str] | None) -> Mapping[str, Grade]:
    return {one.rep_id: one for one in grades if kept is None or one.rep_id in kept}


def _in_session(book: Book, session_id: str) -> set[str] | None:
    if not session_id:
        return None
    clips = [clip.id for clip in book.find(Clip, session_id=session_id)]
    return {rep.id for rep in book.find(Rep, clip_id=clips)}
