"""The practice field from above, as one picture in yards: grass, bands, paint, track."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.field.levels import LEVELS, Level
from gradecut.field.markings import Numeral, numerals_of, stripes_of

__all__ = ["Turf", "practice_field"]

_SCALE = 24  # pixels a yard: finer than any of the towers resolves
_X_YD = (-14.0, 146.0)
_Y_YD = (-26.0, 80.0)
_SEED = 20261006
_GRASS = np.array([101.0, 127.0, 70.0], dtype=np.float32)
_PAINT = np.array([226.0, 229.0, 219.0], dtype=np.float32)
_WORN = np.array([141.0, 130.0, 88.0], dtype=np.float32)
_TRACK = np.array([150.0, 92.0, 74.0], dtype=np.float32)


@dataclass(frozen=True, slots=True, kw_only=True)
class Turf:
    """The field from above.

    Attributes
    ----------
    picture : ndarray, shape (H, W, 3), uint8
        RGB.
    far : ndarray, shape (H / 2, W / 2, 3), uint8
        The same, softened, for where a pixel of film covers much grass.
    to_texture : ndarray, shape (3, 3)
        From field yards (x, y, 1) to pixels of ``picture``.
    """

    picture: NDArray[np.uint8]
    far: NDArray[np.uint8]
    to_texture: NDArray[np.float64]


def practice_field(level: Level | None = None) -> Turf:
    """Return the practice field of the samples: NCAA marks, with a wide painted boundary."""
    level = level or LEVELS["NCAA"].with_changes(border_width_yd=Fraction(3, 4))
    rng = np.random.default_rng(_SEED)
    shape = (round((_Y_YD[1] - _Y_YD[0]) * _SCALE), round((_X_YD[1] - _X_YD[0]) * _SCALE))
    coarse, fine = _clouds(rng, shape), _blades(rng, shape)
    ground = _grass(shape, coarse, fine)
    _lay_track(ground, fine)
    _paint(ground, _paint_cover(shape, level), coarse, fine)
    picture = np.clip(ground, 0, 255).astype(np.uint8)
    soft = cv2.GaussianBlur(picture, (0, 0), 1.4)
    far = cv2.resize(soft, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    to_texture = np.array(
        [[_SCALE, 0, -_X_YD[0] * _SCALE - 0.5], [0, _SCALE, -_Y_YD[0] * _SCALE - 0.5], [0, 0, 1]]
    )
    return Turf(picture=picture, far=np.asarray(far, dtype=np.uint8), to_texture=to_texture)


def _clouds(rng: np.random.Generator, shape: tuple[int, int]) -> NDArray[np.float32]:
    """Return smooth unevenness of the growth, about -1 to 1."""
    total = np.zeros(shape, dtype=np.float32)
    for yards, weight in ((11.0, 0.5), (3.2, 0.32), (0.9, 0.3)):
        step = yards * _SCALE
        small = rng.standard_normal((int(shape[0] / step) + 3, int(shape[1] / step) + 3))
        big = cv2.resize(small.astype(np.float32), shape[::-1], interpolation=cv2.INTER_CUBIC)
        total += weight * np.asarray(big, dtype=np.float32)
    return total


def _blades(rng: np.random.Generator, shape: tuple[int, int]) -> NDArray[np.float32]:
    """Return the fine grain of the grass, about -1 to 1."""
    edge = 16  # blurred with its own far edge beside it, the tile repeats without a seam
    tile = np.pad(rng.standard_normal((1024, 1024)).astype(np.float32), edge, mode="wrap")
    tufts = cv2.GaussianBlur(tile, (0, 0), 2.2) * 4.0
    mixed = (0.55 * cv2.GaussianBlur(tile, (0, 0), 0.7) + 0.5 * tufts)[edge:-edge, edge:-edge]
    repeats = (shape[0] // 1024 + 1, shape[1] // 1024 + 1)
    whole: NDArray[np.float32] = np.tile(mixed, repeats)[: shape[0], : shape[1]]
    return whole


def _grass(
    shape: tuple[int, int], coarse: NDArray[np.float32], fine: NDArray[np.float32]
) -> NDArray[np.float32]:
    """Return mown grass: bands of five yards, worn between the hashes."""
    x = np.arange(shape[1], dtype=np.float32) / _SCALE + _X_YD[0]
    y = np.arange(shape[0], dtype=np.float32) / _SCALE + _Y_YD[0]
    band = np.tanh(6 * np.sin(np.pi * (x + 0.06) / 5.0))
    light = 1 + 0.06 * band[None, :] + 0.06 * coarse + 0.115 * fine
    ground = light[..., None] * _GRASS
    ground[..., 0] += 7.0 * coarse + 4 * band[None, :]
    wear = np.exp(-(((y - 26.67) / 7.5) ** 2))[:, None] * np.exp(-(((x - 60) / 42) ** 2))[None, :]
    wear = np.clip(wear * (0.36 + 0.5 * coarse + 0.22 * fine), 0, 0.5)[..., None]
    mixed: NDArray[np.float32] = ground * (1 - wear) + _WORN * wear * (1 + 0.1 * fine[..., None])
    return mixed


def _lay_track(ground: NDArray[np.float32], fine: NDArray[np.float32]) -> None:
    """Lay a running track round the field, with its lanes."""
    x0, x1 = (int((edge - _X_YD[0]) * _SCALE) for edge in (126.0, 134.5))
    y0, y1 = (int((edge - _Y_YD[0]) * _SCALE) for edge in (60.0, 68.5))
    for part in (np.s_[:, x0:x1], np.s_[y0:y1, :]):
        ground[part] = _TRACK * (1 + 0.05 * fine[part][..., None])
    for lane in range(7):
        step = int(lane * 1.4 * _SCALE)
        ground[:, x0 + step : x0 + step + 2] = 205.0
        ground[y0 + step : y0 + step + 2, :] = 205.0


def _paint_cover(shape: tuple[int, int], level: Level) -> NDArray[np.float32]:
    """Return how much of each pixel is painted, 0 to 1."""
    cover = np.zeros(shape, dtype=np.uint8)
    for stripe in stripes_of(level):
        corners = _to_pixels([(stripe.x0_yd, stripe.y0_yd), (stripe.x1_yd, stripe.y1_yd)])
        (x0, y0), (x1, y1) = corners
        box = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], dtype=np.int32)
        cv2.fillConvexPoly(cover, box, 255, cv2.LINE_AA, 4)
    for numeral in numerals_of(level):
        _paint_numeral(cover, numeral)
    share: NDArray[np.float32] = cover.astype(np.float32) / np.float32(255)
    return share


def _to_pixels(points_yd: list[tuple[float, float]]) -> NDArray[np.int32]:
    """Return texture positions in sixteenths of a pixel."""
    shifted = (np.array(points_yd) - (_X_YD[0], _Y_YD[0])) * _SCALE - 0.5
    return np.rint(shifted * 16).astype(np.int32)


def _paint_numeral(cover: NDArray[np.uint8], numeral: Numeral) -> None:
    """Paint one digit into its box, in an upright block face."""
    wide, tall = 200, 300
    glyph = np.zeros((tall, wide), dtype=np.uint8)
    letter = "O" if numeral.digit == "0" else numeral.digit  # a nought without its stroke
    (text_w, text_h), _ = cv2.getTextSize(letter, cv2.FONT_HERSHEY_DUPLEX, 10.0, 42)
    at = ((wide - text_w) // 2, (tall + text_h) // 2)
    cv2.putText(glyph, letter, at, cv2.FONT_HERSHEY_DUPLEX, 10.0, 255, 42, cv2.LINE_AA)
    box = [numeral.top_left_yd, numeral.bottom_right_yd, numeral.bottom_left_yd]
    target = (_to_pixels(box) / 16).astype(np.float32)
    source = np.array([(0, 0), (wide, tall), (0, tall)], dtype=np.float32)
    low = np.floor(target.min(axis=0)).astype(int) - 60
    high = np.ceil(target.max(axis=0)).astype(int) + 60
    matrix = cv2.getAffineTransform(source, target - low.astype(np.float32))
    size = (int(high[0] - low[0]), int(high[1] - low[1]))
    placed = cv2.warpAffine(glyph, matrix, size, flags=cv2.INTER_AREA)
    part = cover[low[1] : high[1], low[0] : high[0]]
    np.maximum(part, placed, out=part)


def _paint(
    ground: NDArray[np.float32],
    cover: NDArray[np.float32],
    coarse: NDArray[np.float32],
    fine: NDArray[np.float32],
) -> None:
    """Lay the paint over the grass, thinner where feet have worn it."""
    painted = cover > 0
    thick = np.clip(0.84 + 0.12 * coarse[painted] + 0.16 * fine[painted], 0.25, 1.0)
    share = (cover[painted] * thick)[:, None]
    ground[painted] = ground[painted] * (1 - share) + _PAINT * share
