"""What the Cedar Fork Herons wear at practice: scouts in white, the defence in deep teal."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gradecut.samples._figures import Kit
from gradecut.samples._moves import Man
from gradecut.samples._shape import CLOTHS

__all__ = ["dress"]

_Colour = tuple[float, float, float]
_SCOUTS: dict[str, _Colour] = {
    "shirt": (216, 217, 212),
    "panel": (216, 217, 212),
    "sleeve": (212, 213, 208),
    "pants": (170, 173, 172),
    "sock": (214, 215, 211),
    "shoe": (44, 44, 46),
    "helmet": (188, 192, 192),
    "stripe": (34, 66, 82),
    "mask": (52, 56, 60),
    "number": (26, 40, 66),
}
_DEFENCE: dict[str, _Colour] = {
    "shirt": (24, 62, 76),
    "panel": (24, 62, 76),
    "sleeve": (22, 56, 70),
    "pants": (58, 64, 70),
    "sock": (30, 44, 54),
    "shoe": (196, 196, 192),
    "helmet": (22, 54, 68),
    "stripe": (214, 190, 130),
    "mask": (182, 184, 182),
    "number": (232, 232, 224),
}
_OFFICIAL: dict[str, _Colour] = {
    "shirt": (218, 218, 214),
    "panel": (34, 34, 38),
    "sleeve": (70, 70, 72),
    "pants": (38, 38, 42),
    "sock": (36, 36, 38),
    "shoe": (28, 28, 30),
    "helmet": (34, 34, 38),
    "stripe": (34, 34, 38),
    "mask": (150, 112, 88),
    "number": (34, 34, 38),
}
_SKINS: tuple[_Colour, ...] = ((96, 64, 47), (122, 84, 62), (158, 114, 88), (182, 138, 110))
_BALL = (116.0, 68.0, 42.0)


def dress(men: Sequence[Man], seed: int) -> Kit:
    """Return the colours of every man, and of the ball as the last one."""
    rng = np.random.default_rng(seed)
    colours = np.zeros((len(men) + 1, len(CLOTHS), 3))
    for row, man in enumerate(men):
        worn = {"offence": _SCOUTS, "defence": _DEFENCE}.get(man.side, _OFFICIAL)
        skin = _SKINS[int(rng.integers(len(_SKINS)))]
        glove = ((52.0, 54.0, 58.0), (206.0, 206.0, 202.0), skin)[int(rng.integers(3))]
        bare = dict.fromkeys(("skin",), skin) | {"glove": glove}
        shaded = tuple(0.62 * part for part in skin)
        for place, cloth in enumerate(CLOTHS):
            colours[row, place] = {**worn, **bare}.get(cloth, shaded)
        colours[row] *= rng.uniform(0.96, 1.03)
    colours[-1] = _BALL
    return Kit(colours=colours)
