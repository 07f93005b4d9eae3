"""How men lined up, by the grader's eye: said, taken back, read."""

from __future__ import annotations

from collections.abc import Iterable

from gradecut.book import Book
from gradecut.errors import GradeError
from gradecut.grading import OFF_WAYS
from gradecut.hints import nearest
from gradecut.records import Alignment, LinedUp, Rep
from gradecut.workflows.rep_asked import RepAsked, ask_rep

__all__ = ["alignment_words", "lined_up_of", "say_lined_up", "unsay_lined_up", "why_no_alignment"]

_SOURCES = ("estimated", "script", "marked")
"""What stands above what: an estimate never takes the place of what a person marked."""


def say_lined_up(book: Book, rep: Rep, *, off: Iterable[str] = (), cannot: bool = False) -> LinedUp:
    """Keep how a man lined up by eye; his grade stays as it is.

    Parameters
    ----------
    off : iterable of str
        In which ways he was off, such as "too deep"; none: he was right.
    cannot : bool
        It can't be told from the film.

    Raises
    ------
    GradeError
        When the scheme asks no alignment of him on this look, or a way is not known.
    """
    ways = tuple(dict.fromkeys(off))
    asked = ask_rep(book, rep)
    if asked.expectation.alignment is None:
        raise GradeError(why_no_alignment(asked), rep_id=rep.id)
    for way in ways:
        if way not in OFF_WAYS:
            raise GradeError(
                f"“{way}” is no way to be lined up wrong; {nearest(way, OFF_WAYS)}", rep_id=rep.id
            )
    if ways and cannot:
        raise GradeError("Say how he was off or that it can't be told, not both.", rep_id=rep.id)
    old = book.find(LinedUp, rep_id=rep.id, source="marked", author=book.author)
    said = LinedUp(
        rep_id=rep.id,
        verdict="cannot grade" if cannot else "off" if ways else "right",
        off=ways,
        author=book.author,
    )
    with book.act(f"say how {rep.position} lined up") as act:
        act.drop_all(old)
        act.put(said)
    return said


def why_no_alignment(asked: RepAsked) -> str:
    """Say why nothing tells where a man lines up, and what to do."""
    man = asked.rep.position
    rules = asked.scheme.alignments if asked.scheme else ()
    if any(man in rule.men for rule in rules):
        return (
            f"On what is known of this look the scheme has no alignment for {man}; fill in more "
            "of the look, or add an alignment to the scheme."
        )
    return f"The scheme has no alignment for {man}; add one to it first."


def unsay_lined_up(book: Book, rep: Rep) -> None:
    """Take back what this grader said of how a man lined up."""
    with book.act(f"take back how {rep.position} lined up") as act:
        act.drop_all(book.find(LinedUp, rep_id=rep.id, source="marked", author=book.author))


def lined_up_of(rows: Iterable[LinedUp], author: str) -> LinedUp | None:
    """Choose what counts of a rep: marked before estimated, the reader's own, else the newest."""
    said = sorted(rows, key=lambda one: (_SOURCES.index(one.source), one.author == author, one.id))
    return said[-1] if said else None


def alignment_words(asked: Alignment, side: str = "") -> str:
    """Say where he should line up: "4.5 yd deep at A right, within 1 yd; eyes: guard to back".

    Parameters
    ----------
    side : str
        His side in words, such as "to the strength", where no look tells which one it is.
    """
    where = " ".join(part for part in (asked.landmark, side or asked.side) if part)
    # A gap is a place to be at; other landmarks are told as the coach wrote them.
    at = f" at {where}" if len(asked.landmark) == 1 else f", {where}"
    deep = f"{abs(asked.depth_yd):g} yd {'deep' if asked.depth_yd >= 0 else 'on their side'}"
    within = "" if asked.tolerance_yd is None else f", within {asked.tolerance_yd:g} yd"
    eyes = f"; eyes: {asked.eyes}" if asked.eyes else ""
    return f"{deep}{at}{within}{eyes}"
