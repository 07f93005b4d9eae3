"""Two sounds of one scene are laid on each other to within a fraction of a frame, or not at all."""

from __future__ import annotations

import numpy as np
import pytest

from gradecut.errors import Cancelled
from gradecut.film.hearing.sound_offset import lay_recordings, offset_between
from gradecut.progress import CancelToken
from tests.film.invented_sounds import heard, scene

RATE_HZ = 8_000
HALF_A_FRAME_S = 0.5 / 60


def test_drift_is_taken_out_of_a_long_recording() -> None:
    """120 ppm, another start, noise and 20 dB less: within half a frame at 60 at either end.

    Both recordings are made from one scene, so the truth is known.
    """
    sound = scene(1_100.0, RATE_HZ, seed=1)
    first = heard(sound, RATE_HZ, start_s=7.3, seconds=900.0, noise=0.05, seed=2)
    second = heard(
        sound, RATE_HZ, start_s=151.1234, seconds=900.0, ppm=120, noise=0.05, gain=0.1, seed=3
    )
    line = lay_recordings(first, second, RATE_HZ)
    assert line is not None
    assert line.by_waves
    for at_s in (0.0, 450.0, 900.0):
        truth_s = at_s * (1 + 120e-6) + 151.1234 - 7.3
        assert abs(line.scale * at_s + line.offset_s - truth_s) < HALF_A_FRAME_S / 4
    assert line.sigma_s < 0.001


@pytest.mark.parametrize("seconds", [12.0, 45.0, 150.0])
def test_short_recordings_are_laid_too(seconds: float) -> None:
    """A play, a few plays, a period: the second begins earlier or later."""
    sound = scene(seconds * 2, RATE_HZ, seed=4)
    for start_s, other_s in ((0.2, 0.2 + seconds / 10), (seconds / 10, 0.05)):
        first = heard(sound, RATE_HZ, start_s=start_s, seconds=seconds, seed=5)
        second = heard(sound, RATE_HZ, start_s=other_s, seconds=seconds, ppm=-80, gain=0.1, seed=6)
        line = lay_recordings(first, second, RATE_HZ)
        assert line is not None
        for at_s in (0.0, seconds):
            truth_s = at_s * (1 - 80e-6) + other_s - start_s
            assert abs(line.scale * at_s + line.offset_s - truth_s) < HALF_A_FRAME_S


@pytest.mark.parametrize("seconds", [6.0, 30.0, 100.0])
def test_other_sounds_are_refused(seconds: float) -> None:
    """Two practices with bangs and whistles alike, but not the same, are never laid together."""
    for seed in range(4):
        first = heard(scene(seconds, RATE_HZ, seed=seed), RATE_HZ, seconds=seconds, seed=7)
        second = heard(scene(seconds, RATE_HZ, seed=50 + seed), RATE_HZ, seconds=seconds, seed=8)
        assert lay_recordings(first, second, RATE_HZ) is None
        assert offset_between(first[:48_000], second[:48_000], RATE_HZ, reach_s=5) is None


def test_silence_tells_nothing() -> None:
    """A dead microphone, a constant hum and no samples at all are no match."""
    sound = heard(scene(90.0, RATE_HZ, seed=1), RATE_HZ, seconds=80.0, seed=2)
    for other in (np.zeros_like(sound), np.full_like(sound, 0.25), sound[:0], sound[:100]):
        assert lay_recordings(sound, other, RATE_HZ) is None
        assert lay_recordings(other, sound, RATE_HZ) is None
        assert offset_between(sound, other, RATE_HZ, reach_s=5) is None


def test_a_play_is_found_in_another_films_sound() -> None:
    """Its offset is right to a thousandth of a second, either way round."""
    sound = scene(40.0, RATE_HZ, seed=9)
    first = heard(sound, RATE_HZ, start_s=7.0, seconds=9.0, seed=1)
    second = heard(sound, RATE_HZ, start_s=8.25, seconds=7.0, gain=0.1, seed=2)
    laid, back = (
        offset_between(one, other, RATE_HZ, reach_s=5)
        for one, other in ((first, second), (second, first))
    )
    assert laid is not None
    assert back is not None
    assert laid.offset_s == pytest.approx(1.25, abs=0.001)
    assert back.offset_s == pytest.approx(-1.25, abs=0.001)


def test_a_room_between_does_not_mislead() -> None:
    """Echoes that differ at the two cameras leave the offset within half a frame at 60."""
    sound = scene(120.0, RATE_HZ, seed=3)
    rng = np.random.default_rng(4)
    tail = np.exp(-np.arange(1_200) / 250)
    first, second = (
        heard(sound, RATE_HZ, start_s=start_s, seconds=100.0, noise=0.02, seed=seed)
        for start_s, seed in ((1.0, 1), (3.5, 2))
    )
    echoed = [
        np.convolve(one, np.concatenate(([1.0], 0.15 * rng.standard_normal(1_200) * tail)))[
            : len(one)
        ].astype(np.float32)
        for one in (first, second)
    ]
    line = lay_recordings(echoed[0], echoed[1], RATE_HZ)
    assert line is not None
    assert abs(line.scale * 50 + line.offset_s - 52.5) < HALF_A_FRAME_S


def test_it_stops_when_asked() -> None:
    """Listening through an hour can be ended."""
    sound = heard(scene(70.0, RATE_HZ, seed=1), RATE_HZ, seconds=65.0, seed=2)
    cancel = CancelToken()
    cancel.cancel()
    with pytest.raises(Cancelled):
        lay_recordings(sound, sound, RATE_HZ, cancel=cancel)
    with pytest.raises(Cancelled):
        lay_recordings(sound[:80_000], sound[:80_000], RATE_HZ, cancel=cancel)


@pytest.mark.parametrize("seconds", [3.0, 4.5, 6.5])
def test_a_play_of_a_few_seconds_is_laid_as_a_whole(seconds: float) -> None:
    """Where a weak microphone leaves too little in places, all of a short play decides."""
    for seed in range(4):
        sound = scene(20.0, RATE_HZ, seed=20 + seed)
        first = heard(sound, RATE_HZ, start_s=4.0, seconds=seconds, noise=0.06, seed=1)
        second = heard(sound, RATE_HZ, start_s=4.6, seconds=seconds, noise=0.12, seed=2)
        line = lay_recordings(first, second, RATE_HZ)
        assert line is not None
        assert abs(line.offset_s + (line.scale - 1) * seconds / 2 - 0.6) < HALF_A_FRAME_S / 4


def test_a_horn_blown_on_every_play_makes_no_two_plays_one() -> None:
    """The same half second in two plays is a horn, however loud, not one scene."""
    steps = np.arange(RATE_HZ // 2) / RATE_HZ
    horn = np.sin(2 * np.pi * 2_800 * steps + 20 * np.sin(2 * np.pi * 30 * steps))
    plays = []
    for seed, at_s in ((31, 4.0), (32, 3.2)):
        sound = scene(8.0, RATE_HZ, seed=seed)
        begin = round(at_s * RATE_HZ)
        sound[begin : begin + len(horn)] += 0.4 * horn.astype(np.float32)
        plays.append(heard(sound, RATE_HZ, seconds=7.0, seed=seed))
    assert offset_between(plays[0], plays[1], RATE_HZ, reach_s=5) is None
    assert lay_recordings(plays[0], plays[1], RATE_HZ) is None
