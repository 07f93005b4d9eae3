"""Forty plays before midnight: the real window, keys alone, counted; the book holds the sheet."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import QEvent, Qt
from PyQt6.QtGui import QKeyEvent
from PyQt6.QtWidgets import QApplication

from gradecut.app.film_page import FilmPage
from gradecut.app.window import MainWindow
from gradecut.book import Book
from gradecut.desk.remembered import recall
from gradecut.records import Clip, Event, FactValue, Flag, Grade, Rep
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.looks import look_of
from tests.app.forty_plays import FRAMES, OWED, PLAYS, SHEET, Told, look_told, make_forty

Until = Callable[[Callable[[], bool]], None]


@pytest.fixture(scope="module")
def forty_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make the evening's book once, closed."""
    return make_forty(tmp_path_factory.mktemp("forty"))


@pytest.fixture
def page(closed_window: MainWindow, tmp_path: Path, forty_file: Path) -> Iterator[FilmPage]:
    """Sit down to forty plays."""
    path = tmp_path / "forty.gradecut"
    shutil.copy(forty_file, path)
    closed_window.open_path(str(path))
    assert closed_window.pages is not None
    shown = closed_window.pages.page("Film")
    assert isinstance(shown, FilmPage)
    closed_window.activateWindow()
    shown.setFocus()
    yield shown
    shown.film.playhead.pause()


class Fingers:
    """A coach at the keys, who reads on the screen what the next key is; counts them."""

    def __init__(self, qtbot: Any, page: FilmPage) -> None:
        self._qtbot = qtbot
        self._page = page
        self.spent = 0

    def press(self, *names: str) -> None:
        """Press keys where the focus is."""
        for name in names:
            *held, last = name.split("+")
            with_keys = Qt.KeyboardModifier.NoModifier
            for one in held:
                with_keys |= {
                    "Shift": Qt.KeyboardModifier.ShiftModifier,
                    "Ctrl": Qt.KeyboardModifier.ControlModifier,
                }[one]
            focus = QApplication.focusWidget()
            assert focus is not None
            self._qtbot.keyClick(focus, getattr(Qt.Key, f"Key_{last}"), with_keys)
            self.spent += 1

    def answer(self, words: str) -> None:
        """Press the key an answer stands under, turning the page where it stands on another."""
        for _ in range(9):
            ask = self._page.film.hand.ask
            assert ask is not None
            found = [one.key for one in ask.shown() if one.answer.words == words]
            if found:
                self.press(found[0])
                return
            self.press("0")
        raise AssertionError(f"“{words}” is no answer to “{ask.title if ask else ''}”")

    def take(self, position: str) -> None:
        """Take a man in hand by the number he stands under."""
        state = self._page.film.state
        assert state is not None
        if self._page.film.hand.position != position:
            self.press(str([man.position for man in state.men].index(position) + 1))

    def turn(self, reference: str, value: str | int) -> None:
        """Correct a fact by its letter, and by its value where it has more than two."""
        state = self._page.film.state
        assert state is not None
        self.press(f"Shift+{state.fact_letters[reference]}")
        if self._page.film.state is not None and self._page.film.state.look[reference] != value:
            self.answer(str(value))

    def grade(self, told: Told) -> int:
        """Grade one play by the sheet; return how many keys it took."""
        before = self.spent
        if told.no_play:
            self.press("D")
            return self.spent - before
        for reference, value in told.facts.items():
            if value != (self._page.film.state.look.get(reference) if self._page.film.state else 0):
                self.turn_or_say(reference, value)
        for position, (what, cause) in told.wrong.items():
            self.take(position)
            self.answer(what)
            self.answer(cause)
        for position, (what, cause) in told.fit.items():
            self.take(position)
            self.press("O")
            self.answer(what)
            self.answer(cause)
        for position, reason in told.cannot.items():
            self.take(position)
            self.press("U")
            self.answer(reason)
        for position, event in told.events.items():
            self.take(position)
            self.press("E")
            self.answer(event)
        for position in told.flags:
            self.take(position)
            self.press("F")
        self.press("Return")
        return self.spent - before

    def turn_or_say(self, reference: str, value: str | int) -> None:
        """Correct a fact, or say it where nothing was known of it."""
        state = self._page.film.state
        assert state is not None
        if reference in state.look:
            self.turn(reference, value)
        else:
            self.press(f"Shift+{state.fact_letters[reference]}")
            self.answer(str(value))


