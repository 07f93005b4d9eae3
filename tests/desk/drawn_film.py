"""Drawing on the film of a desk, as a hand does."""

from __future__ import annotations

from gradecut.desk.film_desk import FilmDesk
from gradecut.records import Mark, MarkKind
from tests.desk.small_book import Posted

Point = tuple[float, float]


def go_to(film: FilmDesk, posted: Posted, frame: int) -> None:
    """Show a frame, its true picture on the stage."""
    film.playhead.seek(frame)
    posted.until(lambda: film.playhead.shown == frame and not film.playhead.rough)


def draw(film: FilmDesk, tool: MarkKind, *way: Point, text: str = "here") -> Mark:
    """Draw with a tool along a way."""
    before = {mark.id for mark in film.book.find(Mark)}
    film.marks.take(tool)
    film.marks.press(way[0])
    for at in way[1:]:
        film.marks.drag(at)
    film.marks.lift(way[-1])
    if tool == "text":
        film.marks.write(text)
    return next(mark for mark in film.book.find(Mark) if mark.id not in before)


def drag(film: FilmDesk, start: Point, stop: Point) -> None:
    """Take hold at one place and let go at another."""
    film.marks.press(start, reach_px=8)
    film.marks.drag(((start[0] + stop[0]) / 2, (start[1] + stop[1]) / 2))
    film.marks.lift(stop)


def only_mark(film: FilmDesk) -> Mark:
    """Return the one mark of the book."""
    (mark,) = film.book.find(Mark)
    return mark
