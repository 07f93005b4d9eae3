"""What really happened on a sample clip, written beside it."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from gradecut.samples._fits import Owed, owed_by
from gradecut.samples._scene import LINEBACKERS, Scene
from gradecut.samples._shoot import Shoot
from gradecut.samples._tower import SIZE_PX

__all__ = ["truth_of"]

_GRID_S = 0.05


def truth_of(shoot: Shoot) -> dict[str, Any]:
    """Return the truth of a clip, ready for JSON.

    Times are seconds from the first picture; places are field yards (x from one end line, y from
    one sideline; the offence goes along +x, larger y is its left); angles are millionths of a
    radian and focal lengths thousandths of a pixel, one for each picture.
    """
    filming, play = shoot.filming, shoot.scene.play
    times = np.array([float(time) for time in shoot.times_s])
    return {
        "clip": f"{filming.angle}/{play.order:02d}.mp4",
        "play": play.order,
        "script_number": play.number,
        "concept": play.concept,
        "run": play.run,
        "strength": play.strength,
        "back": play.back,
        "surface": play.surface,
        "ball_yd": [round(part, 3) for part in play.ball_yd],
        "rate": None if filming.variable else str(filming.rate),
        "frames": len(times),
        "snap_time_s": round(filming.snap_s, 4),
        "snap_frame": int(np.searchsorted(times, filming.snap_s - 1e-9)),
        "carrier": "QB" if shoot.scene.handling.given_s is None else "RB",
        "camera": _camera(shoot, times),
        "grid_s": _GRID_S,
        "men": _men(shoot),
        "fits": [_fit(shoot.scene, position, filming.snap_s) for position in LINEBACKERS],
    }


def _camera(shoot: Shoot, times: NDArray[np.float64]) -> dict[str, Any]:
    """Return the camera of every picture."""
    tower = shoot.tower
    views = np.column_stack(
        [
            np.interp(times - shoot.filming.snap_s, tower.times_s, tower.view[:, part])
            for part in range(4)
        ]
    )
    counts = np.rint(views * [1e6, 1e6, 1e6, 1e3]).astype(int)
    names = ("pan_urad", "tilt_urad", "roll_urad", "focal_mpx")
    return {
        "size_px": list(SIZE_PX),
        "place_yd": [round(part, 4) for part in tower.place_yd],
        **{name: counts[:, part].tolist() for part, name in enumerate(names)},
    }


def _men(shoot: Shoot) -> list[dict[str, Any]]:
    """Return everybody's path on the grid."""
    scene, snap_s = shoot.scene, shoot.filming.snap_s
    grid = np.arange(0.0, float(shoot.times_s[-1]) + 1e-9, _GRID_S) - snap_s
    places = scene.field_places()
    men = []
    for row, man in enumerate(scene.men):
        x, y = (
            np.interp(grid, scene.paths.times_s, places[:, row, part]).round(2).tolist()
            for part in range(2)
        )
        first = scene.first_move_s(man.name)
        step = None if first is None else round(first + snap_s, 4)
        men.append(
            {
                "man": man.name,
                "side": man.side,
                "number": man.number,
                "first_step_s": step,
                "x_yd": x,
                "y_yd": y,
            }
        )
    return men


def _fit(scene: Scene, position: str, snap_s: float) -> dict[str, Any]:
    """Return who owed what and what he did."""
    play, took = scene.play, scene.took[position]
    first = scene.first_move_s(position)
    return {
        "position": position,
        "name": play.names[position],
        "number": play.shirts[position],
        "owed": _named(owed_by(position, play)),
        "did": None if took.fit is None else _named(took.fit),
        "verdict": took.verdict,
        "late": took.late,
        "told": took.told,
        "reaction_s": None if first is None else round(first, 4),
        "first_step_s": None if first is None else round(first + snap_s, 4),
    }


def _named(fit: Owed) -> dict[str, str]:
    """Return a fit in words."""
    return {"fit": fit.name, "job": fit.job, "gap": fit.gap, "side": fit.side}
