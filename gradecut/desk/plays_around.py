"""The plays of the session shown: where each is entered, so that going there shows it at once."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, TypeAlias

from gradecut.desk.film_place import FilmPlace
from gradecut.timebase import Frame
from gradecut.workflows.films import paths_of_films
from gradecut.workflows.moments import timelines_of

if TYPE_CHECKING:
    from gradecut.book import Book
    from gradecut.desk.jobs import Post
    from gradecut.desk.session_plays import SessionPlays
    from gradecut.film import FrameServer

__all__ = ["PlaysAround"]

Entry: TypeAlias = tuple[str, Frame]
Entries: TypeAlias = Mapping[str, Mapping[str, Entry]]
"""By play and angle's name."""

_PLAYS = 200
"""The small copies of so many take some 20 MB, from two angles."""

_A_LOT = 8
_BREATH_S = 0.03
"""So many plays are read at a time, then others have the book to themselves for so long."""


class PlaysAround:
    """Tells the frame server where plays are entered, as every angle shows them.

    It is read beside the window, and again where he comes to a play that was not among those
    read. From then on they are told in their order from the play on stage. A snap that moves
    meanwhile is not told: that play then shows its first picture once it is decoded.
    """

    def __init__(self, book: Book, plays: SessionPlays, server: FrameServer, post: Post) -> None:
        self._book = book
        self._plays = plays
        self._server = server
        self._post = post
        self._around: frozenset[str] = frozenset()
        self._entries: Entries = {}
        self._at = "", ""

    def close(self) -> None:
        """Read no more."""
        self._around = frozenset()

    def look(self, clip_id: str, name: str) -> None:
        """Have the entries of the plays from one on told, those of an angle first."""
        self._at = clip_id, name
        if clip_id in self._around:
            self._tell()
            return
        line = [box.clip_id for box in self._plays.line.boxes if box.status != "no play"]
        place = line.index(clip_id) if clip_id in line else 0
        around = (line[place:] + line[:place])[:_PLAYS]
        asked = self._around = frozenset((*around, clip_id))
        self._plays.beside(partial(self._read, asked, around))

    def _read(self, asked: frozenset[str], around: Sequence[str]) -> None:
        found: dict[str, Mapping[str, Entry]] = {}
        for start in range(0, len(around), _A_LOT):
            if asked is not self._around:
                return
            lot = around[start : start + _A_LOT]
            found |= self._book.reading(partial(self._entered, lot))
            time.sleep(_BREATH_S)
        self._post(lambda: self._came(asked, found))

    def _entered(self, clip_ids: Sequence[str]) -> dict[str, Mapping[str, Entry]]:
        lines = timelines_of(self._book, clip_ids)
        films = {angle.film_id for line in lines.values() for angle in line.angles}
        paths = paths_of_films(self._book, sorted(films))
        return {
            clip_id: {
                angle.name: (path, FilmPlace(timeline=line, angle=angle, path=path).entry)
                for angle in line.angles
                if (path := paths.get(angle.film_id)) is not None
            }
            for clip_id, line in lines.items()
        }

    def _came(self, asked: frozenset[str], found: Entries) -> None:
        if asked is self._around:
            self._entries = found
            self._tell()

    def _tell(self) -> None:
        """Tell them from a play on: he goes on through the line, mostly from the same angle."""
        clip_id, name = self._at
        ids = list(self._entries)
        place = ids.index(clip_id) if clip_id in self._entries else 0
        entries = [self._entries[one] for one in ids[place:] + ids[:place]]
        first = [_shown_by(name, one) for one in entries]
        rest = [entry for one, shown in zip(entries, first, strict=True)
                for entry in one.values() if entry != shown]  # fmt: skip
        self._server.keep_entries([*(entry for entry in first if entry is not None), *rest])


def _shown_by(name: str, entries: Mapping[str, Entry]) -> Entry | None:
    """Return where a play is entered by the angle looked at last, else by its first."""
    return entries.get(name) or next(iter(entries.values()), None)
