"""From joints to the skin of a man in pads: four-cornered faces, each with its cloth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gradecut.samples._skeleton import JOINTS

__all__ = ["CLOTHS", "Faces", "ball_faces", "faces_of"]

Array = NDArray[np.float64]

CLOTHS: tuple[str, ...] = (
    "shirt",
    "panel",
    "sleeve",
    "pants",
    "sock",
    "shoe",
    "skin",
    "glove",
    "helmet",
    "stripe",
    "mask",
    "face",
    "number",
)
_AT = {name: place for place, name in enumerate(JOINTS)}
_CLOTH = {name: place for place, name in enumerate(CLOTHS)}
# Height along the trunk, half width, half depth, shift forward (yards, shares of the trunk).
_TRUNK = np.array(
    [
        (-0.22, 0.135, 0.12, -0.01),
        (-0.02, 0.185, 0.155, -0.012),
        (0.2, 0.185, 0.145, 0.0),
        (0.48, 0.225, 0.165, 0.0),
        (0.74, 0.3, 0.19, -0.005),
        (0.92, 0.315, 0.175, -0.015),
        (1.03, 0.2, 0.12, -0.01),
        (1.08, 0.06, 0.05, 0.0),
    ]
)
_TRUNK_CLOTH = ("pants", "pants", "shirt", "shirt", "shirt", "shirt", "shirt")
_SEGMENTS: dict[str, str] = {
    "0": "abcdef",
    "1": "bc",
    "2": "abged",
    "3": "abgcd",
    "4": "fgbc",
    "5": "afgcd",
    "6": "afgedc",
    "7": "abc",
    "8": "abcdefg",
    "9": "abcdfg",
}
_STROKE = 0.27
_SEGMENT_BOX: dict[str, tuple[float, float, float, float]] = {
    "a": (0.0, 0.84, 1.0, 1.0),
    "g": (0.0, 0.42, 1.0, 0.58),
    "d": (0.0, 0.0, 1.0, 0.16),
    "f": (0.0, 0.5, _STROKE, 1.0),
    "b": (1 - _STROKE, 0.5, 1.0, 1.0),
    "e": (0.0, 0.0, _STROKE, 0.5),
    "c": (1 - _STROKE, 0.0, 1.0, 0.5),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Faces:
    """Faces of every man.

    Attributes
    ----------
    corners_yd : ndarray, shape (P, F, 4, 3)
        Field yards; NaN where a man has fewer.
    cloth : ndarray, shape (F,)
        Index into ``CLOTHS``.
    """

    corners_yd: Array
    cloth: NDArray[np.int64]


def faces_of(joints: Array, bulk: Array, numbers: tuple[str, ...]) -> Faces:
    """Return the faces of every man.

    Parameters
    ----------
    joints : ndarray, shape (P, J, 3)
    bulk : ndarray, shape (P,)
        Girth, as a share of the common one.
    numbers : tuple of str
        What each man's shirt says, front and back.
    """
    groups: list[tuple[Array, NDArray[np.int64]]] = []
    frame = _trunk_frame(joints)
    groups.append(_trunk(joints, bulk, frame))
    groups.append(_helmet(joints))
    for side in ("l", "r"):
        groups.extend(_limbs(joints, bulk, side))
    groups.append(_shirt_numbers(joints, bulk, numbers, frame))
    return Faces(
        corners_yd=np.concatenate([faces for faces, _ in groups], axis=1),
        cloth=np.concatenate([cloth for _, cloth in groups]),
    )


def _joint(joints: Array, name: str) -> Array:
    """Return one joint of every man."""
    taken: Array = joints[:, _AT[name]]
    return taken


def _unit(vector: Array) -> Array:
    """Return vectors of length one."""
    scaled: Array = vector / np.maximum(np.linalg.norm(vector, axis=-1, keepdims=True), 1e-9)
    return scaled


def _trunk_frame(joints: Array) -> tuple[Array, Array, Array]:
    """Return the trunk's own up (with its length), left and front."""
    spine = _joint(joints, "neck") - _joint(joints, "pelvis")
    across = _unit(_joint(joints, "shoulder_l") - _joint(joints, "shoulder_r"))
    front = _unit(np.cross(across, spine))
    return spine, across, front


def _sew(rings: Array) -> Array:
    """Join rings, shape (P, R, N, 3), to faces, shape (P, (R - 1) N, 4, 3)."""
    following = np.roll(rings, -1, axis=2)
    faces = np.stack([rings[:, :-1], following[:, :-1], following[:, 1:], rings[:, 1:]], axis=3)
    return faces.reshape(len(rings), -1, 4, 3)


