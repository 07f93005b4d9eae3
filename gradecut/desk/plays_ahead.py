"""The plays that come next: their films are made ready while this one is graded."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gradecut.desk.film_place import FilmPlace
from gradecut.records import Angle
from gradecut.workflows.films import paths_of_films
from gradecut.workflows.moments import Timeline, timeline_of

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk

__all__ = ["PlaysAhead", "angle_named"]

_PLAYS = 4
"""So many plays gone on to at once find their first picture there."""


def angle_named(name: str, line: Timeline) -> Angle | None:
    """Return the angle of a play to show: the one looked at last, where the play has it."""
    named = (one for one in line.angles if one.name == name)
    return next(named, None) or next(iter(line.angles), None)


class PlaysAhead:
    """Tells the film on stage where the next plays will be entered.

    What was read of a play is kept while it is one of the next: should its snap move meanwhile,
    only its first picture comes later.
    """

    def __init__(self, desk: FilmDesk) -> None:
        self._desk = desk
        self._known: dict[tuple[str, str], FilmPlace] = {}

    def look(self, clip_id: str, name: str) -> list[str]:
        """Have the first pictures of the plays after one decoded; return those plays.

        Parameters
        ----------
        name : str
            The angle that is looked at.
        """
        ids = self._after(clip_id)
        new = [one for one in ids if (one, name) not in self._known]
        book = self._desk.book
        read = book.reading(lambda: [self._place_of(one, name) for one in new]) if new else []
        known = self._known | {(at.angle.clip_id, name): at for at in read if at is not None}
        self._known = {(one, name): known[one, name] for one in ids if (one, name) in known}
        self._desk.playhead.look_ahead(list(self._known.values()))
        return ids

    def _after(self, clip_id: str) -> list[str]:
        found: list[str] = []
        following = self._next(clip_id)
        while following is not None and following not in found and len(found) < _PLAYS:
            found.append(following)
            following = self._next(following)
        return found

    def _next(self, clip_id: str) -> str | None:
        return self._desk.rounds.following(clip_id) or self._desk.plays.line.beside(clip_id, 1)

    def _place_of(self, clip_id: str, name: str) -> FilmPlace | None:
        """Return where a play's film would be entered; None where it has none here."""
        book = self._desk.book
        line = timeline_of(book, clip_id)
        paths, angle = paths_of_films(book, list(line.films)), angle_named(name, line)
        path = paths.get(angle.film_id) if angle else None
        return FilmPlace(timeline=line, angle=angle, path=path) if angle and path else None
