"""Files that are no film: one sentence each, whatever the name says."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pytest

from gradecut.errors import FilmError
from gradecut.film import describe_film, open_film
from tests.film.torture import Making, cut, make_film, make_sound, make_sound_mp4, numbered


def sentence_about(path: Path) -> str:
    """Return what opening says, having checked its form."""
    with pytest.raises(FilmError) as caught:
        open_film(path)
    error = caught.value
    assert error.path == str(path)
    assert error.reason.endswith(".")
    assert "\n" not in error.reason
    assert "Error" not in error.reason
    return error.reason


def test_text_named_as_film(tmp_path: Path) -> None:
    """A text file named .mp4 is called a text file."""
    path = tmp_path / "play.mp4"
    path.write_text("Play 1: inside zone, good edge\n" * 40)
    assert "text file" in sentence_about(path)
    with pytest.raises(FilmError, match="text file"):
        describe_film(path)


@pytest.mark.parametrize(
    "words",
    [
        "#EXTM3U\n#EXT-X-TARGETDURATION:10\n#EXTINF:10,\n{film}\n#EXT-X-ENDLIST\n",
        "ffconcat version 1.0\nfile {film}\n",
    ],
)
def test_a_list_that_points_at_film_is_not_followed(
    tmp_path: Path, shelf: dict[str, Path], words: str
) -> None:
    """A play list named .mp4 opens no other file."""
    path = tmp_path / "list.mp4"
    path.write_text(words.format(film=shelf["transport"]))
    assert "text file" in sentence_about(path)


@pytest.mark.parametrize("ending", [".png", ".jpg", ".bmp"])
def test_a_picture_is_called_a_picture(tmp_path: Path, ending: str) -> None:
    """A picture is no film, whatever its name."""
    picture = tmp_path / f"shot{ending}"
    assert cv2.imwrite(str(picture), numbered(3))
    assert "picture" in sentence_about(picture)
    named = tmp_path / "shot.mp4"
    named.write_bytes(picture.read_bytes())
    assert "picture" in sentence_about(named)


def test_an_empty_file(tmp_path: Path) -> None:
    """A file without a byte is called empty."""
    path = tmp_path / "play.mp4"
    path.touch()
    assert "empty" in sentence_about(path)


def test_a_missing_file(tmp_path: Path) -> None:
    """A film that isn't there is said not to be there."""
    assert "no such file" in sentence_about(tmp_path / "gone.mp4")


def test_a_folder(tmp_path: Path) -> None:
    """A folder is called a folder."""
    assert "folder" in sentence_about(tmp_path)


def test_sound_only(tmp_path: Path) -> None:
    """Sound without picture is called sound."""
    assert "sound" in sentence_about(make_sound(tmp_path / "call.wav"))
    assert "sound" in sentence_about(make_sound_mp4(tmp_path / "call.mp4"))


def test_an_unfinished_recording(shelf: dict[str, Path], tmp_path: Path) -> None:
    """An MP4 that lost its index is told as an unfinished recording or copy."""
    reason = sentence_about(cut(shelf["closed"], tmp_path / "half.mp4", 0.5))
    assert "stopped before its index" in reason


def test_an_unknown_codec(shelf: dict[str, Path], tmp_path: Path) -> None:
    """A picture stored in a way nobody knows is told so."""
    path = tmp_path / "odd.mp4"
    path.write_bytes(shelf["closed"].read_bytes().replace(b"avc1", b"zzz9"))
    assert "a way we don't know" in sentence_about(path)


def test_an_absurd_size(tmp_path: Path) -> None:
    """A header that claims 40,000 px is refused by its number, before any memory is asked for."""
    honest = make_film(
        tmp_path / "raw.avi", Making(codec="rawvideo", options={}, pix_fmt="bgr24", count=3)
    )
    data = bytearray(honest.read_bytes())
    at = data.find(b"strf") + 12
    data[at : at + 4] = (40_000).to_bytes(4, "little")
    path = tmp_path / "huge.avi"
    path.write_bytes(bytes(data))
    assert "40000 x 108 px" in sentence_about(path)


@pytest.mark.parametrize("data", [bytes(100_000), np.random.default_rng(1).bytes(100_000)])
def test_bytes_that_mean_nothing(tmp_path: Path, data: bytes) -> None:
    """Zeros and noise are no film."""
    path = tmp_path / "noise.mp4"
    path.write_bytes(data)
    assert "can't be read as film" in sentence_about(path)


def test_a_damaged_header(shelf: dict[str, Path], tmp_path: Path) -> None:
    """Noise inside the index is a sentence too."""
    data = shelf["fragmented"].read_bytes()
    at = data.find(b"moov")
    path = tmp_path / "header.mp4"
    path.write_bytes(data[: at + 100] + np.random.default_rng(1).bytes(300) + data[at + 400 :])
    assert sentence_about(path)
