"""Sound comes on the clock of the pictures, whatever the container does with its times."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from gradecut.errors import FilmError
from gradecut.film import index_films, read_sound
from tests.film.outside import heard_by_ffmpeg
from tests.film.sounding import (
    CLICKS_S,
    LONG_S,
    Clicking,
    clicks,
    make_clicking,
    onsets_s,
)

FILMS = {
    "plain.mp4": Clicking(),
    "uncompressed.mov": Clicking(codec="pcm_s16le", hz=44_100),
    "aac.mkv": Clicking(),
    "opus.mkv": Clicking(codec="libopus"),
    "stream.ts": Clicking(),
    "late.mp4": Clicking(sound_from_s=Fraction(5, 4)),
    "early.mkv": Clicking(codec="pcm_s16le", picture_from_s=Fraction(6, 5)),
    "gap.mkv": Clicking(codec="pcm_s16le", without=range(60, 90)),
    "spoilt.mkv": Clicking(spoilt=range(60, 64)),
}
TOLD_S = {"late.mp4": 1.25, "early.mkv": -1.2}
"""Where the sound's first sample lies, from the first picture; 0 where not named."""
MS = 0.001


@pytest.fixture(scope="module")
def films(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Make every clicking film once, and read them all in one child process."""
    folder = tmp_path_factory.mktemp("clicking")
    made = {name: make_clicking(folder / name, making) for name, making in FILMS.items()}
    assert index_films(list(made.values())) == {}
    return made


def wanted_s(name: str, *, start_s: float = 0, stop_s: float = LONG_S) -> list[float]:
    """Return when clicks are to be heard, from ``start_s`` of the pictures."""
    at = [click + TOLD_S.get(name, 0) for click in CLICKS_S]
    return [click - start_s for click in at if start_s <= click < stop_s]


@pytest.mark.parametrize("name", sorted(set(FILMS) - {"gap.mkv", "spoilt.mkv"}))
@pytest.mark.parametrize(("start_s", "stop_s"), [(0, 6), (3, 5), (-1, 2)])
def test_every_click_is_heard_at_its_time(
    films: dict[str, Path], name: str, start_s: int, stop_s: int
) -> None:
    """From the start, from the middle and from before the picture: within 1.5 ms.

    Matroska rounds times to a millisecond, AAC spreads a click over half of one.
    """
    sound = read_sound(films[name], start_s=Fraction(start_s), stop_s=Fraction(stop_s))
    assert sound.start_s == start_s
    assert sound.stop_s == stop_s
    found = onsets_s(sound.samples[:, 0], sound.rate_hz)
    assert found == pytest.approx(wanted_s(name, start_s=start_s, stop_s=stop_s), abs=1.5 * MS)


@pytest.mark.parametrize("name", ["plain.mp4", "uncompressed.mov"])
@pytest.mark.parametrize("hz", [48_000, 8_000])
def test_ffmpegs_own_program_hears_the_same(films: dict[str, Path], name: str, hz: int) -> None:
    """Sample for sample what FFmpeg's command line decodes (another version of FFmpeg)."""
    theirs = heard_by_ffmpeg(films[name], hz, 2)[: LONG_S * hz].mean(axis=1)
    ours = read_sound(films[name], rate_hz=hz, channels=1).samples[:, 0]
    count = min(len(ours), len(theirs))
    assert count >= LONG_S * hz - hz // 50
    assert np.abs(ours[:count] - theirs[:count]).max() < 0.02


def test_uncompressed_sound_comes_back_as_it_was(films: dict[str, Path]) -> None:
    """Without compression every sample is the one that was written, to 16 bits."""
    sound = read_sound(films["uncompressed.mov"], rate_hz=44_100)
    assert sound.samples.dtype == np.float32
    assert np.abs(sound.samples - clicks(44_100)).max() < 2 / 32768


def test_a_stretch_is_part_of_the_whole(films: dict[str, Path]) -> None:
    """Read alone or with all the rest, a stretch holds the same samples."""
    whole = read_sound(films["uncompressed.mov"], rate_hz=44_100).samples
    for start_s, stop_s in [(Fraction(1, 3), Fraction(2)), (Fraction(17, 5), Fraction(18, 5))]:
        part = read_sound(films["uncompressed.mov"], start_s=start_s, stop_s=stop_s, rate_hz=44_100)
        first = round(start_s * 44_100)
        assert len(part.samples) == round((stop_s - start_s) * 44_100)
        assert np.array_equal(part.samples, whole[first : first + len(part.samples)])


def test_a_gap_is_silent_and_what_follows_is_in_place(films: dict[str, Path]) -> None:
    """Sound that is missing from the file leaves a hole; nothing moves up to fill it."""
    sound = read_sound(films["gap.mkv"])
    at_s = np.arange(len(sound.samples)) / sound.rate_hz
    missing = (at_s > 1.2 + MS) & (at_s < 1.8 - MS)
    assert not sound.samples[missing].any()
    left = [click for click in CLICKS_S if not 1.2 <= click < 1.8]
    assert onsets_s(sound.samples[:, 0], sound.rate_hz) == pytest.approx(left, abs=1.5 * MS)


def test_spoilt_sound_does_not_move_the_rest(films: dict[str, Path]) -> None:
    """Clicks after packets of noise are heard at their time."""
    sound = read_sound(films["spoilt.mkv"], start_s=Fraction(2))
    found = onsets_s(sound.samples[:, 0], sound.rate_hz)
    assert found == pytest.approx(wanted_s("spoilt.mkv", start_s=2), abs=1.5 * MS)


def test_channels_are_mixed_as_asked(films: dict[str, Path]) -> None:
    """One channel is the mean of both; two are kept apart; by default the film's own number."""
    both = read_sound(films["uncompressed.mov"]).samples
    one = read_sound(films["uncompressed.mov"], channels=1).samples
    assert both.shape[1] == 2
    assert one.shape == (len(both), 1)
    assert np.abs(one[:, 0] - both.mean(axis=1)).max() < 0.01


def test_beyond_the_end_is_silence(films: dict[str, Path]) -> None:
    """What is asked for comes in full, silent where the film has no more."""
    sound = read_sound(films["plain.mp4"], start_s=Fraction(5), stop_s=Fraction(9))
    assert sound.samples.shape == (4 * 48_000, 2)
    assert not sound.samples[round(1.1 * 48_000) :].any()
    assert read_sound(films["plain.mp4"], start_s=Fraction(99)).samples.shape == (0, 2)


def test_a_film_without_sound_says_so(shelf: dict[str, Path]) -> None:
    """A silent film is refused in a sentence that names it."""
    with pytest.raises(FilmError, match=r"closed\.mp4: it has no sound"):
        read_sound(shelf["closed"])


def test_mistaken_calls_are_refused(films: dict[str, Path]) -> None:
    """No rate, three channels, an end before its beginning."""
    for wrong in ({"rate_hz": 0}, {"channels": 3}, {"stop_s": Fraction(-1)}):
        with pytest.raises(ValueError, match="can't"):
            read_sound(films["plain.mp4"], **wrong)


def test_more_than_can_be_held_is_refused(films: dict[str, Path]) -> None:
    """Weeks of silence are not made: one sentence instead of all the memory there is."""
    with pytest.raises(FilmError, match="read less of it"):
        read_sound(films["plain.mp4"], stop_s=Fraction(10**6))
