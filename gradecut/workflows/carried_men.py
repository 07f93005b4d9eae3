"""Who stays in on a play of which nobody said who is in: the men of the last play."""

from __future__ import annotations

from dataclasses import replace
from itertools import chain

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.records import Clip, LineUp, Rep, new_id
from gradecut.workflows.carried_looks import is_judged, keep_carried
from gradecut.workflows.of_a_rep import by_clip
from gradecut.workflows.periods import OFF_FILM, plays_before

__all__ = ["carried_men", "keep_drawn", "keep_men", "rep_at", "rep_in"]


def carried_men(book: Book, clip: Clip) -> list[LineUp]:
    """Return the places a play takes over, each from the nearest earlier play that names its man.

    So a man who was put in at one position from some play on stands beside those who stayed. Of
    the same session and period. Where the script names somebody on this play it names all
    who are in, and nothing is taken over; nor is it where the book's author has judged
    somebody here, or on a play whose look is not that of the runs around it. A place that has
    its man keeps him, and nobody stands at two places.

    Returns
    -------
    list of LineUp
        Not stored yet, of this clip; the nearest play's first.
    """
    if clip.kind in OFF_FILM:
        return []
    here = book.find(LineUp, clip_id=clip.id)
    if any(row.source == "script" for row in here) or is_judged(book, clip):
        return []
    reps = book.find(Rep, clip_id=clip.id)
    positions = {row.position for row in here} | {rep.position for rep in reps}
    players = {row.player_id for row in here} | {rep.player_id for rep in reps}
    found: list[LineUp] = []
    for plays in plays_before(book, clip):
        rows = by_clip(book.find(LineUp, clip_id=[one.id for one in plays]))
        before = len(found)
        for row in chain.from_iterable(rows.get(one.id, ()) for one in plays):
            if row.position not in positions and row.player_id not in players:
                found.append(replace(row, id=new_id(), clip_id=clip.id, source="marked", side=None))
                positions.add(row.position)
                players.add(row.player_id)
        if found and len(found) == before:
            break
    return found


def rep_at(place: LineUp) -> Rep:
    """Return the rep of the man at a place, not stored yet."""
    return Rep(clip_id=place.clip_id, player_id=place.player_id, position=place.position)


def keep_men(book: Book, clip: Clip) -> list[Rep]:
    """Store who stays in, in one act; return the reps it made."""
    places = book.reading(lambda: carried_men(book, clip))
    reps = [rep_at(one) for one in places]
    if places:
        with book.act(f"say that the men of the last play stay in on play {clip.order}") as act:
            act.put(*places, *reps)
    return reps


def keep_drawn(book: Book, clip: Clip) -> None:
    """Store what a play takes over, look and men: somebody is judged there now.

    From then on nothing is taken over any more, so what is not stored would be gone.
    """
    keep_carried(book, clip)
    keep_men(book, clip)


def rep_in(book: Book, clip: Clip, position: str) -> Rep:
    """Return the rep of the man who is in at a position.

    One who only stays in has none: he and the others who stay in get theirs with this. It is
    asked for in the act that says something of him, so that undo takes both back.

    Raises
    ------
    BookError
        When nobody is in there.
    """
    there = book.find(Rep, clip_id=clip.id, position=position) or [
        rep for rep in keep_men(book, clip) if rep.position == position
    ]
    if not there:
        raise BookError(f"Nobody is named at {position}: press I to put a player in.")
    return there[0]
