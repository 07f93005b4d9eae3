from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from PyQt6.QtCore import QPoint, QPointF, Qt
from PyQt6.QtGui import QImage, QWheelEvent
from PyQt6.QtWidgets import QApplication, QFileDialog, QWidget

from gradecut.app.film_page import FilmPage
from gradecut.app.touch_area import TouchArea
from gradecut.app.window import MainWindow
from gradecut.desk.film_actions import FILM_ACTIONS
from gradecut.desk.plays_line import PlaysLine
from gradecut.film import FrameServer
from gradecut.records import Clip, FilmFile, Grade, Mark
from gradecut.workflows.booking import new_book
from tests.desk.conftest import film_book_file, numbered_films
from tests.desk.playing_books import LOST, make_book, make_damaged, make_torture_film

__all__ = ["film_book_file", "numbered_films"]

Until = Callable[[Callable[[], bool]], None]
_BITS, _CELL_PX = 10, 24
_LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def page(closed_window: MainWindow, tmp_path: Path, film_book_file: Path) -> FilmPage:
    """Show the Film page on a book of numbered films."""
    path = tmp_path / "film.gradecut"
    shutil.copy(film_book_file, path)
    closed_window.open_path(str(path))
    shown = closed_window.pages.page("Film")
    assert isinstance(shown, FilmPage)
    shown.setFocus()
    return shown


def key(qtbot: Any, *names: str) -> None:
    """Press keys where the focus is."""
    for name in names:
        parts = name.split("+")
        held = Qt.KeyboardModifier.NoModifier
        for part in parts[:-1]:
            held |= {
                "Shift": Qt.KeyboardModifier.ShiftModifier,
                "Ctrl": Qt.KeyboardModifier.ControlModifier,
                "Alt": Qt.KeyboardModifier.AltModifier,
            }[part]
        focus = QApplication.focusWidget()
        assert focus is not None
        qtbot.keyClick(focus, getattr(Qt.Key, f"Key_{parts[-1]}"), held)


def number_seen(page: FilmPage) -> int:
    """Read the frame number burnt into the film from what the stage shows."""
    seen = page.stage.grab().toImage()
    number = 0
    for bit in range(_BITS):
        at = page.stage.on_screen((8 + bit * (_CELL_PX + 4) + _CELL_PX / 2, 8 + _CELL_PX / 2))
        number |= int(seen.pixelColor(at.toPoint()).lightness() > 128) << bit
    return number


def halved(picture: NDArray[np.uint8] | None) -> NDArray[np.uint8]:
    """Return a picture of half the width and height."""
    assert picture is not None
    size = (picture.shape[1] // 2, picture.shape[0] // 2)
    return np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), np.uint8)


def seen_with(page: FilmPage, picture: NDArray[np.uint8] | None) -> NDArray[np.uint8]:
    """Return what the stage shows, (H, W, 3) uint8, when a picture of its frame has come."""
    page.film.playhead._lane.picture = picture
    page.film.playhead.pictured.emit()
    image = page.stage.grab().toImage().convertToFormat(QImage.Format.Format_RGB888)
    rows = np.frombuffer(image.constBits().asarray(image.sizeInBytes()), np.uint8)
    wide = rows.reshape(image.height(), image.bytesPerLine())[:, : 3 * image.width()]
    return wide.reshape(image.height(), image.width(), 3).copy()


def far_apart(one: NDArray[np.uint8], other: NDArray[np.uint8]) -> float:
    """Return the mean difference of two pictures looked at from afar."""
    soft = [cv2.GaussianBlur(seen, (0, 0), 4).astype(float) for seen in (one, other)]
    return float(np.abs(soft[0] - soft[1]).mean())


def changed_in(before: NDArray[np.uint8], after: NDArray[np.uint8]) -> tuple[int, int, int, int]:
    """Return the left, top, right and bottom of what differs clearly."""
    rows, columns = np.nonzero(np.abs(before.astype(int) - after).max(axis=2) > 60)
    return int(columns.min()), int(rows.min()), int(columns.max()), int(rows.max())


def grades(page: FilmPage) -> list[tuple[str, str]]:
    """Return who was graded how on the play shown."""
    assert page.film.state is not None
    return [
        (man.position, man.grade.fit_result) for man in page.film.state.men if man.grade is not None
    ]


