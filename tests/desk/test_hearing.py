from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from gradecut.desk.film_desk import FilmDesk
from tests.desk.film_book import press
from tests.desk.playing_books import desk_on, make_book, make_torture_film, number_shown, settle
from tests.desk.small_book import Posted

RATE_HZ = 48_000


class FakeSink:
    """A loudspeaker whose clock the test turns."""

    def __init__(self) -> None:
        self.starts: list[int] = []
        self.sounding = False
        self.heard_s: float | None = None

    def start(self, samples: NDArray[np.float32]) -> None:
        """Note how much is to be heard."""
        assert samples.ndim == 2
        assert samples.shape[1] == 2
        self.starts.append(len(samples))
        self.sounding, self.heard_s = True, None

    def stop(self) -> None:
        """Be silent."""
        self.sounding = False

    def played_s(self) -> float | None:
        """Return what the test says."""
        return self.heard_s


@pytest.fixture(scope="session")
def heard_films(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write a film of two seconds with sound, and one without."""
    folder = tmp_path_factory.mktemp("heard")
    make_torture_film(folder / "end", "sound_longer", count=60)
    make_torture_film(folder / "mute" / "end", "closed", count=30)
    return folder


@pytest.fixture
def sink() -> FakeSink:
    """Stand in for a loudspeaker."""
    return FakeSink()


@pytest.fixture
def desk(
    tmp_path: Path, heard_films: Path, posted: Posted, said: list[str], sink: FakeSink
) -> Iterator[FilmDesk]:
    """Sit down at the film with sound."""
    make_book(tmp_path / "b.gradecut", {"end": heard_films / "end"})
    with desk_on(tmp_path / "b.gradecut", posted, said) as sat:
        sat.hearing.open_sink = lambda: sink
        settle(sat, posted)
        yield sat


def play_with_sound(desk: FilmDesk, posted: Posted, sink: FakeSink) -> None:
    """Turn the sound on, wait until it is read, and play."""
    press(desk, "H")
    posted.until(lambda: desk.hearing._sound is not None)
    press(desk, "Space")
    desk.playhead.tick(100.0)
    assert sink.sounding


def test_the_sound_is_off_until_a_key_turns_it_on(
    desk: FilmDesk, posted: Posted, sink: FakeSink
) -> None:
    """Playing alone is silent; H lets it be heard, H again ends it."""
    press(desk, "Space")
    desk.playhead.tick(100.0)
    assert not sink.sounding
    press(desk, "H")
    posted.until(lambda: sink.sounding)
    press(desk, "H")
    assert not sink.sounding
    assert not desk.hearing.on


def test_the_sound_begins_where_the_picture_is(
    desk: FilmDesk, posted: Posted, sink: FakeSink
) -> None:
    """Played from frame 15, all but the first half second of two is left to hear."""
    desk.playhead.seek(15)
    settle(desk, posted)
    play_with_sound(desk, posted, sink)
    assert sink.starts == [RATE_HZ * 3 // 2]


def test_only_at_the_speed_of_life(desk: FilmDesk, posted: Posted, sink: FakeSink) -> None:
    """Slower or faster it is silent; back at full speed it goes on from the picture."""
    play_with_sound(desk, posted, sink)
    press(desk, ",")
    assert not sink.sounding
    desk.playhead.tick(101.0)
    assert not sink.sounding
    press(desk, ".")
    desk.playhead.tick(102.0)
    assert sink.sounding
    press(desk, "Space")
    assert not sink.sounding


def test_the_picture_keeps_to_the_sound_within_a_frame(
    desk: FilmDesk, posted: Posted, sink: FakeSink
) -> None:
    """A loudspeaker's clock that is slow by a twentieth leads the picture."""
    play_with_sound(desk, posted, sink)
    for step in range(1, 50):
        sink.heard_s = step / 30 * 0.95
        desk.playhead.tick(100.0 + step / 30)
        posted.until(lambda: desk.playhead._lane.idle)
        assert abs(number_shown(desk) / 30 - sink.heard_s) <= 1 / 30 + 1e-9
    press(desk, "Space")


def test_a_loop_is_heard_again_from_its_beginning(
    desk: FilmDesk, posted: Posted, sink: FakeSink
) -> None:
    """At the turn the sound turns too."""
    desk.playhead.seek(30)
    press(desk, "Z")
    desk.playhead.seek(45)
    press(desk, "B", "Y", "S")
    settle(desk, posted)
    play_with_sound(desk, posted, sink)
    sink.heard_s = 16 / 30 + 0.002
    desk.playhead.tick(100.0 + 16 / 30 + 0.002)
    assert len(sink.starts) == 2
    assert abs(sink.starts[1] - RATE_HZ) <= 0.01 * RATE_HZ
    press(desk, "Space")


def test_after_the_sound_has_ended_the_picture_goes_on(
    desk: FilmDesk, posted: Posted, sink: FakeSink
) -> None:
    """It never waits for a sound that is over."""
    play_with_sound(desk, posted, sink)
    sink.heard_s = 2.0
    desk.playhead.tick(101.0)
    assert not sink.sounding
    desk.playhead.tick(103.0)
    posted.until(lambda: desk.playhead.shown == desk.playhead.last)
    assert not desk.playhead.playing


def test_no_loudspeaker_is_said_in_one_sentence(desk: FilmDesk, said: list[str]) -> None:
    """The sound stays off, and why is told."""
    desk.hearing.open_sink = lambda: None
    press(desk, "H")
    assert not desk.hearing.on
    assert said == ["gradecut finds no loudspeaker on this computer; the film plays without sound."]


def test_a_film_without_sound_says_so(
    tmp_path: Path, heard_films: Path, posted: Posted, said: list[str], sink: FakeSink
) -> None:
    """It plays by its own clock."""
    make_book(tmp_path / "mute.gradecut", {"end": heard_films / "mute" / "end"})
    with desk_on(tmp_path / "mute.gradecut", posted, said) as desk:
        desk.hearing.open_sink = lambda: sink
        settle(desk, posted)
        press(desk, "H")
        posted.until(lambda: bool(said))
        assert said[0].startswith("No sound with this film")
        press(desk, "Space")
        desk.playhead.tick(1.0)
        desk.playhead.tick(1.0 + 5 / 30 + 0.001)
        posted.until(lambda: desk.playhead.shown == 5)
        assert not sink.sounding
        press(desk, "Space")


def test_a_long_clip_is_read_in_parts(
    desk: FilmDesk, posted: Posted, sink: FakeSink, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When one part has been heard, the next is read from there."""
    monkeypatch.setattr("gradecut.desk.hearing._MOST_S", Fraction(1, 2))
    play_with_sound(desk, posted, sink)
    assert sink.starts == [RATE_HZ // 2]
    sink.heard_s = 0.5
    desk.playhead.tick(100.0 + 15 / 30 + 0.001)
    posted.until(lambda: desk.playhead._lane.idle and len(sink.starts) == 2)
    assert sink.sounding
    press(desk, "Space")
