"""The chosen mark is coloured, given its frames, set by hand, copied and chosen by keys."""

from __future__ import annotations

import pytest

from gradecut.desk.film_desk import FilmDesk
from gradecut.drawing import MARK_COLOURS
from gradecut.records import Mark
from tests.desk.drawn_film import Point, drag, draw, go_to, only_mark
from tests.desk.film_book import press
from tests.desk.small_book import Posted

A: Point = (60, 90)
B: Point = (160, 120)


@pytest.fixture
def drawing(film: FilmDesk, posted: Posted) -> FilmDesk:
    """Have a picture on the stage, 30 frames in."""
    go_to(film, posted, 30)
    return film


def shown_at(film: FilmDesk, posted: Posted, frame: int) -> Point | None:
    """Return where the first mark seen on a frame is; None for none."""
    go_to(film, posted, frame)
    seen = film.marks.seen()
    return seen[0].points[0] if seen else None


# ---------------------------------------------------------------------- colour


def test_a_colour_is_turned_through_the_safe_set_and_back(drawing: FilmDesk) -> None:
    """Each safe colour by its name, then the hue of what it means again; each is one act."""
    draw(drawing, "arrow", A, B)
    found = []
    for _ in range(len(MARK_COLOURS) + 1):
        press(drawing, "Alt+K")
        found.append(only_mark(drawing).colour)
    assert found == [*MARK_COLOURS, ""]
    drawing.book.undo()
    assert only_mark(drawing).colour == list(MARK_COLOURS)[-1]


def test_a_colour_taken_before_drawing_is_the_next_marks_only(drawing: FilmDesk) -> None:
    """A coach who wants one yellow path does not draw yellow for the rest of the evening."""
    drawing.marks.take("path")
    press(drawing, "Alt+K")
    drawing.marks.press(A)
    drawing.marks.drag((100, 140))
    drawing.marks.lift(B)
    assert only_mark(drawing).colour == "yellow"
    assert "yellow path" in drawing.marks.words()
    assert MARK_COLOURS["yellow"] in {shape.colour for shape in drawing.marks.shapes()}
    assert draw(drawing, "ring", (200, 60)).colour == ""


def test_without_a_mark_or_tool_a_sentence_says_so(drawing: FilmDesk, said: list[str]) -> None:
    """Nothing happens silently."""
    for key in ("Alt+K", "Alt+M", "Alt+[", "Alt+]", "Alt+V", "Ctrl+C"):
        said.clear()
        press(drawing, key)
        assert "Choose a mark first" in said[-1]
    press(drawing, "Ctrl+V")
    assert "No copy of a mark is taken" in said[-1]


# ---------------------------------------------------------------------- first and last frame


def test_its_first_and_last_frame_are_set_by_keys(drawing: FilmDesk, posted: Posted) -> None:
    """It is seen from the one to the other, both in it, and not a frame more."""
    draw(drawing, "ring", A)
    go_to(drawing, posted, 24)
    press(drawing, "Alt+[")
    go_to(drawing, posted, 50)
    press(drawing, "Alt+]")
    drawing.marks.let_go()
    seen = [shown_at(drawing, posted, frame) is not None for frame in (23, 24, 50, 51)]
    assert seen == [False, True, True, False]
    (stretch,) = drawing.ticks().drawn  # type: ignore[union-attr]
    assert (stretch.first, stretch.last) == (24, 50)


def test_a_first_frame_after_the_last_leaves_that_frame_alone(
    drawing: FilmDesk, posted: Posted
) -> None:
    """It is then seen on one frame; never is its end before its beginning."""
    draw(drawing, "ring", A)
    go_to(drawing, posted, 60)
    press(drawing, "Alt+[")
    mark = only_mark(drawing)
    assert mark.from_pts == mark.to_pts
    go_to(drawing, posted, 10)
    press(drawing, "Alt+]")
    assert only_mark(drawing).to_pts == drawing.marks.pts
    assert only_mark(drawing).from_pts == drawing.marks.pts


def test_the_chosen_mark_is_hinted_at_where_it_is_not_seen(
    drawing: FilmDesk, posted: Posted
) -> None:
    """Faint, so that its last frame can be moved there; with nothing chosen the film is bare."""
    draw(drawing, "ring", A)
    full = drawing.marks.shapes()
    go_to(drawing, posted, 60)
    faint = drawing.marks.shapes()
    assert not drawing.marks.seen()
    assert [shape.colour[3] < 128 for shape in faint] == [True] * len(full)
    drawing.marks.let_go()
    assert drawing.marks.shapes() == ()


# ---------------------------------------------------------------------- going along


