"""Where every play of the session is entered is told, so that going there shows it at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from types import SimpleNamespace
from typing import Any, cast

import pytest

from gradecut.desk import plays_around
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.plays_around import PlaysAround
from gradecut.errors import BookError, GradecutError
from gradecut.timebase import Frame
from tests.desk.film_book import press
from tests.desk.small_book import Posted

Told = list[list[tuple[str, Frame]]]


@pytest.fixture
def told(film: FilmDesk, monkeypatch: pytest.MonkeyPatch) -> Told:
    """Note which entries are told from now on."""
    found: Told = []
    monkeypatch.setattr(film._server, "keep_entries", lambda entries: found.append(list(entries)))
    return found


def shown_at(film: FilmDesk, plays: Sequence[str]) -> list[tuple[str, Frame]]:
    """Go through plays, and return the film and frame each is shown at first."""
    found = []
    for play in plays:
        film.open_clip(play)
        place = film.playhead.place
        assert place is not None
        assert place.path is not None
        found.append((place.path, film.playhead.frame))
    return found


def plays_of(film: FilmDesk) -> list[str]:
    """Return the session's plays, in their order."""
    return [box.clip_id for box in film.plays.line.boxes]


def told_first(told: Told, film: FilmDesk) -> list[tuple[str, Frame]]:
    """Return what was told last, of as many entries as there are plays."""
    return told[-1][: len(plays_of(film))]


def test_it_is_told_where_each_play_will_be_shown(
    film: FilmDesk, told: Told, posted: Posted
) -> None:
    """The frame that a play is really entered at, and after them all those of other angles."""
    posted.until(lambda: bool(told and told[-1]))
    first, *after = plays_of(film)
    count, entries = len(after) + 1, told[-1]
    assert entries[:count] == shown_at(film, [*after, first])
    film.open_clip(first)
    press(film, "A")
    others = {one for one in shown_at(film, [first, *after]) if one not in entries[:count]}
    assert others
    assert others == set(entries[count:])


def test_they_are_told_from_the_play_on_stage_on(
    film: FilmDesk, told: Told, posted: Posted
) -> None:
    """He goes on through the line, or back; the one on stage is there already."""
    posted.until(lambda: bool(told and told[-1]))
    plays = plays_of(film)
    film.open_clip(plays[2])
    assert told_first(told, film) == shown_at(film, [plays[1], plays[0], plays[2]])


def test_the_other_angle_is_told_first_once_it_is_looked_at(
    film: FilmDesk, told: Told, posted: Posted
) -> None:
    """Who looks at the other angle finds every play there as that angle shows it."""
    posted.until(lambda: bool(told and told[-1]))
    plays = plays_of(film)
    film.open_clip(plays[1])
    press(film, "A")
    assert told_first(told, film) == shown_at(film, [plays[2], plays[0], plays[1]])


def test_films_found_later_are_told_with_the_next_play(
    film: FilmDesk, told: Told, posted: Posted
) -> None:
    """Everything is read anew after the book was changed elsewhere, or a folder was shown."""
    posted.until(lambda: bool(told and told[-1]))
    film.refresh()
    told.clear()
    film.next_clip()
    posted.until(lambda: bool(told and told[-1]))
    assert len(told_first(told, film)) == len(plays_of(film))


# ---------------------------------------------------------------- long sessions


class LongSession:
    """Stands in for a session of many plays; what is to be done beside waits until it is run."""

    def __init__(self, count: int) -> None:
        self.session: Any = SimpleNamespace(id="long")
        boxes = [SimpleNamespace(clip_id=f"{order}") for order in range(count)]
        self.line: Any = SimpleNamespace(boxes=boxes, place_of=int)
        self.waiting: list[Callable[[], None]] = []

    def beside(self, work: Callable[[], None]) -> None:
        """Keep work for later."""
        self.waiting.append(work)

    def run(self) -> None:
        """Do what waits, and what that brings."""
        while self.waiting:
            self.waiting.pop(0)()


class Around:
    """The plays around in a long session: what is read, and what is told."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, count: int) -> None:
        monkeypatch.setattr(plays_around, "_BREATH_S", 0)
        monkeypatch.setattr(plays_around, "_FIRST_BREATH_S", 0)
        self.read: list[str] = []
        self.told: list[list[str]] = []
        self.fault: GradecutError | None = None
        self.plays = LongSession(count)
        server = SimpleNamespace(keep_entries=self.keep)
        self.around = PlaysAround(
            cast("Any", None), cast("Any", self.plays), cast("Any", server), lambda work: work()
        )
        monkeypatch.setattr(self.around, "_entered", self.entered)

    def keep(self, entries: Sequence[tuple[str, Frame]]) -> None:
        """Note what is told."""
        self.told.append([path for path, _ in entries])

    def entered(self, clip_ids: Sequence[str]) -> dict[str, dict[str, tuple[str, Frame]]]:
        """Stand in for the book: each play has a film of its own name."""
        if self.fault is not None:
            raise self.fault
        self.read += clip_ids
        return {one: {"end": (one, Frame(0))} for one in clip_ids}

    def look(self, place: int) -> None:
        """Show a play, and let all that follows be done."""
        after = [f"{one}" for one in range(place + 1, min(place + 5, len(self.plays.line.boxes)))]
        self.around.look(f"{place}", "end", after)
        self.plays.run()


def test_each_play_of_a_long_session_is_read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """On and back again: those near are always told, and no play is asked for twice."""
    seen = Around(monkeypatch, 600)
    for place in (*range(0, 500, 3), *range(500, 0, -3)):
        seen.look(place)
        following = [f"{one}" for one in range(place + 1, place + 9)]
        assert seen.told[-1][:8] == following
    assert len(seen.read) == len(set(seen.read))
    assert max(len(told) for told in seen.told) <= 200


def test_a_round_tells_its_own_next_plays_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """Flagged reps lie apart: what comes next is not what lies next."""
    seen = Around(monkeypatch, 60)
    seen.look(0)
    seen.around.look("3", "end", ["17", "40"])
    seen.plays.run()
    assert seen.told[-1][:4] == ["17", "40", "4", "5"]


def test_another_session_forgets_the_one_before(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its plays are told no more, also where what was asked of it comes late."""
    seen = Around(monkeypatch, 60)
    seen.around.look("0", "end", ["1"])
    late = seen.plays.waiting.pop()
    seen.plays.session = SimpleNamespace(id="other")
    seen.around.look("0", "end", ["1"])
    late()
    assert (seen.read, seen.told[-1]) == ([], [])
    seen.plays.run()
    assert len(seen.told[-1]) == 60


def test_what_could_not_be_read_is_read_with_the_next_play(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A book that was busy is no matter to tell the coach of."""
    seen = Around(monkeypatch, 20)
    seen.fault = BookError("busy")
    seen.look(0)
    assert seen.told in ([], [[]])
    seen.fault = None
    seen.look(1)
    assert len(seen.told[-1]) == 20


def test_nothing_is_read_once_it_is_closed(monkeypatch: pytest.MonkeyPatch) -> None:
    """What waited is given up."""
    seen = Around(monkeypatch, 20)
    seen.around.look("0", "end", ["1"])
    seen.around.close()
    seen.plays.run()
    seen.look(1)
    assert seen.read == []