def touch(qtbot: Any, area: TouchArea, tip: str) -> None:
    """Touch the place that says something."""
    area.grab()
    spot = next(one for one in area.spots if one.tip.startswith(tip))
    qtbot.mouseClick(area, _LEFT, pos=spot.rect.center().toPoint())


def test_a_clip_is_graded_by_keys(qtbot: Any, page: FilmPage) -> None:
    """Man, miss, cause, Enter: four keys, and the next play stands there."""
    first = page.film.clip
    assert first is not None
    key(qtbot, "2", "1", "2", "Return")
    assert page.film.clip is not None
    assert page.film.clip.order == 2
    page.film.open_clip(first.id)
    assert grades(page) == [("Bow", "right"), ("Keel", "wrong"), ("Port", "right")]


def test_the_number_pads_enter_passes_too(qtbot: Any, page: FilmPage) -> None:
    """Both Enter keys do the same."""
    key(qtbot, "Enter")
    assert page.film.clip is not None
    assert page.film.clip.order == 2


def test_tab_and_arrows_go_through_the_men(qtbot: Any, page: FilmPage) -> None:
    """Tab and Down the next man, Shift+Tab and Up the one before, Esc none."""
    chosen = []
    for name in ("Tab", "Tab", "Down", "Up"):
        key(qtbot, name)
        chosen.append(page.film.hand.position)
    key(qtbot, "Shift+Backtab")
    chosen.append(page.film.hand.position)
    assert chosen == ["Bow", "Keel", "Port", "Keel", "Bow"]
    key(qtbot, "Escape")
    assert page.film.hand.position == ""


def test_the_stage_shows_the_very_frame(qtbot: Any, page: FilmPage, until: Until) -> None:
    """What is seen is the frame the readout names, stepped by keys."""
    head = page.film.playhead
    for name, frame in (("Right", 1), ("Shift+Right", 11), ("Left", 10), ("End", 88), ("Home", 0)):
        key(qtbot, name)
        until(lambda frame=frame: head.shown == frame)  # type: ignore[misc]
        assert number_seen(page) == frame
        assert f"Frame {frame} ·" in page.stage.accessibleDescription()


def told_frame(page: FilmPage) -> int:
    """Return the frame the readout below the film tells."""
    return int(page.bar.accessibleDescription().split(" ")[0])


def test_a_held_key_tells_the_frame_it_shows(qtbot: Any, page: FilmPage, until: Until) -> None:
    """Storms of held keys: at every picture the number burnt in is the one told."""
    head = page.film.playhead
    until(lambda: head.shown == 0)
    seen: list[tuple[int, int]] = []
    head.pictured.connect(lambda: seen.append((number_seen(page), told_frame(page))))
    for name, times in (("Right", 40), ("Left", 25), ("Right", 10), ("Left", 3)):
        for _ in range(times):
            qtbot.keyPress(page, getattr(Qt.Key, f"Key_{name}"))
            QApplication.processEvents()
        qtbot.keyRelease(page, getattr(Qt.Key, f"Key_{name}"))
        until(lambda: head.shown == head.frame and not head.rough)
    assert number_seen(page) == told_frame(page) == head.frame == 22
    assert len(seen) >= 4
    assert all(number == told for number, told in seen)


def test_a_key_let_go_brings_the_true_picture(qtbot: Any, page: FilmPage, until: Until) -> None:
    """While it is held a quick copy does; a hand that only rests on it gets the true one too."""
    head = page.film.playhead
    until(lambda: head.shown == 0)
    qtbot.keyPress(page, Qt.Key.Key_Right)
    assert head.hurried
    qtbot.keyRelease(page, Qt.Key.Key_Right)
    assert not head.hurried
    qtbot.keyPress(page, Qt.Key.Key_Right)
    assert head.hurried
    until(lambda: not head.hurried)
    until(lambda: head.shown == 2 and not head.rough)
    qtbot.keyRelease(page, Qt.Key.Key_Right)


def test_a_quick_copy_is_called_rough(page: FilmPage, until: Until) -> None:
    """One quiet word beside the readout, and in words for a reader."""
    head = page.film.playhead
    until(lambda: head.shown == 0)
    assert "rough" not in page.bar.accessibleDescription()
    head._lane.rough = True
    head.pictured.emit()
    assert "rough" in page.bar.accessibleDescription()


