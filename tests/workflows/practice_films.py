"""One drawn practice filmed by two cameras: other start, other rate, other clock, one sound."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from gradecut.film import open_film
from gradecut.records import Stretch
from tests.film.invented_sounds import scene
from tests.motion.drawn_recording import Recording, draw_recording
from tests.workflows.heard_films import SCENE_HZ, write_heard

DRIFT_PPM = 120.0
END_BEGAN_S = 0.5
LEAD_S, RUN_OUT_S = 1.5, 1.5


@dataclass(frozen=True, kw_only=True)
class Practice:
    """The two films, and when the plays were by the scene's clock.

    ``dumb`` is the side film without its sound.
    """

    end: Path
    side: Path
    dumb: Path
    plays: tuple[tuple[float, float], ...]
    side_began_s: float

    def side_to_end(self, side_s: float) -> float:
        """Return the end film's time of a moment of the side film, as they were made."""
        return side_s * (1 + DRIFT_PPM * 1e-6) + self.side_began_s - END_BEGAN_S

    def cut(self) -> tuple[Stretch, ...]:
        """Return the plays as a coach cut them from the end film."""
        with open_film(self.end) as film:
            return tuple(
                Stretch(
                    start_pts=film.pts_of(film.frame_at(Fraction(snap - LEAD_S - END_BEGAN_S))),
                    stop_pts=film.pts_of(film.frame_at(Fraction(over + RUN_OUT_S - END_BEGAN_S))),
                )
                for snap, over in self.plays
            )


@cache
def write_practice(folder: Path) -> Practice:
    """Draw six plays, once; the side camera began after the first and stopped in the last."""
    folder.mkdir(exist_ok=True)
    made = Recording(
        seed=9, size_px=(160, 90), yard_px=2.7, plays=6, rate=10, between_s=(6, 8), play_s=(3, 4),
        set_s=(3, 4),
    )  # fmt: skip
    drawn, truth = draw_recording(made)
    pictures = [np.repeat(grey[..., None], 3, axis=2) for _, grey in drawn]

    def seen(time_s: float) -> NDArray[np.uint8]:
        return pictures[min(max(int(time_s * made.rate + 1e-6), 0), len(pictures) - 1)]

    heard = scene(truth.length_s + 5, SCENE_HZ, seed=4)
    began_s = truth.plays[0][1] + RUN_OUT_S + 1.37
    stopped_s = truth.plays[-1][0] + 1.2
    side_rate = Fraction(12_000, 1_001)
    end = write_heard(
        folder / "end.mp4", heard, seconds=truth.length_s - END_BEGAN_S, start_s=END_BEGAN_S,
        seen=seen, shade=1,
    )  # fmt: skip
    films = [
        write_heard(
            folder / name, sound, seconds=stopped_s - began_s, rate=side_rate, start_s=began_s,
            ppm=DRIFT_PPM, gain=0.2, seen=seen, shade=2,
        )
        for name, sound in (("side.mp4", heard), ("dumb.mp4", None))
    ]  # fmt: skip
    return Practice(end=end, side=films[0], dumb=films[1], plays=truth.plays, side_began_s=began_s)
