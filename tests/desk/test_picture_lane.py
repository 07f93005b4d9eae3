from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, cast

import numpy as np
import pytest

from gradecut.desk.picture_lane import PictureLane
from gradecut.errors import FilmError
from gradecut.timebase import Frame

PICTURE = np.zeros((9, 16, 3), np.uint8)


@dataclass
class Asked:
    """One request, answered when the test says so."""

    frame: Frame
    on_ready: Callable[[Frame, Any, bool], None]
    on_error: Callable[[FilmError], None]
    rough: bool
    lane: str

    def answer(self, *, rough: bool = False) -> None:
        """Hand the picture over."""
        self.on_ready(self.frame, PICTURE, rough)


class Server:
    """Gathers requests."""

    def __init__(self) -> None:
        self.asked: list[Asked] = []
        self.copies: set[int] = set()

    def request(
        self, _path: str, frame: Frame, on_ready: Any, on_error: Any, *, rough: bool, lane: str
    ) -> None:
        """Keep a request."""
        self.asked.append(Asked(frame, on_ready, on_error, rough, lane))

    def ready_share(self, _path: str, first: Frame, _last: Frame) -> float:
        """Tell whether a frame has its small copy."""
        return float(first in self.copies)


@pytest.fixture
def server() -> Server:
    """Stand in for the decoding threads."""
    return Server()


@pytest.fixture
def lane(server: Server) -> PictureLane:
    """Show a film."""
    made = PictureLane(cast("Any", server), "beside")
    made.load("1.mp4")
    return made


@pytest.fixture
def now(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """Give a clock to be turned."""
    clock = [100.0]
    monkeypatch.setattr("gradecut.desk.picture_lane.time.monotonic", lambda: clock[0])
    return clock


def test_only_the_newest_wish_is_kept(lane: PictureLane, server: Server) -> None:
    """Wishes between the one on its way and the last are never asked for."""
    for frame in (1, 2, 3, 4):
        lane.ask(Frame(frame), rough=True)
    assert [one.frame for one in server.asked] == [1]
    server.asked[0].answer()
    assert [one.frame for one in server.asked] == [1, 4]
    assert lane.shown == 1
    server.asked[1].answer(rough=True)
    assert (lane.shown, lane.rough, lane.idle) == (4, True, True)


def test_the_true_picture_follows_the_quick_copy(lane: PictureLane, server: Server) -> None:
    """A copy is enough while hurried; asked for in earnest, it is replaced."""
    lane.ask(Frame(5), rough=True)
    server.asked[0].answer(rough=True)
    lane.ask(Frame(5), rough=True)
    assert len(server.asked) == 1
    lane.ask(Frame(5))
    assert [one.rough for one in server.asked] == [True, False]
    server.asked[1].answer()
    assert not lane.rough
    lane.ask(Frame(5))
    assert len(server.asked) == 2


def test_a_jump_gives_up_what_is_on_its_way(lane: PictureLane, server: Server) -> None:
    """Its answer, should it still come, shows nothing."""
    lane.ask(Frame(1))
    lane.ask(Frame(90), at_once=True)
    assert [one.frame for one in server.asked] == [1, 90]
    server.asked[0].answer()
    assert lane.shown is None
    server.asked[1].answer()
    assert lane.shown == 90


def test_a_wish_for_what_is_shown_gives_up_the_rest(lane: PictureLane, server: Server) -> None:
    """One step on and one back: the picture under the number stays."""
    lane.ask(Frame(1))
    server.asked[0].answer()
    lane.ask(Frame(2))
    lane.ask(Frame(1))
    server.asked[1].answer()
    assert lane.shown == 1


def test_a_held_key_does_not_wait_behind_slow_decoding(
    lane: PictureLane, server: Server, now: list[float]
) -> None:
    """A quick copy that is there is shown; where there is none, decoding goes on."""
    lane.ask(Frame(50), rough=True)
    now[0] += 0.2
    lane.ask(Frame(49), rough=True)
    assert len(server.asked) == 1
    server.copies.add(48)
    lane.ask(Frame(48), rough=True)
    assert [one.frame for one in server.asked] == [50, 48]
    now[0] += 0.01
    server.copies.add(47)
    lane.ask(Frame(47), rough=True)
    assert len(server.asked) == 2, "what was asked for just now is not given up"
    server.asked[1].answer(rough=True)
    assert lane.shown == 48
    assert server.asked[-1].frame == 47


def test_another_film_wants_nothing_of_the_one_before(lane: PictureLane, server: Server) -> None:
    """Late answers of the film that was on stage are not shown under another's name."""
    lane.ask(Frame(3))
    lane.load("2.mp4")
    server.asked[0].answer()
    assert lane.shown is None
    lane.ask(Frame(7))
    server.asked[0].on_error(FilmError("1.mp4", "it is damaged."))
    server.asked[1].answer()
    assert lane.shown == 7


def test_a_fault_leaves_the_picture_to_whoever_hears_of_it(
    lane: PictureLane, server: Server
) -> None:
    """And the newest wish goes on."""
    told: list[tuple[int, str]] = []
    lane.failed.connect(lambda frame, fault: told.append((frame, fault.reason)))
    lane.ask(Frame(1))
    server.asked[0].answer()
    lane.ask(Frame(2))
    lane.ask(Frame(3))
    server.asked[1].on_error(FilmError("1.mp4", "frame 2 is damaged."))
    assert told == [(2, "frame 2 is damaged.")]
    assert lane.shown == 1
    assert server.asked[2].frame == 3
    assert server.asked[2].lane == "beside"
