"""Tiny films drawn in code, whose motion is known to the pixel."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction

import cv2
import numpy as np
from numpy.typing import NDArray

SIZE_PX = (320, 180)
MAN_PX = (14, 32)  # width and height
RATE = Fraction(30)
Place = Callable[[int], tuple[float, float]]


def frame_times(count: int, rate: Fraction = RATE) -> list[Fraction]:
    """Return when each frame begins."""
    return [Fraction(number) / rate for number in range(count)]


def texture(seed: int, size_px: tuple[int, int], grain: float) -> NDArray[np.uint8]:
    """Return a cloudy grey picture in which corners can be found."""
    rng = np.random.default_rng(seed)
    rough = rng.normal(0.0, 1.0, (size_px[1], size_px[0])).astype(np.float32)
    cloud = cv2.GaussianBlur(rough, (0, 0), grain)
    return np.asarray(np.clip(120 + 45 * cloud / cloud.std(), 0, 255), dtype=np.uint8)


def draw_man(picture: NDArray[np.uint8], feet: tuple[float, float], seed: int) -> None:
    """Paint a man, whose shirt is his own, with his feet at a place; parts of a pixel count."""
    width, height = MAN_PX
    shirt = texture(seed, MAN_PX, 1.3).astype(np.float32)
    shift = np.array([[1, 0, feet[0] - width / 2], [0, 1, feet[1] - height]], dtype=np.float64)
    size = (picture.shape[1], picture.shape[0])
    body = cv2.warpAffine(shirt, shift, size)
    share = cv2.warpAffine(np.ones((height, width), np.float32), shift, size)
    picture[:] = np.clip(picture * (1 - share) + body, 0, 255).astype(np.uint8)


def film(
    count: int,
    men: Sequence[Place] = (),
    *,
    camera: Callable[[int], NDArray[np.float64]] | None = None,
    noise: float = 1.0,
) -> Iterator[NDArray[np.uint8]]:
    """Draw a film frame by frame, shape (180, 320, 3).

    ``men`` tell where each man's feet are on the grass; ``camera`` carries pixels of the grass
    (which are those of a camera at rest) to pixels of a frame.
    """
    grass = texture(1, SIZE_PX, 2.0)
    rng = np.random.default_rng(2)
    for number in range(count):
        picture = grass.copy()
        for order, place in enumerate(men):
            draw_man(picture, place(number), 100 + order)
        if camera is not None:
            picture = np.asarray(
                cv2.warpPerspective(
                    picture, camera(number), SIZE_PX, borderMode=cv2.BORDER_REFLECT
                ),
                dtype=np.uint8,
            )
        grainy = picture + rng.normal(0.0, noise, picture.shape)
        grey = np.clip(grainy, 0, 255).astype(np.uint8)
        yield np.repeat(grey[..., None], 3, axis=2)


def pan(speed_px: float, zoom: float = 0.0) -> Callable[[int], NDArray[np.float64]]:
    """Return a camera that pans evenly and may close in, by shares of a frame."""

    def at(number: int) -> NDArray[np.float64]:
        scale = 1.0 + zoom * number
        return np.array([[scale, 0, speed_px * number], [0, scale, 0], [0, 0, 1]])

    return at


def standing(x: float, y: float) -> Place:
    """Return a man who stands still."""
    return lambda _: (x, y)


def leaving(x: float, y: float, at: int, *, speed: tuple[float, float]) -> Place:
    """Return a man who stands until a frame and then goes evenly."""

    def place(number: int) -> tuple[float, float]:
        gone = max(number - at, 0)
        return x + speed[0] * gone, y + speed[1] * gone

    return place
