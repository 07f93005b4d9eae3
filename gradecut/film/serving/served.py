"""What the two decoding threads of a server share."""

from __future__ import annotations

import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from threading import Condition
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
from numpy.typing import NDArray

from gradecut.errors import FilmError
from gradecut.film.decoding.frame_cache import Rank, Store, size_of, usual_budget
from gradecut.film.serving.memory import Freed
from gradecut.film.serving.open_film import KeptPicture, OpenFilm, PictureStore
from gradecut.film.serving.open_films import OpenFilms
from gradecut.film.serving.small_copies import CopyStore
from gradecut.film.serving.watched import ClipPlace, Watched
from gradecut.timebase import Frame

if TYPE_CHECKING:
    from gradecut.film.indexing.frame_index import FrameIndex

__all__ = ["OnError", "OnLost", "OnReady", "Picture", "Post", "Request", "Served"]

Picture: TypeAlias = NDArray[np.uint8]
OnReady: TypeAlias = Callable[[Frame, Picture, bool], None]
OnError: TypeAlias = Callable[[FilmError], None]
OnLost: TypeAlias = Callable[[str, frozenset[Frame]], None]
Post: TypeAlias = Callable[[Callable[[], None]], None]

_COPIES_SHARE = 4
"""A quarter of the budget is for small copies."""

_GRACE_S = 0.004
"""How long the background waits after the foreground's work, for what is asked next."""

_AT_REST_S = 0.15
"""The playhead stands when nothing was asked for so long."""

_LONG_REST_S = 2.0

