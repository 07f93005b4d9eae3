"""The plays of the session shown: where each is entered, so that going there shows it at once."""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING

from gradecut.desk.film_place import FilmPlace
from gradecut.desk.plays_ahead import angle_named
from gradecut.timebase import Frame
from gradecut.workflows.films import paths_of_films
from gradecut.workflows.moments import timelines_of

if TYPE_CHECKING:
    from gradecut.book import Book
    from gradecut.desk.jobs import Post
    from gradecut.desk.session_plays import SessionPlays
    from gradecut.film import FrameServer

__all__ = ["PlaysAround"]

_PLAYS = 200
"""So many small copies are wanted: about 10 MB."""

_A_LOT = 20
_BREATH_S = 0.02
"""So long others have the book to themselves between two lots of plays."""


class PlaysAround:
    """Tells the frame server where plays are entered: the next of the session, then the first.

    It is read beside the window, once for each session and angle, and again where he comes to a
    play that was not told. A snap that moves meanwhile is not: that play then shows its first
    picture as before, once it is decoded.
    """

    def __init__(self, book: Book, plays: SessionPlays, server: FrameServer, post: Post) -> None:
        self._book = book
        self._plays = plays
        self._server = server
        self._post = post
        self._asked: tuple[frozenset[str], str] = frozenset(), ""

    def close(self) -> None:
        """Read no more."""
        self._asked = frozenset(), ""

    def look(self, clip_id: str, name: str) -> None:
        """Have the entries of the plays around one read, as an angle shows them."""
        ids, named = self._asked
        if clip_id in ids and named == name:
            return
        line = [box.clip_id for box in self._plays.line.boxes if box.status != "no play"]
        place = self._plays.line.place_of(clip_id) or 0
        around = (line[place:] + line[:place])[:_PLAYS]
        asked = self._asked = frozenset((*around, clip_id)), name
        self._plays.beside(partial(self._read, asked, around, name))

    def _read(
        self, asked: tuple[frozenset[str], str], around: Sequence[str], name: str
    ) -> None:  # fmt: skip
        found: list[tuple[str, Frame]] = []
        for start in range(0, len(around), _A_LOT):
            if asked is not self._asked:
                return
            lot = around[start : start + _A_LOT]
            found += self._book.reading(lambda lot=lot: list(self._entries(lot, name)))  # type: ignore[misc]
            time.sleep(_BREATH_S)
        self._post(lambda: self._tell(asked, found))

    def _entries(self, clip_ids: Sequence[str], name: str) -> Iterator[tuple[str, Frame]]:
        lines = timelines_of(self._book, clip_ids)
        shown = {one: angle_named(name, line) for one, line in lines.items()}
        films = {angle.film_id for angle in shown.values() if angle is not None}
        paths = paths_of_films(self._book, sorted(films))
        for clip_id in clip_ids:
            angle = shown[clip_id]
            path = paths.get(angle.film_id) if angle else None
            if angle is not None and path is not None:
                yield path, FilmPlace(timeline=lines[clip_id], angle=angle, path=path).entry

    def _tell(self, asked: tuple[frozenset[str], str], found: Sequence[tuple[str, Frame]]) -> None:
        if asked is self._asked:
            self._server.keep_entries(found)
