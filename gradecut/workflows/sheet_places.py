"""Which play and which man a line of a sheet means."""

from __future__ import annotations

from gradecut.book import Book
from gradecut.hints import nearest
from gradecut.records import Clip, Player, Rep, Session
from gradecut.scheme import Scheme
from gradecut.workflows.roster import find_player
from gradecut.workflows.sheets import Faults, SheetRow, whole_number

__all__ = ["SheetPlaces"]


class SheetPlaces:
    """Finds clips, men and reps of a book for the lines of a sheet."""

    def __init__(self, book: Book, faults: Faults) -> None:
        self._faults = faults
        self._sessions = {one.name.lower(): one for one in book.find(Session)}
        self._kinds = {one.id: one.kind for one in self._sessions.values()}
        self._clips = {(one.session_id, one.order): one for one in book.find(Clip)}
        self._players = book.find(Player)
        self._reps: dict[str, list[Rep]] = {}
        for rep in book.find(Rep):
            self._reps.setdefault(rep.clip_id, []).append(rep)

    def clip(self, row: SheetRow) -> Clip | None:
        """Find the play of a line; its session may be left out while there is only one."""
        session = self._session(row)
        if session is None:
            return None
        text = row.text("play")
        clip = self._clips.get((session.id, whole_number(text) or 0))
        if clip is None:
            plays = sorted(order for (home, order) in self._clips if home == session.id)
            there = f"plays {plays[0]} to {plays[-1]}" if plays else "no plays"
            self._faults.add(
                row.line, f"there is no play “{text}” in {session.name}; it has {there}."
            )
        return clip

    def rep(self, row: SheetRow, clip: Clip, scheme: Scheme | None) -> Rep | None:
        """Find the rep of a line by its position, its player, or both."""
        position, said = row.text("position"), row.text("player")
        if not position and not said:
            return None
        spelt = {name.lower(): name for name in (scheme.positions if scheme else ())}
        position = spelt.get(position.lower(), position)
        if position and scheme and position not in scheme.positions:
            self._faults.add(
                row.line,
                f"“{position}” is no position of the scheme; {nearest(position, scheme.positions)}",
            )
            return None
        game = self._kinds.get(clip.session_id) == "game"
        player = find_player(self._players, said, game=game) if said else None
        if isinstance(player, str):
            self._faults.add(row.line, player)
            return None
        found = [
            rep
            for rep in self._reps.get(clip.id, [])
            if (not position or rep.position == position)
            and (player is None or rep.player_id == player.id)
        ]
        if len(found) == 1:
            return found[0]
        who = " ".join(filter(None, (position, player.name if player else "")))
        if found:
            why = f"{who} stands for {len(found)} reps of play {clip.order}; name both."
        else:
            why = f"{who} was not in on play {clip.order}; put him in first."
        self._faults.add(row.line, why)
        return None

    def _session(self, row: SheetRow) -> Session | None:
        name = row.text("session")
        if not name and len(self._sessions) == 1:
            return next(iter(self._sessions.values()))
        session = self._sessions.get(name.lower())
        if session is None:
            names = [one.name for one in self._sessions.values()]
            what = f"“{name}” is no session of this book" if name else "names no session"
            self._faults.add(row.line, f"{what}; {nearest(name, names)}")
        return session
