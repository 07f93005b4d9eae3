"""Decoded pictures become BT.709 limited range without a detour, whatever they were."""

from __future__ import annotations

import av
import numpy as np
import pytest
from av.video.reformatter import ColorRange
from numpy.typing import NDArray

from gradecut.film import Bt709Maker

COLOURS = [(200, 30, 40), (58, 110, 52), (25, 45, 120), (240, 240, 240), (12, 12, 12)]
# Luma coefficients of red and blue: ITU-R BT.709-6, item 3.2; ITU-R BT.601-7, item 2.5.1;
# ITU-R BT.2020-2, table 4 (non-constant luminance).
COEFFICIENTS = {1: (0.2126, 0.0722), 6: (0.299, 0.114), 9: (0.2627, 0.0593)}
UNTOLD = 2
HD, SD = (1280, 720), (64, 48)


def stored(rgb: tuple[int, int, int], matrix: int, *, full: bool) -> tuple[float, float, float]:
    """Return Y, Cb, Cr of 8 bits by the coefficients of ``matrix`` (same items of the same)."""
    of_red, of_blue = COEFFICIENTS[matrix]
    red, green, blue = (part / 255 for part in rgb)
    luma = of_red * red + (1 - of_red - of_blue) * green + of_blue * blue
    from_blue = (blue - luma) / (2 * (1 - of_blue))
    from_red = (red - luma) / (2 * (1 - of_red))
    if full:
        return 255 * luma, 128 + 255 * from_blue, 128 + 255 * from_red
    return 16 + 219 * luma, 128 + 224 * from_blue, 128 + 224 * from_red


def picture_of(
    values: tuple[float, float, float], size: tuple[int, int], kind: str = "yuv420p"
) -> av.VideoFrame:
    """Make a plain picture with given Y, Cb, Cr."""
    picture = av.VideoFrame(size[0], size[1], kind)
    deep = 4 if kind.endswith("10le") else 1
    for plane, value in zip(picture.planes, values, strict=True):
        row = np.frombuffer(memoryview(plane), np.uint16 if deep > 1 else np.uint8)
        row[:] = round(value * deep)
    return picture


def planes_of(picture: av.VideoFrame) -> NDArray[np.int64]:
    """Return Y, Cb, Cr in the middle of a picture."""
    middles = []
    for plane in picture.planes:
        rows = np.frombuffer(memoryview(plane), np.uint8).reshape(-1, plane.line_size)
        middles.append(rows[plane.height // 2, plane.width // 2])
    return np.array(middles, np.int64)


@pytest.mark.parametrize("rgb", COLOURS)
@pytest.mark.parametrize(
    "way",
    [
        (1, 1, False, SD, "yuv420p"),
        (6, 6, False, SD, "yuv420p"),
        (9, 9, False, HD, "yuv420p10le"),
        (1, 1, True, HD, "yuv420p"),
        (6, 6, True, SD, "yuvj420p"),
        (UNTOLD, 1, False, HD, "yuv420p"),
        (UNTOLD, 6, False, SD, "yuv420p"),
        (UNTOLD, 1, False, HD, "yuv422p10le"),
    ],
)
def test_every_way_of_storing_comes_out_alike(
    rgb: tuple[int, int, int], way: tuple[int, int, bool, tuple[int, int], str]
) -> None:
    """By its tag, or untagged by its size, each picture has the BT.709 values of its colour."""
    told, meant, full, size, kind = way
    picture = picture_of(stored(rgb, meant, full=full), size, kind)
    picture.colorspace = told
    picture.color_range = ColorRange.JPEG if full else ColorRange.MPEG
    made = Bt709Maker().made(picture)
    assert made.format.name == "yuv420p"
    assert (made.colorspace, made.color_range) == (1, 1)
    assert (made.color_primaries, made.color_trc) == (1, 1)
    assert np.abs(planes_of(made) - stored(rgb, 1, full=False)).max() <= 2
    assert (picture.colorspace, picture.format.name) == (told, kind)


def test_bt709_is_passed_on_untouched() -> None:
    """A picture that is right already is not copied; writing on a copy leaves it alone."""
    picture = picture_of((90, 100, 140), HD)
    picture.pts = 77
    maker = Bt709Maker()
    made = maker.made(picture)
    assert made.planes[0].buffer_ptr == picture.planes[0].buffer_ptr
    made.pts = 3
    made.make_writable()
    np.frombuffer(memoryview(made.planes[0]), np.uint8)[:] = 0
    assert picture.pts == 77
    assert planes_of(picture).tolist() == [90, 100, 140]


def test_pictures_are_scaled_without_changing_their_colour() -> None:
    """At another size a colour stays what it was."""
    made = Bt709Maker().made(picture_of((90, 100, 140), HD), (640, 360))
    assert (made.width, made.height) == (640, 360)
    assert np.abs(planes_of(made) - (90, 100, 140)).max() <= 1


def test_an_odd_decoded_picture_is_padded() -> None:
    """H.264 needs even sides: the last column and row are repeated."""
    picture = picture_of((90, 128, 128), (65, 47), "yuv444p")
    made = Bt709Maker().made(picture)
    assert (made.width, made.height) == (66, 48)
    assert np.abs(planes_of(made) - (90, 128, 128)).max() <= 1