def most_more(told: Told) -> int:
    """Return how many keys a play may take beyond the one of a clean play, by the sheet."""
    wrong = 5 * (len(told.wrong) + len(told.fit))
    return wrong + 3 * (len(told.facts) + len(told.cannot) + len(told.events)) + 2 * len(told.flags)


def landed(book: Book, clip: Clip) -> Told:
    """Read from the book what it holds of a play."""
    reps = {rep.id: rep.position for rep in book.find(Rep, clip_id=clip.id)}
    grades = {reps[one.rep_id]: one for one in book.find(Grade, rep_id=list(reps))}
    marked = {
        one.reference: one.value for one in book.find(FactValue, clip_id=clip.id, source="marked")
    }
    told = SHEET.get(clip.order, Told())
    return Told(
        wrong={p: (g.did_name, g.cause) for p, g in grades.items() if g.did == "miss"},
        fit={p: (g.did_name, g.cause) for p, g in grades.items() if g.did == "fit"},
        cannot={p: g.did_name for p, g in grades.items() if g.did == "cannot grade"},
        facts={name: marked[name] for name in told.facts if name in marked},
        events={reps[one.rep_id]: one.name for one in book.find(Event, rep_id=list(reps))},
        flags=tuple(reps[one.rep_id] for one in book.find(Flag, clip_id=clip.id) if one.rep_id),
        no_play=clip.kind == "no play",
    )


def check_looks(book: Book) -> None:
    """Hold what was confirmed against the sheet: all that was drawn, the wing with it."""
    for clip in book.find(Clip):
        facts = book.find(FactValue, clip_id=clip.id, source="marked")
        if clip.kind == "no play":
            assert facts == []
            continue
        assert look_of(book, clip.id) == look_told(clip.order), f"play {clip.order}"
        assert {one.reference for one in facts} == set(look_told(clip.order))
        assert {one.author for one in facts} == {"Coach Alder"}


def check_grades(book: Book) -> None:
    """Hold every grade against the scheme, and how it came about against the sheet."""
    lines = [line for line in rep_lines(book, author="Coach Alder") if line.grade is not None]
    assert len(lines) == 3 * (PLAYS - 1)
    assert [line for line in lines if line.stale] == []
    for line in lines:
        told, grade = SHEET.get(line.clip.order, Told()), line.grade
        assert grade is not None
        if not told.facts:
            assert grade.expected_fit == OWED[(line.clip.order - 1) % 4][line.rep.position]
        judged = line.rep.position in {*told.wrong, *told.fit, *told.cannot}
        assert grade.how == ("examined" if judged else "passed")


def test_forty_plays_take_at_most_two_hundred_keys(qtbot: Any, page: FilmPage) -> None:
    """Half of them clean; what landed in the book is the sheet, play by play and man by man.

    Every fact of every play is marked by him, what the script said and what was taken over
    from the last play: it was drawn, and Enter said that it was so.
    """
    fingers = Fingers(qtbot, page)
    for play in range(1, PLAYS + 1):
        assert page.film.clip is not None
        assert page.film.clip.order == play
        told = SHEET.get(play, Told())
        keys = fingers.grade(told)
        assert keys <= 1 + most_more(told), f"play {play} took {keys} keys"
    assert fingers.spent <= 200
    book = page.film.book
    assert {clip.order: landed(book, clip) for clip in book.find(Clip)} == {
        play: SHEET.get(play, Told()) for play in range(1, PLAYS + 1)
    }
    assert page.film.plays.line.told().startswith("39 of 39")
    check_looks(book)
    check_grades(book)


def test_one_step_back_takes_a_whole_enter_back(qtbot: Any, page: FilmPage) -> None:
    """Three grades, the facts confirmed and those taken over from the last play."""
    fingers = Fingers(qtbot, page)
    fingers.grade(SHEET[1])
    book = page.film.book
    before = (book.count(Grade), book.find(FactValue))
    fingers.press("Return")
    assert book.count(Grade) == before[0] + 3
    fingers.press("Ctrl+Z")
    assert (book.count(Grade), book.find(FactValue)) == before


