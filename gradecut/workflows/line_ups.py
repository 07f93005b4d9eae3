"""Who is in at which position, on one play or from it on."""

from __future__ import annotations

from dataclasses import replace

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.records import (
    Actual,
    Clip,
    Event,
    Flag,
    Grade,
    LinedUp,
    LineUp,
    Mark,
    Moment,
    Owed,
    Piece,
    Player,
    Rep,
)

__all__ = ["is_untouched", "put_in", "take_out"]


def put_in(book: Book, clip: Clip, position: str, player: Player, *, onwards: bool = False) -> Rep:
    """Put a player in at a position, on this clip or from it on to the session's end.

    His rep is made, and he leaves any other position he held there. The rep of the man
    before goes; where somebody has judged it, that clip stays as it is.

    Raises
    ------
    BookError
        When a man who would have to go is already graded on this clip.
    """
    clips = [clip]
    if onwards:
        later = book.find(Clip, session_id=clip.session_id)
        clips = [one for one in later if one.order >= clip.order]
    with book.act(f"put {player.short_name} in at {position}"):
        for one in clips:
            graded = _change(book, one, position, player)
            if graded and one.id == clip.id:
                raise BookError(
                    f"{graded} is already graded on play {clip.order}; take his grade back first."
                )
    return book.find(Rep, clip_id=clip.id, position=position, player_id=player.id)[0]


def take_out(book: Book, rep: Rep) -> bool:
    """Take a rep away with all that was said of it; one somebody has judged stays.

    Returns
    -------
    bool
        Whether it is gone.
    """
    if book.count(Grade, rep_id=rep.id):
        return False
    with book.act("take a man out") as act:
        for kind in (Owed, Actual, LinedUp, Event, Flag, Moment, Piece):
            act.drop_all(book.find(kind, rep_id=rep.id))
        act.put(*[replace(mark, rep_id=None) for mark in book.find(Mark, rep_id=rep.id)])
        act.drop(Rep, rep.id)
    return True


def is_untouched(book: Book, rep: Rep) -> bool:
    """Tell whether nobody has marked, said or judged anything of a rep."""
    kinds = (Grade, Actual, Owed, LinedUp, Event, Flag, Moment, Mark)
    return not any(book.count(kind, rep_id=rep.id) for kind in kinds)


def _change(book: Book, clip: Clip, position: str, player: Player) -> str:
    """Put one man in on one clip; name the graded man that forbids it."""
    reps, line_ups = book.find(Rep, clip_id=clip.id), book.find(LineUp, clip_id=clip.id)
    in_place = [rep for rep in reps if (rep.position, rep.player_id) == (position, player.id)]
    leaving = [
        rep
        for rep in reps
        if rep not in in_place and (rep.position == position or rep.player_id == player.id)
    ]
    for rep in leaving:
        if book.count(Grade, rep_id=rep.id):
            return book.get(Player, rep.player_id).name
    for rep in leaving:
        take_out(book, rep)
    told = [row for row in line_ups if row.position == position or row.player_id == player.id]
    with book.act("change the line-up") as act:
        if [(row.position, row.player_id) for row in told] != [(position, player.id)]:
            act.drop_all(told)
            act.put(LineUp(clip_id=clip.id, position=position, player_id=player.id))
        if not in_place:
            act.put(Rep(clip_id=clip.id, player_id=player.id, position=position))
    return ""
