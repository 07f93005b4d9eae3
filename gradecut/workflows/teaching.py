"""Reels: built from a question, put in order, planned and rendered."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from os import PathLike
from typing import Any

from gradecut.book import Book
from gradecut.errors import GradecutError, RenderError
from gradecut.outfile import check_goal
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Angle, Mark, Piece, Player, Reel, Rep, RepLine, StoredFilm
from gradecut.reels import PieceSource, Plan, plan, render, suggest_piece, write_chapters
from gradecut.reports.barred import barred_words
from gradecut.workflows.asking import read_question, reps_asked
from gradecut.workflows.blind import seen
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.films import check_no_film_there, paths_of_films
from gradecut.workflows.flagged import flagged_reps
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.marking import marks_on, names_of_reps, rights_of_reps
from gradecut.workflows.moments import timelines_of

__all__ = [
    "Draft",
    "best_angle",
    "build_reel",
    "change_piece",
    "corrections",
    "draft_corrections",
    "draft_reel",
    "drop_piece",
    "drop_reel",
    "keep_reel",
    "pieces_of",
    "plan_reel",
    "put_together",
    "render_reel",
    "reorder",
    "sources_of",
    "withheld",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A reel and its pieces in order, before anything of it is in the book."""

    reel: Reel
    pieces: tuple[Piece, ...]


def build_reel(
    book: Book,
    question: str,
    *,
    name: str = "",
    session_ids: Collection[str] | None = None,
) -> Reel:
    """Build a reel from a question: "Keel, right fits on zone to him".

    Raises
    ------
    GradecutError
        When a word of it is not understood, or no rep is meant.
    """
    return keep_reel(book, draft_reel(book, question, name=name, session_ids=session_ids))


def corrections(
    book: Book, *, name: str = "Tomorrow's corrections", session_ids: Collection[str] | None = None
) -> Reel:
    """Build the reel of every rep flagged for tomorrow, in film order.

    A flag on a clip brings its missed reps, or all its reps where none was missed.

    Raises
    ------
    GradecutError
        When nothing is flagged.
    """
    return keep_reel(book, draft_corrections(book, name=name, session_ids=session_ids))


def put_together(book: Book, name: str, lines: Sequence[RepLine], *, question: str = "") -> Reel:
    """Make a reel of reps, one piece each, with the marks drawn on them."""
    return keep_reel(book, _drafted(book, name, lines, question=question))


def draft_reel(
    book: Book,
    question: str,
    *,
    name: str = "",
    session_ids: Collection[str] | None = None,
) -> Draft:
    """Work out the reel ``build_reel`` would build; the book stays as it is."""
    lines = rep_lines(book, session_ids=session_ids)
    asked = read_question(question, scheme_in_force(book), book.find(Player), lines)
    chosen = reps_asked(asked, lines)
    if not chosen:
        raise GradecutError(f"No rep answers “{question}” (understood as {asked.understood}).")
    return _drafted(book, name or question, chosen, question=question)


def draft_corrections(
    book: Book, *, name: str = "Tomorrow's corrections", session_ids: Collection[str] | None = None
) -> Draft:
    """Work out the reel ``corrections`` would build; the book stays as it is."""
    shown = flagged_reps(book, rep_lines(book, session_ids=session_ids))
    if not shown:
        raise GradecutError("Nothing is flagged for tomorrow yet; flag a rep or a play first.")
    return _drafted(book, name, shown, question="flagged")


def keep_reel(book: Book, draft: Draft) -> Reel:
    """Put a drafted reel into the book, in one act."""
    with book.act(f"put the reel “{draft.reel.name}” together") as act:
        act.put(draft.reel, *draft.pieces)
    return draft.reel


def _drafted(book: Book, name: str, lines: Sequence[RepLine], *, question: str) -> Draft:
    reel = Reel(name=name, question=question, author=book.author)
    angles = _best_angles(book, [line.rep for line in lines])
    shown = [line for line in lines if line.rep.id in angles]
    marks = marks_on(book, list(angles.values()))
    pieces = (
        suggest_piece(line, angles[line.rep.id], marks, reel_id=reel.id, order=order)
        for order, line in enumerate(shown, 1)
    )
    return Draft(reel=reel, pieces=tuple(pieces))


def pieces_of(book: Book, reel: Reel) -> list[Piece]:
    """Return a reel's pieces in order."""
    return book.find(Piece, reel_id=reel.id)


def reorder(book: Book, reel: Reel, piece_ids: Sequence[str]) -> list[Piece]:
    """Put a reel's pieces in a new order.

    Raises
    ------
    GradecutError
        When the ids are not exactly those of the reel.
    """
    pieces = {piece.id: piece for piece in pieces_of(book, reel)}
    if sorted(pieces) != sorted(piece_ids):
        raise GradecutError("The order must name every piece of the reel once.")
    with book.act(f"reorder “{reel.name}”") as act:
        act.put(*[replace(pieces[key], order=order) for order, key in enumerate(piece_ids, 1)])
    return pieces_of(book, reel)


def change_piece(book: Book, piece: Piece, **changes: Any) -> Piece:
    """Change a piece's title, caption, stretch, speed or freezes."""
    changed = replace(piece, **changes)
    if changed.to_s <= changed.from_s:
        raise GradecutError("A piece ends after it begins; choose a later end.")
    with book.act("change a piece") as act:
        act.put(changed)
    return changed


def drop_piece(book: Book, piece: Piece) -> None:
    """Take a piece out of its reel."""
    with book.act("take a piece out") as act:
        act.drop(Piece, piece.id)


