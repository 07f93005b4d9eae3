from __future__ import annotations

import random
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from queue import Queue
from threading import Event, current_thread
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from gradecut.errors import FilmError
from gradecut.film import Film, FrameServer, open_film
from gradecut.film.decoding.runner import Runner, Settled
from gradecut.film.serving import memory, open_films
from gradecut.film.serving.open_films import OpenFilms
from gradecut.film.serving.served import Served
from gradecut.timebase import Frame
from tests.film.torture import HEIGHT, WIDTH, Making, make_film, number_on, spoil

PATIENCE_S = 20.0
LITTLE = 8 * WIDTH * HEIGHT * 3 // 2
"""A budget of about six pictures and their copies."""


class Asker:
    """Stands in for a window: runs what is posted when it likes."""

    def __init__(self) -> None:
        self.posted: Queue[Callable[[], None]] = Queue()
        self.shown: list[tuple[int, int]] = []
        self.rough: list[int] = []
        self.told: list[FilmError] = []
        self.lost: list[tuple[str, frozenset[Frame]]] = []

    def post(self, act: Callable[[], None]) -> None:
        """Take something to run, from a decoding thread."""
        assert current_thread().name in ("film", "film to come")
        self.posted.put(act)

    def show(self, frame: Frame, picture: NDArray[np.uint8], rough: bool) -> None:
        """Note a frame that came."""
        assert picture.dtype == np.uint8
        self.shown.append((frame, number_on(picture)))
        if rough:
            self.rough.append(frame)

    def lose(self, path: str, frames: frozenset[Frame]) -> None:
        """Note frames said to be lost."""
        self.lost.append((path, frames))

    def run_one(self) -> None:
        """Wait for something posted and run it."""
        self.posted.get(timeout=PATIENCE_S)()

    def run_until(self, done: Callable[[], bool]) -> None:
        """Run what is posted until something is the case."""
        while not done():
            self.run_one()


def wait_for(done: Callable[[], bool]) -> None:
    """Wait for what a thread does by itself."""
    patience = Event()
    for _ in range(int(PATIENCE_S / 0.01)):
        if done():
            return
        patience.wait(0.01)
    raise AssertionError("what was waited for did not happen")


@pytest.fixture
def asker() -> Asker:
    """Give someone who asks."""
    return Asker()


@pytest.fixture
def server(asker: Asker) -> Iterator[FrameServer]:
    """Give a server that is closed afterwards."""
    serving = FrameServer(asker.post, on_lost=asker.lose)
    yield serving
    serving.close()


@pytest.fixture
def close_server(asker: Asker) -> Iterator[FrameServer]:
    """Give a server that keeps few pictures, closed afterwards."""
    serving = FrameServer(asker.post, budget_bytes=LITTLE, on_lost=asker.lose)
    yield serving
    serving.close()


def ask(server: FrameServer, asker: Asker, path: Path, frame: int, **how: Any) -> None:
    """Ask for a frame in the name of the asker."""
    server.request(path, Frame(frame), asker.show, asker.told.append, **how)


def test_a_frame_comes_through_post(
    server: FrameServer, asker: Asker, shelf: dict[str, Path]
) -> None:
    """What was asked for comes, in the asker's thread, with its number."""
    ask(server, asker, shelf["closed"], 17)
    assert asker.shown == []
    asker.run_one()
    assert asker.shown == [(17, 17)]
    assert asker.rough == []
    assert asker.told == []


def test_only_the_newest_request_is_answered(
    server: FrameServer, asker: Asker, shelf: dict[str, Path]
) -> None:
    """Asking faster than it decodes shows the last frame asked for, and nothing after it."""
    for number in range(30):
        ask(server, asker, shelf["closed"], number)
    asker.run_until(lambda: bool(asker.shown))
    assert asker.shown == [(29, 29)]


