"""How well the snap, a followed man and his first step are measured, on the sample clips.

Run ``python benchmarks/motion_accuracy.py`` from the checkout; name clips to take only some:
``python benchmarks/motion_accuracy.py 01 07``. The clips are drawn, and drawn film flatters
what steadies it; the lags taken off the snap and the first step were learned on clips drawn by
the same hand. So these figures are a floor to beat, not a promise for real film.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gradecut.field import Camera
from gradecut.film import Film, open_film
from gradecut.motion import find_snap, first_step, follow
from gradecut.records.estimate import Estimate

CLIPS = Path(__file__).resolve().parent.parent / "sample_clips" / "end"
LINE_PX, FEET_PX = 10.0, 2.0  # standard error of a click in each direction
BEFORE_S, AFTER_S = 0.4, 2.5
MAN_YD = 1.9

Array = NDArray[np.float64]


@dataclass(slots=True)
class Tally:
    """Errors gathered over clips; a missing value is a miss."""

    snap_frames: list[float] = field(default_factory=list)
    bare_snap_frames: list[float] = field(default_factory=list)
    places_yd: list[Array] = field(default_factory=list)
    places_px: list[Array] = field(default_factory=list)
    confidence: list[Array] = field(default_factory=list)
    steps_s: list[float] = field(default_factory=list)


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


def measure_snap(
    name: str, film: Film, truth: dict[str, Any], rng: np.random.Generator, tally: Tally
) -> None:
    """Print the error of the snap, with the line marked by two shaky clicks and without."""
    times = np.array([float(time) for time in film.times_s])
    stop = int(np.searchsorted(times, truth["snap_time_s"] + 1.5))
    frame_s = float(np.median(np.diff(times)))
    x, y = truth["ball_yd"]
    clicks = camera_of(truth, 0).project([(x, y - 4.0, 0.0), (x, y + 4.0, 0.0)])
    clicks += rng.normal(0.0, LINE_PX, (2, 2))
    for line, errors in ((clicks, tally.snap_frames), (None, tally.bare_snap_frames)):
        found = find_snap(film.frames(0, stop), film.times_s[:stop], line_px=line)
        marked = "line marked" if line is not None else "no line"
        if isinstance(found, Estimate):
            errors.append((found.time_s - truth["snap_time_s"]) / frame_s)
            print(f"{name} snap, {marked}: {errors[-1]:+.1f} frames, trust {found.confidence}")
        else:
            errors.append(np.nan)
            print(f"{name} snap, {marked}: {found.reason}")


def measure_men(
    name: str, film: Film, truth: dict[str, Any], rng: np.random.Generator, tally: Tally
) -> None:
    """Print how far the three linebackers are followed wrongly, and their first steps."""
    times = np.array([float(time) for time in film.times_s])
    snap_s = truth["snap_time_s"]
    begin, stop = (int(np.searchsorted(times, snap_s + s)) for s in (-BEFORE_S, AFTER_S))
    frames = list(film.frames(begin, stop))
    first = camera_of(truth, begin)
    for man in (man for man in truth["men"] if man["man"] in {"Keel", "Bow", "Port"}):
        grid = np.arange(len(man["x_yd"])) * truth["grid_s"]
        true_yd = np.column_stack([np.interp(times, grid, man[part]) for part in ("x_yd", "y_yd")])
        feet, head = first.project([(*true_yd[begin], 0.0), (*true_yd[begin], MAN_YD)])
        track = follow(
            frames,
            begin,
            feet + rng.normal(0.0, FEET_PX, 2),
            first=begin,
            times=film.times_s[begin:stop],
            height_px=float(feet[1] - head[1]),
        )
        kept = slice(begin, begin + len(track.frames))
        off_yd = np.linalg.norm(first.to_ground(track.steady_px) - true_yd[kept], axis=1)
        shown = [
            camera_of(truth, n).project([(*true_yd[n], 0.0)])[0]
            for n in range(kept.start, kept.stop)
        ]
        lost = np.full(stop - begin - len(off_yd), np.inf)
        tally.places_yd.append(np.concatenate([off_yd, lost]))
        tally.places_px.append(np.linalg.norm(track.points_px - np.array(shown), axis=1))
        tally.confidence.append(np.concatenate([track.confidence, np.zeros_like(lost)]))
        step = first_step(track, snap_s, to_yd=first.to_ground)
        wrong_s = step.time_s - man["first_step_s"] if isinstance(step, Estimate) else np.nan
        tally.steps_s.append(wrong_s)
        said = f"{1000 * wrong_s:+.0f} ms" if isinstance(step, Estimate) else step.reason
        print(
            f"{name} {man['man']}: followed {len(off_yd)} of {stop - begin}, median "
            f"{np.median(off_yd):.2f} yd, {np.median(tally.places_px[-1]):.1f} px; step {said}",
            flush=True,
        )


def print_totals(tally: Tally) -> None:
    """Print what the coach wants to know."""
    for what, frames in (("marked", tally.snap_frames), ("not marked", tally.bare_snap_frames)):
        off = np.abs(frames)
        shares = ", ".join(f"{np.mean(off <= most):.0%} within {most}" for most in (1, 2, 3, 4))
        print(f"snap, line {what}: {shares} frames; {np.isnan(off).sum()} of {len(off)} missed")
    yd, sure = np.concatenate(tally.places_yd), np.concatenate(tally.confidence)
    px = np.concatenate(tally.places_px)
    print(
        f"followed: {np.isfinite(yd).mean():.0%} of frames; of all {np.mean(yd <= 0.5):.0%} within "
        f"0.5 yd, {np.mean(yd <= 1.0):.0%} within 1 yd; median {np.median(px):.1f} px"
    )
    for low, high in ((0.0, 0.6), (0.6, 0.8), (0.8, 1.01)):
        part = yd[(sure >= low) & (sure < high)]
        if len(part):
            print(
                f"  trust {low} to {min(high, 1.0)}: {len(part)} frames, "
                f"{np.mean(part <= 0.5):.0%} within 0.5 yd, {np.mean(part <= 1.0):.0%} within 1 yd"
            )
    steps = np.abs(tally.steps_s)
    told = steps[np.isfinite(steps)]
    print(
        f"first step: {len(told)} of {len(steps)} told; {np.mean(told <= 0.1):.0%} within 100 ms, "
        f"median {1000 * np.median(told):.0f} ms, worst {1000 * told.max():.0f} ms"
    )


def main(names: Sequence[str]) -> None:
    """Measure and print."""
    tally, rng = Tally(), np.random.default_rng(11)
    for name in names or [path.stem for path in sorted(CLIPS.glob("*.mp4"))]:
        truth = json.loads((CLIPS / f"{name}.truth.json").read_text(encoding="utf-8"))
        with open_film(CLIPS / f"{name}.mp4") as film:
            measure_snap(name, film, truth, rng, tally)
            measure_men(name, film, truth, rng, tally)
    print_totals(tally)


if __name__ == "__main__":
    main(sys.argv[1:])