def test_dragging_over_the_ticks_runs_through_the_film(
    qtbot: Any, page: FilmPage, until: Until
) -> None:
    """Pictures come under way, each with its own number; let go, the true one stands."""
    head = page.film.playhead
    until(lambda: head.shown == 0)
    seen: list[tuple[int, int]] = []
    head.pictured.connect(lambda: seen.append((number_seen(page), told_frame(page))))
    qtbot.mousePress(page.ticks, _LEFT, pos=QPoint(round(page.ticks.x_of(5)), 40))
    assert head.hurried
    for frame in range(6, 60, 3):
        qtbot.mouseMove(page.ticks, QPoint(round(page.ticks.x_of(frame)), 40))
        QApplication.processEvents()
    last = QPoint(round(page.ticks.x_of(60)), 40)
    qtbot.mouseMove(page.ticks, last)
    qtbot.mouseRelease(page.ticks, _LEFT, pos=last)
    until(lambda: head.shown == head.frame and not head.rough)
    assert not head.hurried
    assert number_seen(page) == told_frame(page) == head.frame
    assert abs(head.frame - 60) <= 1
    assert all(number == told for number, told in seen)


def test_how_it_plays_is_told_and_touched(qtbot: Any, page: FilmPage, until: Until) -> None:
    """Speed, over and over, sound and both angles stand below the film, each with its key."""
    until(lambda: page.film.playhead.shown == 0)
    touch(qtbot, page.bar, "slower")
    assert "½ speed" in page.bar.accessibleDescription()
    touch(qtbot, page.bar, "over and over")
    assert page.film.playhead.looping
    assert "over and over" in page.bar.accessibleDescription()
    assert "over and over: the whole clip" in page.ticks.accessibleDescription()
    touch(qtbot, page.bar, "both angles")
    assert page.pair.second.isVisible()
    assert "both angles are shown" in page.bar.accessibleDescription()
    key(qtbot, "Y", "Alt+A")
    assert not page.film.playhead.looping
    assert not page.pair.second.isVisible()


