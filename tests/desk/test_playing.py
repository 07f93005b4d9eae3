from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gradecut.desk.film_place import FilmPlace
from gradecut.desk.playing import Due, Playing
from gradecut.records import Angle, StoredFilm
from gradecut.records.fingerprint import Fingerprint
from gradecut.timebase import Frame, Pts
from gradecut.workflows.moments import Timeline

RATE = Fraction(30)


def place(count: int = 300, times: Sequence[int] | None = None) -> FilmPlace:
    """Make a clip of a film at 30 frames a second, or of varying rate in thousandths."""
    tick_s = Fraction(1, 1000) if times else 1 / RATE
    film = StoredFilm(
        name="1", fingerprint=Fingerprint(algorithm="a", digest="b"), width=16, height=9,
        rate=None if times else RATE, time_base=tick_s, frame_count=count,
        first_pts=Pts(0), duration_s=count / RATE,
    )  # fmt: skip
    last = Pts(times[-1] if times else count - 1)
    angle = Angle(clip_id="c", film_id=film.id, name="end", start_pts=Pts(0), stop_pts=last)
    line = Timeline(angles=[angle], films={film.id: film}, moments=[], times={film.id: times or ()})
    return FilmPlace(timeline=line, angle=angle, path="1.mp4")


class Stage:
    """Shows what is due, unless told that the decoder is too slow for it."""

    def __init__(self, where: FilmPlace) -> None:
        self.place = where
        self.ran: list[Fraction] = []
        self.running = Playing(self.ran.append)
        self.shown = Frame(0)
        self.all_shown: list[int] = []

    def tick(self, now_s: float, *, misses: bool = False) -> Due | None:
        """Let the clock stand at a time."""
        due = self.running.next_due(now_s, self.place, self.shown)
        if due is not None and not misses:
            self.shown = due.frame
            self.all_shown.append(due.frame)
            self.running.showed(due.frame)
        return due


@given(
    speed=st.sampled_from([Fraction(1, 10), Fraction(1, 4), Fraction(1), Fraction(2)]),
    pauses_ms=st.lists(st.integers(1, 400), min_size=1, max_size=30),
)
def test_every_frame_is_shown_or_counted(speed: Fraction, pauses_ms: list[int]) -> None:
    """However late the ticks come, shown and dropped frames add up to those that were due."""
    stage = Stage(place())
    stage.running.speed = speed
    stage.running.begin(Frame(0))
    now_ms = 1000
    stage.tick(now_ms / 1000)
    for pause in pauses_ms:
        now_ms += pause
        stage.tick(now_ms / 1000)
    shown = stage.shown
    assert stage.running.dropped + len(stage.all_shown) == shown
    due = (Fraction(now_ms, 1000) - 1) * speed * RATE
    assert abs(shown - min(due, 299)) <= 1


def test_frames_of_varying_length_are_shown_by_their_own_times() -> None:
    """Each stands as long as it lasts."""
    stage = Stage(place(5, (0, 100, 150, 400, 450)))
    stage.running.begin(Frame(0))
    stage.tick(7.0)
    due = [stage.tick(7.0 + ms / 1000) for ms in (99, 101, 149, 151, 399, 401)]
    assert [one.frame if one else None for one in due] == [None, 1, None, 2, None, 3]
    assert stage.running.dropped == 0


def test_the_clock_waits_for_the_first_picture() -> None:
    """Time that passes until it is there is no time of the film."""
    stage = Stage(place())
    stage.running.begin(Frame(5))
    assert stage.tick(1.0) is None
    assert stage.tick(9.0) is None
    stage.shown = Frame(5)
    stage.tick(10.0)
    due = stage.tick(10.0 + 1 / 30 + 0.001)
    assert due is not None
    assert due.frame == 6
    assert stage.ran == [Fraction(5, 30)]
    assert stage.running.dropped == 0


def test_far_behind_quick_copies_do() -> None:
    """When pictures come late, small ones are asked for until it stops."""
    stage = Stage(place())
    stage.running.begin(Frame(0))
    stage.tick(1.0)
    stage.tick(1.2, misses=True)
    assert stage.running.late
    stage.running.stop()
    assert not stage.running.late


def test_the_picture_follows_the_sound() -> None:
    """Where the sound is heard, its clock decides; never farther away than a frame."""
    stage = Stage(place())
    heard_s = Fraction(0)
    stage.running.heard_s = lambda: heard_s
    stage.running.begin(Frame(0))
    stage.tick(50.0)
    for step in range(1, 60):
        now_s = 50.0 + step / 60
        heard_s = Fraction(step, 60) * Fraction(97, 100)
        stage.tick(now_s)
        assert abs(stage.shown / RATE - heard_s) <= 1 / RATE


def test_a_picture_never_runs_back_to_a_sound_that_began_late() -> None:
    """It waits until the sound has come up to it."""
    stage = Stage(place())
    heard: list[Fraction | None] = [None]
    stage.running.heard_s = lambda: heard[0]
    stage.running.begin(Frame(0))
    stage.tick(50.0)
    stage.tick(50.0 + 5 / 30 + 0.001)
    heard[0] = Fraction(2, 30)
    assert stage.tick(50.0 + 6 / 30) is None
    heard[0] = Fraction(13, 60)
    due = stage.tick(50.0 + 10 / 30)
    assert due is not None
    assert due.frame == 6
    assert stage.all_shown == sorted(stage.all_shown)


def test_a_loop_counts_what_its_end_missed() -> None:
    """Frames that were due before the turn and never shown are dropped frames."""
    stage = Stage(place(30))
    stage.running.looping = True
    stage.running.begin(Frame(0))
    stage.tick(5.0)
    stage.tick(5.0 + 20 / 30 + 0.001)
    assert stage.running.dropped == 19
    due = stage.tick(5.0 + 30 / 30 + 0.001)
    assert due is not None
    assert (due.turned, due.frame) == (True, 0)
    assert stage.running.dropped == 19 + 9
    assert stage.ran[-1] == pytest.approx(0.001, abs=1e-6)
