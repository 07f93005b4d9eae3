"""The line-up of one period as it is filled in: positions, men, and what was carried over."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Literal

from gradecut.book import Book
from gradecut.records import Clip, LineUp, Player, Session
from gradecut.workflows.booking import graded_group, graded_positions, scheme_in_force
from gradecut.workflows.coming_in import coming_in
from gradecut.workflows.line_ups import PutIn, line_up_period
from gradecut.workflows.periods import PLAYS_BACK, plays_of_period
from gradecut.workflows.roster import told_apart

__all__ = ["LineUpRows", "PositionRow"]

Stand = Literal["told", "script", "before", "chosen", "open"]
"""Marked by a person in this period; by the script; of the period before; chosen now; nobody."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PositionRow:
    """One position of the period.

    Attributes
    ----------
    man : Player or None
        Who stands there as the period begins.
    stand : str
        Where that is known from.
    changes : tuple of (play, Player)
        Who came in later in the period.
    choices : tuple of Player
        Who could stand there, the likeliest first.
    """

    position: str
    man: Player | None
    stand: Stand
    changes: tuple[tuple[int, Player], ...] = ()
    choices: tuple[Player, ...] = field(default=())


class LineUpRows:
    """Who stands where in the period of a play, as it is being filled in.

    Nothing is stored before ``take``.

    Attributes
    ----------
    rows : list of PositionRow
    title : str
        The period and its plays: "Inside run 2 · plays 6 to 10".
    """

    def __init__(self, book: Book, clip: Clip) -> None:
        self._book, self._clip = book, clip
        book.reading(self._take_over)

    def _take_over(self) -> None:
        """Read all of it, as it is at one moment."""
        book, clip = self._book, self._clip
        self._players = {man.id: man for man in book.find(Player)}
        self._game = book.get(Session, clip.session_id).kind == "game"
        plays = plays_of_period(book, clip, whole=True)
        self.first = plays[0]
        name = next((one.period for one in plays if one.period), "") or "the whole session"
        ends = f"play {plays[0].order}"
        if len(plays) > 1:
            ends = f"plays {plays[0].order} to {plays[-1].order}"
        self.title = f"{name} · {ends}"
        self.rows = self._read(plays)

    def number(self, man: Player) -> str:
        """Return what tells a man on film, such as his number."""
        return told_apart(man, list(self._players.values()), game=self._game)

    def choose(self, place: int, man: Player) -> None:
        """Put a man in at a position; where he stood elsewhere, the two change places."""
        leaving = self.rows[place].man
        for at, row in enumerate(self.rows):
            if at != place and row.man is not None and row.man.id == man.id:
                stand: Stand = "chosen" if leaving is not None else "open"
                self.rows[at] = replace(row, man=leaving, stand=stand)
        self.rows[place] = replace(self.rows[place], man=man, stand="chosen")

    @property
    def waiting(self) -> int:
        """How many positions would be told by taking this: chosen now, or carried over."""
        return len(self._to_tell())

    def take(self) -> dict[str, PutIn]:
        """Keep what was chosen and what was carried over, for the whole period, in one act.

        Raises
        ------
        BookError
            When a man is to be at two positions.
        """
        told = self._to_tell()
        return line_up_period(self._book, self.first, told) if told else {}

    def _to_tell(self) -> dict[str, Player]:
        return {
            row.position: row.man
            for row in self.rows
            if row.man is not None and row.stand in ("chosen", "before")
        }

    # ------------------------------------------------------------------ reading

    def _read(self, plays: Sequence[Clip]) -> list[PositionRow]:
        here = self._rows_of(plays)
        before = self._rows_of(
            self._book.find(
                Clip,
                session_id=self._clip.session_id,
                order=list(range(max(plays[0].order - PLAYS_BACK, 1), plays[0].order)),
            )
        )
        men = [row.player_id for rows in here.values() for _, row in rows]
        return [
            self._row(position, here.get(position, ()), before.get(position, ()), men)
            for position in self._positions()
        ]

    def _positions(self) -> list[str]:
        scheme = scheme_in_force(self._book)
        return graded_positions(scheme, graded_group(self._book))

    def _rows_of(self, plays: Sequence[Clip]) -> dict[str, list[tuple[int, LineUp]]]:
        """Return who stood where, by position, in the order of the plays."""
        orders = {one.id: one.order for one in plays}
        found: dict[str, list[tuple[int, LineUp]]] = {}
        for row in self._book.find(LineUp, clip_id=list(orders)):
            found.setdefault(row.position, []).append((orders[row.clip_id], row))
        return {key: sorted(rows, key=lambda one: one[0]) for key, rows in found.items()}

    def _row(
        self,
        position: str,
        here: Sequence[tuple[int, LineUp]],
        before: Sequence[tuple[int, LineUp]],
        taken: Sequence[str],
    ) -> PositionRow:
        found = coming_in(self._book, self.first, position)
        choices = tuple(man for man in (*found.likely, *found.others) if not man.unknown)
        if here:
            first = here[0][1]
            stand: Stand = "script" if first.source == "script" else "told"
            man: Player | None = self._players[first.player_id]
        else:
            carried = [row for _, row in before if row.player_id not in taken]
            man = self._players[carried[-1].player_id] if carried else None
            stand = "before" if man is not None else "open"
        if man is not None:
            choices = (man, *(one for one in choices if one.id != man.id))
        return PositionRow(
            position=position, man=man, stand=stand, choices=choices,
            changes=_changes(here, self._players),
        )  # fmt: skip


def _changes(
    here: Sequence[tuple[int, LineUp]], players: Mapping[str, Player]
) -> tuple[tuple[int, Player], ...]:
    """Return where another man came in than the one of the play before."""
    found = []
    for (_, last), (order, row) in pairwise(here):
        if row.player_id != last.player_id:
            found.append((order, players[row.player_id]))
    return tuple(found)