def drop_reel(book: Book, reel: Reel) -> None:
    """Throw a reel away; its film stays."""
    with book.act(f"throw “{reel.name}” away") as act:
        act.drop_all(pieces_of(book, reel))
        act.drop(Reel, reel.id)


def withheld(book: Book, reel: Reel | Draft) -> list[Player]:
    """Return the players of a reel whose film may not leave the staff."""
    rep_ids = [piece.rep_id for piece in _in_order(book, reel) if piece.rep_id]
    players = {rep.player_id for rep in book.find(Rep, id=rep_ids)}
    return [man for man in book.find(Player, id=list(players)) if not man.may_be_shared]


def plan_reel(
    book: Book,
    reel: Reel | Draft,
    *,
    rate: Fraction = Fraction(30),
    size_px: tuple[int, int] = (1280, 720),
    for_staff: bool = False,
    progress: Progress = silent,
) -> Plan:
    """Work a reel out to the frame.

    Parameters
    ----------
    for_staff : bool
        False leaves out players under 18 without consent; True keeps them, for eyes
        inside the staff only.
    """
    pieces = _in_order(book, reel)
    if not for_staff:
        barred = {man.id for man in withheld(book, reel)}
        reps = {rep.id: rep for rep in book.find(Rep, id=[p.rep_id for p in pieces if p.rep_id])}
        pieces = [
            piece
            for piece in pieces
            if piece.rep_id is None or reps[piece.rep_id].player_id not in barred
        ]
    sources = sources_of(book, pieces)
    marks = seen(book, book.find(Mark, id=[key for piece in pieces for key in piece.mark_ids]))
    named = reel.reel if isinstance(reel, Draft) else reel
    rep_ids = [piece.rep_id for piece in pieces if piece.rep_id]
    return plan(
        named,
        pieces,
        sources,
        marks,
        rate=rate,
        size_px=size_px,
        rights=rights_of_reps(book, rep_ids),
        names=names_of_reps(book, rep_ids),
        progress=progress,
    )


def render_reel(
    book: Book,
    reel: Reel | Draft,
    out: str | PathLike[str],
    *,
    rate: Fraction = Fraction(30),
    size_px: tuple[int, int] = (1280, 720),
    for_staff: bool = False,
    sound: bool = False,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> Plan:
    """Render a reel to an mp4 file with its chapters beside it (.vtt); return its plan.

    The chapters are written once the film is whole. A draft is rendered without being put into
    the book. With ``sound`` film at its own speed is heard; all else is silent.

    Raises
    ------
    RenderError
        When nothing of it can be shown.
    OutputError
        When it can't be written there, or a film of the book lies there.
    Cancelled
        When asked to stop; nothing is left behind.
    """
    goal = check_goal(out, endings=(".mp4",), what="a reel's film")
    check_no_film_there(book, goal)
    beside = check_goal(goal.with_suffix(".vtt"))
    planned = plan_reel(book, reel, rate=rate, size_px=size_px, for_staff=for_staff)
    if not planned.steps:
        barred = barred_words(withheld(book, reel), "under 18 without consent")
        why = " ".join(planned.missing) or f"Nobody in it may be shown: {barred}."
        raise RenderError(f"“{planned.name}” has nothing to show. {why}")
    render(planned, goal, sound=sound, progress=progress, cancel=cancel)
    write_chapters(planned, beside)
    return planned


def _in_order(book: Book, reel: Reel | Draft) -> list[Piece]:
    return list(reel.pieces) if isinstance(reel, Draft) else pieces_of(book, reel)


def best_angle(book: Book, rep: Rep) -> Angle | None:
    """Choose the angle to teach a rep from; None where its clip has no film."""
    return _best_angles(book, [rep]).get(rep.id)


def _best_angles(book: Book, reps: Sequence[Rep]) -> dict[str, Angle]:
    """Choose the angle to teach each rep from; those without film are left out.

    One whose snap is known, and of those one with marks of the rep; else the first.
    """
    lines = timelines_of(book, {rep.clip_id for rep in reps})
    marks = seen(book, book.find(Mark, rep_id=[rep.id for rep in reps]))
    drawn = {(mark.rep_id, mark.angle_id) for mark in marks}
    found: dict[str, Angle] = {}
    for rep in reps:
        line = lines[rep.clip_id]
        ranked = sorted(
            line.angles,
            key=lambda angle: (line.snap(angle) is None, (rep.id, angle.id) not in drawn),
        )
        if ranked:
            found[rep.id] = ranked[0]
    return found


def sources_of(book: Book, pieces: Sequence[Piece]) -> dict[str, PieceSource]:
    """Find the film, clip edges and snap of every angle that pieces show."""
    sources: dict[str, PieceSource] = {}
    angles = {one.id: one for one in book.find(Angle, id=[piece.angle_id for piece in pieces])}
    film_ids = [angle.film_id for angle in angles.values()]
    films = {film.id: film for film in book.find(StoredFilm, id=film_ids)}
    paths = paths_of_films(book, film_ids)
    lines = timelines_of(book, {angle.clip_id for angle in angles.values()})
    for angle in angles.values():
        sources[angle.id] = PieceSource(
            path=paths.get(angle.film_id),
            name=films[angle.film_id].name,
            start_pts=angle.start_pts,
            stop_pts=angle.stop_pts,
            snap_pts=lines[angle.clip_id].snap(angle),
        )
    return sources
