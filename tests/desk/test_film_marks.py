from __future__ import annotations

from collections.abc import Iterator

import pytest

from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.film_marks import TOOLS
from gradecut.drawing import ON_FILM
from gradecut.records import Mark, Rep
from tests.desk.film_book import press
from tests.desk.small_book import Posted


@pytest.fixture
def drawing(film: FilmDesk, posted: Posted) -> Iterator[FilmDesk]:
    """Have a picture on the stage, 30 frames in."""
    film.playhead.seek(30)
    posted.until(lambda: film.playhead.shown == 30)
    return film


def draw(film: FilmDesk, tool: str, start: tuple[float, float], stop: tuple[float, float]) -> Mark:
    """Draw with a tool from one place to another."""
    before = {mark.id for mark in film.book.find(Mark)}
    film.marks.take(tool)  # type: ignore[arg-type]
    film.marks.press(start)
    film.marks.drag(((start[0] + stop[0]) / 2, (start[1] + stop[1]) / 2))
    film.marks.lift(stop)
    if tool == "text":
        film.marks.write("here")
    return next(mark for mark in film.book.find(Mark) if mark.id not in before)


@pytest.mark.parametrize("tool", TOOLS)
def test_every_tool_leaves_its_mark(drawing: FilmDesk, tool: str) -> None:
    """What was drawn is stored at once, chosen, and painted on this frame."""
    mark = draw(drawing, tool, (60, 90), (160, 120))
    assert mark.kind == tool
    assert drawing.marks.chosen == mark.id
    assert drawing.marks.tool is None
    assert drawing.marks.shapes()
    assert tool in drawing.marks.words()


def test_a_mark_lasts_half_a_second_either_way(drawing: FilmDesk, posted: Posted) -> None:
    """It is seen from 15 frames before to 15 after at 30 frames a second, and no longer."""
    draw(drawing, "ring", (60, 90), (60, 90))
    seen = []
    for frame in (14, 15, 30, 45, 46):
        drawing.playhead.seek(frame)
        posted.until(lambda frame=frame: drawing.playhead.shown == frame)  # type: ignore[misc]
        seen.append(bool(drawing.marks.seen()))
    assert seen == [False, True, True, True, False]


def test_only_the_chosen_mans_marks_are_seen(drawing: FilmDesk) -> None:
    """With three men marked at the snap, the stage stays quiet: his marks, and nobody's."""
    drawing.hand.choose("Keel")
    his = draw(drawing, "bracket", (60, 90), (60, 90))
    lane = draw(drawing, "lane", (200, 90), (240, 120))
    drawing.hand.choose("Bow")
    assert [mark.id for mark in drawing.marks.seen()] == [lane.id]
    drawing.hand.choose("Keel")
    assert {mark.id for mark in drawing.marks.seen()} == {his.id, lane.id}


def test_brackets_rings_and_arrows_belong_to_the_man_in_hand(drawing: FilmDesk) -> None:
    """A bracket says who; his name stands on it. A lane belongs to nobody."""
    press(drawing, "2")
    rep = drawing.book.find(Rep, clip_id=drawing.clip.id, position="Keel")[0]  # type: ignore[union-attr]
    assert draw(drawing, "bracket", (60, 90), (60, 90)).rep_id == rep.id
    assert "bracket Keel 44" in drawing.marks.words()
    assert draw(drawing, "lane", (60, 90), (160, 90)).rep_id is None


def test_meaning_follows_the_tool_and_can_be_turned(drawing: FilmDesk) -> None:
    """A ring is what he owed, an arrow what he did; K says otherwise, also afterwards."""
    assert draw(drawing, "ring", (60, 90), (60, 90)).meaning == "owed"
    assert draw(drawing, "arrow", (60, 90), (160, 90)).meaning == "did"
    press(drawing, "K")
    assert drawing.book.find(Mark)[-1].meaning == "plain"
    drawing.marks.take("bracket")
    press(drawing, "K")
    drawing.marks.press((90, 150))
    drawing.marks.lift((90, 150))
    assert drawing.book.find(Mark)[-1].meaning == "owed"


def test_a_mark_is_chosen_moved_and_taken_away(drawing: FilmDesk, said: list[str]) -> None:
    """A touch near it chooses it, a drag moves it, Del takes it away, undo brings it back."""
    mark = draw(drawing, "arrow", (60, 90), (160, 120))
    drawing.marks.let_go()
    drawing.marks.press((110, 106))
    assert drawing.marks.chosen == mark.id
    drawing.marks.drag((130, 116))
    drawing.marks.lift((130, 116))
    moved = drawing.book.get(Mark, mark.id)
    assert moved.points == ((80, 100), (180, 130))
    press(drawing, "Del")
    assert not drawing.book.count(Mark)
    drawing.book.undo()
    assert [one.id for one in drawing.marks.seen()] == [mark.id]
    press(drawing, "Del")
    assert "Touch a mark" in said[-1]


def test_a_touch_far_from_everything_chooses_nothing(drawing: FilmDesk) -> None:
    """The film can then be panned."""
    draw(drawing, "ring", (60, 90), (60, 90))
    drawing.marks.press((300, 20))
    drawing.marks.lift((300, 20))
    assert drawing.marks.chosen == ""


def test_a_line_without_length_is_refused(drawing: FilmDesk, said: list[str]) -> None:
    """A touch with the arrow draws nothing and says how it is drawn."""
    drawing.marks.take("arrow")
    drawing.marks.press((60, 90))
    drawing.marks.lift((62, 90))
    assert not drawing.book.count(Mark)
    assert "from one place to another" in said[-1]


def test_no_words_leave_no_mark(drawing: FilmDesk) -> None:
    """A text mark given up is not there."""
    drawing.marks.take("text")
    drawing.marks.press((60, 90))
    drawing.marks.write("   ")
    assert not drawing.book.count(Mark)


def test_taking_a_tool_stops_the_film(drawing: FilmDesk) -> None:
    """What is to be drawn on must not run away."""
    drawing.playhead.play()
    drawing.marks.take("ring")
    assert not drawing.playhead.playing


def test_the_arrow_of_a_right_fit_is_not_painted_as_a_miss(drawing: FilmDesk) -> None:
    """Graded right his arrow stands in the hue of right; missed it is orange again."""
    drawing.hand.choose("Keel")
    draw(drawing, "arrow", (60, 90), (160, 90))
    press(drawing, "R")
    assert ON_FILM.right in {shape.colour for shape in drawing.marks.shapes()}
    press(drawing, "2", "1")
    hues = {shape.colour for shape in drawing.marks.shapes()}
    assert ON_FILM.did in hues
    assert ON_FILM.right not in hues
