"""A snap nobody marked is found by the film's motion, near enough to choose a still by."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest

from gradecut.errors import Cancelled
from gradecut.film import open_film
from gradecut.progress import CancelToken
from gradecut.records import Angle
from gradecut.timebase import Pts
from gradecut.workflows.found_snaps import FoundSnaps
from tests.reels.numbered_film import make_film

CLIP = Path(__file__).resolve().parent.parent.parent / "sample_clips" / "end" / "07.mp4"


def angle_of(first: int, last: int) -> Angle:
    """Describe a stretch of a film of 30 frames a second."""
    with open_film(CLIP) as film:
        edges = film.pts_of(first), film.pts_of(last)
    return Angle(clip_id="", film_id="", name="end", start_pts=edges[0], stop_pts=edges[1])


def test_a_still_by_it_is_less_than_a_fifth_of_a_second_off() -> None:
    """Against the truth drawn with the sample clip, of which nothing else is told."""
    truth = json.loads(CLIP.with_suffix(".truth.json").read_text(encoding="utf-8"))
    found = FoundSnaps().snap_of(str(CLIP), angle_of(40, 130))
    assert found is not None
    with open_film(CLIP) as film:
        time_s = film.time_of(film.frame_at_pts(found))
    assert abs(time_s - Fraction(truth["snap_time_s"])) < Fraction(1, 5)


def test_a_film_where_nothing_moves_tells_none(tmp_path: Path) -> None:
    """Nor one that is too short, nor one that is away."""
    still = make_film(tmp_path / "still.mp4", 4, Fraction(30))
    angle = Angle(clip_id="", film_id="", name="end", start_pts=Pts(0), stop_pts=Pts(3))
    assert FoundSnaps().snap_of(str(still), angle) is None
    assert FoundSnaps().snap_of(str(tmp_path / "gone.mp4"), angle) is None


def test_a_film_that_was_away_is_looked_through_once_it_is_back(tmp_path: Path) -> None:
    """A film on a drive nobody had plugged in yet is not taken for one without a snap."""
    snaps, film = FoundSnaps(), tmp_path / "07.mp4"
    assert snaps.snap_of(str(film), angle_of(40, 130)) is None
    film.write_bytes(CLIP.read_bytes())
    assert snaps.snap_of(str(film), angle_of(40, 130)) is not None


def test_the_search_can_be_stopped_and_asked_for_again() -> None:
    """What was stopped is not taken for "none"."""
    stop, snaps = CancelToken(), FoundSnaps()
    stop.cancel()
    with pytest.raises(Cancelled):
        snaps.snap_of(str(CLIP), angle_of(41, 130), stop)
    with pytest.raises(Cancelled):
        snaps.snap_of(str(CLIP), angle_of(41, 130), stop)
