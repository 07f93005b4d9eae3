"""The plays of the session shown: where each is entered, so that going there shows it at once."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, TypeAlias

from gradecut.desk.film_place import FilmPlace
from gradecut.errors import GradecutError
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
"""By play and angle's name; a play without film here has none."""

_BEFORE, _AFTER = 50, 150
"""So many plays before the one on stage, and after it, are told."""
_NEAR = 8
"""Once one of so many next plays was not read yet, those around are read."""
_MOST = 400
"""So many small copies take some 20 MB."""

_A_LOT = 8
_BREATH_S = 0.03
"""So many plays are read at a time, then others have the book to themselves for so long."""
_FIRST_BREATH_S = 0.1
"""So long the play that is shown first has the book, and the window, to itself."""


class PlaysAround:
    """Tells the frame server where plays are entered, as every angle shows them.

    They are read beside the window, each once, and told from the play on stage on. A snap that
    moves meanwhile is not told: that play then shows its first picture once it is decoded.
    """

    def __init__(self, book: Book, plays: SessionPlays, server: FrameServer, post: Post) -> None:
        self._book = book
        self._plays = plays
        self._server = server
        self._post = post
        self._session = ""
        self._entries: dict[str, Mapping[str, Entry]] = {}
        self._reading: object = None
        self._closed = False
        self._stage: tuple[str, str, Sequence[str]] = "", "", ()

    def close(self) -> None:
        """Read no more."""
        self._closed = True
        self.forget()

    def forget(self) -> None:
        """Read all of them anew when a play is shown next: films may have come or moved."""
        self._entries.clear()
        self._reading = None

    def look(self, clip_id: str, name: str, following: Sequence[str]) -> None:
        """Have the entries of the plays around one told.

        Parameters
        ----------
        name : str
            The angle that is looked at: its entries are told first.
        following : sequence of str
            The plays that come next; mostly, but in a round not always, those of the line.
        """
        session = self._plays.session.id if self._plays.session else ""
        if session != self._session:
            self._session = session
            self.forget()
            self._server.keep_entries(())
        self._stage = clip_id, name, tuple(following)
        self._tell()
        self._read_on()

    def _around(self) -> list[str]:
        """Return the plays around the one on stage in their order: those after it, then before."""
        clip_id, _, following = self._stage
        boxes = self._plays.line.boxes
        place = self._plays.line.place_of(clip_id) or 0
        before = boxes[max(place - _BEFORE, 0) : place][::-1]
        near = [box.clip_id for box in (*boxes[place + 1 : place + _AFTER], *before)]
        return list(dict.fromkeys((*following, *near, clip_id)))

    def _read_on(self) -> None:
        """Read what is not known of the plays around, unless that goes on already."""
        if self._closed or self._reading is not None:
            return
        around = self._around()
        if any(one not in self._entries for one in (*around[:_NEAR], self._stage[0])):
            missing = [one for one in around if one not in self._entries]
            asked = self._reading = object()
            wait_s = _BREATH_S if self._entries else _FIRST_BREATH_S
            self._plays.beside(partial(self._read, asked, missing, {}, wait_s))

    def _read(
        self,
        asked: object,
        ids: Sequence[str],
        found: dict[str, Mapping[str, Entry]],
        wait_s: float,
    ) -> None:
        """Read a lot of plays, and have the next one read after what waits meanwhile."""
        if asked is not self._reading:
            return
        time.sleep(wait_s)
        try:
            found |= self._entered(ids[:_A_LOT])
        except GradecutError:
            self._post(lambda: self._came(asked, {}))
            return
        if ids[_A_LOT:]:
            self._plays.beside(partial(self._read, asked, ids[_A_LOT:], found, _BREATH_S))
        else:
            self._post(lambda: self._came(asked, found))

    def _entered(self, clip_ids: Sequence[str]) -> Entries:
        book = self._book
        lines = book.reading(lambda: timelines_of(book, clip_ids))
        films = {angle.film_id for line in lines.values() for angle in line.angles}
        # Not in the reading: whether a file is there may take as long as its drive takes.
        paths = paths_of_films(book, sorted(films))
        return {
            clip_id: {
                angle.name: (path, FilmPlace(timeline=line, angle=angle, path=path).entry)
                for angle in line.angles
                if (path := paths.get(angle.film_id)) is not None
            }
            for clip_id, line in lines.items()
        }

    def _came(self, asked: object, found: Entries) -> None:
        if asked is not self._reading:
            return
        self._reading = None
        if found:
            self._entries |= found
            self._tell()
            self._read_on()

    def _tell(self) -> None:
        """Tell the entries of the plays around, those of the angle looked at first."""
        name = self._stage[1]
        around = [self._entries[one] for one in self._around() if one in self._entries]
        shown = [entry for one in around if (entry := _shown_by(name, one)) is not None]
        others = [entry for one in around for entry in one.values()]
        if shown:
            self._server.keep_entries(list(dict.fromkeys((*shown, *others)))[:_MOST])


def _shown_by(name: str, entries: Mapping[str, Entry]) -> Entry | None:
    """Return where a play is entered by the angle looked at last, else by its first."""
    return entries.get(name) or next(iter(entries.values()), None)
