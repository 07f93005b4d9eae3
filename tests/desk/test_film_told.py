from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from tests.desk.film_book import press
from tests.desk.playing_books import desk_on, make_book, make_torture_film, number_shown, settle
from tests.desk.small_book import Posted


@pytest.fixture(scope="session")
def varying(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write a film of varying rate, and another one."""
    folder = tmp_path_factory.mktemp("told")
    make_torture_film(folder / "end", "variable", count=40)
    make_torture_film(folder / "other", "closed", count=40, first_number=100)
    return folder


@pytest.fixture
def folder(tmp_path: Path, varying: Path) -> Path:
    """Copy the films, and start a book of the first."""
    shutil.copytree(varying, tmp_path / "film")
    make_book(tmp_path / "b.gradecut", {"end": tmp_path / "film" / "end"})
    return tmp_path


def test_a_coach_sees_what_the_film_tells(folder: Path, posted: Posted, said: list[str]) -> None:
    """Its notes are there once it was read, and a key says them."""
    with desk_on(folder / "b.gradecut", posted, said) as desk:
        posted.until(lambda: bool(desk.told.notes()))
        assert any("rate varies" in note for note in desk.told.notes())
        press(desk, "Alt+F")
        assert said[-1].startswith("1: ")
        assert "rate varies" in said[-1]
        settle(desk, posted)


def test_another_film_in_its_place_is_not_shown(
    folder: Path, posted: Posted, said: list[str]
) -> None:
    """Replaced while the book was closed: no picture of it, but a sentence and what to do."""
    shutil.copy(folder / "film" / "other" / "1.mp4", folder / "film" / "end" / "1.mp4")
    with desk_on(folder / "b.gradecut", posted, said) as desk:
        posted.until(lambda: not desk.playhead.found)
        assert desk.playhead.picture is None
        assert "another film now" in desk.playhead.fault
        press(desk, "Right")
        assert desk.playhead.picture is None


def test_a_film_replaced_in_mid_work_is_noticed(
    folder: Path, posted: Posted, said: list[str]
) -> None:
    """At the next picture; put back and looked at anew, it is shown again."""
    place = folder / "film" / "end" / "1.mp4"
    kept = folder / "kept.mp4"
    shutil.copy(place, kept)
    with desk_on(folder / "b.gradecut", posted, said) as desk:
        posted.until(lambda: bool(desk.told.notes()))
        settle(desk, posted)
        os.replace(folder / "film" / "other" / "1.mp4", place)
        press(desk, "Right")
        posted.until(lambda: not desk.playhead.found)
        assert "another film now" in desk.playhead.fault
        os.replace(kept, place)
        desk.refresh()
        settle(desk, posted)
        assert number_shown(desk) == desk.playhead.frame
        assert desk.playhead.fault == ""


def test_a_film_that_vanishes_in_mid_work_is_said(
    folder: Path, posted: Posted, said: list[str]
) -> None:
    """Nothing is shown that is not its picture; where it lies now can be told."""
    place = folder / "film" / "end" / "1.mp4"
    with desk_on(folder / "b.gradecut", posted, said) as desk:
        settle(desk, posted)
        place.unlink()
        desk.refresh()
        posted.until(lambda: not desk.playhead.found)
        assert desk.playhead.picture is None
        assert "is not where it was" in desk.playhead.fault


def test_the_second_films_file_is_checked_too(
    folder: Path, posted: Posted, said: list[str]
) -> None:
    """Another film in the place of the second angle's is not shown beside."""
    make_torture_film(folder / "film" / "side", "closed", count=40)
    (folder / "film" / "side" / "1.mp4").rename(folder / "film" / "side" / "2.mp4")
    make_book(
        folder / "two.gradecut",
        {"end": folder / "film" / "end", "side": folder / "film" / "side"},
    )
    with desk_on(folder / "two.gradecut", posted, said) as desk:
        for _ in range(2):
            desk.playhead.seek(10)
            press(desk, "Z", "A")
        press(desk, "Alt+A")
        posted.until(lambda: desk.second.picture is not None)
        shutil.copy(folder / "film" / "other" / "1.mp4", folder / "film" / "side" / "2.mp4")
        press(desk, "Right")
        posted.until(lambda: not desk.second.found)
        assert desk.second.picture is None
        assert "another film now" in desk.second.fault
        assert desk.playhead.found
        settle(desk, posted)


def test_a_film_with_nothing_wrong_still_says_what_it_is(
    folder: Path, posted: Posted, said: list[str]
) -> None:
    """Its size, its rate and how long it is; the other film has 40 frames at 30 a second."""
    make_book(folder / "plain.gradecut", {"end": folder / "film" / "other"})
    with desk_on(folder / "plain.gradecut", posted, said) as desk:
        settle(desk, posted)
        press(desk, "Alt+F")
        film = desk.playhead.film
        assert film is not None
        assert said[-1] == f"1: {film.width} × {film.height} px, 30 frames a second, 1.3 s."
