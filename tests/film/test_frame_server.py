from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from queue import Queue
from threading import Event, current_thread

import numpy as np
import pytest
from numpy.typing import NDArray

from gradecut.errors import FilmError
from gradecut.film import FrameServer
from gradecut.timebase import Frame
from tests.film.torture import number_on

PATIENCE_S = 60.0


class Asker:
    """Stands in for a window: runs what is posted when it likes."""

    def __init__(self) -> None:
        self.posted: Queue[Callable[[], None]] = Queue()
        self.shown: list[tuple[int, int]] = []
        self.told: list[FilmError] = []

    def post(self, act: Callable[[], None]) -> None:
        """Take something to run, from the decoding thread."""
        assert current_thread().name.startswith("film")
        self.posted.put(act)

    def show(self, frame: Frame, picture: NDArray[np.uint8], _rough: bool) -> None:
        """Note a frame that came."""
        self.shown.append((frame, number_on(picture)))

    def run_one(self) -> None:
        """Wait for something posted and run it."""
        self.posted.get(timeout=PATIENCE_S)()


@pytest.fixture
def asker() -> Asker:
    """Give someone who asks."""
    return Asker()


@pytest.fixture
def server(asker: Asker) -> Iterator[FrameServer]:
    """Give a server that is closed afterwards."""
    serving = FrameServer(asker.post)
    yield serving
    serving.close()


def test_a_frame_comes_through_post(
    server: FrameServer, asker: Asker, shelf: dict[str, Path]
) -> None:
    """What was asked for comes, in the asker's thread, with its number."""
    server.request(shelf["closed"], Frame(17), asker.show, asker.told.append)
    assert asker.shown == []
    asker.run_one()
    assert asker.shown == [(17, 17)]
    assert asker.told == []


def test_only_the_newest_request_is_answered(
    server: FrameServer, asker: Asker, shelf: dict[str, Path]
) -> None:
    """Asking faster than it decodes shows the last frame asked for, and nothing after it."""
    for number in range(30):
        server.request(shelf["closed"], Frame(number), asker.show, asker.told.append)
    while not asker.shown:
        asker.run_one()
    assert asker.shown == [(29, 29)]


def test_an_answer_superseded_after_posting_is_dropped(
    server: FrameServer, asker: Asker, shelf: dict[str, Path]
) -> None:
    """An answer still lying in the queue when a newer request comes is not shown."""
    server.request(shelf["closed"], Frame(3), asker.show, asker.told.append)
    late = asker.posted.get(timeout=PATIENCE_S)
    server.request(shelf["b_frames"], Frame(4), asker.show, asker.told.append)
    late()
    assert asker.shown == []
    asker.run_one()
    assert asker.shown == [(4, 4)]


def test_a_fault_comes_instead(server: FrameServer, asker: Asker, tmp_path: Path) -> None:
    """A film that can't be opened tells its sentence, and the server goes on."""
    server.open(tmp_path / "gone.mp4")
    server.request(tmp_path / "gone.mp4", Frame(0), asker.show, asker.told.append)
    asker.run_one()
    assert asker.shown == []
    assert "no such file" in str(asker.told[0])


def test_a_frame_out_of_range_is_a_fault(
    server: FrameServer, asker: Asker, shelf: dict[str, Path]
) -> None:
    """Asking past the end tells a sentence, never another frame."""
    server.request(shelf["closed"], Frame(400), asker.show, asker.told.append)
    asker.run_one()
    assert asker.shown == []
    assert "no frame 400" in str(asker.told[0])


def test_many_films_one_after_another(
    server: FrameServer, asker: Asker, shelf: dict[str, Path]
) -> None:
    """Going round more films than stay open still shows the right frames."""
    names = ["closed", "b_frames", "variable", "ntsc", "mkv", "closed"]
    for place, name in enumerate(names):
        server.request(shelf[name], Frame(place), asker.show, asker.told.append)
        asker.run_one()
    assert asker.shown == [(place, place) for place in range(len(names))]


def test_looking_ahead_tells_nobody(
    server: FrameServer, asker: Asker, shelf: dict[str, Path]
) -> None:
    """Opening and decoding ahead posts nothing; the frame asked for next still comes."""
    server.open(shelf["long_group"])
    server.prefetch(shelf["long_group"], Frame(40), Frame(0), Frame(79))
    server.prefetch(shelf["long_group"], Frame(400), Frame(0), Frame(79))
    server.request(shelf["long_group"], Frame(39), asker.show, asker.told.append)
    asker.run_one()
    assert asker.shown == [(39, 39)]
    assert asker.posted.empty()


def test_nothing_comes_after_closing(asker: Asker, shelf: dict[str, Path]) -> None:
    """After closing no answer arrives, also none that was posted before."""
    server = FrameServer(asker.post)
    server.request(shelf["closed"], Frame(3), asker.show, asker.told.append)
    late = asker.posted.get(timeout=PATIENCE_S)
    server.close()
    late()
    assert asker.shown == []


def test_closing_waits_for_the_thread(shelf: dict[str, Path]) -> None:
    """Closing while it decodes ends the thread, with nothing left running."""
    started = Event()
    server = FrameServer(lambda act: started.set() if act else None)
    server.request(shelf["long_group"], Frame(70), lambda _f, _p, _r: None, lambda _e: None)
    assert started.wait(PATIENCE_S)
    server.request(shelf["long_group"], Frame(2), lambda _f, _p, _r: None, lambda _e: None)
    server.close()
    assert not server.running
