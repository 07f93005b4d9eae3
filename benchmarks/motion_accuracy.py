"""How well the snap, a followed man and his first step are measured, on the sample clips.

Run ``python benchmarks/motion_accuracy.py`` from the checkout; name clips to take only some:
``python benchmarks/motion_accuracy.py 01 07``. The clips are drawn, and drawn film flatters
what steadies it: these figures are a floor to beat, not a promise for real film.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gradecut.field import Camera
from gradecut.film import open_film
from gradecut.motion import find_snap
from gradecut.records.estimate import Miss

CLIPS = Path(__file__).resolve().parent.parent / "sample_clips"
CLICK_PX = 10.0


def camera_of(truth: dict[str, Any], frame: int) -> Camera:
    """Return the camera a frame was taken with."""
    told = truth["camera"]
    return Camera(
        place_yd=tuple(told["place_yd"]),
        pan_rad=told["pan_urad"][frame] * 1e-6,
        tilt_rad=told["tilt_urad"][frame] * 1e-6,
        roll_rad=told["roll_urad"][frame] * 1e-6,
        focal_px=told["focal_mpx"][frame] * 1e-3,
        size_px=tuple(told["size_px"]),
    )


def line_clicks(truth: dict[str, Any], rng: np.random.Generator | None) -> NDArray[np.float64]:
    """Return two clicks on the line of scrimmage in the first frame, off by 10 pixels or exact."""
    x, y = truth["ball_yd"]
    clicks = camera_of(truth, 0).project([(x, y - 4.0, 0.0), (x, y + 4.0, 0.0)])
    return clicks if rng is None else clicks + rng.normal(0.0, CLICK_PX, (2, 2))


def snap_rows(names: Sequence[str], angle: str) -> list[tuple[str, float | None]]:
    """Print and return the error of the snap for each clip, in frames; None for a miss."""
    rng = np.random.default_rng(11)
    rows: list[tuple[str, float | None]] = []
    for name in names:
        truth = json.loads((CLIPS / angle / f"{name}.truth.json").read_text(encoding="utf-8"))
        with open_film(CLIPS / angle / f"{name}.mp4") as film:
            stop = min(film.frame_count, truth["snap_frame"] + int(1.5 * float(film.rate or 30)))
            found = find_snap(
                film.frames(0, stop), film.times_s[:stop], line_px=line_clicks(truth, rng)
            )
            frame_s = float(np.median(np.diff([float(time) for time in film.times_s])))
        if isinstance(found, Miss):
            print(f"{angle} {name}: no snap: {found.reason}")
            rows.append((name, None))
            continue
        off_s = found.time_s - truth["snap_time_s"]
        rows.append((name, off_s / frame_s))
        print(
            f"{angle} {name}: snap {off_s:+.3f} s, {off_s / frame_s:+.1f} frames, "
            f"confidence {found.confidence:.2f} {' '.join(found.reasons)}",
            flush=True,
        )
    return rows


def main(names: Sequence[str]) -> None:
    """Measure and print."""
    chosen = names or [path.stem for path in sorted((CLIPS / "end").glob("*.mp4"))]
    rows = [off for _, off in snap_rows(chosen, "end") if off is not None]
    print(f"snap: {len(rows)} of {len(chosen)} found; frames off {np.round(np.abs(rows), 1)}")


if __name__ == "__main__":
    main(sys.argv[1:])
