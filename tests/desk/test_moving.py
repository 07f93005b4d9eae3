from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.desk.film_desk import FilmDesk
from tests.desk.playing_books import desk_on, make_book, make_torture_film, settle
from tests.desk.small_book import Posted


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write one play of 40 frames."""
    folder = tmp_path_factory.mktemp("moving") / "end"
    make_torture_film(folder, "closed", count=40)
    return folder


def go(desk: FilmDesk, frame: int, posted: Posted) -> None:
    """Go to a frame."""
    desk.playhead.seek(frame)
    settle(desk, posted)


def test_keys_go_from_moment_to_moment(tmp_path: Path, film: Path) -> None:
    """On and back over snap and whistle, in the order of the film; at the end it is said."""
    path, posted, said = tmp_path / "one.gradecut", Posted(), list[str]()
    make_book(path, {"end": film})
    with desk_on(path, posted, said) as desk:
        go(desk, 12, posted)
        desk.telling.mark_snap()
        go(desk, 30, posted)
        desk.telling.mark_whistle()
        desk.moving.to_start()
        desk.moving.to_next_moment()
        assert desk.playhead.frame == 12
        assert said[-1] == "The snap."
        desk.moving.to_next_moment()
        assert desk.playhead.frame == 30
        assert said[-1] == "Whistle, +18 from the snap."
        desk.moving.to_next_moment()
        assert desk.playhead.frame == 30
        assert said[-1] == "No moment is marked later in this play."
        desk.moving.to_moment_before()
        assert desk.playhead.frame == 12
        desk.moving.to_moment_before()
        assert said[-1] == "No moment is marked earlier in this play."


def test_it_plays_over_and_over_from_snap_to_whistle(tmp_path: Path, film: Path) -> None:
    """With both marked the loop is the play itself, and it is said so."""
    path, posted, said = tmp_path / "two.gradecut", Posted(), list[str]()
    make_book(path, {"end": film})
    with desk_on(path, posted, said) as desk:
        for frame, tell in ((12, desk.telling.mark_snap), (30, desk.telling.mark_whistle)):
            go(desk, frame, posted)
            tell()
        desk.moving.turn_loop()
        assert said[-1] == "Plays over and over: the snap to the whistle."
        ticks = desk.ticks()
        assert ticks is not None
        assert ticks.loop == (12, 30)


def test_frame_and_time_are_told_without_a_snap(tmp_path: Path, film: Path) -> None:
    """A play nobody has marked still tells its frame and the film's own time."""
    path, posted, said = tmp_path / "three.gradecut", Posted(), list[str]()
    make_book(path, {"end": film})
    with desk_on(path, posted, said) as desk:
        go(desk, 15, posted)
        assert desk.playhead.readout().words == "15 · 0.500 s · no snap marked"  # type: ignore[union-attr]