def test_a_mark_set_by_hand_at_two_frames_goes_from_one_to_the_other(
    drawing: FilmDesk, posted: Posted
) -> None:
    """At its keys it is where it was put, halfway it is between, outside it stands."""
    draw(drawing, "bracket", A)
    press(drawing, "Alt+M")
    go_to(drawing, posted, 40)
    drag(drawing, A, (100, 110))
    assert len(only_mark(drawing).keys) == 2
    assert shown_at(drawing, posted, 30) == pytest.approx(A)
    assert shown_at(drawing, posted, 40) == pytest.approx((100, 110))
    assert shown_at(drawing, posted, 35) == pytest.approx((80, 100))
    assert shown_at(drawing, posted, 20) == pytest.approx(A)
    assert shown_at(drawing, posted, 44) == pytest.approx((100, 110))
    (stretch,) = drawing.ticks().drawn  # type: ignore[union-attr]
    assert stretch.keys == (30, 40)
    assert "set by hand at" in drawing.ticks().words  # type: ignore[union-attr]


def test_moving_it_beyond_its_last_frame_lets_it_be_seen_there(
    drawing: FilmDesk, posted: Posted
) -> None:
    """He is followed step by step without a thought for its frames."""
    draw(drawing, "bracket", A)
    press(drawing, "Alt+M")
    go_to(drawing, posted, 60)
    drag(drawing, A, (120, 90))
    assert shown_at(drawing, posted, 60) == pytest.approx((120, 90))
    drawing.marks.let_go()
    assert shown_at(drawing, posted, 61) is None


def test_a_key_is_taken_away_and_the_last_leaves_it_standing(
    drawing: FilmDesk, posted: Posted, said: list[str]
) -> None:
    """The same key on the same frame takes back what was set there."""
    draw(drawing, "bracket", A)
    press(drawing, "Alt+M")
    go_to(drawing, posted, 40)
    drag(drawing, A, (100, 110))
    press(drawing, "Alt+M")
    assert len(only_mark(drawing).keys) == 1
    go_to(drawing, posted, 30)
    press(drawing, "Alt+M")
    assert only_mark(drawing).keys == ()
    assert only_mark(drawing).points == (A,)
    assert "stands still" in said[-1]


def test_its_shape_is_the_same_on_all_frames(drawing: FilmDesk, posted: Posted) -> None:
    """A point moved on one frame is moved on all, each where the mark has gone."""
    draw(drawing, "arrow", A, B)
    press(drawing, "Alt+M")
    go_to(drawing, posted, 40)
    drag(drawing, (110, 105), (120, 105))
    drag(drawing, (B[0] + 10, B[1]), (B[0] + 10, B[1] + 30))
    assert drawing.marks.handle == 1
    go_to(drawing, posted, 30)
    assert drawing.marks.seen()[0].points == (A, (B[0], B[1] + 30))


def test_a_ring_is_made_larger_by_its_edge_and_moved_by_its_middle(drawing: FilmDesk) -> None:
    """On a wide shot the usual ring holds two men; each change is one act, taken back by undo."""
    draw(drawing, "ring", A)
    ((edge, _),) = drawing.marks.chosen_points()
    drag(drawing, (edge, A[1]), (A[0] + 50, A[1] + 3))
    assert only_mark(drawing).points == (A, (A[0] + 50, A[1]))
    assert drawing.marks.chosen_points() == ((A[0] + 50, A[1]),)
    drag(drawing, A, B)
    assert only_mark(drawing).points == (B, (B[0] + 50, B[1]))
    drawing.book.undo()
    drawing.book.undo()
    assert only_mark(drawing).points == (A,)


def test_the_second_angle_shows_its_own_marks_where_they_are(
    drawing: FilmDesk, posted: Posted
) -> None:
    """Beside the stage a mark that goes along is painted where it is at that frame too."""
    draw(drawing, "bracket", A)
    press(drawing, "Alt+M")
    go_to(drawing, posted, 40)
    drag(drawing, A, (100, 110))
    place = drawing.playhead.place
    frames = [drawing.marks.shapes_beside(place, frame) for frame in (30, 40)]  # type: ignore[arg-type]
    drawing.marks.let_go()
    for frame, beside in zip((30, 40), frames, strict=True):
        go_to(drawing, posted, frame)
        assert drawing.marks.shapes() == beside
    assert frames[0] != frames[1]


# ---------------------------------------------------------------------- choosing


