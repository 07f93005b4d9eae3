"""The strip: real keys and the mouse correct the plays of a recording, and add them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import QPoint, Qt
from PyQt6.QtWidgets import QLabel

from gradecut.app.actions import clashing_keys
from gradecut.app.cutting_keys import key_rows
from gradecut.app.cutting_sheet import CuttingSheet, open_cutting
from gradecut.app.window import MainWindow
from gradecut.records import Angle, Clip, Session
from gradecut.timebase import Frame
from gradecut.workflows.cutting import add_recording
from gradecut.workflows.moments import timeline_of
from tests.motion.drawn_recording import Recording
from tests.motion.recorded_film import write_recording
from tests.workflows.conftest import practice
from tests.workflows.practice_films import Practice

__all__ = ["practice"]

Key = Qt.Key
SHIFT, CTRL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier


@pytest.fixture(scope="session")
def recording(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a recording of three plays, half a minute long or a little more."""
    path = tmp_path_factory.mktemp("recording") / "tuesday.mp4"
    made = Recording(
        seed=9, size_px=(160, 90), yard_px=2.7, plays=3, rate=10, between_s=(5, 7), play_s=(3, 4),
        set_s=(2, 4),
    )  # fmt: skip
    write_recording(path, made)
    return path


@pytest.fixture
def sheet(
    window: MainWindow, recording: Path, until: Callable[[Callable[[], bool]], None]
) -> Iterator[CuttingSheet]:
    """Show the strip with the plays found, the first in hand."""
    opened = open_cutting(window, recording, session="Tuesday", angle="end", day="2026-10-06")
    assert opened is not None
    until(lambda: not opened.desk.looking)
    yield opened
    opened.desk.close()


def edges(sheet: CuttingSheet) -> list[tuple[int, int]]:
    """Return the plays that would be added."""
    return [(cut.first, cut.last) for cut in sheet.desk.cuts if not cut.dropped]


def test_plays_are_found_and_the_first_is_in_hand(sheet: CuttingSheet) -> None:
    """What is seen is said in words too."""
    count = len(edges(sheet))
    assert 3 <= count <= 5
    assert sheet.which.text() == f"Play 1 of {count}"
    assert sheet.add.text() == f"Add {count} plays"
    assert sheet.strip.accessibleDescription().startswith(f"Play 1 of {count}")
    assert sheet.why.text()


def test_every_key_does_one_thing(sheet: CuttingSheet) -> None:
    """One table, no key twice, and each is told on the sheet."""
    assert clashing_keys(sheet.actions_here) == []
    assert all(action.keys for action in sheet.actions_here)


def test_every_key_is_told_and_can_be_read_in_the_smallest_window(
    sheet: CuttingSheet, qtbot: Any
) -> None:
    """No row of words is lower than its letters at the least size the sheet may have."""
    told = [
        cap for rows in key_rows(sheet.actions_here).values() for row in rows for cap in row.caps
    ]
    assert {"↓", "↑", "Shift", "Q", "[", "J", "Ctrl+Enter", "Esc"} <= set(told)
    assert len(told) - told.count("Shift") == len(sheet.actions_here)
    sheet.resize(sheet.minimumSize())
    qtbot.waitUntil(lambda: sheet.size() == sheet.minimumSize())
    sheet.grab()
    low = [
        label.text()
        for label in sheet.findChildren(QLabel)
        if label.isVisible() and label.text() and label.height() < label.fontMetrics().height()
    ]
    assert low == []


def test_keys_correct_the_plays(sheet: CuttingSheet, qtbot: Any) -> None:
    """Edges by a frame, by half a second and to the playhead; join, split, drop, back, undo."""
    before = edges(sheet)

    def press(key: Qt.Key, how: Any = Qt.KeyboardModifier.NoModifier) -> None:
        qtbot.keyClick(sheet, key, how)

    press(Key.Key_Down)
    assert sheet.desk.in_hand == 1
    first, last = before[1]
    press(Key.Key_P, SHIFT)
    press(Key.Key_W)
    assert edges(sheet)[1] == (first + 5, last + 1)
    press(Key.Key_Right, SHIFT)
    press(Key.Key_BracketLeft)
    assert edges(sheet)[1] == (first + 10, last + 1)
    press(Key.Key_Right)
    press(Key.Key_S)
    assert edges(sheet)[1:3] == [(first + 10, first + 10), (first + 11, last + 1)]
    press(Key.Key_X)
    assert len(edges(sheet)) == len(before)
    press(Key.Key_X)
    press(Key.Key_Up)
    press(Key.Key_J)
    assert edges(sheet)[1] == (first + 10, last + 1)
    for _ in range(7):
        press(Key.Key_Z, CTRL)
    assert edges(sheet) == before
    press(Key.Key_Z, CTRL)
    assert "no correction" in sheet.said.text()
    press(Key.Key_Y, CTRL)
    assert edges(sheet)[1] == (first, last + 1)


def test_the_mouse_drags_an_edge_in_one_correction(sheet: CuttingSheet, qtbot: Any) -> None:
    """However far it is dragged, one undo puts it back."""
    before, strip = edges(sheet), sheet.strip
    x = round(strip.scale.x_of(sheet.desk.time_s(before[0][1] + 1)))
    qtbot.mousePress(strip, Qt.MouseButton.LeftButton, pos=QPoint(x, 40))
    for back in (5, 10, 20):
        qtbot.mouseMove(strip, QPoint(x - back, 40))
        strip._drag(QPoint(x - back, 40).toPointF())
    qtbot.mouseRelease(strip, Qt.MouseButton.LeftButton, pos=QPoint(x - 20, 40))
    assert edges(sheet)[0][1] < before[0][1]
    qtbot.keyClick(sheet, Key.Key_Z, CTRL)
    assert edges(sheet) == before


