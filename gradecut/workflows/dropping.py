"""A play taken out of the book: one no work rests on, such as a camera test or a film too many."""

from __future__ import annotations

from gradecut.book import Book
from gradecut.counting_words import all_listed, counted
from gradecut.errors import BookError
from gradecut.records import (
    Angle,
    Clip,
    FactValue,
    Flag,
    Grade,
    LineUp,
    Mark,
    Moment,
    Piece,
    Reel,
    Rep,
    Session,
)
from gradecut.workflows.line_ups import is_untouched, take_out

__all__ = ["drop_play"]


def drop_play(book: Book, clip: Clip) -> None:
    """Take a play out of the book, with its angles, facts and line-up, as one act.

    The other plays keep their numbers, and film files are left alone: adding the film again
    makes a play of it. Men only a script put in go with it.

    Raises
    ------
    BookError
        When somebody's work rests on it; names what.
    """
    angles = book.find(Angle, clip_id=clip.id)
    reps = book.find(Rep, clip_id=clip.id)
    line_ups = book.find(LineUp, clip_id=clip.id)
    resting = _resting(book, clip, angles, _spoken_of(book, reps, line_ups))
    if resting:
        name = f"Play {clip.order} of {book.get(Session, clip.session_id).name}"
        raise BookError(
            f"{name} can't be dropped, as work rests on it: {all_listed(resting)}. "
            "Take that back first, or say that it was no play."
        )
    with book.act(f"drop play {clip.order}") as act:
        for rep in reps:
            take_out(book, rep)
        act.drop_all(book.find(Moment, angle_id=[one.id for one in angles]))
        act.drop_all([*line_ups, *book.find(FactValue, clip_id=clip.id), *angles])
        act.drop(Clip, clip.id)


def _spoken_of(book: Book, reps: list[Rep], line_ups: list[LineUp]) -> list[Rep]:
    """Choose the reps of men somebody put in by hand, or said something of."""
    scripted = {(row.position, row.player_id) for row in line_ups if row.source != "marked"}
    return [
        rep
        for rep in reps
        if (rep.position, rep.player_id) not in scripted or not is_untouched(book, rep)
    ]


def _resting(book: Book, clip: Clip, angles: list[Angle], reps: list[Rep]) -> list[str]:
    """Name all that rests on a play."""
    on_film = [angle.id for angle in angles]
    pieces = book.find(Piece, clip_id=clip.id)
    reels = book.find(Reel, id=sorted({piece.reel_id for piece in pieces}))
    counts = (
        (len(reps), "rep"),
        (book.count(Grade, rep_id=[rep.id for rep in reps]), "grade"),
        (book.count(Mark, angle_id=on_film), "drawing"),
        (len(book.find(Moment, angle_id=on_film, source="marked")), "moment"),
        (book.count(Flag, clip_id=clip.id), "flag"),
    )
    told = [counted(count, what) for count, what in counts if count]
    return told + [f"the reel “{reel.name}”" for reel in reels]
