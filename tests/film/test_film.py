from __future__ import annotations

import random
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from gradecut.errors import FilmError
from gradecut.film import Film, open_film
from gradecut.timebase import Frame, Pts
from tests.film.torture import FILMS, Making, make_film, number_on

ALL = sorted(FILMS)
SMALL_CACHE = 200_000
"""Bytes: about six frames, so that every jump decodes again."""


def numbers_of(film: Film, order: list[int]) -> list[int]:
    """Read the numbers on some frames."""
    return [number_on(film.frame(place)) for place in order]


@pytest.mark.parametrize("name", ALL)
def test_every_frame_comes_out_in_order(shelf: dict[str, Path], name: str) -> None:
    """Stepping forward shows every frame once, in the order it was filmed."""
    with open_film(shelf[name]) as film:
        assert film.frame_count == FILMS[name][1].count
        assert [number_on(picture) for picture in film.frames()] == list(range(film.frame_count))


@pytest.mark.parametrize("name", ALL)
def test_jumping_lands_on_the_frame_asked_for(shelf: dict[str, Path], name: str) -> None:
    """A jump anywhere shows exactly the frame asked for, however little is kept."""
    with open_film(shelf[name], cache_bytes=SMALL_CACHE) as film:
        order = random.Random(11).sample(range(film.frame_count), film.frame_count)
        assert numbers_of(film, order) == order


@pytest.mark.parametrize("name", ALL)
def test_stepping_backwards_shows_every_frame(shelf: dict[str, Path], name: str) -> None:
    """Stepping back from the end shows every frame, last to first."""
    with open_film(shelf[name], cache_bytes=SMALL_CACHE) as film:
        order = list(reversed(range(film.frame_count)))
        assert numbers_of(film, order) == order


@pytest.mark.parametrize("name", ALL)
def test_the_picture_has_the_size_the_film_says(shelf: dict[str, Path], name: str) -> None:
    """A frame is an RGB array of the displayed size, the caller's own."""
    with open_film(shelf[name]) as film:
        picture = film.frame(1)
        assert picture.shape == (film.height, film.width, 3)
        assert picture.dtype == np.uint8
        picture[:] = 0
        assert number_on(film.frame(1)) == 1


@pytest.mark.parametrize("name", ["turned", "upside_down", "mirrored"])
def test_a_turned_film_stands_upright(shelf: dict[str, Path], name: str) -> None:
    """A film that asks to be turned is shown upright at its displayed size."""
    with open_film(shelf[name]) as film:
        assert (film.width, film.height) == (192, 108)
        assert any("as it asks for" in note for note in film.notes)


def test_times_of_a_variable_film_are_its_own(shelf: dict[str, Path]) -> None:
    """Each frame of a variable film has the time it was given, and the film has no rate."""
    ticks = FILMS["variable"][1].ticks
    assert ticks is not None
    with open_film(shelf["variable"]) as film:
        assert film.rate is None
        assert list(film.times_s) == [Fraction(tick, 120) for tick in ticks]
        assert any("rate varies" in note for note in film.notes)


def test_a_broadcast_rate_is_exact(shelf: dict[str, Path]) -> None:
    """59.94 is 60000/1001, and the time of a frame is exact."""
    with open_film(shelf["ntsc"]) as film:
        assert film.rate == Fraction(60000, 1001)
        assert film.time_of(60) == Fraction(1001, 1000)
        assert film.duration_s == 70 / Fraction(60000, 1001)


def test_rounded_times_do_not_make_a_film_variable(shelf: dict[str, Path]) -> None:
    """Milliseconds in a Matroska film still tell its broadcast rate."""
    with open_film(shelf["mkv"]) as film:
        assert film.time_base == Fraction(1, 1000)
        assert film.rate == Fraction(30000, 1001)


def test_a_film_may_begin_inside_its_first_group(tmp_path: Path) -> None:
    """Where an edit list begins the film at its sixth picture, that is frame 0."""
    making = Making(
        options={"g": "12", "bf": "2"}, shift=-5, muxing={"avoid_negative_ts": "disabled"}
    )
    with open_film(make_film(tmp_path / "trimmed.mp4", making)) as film:
        assert film.frame_count == 35
        order = random.Random(2).sample(range(35), 35)
        assert numbers_of(film, order) == [place + 5 for place in order]
        assert film.time_of(0) == 0


@pytest.mark.parametrize("ending", ["ts", "mp4"])
def test_a_film_copied_from_mid_group_begins_at_its_first_key(tmp_path: Path, ending: str) -> None:
    """Pictures before the first key can't be decoded: they are no frames, and that is told."""
    making = Making(options={"g": "12", "bf": "2"}, skip_packets=5)
    with open_film(make_film(tmp_path / f"copied.{ending}", making)) as film:
        assert numbers_of(film, list(range(film.frame_count))) == list(range(12, 40))
        assert any("begins without a key" in note for note in film.notes)


