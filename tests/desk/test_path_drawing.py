"""A path is drawn while the film steps, the pointer following him."""

from __future__ import annotations

from fractions import Fraction

import pytest

from gradecut.desk.film_desk import FilmDesk
from gradecut.records import Mark, Rep
from tests.desk.drawn_film import Point, draw, go_to, only_mark
from tests.desk.film_book import press
from tests.desk.small_book import Posted

FIRST, LAST = 30, 50


@pytest.fixture
def drawing(film: FilmDesk, posted: Posted) -> FilmDesk:
    """Have a picture on the stage, 30 frames in, and the pointer on him."""
    go_to(film, posted, FIRST)
    film.marks.pointer = man_at(FIRST)
    return film


def man_at(frame: int) -> Point:
    """Return where the man runs: four pixels a frame to the right, then down as well."""
    gone = frame - FIRST
    return 60.0 + 4 * gone, 60.0 + max(gone - 10, 0) * 5


def follow(film: FilmDesk, posted: Posted, last: int = LAST) -> None:
    """Hold the key until a frame is reached, the pointer on the man on each frame."""
    film.marks.path.begin()
    for frame in range(FIRST + 1, last + 1):
        posted.until(lambda frame=frame: film.playhead.shown == frame - 1)  # type: ignore[misc]
        film.marks.path.step()
        film.marks.path.follow(man_at(frame))
    posted.until(lambda: film.playhead.shown == last)
    film.marks.path.end()


def test_the_path_is_where_he_was_on_each_frame(drawing: FilmDesk, posted: Posted) -> None:
    """It passes within two pixels of every place, turns where he turned, and is his."""
    press(drawing, "2")
    follow(drawing, posted)
    mark = only_mark(drawing)
    assert mark.kind == "path"
    assert mark.meaning == "did"
    assert (mark.points[0], mark.points[-1]) == (man_at(FIRST), man_at(LAST))
    assert man_at(FIRST + 10) in mark.points
    assert len(mark.points) <= 5, "straight runs are two points"
    keel = drawing.book.find(Rep, clip_id=drawing.clip.id, position="Keel")[0]  # type: ignore[union-attr]
    assert mark.rep_id == keel.id


def test_it_is_seen_from_its_first_frame_to_half_a_second_after_its_last(
    drawing: FilmDesk, posted: Posted
) -> None:
    """The way he went stands while it is looked at."""
    follow(drawing, posted)
    mark = only_mark(drawing)
    at = drawing.playhead.frame_at
    assert (at(mark.from_pts), at(mark.to_pts)) == (FIRST, LAST + 15)
    assert drawing.marks.chosen == mark.id


def test_it_is_one_act(drawing: FilmDesk, posted: Posted) -> None:
    """Undo takes the whole path back."""
    follow(drawing, posted)
    drawing.book.undo()
    assert not drawing.book.count(Mark)


def test_a_mark_that_goes_along_is_set_frame_by_frame(drawing: FilmDesk, posted: Posted) -> None:
    """With a bracket chosen that goes along, holding the key sets it on each frame instead."""
    draw(drawing, "bracket", man_at(FIRST))
    press(drawing, "Alt+M")
    drawing.marks.pointer = man_at(FIRST)
    follow(drawing, posted)
    mark = only_mark(drawing)
    assert mark.kind == "bracket"
    assert 2 <= len(mark.keys) <= 6
    for frame in (FIRST, FIRST + 10, FIRST + 15, LAST):
        go_to(drawing, posted, frame)
        assert drawing.marks.seen()[0].points[0] == pytest.approx(man_at(frame), abs=1.5)


def test_it_ends_by_itself_at_the_end_of_the_play(drawing: FilmDesk, posted: Posted) -> None:
    """A key held too long does no harm."""
    go_to(drawing, posted, drawing.playhead.last - 2)
    drawing.marks.path.begin()
    while drawing.marks.path.on:
        posted.until(lambda: drawing.playhead.shown == drawing.playhead.frame)
        x, y = drawing.marks.pointer or (0, 0)
        drawing.marks.path.follow((x + 9, y))
        drawing.marks.path.step()
    assert only_mark(drawing).kind == "path"


def test_a_pointer_that_never_moved_leaves_nothing(
    drawing: FilmDesk, posted: Posted, said: list[str]
) -> None:
    """It says how a path is drawn."""
    drawing.marks.path.begin()
    posted.until(lambda: drawing.playhead.shown == FIRST)
    drawing.marks.path.step()
    posted.until(lambda: drawing.playhead.shown == FIRST + 1)
    drawing.marks.path.end()
    assert not drawing.book.count(Mark)
    assert "follow him with the pointer" in said[-1]
    assert drawing.marks.tool is None


def test_without_the_pointer_on_the_film_it_does_not_begin(
    drawing: FilmDesk, said: list[str]
) -> None:
    """Nothing is drawn by accident from wherever the pointer was last."""
    drawing.marks.pointer = None
    drawing.marks.path.begin()
    assert not drawing.marks.path.on
    assert "Put the pointer on his feet first" in said[-1]


def test_escape_gives_it_up(drawing: FilmDesk, posted: Posted) -> None:
    """Nothing is stored, and no more frames are stepped."""
    drawing.marks.path.begin()
    posted.until(lambda: drawing.playhead.shown == FIRST)
    drawing.marks.path.step()
    drawing.marks.let_go()
    drawing.marks.path.end()
    assert not drawing.book.count(Mark)
    frame = drawing.playhead.frame
    drawing.marks.path.step()
    assert drawing.playhead.frame == frame


def test_keys_move_the_pointer_while_the_film_steps(drawing: FilmDesk, posted: Posted) -> None:
    """The path is drawn without a mouse too: the key held, the arrows following him."""
    drawing.marks.path.begin()
    for frame in range(FIRST + 1, FIRST + 7):
        posted.until(lambda frame=frame: drawing.playhead.shown == frame - 1)  # type: ignore[misc]
        drawing.marks.path.step()
        press(drawing, "Alt+Shift+Right")
    drawing.marks.path.end()
    x, y = man_at(FIRST)
    assert only_mark(drawing).points == ((x, y), (x + 6 * 6, y))


def test_the_film_steps_at_a_quarter_of_its_speed_or_slower(drawing: FilmDesk) -> None:
    """A hand can follow; where the coach has set it slower still, it goes slower."""
    assert drawing.marks.path.step_s == pytest.approx(4 / 30)
    drawing.moving.set_speed(Fraction(1, 10))
    assert drawing.marks.path.step_s == pytest.approx(10 / 30)
