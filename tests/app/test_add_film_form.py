"""Adding film in the window: a card, a recording, a pairing, by keys alone."""

from __future__ import annotations

import shutil
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PyQt6.QtGui import QDragEnterEvent, QDropEvent
from PyQt6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QDialog,
    QLineEdit,
    QTableWidget,
)

from gradecut.app import forms
from gradecut.app.add_film_form import CARD, RECORDING, AddFilmForm
from gradecut.app.cutting_sheet import CuttingSheet
from gradecut.app.pairing_form import PairingForm
from gradecut.app.window import MainWindow
from gradecut.records import Angle, Clip, Flag, Session
from gradecut.workflows import verified_copy
from gradecut.workflows.adding import Added

_CTRL = Qt.KeyboardModifier.ControlModifier
Until = Callable[[Callable[[], bool]], None]


def form_of(window: MainWindow, kind: type[QDialog]) -> Any:
    """Return the form that is open."""
    return next(one for one in window.findChildren(kind) if one.isVisible())


def is_open(window: MainWindow, kind: type[QDialog]) -> bool:
    """Tell whether such a form is open."""
    return any(one.isVisible() for one in window.findChildren(kind))


def press(qtbot: Any, window: MainWindow, key: Qt.Key, held: Qt.KeyboardModifier) -> None:
    """Press a key of the window, once it is in front."""
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    qtbot.keyClick(window, key, held)


def write_over(qtbot: Any, field: Any, text: str) -> None:
    """Write into a field as by hand, over what stands there."""
    field.setFocus()
    line: Any = field.lineEdit() if isinstance(field, QComboBox) else field
    line.selectAll()
    qtbot.keyClicks(line, text)


@pytest.fixture
def card(tmp_path: Path, films: Path) -> Path:
    """Put a card with three films in; they are no films of the book."""
    folder = tmp_path / "card" / "DCIM" / "100MEDIA"
    folder.mkdir(parents=True)
    for number, film in enumerate(sorted(films.iterdir()), start=1):
        # A few bytes after the last box are passed over by readers, and make it another film.
        (folder / f"CLIP{number}.MP4").write_bytes(
            film.read_bytes() + bytes([0, 0, 0, 9]) + b"free" + bytes([number])
        )
    return tmp_path / "card"


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch) -> Iterator[threading.Event]:
    """Hold the second film back after its first block until the gate is opened."""
    opened, real = threading.Event(), verified_copy._write
    written: dict[str, int] = {}

    def write(copy: Any, block: memoryview) -> None:
        written[copy.name] = written.get(copy.name, 0) + 1
        if len(written) > 1 and written[copy.name] > 1:
            opened.wait(20)
        elif len(written) > 1:
            time.sleep(0.1)  # what is told in between is told at most every so often
        real(copy, block)

    monkeypatch.setattr(verified_copy, "BLOCK_BYTES", 400)
    monkeypatch.setattr(verified_copy, "_write", write)
    yield opened
    opened.set()


def fill_in_card(qtbot: Any, window: MainWindow, card: Path, goal: Path) -> AddFilmForm:
    """Open the form with its key, and say by keys that a card goes to a new session."""
    press(qtbot, window, Qt.Key.Key_A, _CTRL | Qt.KeyboardModifier.ShiftModifier)
    form = form_of(window, AddFilmForm)
    qtbot.waitUntil(lambda: form.focusWidget() is form.what.buttons[0])
    qtbot.keyClick(form.focusWidget(), Qt.Key.Key_Right)
    assert form.what.place == CARD
    write_over(qtbot, form.places, str(card))
    write_over(qtbot, form.session, "Friday")
    write_over(qtbot, form.goal.path, str(goal))
    assert isinstance(form, AddFilmForm)
    return form


Copying = tuple[MainWindow, AddFilmForm, threading.Event]


@pytest.fixture
def copying(
    qtbot: Any, window: MainWindow, card: Path, gate: threading.Event, until: Until
) -> Copying:
    """Copy a card, set going by keys, and hold it where play 1 is ready to grade."""
    form = fill_in_card(qtbot, window, card, card.with_name("films"))
    qtbot.keyClick(form.places, Qt.Key.Key_Return)
    until(lambda: "1 play ready to grade" in window.line.work.text())
    return window, form, gate