_MOST_OPENING = 3
_LANE_LEFT_AFTER = 8
"""A lane nothing was asked of during so many requests of others is no longer looked at."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Request:
    """A frame asked for, and whom to tell."""

    path: str
    frame: Frame
    on_ready: OnReady
    on_error: OnError
    rough: bool
    lane: str


class Served:
    """What is asked for, looked at, decoded and lost; every change is told to ``change``.

    Attributes
    ----------
    change : Condition
        Guards what is asked for and looked at.
    version : int
        Another after every change.
    closing : bool
        Nothing more is to be done.
    watched : Watched
    pictures, copies : Store
        Decoded pictures and small copies, by film and frame.
    films : OpenFilms
    freed : Freed
        What pictures and decoders let go of.
    """

    def __init__(self, post: Post, budget_bytes: int | None, on_lost: OnLost | None) -> None:
        budget = usual_budget() if budget_bytes is None else budget_bytes
        for_copies = budget // _COPIES_SHARE
        self._post = post
        self._on_lost = on_lost
        self._pending: dict[str, Request] = {}
        self._newest: dict[str, Request] = {}
        self._unasked: dict[str, int] = {}
        self._opening: OrderedDict[str, None] = OrderedDict()
        self._lost: dict[str, frozenset[Frame]] = {}
        self._working = False
        self._worked_at = self._moved_at = -_AT_REST_S
        self.change = Condition()
        self.version = 0
        self.closing = False
        self.watched = Watched()
        self.freed = Freed()
        self.pictures: PictureStore = Store(
            budget - for_copies, self._rank_of_picture, self._let_go_of
        )
        self.copies: CopyStore = Store(for_copies, self._rank_of_copy)
        self.films = OpenFilms(
            self.change,
            self.pictures,
            self._forget,
            lambda: self.watched,
            self.freed,
        )

    # ------------------------------------------------------------------ told by the asker

    def ask(self, asked: Request) -> None:
        """Take a request in place of its lane's last."""
        with self.change:
            self._pending[asked.lane] = self._newest[asked.lane] = asked
            self._unasked = {lane: count + 1 for lane, count in self._unasked.items()}
            self._unasked[asked.lane] = 0
            shown = {
                lane: place
                for lane, place in self.watched.shown.items()
                if self._unasked[lane] <= _LANE_LEFT_AFTER
            }
            shown[asked.lane] = (asked.path, int(asked.frame))
            self.watched = self.watched.with_shown(shown)
            self._moved_at = time.monotonic()
            self._changed()

    def look_at(self, clip: ClipPlace) -> None:
        """Take in which clip is on stage and where it stands."""
        with self.change:
            if clip not in self.watched.clips[:1]:
                self.watched = self.watched.with_clip(clip)
                self._moved_at = time.monotonic()
                self._changed()

    def look_ahead(self, following: ClipPlace) -> None:
        """Take in which clip comes next."""
        with self.change:
            if following != self.watched.following:
                self.watched = self.watched.with_following(following)
                self._changed()

    def keep_ready(
        self, goals: tuple[tuple[str, int], ...], at_rest: tuple[tuple[str, int], ...]
    ) -> None:
        """Take in which frames one key leads to."""
        with self.change:
            if (goals, at_rest) != (self.watched.goals, self.watched.goals_at_rest):
                self.watched = self.watched.with_goals(goals, at_rest)
                self._changed()

    def keep_entries(self, entries: tuple[tuple[str, int], ...]) -> None:
        """Take in where other clips are entered."""
        with self.change:
            if entries != self.watched.entries:
                self.watched = self.watched.with_entries(entries)
                self._changed()

    def open(self, path: str) -> None:
        """Have a film opened in the background."""
        with self.change:
            self._opening[path] = None
            while len(self._opening) > _MOST_OPENING:
                self._opening.popitem(last=False)
            self._changed()

    def close(self) -> None:
        """Have both threads end; nothing asked for is answered any more."""
        with self.change:
            self.closing = True
            self._pending.clear()
            self._newest.clear()
            self._changed()

    def let_go(self) -> None:
        """Close the films and let go of all pictures, once both threads have ended."""
        self.films.close()
        self.pictures.clear()
        self.copies.clear()

    def _changed(self) -> None:
        self.version += 1
        self.change.notify_all()

    # ------------------------------------------------------------------ the foreground

    def next_request(self, after: str) -> Request | None:
        """Wait for a request and take it, another lane's than ``after`` first; None to end."""
        with self.change:
            self._working = False
            self._worked_at = time.monotonic()
            self._changed()
            self.change.wait_for(lambda: self.closing or bool(self._pending))
            if self.closing:
                return None
            lane = min(self._pending, key=lambda lane: lane == after)
            self._working = True
            return self._pending.pop(lane)

    def is_newest(self, asked: Request) -> bool:
        """Whether a request is still what its lane waits for."""
        return not self.closing and self._newest.get(asked.lane) is asked

    def hand_over(self, asked: Request, tell: Callable[[], None]) -> None:
        """Post an answer, to be told unless something newer was asked in the meantime."""

        def tell_if_newest() -> None:
            if self.is_newest(asked):
                tell()

        if self.is_newest(asked):
            self._post(tell_if_newest)

    # ------------------------------------------------------------------ the background

    def way_clear_in_s(self) -> float | None:
        """Return how long the foreground is to be left alone yet; None while it works."""
        if self._working or self._pending:
            return None
        return max(self._worked_at + _GRACE_S - time.monotonic(), 0.0)

    def stand_still(self, give_up: Callable[[], bool]) -> bool:
        """Wait until the foreground does nothing; False when ``give_up`` says so first."""
        with self.change:
            while True:
                if self.closing or give_up():
                    return False
                left_s = self.way_clear_in_s()
                if left_s == 0:
                    return True
                self.change.wait(left_s)

    def rest_in_s(self) -> float:
        """Return how long until the playhead counts as standing; 0 when it stands."""
        return max(self._moved_at + _AT_REST_S - time.monotonic(), 0.0)

    @property
    def rests_long(self) -> bool:
        """Whether nothing was asked for so long that no key is being pressed again and again."""
        return time.monotonic() - self._moved_at > _LONG_REST_S

    def next_opening(self) -> str | None:
        """Take a film that is to be opened."""
        with self.change:
            return self._opening.popitem(last=False)[0] if self._opening else None

    # ------------------------------------------------------------------ what there is

    def index(self, path: str) -> FrameIndex | None:
        """Return a film's index; None while it was not opened."""
        known = self.films.known(path)
        return None if known is None else known.index

    def picture(self, path: str, number: int) -> bool:
        """Whether a decoded picture is kept."""
        return self.pictures.holds(path, number)

    def copy(self, path: str, number: int) -> bool:
        """Whether a small copy is kept."""
        return self.copies.holds(path, number)

    def room_for_copy(self, path: str, number: int) -> bool:
        """Whether a small copy more would stay."""
        return self.copies.would_keep(path, number)

    def room_for_picture(self, path: str, number: int) -> bool:
        """Whether a decoded picture more would stay."""
        return self.pictures.would_keep(path, number)

    def stands_before(self, path: str, number: int) -> bool:
        """Whether a decoder stands so that a frame is the next it gives."""
        return self.films.nearly_at(path, number)

    def is_lost(self, path: str, number: int) -> bool:
        """Whether a frame is known not to be decodable."""
        return number in self._lost.get(path, ())

    def lost(self, path: str) -> frozenset[Frame]:
        """Return the frames known not to be decodable."""
        return self._lost.get(path, frozenset())

    def note_lost(self, opened: OpenFilm) -> None:
        """Take in, and tell, which frames a decoder found lost."""
        found = opened.film.lost
        with self.change:
            known = self._lost.get(opened.path, frozenset())
            if found <= known:
                return
            now = self._lost[opened.path] = known | found
        if self._on_lost is not None:
            on_lost = self._on_lost
            self._post(lambda: None if self.closing else on_lost(opened.path, now))

    def _rank_of_picture(self, path: str, number: int) -> Rank:
        return self.watched.rank_of_picture(path, number)

    def _rank_of_copy(self, path: str, number: int) -> Rank:
        return self.watched.rank_of_copy(path, number)

    def _let_go_of(self, kept: KeptPicture) -> None:
        kept.let_go()
        self.freed.count(size_of(kept.picture))

    def _forget(self, path: str) -> None:
        """Forget what was kept of a film that another one has taken the place of."""
        self.pictures.forget(path)
        self.copies.forget(path)
        self._lost.pop(path, None)
