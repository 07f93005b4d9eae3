"""One sample clip, measured: values of our own, kept so that a change is noticed."""

from __future__ import annotations

import json
from pathlib import Path

from gradecut.film import open_film
from gradecut.motion import find_snap
from gradecut.records.estimate import Estimate

CLIPS = Path(__file__).resolve().parent.parent.parent / "sample_clips" / "end"
LINE_PX = [(842.0, 394.0), (445.0, 397.0)]


def test_the_snap_of_one_clip() -> None:
    """Regression value: clip 07's snap read 3.017 s; the truth beside the clip is 3.010 s."""
    truth = json.loads((CLIPS / "07.truth.json").read_text(encoding="utf-8"))
    with open_film(CLIPS / "07.mp4") as film:
        begin, stop = 40, 112
        found = find_snap(film.frames(begin, stop), film.times_s[begin:stop], line_px=LINE_PX)
    assert isinstance(found, Estimate)
    assert abs(found.time_s - truth["snap_time_s"]) < 2 / 30
    assert abs(found.time_s - 3.017) < 1 / 60
