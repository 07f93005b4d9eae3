"""Films as edits, exchanges and failing cards leave them: packets gone, joined or packed."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import av
import pytest

from gradecut.errors import FilmError
from gradecut.film import open_film
from gradecut.film.film import Film
from tests.film.torture import Making, make_film, number_on, packet_places


def _shown(film: Film) -> list[int | None]:
    """Return the number burnt into every frame, None where it is refused."""
    shown: list[int | None] = []
    for frame in range(film.frame_count):
        try:
            shown.append(number_on(film.frame(frame)))
        except FilmError:
            shown.append(None)
    return shown


def _copied(source: Path, path: Path, without: Iterable[int]) -> Path:
    """Copy a film's packets into another container but for some."""
    gone = set(without)
    with av.open(str(source)) as film, av.open(str(path), "w") as out:
        stream = out.add_stream_from_template(film.streams.video[0])
        for place, packet in enumerate(film.demux(film.streams.video[0])):
            if packet.dts is not None and place not in gone:
                packet.stream = stream
                out.mux(packet)
    return path


@pytest.mark.parametrize("ending", ["flv", "mkv"])
def test_a_packet_gone_without_trace_gives_no_other_picture(tmp_path: Path, ending: str) -> None:
    """FFmpeg says nothing of it; what is built from it is refused, up to the next key."""
    whole = make_film(tmp_path / "whole.mp4", Making(options={"g": "12", "bf": "0"}))
    with open_film(_copied(whole, tmp_path / f"gone.{ending}", [17])) as film:
        shown = _shown(film)
    assert shown[:17] == list(range(17))
    assert shown[17:23] == [None] * 6
    assert shown[23:] == list(range(24, len(shown) + 1))


def test_two_recordings_laid_end_to_end_are_both_shown(tmp_path: Path) -> None:
    """The mark at the join costs pictures of the first at most, not the second's first group."""
    one = make_film(tmp_path / "one.ts", Making(options={"g": "12", "bf": "0"}))
    both = tmp_path / "both.ts"
    both.write_bytes(one.read_bytes() * 2)
    with open_film(one) as film:
        count = film.frame_count
    with open_film(both) as film:
        assert film.frame_count == 2 * count
        assert _shown(film)[count:] == list(range(count))


def test_a_hole_in_an_avi_leaves_later_frames_their_times(tmp_path: Path) -> None:
    """AVI counts its packets; those behind a hole are placed by the list at its end."""
    path = make_film(tmp_path / "hole.avi", Making(codec="mpeg4", options={"g": "6", "bf": "0"}))
    with open_film(path) as film:
        beat = film.time_of(1)
    places = [at for at, _ in packet_places(path)]
    data = bytearray(path.read_bytes())
    data[places[10] - 8 : places[20] - 8] = bytes(places[20] - places[10])
    path.write_bytes(data)
    with open_film(path) as film:
        shown = _shown(film)
        assert any("missing in the middle" in fault for fault in film.index.faults)
        start = film.index.pts[0] * film.time_base
        for frame, number in enumerate(shown):
            if number is not None:
                assert film.index.pts[frame] * film.time_base - start == number * beat
        assert shown[-1] == len(places) - 1


def test_frames_that_share_a_time_keep_it_to_a_tick(tmp_path: Path) -> None:
    """A coarse clock gives every fourth frame the time of the one before; none slips to another."""
    whole = make_film(tmp_path / "whole.mp4", Making(options={"g": "12", "bf": "0"}))
    path = tmp_path / "coarse.mkv"
    with av.open(str(whole)) as film, av.open(str(path), "w") as out:
        stream = out.add_stream_from_template(film.streams.video[0])
        for place, packet in enumerate(film.demux(film.streams.video[0])):
            if packet.pts is not None and packet.duration is not None:
                packet.pts -= packet.duration if place % 4 == 3 else 0
                packet.dts = packet.pts
                packet.stream = stream
                out.mux(packet)
    with open_film(path) as film:
        assert _shown(film) == list(range(film.frame_count))
        times = film.times_s
        assert times[3] - times[2] == film.time_base
        assert times[3] < times[4]


def test_a_damaged_jpeg_is_refused_and_no_other(tmp_path: Path) -> None:
    """Its rest would be what the decoder's memory held: a part of another picture."""
    path = make_film(
        tmp_path / "jpeg.avi", Making(codec="mjpeg", options={}, pix_fmt="yuvj420p", count=12)
    )
    places = packet_places(path)
    data = bytearray(path.read_bytes())
    at, size = places[5]
    marks = size // 6
    data[at + size // 2 : at + size // 2 + 2 * marks] = b"\xff\xd9" * marks
    path.write_bytes(data)
    with open_film(path) as film:
        shown = _shown(film)
    assert shown[:5] == [0, 1, 2, 3, 4]
    assert shown[5] is None
    assert shown[6:] == [6, 7, 8, 9, 10, 11]
