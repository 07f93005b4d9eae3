"""What is heard in a reel: film at its own speed, in step; everything else is silent."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from gradecut.film import write_film
from gradecut.reels import Freeze, Piece, Plan, Reel, film_sound, plan, render
from gradecut.reels.reel_sound import SOUND_HZ, sound_of
from tests.film.outside import heard_by_ffmpeg, seen_by_ffmpeg, told_by_ffprobe
from tests.film.sounding import onsets_s
from tests.reels.numbered_film import SIZE_PX, number_on, numbered_frame, source_of

FILM_RATE = Fraction(60000, 1001)
COUNT = 360
FLASHES = (100, 180, 230, 290)
SNAP = 180
REEL = Reel(name="Tuesday")


def frames() -> Iterator[NDArray[np.uint8]]:
    """Draw numbered frames, the lower half white at a flash."""
    for number in range(COUNT):
        frame = numbered_frame(number)
        if number in FLASHES:
            frame[90:] = 255
        yield frame


def clicks() -> NDArray[np.float32]:
    """Give a hum with a click of 2 ms at each flash."""
    count = round(COUNT / FILM_RATE * SOUND_HZ)
    hum = 0.05 * np.sin(np.arange(count) * 2 * np.pi * 440 / SOUND_HZ)
    samples = np.repeat(hum[:, None], 2, axis=1).astype(np.float32)
    for number in FLASHES:
        at = round(number / FILM_RATE * SOUND_HZ)
        samples[at : at + 96] = 0.9
    return samples


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write the film that flashes and clicks."""
    path = tmp_path_factory.mktemp("flashing") / "film.mp4"
    write_film(
        path, frames(), rate=FILM_RATE, sound=[clicks()], preset="ultrafast", threads=1, quality=18
    )
    return path


def planned(film: Path, *, rate: Fraction = Fraction(30), speeds: tuple[str, ...] = ("1",)) -> Plan:
    """Plan a piece for each speed, a second around the snap, a freeze at it, a card before it."""
    source = source_of(film, snap=SNAP)
    pieces = [
        Piece(
            reel_id=REEL.id, order=number, clip_id="clip", angle_id="end", title="Keel 52",
            from_s=Fraction(-3, 2), to_s=Fraction(2), speed=Fraction(speed),
            freezes=(Freeze(at_s=Fraction(1, 5), hold_s=Fraction(1)),),
        )
        for number, speed in enumerate(speeds)
    ]  # fmt: skip
    return plan(REEL, pieces, {"end": source}, [], rate=rate, size_px=SIZE_PX)


@pytest.mark.parametrize("rate", [Fraction(30), Fraction(60000, 1001)])
def test_flash_and_click_coincide_in_the_reel(film: Path, tmp_path: Path, rate: Fraction) -> None:
    """FFmpeg's command line sees the flash and hears its click within half a frame of the film's.

    Each flash is looked for by the number on its frame; where the reel's rate skips a flashing
    frame, its click has none to be measured by.
    """
    made = planned(film, rate=rate)
    path = render(made, tmp_path / "reel.mp4", sound=True, quality=16)
    pictures = seen_by_ffmpeg(path, *SIZE_PX)
    heard = onsets_s(heard_by_ffmpeg(path, SOUND_HZ, 2)[:, 0], SOUND_HZ)
    card = next(step.frame_count for step in made.steps if step.kind == "card")
    at_s = {
        number_on(picture): place / rate
        for place, picture in reversed(list(enumerate(pictures)))
        if place >= card and picture[120:].mean() > 200
    }
    assert set(at_s) >= {100, 180}
    for shown_s in at_s.values():
        assert min(abs(float(shown_s) - click) for click in heard) < float(1 / rate) / 2


def test_everything_but_film_at_its_own_speed_is_silent(film: Path) -> None:
    """Cards, freezes and the slow piece are silent to the sample; the rest hums."""
    made = planned(film, speeds=("1", "1/2"))
    samples = np.concatenate(list(sound_of(made)))
    assert len(samples) == round(made.duration_s * SOUND_HZ)
    slow = made.steps[-1].piece_id
    for step in made.steps:
        first = round(step.first_frame / made.rate * SOUND_HZ)
        stop = round((step.first_frame + step.frame_count) / made.rate * SOUND_HZ)
        loud = np.abs(samples[first:stop]).max() > 0.03
        assert loud == (step.kind == "film" and step.piece_id != slow), step.kind


def test_joints_are_faded(film: Path) -> None:
    """Sound begins and ends near nothing, so that no joint clicks, and is whole after 10 ms."""
    (piece,) = film_sound(str(film), Fraction(2), SOUND_HZ // 2)
    assert np.abs(piece[[0, -1]]).max() < 0.005
    middle = piece[480:-480, 0]
    assert np.abs(middle).max() == pytest.approx(0.05, abs=0.02)
    (alone,) = film_sound(str(film), Fraction(21, 10), SOUND_HZ // 4)
    assert np.abs(alone[480:600] - piece[4800 + 480 : 4800 + 600]).max() < 1e-4


def test_marks_that_come_and_go_leave_no_joint(film: Path) -> None:
    """Where only the painting changes, sound goes on as if nothing had been cut."""
    made = planned(film)
    running = next(step for step in made.steps if step.kind == "film")
    half = running.frame_count // 2
    cut = (
        replace(running, first_frame=0, frame_count=half, film_frames=running.film_frames[:half]),
        replace(
            running, first_frame=half, frame_count=running.frame_count - half,
            film_frames=running.film_frames[half:],
            sound_from_s=(running.sound_from_s or 0) + half / made.rate,
        ),
    )  # fmt: skip
    whole = replace(made, steps=(replace(running, first_frame=0),))
    halves = np.concatenate(list(sound_of(replace(made, steps=cut))))
    assert np.array_equal(halves, np.concatenate(list(sound_of(whole))))


def test_film_without_sound_is_silent_there(films: dict[str, Path], tmp_path: Path) -> None:
    """A reel with sound of a film without: a silent track, and nothing fails."""
    source = source_of(films["thirty"], snap=80)
    piece = Piece(
        reel_id=REEL.id, order=1, clip_id="clip", angle_id="end", from_s=Fraction(0),
        to_s=Fraction(1),
    )  # fmt: skip
    made = plan(REEL, [piece], {"end": source}, [], size_px=SIZE_PX)
    path = render(made, tmp_path / "reel.mp4", sound=True)
    assert not heard_by_ffmpeg(path, SOUND_HZ, 2).any()


def test_a_reel_is_silent_unless_asked(film: Path, tmp_path: Path) -> None:
    """Without asking for it there is no sound at all in the file."""
    path = render(planned(film), tmp_path / "reel.mp4")
    assert set(told_by_ffprobe(path)) == {"video"}
