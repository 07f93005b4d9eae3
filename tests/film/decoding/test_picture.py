from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
from av.video.reformatter import ColorRange, Colorspace

from gradecut.film import open_film
from gradecut.film.decoding.picture import displayed_size

GRASS = (58, 130, 52)
MATRICES = {"709": Colorspace.ITU709, "601": Colorspace.ITU601}


def make_plain(
    path: Path,
    size: tuple[int, int],
    matrix: str,
    *,
    full_range: bool = False,
    tagged: bool = False,
    aspect: Fraction | None = None,
) -> Path:
    """Make three frames of grass, converted by one matrix and tagged or not."""
    width, height = size
    codec, pix_fmt = ("mjpeg", "yuvj420p") if full_range else ("libx264", "yuv420p")
    options = {"q:v": "2"} if full_range else {"crf": "6", "preset": "ultrafast"}
    with av.open(str(path), "w") as out:
        stream = out.add_stream(codec, rate=30, options=options)
        stream.width, stream.height, stream.pix_fmt = width, height, pix_fmt
        if aspect is not None:
            stream.codec_context.sample_aspect_ratio = aspect
        if tagged:
            stream.codec_context.colorspace = 1 if matrix == "709" else 6
        picture = np.full((height, width, 3), GRASS, np.uint8)
        for number in range(3):
            frame = av.VideoFrame.from_ndarray(picture, format="rgb24").reformat(
                format=pix_fmt,
                dst_colorspace=MATRICES[matrix],
                dst_color_range=ColorRange.JPEG if full_range else ColorRange.MPEG,
            )
            if not tagged:
                frame.colorspace = 2
            frame.pts = number
            for packet in stream.encode(frame):
                out.mux(packet)
        for packet in stream.encode(None):
            out.mux(packet)
    return path


@pytest.mark.parametrize(
    ("size", "matrix", "tagged"),
    [
        ((1280, 720), "709", False),
        ((1280, 720), "709", True),
        ((1280, 720), "601", True),
        ((640, 480), "601", False),
        ((640, 480), "709", True),
    ],
)
def test_grass_stays_the_green_it_was(
    tmp_path: Path, size: tuple[int, int], matrix: str, tagged: bool
) -> None:
    """A tag is followed; without one HD is BT.709 and smaller film BT.601 (common practice)."""
    path = make_plain(tmp_path / "grass.mp4", size, matrix, tagged=tagged)
    with open_film(path) as film:
        shade = film.frame(1)[size[1] // 2, size[0] // 2].astype(int)
    assert np.abs(shade - GRASS).max() <= 3


def test_full_range_is_not_stretched(tmp_path: Path) -> None:
    """Film that uses all of 0 to 255 keeps its shades."""
    path = make_plain(tmp_path / "grass.mov", (640, 480), "601", full_range=True)
    with open_film(path) as film:
        assert film.index.facts.full_range
        shade = film.frame(1)[240, 320].astype(int)
    assert np.abs(shade - GRASS).max() <= 3


def test_wide_samples_make_a_wide_picture(tmp_path: Path) -> None:
    """Film stored narrow is shown at the width it asks for."""
    path = make_plain(tmp_path / "narrow.mp4", (360, 270), "601", aspect=Fraction(4, 3))
    with open_film(path) as film:
        assert (film.width, film.height) == (480, 270)
        assert film.frame(0).shape == (270, 480, 3)


@pytest.mark.parametrize(
    ("stored", "aspect", "turns", "shown"),
    [
        ((1920, 1080), None, 0, (1920, 1080)),
        ((1920, 1080), None, 1, (1080, 1920)),
        ((1440, 1080), Fraction(4, 3), 0, (1920, 1080)),
        ((1440, 1080), Fraction(4, 3), 3, (1080, 1920)),
        ((1, 2), Fraction(1, 100), 0, (1, 2)),
    ],
)
def test_the_displayed_size(
    stored: tuple[int, int], aspect: Fraction | None, turns: int, shown: tuple[int, int]
) -> None:
    """Samples are widened before the picture is turned."""
    assert displayed_size(*stored, aspect, turns) == shown