def test_dropped_frames_are_told_while_it_plays_and_after(
    qtbot: Any, page: FilmPage, until: Until, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Until he moves on by himself."""
    now_s = [100.0]
    clock = SimpleNamespace(monotonic=lambda: now_s[0])
    monkeypatch.setattr("gradecut.app.film_page.time", clock)
    head = page.film.playhead
    until(lambda: head.shown == 0)
    key(qtbot, "Space")
    head.tick(now_s[0])
    now_s[0] += 4 / 30 + 0.001
    until(lambda: "3 frames dropped" in page.bar.accessibleDescription())
    assert number_seen(page) == 4
    key(qtbot, "Space")
    assert "3 frames dropped" in page.bar.accessibleDescription()
    key(qtbot, "Right")
    assert "dropped" not in page.bar.accessibleDescription()
    until(lambda: head.shown == head.frame)


def test_lost_frames_are_hatched_and_told(
    closed_window: MainWindow, tmp_path: Path, until: Until
) -> None:
    """The strip shows the stretch; on it the stage says why there is no picture."""
    make_damaged(tmp_path / "film")
    make_book(tmp_path / "d.gradecut", {"end": tmp_path / "film" / "end"})
    closed_window.open_path(str(tmp_path / "d.gradecut"))
    page = closed_window.pages.page("Film")
    assert isinstance(page, FilmPage)
    head = page.film.playhead
    head.seek(LOST[0])
    until(lambda: bool(head.fault))
    assert "step past it" in page.stage.accessibleDescription()
    until(lambda: "Frames 18 to 23 can't be shown" in page.ticks.accessibleDescription())
    page.ticks.grab()
    assert any(one.tip.startswith("frames 18 to 23 can't be shown") for one in page.ticks.spots)
    assert not page.stage.find_button.isVisible()
    for _ in LOST:
        head.step(1)
    until(lambda: head.picture is not None)
    assert head.seen == LOST[-1] + 1


def test_notes_on_the_film_stand_beside_its_name(
    qtbot: Any, closed_window: MainWindow, tmp_path: Path, until: Until
) -> None:
    """A rate that varies is told where the angle is named, and on a key."""
    make_torture_film(tmp_path / "end", "variable", count=40)
    make_book(tmp_path / "v.gradecut", {"end": tmp_path / "end"})
    closed_window.open_path(str(tmp_path / "v.gradecut"))
    page = closed_window.pages.page("Film")
    assert isinstance(page, FilmPage)
    until(lambda: bool(page.film.told.notes()))
    assert "its rate varies" in page.bar.accessibleDescription()
    page.bar.grab()
    assert any(one.tip.startswith("Its rate varies") for one in page.bar.spots)
    page.setFocus()
    key(qtbot, "Alt+F")
    assert "its rate varies" in closed_window.line.sentence
    until(lambda: page.film.playhead.shown is not None)


def test_playing_moves_on_and_space_stops_it(qtbot: Any, page: FilmPage, until: Until) -> None:
    """The film runs by its own times until it is stopped."""
    head = page.film.playhead
    until(lambda: head.shown == 0)
    key(qtbot, "Space")
    until(lambda: (head.shown or 0) >= 5)
    key(qtbot, "Space")
    assert not head.playing
    until(lambda: head.shown == head.frame)
    assert number_seen(page) == head.frame


def test_film_keeps_running_over_enter(qtbot: Any, page: FilmPage, until: Until) -> None:
    """At speed the next play runs without another key; another page stops it."""
    head = page.film.playhead
    until(lambda: head.shown == 0)
    key(qtbot, "Space", "Return")
    assert head.playing
    until(lambda: (head.shown or 0) >= 2)
    page.leave()
    assert not head.playing


def test_a_note_swallows_keys_and_is_stored_when_left(qtbot: Any, page: FilmPage) -> None:
    """Letters that are keys elsewhere are letters in a note."""
    key(qtbot, "2", "R", "N")
    assert page.note.hasFocus()
    qtbot.keyClicks(page.note, "Fast feet, 2 steps")
    key(qtbot, "Return")
    assert page.hasFocus()
    man = page.film.hand.man
    assert man is not None
    assert man.grade is not None
    assert man.grade.note == "Fast feet, 2 steps"
    assert not man.flagged
    assert page.film.clip is not None
    assert page.film.clip.order == 1


def test_a_note_goes_to_the_man_it_was_written_for(qtbot: Any, page: FilmPage) -> None:
    """Any key of the page that works while writing stores the note first; so does a touch."""
    key(qtbot, "2", "R", "N")
    qtbot.keyClicks(page.note, "low pads")
    key(qtbot, "Ctrl+J", "Escape", "Escape", "3", "R", "N")
    qtbot.keyClicks(page.note, "late")
    touch(qtbot, page.men, "Bow")
    assert page.film.state is not None
    notes = {man.position: man.grade.note for man in page.film.state.men if man.grade}
    assert notes == {"Keel": "low pads", "Port": "late"}
    assert page.note.text() == ""


def test_a_note_is_stored_on_a_pause(qtbot: Any, page: FilmPage, until: Until) -> None:
    """A killed program loses no more than the words of the last second."""
    key(qtbot, "2", "R", "N")
    qtbot.keyClicks(page.note, "head down")
    until(lambda: any(one.note == "head down" for one in page.film.book.find(Grade)))
    assert page.note.hasFocus()


def test_a_note_needs_a_man(qtbot: Any, page: FilmPage, closed_window: MainWindow) -> None:
    """N without a man says what to do."""
    key(qtbot, "N")
    assert not page.note.hasFocus()
    assert "Choose a man first" in closed_window.line.sentence


def test_he_grades_by_touching_man_and_gap(qtbot: Any, page: FilmPage) -> None:
    """The picture of the look takes the man, then the gap he fitted."""
    page.look.grab()
    drawn = page.look.drawn
    assert drawn is not None
    x, y, wide, high = drawn.men["Keel"]
    qtbot.mouseClick(page.look, _LEFT, pos=QPoint(round(x + wide / 2), round(y + high / 2)))
    assert page.film.hand.position == "Keel"
    x, y, wide, high = page.look.drawn.gaps["C", "left"]  # type: ignore[union-attr]
    qtbot.mouseClick(page.look, _LEFT, pos=QPoint(round(x + wide / 2), round(y + high - 4)))
    ask = page.film.hand.ask
    assert ask is not None
    assert ask.kind == "gap"
    touch(qtbot, page.ask, "scrape C")
    assert grades(page) == [("Keel", "wrong")]
    assert "instead: scrape C on the left" in page.look.accessibleDescription()


def test_everything_can_be_touched(qtbot: Any, page: FilmPage, until: Until) -> None:
    """Rows, answers, marks of the scale, plays, moments: each by the mouse as by keys."""
    until(lambda: page.film.playhead.shown == 0)
    touch(qtbot, page.men, "Keel")
    touch(qtbot, page.ask, "ran past it")
    touch(qtbot, page.ask, "eyes")
    touch(qtbot, page.points, "footwork: 1")
    man = page.film.hand.man
    assert man is not None
    assert man.grade is not None
    assert (man.grade.did_name, man.grade.cause) == ("ran past it", "eyes")
    assert dict(man.grade.technique) == {"footwork": 1}
    middle = QPoint(round(page.ticks.x_of(40)), 30)
    qtbot.mouseClick(page.ticks, _LEFT, pos=middle)
    assert page.film.playhead.frame == 40
    touch(qtbot, page.bar, "other angle")
    assert page.film.playhead.angle is not None
    assert page.film.playhead.angle.name == "side"
    touch(qtbot, page.bar, "play or pause")
    assert page.film.playhead.playing
    touch(qtbot, page.bar, "play or pause")
    touch(qtbot, page.plays, "Play 3")
    assert page.film.clip is not None
    assert page.film.clip.order == 3


def test_drawing_tools_keep_their_places(page: FilmPage, until: Until) -> None:
    """Taking a tool moves no icon, so that the next touch hits what it aims at."""
    until(lambda: page.film.playhead.shown == 0)

    def places() -> dict[str, float]:
        page.bar.grab()
        return {one.tip: one.rect.left() for one in page.bar.spots if one.tip.startswith("draw")}

    before = places()
    assert len(before) == 8
    page.film.marks.take("arrow")
    assert places() == before
    assert any(one.tip == "what the mark means: owed, did or neither (K)" for one in page.bar.spots)


def test_another_camera_is_shown_whole(page: FilmPage, until: Until) -> None:
    """A zoom belongs to its camera; while there is one, the stage says how to leave it."""
    until(lambda: page.film.playhead.shown == 0)
    page.stage.nearer()
    assert page.stage.zoom_words() == "zoom 1.2× · Ctrl+0 fits"
    page.film.other_angle()
    assert page.stage.zoom == 1
    assert page.stage.zoom_words() == ""


def test_a_scale_takes_marks_only_of_a_man(page: FilmPage) -> None:
    """With nobody in hand nothing looks as if it could be given, and the row says so."""
    page.points.grab()
    assert not page.points.spots
    assert page.points.accessibleName().startswith("Choose a man")
    assert page.note.placeholderText() == "note: choose a man"
    page.film.hand.choose("Keel")
    page.points.grab()
    assert page.points.spots
    assert page.note.placeholderText().startswith("note on Keel")


def test_counts_and_halves_say_what_they_mean(page: FilmPage) -> None:
    """Whoever points at "half" or "n flagged" is told what that is."""
    page.film.hand.choose("Keel")
    page.film.judging.flag()
    page.plays.grab()
    assert any("1 flagged for tomorrow" in one.tip for one in page.plays.spots)
    page.ask.grab()
    halves = [one.answer for one in page.film.hand.ask.shown() if one.answer.hint == "half"]  # type: ignore[union-attr]
    tips = [one.tip for one in page.ask.spots]
    assert all(f"{answer.words}: half credit by your scheme" in tips for answer in halves)


def test_the_film_is_zoomed_about_the_pointer(page: FilmPage, until: Until) -> None:
    """What lies under the pointer stays there; the whole film comes back on a key."""
    until(lambda: page.film.playhead.shown == 0)
    stage = page.stage
    at = QPointF(stage.width() * 0.6, stage.height() * 0.45)
    before = stage.film_point(at)
    wheel = QWheelEvent(
        at, at, QPoint(0, 0), QPoint(0, 360), Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    stage.wheelEvent(wheel)
    assert stage.zoom > 1.5
    assert stage.film_point(at) == pytest.approx(before, abs=0.5)
    stage.fit()
    assert stage.film_point(at) == pytest.approx(before, abs=0.5)


def test_a_zoomed_film_is_panned_by_dragging(qtbot: Any, page: FilmPage, until: Until) -> None:
    """Without a tool a drag moves the film, and never beyond its edge."""
    until(lambda: page.film.playhead.shown == 0)
    stage = page.stage
    for _ in range(4):
        stage.nearer()
    middle = QPoint(stage.width() // 2, stage.height() // 2)
    before = stage.film_point(QPointF(middle))
    qtbot.mousePress(stage, _LEFT, pos=middle)
    qtbot.mouseMove(stage, middle + QPoint(40, 0))
    qtbot.mouseRelease(stage, _LEFT, pos=middle + QPoint(40, 0))
    after = stage.film_point(QPointF(middle))
    assert after[0] < before[0]


def test_marks_are_drawn_by_mouse_and_stored(qtbot: Any, page: FilmPage, until: Until) -> None:
    """M, the tool's number, a drag: the arrow is in the book and on the film."""
    until(lambda: page.film.playhead.shown == 0)
    key(qtbot, "2", "M", "3")
    plain = page.stage.grab().toImage()
    start = page.stage.on_screen((60, 120)).toPoint()
    stop = page.stage.on_screen((220, 150)).toPoint()
    qtbot.mousePress(page.stage, _LEFT, pos=start)
    qtbot.mouseMove(page.stage, stop)
    qtbot.mouseRelease(page.stage, _LEFT, pos=stop)
    mark = page.film.book.find(Mark)[0]
    assert mark.kind == "arrow"
    assert mark.rep_id is not None
    assert mark.points[0] == pytest.approx((60, 120), abs=1)
    assert mark.points[-1] == pytest.approx((220, 150), abs=1)
    assert page.stage.grab().toImage() != plain
    key(qtbot, "Delete")
    assert not page.film.book.count(Mark)


@pytest.mark.parametrize("nearer", [0, 3])
def test_a_rough_picture_with_fewer_pixels_lies_where_the_true_one_does(
    page: FilmPage, until: Until, nearer: int
) -> None:
    """Of a quarter of the pixels: the same place and size, whole or zoomed, marks with it."""
    stage, head = page.stage, page.film.playhead
    until(lambda: head.shown == 0 and head.picture is not None and not head.rough)
    for _ in range(nearer):
        stage.nearer()
    whole = head.picture
    spot = stage.on_screen((160, 120))
    bare = [seen_with(page, whole), seen_with(page, halved(whole))]
    page.film.marks.take("ring")
    page.film.marks.press((160, 120))
    page.film.marks.lift((160, 120))
    marked = [seen_with(page, whole), seen_with(page, halved(whole))]
    assert stage.on_screen((160, 120)) == spot
    assert far_apart(*bare) < 6
    true, rough = (changed_in(*both) for both in zip(bare, marked, strict=True))
    assert true == pytest.approx(rough, abs=6), "softer edges, the same place"
    for first, last in ((0, 2), (1, 3)):
        assert true[first] + true[last] == pytest.approx(rough[first] + rough[last], abs=3)
    assert true[0] < spot.x() < true[2]


def test_words_are_written_on_the_film(qtbot: Any, page: FilmPage, until: Until) -> None:
    """The text tool asks for its words where it was touched; Esc leaves none."""
    until(lambda: page.film.playhead.shown == 0)
    for words, kept in (("edge", 1), ("", 1)):
        key(qtbot, "M", "6")
        qtbot.mouseClick(page.stage, _LEFT, pos=page.stage.on_screen((120, 90)).toPoint())
        assert page.stage.field.hasFocus()
        qtbot.keyClicks(page.stage.field, words or "never")
        key(qtbot, "Return" if words else "Escape")
        assert page.stage.field.isHidden()
        assert page.film.book.count(Mark) == kept
    assert page.film.book.find(Mark)[0].text == "edge"


def test_undo_is_shown(qtbot: Any, page: FilmPage) -> None:
    """Ctrl+Z takes the last entry back, on the page too."""
    key(qtbot, "2", "1")
    assert grades(page) == [("Keel", "wrong")]
    key(qtbot, "Ctrl+Z")
    assert grades(page) == []


def test_every_part_says_in_words_what_it_shows(qtbot: Any, page: FilmPage, until: Until) -> None:
    """Whoever can't see the page can have it read."""
    until(lambda: page.film.playhead.shown == 0)
    key(qtbot, "2", "1", "2", "F", "Z")
    told = {
        part: part.accessibleDescription()
        for part in (page.look, page.ask, page.men, page.points, page.ticks, page.plays, page.bar)
    }
    assert all(part.accessibleName() for part in told)
    assert "Keel 44 owes fill A on the right; instead: ran past it" in told[page.look]
    assert "Who was not right?" in told[page.ask]
    assert "Keel 44: owes fill A, ran past it, cause eyes, flagged." in told[page.men]
    assert "eyes not graded" in told[page.points]
    assert "snap" in told[page.ticks]
    assert "Play 1: begun, not all right, looked at closely, flagged" in told[page.plays]
    assert "end zone · angle 1 of 2" in told[page.bar]
    assert "overlap" not in page.owed.accessibleName()
    assert "Keel owes fill A right" in page.owed.accessibleName()


def test_a_season_of_plays_paints_only_what_is_seen(page: FilmPage) -> None:
    """Ten thousand boxes cost no more than those on the screen."""
    clips = [Clip(session_id="s", order=number) for number in range(1, 10_001)]
    page.film.plays.line = PlaysLine.unread(clips, "s")
    page.plays.show_plays()
    page.plays.grab()
    assert 0 < page.plays.painted < 80


def test_an_empty_book_asks_for_film(closed_window: MainWindow, tmp_path: Path) -> None:
    """Nothing but the next step is shown."""
    path = tmp_path / "empty.gradecut"
    new_book(path, name="Empty", author="Coach Alder").close()
    closed_window.open_path(str(path))
    page = closed_window.pages.page("Film")
    assert isinstance(page, FilmPage)
    assert page.first.isVisible()
    assert [step.done for step in page.first.steps] == [False, False, False]
    assert not page.men.isVisible()
    assert not page.plays.isVisible()


def test_moved_film_is_found_again(
    qtbot: Any,
    page: FilmPage,
    until: Until,
    numbered_films: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The stage says that the film is away; shown its folder, it plays again."""
    book = page.film.book
    with book.act("lose the film") as act:
        act.put(*[replace(one, path="/nowhere/film.mp4") for one in book.find(FilmFile)])
    assert page.stage.find_button.isVisible()
    assert "is not where it was" in page.stage.accessibleDescription()
    end = str(numbered_films / "end")
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: end)
    qtbot.mouseClick(page.stage.find_button, _LEFT)
    until(lambda: page.film.playhead.picture is not None)
    assert not page.stage.find_button.isVisible()
    assert number_seen(page) == page.film.playhead.frame


def test_every_action_of_the_table_is_bound(page: FilmPage) -> None:
    """The table leaves nothing out and names nothing that is not there."""
    names = [one.name for one in FILM_ACTIONS]
    assert [one.name for one in page.actions_here()][: len(names)] == names
    assert all(callable(one.run) for one in page.actions_here())


def test_light_and_dark_are_painted_anew(page: FilmPage, closed_window: MainWindow) -> None:
    """Another theme reaches every painted part at once."""
    parts: tuple[QWidget, ...] = (page.look, page.ask, page.men, page.points, page.ticks)
    before = [part.grab().toImage() for part in parts]
    closed_window.change_theme()
    after = [part.grab().toImage() for part in parts]
    closed_window.change_theme()
    assert all(one != other for one, other in zip(before, after, strict=True))


def test_where_he_lines_up_is_shown_and_how_he_did(qtbot: Any, page: FilmPage) -> None:
    """With Bow in hand his alignment stands below his fit; once told, the table has a column."""
    key(qtbot, "1")
    assert page.owed.lines_up.isVisible()
    shown = page.owed.lines_up.text().replace("\N{NO-BREAK SPACE}", " ")
    assert shown.startswith("Lines up 1 yd deep, outside the tight end right")
    assert "lined up" not in page.men.words()
    key(qtbot, "Alt+L", "2")
    assert page.owed.lines_up.text().startswith("✕ Lined up too deep")
    assert "Bow 9: owes squeeze D, open, lined up: too deep." in page.men.words()
    key(qtbot, "Escape")
    assert not page.owed.lines_up.isVisible()


def test_a_film_that_takes_its_time_is_said_to_be_opened(
    closed_window: MainWindow,
    tmp_path: Path,
    film_book_file: Path,
    until: Until,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Not at once, for most are there before it could be read; the page stays usable meanwhile."""
    monkeypatch.setattr(FrameServer, "request", lambda *_, **__: None)
    said: list[str] = []

    def note(_painter: object, _rect: object, text: str, *_: object, **__: object) -> float:
        said.append(text)
        return 0.0

    monkeypatch.setattr("gradecut.app.stage.set_words", note)
    path = tmp_path / "film.gradecut"
    shutil.copy(film_book_file, path)
    closed_window.open_path(str(path))
    shown = closed_window.pages.page("Film")
    assert isinstance(shown, FilmPage)
    shown.stage.repaint()
    assert "Opening the film …" not in said
    until(lambda: "Opening the film …" in said)
    before = shown.film.clip
    shown.film.next_clip()
    assert shown.film.clip != before