def test_a_play_is_set_by_hand_between_others(sheet: CuttingSheet, qtbot: Any) -> None:
    """N puts one around the frame looked at, once there is room."""
    qtbot.keyClick(sheet, Key.Key_X)
    count = len(edges(sheet))
    qtbot.keyClick(sheet, Key.Key_N)
    assert len(edges(sheet)) == count
    assert "already" in sheet.said.text()


def test_playing_stops_at_the_end_of_the_play(
    sheet: CuttingSheet, qtbot: Any, until: Callable[[Callable[[], bool]], None]
) -> None:
    """Space plays the play in hand from its start."""
    until(lambda: sheet.desk.picture is not None)
    cut = sheet.desk.cut
    assert cut is not None
    sheet.desk.seek(cut.last - 3)
    qtbot.keyClick(sheet, Key.Key_Space)
    until(lambda: not sheet.desk.playing)
    assert sheet.desk.frame == cut.last


def test_the_plays_are_added_to_the_session(
    window: MainWindow,
    sheet: CuttingSheet,
    qtbot: Any,
    until: Callable[[Callable[[], bool]], None],
) -> None:
    """Ctrl Enter puts them in; each is a range of the one film."""
    added: list[Any] = []
    sheet.desk.added.connect(added.append)
    told = edges(sheet)
    qtbot.keyClick(sheet, Key.Key_Return, CTRL)
    until(lambda: bool(added))
    assert window.desk is not None
    (session,) = window.desk.book.find(Session, name="Tuesday")
    clips = window.desk.book.find(Clip, session_id=session.id)
    angles = window.desk.book.find(Angle, clip_id=[clip.id for clip in clips])
    assert len(clips) == len(angles) == len(told)
    assert len({angle.film_id for angle in angles}) == 1


def test_corrections_are_not_lost_by_one_key(sheet: CuttingSheet, qtbot: Any) -> None:
    """Esc asks once; the second Esc leaves."""
    left: list[int] = []
    sheet.finished.connect(left.append)
    qtbot.keyClick(sheet, Key.Key_X)
    qtbot.keyClick(sheet, Key.Key_Escape)
    assert left == []
    assert "lost" in sheet.said.text()
    qtbot.keyClick(sheet, Key.Key_Escape)
    assert left == [0]


def test_plays_of_a_second_camera_come_from_the_first(
    window: MainWindow, practice: Practice, until: Callable[[Callable[[], bool]], None], qtbot: Any
) -> None:
    """They stand on the strip with where they are from; added, both angles lie side by side."""
    assert window.desk is not None
    book = window.desk.book
    add_recording(book, practice.end, practice.cut(), session="Thursday")
    opened = open_cutting(window, practice.side, session="Thursday", angle="side")
    assert opened is not None
    until(lambda: not opened.desk.looking)
    assert len(edges(opened)) == 5
    assert opened.why.text().startswith("Play 2 of end, laid here by what both heard.")
    assert "ppm slow" in opened.said.text()
    assert "does not show play 1." in opened.said.text()
    qtbot.keyClick(opened, Key.Key_X)
    added: list[Any] = []
    opened.desk.added.connect(added.append)
    qtbot.keyClick(opened, Key.Key_Return, CTRL)
    until(lambda: bool(added))
    clips = {
        clip.id: clip.order
        for clip in book.find(Clip, session_id=book.find(Session, name="Thursday")[0].id)
    }
    sides = book.find(Angle, clip_id=list(clips), name="side")
    assert sorted(clips[one.clip_id] for one in sides) == [3, 4, 5, 6]
    for one in sides:
        line = timeline_of(book, one.clip_id)
        assert line.together(*line.angles)


def test_without_sound_giving_out_by_number_is_asked_first(
    window: MainWindow, practice: Practice, until: Callable[[Callable[[], bool]], None], qtbot: Any
) -> None:
    """The button that says so comes with the question, and only where the counts agree."""
    assert window.desk is not None
    book = window.desk.book
    add_recording(book, practice.end, practice.cut(), session="Thursday")
    opened = open_cutting(window, practice.dumb, session="Thursday", angle="side")
    assert opened is not None
    until(lambda: not opened.desk.looking)
    assert "no sound" in opened.said.text()
    cuts = opened.desk.cuts
    opened.desk._correct(cuts[:3], 0, "")
    qtbot.keyClick(opened, Key.Key_Return, CTRL)
    until(lambda: "until they agree" in opened.said.text())
    assert not opened.by_order.isVisible()
    six = [replace(cuts[0], first=Frame(10 * at), last=Frame(10 * at + 8)) for at in range(6)]
    opened.desk._correct(tuple(six), 0, "")
    qtbot.keyClick(opened, Key.Key_Return, CTRL)
    until(lambda: "by order" in opened.said.text())
    added: list[Any] = []
    opened.desk.added.connect(added.append)
    opened.by_order.click()
    until(lambda: bool(added))
    assert added[0].angles == 6


def test_a_film_that_is_none_is_told(
    window: MainWindow, tmp_path: Path, until: Callable[[Callable[[], bool]], None]
) -> None:
    """One sentence on the sheet, which can be left."""
    path = tmp_path / "notes.mp4"
    path.write_text("Tuesday")
    opened = open_cutting(window, path, session="Tuesday", angle="end")
    assert opened is not None
    until(lambda: not opened.desk.looking)
    assert "text file" in opened.said.text()
    assert not opened.add.isEnabled()
    opened.leave()
