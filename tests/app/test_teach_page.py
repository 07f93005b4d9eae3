from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import QEvent, QPoint, QPointF, Qt
from PyQt6.QtGui import QMouseEvent
from PyQt6.QtWidgets import QApplication, QFileDialog, QLabel, QPushButton

from gradecut.app.sharing_form import SharingForm
from gradecut.app.teach_page import TeachPage
from gradecut.app.window import MainWindow
from gradecut.film import open_film
from gradecut.records import Mark
from gradecut.timebase import Pts

Until = Callable[[Callable[[], bool]], None]


@pytest.fixture
def page(window: MainWindow, until: Until) -> TeachPage:
    """Show the Teach page with a reel of two pieces."""
    window.show_page("Teach")
    shown = window.pages.pages["Teach"]
    assert isinstance(shown, TeachPage)
    shown.teach.build("Keel, missed fits on zone")
    until(lambda: shown.pieces.count() == 2)
    return shown


def test_a_question_builds_a_reel_by_enter(qtbot: Any, page: TeachPage, until: Until) -> None:
    """Written and entered, a question becomes a reel; meanwhile it says what it understood."""
    page.question.setFocus()
    qtbot.keyClicks(page.question, "Keel on power")
    until(lambda: page.understood.text().endswith("1 rep"))
    qtbot.keyClick(page.question, Qt.Key.Key_Return)
    until(lambda: page.reel_name.text() == "Keel on power")
    assert page.pieces.count() == 1
    assert page.reels.count() == 2


def test_pieces_are_reordered_by_key_and_undo_brings_them_back(
    qtbot: Any, page: TeachPage, window: MainWindow, until: Until
) -> None:
    """Alt+Up moves the chosen piece earlier; Ctrl+Z brings the order back."""
    first, second = page.pieces.piece_ids
    page.pieces.setCurrentRow(1)
    qtbot.keyClick(page.pieces, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    assert page.pieces.piece_ids == [second, first]
    assert page.teach.piece is not None
    assert page.teach.piece.id == second
    qtbot.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    until(lambda: page.pieces.piece_ids == [first, second])


def test_a_piece_is_dragged_to_another_place(qtbot: Any, page: TeachPage) -> None:
    """The first piece, dragged below the second, is the reel's second; a mere click moves none."""
    first, second = page.pieces.piece_ids
    port, left = page.pieces.viewport(), Qt.MouseButton.LeftButton
    rows = [page.pieces.visualItemRect(page.pieces.item(row)) for row in range(2)]
    qtbot.mouseClick(port, left, pos=rows[0].center())
    assert page.pieces.piece_ids == [first, second]
    qtbot.mousePress(port, left, pos=rows[0].center())
    drag(port, rows[1].center())
    drag(port, rows[1].bottomLeft())
    qtbot.mouseRelease(port, left, pos=rows[1].bottomLeft())
    assert [piece.id for piece in page.teach.pieces] == [second, first]


def drag(port: Any, to: QPoint) -> None:
    """Move the pointer with its left button held."""
    left = Qt.MouseButton.LeftButton
    event = QMouseEvent(
        QEvent.Type.MouseMove, QPointF(to), QPointF(port.mapToGlobal(to)), left, left,
        Qt.KeyboardModifier.NoModifier,
    )  # fmt: skip
    QApplication.sendEvent(port, event)


def test_a_caption_is_stored_when_it_is_left(qtbot: Any, page: TeachPage) -> None:
    """Writing a caption and Enter stores it; Esc gives it up."""
    page.caption.setFocus()
    page.caption.selectAll()
    qtbot.keyClicks(page.caption, "Eyes to the back, R")
    qtbot.keyClick(page.caption, Qt.Key.Key_Return)
    assert page.teach.piece is not None
    assert page.teach.piece.caption == "Eyes to the back, R"
    page.caption.setFocus()
    qtbot.keyClicks(page.caption, "no")
    qtbot.keyClick(page.caption, Qt.Key.Key_Escape)
    assert page.caption.text() == "Eyes to the back, R"


def test_the_preview_steps_and_paints(qtbot: Any, page: TeachPage, until: Until) -> None:
    """The stage shows the reel's frames one by one, card first."""
    preview = page.teach.preview
    until(lambda: preview.frame_count > 0)
    qtbot.keyClick(page.pieces, Qt.Key.Key_Right)
    assert preview.at == 1
    preview.go(100)
    until(lambda: preview.frame is not None)
    area = page.stage.picture_rect().toRect()
    grey = page.stage.grab().toImage().pixelColor(area.x() + 4, area.y() + 4)
    assert 30 <= grey.red() <= 60
    page.stage.play_or_stop()
    until(lambda: preview.at > 100)
    page.stage.play_or_stop()
    assert not page.stage.playing


def test_marks_are_on_the_preview_as_on_the_reel(
    page: TeachPage, window: MainWindow, until: Until
) -> None:
    """Where the film stands still, the marks of its piece are painted on it at their place."""
    piece = page.teach.piece
    assert piece is not None
    assert window.desk is not None
    ring = Mark(
        angle_id=piece.angle_id, kind="ring", points=((120.0, 30.0),), meaning="owed",
        from_pts=Pts(0), to_pts=Pts(10**9), rep_id=piece.rep_id,
    )  # fmt: skip
    with window.desk.book.act("draw a ring") as act:
        act.put(ring)
    page.teach.change(mark_ids=(ring.id,))
    preview = page.teach.preview
    until(lambda: preview.plan is not None and ring.id in preview.plan.marks)
    assert preview.plan is not None
    frozen = next(step for step in preview.plan.steps if step.kind == "freeze")
    plain = page.stage.grab().toImage()
    preview.go(frozen.first_frame)
    until(lambda: preview.frame is not None)
    area, shown = page.stage.picture_rect(), page.stage.grab().toImage()
    assert plain != shown
    around = [
        shown.pixelColor(
            round(area.x() + (120 + dx) * area.width() / 160),
            round(area.y() + 30 * area.height() / 90),
        )
        for dx in (step / 10 for step in range(-200, 201))
    ]
    assert any(colour.blue() > colour.red() + 60 for colour in around)


def test_a_reel_is_rendered_where_it_was_asked(
    page: TeachPage, window: MainWindow, until: Until, tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    """Rendering asks for a place, writes the film there and says so."""
    for piece in tuple(page.teach.pieces):
        page.teach.choose_piece(piece.id)
        page.teach.change(title="", from_s=Fraction(-1, 5), to_s=Fraction(1, 5), freezes=())
    goal = tmp_path / "zone"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(goal), ""))
    page.render_reel()
    until(lambda: "Written" in window.line.sentence)
    assert str(tmp_path / "zone.mp4") in window.line.sentence
    with open_film(tmp_path / "zone.mp4") as film:
        assert film.frame_count == 24