def test_a_card_is_copied_and_its_plays_graded_meanwhile(
    qtbot: Any, until: Until, copying: Copying
) -> None:
    """Play 1 can be flagged while play 2 is copied; taking back takes the flag, not the film."""
    window, form, gate = copying
    assert not form.isVisible()
    assert window.line.work.text().startswith("Copying 2 of 3")
    assert window.line.sentence == (
        "Friday: the first play can be graded while the rest is copied (Ctrl+J goes there)."
    )
    assert window.desk is not None
    book = window.desk.book
    (friday,) = [one for one in book.find(Session) if one.name == "Friday"]
    window.desk.film.open_session(friday)
    clip = window.desk.film.clip
    assert clip is not None
    before = book.count(Flag)
    window.desk.film.judging.flag()
    assert book.count(Flag) == before + 1
    gate.set()
    until(lambda: "3 of 3 films of the card are copied" in window.line.sentence)
    assert "Friday: 3 new plays" in window.line.sentence
    assert book.count(Clip, session_id=friday.id) == 3
    assert window.desk.film.clip is not None
    assert window.desk.film.clip.id == clip.id
    assert len(window.desk.film.plays.line.boxes) == 3
    press(qtbot, window, Qt.Key.Key_Z, _CTRL)
    assert book.count(Flag) == before
    assert book.count(Clip, session_id=friday.id) == 3
    assert "card" not in window.desk.undo_hint()


def test_copying_that_is_stopped_brings_the_form_back(
    qtbot: Any, until: Until, copying: Copying
) -> None:
    """The key stops it; the form says how far it came, and copies the rest when told again."""
    window, form, gate = copying
    written = form.places.text()
    press(qtbot, window, Qt.Key.Key_Period, _CTRL)
    gate.set()
    until(form.isVisible)
    assert form.refusal.text() == (
        "Copying was stopped: 1 of 3 films of the card are copied; copy the card again for the "
        "rest."
    )
    assert form.places.text() == written
    qtbot.keyClick(form.places, Qt.Key.Key_Return)
    until(lambda: "3 of 3 films of the card are copied" in window.line.sentence)
    assert "(1 were there already)" in window.line.sentence
    assert not form.isVisible()


def test_a_book_that_is_closed_ends_the_copying(
    qtbot: Any, until: Until, copying: Copying, card: Path
) -> None:
    """What is copied is whole and in the book when it is opened again; no form comes up."""
    window, form, gate = copying
    assert window.desk is not None
    path = str(window.desk.book.path)
    threading.Timer(0.2, gate.set).start()
    press(qtbot, window, Qt.Key.Key_W, _CTRL)
    until(lambda: window.desk is None)
    assert not form.isVisible()
    copies = [one for one in card.with_name("films").rglob("*") if one.is_file()]
    assert sorted(one.name for one in copies) in (["CLIP1.MP4"], ["CLIP1.MP4", "CLIP2.MP4"])
    window.open_path(path)
    until(lambda: window.desk is not None)
    assert window.desk is not None
    book = window.desk.book
    (friday,) = [one for one in book.find(Session) if one.name == "Friday"]
    assert book.count(Clip, session_id=friday.id) >= 1


def test_a_film_of_the_card_that_fails_brings_the_form_back(
    qtbot: Any, window: MainWindow, card: Path, tmp_path: Path, until: Until
) -> None:
    """The others are in; what is wrong with this one stands in the form."""
    (card / "DCIM" / "100MEDIA" / "CLIP2.MP4").write_bytes(b"no film")
    form = fill_in_card(qtbot, window, card, tmp_path / "films")
    qtbot.keyClick(form.places, Qt.Key.Key_Return)
    until(form.isVisible)
    assert "3 of 3 films of the card are copied." in form.refusal.text()
    assert "CLIP2.MP4" in form.refusal.text()
    assert window.line.refused
    form.reject()


def test_what_is_no_film_brings_the_form_back(
    qtbot: Any, window: MainWindow, tmp_path: Path, films: Path, until: Until
) -> None:
    """The others are in and shown; the form says which was passed over, and adds it again."""
    folder = tmp_path / "new"
    folder.mkdir()
    (folder / "1.mp4").write_bytes((films / "play 1.mp4").read_bytes() + b"another film")
    (folder / "2.mp4").write_text("no film")
    forms.ask_film(window)
    form = form_of(window, AddFilmForm)
    write_over(qtbot, form.places, str(folder))
    write_over(qtbot, form.session, "Friday")
    qtbot.keyClick(form.places, Qt.Key.Key_Return)
    until(lambda: bool(form.refusal.text()) and form.isVisible())
    assert "2.mp4 was passed over, and play 2 has no end film" in form.refusal.text()
    assert window.line.refused
    assert window.desk is not None
    shown = window.desk.film.plays.session
    assert shown is not None
    assert shown.name == "Friday"
    form.reject()