def test_angles_run_one_after_the_other_and_then_rest(
    qtbot: Any, page: FilmPage, until: Until
) -> None:
    """Gone on to, a play runs from before its snap, then from the other angle, and stands."""
    head, fingers = page.film.playhead, Fingers(qtbot, page)
    until(lambda: head.picture is not None)
    fingers.press("Ctrl+Space", "Space")
    assert not head.playing
    seen: list[tuple[str, int]] = []
    head.pictured.connect(
        lambda: seen.append((head.angle.name if head.angle else "", int(head.shown or 0)))
    )
    fingers.press("Return")
    until(lambda: page.film.running_on.left == () and not head.playing)
    until(lambda: head.shown == head.frame)
    assert head.angle is not None
    assert head.angle.name == "side"
    assert head.frame == 2 * FRAMES - 1
    second = [(angle, frame) for angle, frame in seen if frame >= FRAMES]
    for angle in ("end", "side"):
        frames = [frame for name, frame in second if name == angle]
        assert frames == sorted(frames)
        assert (frames[0], frames[-1]) == (FRAMES, 2 * FRAMES - 1)
    fingers.press("Return")
    until(lambda: head.playing)
    assert head.angle is not None
    assert head.angle.name == "end"
    fingers.press("Left")
    assert not head.playing
    assert page.film.running_on.left == ()


def test_running_on_is_remembered(qtbot: Any, page: FilmPage, tmp_path: Path) -> None:
    """Turned on or off, the next start finds it so; at first it is on."""
    assert recall(tmp_path / "nothing.json").plays_run
    fingers = Fingers(qtbot, page)
    fingers.press("Ctrl+Space")
    assert recall(tmp_path / "window.json").plays_run
    fingers.press("Ctrl+Space")
    assert not page.film.playhead.playing
    assert not recall(tmp_path / "window.json").plays_run


def test_a_key_held_too_long_answers_once(page: FilmPage) -> None:
    """It takes the man in hand; his miss and its cause are not answered by its repeating."""
    for again in (False, True, True, True):
        held = QKeyEvent(
            QEvent.Type.KeyPress, Qt.Key.Key_2, Qt.KeyboardModifier.NoModifier, "2", again
        )
        QApplication.sendEvent(page, held)
    assert page.film.hand.position == "Keel"
    assert not page.film.book.count(Grade)
    for again in (False, True, True):
        pad = QKeyEvent(
            QEvent.Type.KeyPress, Qt.Key.Key_Enter, Qt.KeyboardModifier.KeypadModifier, "", again
        )
        QApplication.sendEvent(page, pad)
    assert page.film.clip is not None
    assert page.film.clip.order == 2


def test_capitals_written_in_a_note_turn_no_fact_over(qtbot: Any, page: FilmPage) -> None:
    """Where he writes, Shift and a letter is a capital."""
    fingers = Fingers(qtbot, page)
    fingers.press("1", "N")
    assert page.film.state is not None
    before = dict(page.film.state.look)
    focus = QApplication.focusWidget()
    qtbot.keyClicks(focus, "Slow. Ran")
    fingers.press("Return")
    assert dict(page.film.state.look) == before
    assert [one.note for one in page.film.book.find(Grade)] == ["Slow. Ran"]
    fingers.press("Shift+R")
    assert page.film.state.look["run"] != before["run"]


def test_two_graders_pass_the_same_plays(qtbot: Any, page: FilmPage) -> None:
    """The look is confirmed once, by the first; each has grades of his own, none is stale."""
    fingers = Fingers(qtbot, page)
    fingers.press("Shift+W", "1", "Return", "Return", "PageUp", "PageUp")
    book = page.film.book
    facts = {one.id for one in book.find(FactValue, source="marked")}
    book.author = "B. Marsh"
    page.film.refresh()
    fingers.press("Return", "Return")
    assert {one.id for one in book.find(FactValue, source="marked")} == facts
    by = sorted(one.author for one in book.find(Grade))
    assert by == ["B. Marsh"] * 6 + ["Coach Alder"] * 6
    for author in ("B. Marsh", "Coach Alder"):
        assert not any(one.stale for one in rep_lines(book, author=author))
    fingers.press("Ctrl+Z")
    assert len(book.find(Grade, author="B. Marsh")) == 3
    assert len(book.find(Grade, author="Coach Alder")) == 6


def test_facts_have_their_keys_in_menu_and_cheat_sheet(page: FilmPage) -> None:
    """Each by its name, with Shift and its letter."""
    found = {one.name: one.keys for one in page.actions_here() if one.group == "Change the look"}
    assert found["run"] == ("Shift+R",)
    assert found["surface left"] == ("Shift+L",)
    assert len(found) == 7
