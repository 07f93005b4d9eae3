"""Plays are found in recordings of every character, and nothing is made up where there is none."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from numpy.typing import NDArray

from gradecut.film import open_film, sample_pictures
from gradecut.motion.plays import PlayFound, find_plays
from gradecut.motion.recording_watch import Watched, watch_recording
from gradecut.samples import clips_folder
from tests.motion.drawn_recording import Recording, Truth, draw_recording

HAND_HELD = Recording(seed=1, cuts=(3,), pauses=(5,), wobble_px=1.2, flicker=0.06, in_motion=True)
CLOSE_AND_BUSY = Recording(
    seed=2, zooms=0.25, follows=0.9, pan_yd=30, walk_yd_s=1.8, between_s=(5, 9), set_s=(1.2, 3),
    grain=5, cuts=(6,), pauses=(2,), yard_px=6,
)  # fmt: skip
WIDE_AND_DULL = Recording(
    seed=31, yard_px=3, set_s=(1.5, 6), play_s=(2.5, 8), between_s=(8, 14),
    walk_yd_s=1.6, run_yd_s=(4, 8), pan_yd=20, follows=0.8, zooms=0.1, wobble_px=2, flicker=0.03,
    grain=4, contrast=0.5, cuts=(2,), pauses=(7,), shirts=(60, 150), in_motion=True,
)  # fmt: skip
NEVER_TUNED_TO = Recording(
    seed=77, size_px=(256, 144), yard_px=5, set_s=(1.5, 7), play_s=(2.5, 8), between_s=(8, 14),
    walk_yd_s=1.5, run_yd_s=(4, 7), pan_yd=18, follows=0.7, zooms=0.15, wobble_px=1.8,
    flicker=0.04, grain=3, contrast=0.7, cuts=(5,), pauses=(3,), in_motion=True, texture_px=1.5,
)  # fmt: skip


@cache
def found_in(made: Recording) -> tuple[tuple[PlayFound, ...], Truth]:
    """Return what is found in a recording, and the truth."""
    pictures, truth = draw_recording(made)
    times: list[float] = []

    def noted() -> object:
        for time_s, grey in pictures:
            times.append(float(time_s))
            yield time_s, grey

    watched = watch_recording(noted())  # type: ignore[arg-type]  # a generator of pairs
    return find_plays(watched, frame_times_s=times, length_s=truth.length_s), truth


def homes_of(found: Sequence[PlayFound], snap_s: float, whistle_s: float) -> list[int]:
    """Return which of the plays found show a true one from snap to whistle."""
    return [
        place
        for place, play in enumerate(found)
        if play.start_s <= snap_s and whistle_s <= play.stop_s
    ]


@pytest.mark.parametrize(
    "made", [HAND_HELD, CLOSE_AND_BUSY, WIDE_AND_DULL, NEVER_TUNED_TO],
    ids=["hand-held", "close and busy", "wide and dull", "never tuned to"],
)  # fmt: skip
def test_each_of_eight_plays_lies_in_a_stretch_of_its_own(made: Recording) -> None:
    """From snap to whistle, with a cut, a pause and a moving camera; at most two are too many."""
    found, truth = found_in(made)
    homes = [homes_of(found, *play) for play in truth.plays]
    assert all(len(home) == 1 for home in homes)
    assert len({home[0] for home in homes}) == 8
    assert len(found) <= 10


def test_a_cut_and_a_pause_are_told_as_reasons() -> None:
    """The coach reads why a play is proposed where it is."""
    found, truth = found_in(HAND_HELD)
    after_cut = found[homes_of(found, *truth.plays[3])[0]]
    after_pause = found[homes_of(found, *truth.plays[5])[0]]
    assert "The picture changes at once before it." in after_cut.why
    assert "The camera was stopped before it." in after_pause.why


def test_no_play_reaches_over_a_pause() -> None:
    """Where the camera was stopped nothing belongs together."""
    found, truth = found_in(HAND_HELD)
    (pause,) = truth.pauses
    assert all(play.stop_s <= pause[0] + 0.3 or play.start_s >= pause[1] - 0.3 for play in found)


def _watch(pictures: Sequence[NDArray[np.uint8]]) -> Watched:
    return watch_recording((Fraction(number, 5), one) for number, one in enumerate(pictures))


@pytest.mark.parametrize("grain", [0.0, 3.0])
def test_a_film_in_which_nothing_moves_is_one_unsure_play(grain: float) -> None:
    """An empty field for a minute is proposed whole, and hardly believed."""
    rng = np.random.default_rng(3)
    field = rng.integers(60, 140, (72, 128)).astype(float)
    pictures = [
        np.clip(field + rng.normal(0, grain, field.shape), 0, 255).astype(np.uint8)
        for _ in range(300)
    ]
    (play,) = find_plays(_watch(pictures), length_s=60.0)
    assert (play.start_s, play.stop_s) == (0.0, 60.0)
    assert play.confidence <= 0.2


def test_noise_alone_is_not_cut_to_plays() -> None:
    """A lens cap left on gives no bursts to speak of."""
    rng = np.random.default_rng(4)
    pictures = [rng.integers(0, 256, (54, 96), dtype=np.uint8) for _ in range(300)]
    found = find_plays(_watch(pictures), length_s=60.0)
    assert len(found) == 1
    assert found[0].confidence <= 0.2


def test_a_film_of_one_play_is_one_play() -> None:
    """A clip that is cut already stays whole."""
    made = replace(HAND_HELD, plays=1, cuts=(), pauses=(), between_s=(2, 3))
    (play,), truth = found_in(made)
    assert (play.start_s, play.stop_s) == (0.0, truth.length_s)


def test_without_a_picture_there_is_no_play() -> None:
    """Nothing seen is nothing proposed."""
    assert find_plays(watch_recording([])) == ()


@pytest.mark.parametrize("times", [(1, 1), (2, 1)])
def test_times_that_do_not_rise_are_refused(times: tuple[int, int]) -> None:
    """They would put plays in the wrong places."""
    picture = np.zeros((9, 16), np.uint8)
    with pytest.raises(ValueError, match="rise"):
        watch_recording((Fraction(time), picture) for time in times)


def test_our_own_drawn_plays_laid_end_to_end_are_told_apart() -> None:
    """Four sample plays with nothing between them: each snap lies in a stretch of its own."""
    joined: list[tuple[Fraction, NDArray[np.uint8]]] = []
    snaps_s: list[float] = []
    begins = Fraction(0)
    for name in ("01", "02", "03", "04"):
        path = clips_folder() / "end" / f"{name}.mp4"
        truth = json.loads(path.with_suffix(".truth.json").read_text())
        with open_film(path) as film:
            tick_s, first = film.time_base, film.pts_of(0)
        for pts, grey in sample_pictures(path, every_s=Fraction(1, 5), width_px=240):
            joined.append((begins + (pts - first) * tick_s, grey))
        snaps_s.append(float(begins) + truth["snap_time_s"])
        begins = joined[-1][0] + Fraction(1, 5)
    found = find_plays(watch_recording(joined))
    homes = [homes_of(found, snap_s, snap_s + 2.5) for snap_s in snaps_s]
    assert homes == [[0], [1], [2], [3]]


signals = some.lists(some.floats(0, 1, width=32), min_size=0, max_size=400)


@settings(max_examples=60)
@given(signals, signals, some.sets(some.integers(1, 390), max_size=4))
def test_plays_are_in_order_apart_and_inside_the_film(
    quick: list[float], stirred: list[float], gaps: set[int]
) -> None:
    """Whatever is seen, however wild, and wherever the film pauses."""
    count = min(len(quick), len(stirred))
    steps = np.full(count, 0.2)
    for gap in gaps:
        if gap < count:
            steps[gap] = 9.0
    times = np.cumsum(steps)
    watched = Watched(
        times_s=times,
        unlike=np.array(quick[:count]),
        stirred=np.array(stirred[:count]),
        slid=np.zeros((count, 2)),
    )
    length_s = float(times[-1]) if count else 0.0
    found = find_plays(watched, frame_times_s=times, length_s=length_s)
    assert bool(found) == bool(count)
    assert all(0 <= play.start_s <= play.stop_s <= length_s for play in found)
    assert all(0 < play.confidence <= 1 and play.why for play in found)
    edges = [edge for play in found for edge in (play.start_s, play.stop_s)]
    assert edges == sorted(edges)