def _trunk(
    joints: Array, bulk: Array, frame: tuple[Array, Array, Array]
) -> tuple[Array, NDArray[np.int64]]:
    """Return hips, waist, chest and pads."""
    spine, across, front = frame
    sides = 20
    angle = -np.arange(sides) * 2 * np.pi / sides
    rings = np.linspace(0, len(_TRUNK) - 1, 2 * len(_TRUNK) - 1)
    height, wide, deep, shift = (
        np.interp(rings, np.arange(len(_TRUNK)), profile) for profile in _TRUNK.T
    )
    base = _joint(joints, "pelvis")[:, None] + spine[:, None] * height[None, :, None]
    base = base + front[:, None] * shift[None, :, None]
    girth = bulk[:, None, None, None]
    ring = (
        base[:, :, None]
        + girth * across[:, None, None] * (wide[:, None] * np.cos(angle))[None, ..., None]
        + girth * front[:, None, None] * (deep[:, None] * np.sin(angle))[None, ..., None]
    )
    cloth = np.repeat([_CLOTH[name] for name in _TRUNK_CLOTH], 2 * sides)
    # Every other panel has a colour of its own: stripes on an official, one colour on players.
    shirt = (cloth == _CLOTH["shirt"]) & (np.arange(len(cloth)) // 2 % 2 == 1)
    return _sew(ring), np.where(shirt, _CLOTH["panel"], cloth)


def _helmet(joints: Array) -> tuple[Array, NDArray[np.int64]]:
    """Return the helmet with stripe, opening and mask."""
    head = _joint(joints, "head")
    up = _unit(head - _joint(joints, "neck"))
    across = _unit(_joint(joints, "shoulder_l") - _joint(joints, "shoulder_r"))
    front = _unit(np.cross(across, up))
    across = np.cross(up, front)
    sides = 14
    angle = (np.arange(sides) - 0.5) * 2 * np.pi / sides
    levels = np.array([-0.95, -0.62, -0.25, 0.15, 0.52, 0.82, 0.985])
    radius = np.sqrt(1 - levels**2)
    ring = (
        head[:, None, None]
        + 0.172 * up[:, None, None] * levels[None, :, None, None]
        + 0.15 * across[:, None, None] * (radius[:, None] * np.sin(angle))[None, ..., None]
        + 0.185 * front[:, None, None] * (radius[:, None] * np.cos(angle))[None, ..., None]
    )
    cloth = np.full((len(levels) - 1, sides), _CLOTH["helmet"])
    cloth[2:, [0, sides // 2]] = _CLOTH["stripe"]
    cloth[0:3, [0, 1, 2, -1, -2]] = _CLOTH["face"]
    cloth[0, [0, 1, 2, 3, -1, -2, -3]] = _CLOTH["mask"]
    cloth[2, [0, 1, -1]] = _CLOTH["mask"]
    return _sew(ring), cloth.reshape(-1)


def _limbs(joints: Array, bulk: Array, side: str) -> list[tuple[Array, NDArray[np.int64]]]:
    """Return one arm and one leg."""
    shoulder, elbow, hand = (_joint(joints, f"{n}_{side}") for n in ("shoulder", "elbow", "hand"))
    hip, knee, ankle, toe = (_joint(joints, f"{n}_{side}") for n in ("hip", "knee", "ankle", "toe"))
    return [
        _limb(
            shoulder,
            elbow,
            bulk,
            ((-0.25, 0.05), (0.0, 0.125), (0.45, 0.108), (0.62, 0.1), (0.64, 0.07), (1.0, 0.062)),
            ("sleeve", "sleeve", "sleeve", "sleeve", "skin"),
        ),
        _limb(
            elbow,
            hand,
            bulk,
            ((-0.1, 0.04), (0.15, 0.068), (0.75, 0.05), (0.85, 0.06), (1.1, 0.058), (1.18, 0.02)),
            ("skin", "skin", "glove", "glove", "glove"),
        ),
        _limb(
            hip,
            knee,
            bulk,
            ((-0.2, 0.09), (0.05, 0.148), (0.45, 0.128), (0.9, 0.092), (1.08, 0.05)),
            ("pants",) * 4,
        ),
        _limb(
            knee,
            ankle,
            bulk,
            ((-0.12, 0.05), (0.0, 0.09), (0.22, 0.085), (0.4, 0.082), (0.95, 0.055)),
            ("pants", "pants", "sock", "sock"),
        ),
        _limb(
            ankle,
            toe,
            np.ones_like(bulk),
            ((-0.5, 0.004), (-0.4, 0.06), (0.1, 0.075), (0.8, 0.06), (1.25, 0.004)),
            ("shoe",) * 4,
        ),
    ]


def _limb(
    start: Array,
    end: Array,
    bulk: Array,
    rings: tuple[tuple[float, float], ...],
    cloths: tuple[str, ...],
) -> tuple[Array, NDArray[np.int64]]:
    """Return a tapered tube; each ring is (share of the way, radius in yards)."""
    sides = 8
    axis = _unit(end - start)
    aside = np.where(np.abs(axis[:, 2:]) > 0.9, [[1.0, 0.0, 0.0]], [[0.0, 0.0, 1.0]])
    u = _unit(np.cross(aside, axis))
    v = np.cross(axis, u)
    angle = np.arange(sides) * 2 * np.pi / sides
    around = u[:, None] * np.cos(angle)[None, :, None] + v[:, None] * np.sin(angle)[None, :, None]
    where, radius = np.array(rings).T
    centre = start[:, None] + (end - start)[:, None] * where[None, :, None]
    girth = (bulk[:, None] ** 0.8) * radius[None, :]
    ring = centre[:, :, None] + girth[..., None, None] * around[:, None]
    return _sew(ring), np.repeat([_CLOTH[name] for name in cloths], sides)


def _shirt_numbers(
    joints: Array, bulk: Array, numbers: tuple[str, ...], frame: tuple[Array, Array, Array]
) -> tuple[Array, NDArray[np.int64]]:
    """Return the strokes of the shirt numbers, laid on chest and back."""
    spine, across, front = frame
    boxes = [_strokes(text) for text in numbers]
    most = max(len(box) for box in boxes)
    flat = np.full((len(numbers), most, 4, 2), np.nan)
    for row, box in zip(flat, boxes, strict=True):
        row[: len(box)] = box
    aside, height = flat[..., 0], flat[..., 1]
    wide = np.interp(height, _TRUNK[:, 0], _TRUNK[:, 1]) * bulk[:, None, None]
    deep = np.interp(height, _TRUNK[:, 0], _TRUNK[:, 2]) * bulk[:, None, None]
    out = 0.012 + deep * np.sqrt(np.clip(1 - (aside / wide) ** 2, 0.05, 1))
    base = _joint(joints, "pelvis")[:, None, None] + spine[:, None, None] * height[..., None]
    faces = [
        base
        + across[:, None, None] * (sign * aside)[..., None]
        + front[:, None, None] * (sign * out)[..., None]
        for sign in (1.0, -1.0)
    ]
    both = np.concatenate(faces, axis=1)
    return both, np.full(both.shape[1], _CLOTH["number"])


def _strokes(text: str) -> Array:
    """Return the strokes of a shirt number, shape (S, 4, 2): yards aside, share of the trunk.

    Aside grows to the reader's right.
    """
    wide, gap, low, high = 0.145, 0.045, 0.4, 0.88
    start = -(len(text) * wide + (len(text) - 1) * gap) / 2
    found = []
    for place, digit in enumerate(text):
        left = start + place * (wide + gap)
        for name in _SEGMENTS[digit]:
            x0, y0, x1, y1 = _SEGMENT_BOX[name]
            if digit == "1":
                x0, x1 = 0.36, 0.68
            xs = np.linspace(left + x0 * wide, left + x1 * wide, 2)
            b, t = low + y0 * (high - low), low + y1 * (high - low)
            found.append([(xs[0], b), (xs[1], b), (xs[1], t), (xs[0], t)])
    return np.array(found, dtype=np.float64).reshape(-1, 4, 2)


def ball_faces(centre: Array, along: Array, faces: int) -> Array:
    """Return the faces of the ball, filled up with NaN to a number of faces, (faces, 4, 3).

    Parameters
    ----------
    centre : ndarray, shape (3,)
        Field yards.
    along : ndarray, shape (3,)
        Direction of the long axis.
    faces : int
        How many rows are wanted.
    """
    axis = _unit(along)[None]
    u = _unit(np.cross(axis, [[0.0, 0.0, 1.0]] if abs(axis[0, 2]) < 0.9 else [[1.0, 0, 0]]))
    v = np.cross(axis, u)
    where = np.array([-1.0, -0.72, -0.3, 0.3, 0.72, 1.0])
    radius = 0.105 * np.array([0.05, 0.66, 0.97, 0.97, 0.66, 0.05])
    angle = np.arange(8) * np.pi / 4
    around = u * np.cos(angle)[:, None] + v * np.sin(angle)[:, None]
    ring = centre + 0.17 * where[:, None, None] * axis[0] + radius[:, None, None] * around
    filled = np.full((faces, 4, 3), np.nan)
    sewn = _sew(ring[None])[0]
    filled[: len(sewn)] = sewn
    return filled