def test_a_film_that_is_cut_off_is_taken_where_the_coach_says_so(
    qtbot: Any, window: MainWindow, tmp_path: Path, films: Path, until: Until
) -> None:
    """The form says which of its choices takes it, and that choice does."""
    whole = (films / "play 1.mp4").read_bytes()
    cut = tmp_path / "cut.mp4"
    cut.write_bytes(whole[: 2 * len(whole) // 3])
    forms.ask_film(window)
    form = form_of(window, AddFilmForm)
    write_over(qtbot, form.places, str(cut))
    write_over(qtbot, form.session, "Friday")
    qtbot.keyClick(form.places, Qt.Key.Key_Return)
    until(lambda: bool(form.refusal.text()) and form.isVisible())
    assert "choose “take what there is”" in form.refusal.text()
    assert "--damaged" not in form.refusal.text()
    form.damaged.buttons[0].setFocus()
    qtbot.keyClick(form.damaged.buttons[0], Qt.Key.Key_Right)
    qtbot.keyClick(form.places, Qt.Key.Key_Return)
    until(lambda: window.line.sentence.startswith("Friday: 1 new play"))


def test_the_form_asks_for_what_each_choice_needs(qtbot: Any, window: MainWindow) -> None:
    """Only a card is copied somewhere; only films have plays without film."""
    forms.ask_film(window)
    form = form_of(window, AddFilmForm)
    assert form.without.isVisible()
    assert not form.goal.isVisible()
    form.what.choose(CARD)
    assert form.goal.isVisible()
    assert not form.without.isVisible()
    form.submit()
    assert form.refusal.text() == "Choose the card: its drive, or the folder it is seen as."
    assert form.goal.text().endswith("monday")
    write_over(qtbot, form.session, "Team: Friday")
    assert Path(form.goal.text()).name == "team friday"
    form.goal.path.setText("/my/own")
    write_over(qtbot, form.session, "Saturday")
    assert form.goal.text() == "/my/own"
    form.what.choose(RECORDING)
    form.submit()
    assert form.refusal.text() == "Choose the one film that is the recording."
    form.reject()


def test_every_control_of_the_form_has_a_name(window: MainWindow) -> None:
    """Whoever hears the window knows what he writes into."""
    forms.ask_film(window)
    form = form_of(window, AddFilmForm)
    for kind in (QLineEdit, QComboBox, QAbstractButton, QTableWidget):
        for one in form.findChildren(kind):
            owner = one
            while owner is not form and not owner.accessibleName():
                owner = owner.parentWidget()
            told = owner.accessibleName() if owner is not form else ""
            assert told or (isinstance(one, QAbstractButton) and one.text()), one
    form.reject()


def test_a_recording_opens_the_strip_and_left_uncut_the_form_comes_back(
    qtbot: Any, window: MainWindow, card: Path
) -> None:
    """Nothing is asked twice."""
    forms.ask_film(window)
    form = form_of(window, AddFilmForm)
    form.what.choose(RECORDING)
    recording = card / "DCIM" / "100MEDIA" / "CLIP1.MP4"
    write_over(qtbot, form.places, str(recording))
    write_over(qtbot, form.session, "Friday")
    qtbot.keyClick(form.places, Qt.Key.Key_Return)
    sheet = form_of(window, CuttingSheet)
    assert sheet.desk.wanted.session == "Friday"
    assert not form.isVisible()
    sheet.leave()
    assert form.isVisible()
    assert form.places.text() == str(recording)
    form.reject()


def drop_on(window: MainWindow, *places: Path) -> None:
    """Drop files or folders onto the window."""
    dropped = QMimeData()
    dropped.setUrls([QUrl.fromLocalFile(str(place)) for place in places])
    words = (dropped, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier)
    enter = QDragEnterEvent(QPoint(400, 300), Qt.DropAction.CopyAction, *words)
    QApplication.sendEvent(window, enter)
    assert enter.isAccepted()
    QApplication.sendEvent(window, QDropEvent(QPointF(400, 300), Qt.DropAction.CopyAction, *words))


def test_what_is_dropped_onto_the_window_is_filled_in(
    window: MainWindow, card: Path, films: Path
) -> None:
    """A folder of films as films; one that has its films in folders below as a card."""
    drop_on(window, films)
    form = form_of(window, AddFilmForm)
    assert (form.what.place, form.places.text()) == (0, str(films))
    form.reject()
    drop_on(window, card)
    form = form_of(window, AddFilmForm)
    assert (form.what.place, form.places.text()) == (CARD, str(card))
    form.reject()


def test_film_dropped_without_a_book_is_told(closed_window: MainWindow, films: Path) -> None:
    """There is nothing to add it to yet."""
    drop_on(closed_window, films)
    assert "Open a book first" in closed_window.line.sentence


@pytest.fixture
def two_side_films(tmp_path: Path, card: Path) -> Path:
    """Give two films of a side camera that missed a play."""
    folder = tmp_path / "side"
    folder.mkdir()
    for number in (1, 3):
        shutil.copy(card / "DCIM" / "100MEDIA" / f"CLIP{number}.MP4", folder / f"S{number}.mp4")
    return folder


def ask_pairing(window: MainWindow, folder: Path, until: Until) -> PairingForm:
    """Add a side that has a film too few, so that the pairing is asked for."""
    forms.ask_film(window)
    form = form_of(window, AddFilmForm)
    form.places.setText(str(folder))
    form.angle.setCurrentText("side")
    form.submit()
    until(lambda: is_open(window, PairingForm))
    asked = form_of(window, PairingForm)
    assert isinstance(asked, PairingForm)
    return asked


def test_a_pairing_is_corrected_with_keys_and_taken(
    qtbot: Any, window: MainWindow, two_side_films: Path, until: Until
) -> None:
    """The coach knows that play 2 has no film: he moves it there, and Enter takes it."""
    form = ask_pairing(window, two_side_films, until)
    assert form.table.rowCount() == 3
    assert form.counts.text() == "2 films paired, 1 play without film."
    qtbot.waitUntil(lambda: form.focusWidget() is form.table)
    # Wherever the play without film was proposed, it becomes play 2.
    gap = next(row for row, (_, film) in enumerate(form.desk.pairs) if film is None)
    form.table.setCurrentCell(1, 2)
    if gap == 0:
        qtbot.keyClick(form.table, Qt.Key.Key_Up, Qt.KeyboardModifier.ControlModifier)
        form.table.setCurrentCell(1, 2)
    if gap != 1:
        qtbot.keyClick(form.table, Qt.Key.Key_G)
    names = [None if film is None else film.name for _, film in form.desk.pairs]
    assert names == ["S1.mp4", None, "S3.mp4"]
    qtbot.keyClick(form.table, Qt.Key.Key_Return)
    until(lambda: window.line.sentence.startswith("Monday:"))
    assert window.desk is not None
    book = window.desk.book
    sides = {one.clip_id for one in book.find(Angle, name="side")}
    assert [clip.order for clip in book.find(Clip) if clip.id in sides] == [1, 3]


def test_a_pairing_that_is_left_brings_the_form_back(
    qtbot: Any, window: MainWindow, two_side_films: Path, until: Until
) -> None:
    """Nothing is added; what was written stands there still."""
    form = ask_pairing(window, two_side_films, until)
    qtbot.keyClick(form, Qt.Key.Key_Escape)
    asked = form_of(window, AddFilmForm)
    assert asked.places.text() == str(two_side_films)
    assert window.desk is not None
    assert window.desk.book.count(Angle, name="side") == 0
    asked.reject()


def test_a_key_that_can_do_nothing_says_so(
    qtbot: Any, window: MainWindow, two_side_films: Path, until: Until
) -> None:
    """The first film has no play before it."""
    form = ask_pairing(window, two_side_films, until)
    form.table.setCurrentCell(0, 2)
    qtbot.keyClick(form.table, Qt.Key.Key_Up, Qt.KeyboardModifier.ControlModifier)
    assert form.refusal.text() == "That can't be done with this pair."
    qtbot.keyClick(form.table, Qt.Key.Key_R)
    assert form.refusal.text() == ""
    form.reject()
    form_of(window, AddFilmForm).reject()


def test_a_place_is_written_whatever_choice_stands_before_it(
    qtbot: Any, window: MainWindow
) -> None:
    """Letters typed on the choices go where the film is named; arrows go on choosing."""
    forms.ask_film(window)
    form = form_of(window, AddFilmForm)
    qtbot.waitUntil(lambda: form.focusWidget() is form.what.buttons[0])
    qtbot.keyClick(form.focusWidget(), Qt.Key.Key_Right)
    qtbot.keyClick(form.focusWidget(), Qt.Key.Key_Right)
    assert form.what.place == RECORDING
    assert form.place_row.files.text() == "Film …"
    for letter in "/film/a b.mp4":
        qtbot.keyClicks(form.focusWidget(), letter)
    assert form.places.text() == "/film/a b.mp4"
    form.reject()


@pytest.mark.parametrize(
    ("clips", "angles", "notes", "told"),
    [
        (12, 12, (), "Tuesday: 12 new plays."),
        (0, 11, ("No side film for play 5.",),
         "Tuesday: a further angle of 11 plays. No side film for play 5."),
        (0, 0, ("a.mp4: twice.",), "Tuesday: no new film. a.mp4: twice."),
        (2, 2, ("A.", "B.", "C.", "D.", "E."),
         "Tuesday: 2 new plays. A. B. C. And 2 more to know, told by the films themselves "
         "(Alt+F)."),
    ],
)  # fmt: skip
def test_what_film_came_to_is_said_in_plays(
    clips: int, angles: int, notes: tuple[str, ...], told: str
) -> None:
    """Nothing of which there is none, and how much is left unsaid."""
    added = Added(
        session=Session(name="Tuesday"), clips=clips, angles=angles, scripted=0, notes=notes
    )
    assert forms.told_of_films(added) == told
