"""All that is drawn and moved by hand is drawn and moved by keys alone."""

from __future__ import annotations

import pytest

from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.film_marks import TOOLS
from gradecut.records import Grade, Mark, MarkKind
from tests.desk.drawn_film import Point, draw, go_to, only_mark
from tests.desk.film_book import press
from tests.desk.small_book import Posted

MIDDLE: Point = (160, 90)
"""Of films 320 by 180; there a key goes half a pixel at a time, with Shift six."""


@pytest.fixture
def drawing(film: FilmDesk, posted: Posted) -> FilmDesk:
    """Have a picture on the stage, 30 frames in."""
    go_to(film, posted, 30)
    return film


def take(film: FilmDesk, tool: MarkKind) -> None:
    """Take a tool by its number in the list."""
    press(film, "M", str(TOOLS.index(tool) + 1))


@pytest.mark.parametrize("tool", [tool for tool in TOOLS if tool != "text"])
def test_every_tool_draws_by_keys(drawing: FilmDesk, tool: MarkKind) -> None:
    """Tool, point, Enter; what has a length needs a second point; a path ends on a double one."""
    take(drawing, tool)
    press(drawing, "Alt+Shift+Left", "Return")
    if tool not in ("bracket", "ring"):
        press(drawing, "Alt+Shift+Right", "Alt+Shift+Right", "Alt+Shift+Down", "Return")
    if tool == "path":
        press(drawing, "Alt+Shift+Down", "Return", "Return")
    mark = only_mark(drawing)
    assert mark.kind == tool
    assert drawing.marks.chosen == mark.id
    assert drawing.marks.tool is None
    first = (MIDDLE[0] - 6, MIDDLE[1])
    if tool in ("bracket", "ring", "arrow", "path", "box", "ruler"):
        assert mark.points[0] == first
    if tool in ("arrow", "box", "ruler"):
        assert mark.points[1] == (first[0] + 12, first[1] + 6)
    assert not drawing.book.count(Grade), "Enter passed no play meanwhile"


def test_words_are_asked_for_where_the_point_is(drawing: FilmDesk) -> None:
    """Enter with the text tool asks for the words at the point."""
    asked: list[Point] = []
    drawing.marks.text_wanted.connect(asked.append)
    take(drawing, "text")
    press(drawing, "Alt+Up", "Return")
    assert asked == [(MIDDLE[0], MIDDLE[1] - 0.5)]
    drawing.marks.write("fold")
    assert only_mark(drawing).text == "fold"


def test_the_point_begins_at_the_man_in_hand(drawing: FilmDesk) -> None:
    """An arrow for a man whose bracket stands begins at his feet."""
    press(drawing, "2")
    draw(drawing, "bracket", (60, 120))
    take(drawing, "arrow")
    press(drawing, "Return", *["Alt+Shift+Right"] * 2, "Alt+Left", "Return")
    arrow = next(mark for mark in drawing.book.find(Mark) if mark.kind == "arrow")
    assert arrow.points == ((60, 120), (71.5, 120))


def test_enter_passes_the_play_again_once_the_mark_is_drawn(drawing: FilmDesk) -> None:
    """With no tool in hand Enter means what it means everywhere."""
    take(drawing, "ring")
    press(drawing, "Return")
    assert drawing.marks.tool is None
    assert not drawing.marks.pointing.set_point()


def test_the_point_never_leaves_the_film(drawing: FilmDesk) -> None:
    """Held at the edge it stays at the edge."""
    take(drawing, "ring")
    press(drawing, *["Alt+Shift+Left"] * 30, *["Alt+Shift+Up"] * 30, "Return")
    assert only_mark(drawing).points == ((0, 0),)


def test_escape_gives_up_what_was_begun(drawing: FilmDesk) -> None:
    """Half an arrow leaves nothing behind."""
    take(drawing, "arrow")
    press(drawing, "Alt+Right", "Return", "Alt+Shift+Right")
    assert drawing.marks.drawn()
    assert drawing.marks.let_go()
    assert not drawing.book.count(Mark)
    assert drawing.marks.pointing.at is None
    assert not drawing.marks.drawn()


def test_it_is_told_where_the_point_is(drawing: FilmDesk, said: list[str]) -> None:
    """Who can't see the cross hears how far across and down it is, and what Enter does."""
    take(drawing, "arrow")
    press(drawing, "Alt+Right")
    assert "Alt and arrows move the point" in said[-1]
    assert "Arrow at 50 % across, 50 % down: Enter sets it" in drawing.marks.words()


def test_the_chosen_mark_is_moved_by_keys_as_one_act(drawing: FilmDesk) -> None:
    """While keys are held it is seen moving; let go it is stored once, and undone at once."""
    draw(drawing, "ring", (60, 90))
    press(drawing, "Alt+Right", "Alt+Right", "Alt+Shift+Down")
    assert drawing.marks.seen()[0].points == ((61, 96),)
    assert only_mark(drawing).points == ((60, 90),)
    drawing.marks.pointing.settle()
    assert only_mark(drawing).points == ((61, 96),)
    drawing.book.undo()
    assert only_mark(drawing).points == ((60, 90),)


def test_one_point_is_moved_by_keys(drawing: FilmDesk) -> None:
    """Alt+Shift+J takes the arrow's end in hand; the other end stays."""
    draw(drawing, "arrow", (60, 90), (160, 90))
    press(drawing, "Alt+Shift+J", "Alt+Shift+J", "Alt+Shift+Up")
    drawing.marks.pointing.settle()
    assert only_mark(drawing).points == ((60, 90), (160, 84))


def test_a_mark_that_goes_along_is_set_by_keys(drawing: FilmDesk, posted: Posted) -> None:
    """Goes along, frames on, moved by keys: the same as dragged there."""
    draw(drawing, "bracket", (60, 90))
    press(drawing, "Alt+M")
    go_to(drawing, posted, 40)
    press(drawing, "Alt+Shift+Right")
    drawing.marks.pointing.settle()
    assert [key.by for key in only_mark(drawing).keys] == [(0, 0), (6, 0)]


def test_going_to_another_play_stores_what_was_moved(drawing: FilmDesk) -> None:
    """Nothing that was done is lost because the next play was asked for."""
    draw(drawing, "ring", (60, 90))
    press(drawing, "Alt+Right", "PgDown")
    assert only_mark(drawing).points == ((60.5, 90),)


def test_without_tool_and_mark_a_sentence_says_what_to_take(
    drawing: FilmDesk, said: list[str]
) -> None:
    """Alt and an arrow alone move nothing."""
    press(drawing, "Alt+Left")
    assert "Take a tool (M) or choose a mark (Alt+J)" in said[-1]
