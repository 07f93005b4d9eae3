"""A play no work rests on goes out of the book whole, and comes back whole."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.records import (
    Act,
    Angle,
    Clip,
    FilmFile,
    Mark,
    Moment,
    Piece,
    Player,
    Reel,
    Rep,
    StoredFilm,
)
from gradecut.workflows.adding import add_film
from gradecut.workflows.counting import toggle_flag
from gradecut.workflows.dropping import drop_play
from gradecut.workflows.judging import judge
from gradecut.workflows.line_ups import put_in
from gradecut.workflows.marking import add_mark
from gradecut.workflows.moments import mark_moment
from tests.workflows.small_week import (
    SESSION,
    angle_of,
    clip_of,
    pts_of,
    rep_of,
    stored,
)


def contents(book: Book) -> dict[str, int]:
    """Count everything in a book but what was done to it."""
    return {kind: n for kind, n in stored(book).items() if kind not in ("Act", "Change")}


def test_a_play_goes_with_all_that_belongs_to_it_and_comes_back(book: Book) -> None:
    """Angles, facts and scripted men too, as one act; its films stay known and where they were."""
    before, acts = contents(book), book.count(Act)
    films = [Path(one.path) for one in book.find(FilmFile)]
    drop_play(book, clip_of(book, 3))
    assert [clip.order for clip in book.find(Clip)] == [1, 2, 4]
    there = {clip.id for clip in book.find(Clip)}
    assert {angle.clip_id for angle in book.find(Angle)} == there
    assert {rep.clip_id for rep in book.find(Rep)} == there
    assert book.count(StoredFilm) == before["StoredFilm"]
    assert all(film.is_file() for film in films)
    assert book.count(Act) == acts + 1
    book.undo()
    assert contents(book) == before


def test_a_guessed_moment_is_no_work(book: Book) -> None:
    """What the machine found is found again."""
    angle = angle_of(book, 3)
    with book.act("guess") as act:
        pts = pts_of(book, angle, 20)
        act.put(Moment(angle_id=angle.id, kind="snap", pts=pts, source="estimated"))
    drop_play(book, clip_of(book, 3))
    assert book.count(Moment) == 0


def grade_keel(book: Book) -> None:
    """Judge a man."""
    judge(book, rep_of(book, 3, "Keel"))


def draw(book: Book) -> None:
    """Draw on the film."""
    angle = angle_of(book, 3)
    points, first = ((10.0, 10.0), (60.0, 40.0)), pts_of(book, angle, 1)
    add_mark(
        book, Mark(angle_id=angle.id, kind="arrow", points=points, from_pts=first, to_pts=first)
    )


def mark_snap(book: Book) -> None:
    """Mark the snap."""
    angle = angle_of(book, 3)
    mark_moment(book, angle, "snap", pts_of(book, angle, 20))


def flag(book: Book) -> None:
    """Keep the play for tomorrow."""
    toggle_flag(book, clip_of(book, 3))


def swap(book: Book) -> None:
    """Put another man in by hand."""
    free = {man.id for man in book.find(Player)} - {
        rep.player_id for rep in book.find(Rep, clip_id=clip_of(book, 3).id)
    }
    put_in(book, clip_of(book, 3), "Keel", book.get(Player, min(free)))


@pytest.mark.parametrize(
    ("work", "told"),
    [
        (grade_keel, "1 rep and 1 grade"),
        (draw, "1 drawing"),
        (mark_snap, "1 moment"),
        (flag, "1 flag"),
        (swap, "1 rep"),
    ],
)
def test_work_that_rests_on_it_is_named_and_stays(
    book: Book, work: Callable[[Book], None], told: str
) -> None:
    """Nothing is lost: the play stays, with one sentence why."""
    work(book)
    before = stored(book)
    with pytest.raises(BookError) as refused:
        drop_play(book, clip_of(book, 3))
    assert str(refused.value).endswith(
        f"Play 3 of Tuesday can't be dropped, as work rests on it: {told}. Take that back first, "
        "or say that it was no play."
    )
    assert stored(book) == before


def test_a_reel_is_named(book: Book) -> None:
    """By its name; the other play it is not made of can go."""
    mark_snap(book)
    reel = Reel(name="Zone")
    clip, angle = clip_of(book, 3), angle_of(book, 3)
    with book.act("build a reel") as act:
        act.put(reel, Piece(reel_id=reel.id, order=1, clip_id=clip.id, angle_id=angle.id))
    with pytest.raises(BookError, match="1 moment and the reel “Zone”"):
        drop_play(book, clip)
    drop_play(book, clip_of(book, 2))
    assert [one.order for one in book.find(Clip)] == [1, 3, 4]


def test_its_film_can_be_added_again(book: Book, week_films: tuple[Path, Path]) -> None:
    """It is in the book no more, so it makes a play: between the others, where it was."""
    drop_play(book, clip_of(book, 3))
    added = add_film(book, [week_films[0]], session=SESSION)
    assert (added.clips, added.angles) == (1, 1)
    assert sorted(clip.order for clip in book.find(Clip)) == [1, 2, 3, 4]