def test_marks_are_chosen_one_after_the_other(drawing: FilmDesk) -> None:
    """Alt+J goes round those of this frame, in the order they were drawn."""
    drawn = [draw(drawing, "ring", (60 + 60 * at, 90)).id for at in range(3)]
    drawing.marks.let_go()
    found = []
    for _ in range(4):
        press(drawing, "Alt+J")
        found.append(drawing.marks.chosen)
    assert found == [*drawn, drawn[0]]


def test_with_none_on_this_frame_the_nearest_is_shown(
    drawing: FilmDesk, posted: Posted, said: list[str]
) -> None:
    """The film goes to it, so that it is seen; where nothing is drawn a sentence says so."""
    press(drawing, "Alt+J")
    assert "Nothing is drawn" in said[-1]
    mark = draw(drawing, "ring", A)
    drawing.marks.let_go()
    go_to(drawing, posted, 80)
    press(drawing, "Alt+J")
    posted.until(lambda: drawing.playhead.shown == 45)
    assert drawing.marks.chosen == mark.id
    assert drawing.marks.seen()


def test_points_are_chosen_one_after_the_other(drawing: FilmDesk) -> None:
    """Both ends of an arrow, then all of it; the description says which."""
    draw(drawing, "arrow", A, B)
    found = []
    for _ in range(3):
        press(drawing, "Alt+Shift+J")
        found.append(drawing.marks.handle)
        if drawing.marks.handle == 0:
            assert "its point 1 of 2" in drawing.marks.words()
    assert found == [0, 1, None]


# ---------------------------------------------------------------------- words and copies


def test_words_are_written_on_any_mark(drawing: FilmDesk) -> None:
    """Asked for where it stands, with what is written there; none takes them off again."""
    asked: list[Point] = []
    drawing.marks.text_wanted.connect(asked.append)
    draw(drawing, "box", A, B)
    press(drawing, "Alt+Return")
    assert asked == [A]
    assert drawing.marks.words_there == ""
    drawing.marks.write("  gap opens ")
    drawing.marks.end_words()
    assert only_mark(drawing).text == "gap opens"
    press(drawing, "Alt+Return")
    assert drawing.marks.words_there == "gap opens"
    drawing.marks.write("")
    assert only_mark(drawing).text == ""


def test_words_alone_are_not_emptied(drawing: FilmDesk) -> None:
    """A text mark without words would be there and not be seen: Del takes it away."""
    draw(drawing, "text", A)
    press(drawing, "Alt+Return")
    drawing.marks.write(" ")
    assert only_mark(drawing).text == "here"


def test_a_copy_is_put_on_the_frame_that_is_seen(drawing: FilmDesk, posted: Posted) -> None:
    """What lay where on the frame it was taken on lies there on this one, keys with it."""
    draw(drawing, "bracket", A)
    press(drawing, "Alt+M")
    go_to(drawing, posted, 40)
    drag(drawing, A, (100, 110))
    go_to(drawing, posted, 30)
    press(drawing, "Ctrl+C")
    go_to(drawing, posted, 60)
    press(drawing, "Ctrl+V")
    copy = drawing.book.get(Mark, drawing.marks.chosen)
    assert drawing.book.count(Mark) == 2
    at = drawing.playhead.frame_at
    assert [at(key.pts) for key in copy.keys] == [60, 70]
    assert shown_at(drawing, posted, 60) == pytest.approx(A)
    assert shown_at(drawing, posted, 70) == pytest.approx((100, 110))


def test_a_copy_goes_to_the_next_play_by_the_snap(
    drawing: FilmDesk, posted: Posted, said: list[str]
) -> None:
    """As far from its snap, at the same place; without the snap a sentence says what to mark."""
    press(drawing, "2")
    draw(drawing, "ring", A)
    press(drawing, "Alt+V")
    assert "mark it on the end view" in said[-1]
    drawing.hand.free()
    press(drawing, "Z", "PgDown")
    go_to(drawing, posted, 40)
    press(drawing, "Z", "PgUp")
    go_to(drawing, posted, 30)
    press(drawing, "2", "Alt+J", "Alt+V")
    assert said[-1] == "Copied to play 2, by its snap."
    press(drawing, "PgDown")
    assert shown_at(drawing, posted, 40) == pytest.approx(A)
    assert shown_at(drawing, posted, 56) is None
    assert shown_at(drawing, posted, 55) == pytest.approx(A)


def test_after_the_last_play_there_is_none_to_copy_to(
    drawing: FilmDesk, posted: Posted, said: list[str]
) -> None:
    """It says so, and copies nothing."""
    press(drawing, "PgDown", "PgDown")
    go_to(drawing, posted, 30)
    draw(drawing, "ring", A)
    press(drawing, "Alt+V")
    assert "last play" in said[-1]
    assert drawing.book.count(Mark) == 1
