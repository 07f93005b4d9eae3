from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from gradecut.book import Book, open_book
from gradecut.desk import Desk
from gradecut.desk.saying import Refusal
from gradecut.records import Clip, FilmFile, FilmIndex, Flag
from gradecut.workflows.booking import new_book
from tests.desk.small_book import Posted


def test_undo_takes_back_and_says_what(desk: Desk, said: list[str]) -> None:
    """The hint names what undo would take back; after it, redo does it again."""
    hint = desk.undo_hint()
    assert hint
    desk.undo()
    assert hint in said[-1]
    assert desk.undo_hint() != hint
    desk.redo()
    assert hint in said[-1]


def test_the_start_of_a_book_is_not_taken_back(tmp_path: Path, posted: Posted) -> None:
    """A fresh book offers nothing to take back, since without its start it is no book."""
    fresh = new_book(tmp_path / "fresh.gradecut", name="Fresh", author="Coach Alder")
    desk = Desk(fresh, post=posted)
    told: list[str] = []
    desk.said.connect(told.append)
    assert desk.undo_hint() == ""
    desk.undo()
    assert isinstance(told[-1], Refusal)
    assert desk.name == "Fresh"
    desk.close()


def test_a_change_is_told_in_the_windows_thread(desk: Desk, posted: Posted) -> None:
    """A commit announces the tables it changed, through post."""
    seen: list[frozenset[str]] = []
    desk.book_changed.connect(seen.append)
    clip = desk.book.find(Clip)[0]
    with desk.book.act("drop a play's note") as act:
        act.put(Clip(id=clip.id, session_id=clip.session_id, order=clip.order, note="again"))
    assert seen == []
    posted.until(lambda: bool(seen))
    assert seen == [frozenset({"clips"})]


def test_the_desk_knows_book_and_grader(desk: Desk) -> None:
    """Header words come from the book."""
    assert (desk.name, desk.author) == ("Small Herons", "Coach Alder")


def test_films_of_an_older_book_keep_their_indexes(film_book: Book, posted: Posted) -> None:
    """A book from before gets what its films say of their frames; nothing is there to undo."""
    indexes = film_book.find(FilmIndex)
    with film_book.act("be an older book") as act:
        for index in indexes:
            act.drop(FilmIndex, index.id)
    desk = Desk(film_book, post=posted)
    seen: list[frozenset[str]] = []
    desk.book_changed.connect(seen.append)
    hint = desk.undo_hint()
    desk.keep_indexes()
    posted.until(lambda: not desk.jobs.busy)
    assert {one.film_id for one in film_book.find(FilmIndex)} == {one.film_id for one in indexes}
    assert desk.undo_hint() == hint
    assert seen == []
    desk.close()


def test_moved_films_are_looked_for_beside_the_window(
    film_book: Book, posted: Posted, numbered_films: Path
) -> None:
    """Looking through a folder is a job that tells how far it is; what it found is said."""
    with film_book.act("lose the films") as act:
        act.put(*[replace(one, path="/nowhere/film.mp4") for one in film_book.find(FilmFile)])
    desk = Desk(film_book, post=posted)
    told: list[str] = []
    desk.said.connect(told.append)
    desk.find_moved(str(numbered_films / "end"))
    assert desk.jobs.busy
    posted.until(lambda: bool(told))
    assert told == ["3 films of this book were found there."]
    desk.find_moved(str(numbered_films / "end"))
    posted.until(lambda: len(told) == 2)
    assert "No film that this book misses" in told[-1]
    desk.close()


def test_what_another_window_stored_is_shown(desk: Desk, book: Book, posted: Posted) -> None:
    """The same book open twice: the other's flag stands here too, and undo tells of it."""
    clip = desk.film.clip
    assert clip is not None
    told: list[str] = []
    desk.undo_changed.connect(lambda: told.append(desk.undo_hint()))
    with open_book(book.path, author=book.author) as other:
        other.computer = book.computer
        with other.act("flag the play") as act:
            act.put(Flag(clip_id=clip.id, author=other.author))

    def seen() -> bool:
        # While something is read beside the window, it is left for the next look.
        desk.look_around()
        return desk.film.state is not None and desk.film.state.flagged

    posted.until(seen)
    assert told == ["flag the play"]
