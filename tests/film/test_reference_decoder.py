"""Our frames and times beside those of FFmpeg's own programs, which decode every film once more.

Source: FFmpeg's command line (``ffmpeg -fps_mode passthrough``, every picture it decodes, none
doubled or dropped) and prober (``ffprobe -show_entries frame=pts``), a build that is not the
one inside our decoder.
"""

from __future__ import annotations

import json
import subprocess
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from gradecut.film import Film, open_film
from tests.film.odd_films import ODD_FILMS
from tests.film.outside import program
from tests.film.torture import FILMS, number_on, numbered

OTHER_TIMES = {
    "h264_avi": "FFmpeg gives pictures the times of their packets, which stand in another order",
    "shared_time": "two pictures have one time; the second is moved on by a tick with us",
}
"""Films whose times are not compared, and why; their pictures are."""
NAMES = [*(f"plain {name}" for name in sorted(FILMS)), *sorted(ODD_FILMS)]


def probed(path: Path, film: Film) -> dict[str, Any]:
    """Return what FFmpeg's prober says of the stream shown and all its pictures."""
    done = subprocess.run(
        [program("ffprobe"), "-v", "quiet", "-select_streams", str(film.index.facts.stream),
         "-show_entries", "frame=pts:stream=time_base", "-of", "json", str(path)],
        check=True, capture_output=True,
    )  # fmt: skip
    told: dict[str, Any] = json.loads(done.stdout)
    return told


def numbers_by_ffmpeg(path: Path, film: Film) -> list[int]:
    """Return the numbers on the pictures FFmpeg decodes, turned as it turns them."""
    width, height = 192, 108
    done = subprocess.run(
        [program("ffmpeg"), "-v", "quiet", "-i", str(path), "-map",
         f"0:{film.index.facts.stream}", "-vf", f"scale={width}:{height}", "-fps_mode",
         "passthrough", "-f", "rawvideo", "-pix_fmt", "rgb24", "-"],
        check=True, capture_output=True,
    )  # fmt: skip
    pictures = np.frombuffer(done.stdout, np.uint8).reshape(-1, height, width, 3)
    return [number_on(picture) for picture in pictures]


@pytest.mark.parametrize("name", NAMES)
def test_ffmpeg_decodes_the_same_pictures(
    shelf: dict[str, Path], odd_shelf: dict[str, Path], name: str
) -> None:
    """The same pictures in the same order, at the same times from the first."""
    path = shelf[name.removeprefix("plain ")] if name.startswith("plain ") else odd_shelf[name]
    with open_film(path) as film:
        ours = [number_on(picture) for picture in film.frames()]
        assert ours == numbers_by_ffmpeg(path, film)
        if name in OTHER_TIMES:
            return
        told = probed(path, film)
        tick_s = Fraction(told["streams"][0]["time_base"])
        times = [frame["pts"] * tick_s if "pts" in frame else None for frame in told["frames"]]
        known = [number for number, at_s in enumerate(times) if at_s is not None]
        # Bare streams have no times; some films have them on some pictures only.
        if known:
            shift_s = times[known[0]] - film.time_of(known[0])
            assert [film.time_of(n) for n in known] == [times[n] - shift_s for n in known]


def test_pictures_that_are_never_shown_are_no_frames(tmp_path: Path) -> None:
    """VP8 films hold pictures that only others are built from; they are not counted."""
    drawn = b"".join(numbered(number).tobytes() for number in range(90))
    path = tmp_path / "hidden.webm"
    for turn in ("1", "2"):
        target = ["-f", "null", "-"] if turn == "1" else [str(path)]
        subprocess.run(
            [program("ffmpeg"), "-v", "error", "-y", "-f", "rawvideo", "-pix_fmt", "rgb24",
             "-s", "192x108", "-r", "30", "-i", "-", "-c:v", "libvpx", "-b:v", "600k",
             "-auto-alt-ref", "1", "-lag-in-frames", "16", "-pass", turn,
             "-passlogfile", str(tmp_path / "turns"), *target],
            input=drawn, check=True,
        )  # fmt: skip
    with open_film(path) as film:
        assert [number_on(picture) for picture in film.frames()] == list(range(90))
        assert len(film.times_s) == 90
        assert film.rate == 30
