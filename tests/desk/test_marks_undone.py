"""Whatever is done to marks, undo takes back, act by act."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gradecut.book import Book
from gradecut.desk.film_desk import FilmDesk
from gradecut.records import Act, Mark
from tests.desk.drawn_film import drag, draw, go_to
from tests.desk.film_book import press
from tests.desk.small_book import Posted

PLACES = st.tuples(st.integers(20, 300), st.integers(20, 160))
KEYS = (
    "K", "Alt+K", "Alt+M", "Alt+[", "Alt+]", "Alt+J", "Alt+Shift+J", "Alt+Shift+Right", "Alt+Up",
    "Ctrl+C", "Ctrl+V", "Del",
)  # fmt: skip
TOOLS = ("bracket", "ring", "arrow", "path", "lane", "box", "text", "ruler")
DRAWN = st.tuples(st.just("draw"), st.sampled_from(TOOLS), PLACES, PLACES)
DRAGGED = st.tuples(st.just("drag"), st.just(""), PLACES, PLACES)
PRESSED = st.tuples(st.just("press"), st.sampled_from(KEYS), PLACES, PLACES)
GONE_TO = st.tuples(st.just("go"), st.sampled_from(("20", "30", "40")), PLACES, PLACES)
Deed = tuple[str, str, tuple[int, int], tuple[int, int]]


def do(film: FilmDesk, posted: Posted, deed: Deed) -> None:
    """Do one thing a coach may do while he draws."""
    what, which, start, stop = deed
    if what == "go":
        go_to(film, posted, int(which))
    elif what == "press":
        press(film, which)
        film.marks.pointing.settle()
    elif what == "drag":
        drag(film, start, stop)
    elif abs(stop[0] - start[0]) + abs(stop[1] - start[1]) > 20:
        draw(film, which, start, stop)  # type: ignore[arg-type]


def drawn_in(book: Book) -> list[Mark]:
    """Return all marks as they are stored, in one order."""
    return sorted(book.find(Mark), key=lambda mark: mark.id)


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.lists(st.one_of(DRAWN, DRAGGED, PRESSED, PRESSED, GONE_TO), max_size=14))
def test_undo_of_any_sequence_takes_back_act_by_act(
    film: FilmDesk, posted: Posted, deeds: list[Deed]
) -> None:
    """Every deed is one act or none; undone one after the other, each state comes back."""
    book = film.book
    go_to(film, posted, 30)
    draw(film, "arrow", (60, 90), (160, 120))
    before: list[list[Mark]] = []
    for deed in deeds:
        stood, acts = drawn_in(book), book.count(Act)
        do(film, posted, deed)
        made = book.count(Act) - acts
        assert made <= 1
        if made:
            before.append(stood)
        else:
            assert drawn_in(book) == stood
    for stood in reversed(before):
        book.undo()
        assert drawn_in(book) == stood
    film.marks.let_go()
    book.undo()
    assert drawn_in(book) == []


def test_redo_brings_the_mark_back(film: FilmDesk, posted: Posted) -> None:
    """Taken back once too often it is drawn again by one key, with all it had."""
    go_to(film, posted, 30)
    draw(film, "bracket", (60, 90))
    press(film, "Alt+M", "Alt+K")
    (mark,) = film.book.find(Mark)
    film.book.undo()
    film.book.redo()
    assert film.book.find(Mark) == [mark]


def test_undo_of_a_dragged_mark_is_seen_at_once(film: FilmDesk, posted: Posted) -> None:
    """The film shows what stands in the book, not what the hand did last."""
    go_to(film, posted, 30)
    draw(film, "ring", (60, 90))
    drag(film, (60, 90), (120, 100))
    film.book.undo()
    assert film.marks.seen()[0].points == ((60, 90),)
    film.book.undo()
    assert not film.marks.seen()
    assert film.marks.chosen == ""