def test_asking_past_the_ends_is_refused(shelf: dict[str, Path]) -> None:
    """A frame the film doesn't have is a sentence naming the frames it has."""
    with open_film(shelf["closed"]) as film:
        for wrong in (-1, 40):
            with pytest.raises(FilmError, match=f"no frame {wrong}; its frames are 0 to 39"):
                film.frame(wrong)
            with pytest.raises(FilmError, match="no frame"):
                film.time_of(wrong)
            with pytest.raises(FilmError, match="no frame"):
                film.pts_of(wrong)


def test_timestamps_find_their_frames(shelf: dict[str, Path]) -> None:
    """A stored timestamp finds its frame again; one between two goes to the nearer."""
    with open_film(shelf["variable"]) as film:
        stamps = [film.pts_of(place) for place in range(film.frame_count)]
        assert [film.frame_at_pts(stamp) for stamp in stamps] == list(range(film.frame_count))
        step = stamps[1] - stamps[0]
        assert film.frame_at_pts(Pts(stamps[0] + step // 2 - 1)) == 0
        assert film.frame_at_pts(Pts(stamps[0] + step // 2 + 1)) == 1
        assert film.frame_at_pts(Pts(stamps[0] - 1000)) == 0
        assert film.frame_at_pts(Pts(stamps[-1] + 1000)) == film.frame_count - 1


def test_a_time_finds_the_frame_showing(shelf: dict[str, Path]) -> None:
    """At its own time a frame is on screen, just before it the one before."""
    with open_film(shelf["variable"]) as film:
        for place in range(film.frame_count):
            begins = film.time_of(place)
            assert film.frame_at(begins) == place
            assert film.frame_at(begins - Fraction(1, 10**9)) == max(place - 1, 0)
        assert film.frame_at(Fraction(99)) == Frame(film.frame_count - 1)


def test_stepping_back_inside_a_group_decodes_once(shelf: dict[str, Path]) -> None:
    """After a step or two back into a group, the frames before are there already."""
    with open_film(shelf["long_group"]) as film:
        for place in (60, 59, 58):
            film.frame(place)
        assert all(film.holds(place) for place in range(61))


def test_the_cache_keeps_to_its_budget(shelf: dict[str, Path]) -> None:
    """Pictures kept never take more bytes than allowed, and the newest one is kept."""
    with open_film(shelf["long_group"], cache_bytes=SMALL_CACHE) as film:
        film.frame(70)
        kept = [place for place in range(film.frame_count) if film.holds(place)]
        assert 70 in kept
        assert 2 <= len(kept) <= 8
        assert min(kept) > 60


def test_a_closed_film_says_so(shelf: dict[str, Path]) -> None:
    """A frame of a closed film is refused with a sentence; closing twice does no harm."""
    film = open_film(shelf["closed"])
    film.close()
    film.close()
    with pytest.raises(FilmError, match="was closed"):
        film.frame(3)


def test_notes_tell_interlacing(shelf: dict[str, Path]) -> None:
    """An interlaced film says that its frames weave two moments."""
    for name in ("interlaced", "mpeg2_interlaced"):
        with open_film(shelf[name]) as film:
            assert any("interlaced" in note for note in film.notes)


def test_a_raw_stream_is_counted_and_says_so(shelf: dict[str, Path]) -> None:
    """A stream without times is numbered by decoding it, and that is told."""
    with open_film(shelf["raw"]) as film:
        assert any("no usable times" in note for note in film.notes)
        assert film.time_of(30) == 1


@pytest.mark.parametrize("name", ["closed", "turned", "mirrored", "ten_bit"])
def test_a_small_picture_is_the_large_one_made_smaller(shelf: dict[str, Path], name: str) -> None:
    """A small picture stands upright in the film's proportions, and is never enlarged."""
    with open_film(shelf[name]) as film:
        small = film.small(21, 96)
        assert small.shape == (54, 96, 3)
        assert small.dtype == np.uint8
        assert number_on(small) == 21
        assert np.array_equal(film.small(21, 9999), film.frame(21))


def test_a_picture_as_stored_is_not_turned(shelf: dict[str, Path]) -> None:
    """The decoder's own picture keeps the film's format, lies as it is stored, and is shared."""
    with open_film(shelf["turned"]) as film:
        stored = film.native(5)
        assert (stored.width, stored.height) == (film.height, film.width)
        assert stored.format.name == film.index.facts.pixel_format
        assert film.native(5) is stored


def test_nothing_is_lost_of_a_film_without_damage(shelf: dict[str, Path]) -> None:
    """A whole film, gone through from its end, has no frame that counts as lost."""
    with open_film(shelf["open_group"]) as film:
        for place in reversed(range(film.frame_count)):
            film.native(place)
        assert film.lost == frozenset()
