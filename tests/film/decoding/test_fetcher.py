"""Quick decoding gives what careful decoding gives, or less; what goes away can come back."""

from __future__ import annotations

import os
import random
from collections.abc import Iterator
from itertools import count
from pathlib import Path

import numpy as np
import pytest

from gradecut.errors import Cancelled, FilmError
from gradecut.film import Film, fingerprint_of, index_films, open_film
from gradecut.film.decoding.decoding_ways import quick_way
from gradecut.film.decoding.frame_cache import FrameCache
from gradecut.film.indexing.index_store import index_of
from tests.film.torture import Making, make_film, number_on, packet_places

GROUP = 12
COUNT = 48
SPOILS = 8
_H264 = {"g": str(GROUP), "crf": "16", "preset": "veryfast"}
KINDS: dict[str, Making] = {
    "b_frames": Making(options={**_H264, "bf": "3"}, count=COUNT),
    "slices": Making(options={**_H264, "bf": "2", "slices": "3"}, count=COUNT),
    "no_arithmetic_coding": Making(options={**_H264, "bf": "2", "coder": "vlc"}, count=COUNT),
    "hevc": Making(
        codec="libx265",
        options={"x265-params": f"log-level=none:keyint={GROUP}:min-keyint={GROUP}:open-gop=0"},
        count=COUNT,
    ),
}


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Make an undamaged film of each kind."""
    folder = tmp_path_factory.mktemp("whole")
    films = {name: make_film(folder / f"{name}.mp4", making) for name, making in KINDS.items()}
    assert index_films(list(films.values())) == {}
    return films


def spoilt_at(source: Path, path: Path, packets: list[int], rng: random.Random) -> Path:
    """Copy a film with some bytes inside some packets changed, anywhere behind the header."""
    data = bytearray(source.read_bytes())
    places = packet_places(source)
    for packet in packets:
        start, size = places[packet]
        at = rng.randrange(5, max(size - 1, 6))
        length = rng.choice([1, 4, 40, size])
        data[start + at : min(start + at + length, start + size)] = rng.randbytes(
            min(length, size - at)
        )
    path.write_bytes(bytes(data))
    return path


@pytest.fixture(scope="module")
def spoilt(
    whole: dict[str, Path], tmp_path_factory: pytest.TempPathFactory
) -> dict[str, list[tuple[Path, list[int]]]]:
    """Spoil many copies, each with the places of the packets hit."""
    rng = random.Random(17)
    made: dict[str, list[tuple[Path, list[int]]]] = {name: [] for name in whole}
    for name, source in whole.items():
        folder = tmp_path_factory.mktemp(name)
        for number in range(SPOILS):
            hit = rng.sample(range(1, COUNT), rng.choice([1, 2]))
            path = spoilt_at(source, folder / f"{number}.mp4", hit, rng)
            made[name].append((path, hit))
    index_films([path for films in made.values() for path, _ in films])
    return made


def refused_by(film: Film, order: list[int]) -> set[int]:
    """Ask for every frame and return those refused."""
    refused = set()
    for place in order:
        try:
            film.native(place)
        except FilmError:
            refused.add(place)
    return refused


@pytest.mark.parametrize("name", sorted(KINDS))
def test_in_a_hurry_no_sign_of_damage_is_lost(
    spoilt: dict[str, list[tuple[Path, list[int]]]], name: str
) -> None:
    """However a damaged film is gone through, at least what a careful look refuses is refused."""
    for path, _ in spoilt[name]:
        with open_film(path) as film:
            careful = set(film.find_damaged())
        orders = [list(range(film.frame_count)) for _ in range(3)]
        orders[1].reverse()
        random.Random(5).shuffle(orders[2])
        for order in orders:
            with open_film(path, cache_bytes=300_000) as film:
                assert refused_by(film, order) >= careful
                assert careful <= film.lost


@pytest.mark.parametrize("name", sorted(KINDS))
def test_groups_without_damage_are_whole(
    whole: dict[str, Path], spoilt: dict[str, list[tuple[Path, list[int]]]], name: str
) -> None:
    """Every picture of a group that was not hit is the undamaged film's to the last pixel."""
    with open_film(whole[name]) as clean:
        for path, hit in spoilt[name]:
            groups = {packet // GROUP for packet in hit}
            with open_film(path) as film:
                for place in range(film.frame_count - 1, -1, -1):
                    of_clean = clean.frame_at_pts(film.pts_of(place))
                    if of_clean // GROUP not in groups:
                        assert np.array_equal(film.frame(place), clean.frame(of_clean))


@pytest.mark.parametrize("name", sorted(KINDS))
def test_a_careful_look_refuses_nothing_of_a_group_that_was_not_hit(
    whole: dict[str, Path], spoilt: dict[str, list[tuple[Path, list[int]]]], name: str
) -> None:
    """Damage at the beginning of a group is not taken for one of the picture before it."""
    with open_film(whole[name]) as clean:
        for path, hit in spoilt[name]:
            with open_film(path) as film:
                refused = [clean.frame_at_pts(film.pts_of(one)) for one in film.find_damaged()]
            assert {one // GROUP for one in refused} <= {packet // GROUP for packet in hit}


def test_a_picture_nothing_hangs_on_is_lost_alone(whole: dict[str, Path], tmp_path: Path) -> None:
    """Noise in a picture no other is built from costs that frame and no more."""
    _, index = index_of(whole["b_frames"])
    data = bytearray(whole["b_frames"].read_bytes())
    places = packet_places(whole["b_frames"])
    # nal_ref_idc 0, nal_unit_type 1 behind four bytes of length (ITU-T H.264, 7.3.1).
    place = next(place for place in range(GROUP, COUNT) if data[places[place][0] + 4] == 1)
    frame = int(index.number_at[place])
    start, size = places[place]
    data[start + 12 : start + size] = random.Random(1).randbytes(size - 12)
    path = tmp_path / "spoilt.mp4"
    path.write_bytes(bytes(data))
    with open_film(path) as film, open_film(whole["b_frames"]) as clean:
        assert refused_by(film, list(range(COUNT))) == {frame} == film.lost
        for number in set(range(COUNT)) - film.lost:
            assert np.array_equal(film.frame(number), clean.frame(number))


def test_a_jump_leaves_out_what_nothing_hangs_on(whole: dict[str, Path]) -> None:
    """A jump decodes less than the whole way, and stepping back then finds all of it."""
    with open_film(whole["b_frames"]) as film:
        way = range(GROUP, 2 * GROUP - 1)
        assert number_on(film.frame(way[-1])) == way[-1]
        if quick_way(film.index) is not None:
            assert not all(film.holds(place) for place in way)
        film.warm(way[0], way[-1])
        assert all(film.holds(place) for place in way)


@pytest.fixture(scope="module")
def heavy(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """Make a film of more bytes than a reader holds at a time."""
    making = Making(
        options={**_H264, "crf": "3"},
        count=COUNT,
        size=(640, 360),
        muxing={"movflags": "+faststart"},
    )
    return make_film(tmp_path_factory.mktemp("heavy") / "heavy.mp4", making).read_bytes()


def stops_after(asked: int) -> Iterator[bool]:
    """Say go on so many times, and stop from then on."""
    return (number >= asked for number in count())


def test_a_long_decode_can_be_dropped(whole: dict[str, Path]) -> None:
    """A decode asked to stop stops, and the film gives right frames afterwards."""
    with open_film(whole["b_frames"]) as film:
        answers = stops_after(4)
        film.should_stop = lambda: next(answers)
        with pytest.raises(Cancelled):
            film.frame(COUNT - 1)
        film.should_stop = None
        assert [number_on(film.frame(place)) for place in (COUNT - 1, 3, 30)] == [COUNT - 1, 3, 30]
        assert film.lost == frozenset()


def test_a_film_that_goes_away_is_not_damaged(heavy: bytes, tmp_path: Path) -> None:
    """While a film is gone that is said; once it is back all its frames are there."""
    path = tmp_path / "film.mp4"
    path.write_bytes(heavy)
    with open_film(path) as film:
        film.frame(0)
        os.truncate(path, len(heavy) // 4)
        path.unlink()
        for _ in range(2):
            with pytest.raises(FilmError, match="connect the drive"):
                film.frame(COUNT - 2)
        path.write_bytes(heavy)
        assert number_on(film.frame(COUNT - 2)) == COUNT - 2
        assert film.lost == frozenset()


def test_a_film_that_becomes_another_says_so(heavy: bytes, tmp_path: Path) -> None:
    """A file written over while it is open is told from damage."""
    path = tmp_path / "film.mp4"
    path.write_bytes(heavy)
    with open_film(path) as film:
        film.frame(0)
        os.truncate(path, len(heavy) // 4)
        with pytest.raises(FilmError, match="changed while it was open"):
            film.frame(COUNT - 2)
        path.write_bytes(heavy)
        assert number_on(film.frame(COUNT - 2)) == COUNT - 2
        assert film.lost == frozenset()


def test_a_budget_of_one_picture_still_gives_every_frame(whole: dict[str, Path]) -> None:
    """A film whose cache keeps next to nothing shows every frame all the same."""
    path = whole["b_frames"]
    _, index = index_of(path)
    with Film(path, index, fingerprint_of(path), FrameCache(1)) as film:
        for place in (5, 4, 3, 40, 39, 0):
            assert number_on(film.frame(place)) == place


# A message (supplemental enhancement information, ITU-T H.265, 7.3.5) longer than its unit.
_BROKEN_MESSAGE = bytes([0x4E, 0x01, 0x01, 0xFE, 0x00, 0x80])


def test_a_film_that_is_odd_all_over_is_not_damaged(whole: dict[str, Path], tmp_path: Path) -> None:
    """Messages no decoder understands, with every key, don't cost a frame."""
    import av

    path = tmp_path / "odd.mp4"
    unit = len(_BROKEN_MESSAGE).to_bytes(4, "big") + _BROKEN_MESSAGE
    with av.open(str(whole["hevc"])) as source, av.open(str(path), "w") as out:
        stream = out.add_stream_from_template(source.streams.video[0])
        for packet in source.demux(video=0):
            if packet.size:
                body = unit + bytes(packet) if packet.is_keyframe else bytes(packet)
                copied = av.Packet(body)
                copied.pts, copied.dts = packet.pts, packet.dts
                copied.time_base, copied.is_keyframe = packet.time_base, packet.is_keyframe
                copied.stream = stream
                out.mux(copied)
    with open_film(path) as film:
        assert [number_on(film.frame(place)) for place in range(COUNT)] == list(range(COUNT))
        assert film.lost == frozenset()
