"""Damaged film: what is shown is right to the last pixel, the rest is refused."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from gradecut.errors import FilmError
from gradecut.film import Film, describe_film, index_films, open_film
from tests.film.torture import Making, cut, make_film, spoil

GROUP = 12
COUNT = 60


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Make undamaged films to damage."""
    folder = tmp_path_factory.mktemp("whole")
    h264 = {"g": str(GROUP), "bf": "2", "crf": "12"}
    return {
        "mp4": make_film(
            folder / "whole.mp4",
            Making(options=h264, count=COUNT, muxing={"movflags": "+faststart"}),
        ),
        "mkv": make_film(folder / "whole.mkv", Making(options=h264, count=COUNT)),
        "ts": make_film(folder / "whole.ts", Making(options=h264, count=COUNT)),
        "avi": make_film(
            folder / "whole.avi",
            Making(codec="mpeg4", options={"g": str(GROUP), "b": "3M"}, count=COUNT),
        ),
        "mjpeg": make_film(
            folder / "mjpeg.avi",
            Making(codec="mjpeg", options={"q:v": "3"}, pix_fmt="yuvj420p", count=COUNT),
        ),
    }


SPOILT_PACKETS = [3, 15, 20, 24, 25, 26, 30, 31, 43, 51, 55]


@pytest.fixture(scope="module")
def spoilt_films(
    whole: dict[str, Path], tmp_path_factory: pytest.TempPathFactory
) -> dict[tuple[str, int], Path]:
    """Spoil one packet in each of many copies, and read them all in one child process."""
    films = {}
    for name in ("mp4", "avi", "mjpeg"):
        for packet in SPOILT_PACKETS:
            folder = tmp_path_factory.mktemp("spoilt")
            films[name, packet] = spoil(whole[name], folder / whole[name].name, [packet])
    assert index_films(list(films.values())) == {}
    return films


def refused_in(film: Film, clean: Film) -> list[int]:
    """Return the frames refused; every other must equal the undamaged film's."""
    refused = []
    for place in range(film.frame_count):
        try:
            picture = film.frame(place)
        except FilmError:
            refused.append(place)
            continue
        assert np.array_equal(picture, clean.frame(clean.frame_at_pts(film.pts_of(place))))
    return refused


@pytest.mark.parametrize("packet", SPOILT_PACKETS)
@pytest.mark.parametrize("name", ["mp4", "avi", "mjpeg"])
def test_damage_in_one_picture_never_shows_a_wrong_one(
    whole: dict[str, Path], spoilt_films: dict[tuple[str, int], Path], name: str, packet: int
) -> None:
    """Noise in one picture: no wrong pixel is shown, and other groups are untouched."""
    with open_film(whole[name]) as clean, open_film(spoilt_films[name, packet]) as film:
        dropped = range(film.frame_count, COUNT)
        refused = [*refused_in(film, clean), *dropped]
        assert refused
        first = packet - packet % GROUP
        assert first - 2 <= min(refused)
        assert max(refused) < first + GROUP


def test_a_refusal_names_the_frame(whole: dict[str, Path], tmp_path: Path) -> None:
    """The sentence about a damaged frame says which one it is."""
    spoilt = spoil(whole["mjpeg"], tmp_path / "spoilt.avi", [20])
    with open_film(spoilt) as film, pytest.raises(FilmError, match="frame 20 is damaged"):
        film.frame(20)


def test_the_order_of_asking_does_not_change_what_is_refused(
    whole: dict[str, Path], tmp_path: Path
) -> None:
    """Forwards, backwards and jumping refuse the same frames."""
    spoilt = spoil(whole["mp4"], tmp_path / "spoilt.mp4", [26])
    orders = [list(range(COUNT)), list(reversed(range(COUNT))), [*range(30, 60), *range(30)]]
    found = []
    for order in orders:
        with open_film(spoilt) as film:
            refused = set()
            for place in order:
                try:
                    film.frame(place)
                except FilmError:
                    refused.add(place)
            found.append(refused)
    assert found[0] == found[1] == found[2]


@pytest.mark.parametrize("name", ["mp4", "mkv", "ts", "avi"])
def test_a_cut_off_film_ends_where_it_decodes(
    whole: dict[str, Path], tmp_path: Path, name: str
) -> None:
    """A film whose end is missing keeps a steady rate and shows all it still holds."""
    short = cut(whole[name], tmp_path / f"short.{name}", 0.6)
    with open_film(whole[name]) as clean, open_film(short) as film:
        assert GROUP < film.frame_count < COUNT
        assert film.rate == 30 == clean.rate
        assert refused_in(film, clean) == []


@pytest.mark.parametrize("name", ["mp4", "avi", "ts"])
def test_a_cut_off_film_says_so(whole: dict[str, Path], tmp_path: Path, name: str) -> None:
    """The missing end is among the faults."""
    facts = describe_film(cut(whole[name], tmp_path / f"short.{name}", 0.6))
    assert any(fault.startswith("its end is cut off") for fault in facts.faults)


def test_bytes_missing_from_a_transport_stream(whole: dict[str, Path], tmp_path: Path) -> None:
    """Where a stream lost bytes nothing stale is shown; before and after all is well."""
    data = whole["ts"].read_bytes()
    middle = 188 * (len(data) // 376)
    holed = tmp_path / "holed.ts"
    holed.write_bytes(data[:middle] + data[middle + 20 * 188 :])
    with open_film(whole["ts"]) as clean, open_film(holed) as film:
        refused = refused_in(film, clean)
        assert 0 < len(refused) < 2 * GROUP
        assert film.pts_of(film.frame_count - 1) == clean.pts_of(COUNT - 1)
        assert any("marked corrupt" in note for note in film.notes)


def test_a_thorough_look_names_the_damaged_frames(whole: dict[str, Path], tmp_path: Path) -> None:
    """Describing a film thoroughly says which frames can't be shown."""
    spoilt = spoil(whole["mjpeg"], tmp_path / "spoilt.avi", [20, 21, 30])
    assert describe_film(spoilt).faults == ()
    (fault,) = describe_film(spoilt, thorough=True).faults
    assert fault.endswith("20 to 21, 30")
