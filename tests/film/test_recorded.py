from __future__ import annotations

import os
from pathlib import Path

import av
import pytest

from gradecut.film import recorded_at
from tests.film.torture import Making, make_film

MTIME_S = 1_791_315_005
"""2026-10-06 19:30:05 UTC (checked with ``date -u -d @1791315005``)."""


def dated(path: Path, told: str | None) -> Path:
    """Make a small film whose camera tells a time, and whose file has another."""
    plain = make_film(path.with_name("plain.mp4"), Making(count=3))
    with av.open(str(plain)) as film, av.open(str(path), "w") as out:
        stream = out.add_stream_from_template(film.streams.video[0])
        if told is not None:
            out.metadata["creation_time"] = told
        for packet in film.demux(video=0):
            if packet.dts is not None:
                packet.stream = stream
                out.mux(packet)
    os.utime(path, (MTIME_S, MTIME_S))
    return path


def test_the_camera_is_believed(tmp_path: Path) -> None:
    """What the camera wrote into the film is when it was filmed, in UTC."""
    path = dated(tmp_path / "film.mp4", "2026-09-04T21:15:30-04:00")
    assert recorded_at(path) == "2026-09-05T01:15:30Z"


@pytest.mark.parametrize("told", [None, "1904-01-01T00:00:00Z", "1970-01-01T00:00:00Z"])
def test_a_clock_that_was_never_set_is_not_believed(tmp_path: Path, told: str | None) -> None:
    """Without a believable time in the film its file's time is taken."""
    assert recorded_at(dated(tmp_path / "film.mp4", told)) == "2026-10-06T19:30:05Z"


def test_nobody_knows(tmp_path: Path) -> None:
    """A file that isn't there, or is older than any camera, has no time."""
    assert recorded_at(tmp_path / "gone.mp4") == ""
    old = tmp_path / "old.mp4"
    old.write_text("no film")
    os.utime(old, (0, 0))
    assert recorded_at(old) == ""