def test_an_answer_superseded_after_posting_is_dropped(
    server: FrameServer, asker: Asker, shelf: dict[str, Path]
) -> None:
    """An answer still lying in the queue when a newer request comes is not shown."""
    ask(server, asker, shelf["closed"], 3)
    late = asker.posted.get(timeout=PATIENCE_S)
    ask(server, asker, shelf["b_frames"], 4)
    late()
    assert asker.shown == []
    asker.run_one()
    assert asker.shown == [(4, 4)]


def test_each_lane_has_its_own_newest(
    server: FrameServer, asker: Asker, shelf: dict[str, Path]
) -> None:
    """Two angles side by side are both answered; asking one doesn't drop the other."""
    ask(server, asker, shelf["b_frames"], 33, lane="beside")
    ask(server, asker, shelf["closed"], 8)
    asker.run_until(lambda: len(asker.shown) == 2)
    assert sorted(asker.shown) == [(8, 8), (33, 33)]


@pytest.mark.parametrize("budget", [None, LITTLE])
def test_storms_over_two_lanes_show_right_frames(
    asker: Asker, shelf: dict[str, Path], budget: int | None
) -> None:
    """Scrubbing two angles at once: every picture is the frame it says, the last ones come."""
    films = {
        "": ["long_group", "b_frames", "variable"],
        "beside": ["open_group", "hevc", "refreshed"],
    }
    chance = random.Random(4)
    last: dict[str, int] = {}
    server = FrameServer(asker.post, budget_bytes=budget, on_lost=asker.lose)
    try:
        for turn in range(300):
            lane = chance.choice(["", "beside"])
            name = films[lane][turn // 100]
            number = chance.randrange(40)
            if chance.random() < 0.5:
                server.stay_near(shelf[name], Frame(0), Frame(39), Frame(number))
            if chance.random() < 0.1:
                server.prefetch(shelf["ntsc"], Frame(number), Frame(0), Frame(69))
            last[lane] = number
            ask(server, asker, shelf[name], number, rough=chance.random() < 0.5, lane=lane)
            if chance.random() < 0.4:
                asker.run_one()
        asker.run_until(lambda: set(last.values()) <= {frame for frame, _ in asker.shown[-2:]})
    finally:
        server.close()
    assert asker.told == []
    assert [frame for frame, told in asker.shown if frame != told] == []


@pytest.mark.parametrize("budget", [None, LITTLE])
@pytest.mark.parametrize("name", ["long_group", "b_frames", "hevc_open", "mpeg4_b_avi"])
def test_held_back_cold(
    asker: Asker, shelf: dict[str, Path], name: str, budget: int | None
) -> None:
    """Step by step back from a cold jump, every frame is shown, and is the right one."""
    server = FrameServer(asker.post, budget_bytes=budget)
    try:
        for number in range(39, -1, -1):
            server.stay_near(shelf[name], Frame(0), Frame(39), Frame(number))
            ask(server, asker, shelf[name], number, rough=True)
            asker.run_one()
    finally:
        server.close()
    assert asker.shown == [(number, number) for number in range(39, -1, -1)]
    assert asker.told == []


def test_held_back_with_copies_ready(
    asker: Asker, shelf: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the small copies there, a key held back shows each frame without decoding any."""
    path = shelf["long_group"]
    server = FrameServer(asker.post, budget_bytes=40 * LITTLE)
    decoded: list[int] = []
    native = Film.native

    def counted(film: Film, frame: int, **how: Any) -> Any:
        if current_thread().name == "film":
            decoded.append(frame)
        return native(film, frame, **how)

    try:
        server.stay_near(path, Frame(0), Frame(79), Frame(79))
        wait_for(lambda: server.ready_share(path, Frame(0), Frame(79)) == 1)
        monkeypatch.setattr(Film, "native", counted)
        server._served.pictures.clear()
        for number in range(70, -1, -1):
            ask(server, asker, path, number, rough=True)
            asker.run_one()
        ask(server, asker, path, 40)
        asker.run_one()
    finally:
        server.close()
    assert asker.shown == [(number, number) for number in [*range(70, -1, -1), 40]]
    assert 40 in asker.rough
    assert asker.rough.count(40) == 1, "asked without rough the true picture comes"
    assert [number for number in decoded if number in asker.rough and number != 40] == []


@pytest.mark.parametrize("pictures", [20, 42, 56])
def test_copies_get_ready_where_a_group_does_not_fit(
    asker: Asker, tmp_path: Path, pictures: int
) -> None:
    """With less room than a group needs, preparing still comes to its end: none undoes another."""
    options = {"crf": "18", "preset": "veryfast", "g": "30", "bf": "3"}
    path = make_film(tmp_path / "groups.mp4", Making(count=200, options=options))
    server = FrameServer(asker.post, budget_bytes=pictures * WIDTH * HEIGHT * 3 // 2)
    try:
        server.stay_near(path, Frame(0), Frame(160), Frame(160))
        wait_for(lambda: server.ready_share(path, Frame(70), Frame(160)) == 1)
        assert server.ready_share(path, Frame(70), Frame(160)) == 1
    finally:
        server.close()


def test_a_rough_picture_only_comes_when_it_will_do(
    server: FrameServer, asker: Asker, shelf: dict[str, Path]
) -> None:
    """Asked without it, or with the true picture decoded, none is rough."""
    path = shelf["closed"]
    server.stay_near(path, Frame(0), Frame(39), Frame(20))
    wait_for(lambda: server.ready_share(path, Frame(0), Frame(39)) == 1)
    ask(server, asker, path, 33)
    asker.run_one()
    ask(server, asker, path, 33, rough=True)
    asker.run_one()
    assert asker.shown == [(33, 33), (33, 33)]
    assert asker.rough == []


def test_a_rough_picture_of_4k_has_1920_px(asker: Asker, tmp_path: Path) -> None:
    """Larger film comes rough at 1920 px and with its number, and true at its own size."""
    options = {"preset": "ultrafast", "g": "4", "bf": "0"}
    path = make_film(tmp_path / "4k.mp4", Making(size=(3840, 2160), count=8, options=options))
    server = FrameServer(asker.post)
    shapes: list[tuple[bool, tuple[int, ...]]] = []

    def show(frame: Frame, picture: NDArray[np.uint8], rough: bool) -> None:
        shapes.append((rough, picture.shape))
        asker.show(frame, picture, rough)

    try:
        server.stay_near(path, Frame(0), Frame(7), Frame(7))
        wait_for(lambda: server.ready_share(path, Frame(0), Frame(7)) == 1)
        server._served.pictures.clear()
        for rough in (True, False):
            server.request(path, Frame(1), show, asker.told.append, rough=rough)
            asker.run_one()
    finally:
        server.close()
    assert shapes == [(True, (1080, 1920, 3)), (False, (2160, 3840, 3))]
    assert asker.shown == [(1, 1), (1, 1)]


def test_memory_is_given_back_when_the_held_key_is_lifted(
    asker: Asker, shelf: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """What would make pictures wait, giving memory back, is not done meanwhile."""
    path = shelf["long_group"]
    server = FrameServer(asker.post)
    given: list[str] = []
    try:
        server.stay_near(path, Frame(0), Frame(79), Frame(79))
        wait_for(lambda: server.ready_share(path, Frame(0), Frame(79)) == 1)
        monkeypatch.setattr(memory, "return_memory", lambda: given.append("back"))
        rest_s = [1.0]
        monkeypatch.setattr(server._served, "rest_in_s", lambda: rest_s[0])
        for number in range(79, -1, -1):
            server.stay_near(path, Frame(0), Frame(79), Frame(number))
            ask(server, asker, path, number, rough=True)
            asker.run_one()
            server._served.freed.count(1)
        assert given == []
        rest_s[0] = 0.0
        server.stay_near(path, Frame(0), Frame(79), Frame(1))
        wait_for(lambda: bool(given))
    finally:
        server.close()


def test_all_kept_together_stays_in_the_budget(asker: Asker, shelf: dict[str, Path]) -> None:
    """Pictures and copies of several films never take more than the one budget."""
    server = FrameServer(asker.post, budget_bytes=2 * LITTLE)
    served = server._served
    try:
        for name in ("closed", "b_frames", "long_group", "ntsc"):
            server.stay_near(shelf[name], Frame(0), Frame(39), Frame(30))
            server.prefetch(shelf["hevc"], Frame(5), Frame(0), Frame(39))
            for number in (*range(30, 38), *range(29, 10, -1)):
                ask(server, asker, shelf[name], number, rough=number % 2 == 0)
                asker.run_one()
                assert served.pictures.bytes + served.copies.bytes <= 2 * LITTLE
    finally:
        server.close()
    assert served.pictures.bytes == served.copies.bytes == 0


def test_the_next_clips_first_picture_is_not_decoded_when_asked_for(
    server: FrameServer, asker: Asker, shelf: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Told which clip comes next, its first picture is there before it is asked for."""
    decoding: list[str] = []
    native = Film.native

    def counted(film: Film, frame: int, **how: Any) -> Any:
        decoding.append(current_thread().name)
        return native(film, frame, **how)

    monkeypatch.setattr(Film, "native", counted)
    server.stay_near(shelf["closed"], Frame(0), Frame(39), Frame(0))
    server.prefetch(shelf["long_group"], Frame(50), Frame(20), Frame(79))
    wait_for(lambda: server._served.picture(str(shelf["long_group"]), 50))
    assert asker.posted.empty(), "nobody is told"
    ask(server, asker, shelf["long_group"], 50)
    asker.run_one()
    assert asker.shown == [(50, 50)]
    assert "film" not in decoding


def test_the_background_stands_still_while_the_foreground_works(
    asker: Asker, shelf: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Between a request and its answer the background decodes no packet more."""
    packets: list[str] = []
    advance, stand_still = Runner.advance, Served.stand_still
    stands, answer_may_go = Event(), Event()
    counted: list[int] = []

    def counting(runner: Runner) -> list[Settled]:
        packets.append(current_thread().name)
        return advance(runner)

    def noticing(served: Served, give_up: Callable[[], bool]) -> bool:
        if served.way_clear_in_s() is None:
            stands.set()
        return stand_still(served, give_up)

    def post(act: Callable[[], None]) -> None:
        # The foreground is still at work while it hands over.
        assert stands.wait(PATIENCE_S)
        counted.append(packets.count("film to come"))
        with open_film(shelf["hevc"]) as other:
            other.warm(0, other.frame_count - 1)
        counted.append(packets.count("film to come"))
        answer_may_go.set()
        asker.posted.put(act)

    monkeypatch.setattr(Runner, "advance", counting)
    monkeypatch.setattr(Served, "stand_still", noticing)
    server = FrameServer(post)
    try:
        server.stay_near(shelf["long_group"], Frame(0), Frame(79), Frame(79))
        wait_for(lambda: packets.count("film to come") > 2)
        stands.clear()
        ask(server, asker, shelf["closed"], 11)
        assert answer_may_go.wait(PATIENCE_S)
        asker.run_one()
        path = shelf["long_group"]
        server.stay_near(path, Frame(0), Frame(79), Frame(79))
        wait_for(lambda: server.ready_share(path, Frame(0), Frame(79)) == 1)
    finally:
        server.close()
    assert asker.shown == [(11, 11)]
    assert counted[0] == counted[1]


def test_a_long_decode_is_dropped_for_something_newer(
    asker: Asker, shelf: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A jump elsewhere does not wait until the last jump is decoded."""
    began, asked_anew = Event(), Event()
    packets: list[int] = []
    advance = Runner.advance

    def halting(runner: Runner) -> list[Settled]:
        if not packets:
            began.set()
            assert asked_anew.wait(PATIENCE_S)
        packets.append(len(runner.index))
        return advance(runner)

    monkeypatch.setattr(Runner, "advance", halting)
    server = FrameServer(asker.post)
    try:
        ask(server, asker, shelf["long_group"], 79)
        assert began.wait(PATIENCE_S)
        ask(server, asker, shelf["closed"], 3)
        asked_anew.set()
        asker.run_one()
    finally:
        server.close()
    assert asker.shown == [(3, 3)]
    assert packets.count(80) == 1


def test_lost_frames_are_told(asker: Asker, tmp_path: Path) -> None:
    """Damage found by either thread is told once more is known; it is never papered over."""
    whole = make_film(tmp_path / "whole.mp4", Making(options={"g": "12", "bf": "2"}, count=60))
    path = spoil(whole, tmp_path / "spoilt.mp4", [26])
    with open_film(path) as film:
        lost = film.find_damaged()
    assert lost
    server = FrameServer(asker.post, on_lost=asker.lose)
    try:
        server.stay_near(path, Frame(0), Frame(59), Frame(59))
        wait_for(lambda: server.ready_share(path, Frame(0), Frame(59)) == 1)
        assert server.lost(path) == frozenset(lost)
        asker.run_one()
        for number in range(59, -1, -1):
            ask(server, asker, path, number, rough=True)
            before = len(asker.shown) + len(asker.told)
            asker.run_until(lambda before=before: len(asker.shown) + len(asker.told) > before)
    finally:
        server.close()
    assert asker.lost[-1] == (str(path), frozenset(lost))
    assert sorted(frame for frame, _ in asker.shown) == sorted(set(range(60)) - set(lost))
    assert [frame for frame, told in asker.shown if frame != told] == []
    assert len(asker.told) == len(lost)
    assert all("damaged in the file" in str(fault) for fault in asker.told)


def test_a_fault_comes_instead(server: FrameServer, asker: Asker, tmp_path: Path) -> None:
    """A film that can't be opened tells its sentence, and the server goes on."""
    gone = tmp_path / "gone.mp4"
    server.open(gone)
    server.stay_near(gone, Frame(0), Frame(9), Frame(0))
    server.prefetch(gone, Frame(0), Frame(0), Frame(9))
    ask(server, asker, gone, 0, rough=True)
    asker.run_one()
    assert asker.shown == []
    assert "no such file" in str(asker.told[0])


def test_a_frame_out_of_range_is_a_fault(
    server: FrameServer, asker: Asker, shelf: dict[str, Path]
) -> None:
    """Asking past the end tells a sentence, never another frame."""
    ask(server, asker, shelf["closed"], 400)
    asker.run_one()
    assert asker.shown == []
    assert "no frame 400" in str(asker.told[0])


def test_many_films_one_after_another(
    server: FrameServer, asker: Asker, shelf: dict[str, Path]
) -> None:
    """Going round more films than stay open still shows the right frames."""
    names = ["closed", "b_frames", "variable", "ntsc", "mkv", "hevc", "closed"]
    for place, name in enumerate(names):
        ask(server, asker, shelf[name], place)
        asker.run_one()
    assert asker.shown == [(place, place) for place in range(len(names))]


def test_a_film_that_goes_away_is_told(asker: Asker, tmp_path: Path) -> None:
    """A film taken away while it is open never shows a wrong frame; coming back to it tells."""
    gone = make_film(tmp_path / "gone.mp4", Making(options={"g": "12", "bf": "2"}))
    other = make_film(tmp_path / "other.mp4", Making(first_number=100))
    server = FrameServer(asker.post, budget_bytes=LITTLE)
    try:
        ask(server, asker, gone, 5)
        asker.run_one()
        gone.unlink()
        for number in (30, 2, 17):
            ask(server, asker, gone, number)
            asker.run_one()
        ask(server, asker, other, 4)
        asker.run_one()
        ask(server, asker, gone, 9)
        asker.run_one()
    finally:
        server.close()
    assert asker.shown[-1] == (4, 104)
    assert [frame for frame, told in asker.shown if told not in (frame, frame + 100)] == []
    assert "no such file" in str(asker.told[-1])


@pytest.mark.parametrize("most_known", [16, 1])
def test_another_film_under_the_same_name_is_noticed(
    asker: Asker, tmp_path: Path, most_known: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Once a film was written over, coming back to it shows the new one, however long ago."""
    monkeypatch.setattr(open_films, "_MOST_KNOWN", most_known)
    path = make_film(tmp_path / "end.mp4", Making())
    other = make_film(tmp_path / "other.mp4", Making())
    server = FrameServer(asker.post)
    try:
        ask(server, asker, path, 5)
        asker.run_one()
        ask(server, asker, other, 6)
        asker.run_one()
        make_film(path, Making(first_number=200, count=30))
        ask(server, asker, path, 5)
        asker.run_one()
    finally:
        server.close()
    assert asker.shown == [(5, 5), (6, 6), (5, 205)]


def test_nothing_comes_after_closing(asker: Asker, shelf: dict[str, Path]) -> None:
    """After closing no answer arrives, also none that was posted before."""
    server = FrameServer(asker.post)
    ask(server, asker, shelf["closed"], 3)
    late = asker.posted.get(timeout=PATIENCE_S)
    server.close()
    late()
    assert asker.shown == []


def test_closing_in_mid_decode(
    asker: Asker, shelf: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Closing stops at the next packet, in both threads, and leaves no thread."""
    began, closing = Event(), Event()
    packets: list[str] = []
    advance = Runner.advance

    def halting(runner: Runner) -> list[Settled]:
        packets.append(current_thread().name)
        began.set()
        assert closing.wait(PATIENCE_S)
        return advance(runner)

    monkeypatch.setattr(Runner, "advance", halting)
    server = FrameServer(asker.post)
    server.stay_near(shelf["long_group"], Frame(0), Frame(79), Frame(79))
    ask(server, asker, shelf["long_group"], 79)
    assert began.wait(PATIENCE_S)
    closer = threading.Thread(target=server.close)
    closer.start()
    wait_for(lambda: server._served.closing)
    closing.set()
    closer.join(PATIENCE_S)
    assert not closer.is_alive()
    assert not server.running
    assert len(packets) <= 2
    assert asker.posted.empty()


def test_a_step_waits_for_no_second_decoder(server: FrameServer, shelf: dict[str, Path]) -> None:
    """What the background has decoded of a group is not decoded again for a request."""
    path = shelf["long_group"]
    server.stay_near(path, Frame(0), Frame(79), Frame(40))
    wait_for(lambda: server._served.picture(str(path), 46))
    opened = server._served.films.take(str(path), 47, front=True)
    assert opened is not None
    assert opened.helps(47) or server._served.picture(str(path), 47)
    server._served.films.give(opened, front=True)


def test_what_one_key_leads_to_is_there_when_it_is_asked_for(
    server: FrameServer, asker: Asker, shelf: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A snap far from the playhead, and another film's frame, are decoded before the key."""
    snap, beside = (str(shelf["long_group"]), 50), (str(shelf["ntsc"]), 33)
    server.stay_near(snap[0], Frame(0), Frame(79), Frame(5))
    server.keep_ready([(snap[0], Frame(50))], at_rest=[(beside[0], Frame(33))])
    for path, number in (snap, beside):
        wait_for(lambda path=path, number=number: server._served.picture(path, number))  # type: ignore[misc]
    decoded: list[Frame] = []
    native = Film.native

    def count(film: Film, frame: Frame, **how: bool) -> Any:
        if current_thread().name == "film":
            decoded.append(frame)
        return native(film, frame, **how)

    monkeypatch.setattr(Film, "native", count)
    for path, number in (snap, beside):
        ask(server, asker, Path(path), number)
        asker.run_one()
    assert [shown for _, shown in asker.shown] == [50, 33]
    assert decoded == []


def test_the_next_clips_beginning_is_decoded_while_a_clip_runs(
    server: FrameServer, shelf: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The foreground is always at work then; nothing else is prepared meanwhile."""
    here, following = shelf["long_group"], shelf["ntsc"]
    monkeypatch.setattr(server._served, "way_clear_in_s", lambda: None)
    server.stay_near(here, Frame(0), Frame(79), Frame(5))
    server.prefetch(following, Frame(20), Frame(0), Frame(69))
    wait_for(lambda: server._served.picture(str(following), 26))
    assert not server._served.pictures.all_of(str(here))


def test_a_frame_that_is_being_prepared_is_waited_for_not_decoded_twice(
    server: FrameServer, asker: Asker, shelf: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Asked for half way, the background brings it to its end, and that picture is shown."""
    packets: list[str] = []
    asked = Event()
    advance = Runner.advance

    def halting(runner: Runner) -> list[Settled]:
        packets.append(current_thread().name)
        if len(packets) == 3:
            assert asked.wait(PATIENCE_S)
            wait_for(lambda: any(one.awaited for one in server._served.films._open))
        return advance(runner)

    monkeypatch.setattr(Runner, "advance", halting)
    path = shelf["long_group"]
    server.prefetch(path, Frame(50), Frame(20), Frame(79))
    wait_for(lambda: len(packets) == 3)
    ask(server, asker, path, 50)
    asked.set()
    asker.run_one()
    assert asker.shown == [(50, 50)]
    assert "film" not in packets


def test_a_jump_elsewhere_does_not_wait_for_what_is_being_prepared(
    server: FrameServer, asker: Asker, shelf: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever waited for a frame and wants another one now is answered; nobody hangs."""
    packets: list[str] = []
    elsewhere = Event()
    advance = Runner.advance

    def halting(runner: Runner) -> list[Settled]:
        packets.append(current_thread().name)
        if packets.count("film to come") == 3 and current_thread().name != "film":
            assert elsewhere.wait(PATIENCE_S)
        return advance(runner)

    monkeypatch.setattr(Runner, "advance", halting)
    path = shelf["long_group"]
    server.prefetch(path, Frame(50), Frame(20), Frame(79))
    wait_for(lambda: packets.count("film to come") == 3)
    ask(server, asker, path, 50)
    wait_for(lambda: any(one.awaited for one in server._served.films._open))
    ask(server, asker, shelf["closed"], 7)
    asker.run_one()
    elsewhere.set()
    assert asker.shown == [(7, 7)]


def test_a_jump_to_where_a_clip_is_entered_shows_its_small_copy_at_once(
    server: FrameServer, asker: Asker, shelf: dict[str, Path]
) -> None:
    """Neither the film on stage nor another one is decoded for it: the true picture follows."""
    goals = [(str(shelf["long_group"]), Frame(60)), (str(shelf["ntsc"]), Frame(33))]
    ask(server, asker, shelf["closed"], 5)
    asker.run_one()
    server.stay_near(shelf["closed"], Frame(0), Frame(39), Frame(5))
    server.keep_entries(goals)
    for path, number in goals:
        wait_for(lambda path=path, number=number: server._served.copy(path, number))  # type: ignore[misc]
    server._served.pictures.clear()
    for path, number in goals:
        ask(server, asker, Path(path), number, rough=True)
        asker.run_one()
        assert asker.shown[-1] == (number, number)
        ask(server, asker, Path(path), number)
        asker.run_one()
    assert asker.rough == [60, 33]


def test_a_film_that_can_not_be_opened_is_tried_once_for_all_its_entries(
    server: FrameServer, shelf: dict[str, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A hundred plays of a damaged recording hold nothing up."""
    broken = tmp_path / "broken.mp4"
    broken.write_bytes(b"no film")
    tried: list[str] = []
    know = OpenFilms.know

    def count(films: OpenFilms, path: str, **how: bool) -> Any:
        tried.append(path)
        return know(films, path, **how)

    monkeypatch.setattr(OpenFilms, "know", count)
    good = (str(shelf["ntsc"]), Frame(33))
    server.keep_entries([*((str(broken), Frame(number)) for number in range(20)), good])
    wait_for(lambda: server._served.copy(*good))
    server.stay_near(shelf["closed"], Frame(0), Frame(39), Frame(5))
    wait_for(lambda: server._served.copy(str(shelf["closed"]), 5))
    assert tried.count(str(broken)) == 1
