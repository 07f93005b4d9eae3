"""Paints men and their shadows into a picture, as one camera sees them."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.field.camera import Camera
from gradecut.samples._shape import CLOTHS, Faces
from gradecut.samples._skeleton import JOINTS

__all__ = ["SUN", "Kit", "cast_shadows", "paint_men"]

Array = NDArray[np.float64]

SUN = np.array([-0.42, 0.5, 0.76]) / np.linalg.norm([-0.42, 0.5, 0.76])
_FINER = 3  # men are painted three times as large and then shrunk: soft, even edges
_SHADE = 0.46
_BONES: tuple[tuple[str, str, float], ...] = (
    ("pelvis", "neck", 0.42),
    ("neck", "head", 0.32),
    *((f"shoulder_{s}", f"elbow_{s}", 0.2) for s in "lr"),
    *((f"elbow_{s}", f"hand_{s}", 0.13) for s in "lr"),
    *((f"hip_{s}", f"knee_{s}", 0.26) for s in "lr"),
    *((f"knee_{s}", f"toe_{s}", 0.17) for s in "lr"),
    ("shoulder_l", "shoulder_r", 0.3),
)
_NUMBER = CLOTHS.index("number")
_GLOSS = np.array([name in {"helmet", "stripe"} for name in CLOTHS])


@dataclass(frozen=True, slots=True, kw_only=True)
class Kit:
    """What the men wear.

    Attributes
    ----------
    colours : ndarray, shape (P, len(CLOTHS), 3)
        RGB, 0 to 255.
    """

    colours: Array


def cast_shadows(picture: NDArray[np.uint8], camera: Camera, joints: Array) -> None:
    """Darken the grass where the men keep the sun from it, in place."""
    height, width = picture.shape[:2]
    flat = joints.copy()
    flat[..., :2] -= SUN[:2] / SUN[2] * joints[..., 2:]
    flat[..., 2] = 0.0
    seen = camera.project(flat.reshape(-1, 3)).reshape(*flat.shape[:2], 2) / 2
    scale = _scale_px(camera, joints[:, 0]) / 2
    mask = np.zeros((height // 2, width // 2), dtype=np.uint8)
    at = {name: place for place, name in enumerate(JOINTS)}
    usable = np.isfinite(seen).all(axis=(1, 2)) & (np.abs(seen) < 4000).all(axis=(1, 2))
    for man in np.flatnonzero(usable):
        points = np.rint(seen[man] * 8).astype(int)
        for start, end, wide in _BONES:
            thick = max(1, round(wide * scale[man] * 0.9))
            cv2.line(mask, points[at[start]].tolist(), points[at[end]].tolist(), 255, thick, 8, 3)
    soft = cv2.GaussianBlur(mask, (0, 0), 1.3)
    kept = 255 - (cv2.resize(soft, (width, height)) * _SHADE)
    rows = np.flatnonzero(soft.any(axis=1))
    if rows.size:
        part = np.s_[2 * rows[0] : 2 * rows[-1] + 2]
        # Shade keeps the sky's light, so blue is lost less than red.
        tint = cv2.merge([kept[part], kept[part], np.minimum(kept[part] + 12, 255.0)])
        cv2.multiply(picture[part], tint, dst=picture[part], scale=1 / 255, dtype=cv2.CV_8U)


def paint_men(
    picture: NDArray[np.uint8],
    camera: Camera,
    faces: Faces,
    kit: Kit,
    *,
    drift_px: Array,
) -> None:
    """Paint every man, the farthest first, in place.

    Parameters
    ----------
    picture : ndarray, shape (H, W, 3), uint8
        RGB.
    camera : Camera
    faces : Faces
    kit : Kit
    drift_px : ndarray, shape (P, 2)
        How far each man moves in the picture while the shutter is open.
    """
    men, count = faces.corners_yd.shape[:2]
    seen = camera.project(faces.corners_yd.reshape(-1, 3)).reshape(men, count, 4, 2)
    colours, away, turned = _shaded(camera, faces, kit)
    for man in np.argsort(-np.nanmean(away, axis=1)):
        shown = np.flatnonzero(turned[man] & np.isfinite(seen[man]).all(axis=(1, 2)))
        if not shown.size:
            continue
        order = shown[np.argsort(-away[man, shown])]
        _paint_man(picture, seen[man, order], colours[man, order], drift_px[man])


def _scale_px(camera: Camera, places: Array) -> Array:
    """Return pixels a yard at each place."""
    reach = np.linalg.norm(places - np.array(camera.place_yd), axis=1)
    scale: Array = camera.focal_px / reach
    return scale


def _shaded(camera: Camera, faces: Faces, kit: Kit) -> tuple[Array, Array, NDArray[np.bool_]]:
    """Return colour, distance and whether each face looks at the camera."""
    corners = faces.corners_yd
    normal = np.cross(corners[:, :, 1] - corners[:, :, 0], corners[:, :, 3] - corners[:, :, 0])
    thin = np.linalg.norm(normal, axis=2, keepdims=True)
    other = np.cross(corners[:, :, 2] - corners[:, :, 1], corners[:, :, 3] - corners[:, :, 1])
    normal = np.where(thin > 1e-7, normal, other)
    normal /= np.maximum(np.linalg.norm(normal, axis=2, keepdims=True), 1e-9)
    centre = corners.mean(axis=2)
    view = np.array(camera.place_yd) - centre
    away = np.linalg.norm(view, axis=2)
    view /= away[..., None]
    turned = np.einsum("pfk,pfk->pf", normal, view) > 0
    sun = np.clip(normal @ SUN, 0, 1)
    light = 0.55 + 0.14 * normal[..., 2] + 0.5 * sun
    light *= 0.84 + 0.16 * np.clip(centre[..., 2] / 1.2, 0, 1)
    half = view + SUN
    half /= np.linalg.norm(half, axis=2, keepdims=True)
    gloss = np.clip(np.einsum("pfk,pfk->pf", normal, half), 0, 1) ** 24 * _GLOSS[faces.cloth]
    colours = kit.colours[:, faces.cloth] * light[..., None] + 150 * gloss[..., None]
    nearer = np.where(faces.cloth == _NUMBER, 0.06, 0.0)
    return np.clip(colours, 0, 250), away - nearer, turned


def _paint_man(picture: NDArray[np.uint8], seen: Array, colours: Array, drift: Array) -> None:
    """Paint one man's faces, given far to near."""
    height, width = picture.shape[:2]
    pad = 4
    low = np.floor(seen.min(axis=(0, 1))).astype(int) - pad
    high = np.ceil(seen.max(axis=(0, 1))).astype(int) + pad
    x0, y0 = max(low[0], 0), max(low[1], 0)
    x1, y1 = min(high[0], width), min(high[1], height)
    if x1 <= x0 or y1 <= y0 or high[0] - low[0] > width:
        return
    sheet = np.zeros(((high[1] - low[1]) * _FINER, (high[0] - low[0]) * _FINER, 4), dtype=np.uint8)
    # Faces are painted a little larger than they are, so that no seam shows between them.
    middle = seen.mean(axis=1, keepdims=True)
    seen = middle + (seen - middle) * 1.05
    points = np.rint((seen - low + 0.5) * (_FINER * 8) - 4).astype(np.int32)
    inks = np.column_stack([colours, np.full(len(colours), 255.0)]).tolist()
    for corners, ink in zip(points, inks, strict=True):
        cv2.fillConvexPoly(sheet, corners, ink, cv2.LINE_8, 3)
    small = cv2.resize(sheet, None, fx=1 / _FINER, fy=1 / _FINER, interpolation=cv2.INTER_AREA)
    part = _smear(np.asarray(small, dtype=np.uint8), drift)[
        y0 - low[1] : y1 - low[1], x0 - low[0] : x1 - low[0]
    ]
    under = picture[y0:y1, x0:x1]
    kept = cv2.merge([255 - part[..., 3]] * 3)
    cv2.multiply(under, kept, dst=under, scale=1 / 255)
    cv2.add(under, np.ascontiguousarray(part[..., :3]), dst=under)


def _smear(sheet: NDArray[np.uint8], drift: Array) -> NDArray[np.uint8]:
    """Blur a painted man along the way he moves while the shutter is open."""
    long = float(np.hypot(*drift))
    if long < 0.7:
        return sheet
    size = 2 * int(np.ceil(long / 2)) + 3
    kernel = np.zeros((size, size), dtype=np.float32)
    middle = size // 2
    for share in np.linspace(-0.5, 0.5, 4 * size):
        x, y = middle + share * drift[0], middle + share * drift[1]
        ix, iy = int(np.floor(x)), int(np.floor(y))
        fx, fy = x - ix, y - iy
        kernel[iy, ix] += (1 - fx) * (1 - fy)
        kernel[iy, ix + 1] += fx * (1 - fy)
        kernel[iy + 1, ix] += (1 - fx) * fy
        kernel[iy + 1, ix + 1] += fx * fy
    blurred = cv2.filter2D(sheet, -1, kernel / kernel.sum())
    return np.asarray(blurred, dtype=np.uint8)
