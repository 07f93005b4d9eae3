"""Films are found again where they were moved to, and their frames are counted exactly."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import FilmError
from gradecut.film import open_film
from gradecut.records import FilmFile, StoredFilm
from gradecut.timebase import Frame, Pts
from gradecut.workflows.films import (
    find_moved_films,
    frame_length,
    frame_of,
    frame_times,
    path_of_film,
    paths_of_films,
    pts_of_frame,
)
from tests.workflows.small_week import angle_of


@pytest.mark.parametrize("play", [1, 2, 3])
def test_every_frame_is_counted_there_and_back(book: Book, play: int) -> None:
    """At 30, 59.94 and a varying rate, as the film itself tells its times."""
    film = book.get(StoredFilm, angle_of(book, play).film_id)
    times = frame_times(book, [film.id])
    with open_film(path_of_film(book, film)) as opened:
        for frame in range(opened.frame_count):
            pts = pts_of_frame(film, Frame(frame), times)
            assert pts == opened.pts_of(frame)
            assert frame_of(film, pts, times) == frame
        lengths = [frame_length(film, pts_of_frame(film, Frame(n), times), times) for n in (5, 6)]
        assert lengths == [opened.time_of(n + 1) - opened.time_of(n) for n in (5, 6)]


def test_a_time_between_two_frames_counts_as_the_nearer(book: Book) -> None:
    """On varying film too."""
    film = book.get(StoredFilm, angle_of(book, 3).film_id)
    times = frame_times(book, [film.id])
    first, second = times[film.id][70], times[film.id][71]
    for pts, frame in (
        (first + 1, 70),
        (second - 1, 71),
        (times[film.id][-1] + 10**6, 109),
        (-9, 0),
    ):
        assert frame_of(film, Pts(pts), times) == frame


def test_films_are_found_again_after_a_move(
    book: Book, week_films: tuple[Path, Path], tmp_path: Path
) -> None:
    """By what is in them, whatever they are called now."""
    films = book.find(StoredFilm)
    away = [
        FilmFile(id=one.id, film_id=one.film_id, computer=one.computer, path=f"/nowhere/{number}")
        for number, one in enumerate(book.find(FilmFile))
    ]
    with book.act("the card is gone") as act:
        act.put(*away)
    assert paths_of_films(book, [film.id for film in films]) == {}
    with pytest.raises(FilmError, match="not there any more"):
        path_of_film(book, films[0])
    for number, path in enumerate(sorted(week_films[0].iterdir())):
        shutil.copy(path, tmp_path / f"moved {number}.mp4")
    assert find_moved_films(book, tmp_path) == 4
    assert find_moved_films(book, tmp_path) == 0
    assert len(paths_of_films(book, [film.id for film in films])) == 4
    assert book.count(FilmFile) == 7
