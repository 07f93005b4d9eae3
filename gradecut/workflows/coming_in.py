"""The men who could come in at a position: those who shared it, then the rest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from gradecut.book import Book
from gradecut.records import Clip, LineUp, Player, Rep

__all__ = ["ComingIn", "coming_in"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ComingIn:
    """Who could come in at a position on a play.

    Attributes
    ----------
    likely : tuple of Player
        Those who shared it in this session and are not in now, the one who was in last
        first; where nobody did, those of the roster who play it.
    others : tuple of Player
        Everybody else: men of that position, men who are in elsewhere, the rest.
    at : mapping of player id to position
        Where those stand who are in on the play.
    """

    likely: tuple[Player, ...]
    others: tuple[Player, ...]
    at: dict[str, str]


def coming_in(
    book: Book, clip: Clip, position: str, *, staying: Mapping[str, str] | None = None
) -> ComingIn:
    """Find who could come in at a position on a play.

    Parameters
    ----------
    staying : mapping of player id to position
        Men who stay in from the play before, which is not stored yet.
    """
    players = {man.id: man for man in book.find(Player)}
    plays = {one.id: one.order for one in book.find(Clip, session_id=clip.session_id)}
    stood = book.find(LineUp, clip_id=list(plays), position=position)
    at = dict(staying or {})
    at |= {rep.player_id: rep.position for rep in book.find(Rep, clip_id=clip.id)}
    at |= {row.player_id: row.position for row in book.find(LineUp, clip_id=clip.id)}
    nearest: dict[str, tuple[bool, int]] = {}
    for row in stood:
        away = clip.order - plays[row.clip_id]
        # Who was in before counts before who comes in later; then the nearest play.
        rank = (away < 0, abs(away))
        nearest[row.player_id] = min(rank, nearest.get(row.player_id, rank))
    shared = sorted((one for one in nearest if one not in at), key=nearest.__getitem__)
    likely = [players[one] for one in shared]
    if not likely:
        likely = [
            man
            for man in players.values()
            if man.position == position and man.id not in at and not (man.unknown or man.held_out)
        ]
    chosen = {man.id for man in likely}
    others = sorted(
        (man for man in players.values() if man.id not in chosen and at.get(man.id) != position),
        key=lambda man: (man.unknown, man.position != position, man.id in at, man.name),
    )
    return ComingIn(likely=tuple(likely), others=tuple(others), at=at)
