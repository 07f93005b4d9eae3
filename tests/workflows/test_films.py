"""Films are found again where they were moved to, and their frames are counted exactly."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import Cancelled, FilmError
from gradecut.film import open_film, packed_index
from gradecut.film.indexing.index_store import FOLDER_VARIABLE, forget
from gradecut.progress import CancelToken
from gradecut.records import FilmFile, FilmIndex, StoredFilm
from gradecut.timebase import Frame, Pts
from gradecut.workflows.films import (
    find_moved_films,
    frame_length,
    frame_of,
    frame_times,
    keep_indexes,
    offer_indexes,
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


@pytest.fixture
def other_computer(tmp_path: Path) -> Iterator[None]:
    """Be at a computer that has read no film yet."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(FOLDER_VARIABLE, str(tmp_path / "index elsewhere"))
        forget()
        yield
    forget()


def lose(book: Book) -> None:
    """Forget where every film lies on this computer."""
    away = [
        FilmFile(id=one.id, film_id=one.film_id, computer=one.computer, path=f"/nowhere/{number}")
        for number, one in enumerate(book.find(FilmFile))
    ]
    with book.act("the card is gone") as act:
        act.put(*away)


def test_films_are_found_again_after_a_move(
    book: Book, week_films: tuple[Path, Path], tmp_path: Path
) -> None:
    """By what is in them, whatever they are called now, in folders below; broken files aside."""
    films = book.find(StoredFilm)
    lose(book)
    assert paths_of_films(book, [film.id for film in films]) == {}
    with pytest.raises(FilmError, match="not there any more"):
        path_of_film(book, films[0])
    card = tmp_path / "drive" / "season" / "week 3"
    card.mkdir(parents=True)
    (tmp_path / "drive" / "a.mp4").touch()
    for number, path in enumerate(sorted(week_films[0].iterdir())):
        shutil.copy(path, card / f"moved {number}.mp4")
    told: list[float] = []
    drive = tmp_path / "drive"
    assert find_moved_films(book, drive, progress=lambda done, _: told.append(done)) == 4
    assert find_moved_films(book, drive) == 0
    assert len(paths_of_films(book, [film.id for film in films])) == 4
    assert book.count(FilmFile) == 7
    assert told == sorted(told)


def test_a_new_place_is_this_computers_alone(
    book: Book, week_films: tuple[Path, Path], tmp_path: Path
) -> None:
    """Another coach's computer keeps the place it knows."""
    theirs = [
        FilmFile(film_id=one.film_id, computer="press box", path=one.path)
        for one in book.find(FilmFile)
    ]
    lose(book)
    with book.act("their places") as act:
        act.put(*theirs)
    shutil.copytree(week_films[0], tmp_path / "moved")
    assert find_moved_films(book, tmp_path) == 4
    assert book.find(FilmFile, computer="press box") == theirs


def test_looking_for_films_can_be_stopped(book: Book, week_films: tuple[Path, Path]) -> None:
    """Nothing has moved then."""
    lose(book)
    before = book.find(FilmFile)
    cancel = CancelToken()
    cancel.cancel()
    with pytest.raises(Cancelled):
        find_moved_films(book, week_films[0], cancel=cancel)
    assert book.find(FilmFile) == before


def test_a_film_added_elsewhere_opens_without_being_read_again(
    book: Book, other_computer: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The book brings the index, so that no child process need make one."""
    assert other_computer is None
    film = book.get(StoredFilm, angle_of(book, 3).film_id)
    assert packed_index(film.fingerprint) is None
    path = path_of_film(book, film)
    assert packed_index(film.fingerprint) is not None

    def refuse(*_args: object, **_kwargs: object) -> None:
        raise AssertionError("the film was read again")

    monkeypatch.setattr("gradecut.film.indexing.index_child.IndexingChild.index", refuse)
    with open_film(path) as opened:
        assert opened.frame_count == film.frame_count


@pytest.mark.parametrize("fault", ["damaged", "another film's", "nothing"])
def test_a_wrong_index_in_a_book_does_no_harm(book: Book, other_computer: None, fault: str) -> None:
    """It is passed over, and the film is read when it is opened."""
    assert other_computer is None
    film = book.get(StoredFilm, angle_of(book, 3).film_id)
    kept = book.find(FilmIndex, film_id=film.id)[0]
    other = book.find(FilmIndex, film_id=angle_of(book, 2).film_id)[0]
    data = {
        "damaged": kept.data[:60] + b"?" + kept.data[61:],
        "another film's": other.data,
        "nothing": b"",
    }[fault]
    with book.act("damage it") as act:
        act.put(replace(kept, data=data))
    assert offer_indexes(book, [film.id]) == 0
    with open_film(path_of_film(book, film)) as opened:
        assert opened.frame_count == film.frame_count


def test_an_older_books_indexes_are_kept_once_films_were_read(
    book: Book, week_films: tuple[Path, Path]
) -> None:
    """Without an act of anybody's; a second time there is nothing new."""
    assert week_films
    films, kept = book.find(StoredFilm), book.find(FilmIndex)
    assert {one.film_id for one in kept} == {film.id for film in films}
    with book.act("as before there were any") as act:
        act.drop_all(kept)
    before = len(book.history())
    assert keep_indexes(book, [film.id for film in films]) == len(films)
    assert keep_indexes(book, [film.id for film in films]) == 0
    assert len(book.history()) == before
    for film in films:
        assert book.find(FilmIndex, film_id=film.id)[0].data == packed_index(film.fingerprint)


def test_when_a_film_was_filmed_is_kept(book: Book) -> None:
    """In UTC, as its camera or its file says."""
    for film in book.find(StoredFilm):
        assert film.recorded_at.endswith("Z")
        assert film.recorded_at.startswith("20")