def test_whom_the_film_must_not_show_is_named_first(
    page: TeachPage, until: Until, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A player under 18 without consent is named before anything is rendered."""
    asked: list[bool] = []
    monkeypatch.setattr(page.teach, "render", lambda _path, *, for_staff: asked.append(for_staff))
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: ("zone.mp4", ""))
    page.teach.build("Keel Port on zone")
    until(lambda: page.pieces.count() == 3)
    page.render_reel()
    form = next(one for one in page.findChildren(SharingForm) if one.isVisible())
    assert any("Cal Teague" in label.text() for label in form.findChildren(QLabel))
    leave = next(b for b in form.findChildren(QPushButton) if b.text() == "Leave them out")
    leave.click()
    assert asked == [False]


def test_what_cannot_be_done_yet_is_not_offered(page: TeachPage) -> None:
    """Without a reel nothing is played, rendered, moved, taken out or thrown away."""
    page.teach.throw_away()
    assert page.teach.reel is None
    for made in (page.play, page.to_film, page.away, page.earlier, page.later, page.take_out):
        assert not made.isEnabled()


def test_a_minus_sign_is_read_as_it_is_shown(page: TeachPage) -> None:
    """Seconds before the snap stand with a minus sign, and are taken with one or a hyphen."""
    for written in ("−1.5", "-1.5", "-1,5"):
        page.teach.change_times(written, "2")
        assert page.teach.piece is not None
        assert page.teach.piece.from_s == Fraction(-3, 2)
        assert page.from_s.text() == "−1.5"
    assert page.take_out.isEnabled()
    assert not page.earlier.isEnabled()


def test_one_button_stands_out(page: TeachPage) -> None:
    """With pieces rendering stands out; without any, building does, and no empty film is shown."""
    looks = [made.property("look") for made in (page.to_film, page.make)]
    assert looks == ["accent", ""]
    assert page.shown.isVisibleTo(page)
    page.teach.throw_away()
    assert [made.property("look") for made in (page.to_film, page.make)] == ["", "accent"]
    assert not page.shown.isVisibleTo(page)
